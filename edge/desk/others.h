/* What one heater would be with another setting, on soft water, or if another kind stood in its place. */
#ifndef EDGE_DESK_OTHERS_H
#define EDGE_DESK_OTHERS_H

#include "edge/desk/allows.h"
#include "edge/desk/answers.h"

size_t others_bytes(unsigned months, unsigned draws);
/* Views ahead of each, in the arena, into `money`: another setting, soft water, and every other kind of heater that the house does not
 * rule out. A kind is proposed where the book says that the house allows it; settings and soft water never are, since a setpoint gives up
 * scale for germs or germs for scalds. `setpoint`: to what it is set, and what that does. */
TUFA_MUST_CHECK tufa_status others_look(const desk_case *c, const tufa_ahead_in *in, const tufa_ahead *now, tufa_arena *arena,
                                        tufa_money_in *money, desk_hot *setpoint);
/* One kind, allowed or not. */
TUFA_MUST_CHECK tufa_status others_kind(const desk_case *c, const tufa_ahead_in *in, tufa_choice kind, tufa_arena *arena, tufa_money_in *money);
/* The other kinds of heater alone of which the book says so; their number into *n. */
TUFA_MUST_CHECK tufa_status others_kinds(const desk_case *c, const tufa_ahead_in *in, allows says, tufa_arena *arena, tufa_money_in *money,
                                         size_t *n);

#endif
