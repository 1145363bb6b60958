/* A calendar of odd words: every line is short enough and ends as it must, and what was put in comes back. The reader below is
 * written from RFC 5545 alone; another program's reader reads whole calendars in tests/cli/test_rounds.sh. */
#include "edge/say/calendar.h"

#include <string.h>

#include "edge/say/day.h"
#include "tests/check.h"

enum { LONGEST = 400, LINE = 75 };

/* Words out of pieces that make trouble: escapes, line ends, controls, characters of two to four octets. */
static void odd_words(uint64_t key, uint64_t stream, char *out)
{
    static const char *const PIECES[] = {"a", "Elm ", ";", ",", "\\", ":", "\"", "\n", "\r", "\t", "\x01", "\x7F", "é", "街", "😀", "BEGIN:VEVENT", "\\n", " ", "=", "--"};
    size_t n = 0;
    unsigned pieces = (unsigned)(60.0 * tufa_uniform(key, stream, 0));
    out[0] = 0;
    for (unsigned i = 1; i <= pieces; i++) {
        const char *p = PIECES[(size_t)(tufa_uniform(key, stream, i) * (double)(sizeof PIECES / sizeof PIECES[0]))];
        if (n + strlen(p) + 1 >= LONGEST) break;
        n += (size_t)snprintf(out + n, LONGEST - n, "%s", p);
    }
}

/* What a calendar can keep of it: all but control characters other than line ends. */
static void kept(const char *in, char *out)
{
    for (; *in; in++)
        if (*in == '\n' || ((unsigned char)*in >= 0x20 && *in != 0x7F)) *out++ = *in;
    *out = 0;
}

/* Takes folds out; checks each line on the way. */
static void unfold(const char *s, char *out, uint64_t key)
{
    while (*s) {
        const char *end = strstr(s, "\r\n");
        CHECK_TRUE(end != NULL, key);
        CHECK_TRUE((size_t)(end - s) <= LINE, key);
        CHECK_TRUE(memchr(s, '\r', (size_t)(end - s)) == NULL && memchr(s, '\n', (size_t)(end - s)) == NULL, key);
        CHECK_TRUE(((unsigned char)*s & 0xC0) != 0x80 && (*s != ' ' || ((unsigned char)s[1] & 0xC0) != 0x80), key); /* a character is whole */
        size_t skip = *s == ' ';
        if (skip && out[-1] == '\n') out--;
        memcpy(out, s + skip, (size_t)(end - s) - skip);
        out += (size_t)(end - s) - skip;
        *out++ = '\n';
        s = end + 2;
    }
    *out = 0;
}

/* Value of a property, its escapes undone; false when it is not there. */
static bool value_of(const char *lines, const char *name, char *out)
{
    const char *p = lines;
    size_t n = strlen(name);
    while (p && strncmp(p, name, n) != 0) p = strchr(p, '\n') ? strchr(p, '\n') + 1 : NULL;
    if (!p) return false;
    for (p += n; *p != '\n'; p++) {
        if (*p == '\\') {
            p++;
            *out++ = *p == 'n' || *p == 'N' ? '\n' : *p;
        } else {
            *out++ = *p;
        }
    }
    *out = 0;
    return true;
}

static void odd_words_come_back_from_a_calendar(void **state)
{
    (void)state;
    for (uint64_t key = 1; key <= 3000; key++) {
        char title[LONGEST], words[LONGEST], place[LONGEST], want[LONGEST], got[LONGEST + 1];
        static char lines[8 * LONGEST];
        text t = {0};
        odd_words(key, 1, title), odd_words(key, 2, words), odd_words(key, 3, place);
        int64_t day = 20000 + (int64_t)(3000.0 * tufa_uniform(key, 4, 0));
        calendar_begin(&t, "odd");
        calendar_put(&t, &(calendar_entry){.uid = "one@tufa.invalid", .title = title, .place = place, .words = words, .day = day, .made_day = 20000,
                                           .from_minute = key % 3 ? 480 : -1, .to_minute = 1500});
        calendar_end(&t);
        CHECK_TRUE(!t.failed, key);
        lines[0] = '\n';
        unfold(text_str(&t), lines + 1, key);
        CHECK_TRUE(strstr(lines, "\nBEGIN:VCALENDAR\nVERSION:2.0\n") == lines && strstr(lines, "\nEND:VEVENT\nEND:VCALENDAR\n") != NULL, key);
        const struct {
            const char *name, *given;
        } SAID[] = {{"\nSUMMARY:", title}, {"\nDESCRIPTION:", words}, {"\nLOCATION:", place}};
        for (int i = 0; i < 3; i++) {
            kept(SAID[i].given, want);
            const char *at = strstr(lines, SAID[i].name);
            if (!SAID[i].given[0]) {
                CHECK_TRUE(at == NULL, key);
                continue;
            }
            CHECK_TRUE(at && value_of(at + 1, SAID[i].name + 1, got) && strcmp(got, want) == 0, key);
        }
        int y, m, d;
        char stamp[40];
        ymd_from_day(day, &y, &m, &d);
        snprintf(stamp, sizeof stamp, key % 3 ? "\nDTSTART:%04d%02d%02dT080000\n" : "\nDTSTART;VALUE=DATE:%04d%02d%02d\n", y, m, d);
        CHECK_TRUE(strstr(lines, stamp) != NULL, key);
        text_free(&t);
    }
}

RUN(cmocka_unit_test(odd_words_come_back_from_a_calendar))
