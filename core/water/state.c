#include <math.h>

#include "core/base/status.h"
#include "core/water/index.h"

#define LN10 2.302585092994046
static const double MG_CACO3_MOL = 100086.9, AT_25_K = 298.15;
/* Log step at which a solution stands: for full answers, and for the hot loops, where the error left is below 5e-6 in pH,
 * indices and mmol/kgw on tap waters. */
static const double FINE = 1e-10, QUICK = 2e-4;

static tufa_status set_known(tufa_constants set)
{
    if ((unsigned)set < TUFA_CONSTANTS_COUNT) return OK;
    return trouble(TUFA_UNKNOWN, "constants", "there are two sets, 2025 and 1982");
}

static tufa_status ready(const tufa_analysis *a, tufa_constants set, double T_K)
{
    RETURN_IF(set_known(set));
    RETURN_IF(tufa_water_check(a));
    return in_range("at_K", T_K, TUFA_WATER_EXTRAPOLATED_LO_K, TUFA_WATER_EXTRAPOLATED_HI_K);
}

/* One water at one temperature; *fallback tells whether Newton steps were not enough. */
static tufa_status solve(const tufa_analysis *a, const constants_set *set, enum phase solid, double T_K, double tol,
                         lane_answer *out, int *fallback)
{
    double T[LANES] = {T_K};
    int settled[LANES];
    water_run_one(a, set, solid, 1, T, tol, out, settled);
    *fallback = !settled[0] || !(out->dic_mol_kgw > 0.0);
    return *fallback ? water_bracketed(a, set, solid, T_K, out) : OK;
}

static void lay_open(const tufa_analysis *a, const constants_set *set, double T_K, const lane_answer *s, medium *w, amounts *m)
{
    double x[3] = {-LN10 * s->ph, s->ln_a_co3, s->ln_a_so4};
    water_medium(set, PH_CALCITE, T_K, water_ln_activity_of_water(a), w);
    water_amounts(w, a, x, s->ionic_strength, 0, m);
}

/* log10 of the ion activity product over K for the solids beside calcite, and carbon dioxide pressure. */
static void other_phases(const tufa_analysis *a, const constants_set *set, const medium *w, const amounts *m,
                         const lane_answer *s, tufa_water_state *out)
{
    double log_w = water_ln_activity_of_water(a) / LN10, k[PHASE_COUNT];
    for (int p = 0; p < PHASE_COUNT; p++) k[p] = water_log10_k(set->phase[p].a, w->T_K);
    double ca = s->ln_a_ca / LN10, co3 = s->ln_a_co3 / LN10, so4 = log10(exp(m->ln_gamma[SP_SO4]) * m->m[SP_SO4]);
    out->si_aragonite = ca + co3 - k[PH_ARAGONITE];
    out->si_gypsum = ca + so4 + 2.0 * log_w - k[PH_GYPSUM];
    out->si_anhydrite = ca + so4 - k[PH_ANHYDRITE];
    double mg = a->mg_mol_kgw > LEAST_AMOUNT ? m->m[SP_MG] : LEAST_AMOUNT;
    out->si_brucite = log10(mg) + m->ln_gamma[SP_MG] / LN10 + 2.0 * s->ph + 2.0 * log_w - k[PH_BRUCITE];
    double co2 = log10(m->m[SP_CO2]) + m->ln_gamma[SP_CO2] / LN10;
    out->pco2_atm = exp(LN10 * (co2 - k[PH_CO2_GAS]));
    out->has_silica = a->silica_mol_kgw > 0.0;
    if (out->has_silica) {
        double ionized = exp(LN10 * (k[PH_SILICIC_ACID] + s->ph) - water_ln_gamma(w, SP_MGHCO3, m->I)); /* size 4 as H3SiO4- */
        out->si_silica = log10(a->silica_mol_kgw / (1.0 + ionized)) + 0.1 * m->I - 2.0 * log_w - k[PH_SILICA];
    }
}

