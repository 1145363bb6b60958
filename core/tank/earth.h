/* The circuit of a grounded element, without range checks. */
#ifndef CORE_TANK_EARTH_H
#define CORE_TANK_EARTH_H

#include "tufa/tank.h"

tufa_tank_earth earth_of(const tufa_tank_earth_in *in);

#endif
