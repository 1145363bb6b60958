/* Tables of what happens: households, findings, visits. A row that says otherwise than one of the same thing and day is
 * a correction. */
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/kind.h"
#include "edge/say/day.h"

static void end_columns(column_set *c)
{
    columns_text(c, "note", "note|notes|remark|remarks|comment", false, "anything worth keeping");
    columns_text(c, "source", "source|from_whom|said_by|who", false, "who said so; without it, the name of the file");
}

static tufa_code take_end(import_row *r, char *note_text, char *source, trouble_note *note)
{
    tufa_code code = row_words(r, "note", STORE_WORD, note_text, note);
    return code ? code : row_source(r, source, note);
}

/* ---- households ---- */

void households_columns(column_set *c)
{
    columns_text(c, "house", "house|address|property", true, "their house");
    columns_text(c, "heater", "heater|water_heater|unit", false, "the heater they draw from; without it, every heater of the house");
    columns_text(c, "from", "from|since|from_day|moved_in|start|day|date", false, "day from which this holds; without it, today");
    columns_value(c, "people", "people|persons|occupants|tenants|who", Q_NUMBER, UNIT_ONE, 0, 60, false, "how many live there");
    columns_value(c, "hot_m3_s", "hot_water|hot_water_use|use", Q_USE, UNIT_GAL_DAY, 0, 2000, false, "hot water drawn, where somebody measured it");
    columns_value(c, "setpoint_K", "setpoint|thermostat|dial", Q_TEMPERATURE, UNIT_F, 80, 190, false, "what the thermostat was set to with them");
    end_columns(c);
}

typedef struct same_household {
    household_rec want, found;
    bool any;
} same_household;

static tufa_status find_household(void *ctx, const household_rec *r)
{
    same_household *s = ctx;
    if (r->heater != s->want.heater || r->from_day != s->want.from_day) return OK;
    s->found = *r;
    s->any = true;
    return OK;
}

static tufa_code household_from(import_row *r, household_rec *h, trouble_note *note)
{
    if (!row_said(r, "house")) return row_refuse(r, TUFA_MISSING, "house", "", "every household needs its house", note);
    tufa_code code = row_thing(r, "house", THING_HOUSE, &h->house, note);
    if (code == TUFA_OK) code = row_thing(r, "heater", THING_HEATER, &h->heater, note);
    if (code == TUFA_OK) code = row_day(r, "from", r->d->today, &h->from_day, note);
    if (code == TUFA_OK) code = row_value(r, "people", &h->people, note);
    if (code == TUFA_OK) code = row_value(r, "hot_m3_s", &h->hot_m3_s, note);
    if (code == TUFA_OK) code = row_value(r, "setpoint_K", &h->setpoint_K, note);
    return code ? code : take_end(r, h->note, h->source, note);
}

static tufa_code heater_is_of_house(import_row *r, const household_rec *h, trouble_note *note)
{
    heater_rec heater;
    if (!h->heater) return TUFA_OK;
    tufa_status st = store_heater_get(r->d->s, h->heater, &heater);
    if (st.code) return row_status(r, st, "heater", note);
    return heater.house == h->house ? TUFA_OK : row_refuse(r, TUFA_CONFLICT, "heater", "", "this heater stands in another house", note);
}

tufa_code households_take(import_row *r, import_outcome *outcome, trouble_note *note)
{
    same_household s = {0};
    household_rec *h = &s.want;
    text key = {0};
    tufa_code code = household_from(r, h, note);
    if (code == TUFA_OK) code = heater_is_of_house(r, h, note);
    text_addf(r->name, "%s from ", row_text(r, "house"));
    say_day(r->name, h->from_day);
    text_addf(&key, "%lld|%lld|%lld", (long long)h->house, (long long)h->heater, (long long)h->from_day);
    if (code == TUFA_OK) code = row_once(r, text_str(&key), "house", note);
    text_free(&key);
    if (code == TUFA_OK) code = row_status(r, store_household_each(r->d->s, h->house, find_household, &s), "house", note);
    if (code) return code;
    const household_rec *f = &s.found;
    bool same = value_same(f->people, h->people) && value_same(f->hot_m3_s, h->hot_m3_s) && value_same(f->setpoint_K, h->setpoint_K) &&
                strcmp(f->note, h->note) == 0;
    *outcome = !s.any ? ROW_NEW : same ? ROW_SAME : ROW_CHANGED;
    if (*outcome == ROW_SAME) return TUFA_OK;
    if (s.any && !value_same(f->people, h->people)) row_change(r, "people", f->people, h->people);
    int64_t id;
    return row_status(r, store_household_add(r->d->s, h, s.any ? f->id : 0, &id), "house", note);
}

