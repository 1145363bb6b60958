/* Tables of waters, houses and heaters: a label, and whatever is said of it. One engine; the fields come from their
 * tables. */
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/kind.h"
#include "edge/desk/thing_facts.h"
#include "edge/import/sheet.h"

static const char *const OWN_NAMES[THING_COUNT] = {[THING_WATER] = "water|name|id|label|supply", [THING_HOUSE] = "house|name|id|label|address|property",
                                                   [THING_HEATER] = "heater|name|id|label|unit|water_heater"};

static void common_columns(column_set *c)
{
    columns_text(c, "said_on", "said_on|as_of|day|date|sampled|entered_on", false, "day on which this was said or read; without it, today");
    columns_text(c, "source", "source|from_whom|said_by|lab|laboratory", false, "who said so; without it, the name of the file");
}

void waters_columns(column_set *c)
{
    columns_text(c, "label", OWN_NAMES[THING_WATER], true, "what you call it; houses name their water by this");
    columns_fields(c, THING_WATER);
    common_columns(c);
}

void houses_columns(column_set *c)
{
    columns_text(c, "label", OWN_NAMES[THING_HOUSE], true, "what you call it, such as its street and number");
    columns_fields(c, THING_HOUSE);
    common_columns(c);
}

void heaters_columns(column_set *c)
{
    columns_text(c, "house", "house|address|street|property|where|building", true, "its house; one that the book does not have is added");
    columns_text(c, "label", OWN_NAMES[THING_HEATER], false, "what you call it; without it, the name of its house");
    columns_fields(c, THING_HEATER);
    common_columns(c);
}

/* ---- one row in ---- */

typedef struct thing_row {
    thing_kind kind;
    int64_t id, house, day;
    bool is_new, changed;
    char source[STORE_SOURCE];
} thing_row;

/* What was before, and what is now; of an older day, what stands all the same. */
static void say_change(import_row *r, const fact_rec *fact, const fact_met *met)
{
    text old = {0}, now = {0}, later = {0};
    fact_say(r->d, &met->before, fact->field, &old);
    fact_say(r->d, fact, fact->field, &now);
    row_change_words(r, fact->field->member, text_str(&old), text_str(&now));
    if (met->past) {
        fact_say(r->d, &met->now, fact->field, &later);
        row_past_words(r, text_str(&later), met->now.day);
    }
    text_free(&old);
    text_free(&now);
    text_free(&later);
}

static tufa_code take_field(import_row *r, thing_row *t, const field_row *f, trouble_note *note)
{
    fact_rec fact = {.thing = t->id, .field = f, .day = t->day, .choice = -1};
    memcpy(fact.source, t->source, sizeof fact.source);
    tufa_code code = TUFA_OK;
    switch (f->type) {
    case FIELD_VALUE: code = row_value(r, f->member, &fact.value, note); break;
    case FIELD_CHOICE: code = row_choice(r, f->member, &fact.choice, note); break;
    case FIELD_REF: code = row_thing(r, f->member, THING_WATER, &fact.ref, note); break;
    case FIELD_WORD: code = row_words(r, f->member, sizeof fact.word, fact.word, note); break;
    }
    if (code) return code;
    fact_met met;
    tufa_status st = fact_keep(r->d->s, t->kind, &fact, t->is_new, row_said(r, "said_on"), &met);
    if (st.code) return row_status(r, st, f->member, note);
    if (met.same) return TUFA_OK;
    t->changed = true;
    if (!t->is_new) say_change(r, &fact, &met);
    return TUFA_OK;
}

/* `skip` is a member that was dealt with already. */
static tufa_code take_fields(import_row *r, thing_row *t, const char *skip, trouble_note *note)
{
    size_t n;
    const field_row *fields = thing_fields(t->kind, &n);
    for (size_t i = 0; i < n; i++) {
        if (!row_said(r, fields[i].member) || strcmp(fields[i].member, skip) == 0) continue;
        tufa_code code = take_field(r, t, &fields[i], note);
        if (code) return code;
    }
    return TUFA_OK;
}

static tufa_code begin(import_row *r, thing_row *t, trouble_note *note)
{
    tufa_code code = row_day(r, "said_on", r->d->today, &t->day, note);
    r->as_of = t->day;
    return code ? code : row_source(r, t->source, note);
}

