#include "edge/desk/settings.h"

#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/tools.h"
#include "edge/desk/usual.h"
#include "edge/import/value.h"
#include "edge/import/weekdays.h"
#include "edge/say/day.h"
#include "edge/import/words.h"
#include "tufa.h"

/* ---- settings ---- */

static const struct {
    const char *name, *values, *standard, *what;
} SETTINGS[] = {
#define X(id, name, values, standard, what) {name, values, standard, what},
#include "edge/desk/settings.def"
#undef X
#define T(id, name, q, unit, lo, hi, member, one, what) {name, "", "", what},
#include "edge/desk/tools.def"
#undef T
};
enum { SETTINGS_N = sizeof SETTINGS / sizeof SETTINGS[0] };

bool setting_item_at(size_t i, setting_item *out)
{
    if (i >= SETTINGS_N) return false;
    *out = (setting_item){SETTINGS[i].name, SETTINGS[i].values, SETTINGS[i].standard, SETTINGS[i].what};
    return true;
}

static int setting_index(const char *name)
{
    for (int i = 0; i < SETTINGS_N; i++)
        if (name_is_one_of(name, strlen(name), SETTINGS[i].name)) return i;
    return -1;
}

static tufa_code setting_unknown(const char *name, trouble_note *note)
{
    const char *names[SETTINGS_N];
    text all = {0};
    for (int i = 0; i < SETTINGS_N; i++) {
        names[i] = SETTINGS[i].name;
        text_addf(&all, "%s%s", i ? ", " : "", names[i]);
    }
    const char *near = nearest_name(name, names, SETTINGS_N);
    char why[100];
    snprintf(why, sizeof why, "there is no such setting%s%s%s", near ? "; did you mean " : "", near ? near : "", near ? "?" : "");
    note_set(note, TUFA_UNKNOWN, "setting", name, text_str(&all), why);
    text_free(&all);
    return TUFA_UNKNOWN;
}

/* The one of "us|metric" that is meant, as it stands there. */
static bool pick(const char *values, const char *given, char *out, size_t room)
{
    for (;; values++) {
        size_t n = strcspn(values, "|");
        char one[STORE_ITEM];
        snprintf(one, sizeof one, "%.*s", (int)n, values);
        if (name_is_one_of(given, strlen(given), one)) {
            snprintf(out, room, "%s", one);
            return true;
        }
        values += n;
        if (*values == 0) return false;
    }
}

/* "#1..16": a number between; false when it is none. */
static bool pick_number(const char *range, const char *given, char *out, size_t room)
{
    char *end;
    double lo = strtod(range + 1, NULL), hi = strtod(strstr(range, "..") + 2, NULL), x = strtod(given, &end);
    if (end == given || strspn(given, "0123456789.") != strlen(given) || !(x >= lo && x <= hi)) return false;
    snprintf(out, room, "%g", x);
    return true;
}

bool place_parse(const char *s, double *lat_deg, double *lon_deg)
{
    int used = 0;
    if (strspn(s, "0123456789.,+- ") != strlen(s) || sscanf(s, "%lf , %lf %n", lat_deg, lon_deg, &used) < 2 || s[used]) return false;
    return *lat_deg >= -90.0 && *lat_deg <= 90.0 && *lon_deg >= -180.0 && *lon_deg <= 180.0;
}

/* A day, or a year from its first day on. */
static bool pick_day(const char *given, char *out, size_t room)
{
    int64_t day;
    char *end;
    long year = strtol(given, &end, 10);
    if (*end == 0 && strlen(given) == 4 && year >= DAY_YEAR_MIN && year <= DAY_YEAR_MAX) day = day_from_ymd((int)year, 1, 1);
    else if (!day_parse(given, &day)) return false;
    text t = {0};
    say_day(&t, day);
    snprintf(out, room, "%s", text_str(&t));
    text_free(&t);
    return true;
}

