/* What a tank with given faults does in the tests that draw or heat it. */
#ifndef CORE_FAULT_HEAT_H
#define CORE_FAULT_HEAT_H

#include "core/fault/tables.h"

typedef struct fault_heat {
    double litres;      /* satisfied, heat off, until the outlet falls under 40.6 C */
    double drop_K;      /* of the outlet over the first 38 L of that draw */
    double recover_min; /* all cold until no working thermostat wants heat; 0: never */
    double heated_L;    /* energy taken over rise and the heat of a litre; 0: never */
} fault_heat;

/* One or two effects at once (NULL: none). */
TUFA_MUST_CHECK tufa_status fault_heat_of(const tufa_fault_heater *heater, const fault_effect *a, const fault_effect *b,
                                          fault_heat *h);

#endif
