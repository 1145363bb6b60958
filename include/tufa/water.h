/* water: from a lab sheet, or from less, to what the water does when it is heated.
 * Concentrations are moles for each kilogram of water (kgw); one litre of the sheet's water holds 1 kg.
 * CCPP, the precipitation potential, is the calcium carbonate that can come out before the water is in
 * balance with it; negative where the water would dissolve some instead. */
#ifndef TUFA_WATER_H
#define TUFA_WATER_H

#include "tufa/base.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Two whole sets of equilibrium constants, never mixed. 2025: USGS phreeqc.dat after its October 2025 revision.
 * 1982: Plummer and Busenberg 1982 as carried in USGS wateq4f.dat. */
typedef enum tufa_constants { TUFA_CONSTANTS_2025, TUFA_CONSTANTS_1982, TUFA_CONSTANTS_COUNT } tufa_constants;

/* Where the formulas hold, and how far beyond they are used with a mark. */
#define TUFA_WATER_LO_K 278.15
#define TUFA_WATER_HI_K 363.15
#define TUFA_WATER_EXTRAPOLATED_LO_K 273.15
#define TUFA_WATER_EXTRAPOLATED_HI_K 368.15

/* One analysis, every number known. pH as measured at T_K. Alkalinity as titrated to the CO2 end point.
 * An ion that is 0 is absent, calcium may not be. silica_mol_kgw is SiO2, 0 where it is not known. */
typedef struct tufa_analysis {
    double T_K, ph, alkalinity_eq_kgw;
    double ca_mol_kgw, mg_mol_kgw, na_mol_kgw, k_mol_kgw, cl_mol_kgw, so4_mol_kgw, no3_mol_kgw;
    double silica_mol_kgw;
    double tds_mg_L; /* dissolved solids for the simple index; 0: the sum of the ions is taken */
    double sand_mg_L, rust_mg_L; /* grit that comes with the water; not chemistry, handed on */
} tufa_analysis;

/* What can be known of a water, each as a value with a spread (basis NONE: nothing is known). Units as in
 * tufa_analysis; hardness is Ca + Mg in mol/kgw. */
typedef enum tufa_water_field {
    TUFA_WATER_T_K,
    TUFA_WATER_PH,
    TUFA_WATER_ALKALINITY,
    TUFA_WATER_HARDNESS,
    TUFA_WATER_CA,
    TUFA_WATER_MG,
    TUFA_WATER_NA,
    TUFA_WATER_K,
    TUFA_WATER_CL,
    TUFA_WATER_SO4,
    TUFA_WATER_NO3,
    TUFA_WATER_SILICA,
    TUFA_WATER_FIELD_COUNT
} tufa_water_field;

/* The analysis refused or accepted before anything is solved: ranges, and pH against alkalinity roughly. */
TUFA_MUST_CHECK tufa_status tufa_water_check(const tufa_analysis *a);

/* 100 (cations - anions) / (cations + anions) in equivalents, with alkalinity as an anion. */
double tufa_water_charge_error_pct(const tufa_analysis *a);

/* g/mol of what a field is counted in: the ion, HCO3- for alkalinity, CaCO3 for hardness, SiO2; 0 for T_K and pH. */
double tufa_water_molar_mass(tufa_water_field f);

/* Simple Langelier index: pH - pHs, pHs = (9.3 + A + B) - (C + D) with TDS, deg C + 273, calcium and alkalinity as CaCO3. */
double tufa_water_langelier(double ph, double T_K, double tds_mg_L, double ca_mol_kgw, double alkalinity_eq_kgw);

/* Sum of the ions in mg/L, alkalinity as bicarbonate. */
double tufa_water_sum_of_ions_mg_L(const tufa_analysis *a);

/* Ca and Mg exchanged for Na, `passed` (0 to 1) of the hardness left in. pH and alkalinity stay. */
TUFA_MUST_CHECK tufa_status tufa_water_softened(const tufa_analysis *a, double passed, tufa_analysis *out);

/* The water at one temperature, closed: inorganic carbon and alkalinity are kept, pH moves. Indices are log10 of the
 * ion product over the solubility product, above 0 where the solid can form. */
typedef struct tufa_water_state {
    double T_K;
    double ph, dic_mol_kgw, alkalinity_eq_kgw, ionic_strength_mol_kgw, pco2_atm;
    double si_calcite, si_aragonite, si_gypsum, si_anhydrite, si_brucite;
    double si_silica; /* amorphous; meaningful only when has_silica */
    double ccpp_mol_kgw, ccpp_aragonite_mol_kgw, ccpp_mg_L; /* mg/L as CaCO3, of calcite */
    double ph_after, ca_after_mol_kgw; /* when calcite has come out to balance */
    double ec25_uS_cm;   /* conductivity at 25 deg C of the water as analysed */
    double langelier;    /* simple form, with the heated pH; for comparison only */
    int has_silica;
    int extrapolated;    /* a temperature lies beyond 5 to 90 deg C */
    int fallback;        /* the bracketed solution was needed */
} tufa_water_state;

/* Heats `a` to T_K (273.15 to 368.15). Accuracy against PHREEQC with the same constants: pH and indices 0.0005,
 * CCPP 1e-6 mol/kgw. */
TUFA_MUST_CHECK tufa_status tufa_water_heat(const tufa_analysis *a, tufa_constants set, double T_K, tufa_water_state *out);

/* pH, calcite index and CCPP alone; what the hot loops need. */
typedef struct tufa_water_brief {
    double ph, si_calcite, ccpp_mol_kgw;
} tufa_water_brief;

