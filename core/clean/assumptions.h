/* Ids of the assumptions, and the table. */
#ifndef CORE_CLEAN_ASSUMPTIONS_H
#define CORE_CLEAN_ASSUMPTIONS_H

#include "tufa/clean.h"

typedef enum assumption_id {
#define X(id, source, unit, mid, lo, hi, what) A_##id,
#include "core/clean/assumptions.def"
#undef X
    ASSUMPTIONS
} assumption_id;

tufa_value assumption(assumption_id id);

#endif
