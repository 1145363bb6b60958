#include "edge/desk/call_parts.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "core/base/units.h"
#include "edge/desk/find.h"
#include "edge/import/reading.h"
#include "edge/say/day.h"

static tufa_code fail(trouble_note *note, tufa_status st)
{
    if (st.code != TUFA_OK) note_from_status(note, st);
    return st.code;
}

static tufa_code refuse(trouble_note *note, tufa_code code, const char *field, const char *value, const char *why)
{
    note_set(note, code, field, value, "", why);
    return code;
}

/* ---- taking it down ---- */

/* Nothing that somebody typed is cut short. */
static bool too_long(const char *words, const char *field, trouble_note *note)
{
    if (!words || strlen(words) < STORE_CALL_WORDS) return false;
    char allowed[40];
    snprintf(allowed, sizeof allowed, "at most %d letters", STORE_CALL_WORDS - 1);
    note_set(note, TUFA_RANGE, field, words, allowed, "this is longer than the book keeps in one place; shorten it");
    return true;
}

static tufa_status add_event(desk *d, int64_t call, call_event_kind kind, const char *name, const char *word)
{
    call_event_rec e = {.call = call, .day = d->today, .kind = kind};
    snprintf(e.name, sizeof e.name, "%s", name);
    if (word) snprintf(e.word, sizeof e.word, "%s", word);
    return store_call_event_add(d->s, &e, NULL);
}

static tufa_code names_known(const call_new *c, int gas, trouble_note *note)
{
    for (int i = 0; i < c->voiced_n + c->denied_n; i++) {
        const char *name = i < c->voiced_n ? c->voiced[i] : c->denied[i - c->voiced_n];
        int k = place_of(name, complaint_id_at, "complaint", note);
        if (k < 0) return note->code;
        const tufa_complaint *row = tufa_fault_complaint_at((size_t)k);
        if (!(gas ? row->gas : row->electric))
            return refuse(note, TUFA_REFUSED, "complaint", name, gas ? "this complaint belongs to electric heaters and the heater burns gas"
                                                                     : "this complaint belongs to gas heaters and the heater is electric");
        for (int j = 0; j < c->denied_n && i < c->voiced_n; j++)
            if (strcmp(name, c->denied[j]) == 0)
                return refuse(note, TUFA_CONFLICT, "complaint", name, "it cannot be voiced and denied in one call");
    }
    for (int i = 0; i < c->known_n; i++)
        if (place_of(c->known[i], known_id_at, "known", note) < 0) return note->code;
    return TUFA_OK;
}

/* What the caller is to be told at once: the stop, else the first words of each complaint. It is written down as told. */
static tufa_status advise(desk *d, int64_t id, const call_new *c)
{
    tufa_call call = {0};
    for (int i = 0; i < c->voiced_n; i++) call.complaint[tufa_fault_complaint_find(c->voiced[i])] = 1;
    tufa_stop stop = tufa_fault_stop(&call);
    if (stop.id && stop.silent) return add_event(d, id, CALL_ADVISED, stop.id, stop.words);
    for (int i = 0; i < c->voiced_n; i++) {
        const tufa_complaint *row = tufa_fault_complaint_at((size_t)tufa_fault_complaint_find(c->voiced[i]));
        if (row->tell[0]) RETURN_IF(add_event(d, id, CALL_ADVISED, row->id, row->tell));
    }
    return OK;
}

static tufa_status write_call(desk *d, const call_new *c, int64_t heater, int64_t *id)
{
    call_rec r = {.heater = heater, .day = d->today};
    snprintf(r.words, sizeof r.words, "%s", c->words);
    snprintf(r.source, sizeof r.source, "tenant by telephone");
    RETURN_IF(store_begin(d->s));
    tufa_status st = store_call_add(d->s, &r, id);
    for (int i = 0; i < c->voiced_n && st.code == TUFA_OK; i++) st = add_event(d, *id, CALL_VOICED, c->voiced[i], NULL);
    for (int i = 0; i < c->denied_n && st.code == TUFA_OK; i++) st = add_event(d, *id, CALL_DENIED, c->denied[i], NULL);
    for (int i = 0; i < c->known_n && st.code == TUFA_OK; i++) st = add_event(d, *id, CALL_KNOWN, c->known[i], NULL);
    if (st.code == TUFA_OK) st = advise(d, *id, c);
    if (st.code == TUFA_OK) return store_commit(d->s);
    store_rollback(d->s);
    return st;
}

