/* Numbers of the stage that are not settled by an input, with their sources. */
#ifndef CORE_DEPOSIT_CONSTANTS_H
#define CORE_DEPOSIT_CONSTANTS_H

#include "core/base/sources.h"

/* X(ID, SOURCE, middle, low, high, what): low to high is the 10 to 90 % range, or equal to the middle. */
#define DEPOSIT_CONSTANTS(X)                                                                                          \
    X(ACTIVATION_J_MOL, SRC_WIECHERS_1975, 43e3, 39e3, 48e3, "activation energy of calcite growth")                   \
    X(ORDER, SRC_JUDGEMENT, 1.5, 1.1, 1.9, "order of the rate in the excess, somewhere between 1 and 2")               \
    X(X_REF, SRC_JUDGEMENT, 0.2, 0.05, 0.6, "share come out after 15 h at 75 mg/L and 60 deg C")                      \
    X(EPS_ELECTRIC, SRC_CONTRACT_EPS, 0.12, 0.0593, 0.2428, "share kept at the reference state, electric")           \
    X(EPS_GAS, SRC_CONTRACT_EPS, 0.07, 0.0346, 0.1417, "share kept at the reference state, gas")                     \
    X(EPS_LOG_SD, SRC_CONTRACT_EPS, 0.55, 0.55, 0.55, "spread of the natural log of that share between tanks")        \
    X(ELEMENT_SHARE, SRC_JUDGEMENT, 0.2, 0.05, 0.4, "share of what is kept that grows on the element")                \
    X(SHED_M, SRC_JUDGEMENT, 1e-3, 0.5e-3, 2e-3, "thickness at which scale comes off an element")                     \
    X(SCALE_W_MK, SRC_SCALE_CONDUCTIVITY, 1.7, 0.8, 2.9, "conductivity of the layer on an element")                   \
    X(SCALE_POROSITY, SRC_JUDGEMENT, 0.2, 0.1, 0.3, "pores of the layer on an element")                               \
    X(GRAIN_KG_M3, SRC_CALCITE_DENSITY, 2710.0, 2710.0, 2710.0, "density of calcite")                                 \
    X(SAND_KG_M3, SRC_PRACTICE, 2650.0, 2650.0, 2650.0, "density of quartz sand")                                     \
    X(RUST_KG_M3, SRC_PRACTICE, 3600.0, 3600.0, 3600.0, "density of hydrated iron oxide")                             \
    X(GRAIN_POROSITY, SRC_JUDGEMENT, 0.3, 0.1, 0.5, "pores inside the grains of a bed")                               \
    X(VOIDAGE, SRC_JUDGEMENT, 0.5, 0.4, 0.75, "room between the grains of a bed")                                     \
    X(MINERAL_W_MK, SRC_SCALE_CONDUCTIVITY, 2.9, 2.3, 3.5, "conductivity of the mineral, between aragonite and calcite") \
    X(BED_WATER_W_MK, SRC_SCALE_CONDUCTIVITY, 0.64, 0.64, 0.64, "conductivity of water in a hot bed")                 \
    X(REPOSE_RAD, SRC_JUDGEMENT, 0.5236, 0.4363, 0.6109, "slope at which flakes lie, 30 degrees")                     \
    X(LEFT_SHARE, SRC_JUDGEMENT, 0.5, 0.2, 0.85, "what a cleaning leaves of which nothing is known")                  \
    X(PEOPLE, SRC_JUDGEMENT, 2.6, 1.0, 5.0, "people in a house of which nobody said")                                 \
    X(LITRES_DAY, SRC_HOT_WATER_USE, 45.0, 45.0, 45.0, "hot water of a house without people in the line by people")   \
    X(LITRES_DAY_PERSON, SRC_HOT_WATER_USE, 48.0, 48.0, 48.0, "hot water that each person adds")

typedef struct deposit_constant {
    int source;
    double mid, lo, hi;
    const char *what;
} deposit_constant;

enum {
#define X(id, src, mid, lo, hi, what) D_##id,
    DEPOSIT_CONSTANTS(X)
#undef X
    D_COUNT
};

extern const deposit_constant deposit_constants[D_COUNT];

#define D(id) (deposit_constants[D_##id].mid)

#endif
