#include "core/water/index.h"

#include <math.h>
#include <stddef.h>

#include "core/base/status.h"
#include "core/base/units.h"
#include "core/water/index.def"

const water_field_row water_fields[TUFA_WATER_FIELD_COUNT] = {
#define X(id, src, ...) [TUFA_WATER_##id] = {.source = src, __VA_ARGS__},
    WATER_FIELDS(X)
#undef X
};

static const double DIFFUSION_1E9[SPECIES_COUNT] = {
#define X(id, src, d) [SP_##id] = d,
    DIFFUSION(X)
#undef X
};
static const double CL_DIFFUSION_1E9 = 2.03, NO3_DIFFUSION_1E9 = 1.9; /* same file */

/* Place of a field in the analysis; hardness has none. */
static const size_t PLACE[TUFA_WATER_FIELD_COUNT] = {
    [TUFA_WATER_T_K] = offsetof(tufa_analysis, T_K),        [TUFA_WATER_PH] = offsetof(tufa_analysis, ph),
    [TUFA_WATER_ALKALINITY] = offsetof(tufa_analysis, alkalinity_eq_kgw),
    [TUFA_WATER_CA] = offsetof(tufa_analysis, ca_mol_kgw),  [TUFA_WATER_MG] = offsetof(tufa_analysis, mg_mol_kgw),
    [TUFA_WATER_NA] = offsetof(tufa_analysis, na_mol_kgw),  [TUFA_WATER_K] = offsetof(tufa_analysis, k_mol_kgw),
    [TUFA_WATER_CL] = offsetof(tufa_analysis, cl_mol_kgw),  [TUFA_WATER_SO4] = offsetof(tufa_analysis, so4_mol_kgw),
    [TUFA_WATER_NO3] = offsetof(tufa_analysis, no3_mol_kgw), [TUFA_WATER_SILICA] = offsetof(tufa_analysis, silica_mol_kgw)};

double *water_place(tufa_analysis *a, tufa_water_field f)
{
    if (f == TUFA_WATER_HARDNESS) return NULL;
    return (double *)(void *)((unsigned char *)a + PLACE[f]);
}

double water_get(const tufa_analysis *a, tufa_water_field f)
{
    if (f == TUFA_WATER_HARDNESS) return a->ca_mol_kgw + a->mg_mol_kgw;
    return *(const double *)(const void *)((const unsigned char *)a + PLACE[f]);
}

double tufa_water_molar_mass(tufa_water_field f)
{
    return (unsigned)f < TUFA_WATER_FIELD_COUNT ? water_fields[f].g_mol : 0.0;
}

double tufa_water_charge_error_pct(const tufa_analysis *a)
{
    double plus = 0.0, minus = 0.0;
    for (int f = 0; f < TUFA_WATER_FIELD_COUNT; f++) {
        double q = water_fields[f].charge * (water_fields[f].charge != 0.0 ? water_get(a, (tufa_water_field)f) : 0.0);
        if (q > 0.0) plus += q;
        else minus -= q;
    }
    return plus + minus > 0.0 ? 100.0 * (plus - minus) / (plus + minus) : 0.0;
}

double tufa_water_sum_of_ions_mg_L(const tufa_analysis *a)
{
    double sum = 0.0;
    for (int f = 0; f < TUFA_WATER_FIELD_COUNT; f++)
        if (water_fields[f].charge != 0.0) sum += 1000.0 * water_fields[f].g_mol * water_get(a, (tufa_water_field)f);
    return sum;
}

