#include "core/water/species.h"

#include <math.h>

#include "core/water/constants_1982.def"
#include "core/water/constants_2025.def"
#include "core/water/media.h"

/* van 't Hoff: log10 K at 25 deg C and the heat of reaction in kJ/mol, as a0 and a2 of the fit. */
#define LN10 2.302585092994046
#define GAS_J_MOL_K 8.314462618 /* CODATA 2018, exact */
#define VANT_HOFF(log_k25, dh_kj) \
    {(log_k25) + 1000.0 * (dh_kj) / (LN10 * GAS_J_MOL_K * 298.15), 0.0, -1000.0 * (dh_kj) / (LN10 * GAS_J_MOL_K)}

#define DISSOLVED(id, src, ...) [SP_##id] = {.source = src, __VA_ARGS__},
#define PHASE(id, src, ...) [PH_##id] = {.source = src, __VA_ARGS__},
#define SIZE(id, src, ...) [SIZE_##id] = {.source = src, __VA_ARGS__},
static const constants_set SET_2025 = {{DISSOLVED_2025(DISSOLVED)}, {PHASES_2025(PHASE)}, {SIZES_2025(SIZE)}};
static const constants_set SET_1982 = {{DISSOLVED_1982(DISSOLVED)}, {PHASES_1982(PHASE)}, {SIZES_1982(SIZE)}};

const constants_set *const water_sets[TUFA_CONSTANTS_COUNT] = {
    [TUFA_CONSTANTS_2025] = &SET_2025, [TUFA_CONSTANTS_1982] = &SET_1982};

const signed char species_charge[SPECIES_COUNT] = {
#define X(id, charge, ...) [SP_##id] = charge,
    ALL_SPECIES(X)
#undef X
};

double water_log10_k(const double a[FIT_TERMS], double T_K)
{
    return a[0] + a[1] * T_K + a[2] / T_K + a[3] * log10(T_K) + a[4] / (T_K * T_K) + a[5] * T_K * T_K;
}

void water_debye_hueckel(double T_K, double *A, double *B) { media_at(T_K, A, B); }
