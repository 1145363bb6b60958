/* What a kind may ask of a row. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "edge/desk/import_job.h"
#include "edge/import/words.h"
#include "edge/say/day.h"

static const column_row *column(const import_row *r, const char *id, const column_place **place)
{
    for (size_t i = 0; i < r->columns->n; i++) {
        if (strcmp(r->columns->row[i].id, id) != 0) continue;
        *place = &r->map->place[i];
        return &r->columns->row[i];
    }
    *place = NULL;
    return NULL;
}

const char *row_text(const import_row *r, const char *id)
{
    const column_place *place;
    return column(r, id, &place) && place->at >= 0 ? csv_at(r->table, r->at, (size_t)place->at) : "";
}

const char *row_header(const import_row *r, const char *id)
{
    const column_place *place;
    return column(r, id, &place) && place->at >= 0 ? r->table->header[place->at] : id;
}

bool row_said(const import_row *r, const char *id)
{
    char plain[WORDS_LONGEST + 1];
    const char *s = row_text(r, id);
    return !words_plain(s, plain) || !words_unknown(plain);
}

tufa_code row_refuse(const import_row *r, tufa_code code, const char *id, const char *allowed, const char *why, trouble_note *note)
{
    note_set(note, code, row_header(r, id), row_text(r, id), allowed, why);
    return code;
}

tufa_code row_status(const import_row *r, tufa_status st, const char *id, trouble_note *note)
{
    if (st.code == TUFA_OK) return TUFA_OK;
    return row_refuse(r, st.code, id, "", st.why ? st.why : "", note);
}

void row_rule(const import_row *r, const char *id, value_rule *rule)
{
    const column_place *place;
    const column_row *c = column(r, id, &place);
    const unit_row *u = &units[c->unit];
    *rule = (value_rule){.field = row_header(r, id), .q = c->q, .unit = place->unit ? place->unit : column_unit(c, r->d->units),
                         .lo = unit_to_si(u, c->lo), .hi = unit_to_si(u, c->hi), .today = r->as_of};
}

tufa_code row_value(const import_row *r, const char *id, tufa_value *out, trouble_note *note)
{
    *out = (tufa_value){0};
    if (!row_said(r, id)) return TUFA_OK;
    value_rule rule;
    row_rule(r, id, &rule);
    return value_parse(row_text(r, id), &rule, out, note);
}

tufa_code row_day(const import_row *r, const char *id, int64_t fallback, int64_t *out, trouble_note *note)
{
    *out = fallback;
    if (!row_said(r, id)) return TUFA_OK;
    value_rule rule = {.field = row_header(r, id), .q = Q_DAY, .unit = &units[UNIT_DATE], .lo = (double)day_from_ymd(DAY_YEAR_MIN, 1, 1),
                       .hi = (double)day_from_ymd(DAY_YEAR_MAX, 12, 31), .today = r->d->today};
    tufa_value v;
    tufa_code code = value_parse(row_text(r, id), &rule, &v, note);
    if (code) return code;
    if (v.lo > (double)r->d->today) {
        text allowed = {0};
        text_add(&allowed, "up to ");
        say_day(&allowed, r->d->today);
        code = row_refuse(r, TUFA_RANGE, id, text_str(&allowed), "this day lies ahead", note);
        text_free(&allowed);
        return code;
    }
    *out = (int64_t)fmin(v.mid, (double)r->d->today);
    return TUFA_OK;
}

tufa_code row_words(const import_row *r, const char *id, size_t room, char *out, trouble_note *note)
{
    const char *s = row_said(r, id) ? row_text(r, id) : "";
    if (strlen(s) >= room) {
        char allowed[40];
        snprintf(allowed, sizeof allowed, "at most %zu bytes", room - 1);
        return row_refuse(r, TUFA_RANGE, id, allowed, "this is too long", note);
    }
    snprintf(out, room, "%s", s);
    return TUFA_OK;
}

tufa_code row_choice(const import_row *r, const char *id, int *out, trouble_note *note)
{
    const column_place *place;
    const column_row *c = column(r, id, &place);
    *out = -1;
    if (!row_said(r, id)) return TUFA_OK;
    *out = choice_find(c->choices, row_text(r, id));
    if (*out >= 0) return TUFA_OK;
    text allowed = {0};
    choice_words(&allowed, c->choices);
    tufa_code code = row_refuse(r, TUFA_UNKNOWN, id, text_str(&allowed), "this word is not known here", note);
    text_free(&allowed);
    return code;
}

tufa_code row_source(const import_row *r, char out[STORE_SOURCE], trouble_note *note)
{
    tufa_code code = row_words(r, "source", STORE_SOURCE, out, note);
    if (code == TUFA_OK && !out[0]) snprintf(out, STORE_SOURCE, "%s", r->from);
    return code;
}

typedef struct nearest {
    const char *given;
    char best[STORE_LABEL];
    size_t n;
} nearest;

/* One label at a time; the nearer of two stays. */
static void consider(nearest *n, const char *label)
{
    const char *pair[] = {n->best, label};
    const char *won = n->n ? nearest_name(n->given, pair, 2) : nearest_name(n->given, pair + 1, 1);
    if (won == label) {
        snprintf(n->best, sizeof n->best, "%s", label);
        n->n = 1;
    }
}
static tufa_status consider_water(void *ctx, const water_rec *w) { return consider(ctx, w->label), (tufa_status){0}; }
static tufa_status consider_house(void *ctx, const house_rec *h) { return consider(ctx, h->label), (tufa_status){0}; }
static tufa_status consider_heater(void *ctx, const heater_rec *h) { return consider(ctx, h->label), (tufa_status){0}; }

