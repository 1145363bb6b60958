/* The year's rounds as a calendar that other programs read. */
#ifndef EDGE_DESK_ROUNDS_CALENDAR_H
#define EDGE_DESK_ROUNDS_CALENDAR_H

#include "edge/desk/rounds.h"

/* An entry for each round, one for each day on which tenants are told, one for each visit that a licensed trade must make. */
void rounds_calendar(text *t, const rounds_answer *a, const char *book);

#endif
