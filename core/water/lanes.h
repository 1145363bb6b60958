/* Several waters solved side by side, one to a lane. The same code with one lane is the solver for a single water. */
#ifndef CORE_WATER_LANES_H
#define CORE_WATER_LANES_H

#include "core/water/species.h"

/* Activity of water = 1 - 0.017 times the sum of molalities, as in PHREEQC; an absent sulfate is this much. */
static const double WATER_FACTOR = 0.017, LEAST_AMOUNT = 1e-14;

enum { LANES = 8 };
enum cation { CA, MG, NA, K, CATION_COUNT };

typedef struct lanes {
    /* medium and constants at the present temperature */
    double A[LANES]; /* ln 10 times the Debye-Hueckel A */
    double size[SIZE_COUNT][LANES], linear[SPECIES_COUNT][LANES], ln_k[SPECIES_COUNT][LANES], ln_ksp[LANES];
    /* what is in the water */
    double total[CATION_COUNT][LANES], inert[LANES], so4[LANES], alk[LANES], ln_a_water[LANES];
    double h_total[LANES], c_total[LANES]; /* kept on heating: 2 DIC - alkalinity, and DIC */
    /* unknowns: ln of the activities of H+, CO3-2, SO4-2; ionic strength */
    double x[3][LANES], I[LANES];
    double active[LANES];
    /* answers */
    double free_ca[LANES], ln_gamma_ca[LANES], ca_total[LANES], unsettled[LANES];
} lanes;

/* One temperature's answer for one water. */
typedef struct lane_answer {
    double ph, ln_a_ca, ln_a_co3, ln_a_so4, ionic_strength, dic_mol_kgw;
    double si_calcite, ccpp_mol_kgw, ph_after, ca_after_mol_kgw;
} lane_answer;

/* `n` waters (at most LANES), each at `temps` temperatures: T_K[t * LANES + lane], out[t * LANES + lane]. `solid` is
 * PH_CALCITE or PH_ARAGONITE. settled[lane] is 0 where the iteration did not reach `tol` (log step): use the fallback. */
void water_run_lanes(const tufa_analysis *a, size_t n, const constants_set *set, enum phase solid, size_t temps,
                     const double *T_K, double tol, lane_answer *out, int settled[LANES]);
/* The same for a single water; T_K[t * LANES], out[t * LANES]. */
void water_run_one(const tufa_analysis *a, const constants_set *set, enum phase solid, size_t temps, const double *T_K,
                   double tol, lane_answer *out, int settled[1]);

#endif
