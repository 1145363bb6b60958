/* Calls in words. */
#ifndef EDGE_SAY_CALL_H
#define EDGE_SAY_CALL_H

#include "edge/say/fault.h"

/* What each reading did, one line each: "13 gal until cold: Lower element burnt out, 40 times likelier". */
void say_moved(text *t, unit_system s, const tufa_reading *r, const double shift[TUFA_MAX_FAULTS], const tufa_fault_answer *a);
/* The moves of one reading alone: "Lower element burnt out 40 times likelier, ..."; "changes little". */
void say_moves(text *t, const double shift[TUFA_MAX_FAULTS], const tufa_fault_answer *a);
/* What tonight's answer gives and until when; nothing where it is off. */
void say_tonight_gives(text *t, unit_system s, const tufa_tonight *n, int64_t today);
/* Hot water tonight for a fault. */
void say_tonight(text *t, unit_system s, int fault, const tufa_tonight *n, int64_t today);
/* "14:05" of a moment in seconds since 1970, where the program runs. */
void say_clock(text *t, int64_t seconds);

#endif
