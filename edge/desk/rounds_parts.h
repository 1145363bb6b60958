/* What planning the rounds is made of. */
#ifndef EDGE_DESK_ROUNDS_PARTS_H
#define EDGE_DESK_ROUNDS_PARTS_H

#include "edge/desk/rounds.h"

/* ---- drives ---- */

typedef struct rounds_place {
    int64_t house; /* 0: home */
    char street[STORE_LABEL];
    bool located;
    double lat_deg, lon_deg;
    double from_home_s; /* as the house says; NaN: not said */
} rounds_place;

typedef struct rounds_drives {
    double *drive_s, *road_m; /* n x n */
    size_t n, how[3];         /* pairs by how they are known: timed, coordinates, assumed */
} rounds_drives;

/* place[0] is home. Owns its arrays: rounds_drives_free. */
TUFA_MUST_CHECK tufa_status rounds_drives_get(desk *d, size_t n, const rounds_place *place, double home_miles, rounds_drives *out);
void rounds_drives_free(rounds_drives *r);

/* ---- what comes in ---- */

typedef struct rounds_visits {
    rounds_visit *v;
    size_t n, room;
} rounds_visits;
TUFA_MUST_CHECK tufa_status rounds_gather(desk *d, const year_answer *y, const rounds_terms *t, const desk_rates *rates,
                                          rounds_visits *out);
TUFA_MUST_CHECK tufa_status rounds_terms_get(desk *d, rounds_terms *out);

/* ---- what goes along ---- */

/* Kit of each round, the year's stock, the reserve. */
TUFA_MUST_CHECK tufa_status rounds_kit(desk *d, const desk_rates *rates, const year_answer *y, rounds_answer *a);

#endif