tufa_code desk_call_new(desk *d, const call_new *c, int64_t *id, text *near, trouble_note *note)
{
    int64_t heater;
    heater_rec rec;
    tufa_code code = desk_find(d, THING_HEATER, c->heater, &heater, near, note);
    if (code != TUFA_OK) return code;
    tufa_status st = store_heater_get(d->s, heater, &rec);
    if (st.code != TUFA_OK) return fail(note, st);
    code = names_known(c, rec.fuel == FUEL_GAS || rec.fuel == FUEL_PROPANE, note);
    if (code != TUFA_OK) return code;
    if (too_long(c->words, "words", note)) return note->code;
    if (c->voiced_n == 0)
        return refuse(note, TUFA_MISSING, "complaint", "", "a call has at least one complaint: pick it, or `tufa call ask` offers them by number");
    return fail(note, write_call(d, c, heater, id));
}

/* ---- events into a call ---- */

static tufa_status take_event(void *ctx, const call_event_rec *e)
{
    call_view *v = ctx;
    int k;
    switch (e->kind) {
    case CALL_VOICED:
        if ((k = tufa_fault_complaint_find(e->name)) >= 0) v->call.complaint[k] = 1;
        break;
    case CALL_DENIED:
        if ((k = tufa_fault_complaint_find(e->name)) >= 0) v->call.complaint[k] = 2;
        break;
    case CALL_KNOWN:
        if ((k = tufa_fault_known_find(e->name)) >= 0) v->call.known[k] = 1;
        break;
    case CALL_READ: {
        int test = tufa_fault_test_find(e->name);
        if (test < 0 || v->call.readings == TUFA_MAX_READINGS) break;
        int category = e->has_value ? -1 : tufa_fault_test_category(tufa_fault_test_at((size_t)test), e->word);
        if (!e->has_value && category < 0) break;
        v->reading_event[v->call.readings] = e->id;
        v->call.reading[v->call.readings++] = (tufa_reading){test, category, e->value};
        break;
    }
    case CALL_ADVISED:
        if (v->advices == CALL_ADVICE) break;
        v->advice[v->advices].entered = e->entered;
        snprintf(v->advice[v->advices++].words, STORE_CALL_WORDS, "%s", e->word);
        break;
    case CALL_MADE_SAFE: v->call.made_safe = 1; break;
    case CALL_FOUND:
        if ((k = tufa_fault_find(e->name)) >= 0 && v->founds < CALL_FOUND_MOST) v->found[v->founds++] = k;
        break;
    case CALL_CLOSED: case CALL_UNDONE: case CALL_KINDS: break;
    }
    return OK;
}

typedef struct fuels {
    store *s;
    int gas;
    int64_t call;
    int same; /* the call last looked at burns the same fuel and is closed */
    double *found;
} fuels;

static tufa_status count_found(void *ctx, const call_event_rec *e)
{
    fuels *f = ctx;
    if (e->kind != CALL_FOUND) return OK;
    if (e->call != f->call) {
        call_rec c;
        heater_rec h;
        f->call = e->call;
        RETURN_IF(store_call_get(f->s, e->call, &c));
        RETURN_IF(store_heater_get(f->s, c.heater, &h));
        f->same = c.closed && (h.fuel == FUEL_GAS || h.fuel == FUEL_PROPANE) == f->gas;
    }
    int k = tufa_fault_find(e->name);
    if (f->same && k >= 0) f->found[k] += 1.0;
    return OK;
}

static const double WEEK_HOURS = 168.0;

static void cost_of_waiting(call_view *v)
{
    static const struct { const char *complaint; double share; } OUT[] = {{"no_hot", 1.0}, {"runs_out", 0.4}, {"lukewarm", 0.4}, {"pilot_out", 1.0}};
    double out = 0.0;
    for (size_t i = 0; i < sizeof OUT / sizeof OUT[0]; i++)
        if (v->call.complaint[tufa_fault_complaint_find(OUT[i].complaint)] == 1) out = fmax(out, OUT[i].share);
    v->loss_usd_hour = out * v->outage_usd_day / 24.0;
    for (int i = 0; i < v->answer.faults; i++) /* what is missed now is missed for some week or so */
        v->loss_usd_hour += v->answer.odds[i].probability * tufa_fault_at((size_t)v->answer.odds[i].fault)->missed_usd / WEEK_HOURS;
}

static tufa_status town_rule(desk *d, int64_t house, call_view *v)
{
    fact_rec f;
    tufa_status st = store_fact_now(d->s, THING_HOUSE, house, thing_field(THING_HOUSE, "restore_hours"), &f);
    if (st.code == TUFA_MISSING) return OK;
    RETURN_IF(st);
    v->restore_s = f.value;
    v->restore_day = f.day;
    snprintf(v->restore_source, sizeof v->restore_source, "%s", f.source);
    return OK;
}

