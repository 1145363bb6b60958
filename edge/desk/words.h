/* Sentences about what lies ahead and what to do, for commands, pages and paper alike. */
#ifndef EDGE_DESK_WORDS_H
#define EDGE_DESK_WORDS_H

#include "edge/desk/answers.h"

/* "about 1 in 4", "about 7 in 10", "less than 1 in 100" */
void say_chance(text *t, double p);
/* Behind "the bed reaches the element": "in about 2031 (likely 2028 to 2036)", "likely already", "not before 2046". */
void say_when(text *t, const tufa_when *w, int64_t today);
/* "by March 2027", "this year", "look again 2031", "before any date is set" */
void say_due(text *t, const year_row *r, int64_t today);
/* "$210 (120 to 380)" of a band of dollars. */
void say_usd_band(text *t, const tufa_band *usd);
void say_usd(text *t, double usd);
/* "14 years old", "about 14 years old", "8 to 12 years old", "of unknown age" */
void say_age(text *t, const year_row *r);
const char *fuel_word(tufa_fuel fuel); /* "electric" */
/* Why this is proposed, one line; and the same for somebody who rents the house. */
/* "lower element", or "element" where there is no other. */
const char *element_words(bool one);
void say_plan_why(text *t, const year_row *r, const tufa_ahead *a, int64_t today, unit_system u);
void say_plan_why_to_tenant(text *t, const year_row *r);
/* "A heat pump heater might save about $90 a year ..." where a heater is to be set and that is open; of the others the foot of the plan
 * tells (say_houses_to_ask). */
void say_other_kind(text *t, const year_row *r);
/* Is the new heater large enough: "About 41 gal ... A heater like it gives ..."; nothing where none is set. */
void say_fits(text *t, const year_row *r, unit_system u);
bool fits_to_say(const year_row *r); /* one is set now, or is next and not surely large enough */
/* What to bring, for one kind of work on one fuel; "" for nothing. */
const char *kit_words(tufa_choice choice, tufa_fuel fuel, tufa_sharpen reading);
/* The reading in words: "measure the bed through the element hole or with a probe". */
const char *reading_words(tufa_sharpen reading, tufa_fuel fuel);
/* The id of the work in the table of cautions, NULL where nobody touches the heater. */
const char *caution_work(tufa_choice choice, tufa_fuel fuel, tufa_sharpen reading);
/* Beside it, where a heater of another kind is set; else NULL. */
const char *caution_kind(tufa_choice choice);
/* Does this caution go with it: of the work, on the heater that stands there and the one that comes, and of the change of kind. */
bool caution_goes(const tufa_caution *c, tufa_choice choice, tufa_fuel fuel, tufa_sharpen reading);
/* What the forecast rests on: "what was found in this tank", "its neighbours on the same water", "the water and published studies" */
const char *rests_on_words(tufa_rests_on r);
/* Names in the order of a person: "7" before "12", capitals no matter; as strcmp answers. */
int label_order(const char *a, const char *b);

#endif