static tufa_status give_household(void *ctx, const household_rec *r)
{
    export_table *t = ctx;
    char label[STORE_LABEL];
    RETURN_IF(store_thing_label(export_desk(t)->s, THING_HOUSE, r->house, label));
    export_row(t);
    export_text(t, "house", label);
    if (r->heater) {
        RETURN_IF(store_thing_label(export_desk(t)->s, THING_HEATER, r->heater, label));
        export_text(t, "heater", label);
    }
    export_day(t, "from", r->from_day);
    export_value(t, "people", r->people);
    export_value(t, "hot_m3_s", r->hot_m3_s);
    export_value(t, "setpoint_K", r->setpoint_K);
    export_text(t, "note", r->note);
    export_text(t, "source", r->source);
    return OK;
}

tufa_status households_give(desk *d, export_table *t) { return store_household_each(d->s, 0, give_household, t); }

/* ---- what findings and visits share ---- */

static void event_columns(column_set *c)
{
    columns_text(c, "heater", "heater|water_heater|unit|tank", true, "the heater");
    columns_text(c, "day", "day|date|on|visited|found_on|visited_on", true, "day on which it was");
}

static tufa_code event_from(import_row *r, int64_t *heater, int64_t *day, trouble_note *note)
{
    if (!row_said(r, "heater")) return row_refuse(r, TUFA_MISSING, "heater", "", "every row needs its heater", note);
    if (!row_said(r, "day")) return row_refuse(r, TUFA_MISSING, "day", "", "every row needs its day", note);
    text_addf(r->name, "%s %s", row_text(r, "heater"), row_text(r, "day"));
    tufa_code code = row_thing(r, "heater", THING_HEATER, heater, note);
    return code ? code : row_day(r, "day", 0, day, note);
}

/* ---- findings: one row of the table, a finding for each column that says something ---- */

void findings_columns(column_set *c)
{
    event_columns(c);
    columns_findings(c);
    end_columns(c);
}

typedef struct same_finding {
    finding_rec want, found;
    bool any;
} same_finding;

static tufa_status find_finding(void *ctx, const finding_rec *r)
{
    same_finding *s = ctx;
    if (r->day != s->want.day || r->kind != s->want.kind) return OK;
    s->found = *r;
    s->any = true;
    return OK;
}

static tufa_code take_finding(import_row *r, const finding_rec *given, import_outcome *outcome, trouble_note *note)
{
    same_finding s = {.want = *given};
    const char *id = finding_rows[given->kind].id;
    tufa_code code = row_status(r, store_finding_each(r->d->s, given->heater, find_finding, &s), id, note);
    if (code) return code;
    if (s.any && value_same(s.found.value, given->value) && strcmp(s.found.note, given->note) == 0) return TUFA_OK;
    if (s.any) *outcome = ROW_CHANGED;
    else if (*outcome == ROW_SAME) *outcome = ROW_NEW;
    if (s.any) row_change(r, id, s.found.value, given->value);
    int64_t row;
    return row_status(r, store_finding_add(r->d->s, given, s.any ? s.found.id : 0, &row), id, note);
}

tufa_code findings_take(import_row *r, import_outcome *outcome, trouble_note *note)
{
    finding_rec f = {0};
    int said = 0;
    text key = {0};
    tufa_code code = event_from(r, &f.heater, &f.day, note);
    if (code == TUFA_OK) code = take_end(r, f.note, f.source, note);
    text_addf(&key, "%lld|%lld", (long long)f.heater, (long long)f.day);
    if (code == TUFA_OK) code = row_once(r, text_str(&key), "heater", note);
    text_free(&key);
    *outcome = ROW_SAME;
    for (int k = 0; code == TUFA_OK && k < FINDING_COUNT; k++) {
        f.kind = (finding_kind)k;
        code = row_value(r, finding_rows[k].id, &f.value, note);
        if (code || f.value.basis == TUFA_BASIS_NONE) continue;
        said++;
        code = take_finding(r, &f, outcome, note);
    }
    if (code == TUFA_OK && said == 0) return row_refuse(r, TUFA_MISSING, "heater", "", "nothing was found in this row: no figure stands in it", note);
    return code;
}

typedef struct giving_findings {
    export_table *t;
    int64_t heater, day;
    char note[STORE_WORD], source[STORE_SOURCE];
    bool open[FINDING_COUNT], any;
} giving_findings;