tufa_status tufa_water_heat(const tufa_analysis *a, tufa_constants set, double T_K, tufa_water_state *out)
{
    RETURN_IF(ready(a, set, T_K));
    const constants_set *c = water_sets[set];
    lane_answer s, aragonite, at_25;
    int f1, f2, f3;
    RETURN_IF(solve(a, c, PH_CALCITE, T_K, FINE, &s, &f1));
    RETURN_IF(solve(a, c, PH_ARAGONITE, T_K, FINE, &aragonite, &f2));
    RETURN_IF(solve(a, c, PH_CALCITE, AT_25_K, FINE, &at_25, &f3));
    medium w;
    amounts m;
    lay_open(a, c, AT_25_K, &at_25, &w, &m);
    tufa_water_state o = {.T_K = T_K, .ph = s.ph, .dic_mol_kgw = s.dic_mol_kgw, .alkalinity_eq_kgw = a->alkalinity_eq_kgw,
                          .ionic_strength_mol_kgw = s.ionic_strength, .si_calcite = s.si_calcite, .ccpp_mol_kgw = s.ccpp_mol_kgw,
                          .ccpp_aragonite_mol_kgw = aragonite.ccpp_mol_kgw, .ccpp_mg_L = s.ccpp_mol_kgw * MG_CACO3_MOL,
                          .ph_after = s.ph_after, .ca_after_mol_kgw = s.ca_after_mol_kgw,
                          .ec25_uS_cm = water_conductivity(&m, a, &w), .fallback = f1 || f2 || f3};
    lay_open(a, c, T_K, &s, &w, &m);
    other_phases(a, c, &w, &m, &s, &o);
    double tds = a->tds_mg_L > 0.0 ? a->tds_mg_L : tufa_water_sum_of_ions_mg_L(a);
    o.langelier = tufa_water_langelier(s.ph, T_K, tds, a->ca_mol_kgw, a->alkalinity_eq_kgw);
    double lo = fmin(T_K, a->T_K), hi = fmax(T_K, a->T_K);
    o.extrapolated = lo < TUFA_WATER_LO_K || hi > TUFA_WATER_HI_K;
    *out = o;
    return OK;
}

tufa_status tufa_water_brief_at(const tufa_analysis *a, tufa_constants set, double T_K, tufa_water_brief *out)
{
    RETURN_IF(ready(a, set, T_K));
    lane_answer s;
    int fallback;
    RETURN_IF(solve(a, water_sets[set], PH_CALCITE, T_K, QUICK, &s, &fallback));
    *out = (tufa_water_brief){.ph = s.ph, .si_calcite = s.si_calcite, .ccpp_mol_kgw = s.ccpp_mol_kgw};
    return OK;
}

/* At most LANES waters, each at `temps` temperatures T_K[t * LANES + lane]; what did not settle goes to the fallback. */
static tufa_status solve_group(const tufa_analysis *a, size_t n, const constants_set *set, size_t temps, const double *T_K,
                               lane_answer *out, size_t *bad)
{
    int settled[LANES];
    water_run_lanes(a, n, set, PH_CALCITE, temps, T_K, QUICK, out, settled);
    for (size_t l = 0; l < n; l++) {
        if (settled[l] && out[l].dic_mol_kgw > 0.0) continue;
        for (size_t t = 0; t < temps; t++) {
            *bad = l;
            RETURN_IF(water_bracketed(&a[l], set, PH_CALCITE, T_K[t * LANES + l], &out[t * LANES + l]));
        }
    }
    return OK;
}

tufa_status tufa_water_batch(size_t n, const tufa_analysis *a, tufa_constants set, const double *T_K, tufa_water_brief *out,
                             size_t *bad)
{
    RETURN_IF(set_known(set));
    for (size_t i = 0; i < n; i++) {
        *bad = i;
        RETURN_IF(ready(&a[i], set, T_K[i]));
    }
    for (size_t i = 0; i < n; i += LANES) {
        size_t group = n - i < LANES ? n - i : LANES;
        double T[LANES];
        lane_answer s[LANES];
        for (size_t l = 0; l < LANES; l++) T[l] = T_K[i + (l < group ? l : group - 1)];
        tufa_status st = solve_group(&a[i], group, water_sets[set], 1, T, s, bad);
        if (st.code != TUFA_OK) {
            *bad += i;
            return st;
        }
        for (size_t l = 0; l < group; l++)
            out[i + l] = (tufa_water_brief){.ph = s[l].ph, .si_calcite = s[l].si_calcite, .ccpp_mol_kgw = s[l].ccpp_mol_kgw};
    }
    return OK;
}

tufa_status tufa_water_ccpp_of(size_t n, const tufa_analysis *a, tufa_constants set, size_t temps, const double *T_K,
                               double *ccpp_mg_L)
{
    RETURN_IF(set_known(set));
    RETURN_IF(in_range("temps", (double)temps, 1.0, TUFA_WATER_MOST_TEMPS));
    for (size_t t = 0; t < temps; t++) RETURN_IF(in_range("at_K", T_K[t], TUFA_WATER_EXTRAPOLATED_LO_K, TUFA_WATER_EXTRAPOLATED_HI_K));
    for (size_t i = 0; i < n; i++) RETURN_IF(tufa_water_check(&a[i]));
    double T[TUFA_WATER_MOST_TEMPS * LANES];
    lane_answer s[TUFA_WATER_MOST_TEMPS * LANES];
    for (size_t t = 0; t < temps; t++)
        for (size_t l = 0; l < LANES; l++) T[t * LANES + l] = T_K[t];
    for (size_t i = 0; i < n; i += LANES) {
        size_t group = n - i < LANES ? n - i : LANES, bad;
        RETURN_IF(solve_group(&a[i], group, water_sets[set], temps, T, s, &bad));
        for (size_t l = 0; l < group; l++)
            for (size_t t = 0; t < temps; t++) ccpp_mg_L[(i + l) * temps + t] = s[t * LANES + l].ccpp_mol_kgw * MG_CACO3_MOL;
    }
    return OK;
}
