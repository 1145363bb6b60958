/* The dissolved species and the two sets of constants. Every species is made of H+, CO3-2, SO4-2 and at most one cation,
 * so amounts follow from three logarithms and the cation totals. */
#ifndef CORE_WATER_SPECIES_H
#define CORE_WATER_SPECIES_H

#include "core/base/sources.h"
#include "tufa/water.h"

/* X(ID, charge, moles of H+, CO3-2, SO4-2 in it, ion size). OH- counts as H+ taken away. Cl- and NO3- stay as they are
 * and count only in the ionic strength; with them 24 species (25 in the 1982 set, which has NaCO3-). */
#define PLAIN_SPECIES(X) \
    X(H, 1, 1, 0, 0, H) \
    X(OH, -1, -1, 0, 0, OH) \
    X(CO3, -2, 0, 1, 0, CO3) \
    X(HCO3, -1, 1, 1, 0, CO3) \
    X(CO2, 0, 2, 1, 0, H) \
    X(SO4, -2, 0, 0, 1, CA) \
    X(HSO4, -1, 1, 0, 1, HSO4)
#define FREE_CATIONS(X) \
    X(CA, 2, 0, 0, 0, CA) \
    X(MG, 2, 0, 0, 0, MG) \
    X(NA, 1, 0, 0, 0, NA) \
    X(K, 1, 0, 0, 0, OH)
#define CA_SPECIES(X) \
    X(CAOH, 1, -1, 0, 0, CAOH) \
    X(CACO3, 0, 0, 1, 0, H) \
    X(CAHCO3, 1, 1, 1, 0, CAHCO3) \
    X(CASO4, 0, 0, 0, 1, H)
#define MG_SPECIES(X) \
    X(MGOH, 1, -1, 0, 0, MGOH) \
    X(MGCO3, 0, 0, 1, 0, H) \
    X(MGHCO3, 1, 1, 1, 0, MGHCO3) \
    X(MGSO4, 0, 0, 0, 1, H)
#define NA_SPECIES(X) \
    X(NAHCO3, 0, 1, 1, 0, H) \
    X(NACO3, -1, 0, 1, 0, CO3) \
    X(NASO4, -1, 0, 0, 1, NASO4)
#define K_SPECIES(X) X(KSO4, -1, 0, 0, 1, CO3)
#define ALL_SPECIES(X) \
    PLAIN_SPECIES(X) FREE_CATIONS(X) CA_SPECIES(X) MG_SPECIES(X) NA_SPECIES(X) K_SPECIES(X)

enum species {
#define X(id, ...) SP_##id,
    ALL_SPECIES(X)
#undef X
    SPECIES_COUNT
};

enum ion_size {
    SIZE_H, SIZE_OH, SIZE_CA, SIZE_MG, SIZE_NA, SIZE_CO3, SIZE_CAOH, SIZE_CAHCO3, SIZE_MGOH, SIZE_MGHCO3, SIZE_NASO4, SIZE_HSO4,
    SIZE_COUNT
};

enum phase { PH_CALCITE, PH_ARAGONITE, PH_CO2_GAS, PH_GYPSUM, PH_ANHYDRITE, PH_BRUCITE, PH_SILICA, PH_SILICIC_ACID, PHASE_COUNT };

/* log10 K = a0 + a1 T + a2/T + a3 log10 T + a4/T2 + a5 T2, T in K. */
enum { FIT_TERMS = 6 };
typedef struct dissolved_row {
    source_id source;
    double a[FIT_TERMS], b;
    int davies, of_hco3, absent;
} dissolved_row;
typedef struct phase_row {
    source_id source;
    double a[FIT_TERMS];
} phase_row;
typedef struct size_row {
    source_id source;
    double angstrom;
} size_row;
typedef struct constants_set {
    dissolved_row dissolved[SPECIES_COUNT];
    phase_row phase[PHASE_COUNT];
    size_row size[SIZE_COUNT];
} constants_set;

extern const constants_set *const water_sets[TUFA_CONSTANTS_COUNT];
extern const signed char species_charge[SPECIES_COUNT];

/* One fit at one temperature, and A (for log10) and B of the activity formula. */
double water_log10_k(const double a[FIT_TERMS], double T_K);
void water_debye_hueckel(double T_K, double *A, double *B);

#endif
