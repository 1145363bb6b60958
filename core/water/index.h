/* Figures that follow from an analysis or from a speciated water without solving anything more. */
#ifndef CORE_WATER_INDEX_H
#define CORE_WATER_INDEX_H

#include "core/water/plain.h"

typedef struct water_field_row {
    source_id source;
    const char *name;
    double g_mol, charge, limit;
} water_field_row;
extern const water_field_row water_fields[TUFA_WATER_FIELD_COUNT];

/* Where a field of the analysis lives; hardness lives nowhere and answers NULL. */
double *water_place(tufa_analysis *a, tufa_water_field f);
double water_get(const tufa_analysis *a, tufa_water_field f);

/* Conductivity at 25 deg C in uS/cm of a water speciated there (Appelo 2010: limiting conductivity of each charged species
 * from its diffusion coefficient, times amount, times activity coefficient to the power 0.6 / sqrt|z|). */
double water_conductivity(const amounts *at_25, const tufa_analysis *a, const medium *w);

#endif
