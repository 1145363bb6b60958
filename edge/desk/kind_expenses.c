/* The table of expenses: one row for what was paid, driven or worked on a day. A row of the same house, heater, day, kind and words
 * that says otherwise is a correction. */
#include <math.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/kind.h"
#include "edge/say/day.h"

void expenses_columns(column_set *c)
{
    columns_text(c, "house", "house|address|property", false, "the house; without it, for all houses (stock for the van)");
    columns_text(c, "heater", "heater|water_heater|unit", false, "the heater, where it was for one");
    columns_text(c, "day", "day|date|on|paid_on|spent_on", true, "day on which it was");
    columns_text(c, "kind", "kind|type|category", false, "contractor, parts, fee, own or other; without it, contractor where somebody was paid by name, own where nothing was paid, else parts");
    columns_text(c, "mark", "mark|treated_as", false, "upkeep, repaired (without it) or replaced");
    columns_text(c, "what", "what|for|description|work|item", true, "what it was for");
    columns_text(c, "who", "paid_to|who_was_paid|to|vendor|contractor", false, "who was paid");
    columns_value(c, "cents", "amount|paid|cost|usd|dollars", Q_MONEY, UNIT_DOLLAR, 0, 1000000, false, "what was paid");
    columns_value(c, "spent_s", "hours|own_hours|time", Q_HOURS, UNIT_HOUR, 0, 200, false, "own hours");
    columns_value(c, "road_m", "miles|distance|driven", Q_ROAD, UNIT_MI, 0, 5000, false, "miles driven");
    columns_text(c, "receipt", "receipt|photo|picture|invoice|reference", false, "where the receipt or its picture is");
    columns_text(c, "note", "note|notes|remark|remarks|comment", false, "anything worth keeping");
    columns_text(c, "source", "source|from_whom|said_by", false, "who said so; without it, the name of the file");
}

typedef struct same_expense {
    const expense_rec *want;
    expense_rec found;
    bool any;
} same_expense;

static tufa_status find_expense(void *ctx, const expense_rec *r)
{
    same_expense *s = ctx;
    const expense_rec *w = s->want;
    if (r->house != w->house || r->heater != w->heater || r->kind != w->kind || strcmp(r->what, w->what) != 0) return OK;
    s->found = *r;
    s->any = true;
    return OK;
}

static bool alike(const expense_rec *a, const expense_rec *b)
{
    return a->has_cents == b->has_cents && a->cents == b->cents && a->has_road == b->has_road && fabs(a->road_m - b->road_m) < 1e-6 * (1.0 + b->road_m) &&
           a->has_time == b->has_time && fabs(a->spent_s - b->spent_s) < 1e-6 * (1.0 + b->spent_s) && a->mark == b->mark && strcmp(a->who, b->who) == 0 &&
           strcmp(a->receipt, b->receipt) == 0 && strcmp(a->note, b->note) == 0;
}

static tufa_code take_figures(import_row *r, expense_rec *e, trouble_note *note)
{
    tufa_value cents = {0}, time = {0}, road = {0};
    tufa_code code = row_value(r, "cents", &cents, note);
    if (code == TUFA_OK) code = row_value(r, "spent_s", &time, note);
    if (code == TUFA_OK) code = row_value(r, "road_m", &road, note);
    e->has_cents = cents.basis != TUFA_BASIS_NONE;
    e->has_time = time.basis != TUFA_BASIS_NONE;
    e->has_road = road.basis != TUFA_BASIS_NONE;
    e->cents = llround(cents.mid);
    e->spent_s = time.mid;
    e->road_m = road.mid;
    if (code == TUFA_OK && !e->has_cents && !e->has_time && !e->has_road)
        return row_refuse(r, TUFA_MISSING, "what", "amount, hours, miles", "nothing was paid, worked or driven in this row", note);
    return code;
}

