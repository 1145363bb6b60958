#include <stdlib.h>
#include <string.h>

#include "tools/bench.h"
#include "tufa.h"

enum { ALIGN = 64, RUNS = 40 };

static tufa_finder *room(void)
{
    tufa_finder *f = aligned_alloc(ALIGN, (tufa_fault_finder_bytes() + ALIGN - 1) / ALIGN * ALIGN);
    if (f) memset(f, 0, tufa_fault_finder_bytes());
    return f;
}

/* A new heater and a call of two complaints: every centre worked out, singles and pairs, the next reading. The best of the runs,
 * since other programs only ever add time. */
static double whole_ranking(void)
{
    tufa_finder *f = room();
    tufa_fault_heater h = tufa_fault_heater_default(TUFA_TANK_ELECTRIC);
    tufa_call call = {0};
    tufa_fault_answer a;
    call.complaint[tufa_fault_complaint_find("runs_out")] = call.complaint[tufa_fault_complaint_find("slow_recovery")] = 1;
    double best = 1e9;
    for (int i = 0; f && i < RUNS; i++) {
        double start = bench_now_s();
        if (tufa_fault_prepare(&h, f).code != TUFA_OK || tufa_fault_rank(f, &call, &a).code != TUFA_OK) return -1.0;
        double took = bench_now_s() - start;
        if (took < best) best = took;
    }
    free(f);
    return 1e3 * best;
}

/* Our rule's expected cost of a call over that of another rule, on calls drawn from the shares. */
static double cost_over(tufa_rule other)
{
    enum { KEY = 3, VISITS = 30 };
    tufa_finder *f = room();
    tufa_fault_heater h = tufa_fault_heater_default(TUFA_TANK_ELECTRIC);
    tufa_trial ours, theirs;
    if (!f || tufa_fault_prepare(&h, f).code != TUFA_OK ||
        tufa_fault_trial(f, -1, -1, TUFA_RULE_LOSS, 1.0, KEY, VISITS, &ours).code != TUFA_OK ||
        tufa_fault_trial(f, -1, -1, other, 1.0, KEY, VISITS, &theirs).code != TUFA_OK)
        return -1.0;
    free(f);
    return (ours.reading_usd + ours.lost_usd) / (theirs.reading_usd + theirs.lost_usd);
}

static double over_list(void) { return cost_over(TUFA_RULE_FIXED); }
static double over_information(void) { return cost_over(TUFA_RULE_INFORMATION); }

const bench_row bench_fault[] = {{"fault_ms", whole_ranking}, {"fault_cost_over_fixed_list", over_list},
                                 {"fault_cost_over_information", over_information}, {0}};