tufa_status tufa_water_check(const tufa_analysis *a)
{
    static const double LEAST = 1e-6; /* mol/kgw; a tap water holds more, and less could not be told from an omission */
    RETURN_IF(in_range("T_K", a->T_K, TUFA_WATER_EXTRAPOLATED_LO_K, TUFA_WATER_EXTRAPOLATED_HI_K));
    RETURN_IF(in_range("ph", a->ph, 4.0, 11.5));
    RETURN_IF(in_range("alkalinity_eq_kgw", a->alkalinity_eq_kgw, LEAST, water_fields[TUFA_WATER_ALKALINITY].limit));
    if (a->ca_mol_kgw == 0.0) return trouble(TUFA_MISSING, "ca_mol_kgw", "there is no calcium, so nothing can be said about scale");
    RETURN_IF(in_range("ca_mol_kgw", a->ca_mol_kgw, 0.01 * LEAST, water_fields[TUFA_WATER_CA].limit));
    for (int f = TUFA_WATER_MG; f < TUFA_WATER_FIELD_COUNT; f++)
        RETURN_IF(in_range(water_fields[f].name, water_get(a, (tufa_water_field)f), 0.0, water_fields[f].limit));
    RETURN_IF(in_range("tds_mg_L", a->tds_mg_L, 0.0, 1e5));
    RETURN_IF(in_range("sand_mg_L", a->sand_mg_L, 0.0, 1e5));
    RETURN_IF(in_range("rust_mg_L", a->rust_mg_L, 0.0, 1e5));
    if (a->ph > 8.5) { /* below that hydroxide is less than any alkalinity that is taken */
        double oh = exp(2.302585092994046 * (water_log10_k(water_sets[TUFA_CONSTANTS_2025]->dissolved[SP_OH].a, a->T_K) + a->ph));
        if (oh > a->alkalinity_eq_kgw)
            return (tufa_status){.code = TUFA_CONFLICT, .field = "ph", .got = a->ph, .lo = 4.0, .hi = 11.5,
                                 .why = "this pH needs more alkalinity than is given"};
    }
    return OK;
}

tufa_status tufa_water_softened(const tufa_analysis *a, double passed, tufa_analysis *out)
{
    RETURN_IF(in_range("passed", passed, 0.0, 1.0));
    tufa_analysis w = *a;
    double least = 1e-7; /* an exchanger always lets a little calcium through; keeps the analysis solvable */
    w.ca_mol_kgw = a->ca_mol_kgw * passed > least ? a->ca_mol_kgw * passed : least;
    w.mg_mol_kgw = a->mg_mol_kgw * passed;
    w.na_mol_kgw = a->na_mol_kgw + 2.0 * (a->ca_mol_kgw - w.ca_mol_kgw + a->mg_mol_kgw - w.mg_mol_kgw);
    *out = w;
    return OK;
}

double water_conductivity(const amounts *at_25, const tufa_analysis *a, const medium *w)
{
    static const double F2_RT = 96485.33212 * 96485.33212 / (8.314462618 * 298.15); /* CODATA 2018 */
    double sum = 0.0;
    for (int s = 0; s < SPECIES_COUNT; s++) {
        double z = fabs((double)species_charge[s]);
        if (z > 0.0) sum += DIFFUSION_1E9[s] * z * z * at_25->m[s] * exp(at_25->ln_gamma[s] * 0.6 / sqrt(z));
    }
    double chloride_like = exp(0.6 * water_ln_gamma(w, SP_K, at_25->I)); /* K+ has the activity parameters of Cl-, to within 0.1 % */
    sum += (CL_DIFFUSION_1E9 * a->cl_mol_kgw + NO3_DIFFUSION_1E9 * a->no3_mol_kgw) * chloride_like;
    return 1e-9 * F2_RT * 1000.0 * 1e4 * sum; /* mol/kgw as mol/L: 1000 mol/m3; S/m to uS/cm */
}

double tufa_water_langelier(double ph, double T_K, double tds_mg_L, double ca_mol_kgw, double alkalinity_eq_kgw)
{
    double A = (log10(tds_mg_L) - 1.0) / 10.0, B = -13.12 * log10(C_from_K(T_K) + 273.0) + 34.55;
    double C = log10(mg_caco3_from_mol(ca_mol_kgw)) - 0.4, D = log10(0.5 * mg_caco3_from_mol(alkalinity_eq_kgw));
    return ph - ((9.3 + A + B) - (C + D));
}
