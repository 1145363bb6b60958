/* One water at one temperature with everything laid open: amounts of all species from the three logarithms and the ionic
 * strength. Slow and plain; for full answers, for the fallback, and as a second way to the sums of lanes.c. */
#ifndef CORE_WATER_PLAIN_H
#define CORE_WATER_PLAIN_H

#include "core/water/lanes.h"

typedef struct medium {
    double T_K, A, B; /* A for log10 */
    double ln_k[SPECIES_COUNT], size[SIZE_COUNT], linear[SPECIES_COUNT];
    double ln_ksp; /* of the solid that is asked for */
} medium;

typedef struct amounts {
    double m[SPECIES_COUNT], ln_gamma[SPECIES_COUNT];
    double n[3]; /* H+, CO3-2, SO4-2 in all species */
    double I, ca_total;
} amounts;

double water_ln_activity_of_water(const tufa_analysis *a);
void water_medium(const constants_set *set, enum phase solid, double T_K, double ln_a_water, medium *out);
double water_ln_gamma(const medium *w, enum species s, double I);
/* `with_solid`: free calcium is held by the solid; otherwise by the total. */
void water_amounts(const medium *w, const tufa_analysis *a, const double x[3], double I, int with_solid, amounts *out);

/* The same problem as lanes.c by nested bracketing: slow and sure. CONFLICT where pH and alkalinity exclude each other. */
TUFA_MUST_CHECK tufa_status water_bracketed(const tufa_analysis *a, const constants_set *set, enum phase solid, double T_K,
                                            lane_answer *out);

#endif
