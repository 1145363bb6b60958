/* A simulated tank in words, and drawn in text. */
#ifndef EDGE_DESK_TANK_WORDS_H
#define EDGE_DESK_TANK_WORDS_H

#include "edge/desk/tank.h"
#include "edge/say/units.h"

void say_tank(text *t, unit_system u, const tank_case *c, const tank_answer *a);
/* The tank to scale, 20 rows high: temperatures, bed, elements, thermostats, where the cold water comes in. */
void say_tank_picture(text *t, unit_system u, const tank_case *c, const tank_answer *a);

#endif
