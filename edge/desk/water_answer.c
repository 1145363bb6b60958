#include "edge/desk/water_answer.h"

#include <stdlib.h>
#include <stdbool.h>

#include "core/base/status.h"

/* Few hundred draws place the 10 and 90 % points within a few percent of the range. */
enum { DRAWS = 200 };
static const uint64_t KEY = 0x7461706DULL, STREAM = 0x77617465ULL;

static const tufa_water_field MAIN_IONS[] = {TUFA_WATER_ALKALINITY, TUFA_WATER_CA, TUFA_WATER_MG,
                                             TUFA_WATER_NA, TUFA_WATER_CL, TUFA_WATER_SO4};

static tufa_status ranges(const water_answer *a, tufa_constants set, const double *T_K, tufa_arena *scratch, double *ccpp)
{
    return tufa_water_ccpp_draws(&a->known, set, KEY, STREAM, DRAWS, a->temps, T_K, scratch, ccpp);
}

static double *column(const double *ccpp, size_t temps, size_t t, double *v)
{
    for (size_t i = 0; i < DRAWS; i++) v[i] = ccpp[i * temps + t];
    return v;
}

static tufa_status look(water_answer *a, const double *T_K, tufa_arena *scratch, double *ours, double *theirs)
{
    tufa_constants other = a->set == TUFA_CONSTANTS_2025 ? TUFA_CONSTANTS_1982 : TUFA_CONSTANTS_2025;
    double v[DRAWS];
    RETURN_IF(ranges(a, a->set, T_K, scratch, ours));
    RETURN_IF(ranges(a, other, T_K, scratch, theirs));
    for (size_t t = 0; t < a->temps; t++) {
        tufa_value *c = &a->at[t].ccpp_mg_L;
        *c = (tufa_value){.basis = TUFA_BASIS_RANGE};
        c->mid = tufa_quantile(DRAWS, column(ours, a->temps, t, v), 0.5);
        c->lo = tufa_quantile(DRAWS, v, 0.1);
        c->hi = tufa_quantile(DRAWS, v, 0.9);
        a->at[t].model_mg_L = tufa_quantile(DRAWS, column(theirs, a->temps, t, v), 0.5) - c->mid;
    }
    bool all_told = !(a->filled.assumed & ~(1u << TUFA_WATER_T_K | 1u << TUFA_WATER_SILICA));
    a->look = (tufa_water_outlook){.ask = TUFA_WATER_FIELD_COUNT, .ccpp_mg_L = a->at[0].ccpp_mg_L};
    return all_told && a->known.field[TUFA_WATER_CA].hi < 1.15 * a->known.field[TUFA_WATER_CA].mid
               ? OK
               : tufa_water_look(&a->known, a->set, T_K[0], KEY, STREAM, DRAWS, scratch, &a->look);
}

tufa_status desk_water_heated(const tufa_water_known *told, tufa_constants set, size_t temps, const double *T_K, water_answer *out,
                       size_t *at)
{
    water_answer a = {.set = set, .known = *told, .temps = temps};
    *at = temps;
    RETURN_IF(in_range("temps", (double)temps, 1.0, WATER_MOST_TEMPS));
    tufa_water_add_lab_error(&a.known);
    RETURN_IF(tufa_water_fill(&a.known, &a.filled));
    for (size_t t = 0; t < temps; t++) {
        *at = t;
        RETURN_IF(tufa_water_heat(&a.filled.middle, set, T_K[t], &a.at[t].state));
    }
    *at = temps;
    a.charge_error_pct = tufa_water_charge_error_pct(&a.filled.middle);
    a.charge_told = 1;
    for (size_t i = 0; i < sizeof MAIN_IONS / sizeof MAIN_IONS[0]; i++)
        a.charge_told &= a.known.field[MAIN_IONS[i]].basis != TUFA_BASIS_NONE;
    size_t bytes = tufa_water_scratch_bytes(DRAWS);
    tufa_arena scratch = {.base = malloc(bytes), .size = bytes};
    double *ccpp = malloc(2 * DRAWS * temps * sizeof *ccpp);
    tufa_status st = trouble(TUFA_MEMORY, "water", NULL);
    if (scratch.base && ccpp) st = look(&a, T_K, &scratch, ccpp, ccpp + DRAWS * temps);
    free(scratch.base);
    free(ccpp);
    if (st.code == TUFA_OK) *out = a;
    return st;
}
