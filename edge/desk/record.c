#include "edge/desk/record.h"

#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/find.h"
#include "edge/desk/thing_facts.h"
#include "edge/say/fault.h"
#include "edge/store/call.h"
#include "tufa.h"

typedef struct gather {
    desk *d;
    record_answer *a;
    size_t room;
    record_part part;
    int64_t heater, house;
    bool stands;
    char call[24]; /* "call 3: " */
} gather;

const char *record_part_words(record_part part)
{
    static const char *const WORDS[RECORD_PARTS] = {"The heater", "The house", "Who lived there", "Found in the tank, and read", "Work done", "Calls"};
    return WORDS[part];
}

/* Takes `what` and `said` over; a line of which nothing was said is left out. */
static tufa_status add(gather *g, int64_t day, int64_t entered, text *what, text *said, const char *source)
{
    record_answer *a = g->a;
    if (what->failed || said->failed) return trouble(TUFA_MEMORY, "record", NULL);
    if (a->n == g->room) {
        size_t room = g->room ? 2 * g->room : 64;
        record_line *more = realloc(a->line, room * sizeof *more);
        if (!more) return trouble(TUFA_MEMORY, "record", NULL);
        a->line = more;
        g->room = room;
    }
    record_line *l = &a->line[a->n];
    *l = (record_line){.part = g->part, .day = day, .entered = entered, .stands = g->stands, .order = a->n,
                       .what = strdup(text_str(what)), .said = strdup(text_str(said)), .source = strdup(source)};
    a->n++; /* also when a copy failed: record_free frees what is there */
    text_free(what);
    text_free(said);
    return l->what && l->said && l->source ? OK : trouble(TUFA_MEMORY, "record", NULL);
}

static void part_of(text *t, const char *name, unit_system s, quantity q, tufa_value v)
{
    if (v.basis == TUFA_BASIS_NONE) return;
    text_addf(t, "%s%s: ", t->len ? "; " : "", name);
    say_value(t, s, q, v);
}

static void note_of(text *t, const char *note)
{
    if (note[0]) text_addf(t, "%s%s", t->len ? "; " : "", note);
}

/* ---- facts ---- */

static tufa_status add_fact(void *ctx, const fact_rec *f)
{
    gather *g = ctx;
    text what = {0}, said = {0};
    text_add(&what, f->field->what);
    fact_say(g->d, f, f->field, &said);
    if (said.len == 0) text_add(&said, "not known");
    g->stands = !f->replaced;
    return add(g, f->day, 0, &what, &said, f->source);
}

/* Of the facts about one thing only the last of each field that none replaces stands. */
static void mark_older(record_answer *a, size_t from)
{
    for (size_t i = from; i < a->n; i++)
        for (size_t k = i + 1; k < a->n && a->line[i].stands; k++)
            if (a->line[k].stands && strcmp(a->line[i].what, a->line[k].what) == 0) a->line[i].stands = false;
}

static tufa_status facts(gather *g, record_part part, thing_kind kind, int64_t id)
{
    size_t from = g->a->n;
    g->part = part;
    RETURN_IF(store_fact_each(g->d->s, kind, id, NULL, add_fact, g));
    mark_older(g->a, from);
    return OK;
}

/* ---- what happened ---- */

static tufa_status add_household(void *ctx, const household_rec *r)
{
    gather *g = ctx;
    text what = {0}, said = {0};
    if (r->heater && r->heater != g->heater) return OK;
    text_add(&what, "lives there from this day");
    part_of(&said, "people", g->d->units, Q_NUMBER, r->people);
    part_of(&said, "hot water", g->d->units, Q_USE, r->hot_m3_s);
    part_of(&said, "thermostat", g->d->units, Q_TEMPERATURE, r->setpoint_K);
    note_of(&said, r->note);
    return add(g, r->from_day, 0, &what, &said, r->source);
}

static tufa_status add_finding(void *ctx, const finding_rec *r)
{
    gather *g = ctx;
    text what = {0}, said = {0};
    text_add(&what, finding_rows[r->kind].what);
    say_value(&said, g->d->units, finding_rows[r->kind].q, r->value);
    note_of(&said, r->note);
    return add(g, r->day, 0, &what, &said, r->source);
}

static tufa_status say_photo(void *ctx, const char *file)
{
    text_addf(ctx, "%spicture: %s", ((text *)ctx)->len ? "; " : "", file);
    return OK;
}

static tufa_status say_part(void *ctx, const stock_rec *r)
{
    text *t = ctx;
    text_addf(t, "%spart: %g of %s", t->len ? "; " : "", r->pieces < 0.0 ? -r->pieces : r->pieces, r->item);
    return OK;
}

static tufa_status add_visit(void *ctx, const visit_rec *r)
{
    gather *g = ctx;
    text what = {0}, said = {0};
    work_word(&what, r->work);
    part_of(&said, "time", g->d->units, Q_TIME, r->spent_s);
    part_of(&said, "laid out", g->d->units, Q_MONEY, r->cost_cents);
    note_of(&said, r->note);
    RETURN_IF(store_part_each(g->d->s, r->id, say_part, &said));
    RETURN_IF(store_photo_each(g->d->s, r->id, say_photo, &said));
    return add(g, r->day, 0, &what, &said, r->source);
}

/* ---- calls ---- */

