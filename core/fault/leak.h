/* What a grounded coil shows. Where it touches the sheath, how well, and whether it is also broken is known to nobody beforehand,
 * so its readings scatter over all of them. */
#ifndef CORE_FAULT_LEAK_H
#define CORE_FAULT_LEAK_H

#include "core/fault/spread.h"

/* At rest: amps in a leg, amps of both legs in one clamp, watts, volts across the element, mean watts over a night. ON: while the element
 * heats. */
typedef enum leak_reading { LEAK_REST_A, LEAK_REST_W, LEAK_REST_V, LEAK_NIGHT_W, LEAK_ON_A, LEAK_ON_W } leak_reading;

/* The spread of a reading over all leaks of one element of a heater; figures under `least` show as `dead` does. */
void fault_leak_spread(const tufa_fault_heater *heater, int upper, leak_reading what, double least, spread_part dead, spread *out);

#endif
