/* What one heater would be with another setting, on soft water, or if another kind stood in its place. */
#ifndef EDGE_DESK_OTHERS_H
#define EDGE_DESK_OTHERS_H

#include "edge/desk/answers.h"

size_t others_bytes(unsigned months, unsigned draws);
/* Views ahead of each, in the arena, into `money`. They are shown and never proposed: whether a house can have them is not in
 * the book, and a setpoint gives up scale for germs or germs for scalds. `setpoint`: to what it is set, and what that does. */
TUFA_MUST_CHECK tufa_status others_look(const desk_case *c, const tufa_ahead_in *in, const tufa_ahead *now, tufa_arena *arena,
                                        tufa_money_in *money, desk_hot *setpoint);

#endif
