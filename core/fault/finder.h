/* The finder: what every reading shows under every fault of this heater, and room to work in. */
#ifndef CORE_FAULT_FINDER_H
#define CORE_FAULT_FINDER_H

#include "core/fault/heat.h"
#include "core/fault/spread.h"
#include "core/fault/tables.h"

enum {
    MAX_SPREADS = 512,
    MAX_CUTS = 20, /* faults that touch the wiring */
    MAX_HEATS = 28, /* faults that touch the tank in a way the draw and heat-up tests see */
    MAX_HYPOTHESES = FAULT_COUNT + FAULT_COUNT * (FAULT_COUNT - 1) / 2
};

/* Tests whose centre physics gives: by the solved wiring, or by the simulated tank. */
typedef enum circuit_test {
    CIRCUIT_V_supply, CIRCUIT_V_leg_min, CIRCUIT_V_limit_out, CIRCUIT_V_upper, CIRCUIT_V_lower, CIRCUIT_V_lower_sat,
    CIRCUIT_V_contact_lower, CIRCUIT_A_upper, CIRCUIT_A_lower, CIRCUIT_A_sat, CIRCUIT_A_net, CIRCUIT_meter_rest_W,
    CIRCUIT_meter_upper_W, CIRCUIT_meter_lower_W, CIRCUIT_TESTS
} circuit_test;
typedef enum heat_test { HEAT_litres_to_40, HEAT_early_drop, HEAT_recover_min, HEAT_V_eff, HEAT_TESTS } heat_test;

typedef struct hypothesis {
    short a, b; /* b -1: a alone */
} hypothesis;

struct tufa_finder {
    tufa_fault_heater heater;
    int gas, ready;
    unsigned char applies[TEST_COUNT];   /* the test exists on this heater */
    unsigned char possible[FAULT_COUNT]; /* so does the fault */
    int spreads;
    spread spread[MAX_SPREADS];
    short of[FAULT_COUNT + 1][TEST_COUNT]; /* place in spread, -1: as healthy */
    signed char circuit_at[TEST_COUNT], heat_at[TEST_COUNT]; /* circuit_test or heat_test of a test, -1 */
    int cuts, heats;
    signed char cut_at[FAULT_COUNT + 1], heat_of[FAULT_COUNT + 1]; /* place in the two lists below, -1; healthy is 0 */
    double solved[MAX_CUTS][MAX_CUTS][CIRCUIT_TESTS];  /* two faults at once; [i][i] one alone */
    double heated[MAX_HEATS][MAX_HEATS][HEAT_TESTS];
    double skin_K;       /* of the lower element as it stands, with its bed and scale */
    double skin_times;   /* by what factor that raises the odds of its failing, against a clean one of low watt density */
    double growth_s, growth_low_s; /* mean of all layers, a day: as it stands, and with the dial turned low */
    int edges[TEST_COUNT];
    double edge[TEST_COUNT][MAX_CELLS - 1];
    int hypotheses;
    hypothesis hyp[MAX_HYPOTHESES];
    double weight[MAX_HYPOTHESES]; /* logarithm, then probability, of the last ranking */
    double cell[FAULT_COUNT + 1][MAX_CELLS];
    double after[MAX_CELLS][FAULT_COUNT];
};

/* The spread of a test under one or two faults (-1: none); `room` is used where it has to be composed. */
const spread *finder_spread(const tufa_finder *f, int a, int b, int test, spread *room);
/* Which single state that spread belongs to: a, b, FAULT_COUNT for healthy, or -1 for one that was composed. */
int finder_like(const tufa_finder *f, const spread *s, int a, int b, int test);

#endif
