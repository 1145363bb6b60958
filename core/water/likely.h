/* Published analyses as a stock of likely waters: what a sheet does not say is taken from those most like it. */
#ifndef CORE_WATER_LIKELY_H
#define CORE_WATER_LIKELY_H

#include "core/water/index.h"

enum { MOST_DONORS = 64 };

typedef struct donor {
    tufa_analysis a; /* T_K and ph are those of the row */
    unsigned has;    /* bit f: field f was reported */
} donor;

size_t water_donors(donor out[MOST_DONORS]);

#endif