static tufa_code take_words(import_row *r, expense_rec *e, trouble_note *note)
{
    int kind = row_said(r, "kind") ? expense_kind_find(row_text(r, "kind")) : !e->has_cents ? EXPENSE_OWN : row_said(r, "who") ? EXPENSE_CONTRACTOR : EXPENSE_PARTS;
    int mark = row_said(r, "mark") ? expense_mark_find(row_text(r, "mark")) : MARK_REPAIRED;
    if (kind < 0) return row_refuse(r, TUFA_UNKNOWN, "kind", "contractor, parts, fee, own, other", "this was not understood", note);
    if (mark < 0) return row_refuse(r, TUFA_UNKNOWN, "mark", "upkeep, repaired, replaced", "this was not understood", note);
    e->kind = (expense_kind)kind;
    e->mark = (expense_mark)mark;
    if (!row_said(r, "what")) return row_refuse(r, TUFA_MISSING, "what", "", "say what it was for", note);
    tufa_code code = row_words(r, "what", sizeof e->what, e->what, note);
    if (code == TUFA_OK) code = row_words(r, "who", sizeof e->who, e->who, note);
    if (code == TUFA_OK) code = row_words(r, "receipt", sizeof e->receipt, e->receipt, note);
    if (code == TUFA_OK) code = row_words(r, "note", sizeof e->note, e->note, note);
    return code == TUFA_OK ? row_source(r, e->source, note) : code;
}

static tufa_code take_place(import_row *r, expense_rec *e, trouble_note *note)
{
    heater_rec h;
    tufa_code code = row_thing(r, "house", THING_HOUSE, &e->house, note);
    if (code == TUFA_OK) code = row_thing(r, "heater", THING_HEATER, &e->heater, note);
    if (code != TUFA_OK || !e->heater) return code;
    tufa_status st = store_heater_get(r->d->s, e->heater, &h);
    if (st.code != TUFA_OK) return row_status(r, st, "heater", note);
    if (e->house && h.house != e->house) return row_refuse(r, TUFA_CONFLICT, "heater", "", "this heater stands in another house", note);
    e->house = h.house;
    return TUFA_OK;
}

tufa_code expenses_take(import_row *r, import_outcome *outcome, trouble_note *note)
{
    expense_rec e = {0};
    text key = {0};
    text_addf(r->name, "%s %s %s", row_text(r, "house"), row_text(r, "day"), row_text(r, "what"));
    if (!row_said(r, "day")) return row_refuse(r, TUFA_MISSING, "day", "", "every row needs its day", note);
    tufa_code code = take_place(r, &e, note);
    if (code == TUFA_OK) code = row_day(r, "day", 0, &e.day, note);
    if (code == TUFA_OK) code = take_figures(r, &e, note);
    if (code == TUFA_OK) code = take_words(r, &e, note);
    text_addf(&key, "%lld|%lld|%lld|%d|%s", (long long)e.house, (long long)e.heater, (long long)e.day, (int)e.kind, e.what);
    if (code == TUFA_OK) code = row_once(r, text_str(&key), "what", note);
    text_free(&key);
    if (code != TUFA_OK) return code;
    same_expense s = {.want = &e};
    code = row_status(r, store_expense_each(r->d->s, e.day, e.day, find_expense, &s), "what", note);
    if (code != TUFA_OK) return code;
    *outcome = !s.any ? ROW_NEW : alike(&s.found, &e) ? ROW_SAME : ROW_CHANGED;
    if (*outcome == ROW_SAME) return TUFA_OK;
    int64_t id;
    return row_status(r, store_expense_add(r->d->s, &e, s.any ? s.found.id : 0, &id), "what", note);
}

static tufa_value exactly(double x) { return (tufa_value){x, x, x, TUFA_BASIS_GIVEN}; }

static tufa_status give_expense(void *ctx, const expense_rec *e)
{
    export_table *t = ctx;
    char label[STORE_LABEL], amount[40];
    export_row(t);
    if (e->house) {
        RETURN_IF(store_thing_label(export_desk(t)->s, THING_HOUSE, e->house, label));
        export_text(t, "house", label);
    }
    if (e->heater) {
        RETURN_IF(store_thing_label(export_desk(t)->s, THING_HEATER, e->heater, label));
        export_text(t, "heater", label);
    }
    export_day(t, "day", e->day);
    export_text(t, "kind", expense_kind_id(e->kind));
    export_text(t, "mark", expense_mark_id(e->mark));
    export_text(t, "what", e->what);
    export_text(t, "who", e->who);
    snprintf(amount, sizeof amount, "%lld.%02lld", (long long)(e->cents / 100), (long long)(e->cents % 100));
    if (e->has_cents) export_text(t, "cents", amount); /* to the cent, whatever the size */
    if (e->has_time) export_value(t, "spent_s", exactly(e->spent_s));
    if (e->has_road) export_value(t, "road_m", exactly(e->road_m));
    export_text(t, "receipt", e->receipt);
    export_text(t, "note", e->note);
    export_text(t, "source", e->source);
    return OK;
}

tufa_status expenses_give(desk *d, export_table *t) { return store_expense_each(d->s, INT64_MIN, INT64_MAX, give_expense, t); }
