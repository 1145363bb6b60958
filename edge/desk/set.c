#include "edge/desk/set.h"

#include <string.h>

#include "core/base/status.h"
#include "edge/desk/find.h"
#include "edge/desk/kind.h"
#include "edge/desk/settings.h"
#include "edge/desk/thing_facts.h"
#include "edge/import/sheet.h"
#include "edge/import/words.h"

static const char *const SOURCE = "tufa set";

void set_answer_free(set_answer *a)
{
    text_free(&a->before);
    text_free(&a->after);
    *a = (set_answer){0};
}

static tufa_code from_status(tufa_status st, const char *field, const char *value, trouble_note *note)
{
    if (st.code) note_set(note, st.code, field, value, "", st.why ? st.why : "");
    return st.code;
}

static bool says_unknown(const char *value)
{
    char plain[WORDS_LONGEST + 1];
    return words_plain(value, plain) && words_unknown(plain);
}

/* The first of the names, as it is shown. */
static void shown(const char *names, char *out, size_t room) { snprintf(out, room, "%.*s", (int)strcspn(names, "|"), names); }

/* ---- a field of a thing ---- */

static tufa_code read_choice(const field_row *f, const char *value, fact_rec *fact, trouble_note *note)
{
    fact->choice = choice_find(f->choices, value);
    if (fact->choice >= 0) return TUFA_OK;
    text allowed = {0};
    choice_words(&allowed, f->choices);
    note_set(note, TUFA_UNKNOWN, f->member, value, text_str(&allowed), "this word is not known here");
    text_free(&allowed);
    return TUFA_UNKNOWN;
}

static tufa_code read_value(desk *d, const field_row *f, const char *value, fact_rec *fact, trouble_note *note)
{
    const unit_row *u = &units[f->unit];
    char name[48];
    shown(f->names, name, sizeof name);
    value_rule rule = {.field = name, .q = f->q, .unit = d->units == UNITS_METRIC ? unit_said(f->q, UNITS_METRIC) : u,
                       .lo = unit_to_si(u, f->lo), .hi = unit_to_si(u, f->hi), .today = d->today};
    return value_parse(value, &rule, &fact->value, note);
}

static tufa_code read_fact(desk *d, const field_row *f, const char *value, fact_rec *fact, text *near, trouble_note *note)
{
    if (says_unknown(value)) return TUFA_OK; /* not known: nothing in the fact */
    switch (f->type) {
    case FIELD_VALUE: return read_value(d, f, value, fact, note);
    case FIELD_CHOICE: return read_choice(f, value, fact, note);
    case FIELD_REF: return desk_find(d, THING_WATER, value, &fact->ref, near, note);
    case FIELD_WORD: break;
    }
    if (strlen(value) >= sizeof fact->word) {
        note_set(note, TUFA_RANGE, f->member, value, "at most 159 bytes", "this is too long");
        return TUFA_RANGE;
    }
    snprintf(fact->word, sizeof fact->word, "%s", value);
    return TUFA_OK;
}

static tufa_code set_field(desk *d, thing_kind kind, int64_t thing, const field_row *f, const char *value, set_answer *a, text *near,
                           trouble_note *note)
{
    fact_rec fact = {.thing = thing, .field = f, .choice = -1, .day = d->today}, before;
    snprintf(fact.source, sizeof fact.source, "%s", SOURCE);
    snprintf(a->thing, sizeof a->thing, "%s", thing_word(kind));
    shown(f->names, a->field, sizeof a->field);
    tufa_code code = read_fact(d, f, value, &fact, near, note);
    if (code) return code;
    tufa_status st = store_thing_label(d->s, kind, thing, a->label);
    if (st.code == TUFA_OK) st = fact_correct(d->s, kind, &fact, &before, &a->same);
    if (st.code == TUFA_OK && kind == THING_HEATER) st = heater_out_rename(d->s, thing, d->today, SOURCE);
    if (st.code) return from_status(st, a->field, value, note);
    fact_say(d, &before, f, &a->before);
    fact_say(d, &fact, f, &a->after);
    a->before_day = before.day;
    memcpy(a->before_source, before.source, sizeof a->before_source);
    return TUFA_OK;
}