static const char *title_of(const call_event_rec *e)
{
    int i = -1;
    switch (e->kind) {
    case CALL_VOICED:
    case CALL_DENIED: i = tufa_fault_complaint_find(e->name); return i >= 0 ? tufa_fault_complaint_at((size_t)i)->title : e->name;
    case CALL_KNOWN: i = tufa_fault_known_find(e->name); return i >= 0 ? tufa_fault_known_at((size_t)i)->title : e->name;
    case CALL_READ: i = tufa_fault_test_find(e->name); return i >= 0 ? tufa_fault_test_at((size_t)i)->title : e->name;
    case CALL_FOUND: i = tufa_fault_find(e->name); return i >= 0 ? tufa_fault_at((size_t)i)->title : e->name;
    default: return "";
    }
}

static void say_event_reading(gather *g, text *t, const call_event_rec *e)
{
    int test = tufa_fault_test_find(e->name);
    tufa_reading r = {.test = test, .category = -1, .value = e->value};
    if (test >= 0 && !e->has_value) r.category = tufa_fault_test_category(tufa_fault_test_at((size_t)test), e->word);
    if (test < 0 || (!e->has_value && r.category < 0)) text_add(t, e->word[0] ? e->word : "not known");
    else say_reading(t, g->d->units, &r);
}

static tufa_status add_event(void *ctx, const call_event_rec *e)
{
    static const char *const WORDS[CALL_KINDS] = {"the tenant says", "asked, the tenant says no", "known", "read", "told the tenant", "made safe", "found", "closed", "taken back"};
    gather *g = ctx;
    text what = {0}, said = {0};
    text_addf(&what, "%s%s", g->call, WORDS[e->kind]);
    text_add(&said, title_of(e));
    if (e->kind == CALL_READ) {
        text_add(&said, ": ");
        say_event_reading(g, &said, e);
    } else if (e->word[0] && e->kind != CALL_VOICED && e->kind != CALL_DENIED) {
        text_addf(&said, "%s%s", said.len ? ": " : "", e->word);
    }
    return add(g, e->day, e->entered, &what, &said, "");
}

static tufa_status add_call(void *ctx, const call_rec *r)
{
    gather *g = ctx;
    text what = {0}, said = {0};
    if (r->heater != g->heater) return OK;
    snprintf(g->call, sizeof g->call, "call %lld: ", (long long)r->id);
    text_addf(&what, "%sthe tenant's words", g->call);
    text_addf(&said, "\"%s\"", r->words);
    g->stands = true;
    RETURN_IF(add(g, r->day, r->entered, &what, &said, r->source));
    RETURN_IF(store_call_event_each(g->d->s, r->id, add_event, g));
    g->stands = false;
    return store_call_event_undone(g->d->s, r->id, add_event, g);
}

/* ---- all of it ---- */

static int by_part_and_day(const void *a, const void *b)
{
    const record_line *x = a, *y = b;
    if (x->part != y->part) return x->part < y->part ? -1 : 1;
    if (x->day != y->day) return x->day < y->day ? -1 : 1;
    if (x->entered != y->entered) return x->entered < y->entered ? -1 : 1;
    return x->order < y->order ? -1 : 1;
}

static tufa_status all(gather *g)
{
    store *s = g->d->s;
    RETURN_IF(facts(g, RECORD_HEATER, THING_HEATER, g->heater));
    RETURN_IF(facts(g, RECORD_HOUSE, THING_HOUSE, g->house));
    for (int stands = 1; stands >= 0; stands--) {
        g->stands = stands;
        g->part = RECORD_PEOPLE;
        RETURN_IF(stands ? store_household_each(s, g->house, add_household, g) : store_household_replaced(s, g->house, add_household, g));
        g->part = RECORD_FOUND;
        RETURN_IF(stands ? store_finding_each(s, g->heater, add_finding, g) : store_finding_replaced(s, g->heater, add_finding, g));
        g->part = RECORD_DONE;
        RETURN_IF(stands ? store_visit_each(s, g->heater, add_visit, g) : store_visit_replaced(s, g->heater, add_visit, g));
    }
    g->part = RECORD_CALLS;
    return store_call_each(s, add_call, g);
}

tufa_code desk_record(desk *d, const char *heater, record_answer *out, text *near, trouble_note *note)
{
    *out = (record_answer){0};
    gather g = {.d = d, .a = out};
    heater_rec h;
    if (desk_find(d, THING_HEATER, heater, &g.heater, near, note) != TUFA_OK) return note->code;
    tufa_status st = store_heater_get(d->s, g.heater, &h);
    if (st.code == TUFA_OK) {
        g.house = h.house;
        snprintf(out->label, sizeof out->label, "%s", h.label);
        st = store_thing_label(d->s, THING_HOUSE, h.house, out->house);
    }
    if (st.code == TUFA_OK) st = all(&g);
    if (st.code == TUFA_OK) {
        if (out->n) qsort(out->line, out->n, sizeof *out->line, by_part_and_day);
        return TUFA_OK;
    }
    record_free(out);
    note_from_status(note, st);
    return st.code;
}

void record_free(record_answer *a)
{
    for (size_t i = 0; i < a->n; i++) {
        free(a->line[i].what);
        free(a->line[i].said);
        free(a->line[i].source);
    }
    free(a->line);
    *a = (record_answer){0};
}
