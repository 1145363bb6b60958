/* What to measure next, what to do now, what to bring. All in the money of an expected loss. */
#ifndef CORE_FAULT_CHOOSE_H
#define CORE_FAULT_CHOOSE_H

#include "core/fault/finder.h"
#include "core/fault/stop.h"

/* Expected loss when the call ends with these odds. */
double choose_loss(const tufa_finder *f, const tufa_call *call, const double p[FAULT_COUNT]);
/* Best next reading by a rule; test -1 when none is worth its minutes. Uses f->weight as left by weigh(). */
void choose_next(tufa_finder *f, const tufa_call *call, stop_then then, tufa_rule rule, tufa_next *next);
/* The same without the outcomes for people. */
void choose_test(tufa_finder *f, const tufa_call *call, stop_then then, tufa_rule rule, tufa_next *next);
/* What the end of a call really costs when a and b (-1: none) were the truth; how many of them nobody acted on, and what that costs. */
double choose_outcome(const tufa_finder *f, const tufa_call *call, const double p[FAULT_COUNT], int a, int b, double *missed_usd,
                      int *missing);
int choose_actions(const tufa_finder *f, const tufa_call *call, const double p[FAULT_COUNT],
                   tufa_action action[TUFA_MAX_ACTIONS]);
int choose_parts(const tufa_finder *f, const tufa_call *call, const double p[FAULT_COUNT], tufa_part part[TUFA_MAX_PARTS]);

#endif