TUFA_MUST_CHECK tufa_status tufa_water_brief_at(const tufa_analysis *a, tufa_constants set, double T_K, tufa_water_brief *out);

/* The same for n waters, each at its own T_K[i]: several waters at a time. The same figures as one at a time, and the
 * same on any processor. Stops with the status of the first water that is refused and its index in *bad. */
TUFA_MUST_CHECK tufa_status tufa_water_batch(size_t n, const tufa_analysis *a, tufa_constants set, const double *T_K,
                                             tufa_water_brief *out, size_t *bad);

/* CCPP in mg/L as CaCO3 of n waters at the same `temps` temperatures (at most TUFA_WATER_MOST_TEMPS):
 * ccpp_mg_L[water * temps + t]. The sheet's own temperature is solved once for all of them. */
#define TUFA_WATER_MOST_TEMPS 64
TUFA_MUST_CHECK tufa_status tufa_water_ccpp_of(size_t n, const tufa_analysis *a, tufa_constants set, size_t temps,
                                               const double *T_K, double *ccpp_mg_L);

/* ---- less than a lab sheet ---- */

typedef struct tufa_water_known {
    tufa_value field[TUFA_WATER_FIELD_COUNT];
    double sand_mg_L, rust_mg_L, tds_mg_L;
    int softened; /* the water comes out of an ion-exchange softener */
} tufa_water_known;

/* The input error of a figure that a laboratory gave without one: pH +-0.1, alkalinity and ions +-5 %, as one
 * standard deviation. Values that carry a spread are kept. */
void tufa_water_add_lab_error(tufa_water_known *w);

/* Everything known exactly, from an analysis. */
tufa_water_known tufa_water_known_from(const tufa_analysis *a);

/* `n` analyses that agree with what is known; what is missing is taken from published analyses of like waters. Draw i
 * is a function of (key, stream, first + i) alone. Never refused for lack of knowledge; RANGE for values that cannot be. */
TUFA_MUST_CHECK tufa_status tufa_water_draws(const tufa_water_known *w, uint64_t key, uint64_t stream, uint64_t first,
                                             size_t n, tufa_analysis *out);

/* CCPP in mg/L as CaCO3 of each draw at each temperature: ccpp_mg_L[draw * temps + t]. The same draws as above, so that
 * figures at several temperatures, or for two heaters on one water, share their randomness. About 1e6 a second. */
TUFA_MUST_CHECK tufa_status tufa_water_ccpp_draws(const tufa_water_known *w, tufa_constants set, uint64_t key,
                                                  uint64_t stream, size_t draws, size_t temps, const double *T_K,
                                                  tufa_arena *scratch, double *ccpp_mg_L);

/* The middle of what is known and filled in: one analysis to show and to compute from. */
#define TUFA_WATER_NAMED 3
typedef struct tufa_water_filled {
    tufa_analysis middle;
    unsigned assumed;          /* bit i: field i was filled from like waters */
    size_t like_waters;        /* published analyses that carry weight */
    double like_weight;        /* their effective number */
    const char *like_name[TUFA_WATER_NAMED]; /* those that weigh most, nearest first; static text, NULL past the last */
} tufa_water_filled;
TUFA_MUST_CHECK tufa_status tufa_water_fill(const tufa_water_known *w, tufa_water_filled *out);

/* CCPP at T_K with its spread, the difference of the two sets of constants, and the one figure that would narrow the
 * range most: the 10 to 90 % width now, and the mean width that is left once `ask` is known. */
typedef struct tufa_water_outlook {
    tufa_value ccpp_mg_L;
    double other_set_mg_L;     /* median of the other set minus median of this one */
    tufa_water_field ask;      /* TUFA_WATER_FIELD_COUNT: nothing worth asking */
    double width_mg_L, width_after_mg_L;
} tufa_water_outlook;
TUFA_MUST_CHECK tufa_status tufa_water_look(const tufa_water_known *w, tufa_constants set, double T_K, uint64_t key,
                                            uint64_t stream, size_t draws, tufa_arena *scratch, tufa_water_outlook *out);

/* Room that the two calls above need in `scratch`. */
size_t tufa_water_scratch_bytes(size_t draws);

/* ---- acid ---- */

typedef enum tufa_acid { TUFA_ACID_ACETIC, TUFA_ACID_CITRIC, TUFA_ACID_COUNT } tufa_acid;

/* A weak acid on more lime than it can dissolve, to equilibrium. */
typedef struct tufa_soak_in {
    tufa_acid acid;
    double acid_percent;       /* grams of acid in 100 g of solution, 0 (plain water under carbon dioxide) to 10 */
    double T_K;                /* as for heating; the acids' own constants rest on 25 deg C and are sure to about 60 */
    int closed;                /* 1: all gas is held in; 0: it leaves against co2_atm */
    double co2_atm;            /* 1 for a tank open to the air but full of its own gas */
    int citrate_solid;         /* calcium citrate may settle out */
} tufa_soak_in;

typedef struct tufa_soak {
    double ph_start, ph, caco3_mol_kgw, caco3_g_kgw, caco3_g_per_L_acid;
    double share_of_stoichiometric;
    double ca_mol_kgw, dic_mol_kgw, pco2_atm, ionic_strength_mol_kgw;
    double citrate_solid_mol_kgw, si_citrate; /* citric acid only */
} tufa_soak;
TUFA_MUST_CHECK tufa_status tufa_water_soak(const tufa_soak_in *in, tufa_soak *out);

#ifdef __cplusplus
}
#endif
#endif