static tufa_code find_or_add(import_row *r, thing_row *t, const char *label, trouble_note *note)
{
    tufa_code code = row_once(r, label, "label", note);
    if (code) return code;
    text_add(r->name, label);
    tufa_status st = store_thing_labelled(r->d->s, t->kind, label, &t->id);
    t->is_new = st.code == TUFA_MISSING;
    if (t->is_new) st = store_thing_add(r->d->s, t->kind, label, t->house, t->day, t->source, &t->id);
    return row_status(r, st, "label", note);
}

static import_outcome outcome_of(const thing_row *t) { return t->is_new ? ROW_NEW : t->changed ? ROW_CHANGED : ROW_SAME; }

static tufa_code take_labelled(import_row *r, thing_row *t, import_outcome *outcome, trouble_note *note)
{
    if (!row_said(r, "label")) return row_refuse(r, TUFA_MISSING, "label", "", "every row needs a name", note);
    tufa_code code = begin(r, t, note);
    if (code == TUFA_OK) code = find_or_add(r, t, row_text(r, "label"), note);
    if (code == TUFA_OK) code = take_fields(r, t, "", note);
    *outcome = outcome_of(t);
    return code;
}

tufa_code houses_take(import_row *r, import_outcome *outcome, trouble_note *note)
{
    thing_row t = {.kind = THING_HOUSE};
    return take_labelled(r, &t, outcome, note);
}

/* ---- heaters bring their house along ---- */

static tufa_code take_house(import_row *r, thing_row *t, const char *label, bool *made, trouble_note *note)
{
    tufa_status st = store_thing_labelled(r->d->s, THING_HOUSE, label, &t->house);
    *made = st.code == TUFA_MISSING;
    if (*made) st = store_thing_add(r->d->s, THING_HOUSE, label, 0, t->day, t->source, &t->house);
    if (*made && st.code == TUFA_OK) row_change_words(r, "house", "", "added");
    return row_status(r, st, "house", note);
}

/* A water named beside a heater is the house's where the house has none yet; else the heater's own, if it is another. */
static tufa_code take_water(import_row *r, thing_row *t, const char **done, trouble_note *note)
{
    int64_t water;
    *done = "";
    tufa_code code = row_thing(r, "water", THING_WATER, &water, note);
    if (code || !water) return code;
    house_rec house;
    tufa_status st = store_house_get(r->d->s, t->house, &house);
    if (st.code) return row_status(r, st, "house", note);
    if (house.water && house.water != water) return TUFA_OK;
    heater_rec heater;
    st = store_heater_get(r->d->s, t->id, &heater);
    if (st.code) return row_status(r, st, "house", note);
    if (heater.water) return TUFA_OK; /* it has its own: a change of that */
    *done = "water";
    if (house.water) return TUFA_OK;
    fact_rec fact = {.thing = t->house, .field = thing_field(THING_HOUSE, "water"), .ref = water, .choice = -1, .day = t->day};
    memcpy(fact.source, t->source, sizeof fact.source);
    return row_status(r, store_fact_add(r->d->s, THING_HOUSE, &fact), "water", note);
}

static tufa_code check_house(import_row *r, const thing_row *t, trouble_note *note)
{
    heater_rec heater;
    tufa_status st = store_heater_get(r->d->s, t->id, &heater);
    if (st.code) return row_status(r, st, "label", note);
    if (heater.house == t->house) return TUFA_OK;
    char label[STORE_LABEL], why[200];
    st = store_thing_label(r->d->s, THING_HOUSE, heater.house, label);
    if (st.code) return row_status(r, st, "house", note);
    snprintf(why, sizeof why, "the book has this heater in another house: %s", label);
    return row_refuse(r, TUFA_CONFLICT, "house", "", why, note);
}

/* A heater that was taken out already stands in the book with its day behind its name. */
static tufa_code heater_label(import_row *r, const char *given, char label[STORE_LABEL + 32], trouble_note *note)
{
    snprintf(label, STORE_LABEL + 32, "%s", given);
    tufa_value out_day;
    tufa_code code = row_value(r, "out_day", &out_day, note);
    if (code || out_day.basis == TUFA_BASIS_NONE) return code;
    int64_t there;
    char with_day[STORE_LABEL + 32];
    heater_out_label(given, (int64_t)out_day.mid, with_day);
    if (store_thing_labelled(r->d->s, THING_HEATER, with_day, &there).code == TUFA_OK) memcpy(label, with_day, sizeof with_day);
    return TUFA_OK;
}