static tufa_status answer(desk *d, desk_finder *f, call_view *v)
{
    fuels own = {.s = d->s, .gas = v->plate.tank.fuel == TUFA_TANK_GAS, .found = v->call.found};
    RETURN_IF(store_call_event_each(d->s, 0, count_found, &own));
    RETURN_IF(desk_fault(f, &v->plate, &v->call, &v->answer));
    for (int i = 0; i < v->call.readings; i++) RETURN_IF(tufa_fault_explain(f->finder, &v->call, i, v->moved[i]));
    cost_of_waiting(v);
    return OK;
}

tufa_code desk_call_view(desk *d, desk_finder *f, int64_t id, call_view *out, trouble_note *note)
{
    *out = (call_view){.at_risk = -1};
    tufa_status st = store_call_get(d->s, id, &out->rec);
    if (st.code != TUFA_OK) {
        char number[32];
        snprintf(number, sizeof number, "%lld", (long long)id);
        return refuse(note, st.code, "call", number, st.why ? st.why : "");
    }
    int64_t house;
    st = call_heater(d, out, &house);
    if (st.code != TUFA_OK) return fail(note, st);
    st = store_call_event_each(d->s, id, take_event, out);
    out->waiting_hours = 24.0 * (double)(d->today - out->rec.day);
    if (st.code == TUFA_OK) st = town_rule(d, house, out);
    if (st.code == TUFA_OK) st = answer(d, f, out);
    return fail(note, st);
}

/* ---- working it ---- */

static tufa_code open_call(desk *d, int64_t id, call_rec *c, trouble_note *note)
{
    char number[32];
    snprintf(number, sizeof number, "%lld", (long long)id);
    tufa_status st = store_call_get(d->s, id, c);
    if (st.code != TUFA_OK) return refuse(note, st.code, "call", number, st.why ? st.why : "");
    if (c->closed) return refuse(note, TUFA_REFUSED, "call", number, "this call is closed; a new complaint is a new call");
    return TUFA_OK;
}

tufa_code desk_call_read(desk *d, desk_finder *f, int64_t id, const char *test, const char *said, trouble_note *note)
{
    call_rec c;
    tufa_code code = open_call(d, id, &c, note);
    if (code != TUFA_OK) return code;
    int t = reading_test(test, note);
    if (t < 0) return note->code;
    if (strcmp(said, "?") == 0 || strcmp(said, "don't know") == 0) return TUFA_OK; /* nothing was read, nothing changes */
    call_event_rec e = {.call = id, .day = d->today, .kind = CALL_READ};
    tufa_reading r;
    if (!reading_parse(t, said, &r, note)) return note->code;
    call_view v;
    code = desk_call_view(d, f, id, &v, note);
    if (code != TUFA_OK) return code;
    tufa_status st = tufa_fault_reading_check(&v.plate, &r);
    if (st.code != TUFA_OK) return refuse(note, st.code, "test", test, st.why ? st.why : "");
    snprintf(e.name, sizeof e.name, "%s", test);
    e.has_value = r.category < 0;
    e.value = r.value;
    if (r.category >= 0) snprintf(e.word, sizeof e.word, "%s", tufa_fault_test_at((size_t)t)->categories[r.category]);
    return fail(note, store_call_event_add(d->s, &e, NULL));
}

tufa_code desk_call_add(desk *d, int64_t id, call_event_kind kind, const char *name, const char *word, trouble_note *note)
{
    call_rec c;
    tufa_code code = open_call(d, id, &c, note);
    if (code != TUFA_OK) return code;
    if ((kind == CALL_VOICED || kind == CALL_DENIED) && place_of(name, complaint_id_at, "complaint", note) < 0) return note->code;
    if (too_long(word, kind == CALL_ADVISED ? "told" : kind == CALL_MADE_SAFE ? "who" : "words", note)) return note->code;
    if (kind == CALL_KNOWN && place_of(name, known_id_at, "known", note) < 0) return note->code;
    return fail(note, add_event(d, id, kind, name, word));
}

static tufa_status newest(void *ctx, const call_event_rec *e)
{
    if (e->kind != CALL_ADVISED) *(call_event_rec *)ctx = *e;
    return OK;
}

tufa_code desk_call_undo(desk *d, int64_t id, text *what, trouble_note *note)
{
    call_rec c;
    call_event_rec e = {0};
    tufa_code code = open_call(d, id, &c, note);
    if (code != TUFA_OK) return code;
    tufa_status st = store_call_event_each(d->s, id, newest, &e);
    if (st.code != TUFA_OK) return fail(note, st);
    if (e.id == 0) return refuse(note, TUFA_REFUSED, "call", "", "there is nothing to take back");
    text_add(what, e.name);
    call_event_rec undo = {.call = id, .day = d->today, .kind = CALL_UNDONE, .undoes = e.id};
    return fail(note, store_call_event_add(d->s, &undo, NULL));
}