static void find_near(const import_row *r, thing_kind kind, const char *given, nearest *near)
{
    *near = (nearest){.given = given};
    tufa_status st = kind == THING_WATER   ? store_water_each(r->d->s, consider_water, near)
                     : kind == THING_HOUSE ? store_house_each(r->d->s, consider_house, near)
                                           : store_heater_each(r->d->s, consider_heater, near);
    if (st.code) near->n = 0;
}

tufa_code row_thing(const import_row *r, const char *id, thing_kind kind, int64_t *out, trouble_note *note)
{
    *out = 0;
    if (!row_said(r, id)) return TUFA_OK;
    tufa_status st = store_thing_labelled(r->d->s, kind, row_text(r, id), out);
    if (st.code != TUFA_MISSING) return row_status(r, st, id, note);
    char why[200];
    nearest near;
    find_near(r, kind, row_text(r, id), &near);
    snprintf(why, sizeof why, "the book has no %s of this name%s%s%s", thing_word(kind), near.n ? "; did you mean \"" : "",
             near.n ? near.best : "", near.n ? "\"?" : "");
    return row_refuse(r, TUFA_UNKNOWN, id, "", why, note);
}

tufa_code row_once(const import_row *r, const char *key, const char *id, trouble_note *note)
{
    char plain[WORDS_LONGEST + 1], why[80];
    if (!words_plain(key, plain)) snprintf(plain, sizeof plain, "%.*s", WORDS_LONGEST, key);
    size_t first = seen_before(&r->job->seen, plain, r->table->line[r->at]);
    if (first == 0) return TUFA_OK;
    if (first == SIZE_MAX) return row_refuse(r, TUFA_MEMORY, id, "", "", note);
    snprintf(why, sizeof why, "line %zu says this already; each may stand once", first);
    return row_refuse(r, TUFA_CONFLICT, id, "", why, note);
}

/* ---- the report ---- */

static void begin_change(const import_row *r, const char *id)
{
    const column_place *place;
    const column_row *c = column(r, id, &place);
    if (r->what->len) text_add(r->what, "; ");
    if (c) text_addn(r->what, c->names, strcspn(c->names, "|"));
    else text_add(r->what, id);
    text_add(r->what, " ");
}

void row_change(const import_row *r, const char *id, tufa_value before, tufa_value after)
{
    const column_place *place;
    const column_row *c = column(r, id, &place);
    begin_change(r, id);
    if (before.basis != TUFA_BASIS_NONE) {
        say_value(r->what, r->d->units, c->q, before);
        text_add(r->what, " -> ");
    }
    say_value(r->what, r->d->units, c->q, after);
}

void row_change_words(const import_row *r, const char *id, const char *before, const char *after)
{
    begin_change(r, id);
    if (before[0]) text_addf(r->what, "%s -> ", before);
    text_add(r->what, after[0] ? after : "not known");
}

void row_past_words(const import_row *r, const char *stands, int64_t day)
{
    text_addf(r->what, " at that time; what counts is %s of ", stands[0] ? stands : "\"not known\"");
    say_day(r->what, day);
}

bool value_same(tufa_value a, tufa_value b)
{
    const double *x[] = {&a.mid, &a.lo, &a.hi}, *y[] = {&b.mid, &b.lo, &b.hi};
    for (int i = 0; i < 3; i++)
        if (fabs(*x[i] - *y[i]) > 1e-9 * fmax(fabs(*x[i]), fabs(*y[i]))) return false;
    return a.basis == b.basis;
}