/* Findings of one tank and day share a row as far as note and source allow it. */
static tufa_status give_finding(void *ctx, const finding_rec *r)
{
    giving_findings *g = ctx;
    bool fits = g->any && g->heater == r->heater && g->day == r->day && !g->open[r->kind] && strcmp(g->note, r->note) == 0 &&
                strcmp(g->source, r->source) == 0;
    if (!fits) {
        char label[STORE_LABEL];
        RETURN_IF(store_thing_label(export_desk(g->t)->s, THING_HEATER, r->heater, label));
        *g = (giving_findings){.t = g->t, .heater = r->heater, .day = r->day, .any = true};
        memcpy(g->note, r->note, sizeof g->note);
        memcpy(g->source, r->source, sizeof g->source);
        export_row(g->t);
        export_text(g->t, "heater", label);
        export_day(g->t, "day", r->day);
        export_text(g->t, "note", r->note);
        export_text(g->t, "source", r->source);
    }
    g->open[r->kind] = true;
    export_value(g->t, finding_rows[r->kind].id, r->value);
    return OK;
}

tufa_status findings_give(desk *d, export_table *t)
{
    giving_findings g = {.t = t};
    return store_finding_each(d->s, 0, give_finding, &g);
}

/* ---- visits ---- */

void visits_columns(column_set *c)
{
    event_columns(c);
    columns_text(c, "work", "work|what|job|kind|done", true, "what was done: look, flush, clean, soak, lower element, anode ...");
    columns_value(c, "spent_s", "spent|time|minutes|duration", Q_TIME, UNIT_MINUTE, 0, 2880, false, "time on site");
    columns_value(c, "cost_cents", "cost|paid|parts|dollars|money", Q_MONEY, UNIT_DOLLAR, -20000, 20000, false, "money laid out");
    end_columns(c);
}

typedef struct same_visit {
    visit_rec want, found;
    bool any;
} same_visit;

static tufa_status find_visit(void *ctx, const visit_rec *r)
{
    same_visit *s = ctx;
    if (r->day != s->want.day || r->work != s->want.work) return OK;
    s->found = *r;
    s->any = true;
    return OK;
}

static tufa_code work_from(import_row *r, work_kind *work, trouble_note *note)
{
    if (!row_said(r, "work")) return row_refuse(r, TUFA_MISSING, "work", "", "every visit needs what was done", note);
    int w = work_find(row_text(r, "work"));
    text words = {0};
    work_words(&words);
    tufa_code code = w >= 0 ? TUFA_OK : row_refuse(r, TUFA_UNKNOWN, "work", text_str(&words), "this kind of work is not known here", note);
    text_free(&words);
    if (w >= 0) *work = (work_kind)w;
    return code;
}

tufa_code visits_take(import_row *r, import_outcome *outcome, trouble_note *note)
{
    same_visit s = {0};
    visit_rec *v = &s.want;
    text key = {0};
    tufa_code code = event_from(r, &v->heater, &v->day, note);
    if (code == TUFA_OK) code = work_from(r, &v->work, note);
    if (code == TUFA_OK) code = row_value(r, "spent_s", &v->spent_s, note);
    if (code == TUFA_OK) code = row_value(r, "cost_cents", &v->cost_cents, note);
    if (code == TUFA_OK) code = take_end(r, v->note, v->source, note);
    text_addf(&key, "%lld|%lld|%d", (long long)v->heater, (long long)v->day, (int)v->work);
    if (code == TUFA_OK) code = row_once(r, text_str(&key), "work", note);
    text_free(&key);
    if (code == TUFA_OK) code = row_status(r, store_visit_each(r->d->s, v->heater, find_visit, &s), "heater", note);
    if (code) return code;
    const visit_rec *f = &s.found;
    bool same = value_same(f->spent_s, v->spent_s) && value_same(f->cost_cents, v->cost_cents) && strcmp(f->note, v->note) == 0;
    *outcome = !s.any ? ROW_NEW : same ? ROW_SAME : ROW_CHANGED;
    if (*outcome == ROW_SAME) return TUFA_OK;
    if (s.any && !value_same(f->spent_s, v->spent_s)) row_change(r, "spent_s", f->spent_s, v->spent_s);
    if (s.any && !value_same(f->cost_cents, v->cost_cents)) row_change(r, "cost_cents", f->cost_cents, v->cost_cents);
    int64_t id;
    return row_status(r, store_visit_add(r->d->s, v, s.any ? f->id : 0, &id), "heater", note);
}

static tufa_status give_visit(void *ctx, const visit_rec *r)
{
    export_table *t = ctx;
    char label[STORE_LABEL];
    RETURN_IF(store_thing_label(export_desk(t)->s, THING_HEATER, r->heater, label));
    text work = {0};
    work_word(&work, r->work);
    export_row(t);
    export_text(t, "heater", label);
    export_day(t, "day", r->day);
    export_text(t, "work", text_str(&work));
    export_value(t, "spent_s", r->spent_s);
    export_value(t, "cost_cents", r->cost_cents);
    export_text(t, "note", r->note);
    export_text(t, "source", r->source);
    text_free(&work);
    return OK;
}

tufa_status visits_give(desk *d, export_table *t) { return store_visit_each(d->s, 0, give_visit, t); }