static bool pick_shaped(const char *shape, const char *given, char *out, size_t room)
{
    double lat, lon;
    unsigned days;
    if (shape[0] == '#') return pick_number(shape, given, out, room);
    if (strcmp(shape, "@place") == 0) {
        if (!place_parse(given, &lat, &lon)) return false;
        snprintf(out, room, "%g, %g", lat, lon);
        return true;
    }
    if (strcmp(shape, "@day") == 0) return pick_day(given, out, room);
    if (!weekdays_parse(given, &days)) return false;
    weekdays_write(days, out, room);
    return true;
}

static void say_shape(text *t, const char *shape)
{
    if (shape[0] == '#') text_addf(t, "%.*s to %s", (int)strcspn(shape + 1, "."), shape + 1, strrchr(shape, '.') + 1);
    else if (strcmp(shape, "@day") == 0) text_add(t, "a year or a day, such as 2015 or 2015-06-01");
    else text_add(t, strcmp(shape, "@place") == 0 ? "latitude, longitude in degrees, such as 39.96, -83.00" : "weekdays, such as tue thu, or mon-fri");
}

static tufa_code read_shaped(int i, const char *value, setting_rec *out, trouble_note *note)
{
    if (pick_shaped(SETTINGS[i].values, value, out->value, sizeof out->value)) return TUFA_OK;
    text allowed = {0};
    say_shape(&allowed, SETTINGS[i].values);
    note_set(note, TUFA_RANGE, SETTINGS[i].name, value, text_str(&allowed), "this value is not possible here");
    text_free(&allowed);
    return TUFA_RANGE;
}

tufa_status setting_now(store *s, const char *name, char *out, size_t room, bool *said)
{
    int i = setting_index(name);
    if (i < 0) return trouble(TUFA_UNKNOWN, "setting", "the table of settings lacks it");
    setting_rec r;
    tufa_status st = store_setting_now(s, SETTINGS[i].name, &r);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    *said = st.code == TUFA_OK && r.value[0];
    snprintf(out, room, "%s", *said ? r.value : SETTINGS[i].standard);
    return OK;
}

tufa_status setting_number(store *s, const char *name, double *out, bool *said)
{
    char value[STORE_WORD];
    RETURN_IF(setting_now(s, name, value, sizeof value, said));
    *out = strtod(value, NULL);
    return OK;
}

tufa_code setting_read(const char *name, const char *value, setting_rec *out, trouble_note *note)
{
    int i = setting_index(name);
    if (i < 0) return setting_unknown(name, note);
    snprintf(out->name, sizeof out->name, "%s", SETTINGS[i].name);
    if (strchr("#@", SETTINGS[i].values[0]) && SETTINGS[i].values[0]) return read_shaped(i, value, out, note);
    if (SETTINGS[i].values[0]) {
        if (pick(SETTINGS[i].values, value, out->value, sizeof out->value)) return TUFA_OK;
        text allowed = {0};
        for (const char *p = SETTINGS[i].values; *p; p++) text_addn(&allowed, *p == '|' ? " or " : p, *p == '|' ? 4 : 1);
        note_set(note, TUFA_UNKNOWN, SETTINGS[i].name, value, text_str(&allowed), "this value is not known here");
        text_free(&allowed);
        return TUFA_UNKNOWN;
    }
    if (strlen(value) >= sizeof out->value) {
        note_set(note, TUFA_RANGE, SETTINGS[i].name, value, "at most 159 bytes", "this is too long");
        return TUFA_RANGE;
    }
    int tool = tool_find(SETTINGS[i].name);
    tufa_value v;
    tufa_code code = tool < 0 ? TUFA_OK : tool_value(&tool_rows[tool], value, &v, note);
    if (code == TUFA_OK) snprintf(out->value, sizeof out->value, "%s", value);
    return code;
}

/* ---- prices and lives ---- */

static const struct {
    tufa_fuel fuel;
    const char *key, *what;
} LIVES[] = {
#define X(id, fuel, key, what) {TUFA_##fuel, key, what},
#include "edge/desk/lives.def"
#undef X
};
enum { LIVES_N = sizeof LIVES / sizeof LIVES[0] };

static const char LIFE_SOURCE[] = "published lives of 10 to 15 years; the spread is the judgement of this project";

