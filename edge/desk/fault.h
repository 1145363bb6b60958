/* One call answered: the finder of a heater is worked out once and kept until another heater is asked about. */
#ifndef EDGE_DESK_FAULT_H
#define EDGE_DESK_FAULT_H

#include <stdbool.h>

#include "tufa.h"

typedef struct desk_finder {
    tufa_finder *finder;
    tufa_fault_heater heater;
    bool ready;
} desk_finder;

TUFA_MUST_CHECK tufa_status desk_finder_for(desk_finder *d, const tufa_fault_heater *heater);
TUFA_MUST_CHECK tufa_status desk_fault(desk_finder *d, const tufa_fault_heater *heater, const tufa_call *call,
                                       tufa_fault_answer *answer);
void desk_finder_free(desk_finder *d);

#endif