static tufa_code set_label(desk *d, thing_kind kind, int64_t thing, const char *value, set_answer *a, trouble_note *note)
{
    snprintf(a->thing, sizeof a->thing, "%s", thing_word(kind));
    snprintf(a->field, sizeof a->field, "name");
    tufa_status st = store_thing_label(d->s, kind, thing, a->label);
    text_add(&a->before, a->label);
    text_add(&a->after, value);
    if (st.code == TUFA_OK) st = store_thing_rename(d->s, kind, thing, value, d->today, SOURCE);
    return from_status(st, "name", value, note);
}

/* ---- who lives there ---- */

static tufa_value *household_member(household_rec *h, const char *field, const column_set *c, const column_row **column)
{
    for (size_t i = 0; i < c->n; i++) {
        if (c->row[i].type != CELL_VALUE || !name_is_one_of(field, strlen(field), c->row[i].names)) continue;
        *column = &c->row[i];
        return strcmp(c->row[i].id, "people") == 0 ? &h->people : strcmp(c->row[i].id, "hot_m3_s") == 0 ? &h->hot_m3_s : &h->setpoint_K;
    }
    return NULL;
}

static bool is_household_field(const char *field)
{
    column_set c = {0};
    households_columns(&c);
    household_rec h;
    const column_row *column;
    return household_member(&h, field, &c, &column) != NULL;
}

/* From today on; of the same day a correction. What else was known of them holds on. */
static tufa_code set_household(desk *d, const heater_rec *heater, const char *field, const char *value, set_answer *a, trouble_note *note)
{
    column_set c = {0};
    households_columns(&c);
    household_rec h = {0};
    tufa_status st = store_household_on(d->s, heater->house, heater->id, d->today, &h);
    if (st.code && st.code != TUFA_MISSING) return from_status(st, field, value, note);
    bool any = st.code == TUFA_OK;
    const column_row *column = NULL;
    tufa_value *v = household_member(&h, field, &c, &column), before = *v;
    const unit_row *u = &units[column->unit];
    value_rule rule = {.field = field, .q = column->q, .unit = column_unit(column, d->units), .lo = unit_to_si(u, column->lo),
                       .hi = unit_to_si(u, column->hi), .today = d->today};
    tufa_code code = value_parse(value, &rule, v, note);
    if (code) return code;
    snprintf(a->thing, sizeof a->thing, "household");
    shown(column->names, a->field, sizeof a->field);
    if (before.basis != TUFA_BASIS_NONE) say_value(&a->before, d->units, column->q, before);
    if (v->basis != TUFA_BASIS_NONE) say_value(&a->after, d->units, column->q, *v);
    a->before_day = h.from_day;
    memcpy(a->before_source, h.source, sizeof a->before_source);
    a->same = any && value_same(before, *v);
    int64_t replaces = any && h.from_day == d->today ? h.id : 0, id;
    h.house = heater->house;
    h.from_day = d->today;
    snprintf(h.source, sizeof h.source, "%s", SOURCE);
    st = a->same ? OK : store_household_add(d->s, &h, replaces, &id);
    if (st.code == TUFA_OK) st = store_thing_label(d->s, THING_HOUSE, heater->house, a->label);
    return from_status(st, field, value, note);
}

/* ---- what is known of a water ---- */

static void put_cell(sheet_rec *s, const char *column, const char *value, text *before)
{
    int i = 0;
    while (i < s->n && !name_is_one_of(column, strlen(column), s->cells[i].column)) i++;
    if (i == SHEET_CELLS) return;
    if (i == s->n) {
        s->n++;
        snprintf(s->cells[i].column, STORE_CELL, "%s", column);
    } else {
        text_add(before, s->cells[i].cell);
    }
    snprintf(s->cells[i].cell, STORE_CELL, "%s", value);
}

static tufa_code set_sheet(desk *d, int64_t water, const char *field, const char *value, set_answer *a, trouble_note *note)
{
    const char *column = strcmp(field, "hardness") == 0 ? SHEET_HARDNESS : field;
    sheet_rec s = {0};
    tufa_status st = store_sheet_now(d->s, water, &s);
    if (st.code && st.code != TUFA_MISSING) return from_status(st, field, value, note);
    a->before_day = s.day;
    memcpy(a->before_source, s.source, sizeof a->before_source);
    if (strlen(value) >= STORE_CELL) {
        note_set(note, TUFA_RANGE, field, value, "at most 63 bytes", "this is too long");
        return TUFA_RANGE;
    }
    put_cell(&s, column, value, &a->before);
    if (a->before.len == 0) a->before_source[0] = 0;
    text_add(&a->after, value);
    snprintf(a->thing, sizeof a->thing, "water");
    snprintf(a->field, sizeof a->field, "%s", field);
    tufa_water_known known;
    tufa_code code = sheet_known(&s, &known, NULL, note);
    if (code) return code;
    a->same = strcmp(text_str(&a->before), value) == 0;
    s.water = water;
    if (s.day < d->today) s.day = d->today; /* one of a later day is the newest that there is, and is corrected */
    snprintf(s.source, sizeof s.source, "%s", SOURCE);
    int64_t id;
    st = a->same ? OK : store_sheet_add(d->s, &s, &id);
    if (st.code == TUFA_OK) st = store_thing_label(d->s, THING_WATER, water, a->label);
    return from_status(st, field, value, note);
}

