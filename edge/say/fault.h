/* A call's answer in words. */
#ifndef EDGE_SAY_FAULT_H
#define EDGE_SAY_FAULT_H

#include "edge/say/units.h"
#include "tufa/fault.h"

/* A test's number with its unit as a person reads it: "13.2 gal", "124 F", "18.4 A"; a category in its words. */
void say_reading(text *t, unit_system s, const tufa_reading *r);
/* "7 in 10", "98 in 100", "under 1 in 100". */
void say_odds(text *t, double p);
/* A range of results of a test, or a category: "under 12 ohm", "not tripped". */
void say_outcome(text *t, unit_system s, int test, const tufa_outcome *o);
/* One sentence: what the next reading is for. */
void say_why(text *t, unit_system s, const tufa_next *next);
/* For the sake of which fault it is asked, where that is a danger that is not the likeliest: "..., under 1 in 100; if missed: death". */
void say_sake(text *t, const tufa_next *next);
/* The whole answer. `call` gives the readings that contradict. */
void say_fault_answer(text *t, unit_system s, const tufa_fault_heater *heater, const tufa_call *call,
                      const tufa_fault_answer *a);
/* Titles and words of the cautions that go with a reading, a repair, a fault or a complaint. */
void say_cautions(text *t, const char *id, const tufa_fault_heater *heater, const char *indent);

#endif
