#include "tests/published/published.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/water/species.h"

#define OK ((tufa_status){.code = TUFA_OK})

static double K(double t_C) { return t_C + 273.15; }

static tufa_constants set_of(row_inputs *in) { return strcmp(row_text(in, "set"), "1982") == 0 ? TUFA_CONSTANTS_1982 : TUFA_CONSTANTS_2025; }

/* Amounts in mmol/kgw, or in mg/L where the row says mg. */
static double amount(row_inputs *in, const char *name, double g_mol)
{
    double x = row_number_or(in, name, 0.0);
    return strcmp(row_text(in, "in"), "mg") == 0 ? x * 1e-3 / g_mol : x * 1e-3;
}

static double dic_less(double alk, void *ctx)
{
    tufa_analysis *a = ((void **)ctx)[0];
    const double *dic = ((void **)ctx)[1];
    const tufa_constants *set = ((void **)ctx)[2];
    tufa_water_state s;
    a->alkalinity_eq_kgw = alk;
    return tufa_water_heat(a, *set, a->T_K, &s).code == TUFA_OK ? s.dic_mol_kgw - *dic : -*dic;
}

/* The row's water. Alkalinity may be given in meq (alk), mg/L as CaCO3 (alk, in=mg), or inorganic carbon instead (dic). */
static tufa_status water(row_inputs *in, tufa_analysis *a)
{
    *a = (tufa_analysis){.T_K = K(row_number(in, "T0_C")), .ph = row_number(in, "ph")};
    a->ca_mol_kgw = amount(in, "ca", 40.078);
    a->mg_mol_kgw = amount(in, "mg", 24.305);
    a->na_mol_kgw = amount(in, "na", 22.98977);
    a->k_mol_kgw = amount(in, "k", 39.0983);
    a->cl_mol_kgw = amount(in, "cl", 35.453);
    a->so4_mol_kgw = amount(in, "so4", 96.06);
    a->no3_mol_kgw = amount(in, "no3", 62.0049);
    a->alkalinity_eq_kgw = amount(in, "alk", 50.0435);
    if (!row_has(in, "dic")) return OK;
    double dic = 1e-3 * row_number(in, "dic");
    tufa_constants set = set_of(in);
    void *ctx[] = {a, &dic, &set};
    return tufa_root(dic_less, ctx, 0.2 * dic, 2.0 * dic, 1e-12, 200, &a->alkalinity_eq_kgw);
}

static tufa_status heated(row_inputs *in, tufa_water_state *s)
{
    tufa_analysis a;
    tufa_status st = water(in, &a);
    if (st.code != TUFA_OK) return st;
    return tufa_water_heat(&a, set_of(in), K(row_number(in, "T_C")), s);
}

#define STATE_ROW(name, expression)                                                                          \
    static tufa_status name(row_inputs *in, double *value)                                                   \
    {                                                                                                        \
        tufa_water_state s = {0};                                                                            \
        tufa_status st = heated(in, &s);                                                                     \
        *value = (expression);                                                                               \
        return st;                                                                                           \
    }
STATE_ROW(ph_heated, s.ph)
STATE_ROW(si_calcite, s.si_calcite)
STATE_ROW(si_aragonite, s.si_aragonite)
STATE_ROW(ccpp, 1e3 * s.ccpp_mol_kgw)
STATE_ROW(ccpp_mg_L, s.ccpp_mg_L)
STATE_ROW(ccpp_aragonite, 1e3 * s.ccpp_aragonite_mol_kgw)
STATE_ROW(ph_balanced, s.ph_after)
STATE_ROW(strength, 1e3 * s.ionic_strength_mol_kgw)
STATE_ROW(dic, 1e3 * s.dic_mol_kgw)
STATE_ROW(pco2, s.pco2_atm)
STATE_ROW(conductivity, s.ec25_uS_cm)

/* Our conductivity less the measured one, in percent of it. */
static tufa_status conductivity_error(row_inputs *in, double *value)
{
    double measured = row_number(in, "measured_uS_cm");
    tufa_status st = conductivity(in, value);
    *value = 100.0 * (*value / measured - 1.0);
    return st;
}

static tufa_status langelier(row_inputs *in, double *value)
{
    double caco3 = 1.0 / 100086.9;
    *value = tufa_water_langelier(row_number(in, "ph"), K(row_number(in, "T_C")), row_number(in, "tds_mg_L"),
                                  caco3 * row_number(in, "ca_mg_L_caco3"), 2.0 * caco3 * row_number(in, "alk_mg_L_caco3"));
    return OK;
}

