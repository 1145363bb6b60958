#ifndef CORE_FAULT_STOP_H
#define CORE_FAULT_STOP_H

#include "core/fault/tables.h"

/* After a stop: nothing else, readings with heat and power off, or all readings. */
typedef enum stop_then { ALONE, OFF, GOES_ON } stop_then;

tufa_stop fault_stop(const tufa_call *call, stop_then *then);

#endif