tufa_code heaters_take(import_row *r, import_outcome *outcome, trouble_note *note)
{
    thing_row t = {.kind = THING_HEATER};
    if (!row_said(r, "house")) return row_refuse(r, TUFA_MISSING, "house", "", "every heater needs its house or street", note);
    const char *house = row_text(r, "house"), *given = row_said(r, "label") ? row_text(r, "label") : house, *done = "";
    char label[STORE_LABEL + 32];
    bool made = false;
    tufa_code code = begin(r, &t, note);
    if (code == TUFA_OK) code = heater_label(r, given, label, note);
    if (code == TUFA_OK) code = take_house(r, &t, house, &made, note);
    if (code == TUFA_OK) code = find_or_add(r, &t, label, note);
    if (code == TUFA_CONFLICT && !row_said(r, "label")) note_set(note, code, "heater", given, "", "a house with several heaters needs a name for each, in a column `heater`");
    if (code == TUFA_OK) code = check_house(r, &t, note);
    if (code == TUFA_OK) code = take_water(r, &t, &done, note);
    if (code == TUFA_OK) code = take_fields(r, &t, done, note);
    if (code == TUFA_OK) code = row_status(r, heater_out_rename(r->d->s, t.id, t.day, t.source), "out_day", note);
    *outcome = outcome_of(&t);
    return code;
}

/* ---- waters: what a sheet says as well ---- */

static tufa_code sheet_from(import_row *r, sheet_rec *sheet, trouble_note *note)
{
    for (size_t at = 0; at < r->table->columns; at++) {
        const char *cell = csv_at(r->table, r->at, at);
        if (!r->map->other[at] || !*cell || !sheet_takes(r->table->header[at])) continue;
        if (sheet->n == SHEET_CELLS || strlen(cell) >= STORE_CELL) {
            note_set(note, TUFA_RANGE, r->table->header[at], cell, "at most 63 bytes, 48 columns", "this does not fit a lab sheet");
            return TUFA_RANGE;
        }
        snprintf(sheet->cells[sheet->n].column, STORE_CELL, "%s", r->table->header[at]);
        snprintf(sheet->cells[sheet->n++].cell, STORE_CELL, "%s", cell);
    }
    tufa_water_known known;
    return sheet->n ? sheet_known(sheet, &known, NULL, note) : TUFA_OK;
}

static bool same_sheet(const sheet_rec *a, const sheet_rec *b)
{
    if (a->n != b->n) return false;
    for (int i = 0; i < a->n; i++)
        if (strcmp(a->cells[i].column, b->cells[i].column) != 0 || strcmp(a->cells[i].cell, b->cells[i].cell) != 0) return false;
    return true;
}

static tufa_code take_sheet(import_row *r, thing_row *t, trouble_note *note)
{
    sheet_rec sheet = {.water = t->id, .day = t->day}, before;
    memcpy(sheet.source, t->source, sizeof sheet.source);
    tufa_code code = sheet_from(r, &sheet, note);
    if (code || sheet.n == 0) return code;
    tufa_status st = store_sheet_on(r->d->s, t->id, t->day, &before);
    if (st.code && st.code != TUFA_MISSING) return row_status(r, st, "label", note);
    if (st.code == TUFA_OK && same_sheet(&sheet, &before)) return TUFA_OK;
    if (!t->is_new) row_change_words(r, "sheet", st.code == TUFA_OK ? "an older one" : "", "a new one");
    st = store_sheet_now(r->d->s, t->id, &before);
    if (st.code && st.code != TUFA_MISSING) return row_status(r, st, "label", note);
    if (st.code == TUFA_OK && before.day > t->day) row_past_words(r, "the sheet", before.day);
    t->changed = true;
    int64_t id;
    return row_status(r, store_sheet_add(r->d->s, &sheet, &id), "label", note);
}