static tufa_status soak(row_inputs *in, tufa_soak *s)
{
    const char *mode = row_text(in, "mode");
    tufa_soak_in x = {.acid = strcmp(row_text(in, "acid"), "citric") == 0 ? TUFA_ACID_CITRIC : TUFA_ACID_ACETIC,
                      .acid_percent = row_number(in, "percent"), .T_K = K(row_number(in, "T_C")),
                      .closed = strcmp(mode, "closed") == 0, .co2_atm = row_number_or(in, "co2_atm", 1.0),
                      .citrate_solid = strcmp(row_text(in, "solid"), "yes") == 0};
    return tufa_water_soak(&x, s);
}

static tufa_status soak_lime(row_inputs *in, double *value)
{
    tufa_soak s = {0};
    tufa_status st = soak(in, &s);
    *value = s.caco3_g_kgw;
    return st;
}

static tufa_status soak_ph(row_inputs *in, double *value)
{
    tufa_soak s = {0};
    tufa_status st = soak(in, &s);
    *value = s.ph;
    return st;
}

/* Lime that plain water dissolves under carbon dioxide, mmol/kgw. The soak uses the 2025 set. */
static tufa_status solubility_at(double t_C, double co2_atm, double *mmol)
{
    tufa_soak_in x = {.acid = TUFA_ACID_ACETIC, .acid_percent = 0.0, .T_K = K(t_C), .co2_atm = co2_atm};
    tufa_soak s = {0};
    tufa_status st = tufa_water_soak(&x, &s);
    *mmol = 1e3 * s.ca_mol_kgw;
    return st;
}

static tufa_status solubility(row_inputs *in, double *value)
{
    return solubility_at(row_number(in, "T_C"), row_number(in, "co2_atm"), value);
}

/* Mean relative error against measured points, given as two lists of numbers parted by spaces. */
static tufa_status solubility_error(row_inputs *in, double *value)
{
    char *t = (char *)(size_t)row_text(in, "T_C"), *ca = (char *)(size_t)row_text(in, "ca");
    double sum = 0.0, co2 = row_number(in, "co2_atm");
    int n = 0;
    for (;; n++) {
        char *t_end, *ca_end;
        double at = strtod(t, &t_end), measured = strtod(ca, &ca_end), ours;
        if (t_end == t || ca_end == ca) break;
        tufa_status st = solubility_at(at, co2, &ours);
        if (st.code != TUFA_OK) return st;
        sum += ours / measured - 1.0;
        t = t_end;
        ca = ca_end;
    }
    *value = n ? 100.0 * sum / n : NAN;
    return OK;
}

static tufa_status log_k(row_inputs *in, double *value)
{
    static const char *const NAMES[SPECIES_COUNT] = {
#define X(id, ...) [SP_##id] = #id,
        ALL_SPECIES(X)
#undef X
    };
    static const char *const PHASES[PHASE_COUNT] = {"CALCITE", "ARAGONITE", "CO2_GAS", "GYPSUM", "ANHYDRITE", "BRUCITE", "SILICA"};
    const constants_set *set = water_sets[set_of(in)];
    const char *name = row_text(in, "of");
    double T_K = K(row_number(in, "T_C"));
    for (int s = 0; s < SPECIES_COUNT; s++)
        if (strcmp(name, NAMES[s]) == 0) {
            *value = water_log10_k(set->dissolved[s].a, T_K);
            return OK;
        }
    for (int p = 0; p < PHASE_COUNT; p++)
        if (PHASES[p] && strcmp(name, PHASES[p]) == 0) {
            *value = water_log10_k(set->phase[p].a, T_K);
            return OK;
        }
    return (tufa_status){.code = TUFA_UNKNOWN, .field = "of"};
}

static tufa_status debye_hueckel(row_inputs *in, double *value)
{
    double A, B;
    water_debye_hueckel(K(row_number(in, "T_C")), &A, &B);
    *value = strcmp(row_text(in, "of"), "A") == 0 ? A : B;
    return OK;
}

const row_kind water_rows[] = {{"ph_heated", ph_heated},
                               {"si_calcite", si_calcite},
                               {"si_aragonite", si_aragonite},
                               {"ccpp", ccpp},
                               {"ccpp_mg_L", ccpp_mg_L},
                               {"ccpp_aragonite", ccpp_aragonite},
                               {"ph_balanced", ph_balanced},
                               {"ionic_strength", strength},
                               {"dic", dic},
                               {"pco2", pco2},
                               {"conductivity_error", conductivity_error},
                               {"langelier", langelier},
                               {"soak_lime", soak_lime},
                               {"soak_ph", soak_ph},
                               {"calcite_solubility", solubility},
                               {"calcite_solubility_error", solubility_error},
                               {"log_k", log_k},
                               {"debye_hueckel", debye_hueckel},
                               {0}};
