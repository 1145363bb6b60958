/* An expense entered in plain words. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/account.h"
#include "edge/desk/find.h"
#include "edge/import/value.h"
#include "edge/say/day.h"

typedef struct entry {
    desk *d;
    expense_rec r;
    int64_t corrects;
    bool kind_said, mark_said;
    trouble_note *note;
} entry;

static bool bad(entry *e, tufa_code code, const char *key, const char *value, const char *allowed, const char *why)
{
    note_set(e->note, code, key, value, allowed, why);
    return false;
}

static bool copy(entry *e, const char *key, const char *value, char *to, size_t room)
{
    if (strlen(value) >= room) return bad(e, TUFA_RANGE, key, value, "", "this text is too long");
    memcpy(to, value, strlen(value) + 1);
    return true;
}

static bool number(entry *e, const char *key, const char *value, quantity q, unit_id unit, double lo, double hi, bool *has, double *out)
{
    tufa_value v = {0};
    value_rule rule = {.field = key, .q = q, .unit = &units[unit], .lo = unit_to_si(&units[unit], lo), .hi = unit_to_si(&units[unit], hi), .today = e->d->today};
    if (value_parse(value, &rule, &v, e->note) != TUFA_OK) return false;
    if (v.hi > v.lo) return bad(e, TUFA_PARSE, key, value, "one figure, as in 240.50", "an account wants it exactly");
    *has = v.basis != TUFA_BASIS_NONE;
    *out = v.mid;
    return true;
}

static bool take_day(entry *e, const char *value)
{
    tufa_value v;
    value_rule rule = {.field = "day", .q = Q_DAY, .unit = &units[UNIT_DATE], .lo = 0.0, .hi = (double)e->d->today, .today = e->d->today};
    if (value_parse(value, &rule, &v, e->note) != TUFA_OK) return false;
    if (v.hi - v.lo > 0.5 || v.basis == TUFA_BASIS_NONE) return bad(e, TUFA_PARSE, "day", value, "a day, as in 2026-03-14", "an account wants the day itself");
    e->r.day = llround(v.mid);
    return true;
}

static bool take_heater(entry *e, const char *value)
{
    heater_rec h;
    if (desk_find(e->d, THING_HEATER, value, &e->r.heater, NULL, e->note) != TUFA_OK) return false;
    tufa_status st = store_heater_get(e->d->s, e->r.heater, &h);
    if (st.code != TUFA_OK) return bad(e, st.code, "heater", value, "", "it could not be read");
    if (e->r.house && h.house != e->r.house) return bad(e, TUFA_CONFLICT, "heater", value, "", "this heater stands in another house");
    e->r.house = h.house;
    return true;
}

static bool take_choice(entry *e, const char *key, const char *value)
{
    bool kind = strcmp(key, "kind") == 0;
    int found = kind ? expense_kind_find(value) : expense_mark_find(value);
    if (found < 0) return bad(e, TUFA_UNKNOWN, key, value, kind ? "contractor, parts, fee, own, other" : "upkeep, repaired, replaced", "this was not understood");
    if (kind) e->r.kind = (expense_kind)found, e->kind_said = true;
    else e->r.mark = (expense_mark)found, e->mark_said = true;
    return true;
}

static bool take_correction(entry *e, const char *value)
{
    char *end;
    e->corrects = strtoll(value, &end, 10);
    return (*value && *end == 0 && e->corrects > 0) || bad(e, TUFA_PARSE, "corrects", value, "the number of a row, as the account shows it", "this is no number of a row");
}

static bool take(entry *e, const char *key, const char *value)
{
    static const char *const KEYS[] = {"paid", "to", "for", "kind", "mark", "miles", "hours", "receipt", "heater", "day", "note", "by", "corrects"};
    double cents;
    if (strcmp(key, "paid") == 0) {
        if (!number(e, key, value, Q_MONEY, UNIT_DOLLAR, 0, 1000000, &e->r.has_cents, &cents)) return false;
        e->r.cents = llround(cents);
        return true;
    }
    if (strcmp(key, "miles") == 0) return number(e, key, value, Q_ROAD, UNIT_MI, 0, 5000, &e->r.has_road, &e->r.road_m);
    if (strcmp(key, "hours") == 0) return number(e, key, value, Q_HOURS, UNIT_HOUR, 0, 200, &e->r.has_time, &e->r.spent_s);
    if (strcmp(key, "to") == 0) return copy(e, key, value, e->r.who, sizeof e->r.who);
    if (strcmp(key, "for") == 0) return copy(e, key, value, e->r.what, sizeof e->r.what);
    if (strcmp(key, "receipt") == 0) return copy(e, key, value, e->r.receipt, sizeof e->r.receipt);
    if (strcmp(key, "note") == 0) return copy(e, key, value, e->r.note, sizeof e->r.note);
    if (strcmp(key, "by") == 0) return copy(e, key, value, e->r.source, sizeof e->r.source);
    if (strcmp(key, "kind") == 0 || strcmp(key, "mark") == 0) return take_choice(e, key, value);
    if (strcmp(key, "heater") == 0) return take_heater(e, value);
    if (strcmp(key, "day") == 0) return take_day(e, value);
    if (strcmp(key, "corrects") == 0) return take_correction(e, value);
    const char *near = nearest_name(key, KEYS, sizeof KEYS / sizeof KEYS[0]);
    char why[100];
    snprintf(why, sizeof why, "an account has no such thing%s%s%s", near ? "; did you mean " : "", near ? near : "", near ? "?" : "");
    return bad(e, TUFA_UNKNOWN, key, value, "paid, to, for, kind, mark, miles, hours, receipt, heater, day, note, by, corrects", why);
}

static bool read_words(entry *e, const char *const *words, int n)
{
    for (int i = 0; i < n; i++) {
        const char *eq = strchr(words[i], '=');
        char key[32];
        if (!eq || eq == words[i] || (size_t)(eq - words[i]) >= sizeof key)
            return bad(e, TUFA_PARSE, "word", words[i], "name=value, as in paid=240", "this cannot be read");
        memcpy(key, words[i], (size_t)(eq - words[i]));
        key[eq - words[i]] = 0;
        if (!take(e, key, eq + 1)) return false;
    }
    return true;
}

/* What a correction does not say stays as it was. */
static bool begin_correction(entry *e, const char *const *words, int n)
{
    bool replaced;
    for (int i = 0; i < n; i++)
        if (strncmp(words[i], "corrects=", 9) == 0 && !take_correction(e, words[i] + 9)) return false;
    if (!e->corrects) return true;
    int64_t house = e->r.house;
    char number[24];
    snprintf(number, sizeof number, "%lld", (long long)e->corrects);
    tufa_status st = store_expense_get(e->d->s, e->corrects, &e->r, &replaced);
    if (st.code != TUFA_OK) return bad(e, st.code, "corrects", number, "", "there is no such row; `tufa account YEAR` shows the numbers (those of visits are corrected with the visit)");
    if (replaced) return bad(e, TUFA_CONFLICT, "corrects", number, "", "this row was corrected before; correct the newer one");
    if (house && house != e->r.house) e->r.heater = 0;
    if (house) e->r.house = house;
    e->kind_said = e->mark_said = true;
    return true;
}