tufa_code waters_take(import_row *r, import_outcome *outcome, trouble_note *note)
{
    thing_row t = {.kind = THING_WATER};
    tufa_code code = take_labelled(r, &t, outcome, note);
    if (code == TUFA_OK) code = take_sheet(r, &t, note);
    *outcome = outcome_of(&t);
    return code;
}

/* ---- rows out ---- */

typedef struct giving {
    desk *d;
    export_table *t;
    thing_kind kind;
    int64_t day;
    char source[STORE_SOURCE];
    int facts;
    bool mixed;
} giving;

/* Day and source stand in the row where all that counts of the thing was said on one day by one source. */
static tufa_status note_origin(void *ctx, const fact_rec *f)
{
    giving *g = ctx;
    fact_rec now;
    tufa_status st = store_fact_now(g->d->s, g->kind, f->thing, f->field, &now);
    if (st.code || now.id != f->id) return st;
    if (g->facts++ == 0) {
        g->day = f->day;
        memcpy(g->source, f->source, sizeof g->source);
    }
    g->mixed = g->mixed || g->day != f->day || strcmp(g->source, f->source) != 0;
    return OK;
}

static tufa_status give_origin(giving *g, int64_t id)
{
    g->facts = 0;
    g->mixed = false;
    RETURN_IF(store_fact_each(g->d->s, g->kind, id, NULL, note_origin, g));
    if (g->facts == 0 || g->mixed) return OK;
    export_day(g->t, "said_on", g->day);
    export_text(g->t, "source", g->source);
    return OK;
}

static tufa_status give_fields(giving *g, const void *record)
{
    size_t n;
    const field_row *fields = thing_fields(g->kind, &n);
    for (size_t i = 0; i < n; i++) {
        const field_row *f = &fields[i];
        const void *at = (const char *)record + f->offset;
        if (f->type == FIELD_VALUE) {
            export_value(g->t, f->member, *(const tufa_value *)at);
        } else {
            fact_rec fact = {.field = f, .choice = -1};
            if (f->type == FIELD_CHOICE) fact.choice = *(const int *)at;
            if (f->type == FIELD_REF) fact.ref = *(const int64_t *)at;
            if (f->type == FIELD_WORD) snprintf(fact.word, sizeof fact.word, "%s", (const char *)at);
            text t = {0};
            fact_say(g->d, &fact, f, &t);
            export_text(g->t, f->member, text_str(&t));
            text_free(&t);
        }
    }
    return OK;
}

static tufa_status give_house(void *ctx, const house_rec *r)
{
    giving *g = ctx;
    export_row(g->t);
    export_text(g->t, "label", r->label);
    RETURN_IF(give_fields(g, r));
    return give_origin(g, r->id);
}

tufa_status houses_give(desk *d, export_table *t) { return store_house_each(d->s, give_house, &(giving){.d = d, .t = t, .kind = THING_HOUSE}); }

static tufa_status give_heater(void *ctx, const heater_rec *r)
{
    giving *g = ctx;
    char house[STORE_LABEL];
    RETURN_IF(store_thing_label(g->d->s, THING_HOUSE, r->house, house));
    export_row(g->t);
    export_text(g->t, "house", house);
    export_text(g->t, "label", r->label);
    RETURN_IF(give_fields(g, r));
    return give_origin(g, r->id);
}

tufa_status heaters_give(desk *d, export_table *t)
{
    return store_heater_each(d->s, give_heater, &(giving){.d = d, .t = t, .kind = THING_HEATER});
}

static tufa_status give_water(void *ctx, const water_rec *r)
{
    giving *g = ctx;
    export_row(g->t);
    export_text(g->t, "label", r->label);
    RETURN_IF(give_fields(g, r));
    sheet_rec sheet;
    tufa_status st = store_sheet_now(g->d->s, r->id, &sheet);
    if (st.code == TUFA_MISSING) return give_origin(g, r->id);
    RETURN_IF(st);
    for (int i = 0; i < sheet.n; i++) export_other(g->t, sheet.cells[i].column, sheet.cells[i].cell);
    export_day(g->t, "said_on", sheet.day); /* the sheet's own day and source come first */
    export_text(g->t, "source", sheet.source);
    return OK;
}

tufa_status waters_give(desk *d, export_table *t) { return store_water_each(d->s, give_water, &(giving){.d = d, .t = t, .kind = THING_WATER}); }
