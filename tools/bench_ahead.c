#include "tools/bench.h"

#include <stdlib.h>

#include "tufa.h"

static const double T_K[] = {303.15, 318.15, 333.15, 348.15, 363.15};
static const double HARD_MG_L[] = {48.0, 59.0, 75.0, 93.0, 112.0}; /* about the shape of a hard municipal water */

/* Milliseconds for one view ahead: 20 years by month, 500 draws, with one weighed mass to learn from or none. */
static double look_ms(int findings)
{
    enum { REPEATS = 20 };
    tufa_finding weighed = {.kind = TUFA_FOUND_WEIGHED, .day = 19000, .value = 3.0, .left_share = {0.2, 0.1, 0.4, TUFA_BASIS_ABOUT}};
    tufa_ahead_in in = tufa_ahead_defaults(TUFA_ELECTRIC);
    in.ccpp = (tufa_ccpp){.draws = 1, .temps = 5, .T_K = T_K, .mg_L = HARD_MG_L};
    in.today_day = 20000;
    in.found = &weighed;
    in.findings = (size_t)findings;
    size_t bytes = tufa_ahead_bytes(in.months, in.draws, in.findings);
    unsigned char *room = malloc(bytes);
    if (!room) return -1.0;
    double best = 1e9;
    for (int k = 0; k < REPEATS; k++) {
        tufa_arena arena = {.base = room, .size = bytes};
        tufa_ahead a;
        in.key = (uint64_t)k;
        double start = bench_now_s();
        if (tufa_ahead_look(&in, &arena, &a).code != TUFA_OK) best = -1.0;
        double ms = 1e3 * (bench_now_s() - start);
        if (ms < best) best = ms;
    }
    free(room);
    return best;
}

static double plain_ms(void) { return look_ms(0); }
static double weighed_ms(void) { return look_ms(1); }

const bench_row bench_ahead[] = {{"ahead_ms", plain_ms}, {"ahead_weighed_ms", weighed_ms}, {0}};
