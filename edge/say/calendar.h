/* A calendar as iCalendar text (RFC 5545): lines end with CR LF and are folded at 75 octets, text is escaped. */
#ifndef EDGE_SAY_CALENDAR_H
#define EDGE_SAY_CALENDAR_H

#include <stdint.h>

#include "edge/say/text.h"

void calendar_begin(text *t, const char *name);
void calendar_end(text *t);

/* One entry. `uid` is alike for the same entry of a later export, so that a calendar takes the new one for the old. */
typedef struct calendar_entry {
    const char *uid, *title, *place, *words; /* place, words: "" for none */
    int64_t day, made_day;                   /* made_day: on which the plan was made */
    int from_minute, to_minute;              /* of the day, local time wherever it is read; from_minute < 0: the whole day */
} calendar_entry;
void calendar_put(text *t, const calendar_entry *e);

#endif
