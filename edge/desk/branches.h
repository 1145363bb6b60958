/* The next readings of a call worked out beforehand, with what each result leads to: for a sheet that goes along. */
#ifndef EDGE_DESK_BRANCHES_H
#define EDGE_DESK_BRANCHES_H

#include "edge/desk/call.h"

enum { BRANCHES_MOST = 3 };

/* What one result of a reading leads to. */
typedef struct branch_end {
    tufa_reading read;      /* what stands for this result */
    tufa_fault_odds likely; /* the likeliest fault then */
    int test;               /* the reading after it; -1: none is worth its minutes */
    int repair;             /* what would be mended then; -1: nothing is likely enough yet, or somebody else's work */
    tufa_stop stop;         /* id NULL: nothing stops the work */
} branch_end;

typedef struct branch {
    tufa_next next;
    tufa_stop before;       /* what stops the work before this is read, and so was told already */
    branch_end end[TUFA_MAX_OUTCOMES];
    int onward;             /* the outcome behind which the next branch stands; -1: this is the last */
} branch;

/* At most BRANCHES_MOST readings, each behind the likeliest result of the one before. Answers how many. */
TUFA_MUST_CHECK tufa_status desk_branches(desk_finder *f, const call_view *v, branch out[BRANCHES_MOST], int *n);

/* "Likely: ..., 9 in 10. To mend: ... Go on to reading 2." A stop that stands already is not told again. */
void say_branch_end(text *t, const branch *b, int outcome, int number);

/* The steps of any visit that make the place fit to work in, and those that put it back. */
bool call_step_before(const tufa_step *s);
bool call_step_after(const tufa_step *s);

#endif