/* ---- what it has ---- */

static bool is_name(const char *field) { return name_is_one_of(field, strlen(field), "name|label"); }

static void list_fields(text *out, const char *const *more)
{
    for (thing_kind kind = THING_HEATER;; kind = (thing_kind)(kind - 1)) {
        size_t n;
        const field_row *f = thing_fields(kind, &n);
        for (size_t i = 0; i < n; i++) text_addf(out, "%s%.*s", out->len ? ", " : "", (int)strcspn(f[i].names, "|"), f[i].names);
        if (kind == THING_WATER) break;
    }
    for (; *more; more++) text_addf(out, ", %s", *more);
}

static tufa_code unknown_field(const char *field, trouble_note *note)
{
    static const char *const MORE[] = {"name", "people", "hot_water", "hardness", NULL};
    const char *names[96];
    char first[96][48];
    size_t n = 0;
    text all = {0};
    list_fields(&all, MORE);
    for (const char *p = text_str(&all); *p && n < 96; p += strspn(p, ", ")) {
        size_t len = strcspn(p, ",");
        snprintf(first[n], sizeof first[n], "%.*s", (int)len, p);
        names[n] = first[n];
        n++;
        p += len;
    }
    text_free(&all);
    const char *near = nearest_name(field, names, n);
    char why[160];
    snprintf(why, sizeof why, "this is nothing that the book keeps%s%s%s; `tufa help set` lists the fields", near ? "; did you mean " : "",
             near ? near : "", near ? "?" : "");
    note_set(note, TUFA_UNKNOWN, "field", field, "", why);
    return TUFA_UNKNOWN;
}

static int64_t water_of(desk *d, const heater_rec *heater, trouble_note *note)
{
    house_rec house;
    if (heater->water) return heater->water;
    tufa_status st = store_house_get(d->s, heater->house, &house);
    if (st.code == TUFA_OK && house.water) return house.water;
    note_set(note, TUFA_MISSING, "water", heater->label, "", "nobody said which water this house has; set that first");
    return 0;
}

/* Its own fields, then those of its house, who lives there, and its water. */
static tufa_code set_of_heater(desk *d, int64_t id, const char *field, const char *value, set_answer *a, text *near, trouble_note *note)
{
    heater_rec heater;
    tufa_status st = store_heater_get(d->s, id, &heater);
    if (st.code) return from_status(st, "heater", "", note);
    const field_row *own = thing_field(THING_HEATER, field), *house = thing_field(THING_HOUSE, field), *water = thing_field(THING_WATER, field);
    bool shared_water = own && strcmp(own->member, "water") == 0 && heater.water == 0;
    if (is_name(field)) return set_label(d, THING_HEATER, id, value, a, note);
    if (own && !shared_water) return set_field(d, THING_HEATER, id, own, value, a, near, note);
    if (house) return set_field(d, THING_HOUSE, heater.house, house, value, a, near, note);
    if (is_household_field(field)) return set_household(d, &heater, field, value, a, note);
    bool sheet = strcmp(field, "hardness") == 0 || sheet_takes(field);
    if (!water && !sheet) return unknown_field(field, note);
    int64_t w = water_of(d, &heater, note);
    if (!w) return note->code;
    return water ? set_field(d, THING_WATER, w, water, value, a, near, note) : set_sheet(d, w, field, value, a, note);
}

static tufa_code set_of_house(desk *d, int64_t id, const char *field, const char *value, set_answer *a, text *near, trouble_note *note)
{
    const field_row *f = thing_field(THING_HOUSE, field);
    if (is_name(field)) return set_label(d, THING_HOUSE, id, value, a, note);
    if (f) return set_field(d, THING_HOUSE, id, f, value, a, near, note);
    if (is_household_field(field)) return set_household(d, &(heater_rec){.house = id}, field, value, a, note);
    return unknown_field(field, note);
}

