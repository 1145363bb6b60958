#include "tests/published/published.h"

#include <stdlib.h>
#include <string.h>

#define OK ((tufa_status){.code = TUFA_OK})

/* About the course of a hard municipal water: 65 and 75 mg/L at 50 and 60 deg C. */
static const double T_K[6] = {303.15, 318.15, 323.15, 333.15, 348.15, 363.15}, MG_L[6] = {47, 60, 65, 75, 92, 111};

static double of_band(tufa_band b, const char *q) { return !strcmp(q, "p10") ? b.p10 : !strcmp(q, "p90") ? b.p90 : b.p50; }

static tufa_value exact(double x) { return (tufa_value){x, x, x, TUFA_BASIS_GIVEN}; }

static double pick(const tufa_ahead *a, const char *want, unsigned month, unsigned draw, const char *q)
{
    if (!strcmp(want, "kg")) return of_band(a->kg[month], q);
    if (!strcmp(want, "depth_m")) return of_band(a->depth_m[month], q);
    if (!strcmp(want, "energy_kWh")) return of_band(a->energy_J_year, q) / 3.6e6;
    if (!strcmp(want, "draw_kg")) return a->draw_kg[draw];
    if (!strcmp(want, "trouble_years")) return a->draw_trouble_years[draw];
    if (!strcmp(want, "p_horizon")) return a->element_reached.p_horizon;
    return -1.0;
}

static tufa_status ahead(row_inputs *in, double *value)
{
    tufa_ahead_in q = tufa_ahead_defaults(row_number_or(in, "gas", 0.0) > 0.0 ? TUFA_GAS : TUFA_ELECTRIC);
    tufa_finding weighed = {.kind = TUFA_FOUND_WEIGHED, .day = 19000, .value = row_number_or(in, "weighed_kg", 0.0), .left_kg = exact(0.5)};
    q.ccpp = (tufa_ccpp){1, 6, T_K, MG_L};
    q.today_day = 20000;
    q.key = (uint64_t)row_number_or(in, "key", 1.0);
    q.draws = (unsigned)row_number_or(in, "draws", 200.0);
    q.heater.field[TUFA_HEATER_AGE] = exact(row_number(in, "age"));
    q.found = &weighed;
    q.findings = weighed.value > 0.0;
    size_t bytes = tufa_ahead_bytes(q.months, q.draws, q.findings);
    tufa_arena arena = {.base = malloc(bytes), .size = bytes};
    tufa_ahead a;
    tufa_status st = tufa_ahead_look(&q, &arena, &a);
    unsigned month = (unsigned)row_number_or(in, "month", 0.0), draw = (unsigned)row_number_or(in, "draw", 0.0);
    if (st.code == TUFA_OK) *value = pick(&a, row_text(in, "want"), month, draw, row_text(in, "q"));
    free(arena.base);
    return st;
}

static tufa_status inlet(row_inputs *in, double *value)
{
    *value = tufa_inlet_K(row_number(in, "mean_C") + 273.15, row_number(in, "swing_K"), (int)row_number(in, "month")) - 273.15;
    return OK;
}

const row_kind ahead_rows[] = {{"ahead", ahead}, {"inlet_C", inlet}, {0}};
