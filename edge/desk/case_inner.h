/* A case while it is gathered: readings of one day are settled together, once it is known whether the tank was cleaned on it. */
#ifndef EDGE_DESK_CASE_INNER_H
#define EDGE_DESK_CASE_INNER_H

#include "edge/desk/case.h"

enum { CASE_DAYS = 12 };

typedef struct case_day {
    int64_t day, id[TUFA_PROOF_MAX]; /* of the finding behind each reading */
    int spots;
    size_t n;
    tufa_proof_reading reading[TUFA_PROOF_MAX];
    finding_rec heat_up;             /* id 0: none */
} case_day;

typedef struct gathering {
    desk_case *c;
    size_t days;
    case_day day[CASE_DAYS];
} gathering;

/* The row of this day, made when there is none; rows stay in the order of their days. NULL when the case is full. */
tufa_finding *finding_on(desk_case *c, int64_t day, bool reading);
/* A probe, refill, heat-up, draw, flow or jar; waits for its day to be settled. */
void case_read(gathering *g, const finding_rec *r);
/* On a day of cleaning they say what stayed; on any other what lay there. */
TUFA_MUST_CHECK tufa_status case_settle_days(gathering *g);

#endif