tufa_code desk_call_close(desk *d, int64_t id, const char *const *found, int n, trouble_note *note)
{
    call_rec c;
    tufa_code code = open_call(d, id, &c, note);
    if (code != TUFA_OK) return code;
    if (n == 0) return refuse(note, TUFA_MISSING, "--found", "", "say what was found; `other` when it is none of the list");
    for (int i = 0; i < n; i++)
        if (place_of(found[i], fault_id_at, "found", note) < 0) return note->code;
    tufa_status st = store_begin(d->s);
    for (int i = 0; i < n && st.code == TUFA_OK; i++) st = add_event(d, id, CALL_FOUND, found[i], NULL);
    if (st.code == TUFA_OK) st = add_event(d, id, CALL_CLOSED, "closed", NULL);
    if (st.code == TUFA_OK) return fail(note, store_commit(d->s));
    store_rollback(d->s);
    return fail(note, st);
}

/* ---- the day ---- */

int call_danger(const call_view *v)
{
    return !v->answer.stop.id ? 0 : strcmp(v->answer.stop.level, "leave") == 0 ? 2 : 1;
}

static double hours_left(const call_view *v)
{
    return v->restore_s.basis == TUFA_BASIS_NONE ? 1e9 : v->restore_s.mid / 3600.0 - v->waiting_hours;
}

static tufa_urgency urgency(const call_view *v)
{
    tufa_urgency most = TUFA_WHEN_PLANNED;
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++) {
        tufa_urgency u = tufa_fault_complaint_at(i)->urgency;
        if (v->call.complaint[i] == 1 && u < most) most = u;
    }
    return most;
}

call_when call_how_soon(const call_view *v)
{
    static const double DAY_HOURS = 24.0, FEW_DAYS_HOURS = 72.0;
    if (call_danger(v)) return CALL_NOW;
    tufa_urgency u = urgency(v);
    if (u <= TUFA_SAME_DAY || hours_left(v) <= DAY_HOURS || (v->at_risk == 1 && u <= TUFA_NEXT_DAYS)) return CALL_TODAY;
    return u == TUFA_NEXT_DAYS || hours_left(v) <= FEW_DAYS_HOURS ? CALL_DAYS : CALL_ROUND;
}

/* Danger, people at risk, the town's time, the loss of waiting: each decides only where those before it are alike. */
static int before(const void *a, const void *b)
{
    const call_view *x = a, *y = b;
    if (call_danger(x) != call_danger(y)) return call_danger(y) - call_danger(x);
    if (call_how_soon(x) != call_how_soon(y)) return (int)call_how_soon(x) - (int)call_how_soon(y);
    if ((x->at_risk == 1) != (y->at_risk == 1)) return (y->at_risk == 1) - (x->at_risk == 1);
    double l = hours_left(x), m = hours_left(y);
    if (l != m) return l < m ? -1 : 1;
    if (x->loss_usd_hour != y->loss_usd_hour) return x->loss_usd_hour > y->loss_usd_hour ? -1 : 1;
    return x->rec.id < y->rec.id ? -1 : 1;
}

typedef struct open_list {
    int64_t *id;
    size_t n, room;
} open_list;

static tufa_status note_open(void *ctx, const call_rec *r)
{
    open_list *l = ctx;
    if (r->closed) return OK;
    if (l->n == l->room) {
        size_t room = l->room ? 2 * l->room : 16;
        int64_t *id = realloc(l->id, room * sizeof *id);
        if (!id) return trouble(TUFA_MEMORY, "calls", NULL);
        l->id = id;
        l->room = room;
    }
    l->id[l->n++] = r->id;
    return OK;
}

tufa_code desk_call_today(desk *d, desk_finder *f, call_day *out, trouble_note *note)
{
    *out = (call_day){0};
    open_list l = {0};
    tufa_code code = fail(note, store_call_each(d->s, note_open, &l));
    if (code == TUFA_OK && l.n && !(out->view = calloc(l.n, sizeof *out->view)))
        code = fail(note, trouble(TUFA_MEMORY, "calls", NULL));
    for (size_t i = 0; i < l.n && code == TUFA_OK; i++) {
        code = desk_call_view(d, f, l.id[i], &out->view[i], note);
        if (code == TUFA_OK) out->n++;
    }
    free(l.id);
    if (code == TUFA_OK && out->n) qsort(out->view, out->n, sizeof *out->view, before);
    else if (code != TUFA_OK) call_day_free(out);
    return code;
}

void call_day_free(call_day *c)
{
    free(c->view);
    *c = (call_day){0};
}
