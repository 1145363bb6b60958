/* Is a new heater large enough for who lives there: its first hour against the household's busiest hour. */
#ifndef EDGE_DESK_ENOUGH_H
#define EDGE_DESK_ENOUGH_H

#include "edge/desk/case.h"
#include "edge/say/units.h"

typedef struct new_heater {
    tufa_choice kind;         /* REPLACE or another kind */
    tufa_value volume_m3;     /* NONE: as large as the one that stands there */
    tufa_value first_hour_m3; /* by its label; NONE: simulated, or for its like the label of the old one */
} new_heater;

typedef struct enough {
    tufa_enough size;         /* at the setpoint that is set and the cold water of winter */
    tufa_choice kind;
    bool people_known, volume_known, by_label;
} enough;

/* `now`: the heater that stands there, filled. */
TUFA_MUST_CHECK tufa_status enough_look(const desk_case *c, const tufa_heater *now, const new_heater *n, enough *out);

/* "about 41 gal of hot water in the busiest hour of a winter day (likely 30 to 55 gal)" */
void say_busiest_hour(text *t, unit_system u, const enough *e);
/* "a heat pump heater gives about 55 gal in its first hour, which is enough" */
void say_enough(text *t, unit_system u, const enough *e);
const char *enough_key(tufa_enough_says s); /* "enough" */

#endif
