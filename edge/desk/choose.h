/* From a heater's case to its row of the year plan: the view ahead, the money, the choice. */
#ifndef EDGE_DESK_CHOOSE_H
#define EDGE_DESK_CHOOSE_H

#include "edge/desk/answers.h"



/* Memory that one choice needs. */
size_t choose_bytes(unsigned months, unsigned draws);

/* Computes into the arena. `hot` NULL: the row's `hot` stays empty. ahead and money (either may be NULL) get what the row was made from, as long as the arena
 * is not rewound. `setpoint` not NULL: other settings, soft water and every other kind of heater are weighed too; else the kinds that the house is
 * known to allow, and those that it may allow where a new heater is near. Takes others_bytes more. */
TUFA_MUST_CHECK tufa_status choose(const desk_case *c, const desk_rates *rates, unit_system said, unsigned months,
                                   unsigned draws, double trip_share, tufa_arena *arena,
                                   hot_table *hot, tufa_ahead *ahead, tufa_money_year *money, desk_hot *setpoint, year_row *out);

#endif