enum { FIRST_USUAL = TUFA_PRICE_COUNT + LIVES_N };

size_t price_item_count(void) { return FIRST_USUAL + USUAL_COUNT; }

bool price_item_usual(size_t i) { return i >= FIRST_USUAL && i < price_item_count(); }

/* SI to the unit of the key, and back. */
static tufa_value in_unit(const usual_row *u, tufa_value v)
{
    const unit_row *unit = &units[u->unit];
    return (tufa_value){unit_from_si(unit, v.mid), unit_from_si(unit, v.lo), unit_from_si(unit, v.hi), v.basis};
}

static tufa_value in_si(const usual_row *u, tufa_value v)
{
    const unit_row *unit = &units[u->unit];
    return (tufa_value){unit_to_si(unit, v.mid), unit_to_si(unit, v.lo), unit_to_si(unit, v.hi), v.basis};
}

static value_rule usual_rule(const usual_row *u, const char *field)
{
    return (value_rule){.field = field, .q = u->q, .unit = &units[u->unit], .lo = u->lo, .hi = u->hi};
}

bool price_item_at(size_t i, price_item *out)
{
    if (i >= price_item_count()) return false;
    if (price_item_usual(i)) {
        usual_row u = usual_at((usual_id)(i - FIRST_USUAL));
        *out = (price_item){u.key, u.what, u.why, in_unit(&u, u.builtin), u.source};
        return true;
    }
    if (i >= TUFA_PRICE_COUNT) {
        size_t l = i - TUFA_PRICE_COUNT;
        *out = (price_item){LIVES[l].key, LIVES[l].what, "", tufa_life_default(LIVES[l].fuel).mean_years, LIFE_SOURCE};
        return true;
    }
    const tufa_price_row *p = tufa_price_at((tufa_price)i);
    *out = (price_item){p->key, p->what, p->date, {p->mid, p->lo, p->hi, TUFA_BASIS_DEFAULT}, tufa_source_at((size_t)p->source)->what};
    return true;
}

static bool ends_with(const char *s, const char *end)
{
    size_t n = strlen(s), m = strlen(end);
    return n >= m && strcmp(s + n - m, end) == 0;
}

bool price_find(const char *name, size_t *item, char *why, size_t room)
{
    const char *keys[FIRST_USUAL + USUAL_COUNT];
    char plain[STORE_ITEM];
    size_t n = price_item_count(), starts = 0, found = 0;
    snprintf(plain, sizeof plain, "%s", name);
    for (char *p = plain; *p; p++)
        if (*p == ' ' || *p == '-') *p = '_';
    for (size_t i = 0; i < n; i++) {
        price_item it;
        price_item_at(i, &it);
        keys[i] = it.key;
        if (name_is_one_of(plain, strlen(plain), it.key)) {
            *item = i;
            return true;
        }
        size_t len = strlen(plain);
        bool start = len > 2 && strncmp(it.key, plain, len) == 0;
        bool whole = start && (strncmp(it.key + len, "_usd", 4) == 0 || strncmp(it.key + len, "_share", 6) == 0 || strcmp(it.key + len, "_years") == 0);
        if (whole) { /* all but the unit */
            *item = i;
            return true;
        }
        if (start) found = i;
        starts += start;
    }
    *item = found;
    if (starts == 1) return true;
    const char *near = nearest_name(plain, keys, n);
    snprintf(why, room, starts ? "several prices begin like this; write the whole name" : "there is no such price%s%s%s", near ? "; did you mean " : "",
             near ? near : "", near ? "?" : "");
    return false;
}