static tufa_code set_of_water(desk *d, int64_t id, const char *field, const char *value, set_answer *a, text *near, trouble_note *note)
{
    const field_row *f = thing_field(THING_WATER, field);
    if (is_name(field)) return set_label(d, THING_WATER, id, value, a, note);
    if (f) return set_field(d, THING_WATER, id, f, value, a, near, note);
    if (strcmp(field, "hardness") == 0 || sheet_takes(field)) return set_sheet(d, id, field, value, a, note);
    return unknown_field(field, note);
}

/* ---- the book's own ---- */

/* `tufa set usual electric_setpoint 130` as well as `tufa set price usual_electric_setpoint_f 130`. */
static const char USUAL[] = "usual_";

static tufa_code set_price(desk *d, const char *field, const char *value, set_answer *a, trouble_note *note)
{
    size_t item;
    char why[160];
    price_item it;
    price_rec r = {.day = d->today}, before;
    char usual[STORE_ITEM];
    snprintf(usual, sizeof usual, "%s%s", USUAL, field);
    bool found = price_find(field, &item, why, sizeof why) || (strncmp(field, USUAL, strlen(USUAL)) != 0 && price_find(usual, &item, why, sizeof why));
    if (!found) {
        note_set(note, TUFA_UNKNOWN, "price", field, "", why);
        return TUFA_UNKNOWN;
    }
    price_item_at(item, &it);
    tufa_code code = price_value(item, value, it.key, &r.value, note);
    if (code) return code;
    if (r.value.basis == TUFA_BASIS_NONE) { /* "don't know": the default once more */
        r.value = it.standard;
        r.value.basis = TUFA_BASIS_DEFAULT;
    }
    snprintf(a->thing, sizeof a->thing, "price");
    snprintf(a->label, sizeof a->label, "%s", it.key);
    tufa_status st = store_price_now(d->s, it.key, &before);
    if (st.code && st.code != TUFA_MISSING) return from_status(st, it.key, value, note);
    bool any = st.code == TUFA_OK;
    price_say(item, d->units, any ? before.value : it.standard, &a->before);
    price_say(item, d->units, r.value, &a->after);
    a->before_day = any ? before.day : 0;
    snprintf(a->before_source, sizeof a->before_source, "%s", any ? before.source : "the default");
    a->same = any && value_same(before.value, r.value);
    r.replaces = any && before.day > d->today ? before.id : 0;
    snprintf(r.item, sizeof r.item, "%s", it.key);
    snprintf(r.source, sizeof r.source, "%s", SOURCE);
    return a->same ? TUFA_OK : from_status(store_price_add(d->s, &r), it.key, value, note);
}

static tufa_code set_setting(desk *d, const char *field, const char *value, set_answer *a, trouble_note *note)
{
    setting_rec s = {.day = d->today}, before;
    tufa_code code = setting_read(field, value, &s, note);
    if (code) return code;
    snprintf(a->thing, sizeof a->thing, "setting");
    snprintf(a->label, sizeof a->label, "%s", s.name);
    tufa_status st = store_setting_now(d->s, s.name, &before);
    if (st.code && st.code != TUFA_MISSING) return from_status(st, field, value, note);
    if (st.code == TUFA_OK) {
        text_add(&a->before, before.value);
        a->before_day = before.day;
        memcpy(a->before_source, before.source, sizeof a->before_source);
        a->same = strcmp(before.value, s.value) == 0;
        s.replaces = before.day > d->today ? before.id : 0;
    }
    text_add(&a->after, s.value);
    snprintf(s.source, sizeof s.source, "%s", SOURCE);
    return a->same ? TUFA_OK : from_status(store_setting_add(d->s, &s), field, value, note);
}

/* ---- which thing is meant ---- */

typedef enum target_kind { TARGET_PRICE, TARGET_SETTING, TARGET_HEATER, TARGET_HOUSE, TARGET_WATER } target_kind;
typedef struct target {
    target_kind kind;
    int64_t id;
} target;