static bool is_whole(entry *e)
{
    expense_rec *r = &e->r;
    if (!r->has_cents && !r->has_road && !r->has_time)
        return bad(e, TUFA_MISSING, "words", "", "paid=240 to=\"a plumber\" for=\"relief valve\" receipt=FILE; or miles=24, hours=1.5", "say what was paid, driven or worked");
    if (!r->what[0]) return bad(e, TUFA_MISSING, "for", "", "for=\"new relief valve\"", "say what it was for");
    if (!e->kind_said) r->kind = !r->has_cents ? EXPENSE_OWN : r->who[0] ? EXPENSE_CONTRACTOR : EXPENSE_PARTS;
    if (!e->mark_said) r->mark = MARK_REPAIRED;
    return true;
}

static void say_kept(text *t, const entry *e, int64_t id)
{
    const expense_rec *r = &e->r;
    text_addf(t, "Kept as row %lld: ", (long long)id);
    say_day(t, r->day);
    text_addf(t, ", %s, %s", expense_kind_words(r->kind), r->what);
    if (r->has_cents) text_add(t, ", "), say_cents(t, r->cents);
    if (r->who[0]) text_addf(t, " to %s", r->who);
    if (r->has_time) text_add(t, ", "), say_hours_minutes(t, llround(r->spent_s / 60.0)), text_add(t, " hours");
    if (r->has_road) text_addf(t, ", %.1f miles", r->road_m / 1609.344);
    text_addf(t, "; marked as %s", expense_mark_id(r->mark));
    if (r->receipt[0]) text_addf(t, "; receipt: %s", r->receipt);
    text_add(t, ".\n");
    if (e->corrects) text_addf(t, "It takes the place of row %lld, which stays in the book.\n", (long long)e->corrects);
}

tufa_code desk_account_add(desk *d, const char *house, const char *const *words, int n, text *kept, trouble_note *note)
{
    entry e = {.d = d, .note = note, .r = {.day = d->today, .source = "account"}};
    int64_t id;
    bool all = !house[0] || name_is_one_of(house, strlen(house), "stock|van|all|all houses");
    if (!all && desk_find(d, THING_HOUSE, house, &e.r.house, NULL, note) != TUFA_OK) return note->code;
    if (!begin_correction(&e, words, n) || !read_words(&e, words, n) || !is_whole(&e)) return note->code;
    tufa_status st = store_expense_add(d->s, &e.r, e.corrects, &id);
    if (st.code != TUFA_OK) {
        note_from_status(note, st);
        return st.code;
    }
    say_kept(kept, &e, id);
    return TUFA_OK;
}
