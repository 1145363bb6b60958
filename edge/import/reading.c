#include "edge/import/reading.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "edge/say/units.h"

static const struct reading_unit { const char *of, *names; double one, zero; } UNITS[] = {
#define X(of, names, one, zero) {of, names, one, zero},
#include "edge/import/reading_units.def"
#undef X
};

const char *complaint_id_at(size_t i) { const tufa_complaint *r = tufa_fault_complaint_at(i); return r ? r->id : NULL; }
const char *fault_id_at(size_t i) { const tufa_fault_row *r = tufa_fault_at(i); return r ? r->id : NULL; }
const char *test_id_at(size_t i) { const tufa_test *r = tufa_fault_test_at(i); return r ? r->id : NULL; }
const char *known_id_at(size_t i) { const tufa_known *r = tufa_fault_known_at(i); return r ? r->id : NULL; }

int place_of(const char *id, id_at at, const char *field, trouble_note *note)
{
    enum { MOST = 80 };
    const char *names[MOST];
    size_t n = 0;
    for (; n < MOST && at(n); n++) {
        if (strcmp(at(n), id) == 0) return (int)n;
        names[n] = at(n);
    }
    const char *near = NULL; /* "litres" means litres_to_40 sooner than bits */
    for (size_t i = 0; i < n && !near && strlen(id) > 3; i++)
        if (strstr(names[i], id)) near = names[i];
    if (!near) near = nearest_name(id, names, n);
    char why[160];
    snprintf(why, sizeof why, "this is none of the names known here%s%s%s", near ? "; did you mean " : "", near ? near : "",
             near ? "?" : "");
    text all = {0};
    for (size_t i = 0; i < n && all.len < 150; i++) text_addf(&all, "%s%s", i ? ", " : "", names[i]);
    if (all.len >= 150) text_add(&all, ", ...");
    note_set(note, TUFA_UNKNOWN, field, id, text_str(&all), why);
    text_free(&all);
    return -1;
}

int reading_test(const char *id, trouble_note *note) { return place_of(id, test_id_at, "test", note); }

bool reading_unit_at(int test, size_t i, char *name, size_t room)
{
    const char *unit = tufa_fault_test_at((size_t)test)->unit;
    for (size_t k = 0; k < sizeof UNITS / sizeof UNITS[0]; k++) {
        if (strcmp(UNITS[k].of, unit) != 0 || i--) continue;
        snprintf(name, room, "%.*s", (int)strcspn(UNITS[k].names, "|"), UNITS[k].names);
        return true;
    }
    return false;
}

void reading_units(text *out, int test)
{
    const char *unit = tufa_fault_test_at((size_t)test)->unit;
    int n = 0;
    for (size_t i = 0; i < sizeof UNITS / sizeof UNITS[0]; i++)
        if (strcmp(UNITS[i].of, unit) == 0)
            text_addf(out, "%s%.*s", n++ ? ", " : "", (int)strcspn(UNITS[i].names, "|"), UNITS[i].names);
}

/* In range? The message speaks in the unit that was typed. */
static bool check(const tufa_reading *r, const struct reading_unit *u, double typed, trouble_note *note)
{
    const tufa_test *t = tufa_fault_test_at((size_t)r->test);
    if (r->value >= t->lo && r->value <= t->hi) return true;
    char value[48], allowed[80], name[16];
    bool own = u->one == 1.0 && u->zero == 0.0;
    snprintf(name, sizeof name, "%.*s", own ? 15 : (int)strcspn(u->names, "|"), own ? t->unit : u->names);
    if (!name[1]) name[0] = (char)toupper((unsigned char)name[0]);
    snprintf(value, sizeof value, "%.6g %s", typed, name);
    snprintf(allowed, sizeof allowed, "%.4g to %.4g %s", (t->lo - u->zero) / u->one, (t->hi - u->zero) / u->one, name);
    note_set(note, TUFA_RANGE, t->id, value, allowed, "no such reading is physically possible here");
    return false;
}

bool reading_number(int test, double x, const char *unit, size_t n, tufa_reading *out, trouble_note *note)
{
    const tufa_test *t = tufa_fault_test_at((size_t)test);
    char given[40];
    snprintf(given, sizeof given, "%.*s", n < 39 ? (int)n : 39, unit);
    text allowed = {0};
    reading_units(&allowed, test);
    const struct reading_unit *u = NULL;
    if (t->categories[0]) {
        note_set(note, TUFA_PARSE, t->id, given, "", "this reading is a word, not a number");
    } else {
        for (size_t i = 0; i < sizeof UNITS / sizeof UNITS[0] && !u; i++)
            if (strcmp(UNITS[i].of, t->unit) == 0 && name_is_one_of(unit, n, UNITS[i].names)) u = &UNITS[i];
        if (!u) note_set(note, TUFA_UNIT, t->id, n ? given : "no unit", text_str(&allowed), n ? "this unit does not fit the reading" : "the reading needs its unit");
    }
    text_free(&allowed);
    if (!u) return false;
    *out = (tufa_reading){.test = test, .category = -1, .value = x * u->one + u->zero};
    return check(out, u, x, note);
}

bool reading_category(int test, const char *name, tufa_reading *out, trouble_note *note)
{
    const tufa_test *t = tufa_fault_test_at((size_t)test);
    int k = t->categories[0] ? tufa_fault_test_category(t, name) : -1;
    if (k >= 0) {
        *out = (tufa_reading){.test = test, .category = k};
        return true;
    }
    text allowed = {0};
    size_t n = 0;
    for (; n < TUFA_MAX_CATEGORIES && t->categories[n]; n++) text_addf(&allowed, "%s%s", n ? ", " : "", t->categories[n]);
    if (n == 0) reading_units(&allowed, test);
    const char *near = n ? nearest_name(name, t->categories, n) : NULL;
    char why[120];
    snprintf(why, sizeof why, "%s%s%s%s", n ? "the reading is one of these" : "the reading is a number with its unit",
             near ? "; did you mean " : "", near ? near : "", near ? "?" : "");
    note_set(note, n ? TUFA_UNKNOWN : TUFA_PARSE, t->id, name, text_str(&allowed), why);
    text_free(&allowed);
    return false;
}

bool reading_parse(int test, const char *said, tufa_reading *out, trouble_note *note)
{
    if (tufa_fault_test_at((size_t)test)->categories[0]) return reading_category(test, said, out, note);
    const char *s = said;
    while (*s == ' ') s++;
    if (strncmp(s, "about ", 6) == 0) s += 6;
    if (strcmp(s, "OL") == 0 || strcmp(s, "ol") == 0) s = "2e7ohm"; /* what a meter shows as open */
    char *end;
    double x = strtod(s, &end);
    if (end > s && end[-1] == '.' && *end == '.') end--; /* "8..12": the first stroke of the range is no decimal point */
    if (end == s || !isfinite(x)) return reading_category(test, said, out, note); /* words the refusal */
    if (strncmp(end, "..", 2) == 0) { /* between two figures: the middle */
        char *after;
        double y = strtod(end + 2, &after);
        if (after == end + 2 || !isfinite(y)) return reading_category(test, said, out, note);
        x = 0.5 * (x + y);
        end = after;
    }
    while (*end == ' ') end++;
    size_t n = strlen(end);
    while (n && end[n - 1] == ' ') n--;
    return reading_number(test, x, end, n, out, note);
}
