/* One tank and its day, simulated: from a case, or as the book knows a heater. */
#ifndef EDGE_DESK_TANK_H
#define EDGE_DESK_TANK_H

#include "edge/import/tank_case.h"

typedef struct tank_answer {
    tufa_tank_model model;          /* the tank with its changes */
    tufa_tank_result result;
    double layer_K[TUFA_TANK_MAX_LAYERS]; /* at the end */
    tufa_tank_sample *series;       /* each minute, result.series_count of them; NULL unless asked for */
    bool rated;
    tufa_tank_rating rating;
    tufa_tank_burn adult, infant;   /* at the hottest that came out of the tap */
} tank_answer;

typedef struct tank_ask {
    bool series, rating;
} tank_ask;

/* Simulates the case. `out` is freed by tank_free, also after trouble. */
TUFA_MUST_CHECK tufa_status desk_tank(const tank_case *c, tank_ask ask, tank_answer *out);
void tank_free(tank_answer *a);

#endif
