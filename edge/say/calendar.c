#include "edge/say/calendar.h"

#include <string.h>

#include "edge/say/day.h"

enum { FOLD = 75 };

/* One content line; a fold never parts a character of several octets. */
static void put_line(text *t, const char *s)
{
    size_t used = 0;
    while (*s) {
        size_t n = 1;
        while (((unsigned char)s[n] & 0xC0) == 0x80) n++;
        if (used + n > FOLD) {
            text_add(t, "\r\n ");
            used = 1;
        }
        text_addn(t, s, n);
        used += n;
        s += n;
    }
    text_add(t, "\r\n");
}

/* TEXT of section 3.3.11: commas, semicolons and strokes escaped, line ends as \n, other control characters dropped. */
static void put_text(text *t, const char *name, const char *s)
{
    if (!s[0]) return;
    text line = {0};
    text_addf(&line, "%s:", name);
    for (; *s; s++) {
        if (*s == '\n') text_add(&line, "\\n");
        else if (strchr("\\;,", *s)) text_addf(&line, "\\%c", *s);
        else if ((unsigned char)*s >= 0x20 && *s != 0x7F) text_addn(&line, s, 1);
    }
    if (line.failed) t->failed = true;
    else put_line(t, text_str(&line));
    text_free(&line);
}

void calendar_begin(text *t, const char *name)
{
    put_line(t, "BEGIN:VCALENDAR");
    put_line(t, "VERSION:2.0");
    put_line(t, "PRODID:-//tufa//rounds//EN");
    put_line(t, "CALSCALE:GREGORIAN");
    put_text(t, "NAME", name); /* RFC 7986 */
}

void calendar_end(text *t) { put_line(t, "END:VCALENDAR"); }

static void put_moment(text *t, const char *name, int64_t day, int minute)
{
    char s[80];
    int y, m, d;
    ymd_from_day(day + minute / 1440, &y, &m, &d);
    snprintf(s, sizeof s, "%s:%04d%02d%02dT%02d%02d00", name, y, m, d, minute % 1440 / 60, minute % 60);
    put_line(t, s);
}

static void put_date(text *t, const char *name, int64_t day)
{
    char s[80];
    int y, m, d;
    ymd_from_day(day, &y, &m, &d);
    snprintf(s, sizeof s, "%s;VALUE=DATE:%04d%02d%02d", name, y, m, d);
    put_line(t, s);
}

void calendar_put(text *t, const calendar_entry *e)
{
    char stamp[40];
    int y, m, d;
    ymd_from_day(e->made_day, &y, &m, &d);
    snprintf(stamp, sizeof stamp, "DTSTAMP:%04d%02d%02dT000000Z", y, m, d);
    put_line(t, "BEGIN:VEVENT");
    put_text(t, "UID", e->uid);
    put_line(t, stamp);
    if (e->from_minute < 0) {
        put_date(t, "DTSTART", e->day);
        put_date(t, "DTEND", e->day + 1);
    } else {
        put_moment(t, "DTSTART", e->day, e->from_minute);
        put_moment(t, "DTEND", e->day, e->to_minute > e->from_minute ? e->to_minute : e->from_minute + 1);
    }
    put_text(t, "SUMMARY", e->title);
    put_text(t, "LOCATION", e->place);
    put_text(t, "DESCRIPTION", e->words);
    put_line(t, "END:VEVENT");
}
