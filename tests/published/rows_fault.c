#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include "tests/published/published.h"

static tufa_status refused(const char *field) { return (tufa_status){.code = TUFA_UNKNOWN, .field = field}; }

static tufa_fault_heater heater_of(row_inputs *in)
{
    tufa_fault_heater h = tufa_fault_heater_default(TUFA_TANK_ELECTRIC);
    h.supply_V = row_number_or(in, "supply_V", 240.0);
    h.plate_V = row_number_or(in, "plate_V", 240.0);
    h.tank.lower_W = row_number_or(in, "lower_W", 4500.0);
    h.tank.upper_W = row_number_or(in, "upper_W", 4500.0);
    h.single_element = row_number_or(in, "single", 0.0) > 0.0;
    return h;
}

static int cut_of(const char *name, tufa_circuit_cut *cut)
{
    static const struct { const char *name; size_t at; } CUTS[] = {
#define CUT(field) {#field, offsetof(tufa_circuit_cut, field)}
        CUT(upper_coil_open), CUT(lower_coil_open), CUT(upper_dead_high), CUT(upper_no_handover), CUT(upper_stuck_on),
        CUT(lower_never), CUT(lower_always), CUT(limit_open), CUT(leg1_dead), CUT(leg2_dead), CUT(supply_dead)
#undef CUT
    };
    if (!name[0]) return 1;
    for (size_t i = 0; i < sizeof CUTS / sizeof CUTS[0]; i++)
        if (strcmp(CUTS[i].name, name) == 0) return *(int *)((char *)cut + CUTS[i].at) = 1;
    return 0;
}

static tufa_status solved(row_inputs *in, tufa_circuit_read *r)
{
    static const char *const STATES[] = {"top_cold", "bottom_cold", "all_hot"};
    tufa_fault_heater h = heater_of(in);
    tufa_circuit_cut cut = {.lower_leak_at = row_number_or(in, "leak_at", 0.0), .lower_leak_ohm = row_number_or(in, "leak_ohm", 0.0)};
    if (!cut_of(row_text(in, "cut"), &cut)) return refused("cut");
    for (int s = 0; s < 3; s++)
        if (strcmp(row_text(in, "state"), STATES[s]) == 0) return tufa_fault_circuit(&h, &cut, (tufa_circuit_state)s, r);
    return refused("state");
}

static tufa_status circuit(row_inputs *in, double *value)
{
    tufa_circuit_read r;
    tufa_status st = solved(in, &r);
    if (st.code != TUFA_OK) return st;
    const char *read = row_text(in, "read");
    const struct { const char *name; double value; } READS[] = {
        {"supply_V", r.supply_V}, {"leg_min_V", r.leg_min_V}, {"leg_max_V", r.leg_max_V}, {"limit_out_V", r.limit_out_V},
        {"upper_V", r.upper_V}, {"lower_V", r.lower_V}, {"contact_V", r.lower_contact_V}, {"leg_A", r.leg_A},
        {"net_A", r.net_A}, {"power_W", r.power_W}, {"lower_switched_V", r.lower_screw_earth_V[0]},
        {"lower_far_V", r.lower_screw_earth_V[1]}, {"upper_switched_V", r.upper_screw_earth_V[0]}};
    for (size_t i = 0; i < sizeof READS / sizeof READS[0]; i++)
        if (strcmp(read, READS[i].name) == 0) {
            *value = READS[i].value;
            return st;
        }
    return refused("read");
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Amps at rest of a grounded coil, place of the contact even along the coil, ohms of the contact even in the logarithm from 0.1
 * to 1000: quantile `p`, or the share over `over_A`. */
static tufa_status leak_amps(row_inputs *in, double *value)
{
    enum { STEPS = 60 };
    static double amps[STEPS * STEPS];
    tufa_fault_heater h = heater_of(in);
    size_t n = 0, over = 0;
    for (int i = 0; i < STEPS; i++)
        for (int j = 0; j < STEPS; j++) {
            tufa_circuit_read r;
            tufa_circuit_cut cut = {.lower_leak_at = (i + 0.5) / STEPS, .lower_leak_ohm = 0.1 * pow(1e4, (j + 0.5) / STEPS)};
            tufa_status st = tufa_fault_circuit(&h, &cut, TUFA_ALL_HOT, &r);
            if (st.code != TUFA_OK) return st;
            over += r.leg_A > row_number_or(in, "over_A", 1e9);
            amps[n++] = r.leg_A;
        }
    qsort(amps, n, sizeof amps[0], by_size);
    *value = row_has(in, "over_A") ? (double)over / (double)n : amps[(size_t)(row_number(in, "p") * (double)n)];
    return (tufa_status){.code = TUFA_OK};
}

/* What a reading shows under a fault on a heater: the middle of its spread. */
static tufa_status expected(row_inputs *in, double *value)
{
    tufa_fault_heater h = heater_of(in);
    if (row_has(in, "gas")) h = tufa_fault_heater_default(TUFA_TANK_GAS);
    tufa_finder *f = aligned_alloc(64, (tufa_fault_finder_bytes() + 63) / 64 * 64);
    if (!f) return (tufa_status){.code = TUFA_MEMORY};
    memset(f, 0, tufa_fault_finder_bytes());
    tufa_value v = {0};
    const char *fault = row_text(in, "fault");
    tufa_status st = tufa_fault_prepare(&h, f);
    if (st.code == TUFA_OK)
        st = tufa_fault_expect(f, fault[0] ? tufa_fault_find(fault) : -1, -1, tufa_fault_test_find(row_text(in, "test")), 0, &v);
    free(f);
    *value = v.mid;
    return st;
}

const row_kind fault_rows[] = {{"circuit", circuit}, {"leak_amps", leak_amps}, {"expected", expected}, {0}};
