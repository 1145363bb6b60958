/* Which other kinds of heater a house allows, as far as its book says. */
#ifndef EDGE_DESK_ALLOWS_H
#define EDGE_DESK_ALLOWS_H

#include "edge/desk/case.h"

typedef enum allows { ALLOWS_NOT_KNOWN, ALLOWS_NO, ALLOWS_YES } allows;

bool is_other_kind(tufa_choice c);         /* TO_GAS, TO_ELECTRIC, TO_HEAT_PUMP */
bool sets_a_heater(tufa_choice c);         /* those, or by its like */
bool kind_fits(tufa_fuel now, tufa_choice kind); /* another kind than what stands there */
tufa_fuel fuel_after(tufa_fuel now, tufa_choice kind);
/* Of several things that it needs: NO where one is ruled out, else NOT_KNOWN where one was not said. */
allows house_allows(const house_rec *house, tufa_fuel now, tufa_choice kind);
/* The first thing that was not said: the question, and the name of the house's field; NULL where nothing is open. */
const char *allows_ask(const house_rec *house, tufa_fuel now, tufa_choice kind, const char **field);
const char *allows_refused(const house_rec *house, tufa_fuel now, tufa_choice kind); /* why not; NULL where it is not ruled out */
const char *kind_word(tufa_choice kind);   /* "a gas heater", "its like" */

#endif
