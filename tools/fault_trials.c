/* tufa-fault-trials [VISITS]: simulated visits for the tables in docs/methods/fault.md. Each fault that acts on wiring or tank,
 * found by our rule, by information alone and by a fixed list; then calls drawn from the shares, as the tables say and
 * with shares and spreads disturbed; then how far odds hold what they say. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "tufa.h"

enum { KEY = 2026, ALIGN = 64, RULES = 3, CALIBRATION_TIMES = 5 };
static const char *const RULE[RULES] = {"expected loss", "information", "fixed list"};

static tufa_finder *finder(tufa_tank_fuel fuel)
{
    tufa_fault_heater h = tufa_fault_heater_default(fuel);
    tufa_finder *f = aligned_alloc(ALIGN, (tufa_fault_finder_bytes() + ALIGN - 1) / ALIGN * ALIGN);
    if (!f) return NULL;
    memset(f, 0, tufa_fault_finder_bytes());
    if (tufa_fault_prepare(&h, f).code == TUFA_OK) return f;
    free(f);
    return NULL;
}

static void one_fault(tufa_finder *f, const char *id, int visits)
{
    tufa_trial t[RULES];
    int fault = tufa_fault_find(id);
    for (int r = 0; r < RULES; r++)
        if (tufa_fault_trial(f, fault, -1, (tufa_rule)r, 1.0, KEY, visits, &t[r]).code != TUFA_OK) return;
    printf("| %s |", id);
    for (int r = 0; r < RULES; r++)
        printf(" %.0f %%, %.1f, %.0f min, $%.0f |", 100.0 * t[r].found / visits, t[r].readings, t[r].minutes, t[r].reading_usd + t[r].lost_usd);
    printf("\n");
    fflush(stdout);
}

static void mixed(tufa_finder *f, const char *fuel, int visits)
{
    for (int disturbed = 0; disturbed < 2; disturbed++)
        for (int r = 0; r < RULES; r++) {
            tufa_trial t;
            if (tufa_fault_trial(f, -1, -1, (tufa_rule)r, disturbed ? 1.5 : 1.0, KEY, visits, &t).code != TUFA_OK) return;
            int missed = visits - t.found;
            printf("| %s, %s | %s | %.0f %% | %.0f %% | %.0f | %.1f | %.0f | %.0f | %.0f |\n", fuel, disturbed ? "disturbed" : "as the tables",
                   RULE[r], 100.0 * t.found / visits, 100.0 * t.second / visits, missed ? t.missed_usd * visits / missed : 0.0, t.readings,
                   t.minutes, t.reading_usd, t.reading_usd + t.lost_usd);
            fflush(stdout);
        }
}

static void calibration(tufa_finder *f[2], int visits)
{
    tufa_trial t[2];
    for (int g = 0; g < 2; g++)
        if (tufa_fault_trial(f[g], -1, -1, TUFA_RULE_LOSS, 1.0, KEY + 1, visits, &t[g]).code != TUFA_OK) return;
    for (int k = 0; k < 10; k++) {
        int n = t[0].sure[k] + t[1].sure[k];
        if (n) printf("| %.0f %% | %d | %.0f %% |\n", 100.0 * (t[0].sure_sum[k] + t[1].sure_sum[k]) / n, n, 100.0 * (t[0].right[k] + t[1].right[k]) / n);
    }
}

int main(int argc, char **argv)
{
    static const char *const ELECTRIC[] = {"bed_buries_lower", "lower_open", "upper_open", "lower_earthed", "upper_earthed", "lower_tstat_open",
        "lower_tstat_closed", "upper_stuck_on", "upper_no_handover", "upper_no_call", "limit_weak", "supply_lost", "leg_lost", "dip_tube",
        "winter_inlet", "setpoint_low", "setpoint_high"};
    static const char *const GAS[] = {"bottom_scale", "burner_dirty", "gas_valve_high", "dip_tube", "setpoint_low", "setpoint_high", "winter_inlet"};
    int visits = argc > 1 ? atoi(argv[1]) : 200;
    tufa_finder *f[2] = {finder(TUFA_TANK_ELECTRIC), finder(TUFA_TANK_GAS)};
    if (!f[0] || !f[1]) return 1;
    printf("| calls | rule | found | one of two missed | a miss costs $ | readings | minutes | readings $ | all $ |\n|---|---|---|---|---|---|---|---|---|\n");
    mixed(f[0], "electric", visits);
    mixed(f[1], "gas", visits);
    printf("\n| said | calls | right |\n|---|---|---|\n");
    calibration(f, CALIBRATION_TIMES * visits);
    printf("\n| fault | %s | %s | %s |\n|---|---|---|---|\n", RULE[0], RULE[1], RULE[2]);
    for (size_t i = 0; i < sizeof ELECTRIC / sizeof ELECTRIC[0]; i++) one_fault(f[0], ELECTRIC[i], visits);
    for (size_t i = 0; i < sizeof GAS / sizeof GAS[0]; i++) one_fault(f[1], GAS[i], visits);
    free(f[0]);
    free(f[1]);
    return 0;
}
