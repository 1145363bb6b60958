#include "edge/import/weekdays.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

static const char *const NAMES[7] = {"monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"};
enum { LEAST_LETTERS = 2, WEEK = 7 };

/* One name, short or long, of one day or of all such days. */
static int day_called(const char *s, size_t n)
{
    if (n > LEAST_LETTERS + 4 && s[n - 1] == 's' && strncmp(s + n - 4, "days", 4) == 0) n--; /* "tuesdays" */
    for (int i = 0; i < WEEK; i++)
        if (n >= LEAST_LETTERS && n <= strlen(NAMES[i]) && strncmp(s, NAMES[i], n) == 0) return i;
    return n == 4 && strncmp(s, "tues", n) == 0 ? 1 : -1;
}

bool weekdays_parse(const char *given, unsigned *days)
{
    char s[160];
    size_t n = 0;
    for (; given[n] && n + 1 < sizeof s; n++) s[n] = (char)tolower((unsigned char)given[n]);
    if (given[n]) return false;
    s[n] = 0;
    unsigned found = 0;
    int from = -1, last = -1;
    for (const char *p = s; *p;) {
        size_t len = 0;
        while (islower((unsigned char)p[len])) len++;
        if (len == 0) {
            if (!strchr(" ,;-&", *p)) return false;
            if (*p == '-') from = last;
            if (*p == '-' && last < 0) return false;
            p++;
            continue;
        }
        int day = len == 3 && strncmp(p, "and", 3) == 0 ? -2 : day_called(p, len);
        if (day == -1) return false;
        for (int d = from; day >= 0 && from >= 0 && d != day; d = (d + 1) % WEEK) found |= 1u << d;
        if (day >= 0) {
            found |= 1u << day;
            last = day;
            from = -1;
        }
        p += len;
    }
    *days = found;
    return found != 0 && from < 0;
}

void weekdays_write(unsigned days, char *out, size_t room)
{
    size_t n = 0;
    if (room) out[0] = 0;
    for (int d = 0; d < WEEK; d++)
        if (days >> d & 1 && n + 5 < room) n += (size_t)snprintf(out + n, room - n, "%s%.3s", n ? " " : "", NAMES[d]);
}