/* A heater's own name goes first; a house or a water is meant where the field is one of theirs. */
static tufa_code find_target(desk *d, const char *name, const char *field, target *out, text *near, trouble_note *note)
{
    *out = (target){.kind = TARGET_HEATER};
    if (name_is_one_of(name, strlen(name), "price|prices|usual|assumed|life|lives")) out->kind = TARGET_PRICE;
    if (name_is_one_of(name, strlen(name), "setting|settings")) out->kind = TARGET_SETTING;
    if (out->kind != TARGET_HEATER || store_thing_labelled(d->s, THING_HEATER, name, &out->id).code == TUFA_OK) return TUFA_OK;
    bool of_house = thing_field(THING_HOUSE, field) || is_household_field(field) || is_name(field);
    out->kind = TARGET_HOUSE;
    if (of_house && store_thing_labelled(d->s, THING_HOUSE, name, &out->id).code == TUFA_OK) return TUFA_OK;
    out->kind = TARGET_WATER;
    if (store_thing_labelled(d->s, THING_WATER, name, &out->id).code == TUFA_OK) return TUFA_OK;
    out->kind = TARGET_HEATER;
    return desk_find(d, THING_HEATER, name, &out->id, near, note);
}

typedef struct only_heater {
    int64_t house, id;
    size_t n;
} only_heater;

static tufa_status note_heater(void *ctx, const heater_rec *r)
{
    only_heater *o = ctx;
    if (r->house == o->house && r->out_day.basis == TUFA_BASIS_NONE && o->n++ == 0) o->id = r->id;
    return OK;
}

set_scope desk_set_scope(desk *d, const char *name, const char *field)
{
    target t;
    trouble_note note = {0};
    if (find_target(d, name, field, &t, NULL, &note)) return (set_scope){0};
    const field_row *f = t.kind == TARGET_HEATER ? thing_field(THING_HEATER, field) : NULL;
    bool leaves = f && strcmp(f->member, "out_day") == 0; /* the plan is then one of others */
    if (is_name(field) || leaves) return (set_scope){0};
    if (t.kind == TARGET_HEATER) {
        bool of_water = !f && !thing_field(THING_HOUSE, field) && !is_household_field(field);
        return of_water ? (set_scope){.all = true} : (set_scope){.heater = t.id};
    }
    if (t.kind != TARGET_HOUSE) return (set_scope){.all = t.kind == TARGET_PRICE || t.kind == TARGET_WATER};
    only_heater o = {.house = t.id};
    if (store_heater_each(d->s, note_heater, &o).code || o.n == 0) return (set_scope){0};
    return o.n == 1 ? (set_scope){.heater = o.id} : (set_scope){.all = true};
}

static tufa_code set_any(desk *d, const char *name, const char *field, const char *value, set_answer *a, text *near, trouble_note *note)
{
    target t;
    tufa_code code = find_target(d, name, field, &t, near, note);
    if (code) return code;
    switch (t.kind) {
    case TARGET_PRICE: return set_price(d, field, value, a, note);
    case TARGET_SETTING: return set_setting(d, field, value, a, note);
    case TARGET_HEATER: return set_of_heater(d, t.id, field, value, a, near, note);
    case TARGET_HOUSE: return set_of_house(d, t.id, field, value, a, near, note);
    case TARGET_WATER: return set_of_water(d, t.id, field, value, a, near, note);
    }
    return TUFA_UNKNOWN;
}

/* Ends what desk_set began: kept whole, or not at all. */
static tufa_code settle(desk *d, tufa_status begun, tufa_code code, set_answer *out, trouble_note *note)
{
    if (code == TUFA_OK) code = from_status(store_commit(d->s), "book", "", note);
    else if (begun.code == TUFA_OK) store_rollback(d->s);
    if (code) set_answer_free(out);
    else if (strcmp(out->thing, "setting") == 0) code = from_status(desk_speak(d), "book", "", note);
    return code;
}

tufa_code desk_set(desk *d, const char *name, const char *field, const char *value, set_answer *out, text *near, trouble_note *note)
{
    *out = (set_answer){0};
    tufa_status st = store_begin(d->s);
    tufa_code code = st.code ? from_status(st, "book", "", note) : set_any(d, name, field, value, out, near, note);
    return settle(d, st, code, out, note);
}

tufa_code desk_set_house(desk *d, int64_t id, const char *field, const char *value, set_answer *out, trouble_note *note)
{
    *out = (set_answer){0};
    tufa_status st = store_begin(d->s);
    tufa_code code = st.code ? from_status(st, "book", "", note) : set_of_house(d, id, field, value, out, NULL, note);
    return settle(d, st, code, out, note);
}