/* The unit that a key ends with, and what turns the SI value of a quantity into it. */
static value_rule rule_of(size_t item, const char *field, double *si_for_one)
{
    price_item it;
    price_item_at(item, &it);
    value_rule r = {.field = field, .q = Q_NUMBER, .unit = &units[UNIT_ONE], .lo = 0.0, .hi = 1e6};
    *si_for_one = 1.0;
    if (strstr(it.key, "_usd")) {
        static const double MOST_CENTS = 1e8;
        *si_for_one = units[UNIT_DOLLAR].one;
        r = (value_rule){.field = field, .q = Q_MONEY, .unit = &units[UNIT_DOLLAR], .lo = 0.0, .hi = MOST_CENTS};
    } else if (strstr(it.key, "share")) {
        r = (value_rule){.field = field, .q = Q_SHARE, .unit = &units[UNIT_FRACTION], .lo = 0.0, .hi = 1.0};
    } else if (ends_with(it.key, "_years")) {
        static const double LEAST_YEARS = 1.0, MOST_YEARS = 60.0;
        *si_for_one = units[UNIT_YEAR].one;
        r = (value_rule){.field = field, .q = Q_YEARS, .unit = &units[UNIT_YEAR], .lo = LEAST_YEARS * *si_for_one, .hi = MOST_YEARS * *si_for_one};
    } else if (ends_with(it.key, "_miles")) {
        static const double MOST_MILES = 1000.0;
        *si_for_one = units[UNIT_MI].one;
        r = (value_rule){.field = field, .q = Q_ROAD, .unit = &units[UNIT_MI], .lo = 0.0, .hi = MOST_MILES * *si_for_one};
    }
    return r;
}

static tufa_value times(tufa_value v, double by) { return (tufa_value){v.mid * by, v.lo * by, v.hi * by, v.basis}; }

tufa_code price_value(size_t item, const char *s, const char *field, tufa_value *out, trouble_note *note)
{
    double one;
    tufa_value v;
    if (price_item_usual(item)) {
        usual_row u = usual_at((usual_id)(item - FIRST_USUAL));
        value_rule r = usual_rule(&u, field);
        tufa_code code = value_parse(s, &r, &v, note);
        if (code == TUFA_OK) *out = v.basis == TUFA_BASIS_NONE ? v : in_unit(&u, v);
        return code;
    }
    value_rule r = rule_of(item, field, &one);
    tufa_code code = value_parse(s, &r, &v, note);
    if (code == TUFA_OK) *out = times(v, 1.0 / one);
    return code;
}

void price_allowed(size_t item, text *out)
{
    double one;
    usual_row u = {0};
    if (price_item_usual(item)) u = usual_at((usual_id)(item - FIRST_USUAL));
    value_rule r = u.key ? usual_rule(&u, "") : rule_of(item, "", &one);
    value_allowed(out, &r);
}

void price_write(size_t item, tufa_value v, text *out)
{
    double one;
    if (price_item_usual(item)) {
        usual_row u = usual_at((usual_id)(item - FIRST_USUAL));
        value_rule r = usual_rule(&u, "");
        value_write(out, &r, in_si(&u, v));
        return;
    }
    value_rule r = rule_of(item, "", &one);
    value_write(out, &r, times(v, one));
}

void price_say(size_t item, unit_system s, tufa_value v, text *out)
{
    double one;
    if (price_item_usual(item)) {
        usual_row u = usual_at((usual_id)(item - FIRST_USUAL));
        tufa_value si = in_si(&u, v);
        si.basis = TUFA_BASIS_LEARNED; /* told with its range */
        say_value(out, s, u.q, si);
        return;
    }
    value_rule r = rule_of(item, "", &one);
    static const double SMALL_CENTS = 200.0; /* what costs cents is told by tenths of them */
    if (r.q == Q_MONEY && v.hi * one < SMALL_CENTS) {
        text_add(out, "$");
        say_value(out, UNITS_US, Q_NUMBER, v);
    } else if (r.q == Q_SHARE || r.q == Q_YEARS || r.q == Q_ROAD || r.q == Q_MONEY) say_value(out, UNITS_US, r.q, times(v, one));
    else say_value(out, UNITS_US, Q_NUMBER, v);
}

tufa_status price_get(store *s, size_t item, tufa_value *out)
{
    price_item it;
    price_rec r;
    if (!price_item_at(item, &it)) return trouble(TUFA_UNKNOWN, "price", "there is no such price");
    tufa_status st = store_price_now(s, it.key, &r);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    *out = st.code == TUFA_OK ? r.value : it.standard;
    return OK;
}
