/* What a tank with given faults does when it is heated from cold and then drawn empty with the heat off: by simulation. */
#ifndef CORE_FAULT_HEAT_H
#define CORE_FAULT_HEAT_H

#include "core/fault/tables.h"

typedef struct fault_heat {
    double litres;      /* satisfied, heat off, until the outlet falls under 40.6 C */
    double drop_K;      /* of the outlet over the first 38 L of that draw */
    double recover_min; /* all cold until the last working thermostat is satisfied; 0: never */
    double heated_L;    /* energy taken over rise and the heat of a litre; 0: never */
    double outlet_K;    /* at the beginning of the draw */
    double skin_K;      /* hottest element sheath while it heats, under its scale and bed; gas: the bottom's water side */
} fault_heat;

/* The tank of a heater as it is fed, and with one or two effects at once (NULL: none); answers how many changes. */
int fault_tank_of(const tufa_fault_heater *heater, const fault_effect *a, const fault_effect *b, tufa_tank *tank,
                  tufa_tank_change change[4]);
TUFA_MUST_CHECK tufa_status fault_heat_of(const tufa_fault_heater *heater, const fault_effect *a, const fault_effect *b,
                                          fault_heat *h);

/* A day of use with these effects: sheath while heating, hours in which bacteria grow, litres. people 0: the usual number. */
TUFA_MUST_CHECK tufa_status fault_day_of(const tufa_fault_heater *heater, const fault_effect *a, const fault_effect *b,
                                         double people, tufa_tank_day *day);

#endif
