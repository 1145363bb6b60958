/* The year plan: heaters stream from the book through all processors, a compact row stays of each. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/choose.h"
#include "edge/desk/learned.h"
#include "edge/desk/others.h"
#include "edge/desk/words.h"
#include "edge/pool/pool.h"

enum { BATCH = 128 };
static const double MILES_AN_HOUR = 25.0; /* through town, judgement */

/* ---- streets ---- */

typedef struct street_table {
    struct street_slot {
        char name[STORE_LABEL];
        uint32_t heaters;
    } *street;
    size_t n, room;
    uint32_t *slot; /* index + 1 of a street, 0 free; a power of two of them */
    size_t slots;
} street_table;

static size_t hash(const char *s)
{
    uint64_t h = 0xcbf29ce484222325u; /* FNV-1a */
    for (; *s; s++) h = (h ^ (unsigned char)*s) * 0x100000001b3u;
    return (size_t)(h ^ h >> 32);
}

static void streets_free(street_table *t)
{
    free(t->street);
    free(t->slot);
}

static size_t find_slot(const street_table *t, const char *name)
{
    size_t i = hash(name) & (t->slots - 1);
    while (t->slot[i] && strcmp(t->street[t->slot[i] - 1].name, name) != 0) i = (i + 1) & (t->slots - 1);
    return i;
}

static bool streets_grow(street_table *t)
{
    size_t room = t->room ? 2 * t->room : 32;
    struct street_slot *street = realloc(t->street, room * sizeof *street);
    if (!street) return false;
    t->street = street;
    uint32_t *slot = calloc(4 * room, sizeof *slot);
    if (!slot) return false;
    free(t->slot);
    t->slot = slot;
    t->room = room;
    t->slots = 4 * room;
    for (size_t k = 0; k < t->n; k++) t->slot[find_slot(t, t->street[k].name)] = (uint32_t)k + 1;
    return true;
}

/* Index of a street, added when it is new; SIZE_MAX without memory. */
static size_t street_index(street_table *t, const char *name)
{
    if (t->n == t->room && !streets_grow(t)) return SIZE_MAX;
    char key[STORE_LABEL] = {0};
    memcpy(key, name, strnlen(name, sizeof key - 1));
    size_t i = find_slot(t, key);
    if (!t->slot[i]) {
        memcpy(t->street[t->n].name, key, sizeof key);
        t->street[t->n].heaters = 0;
        t->slot[i] = (uint32_t)++t->n;
    }
    return t->slot[i] - 1;
}

/* ---- which heaters ---- */

typedef struct entry {
    int64_t heater;
    uint32_t street;
} entry;

typedef struct roll {
    store *s;
    int64_t today;
    entry *entry;
    size_t n, room;
    street_table streets;
} roll;

static tufa_status enroll(void *ctx, const heater_rec *h)
{
    roll *r = ctx;
    house_rec house;
    char street[STORE_WORD];
    if (!case_in_service(h, r->today)) return OK;
    RETURN_IF(store_house_get(r->s, h->house, &house));
    case_street(&house, street);
    if (r->n == r->room) {
        size_t room = r->room ? 2 * r->room : 64;
        entry *grown = realloc(r->entry, room * sizeof *grown);
        if (!grown) return trouble(TUFA_MEMORY, "heaters", NULL);
        r->entry = grown;
        r->room = room;
    }
    size_t k = street_index(&r->streets, street);
    if (k == SIZE_MAX) return trouble(TUFA_MEMORY, "streets", NULL);
    r->streets.street[k].heaters++;
    r->entry[r->n++] = (entry){h->id, (uint32_t)k};
    return OK;
}

/* ---- streaming ---- */

typedef struct stream {
    desk *d;
    desk_rates rates;
    unsigned draws, months;
    const year_change *change;
    const roll *roll;
    desk_case *c;               /* BATCH of them */
    year_row *row;              /* of the batch */
    tufa_status status[BATCH];
    const entry *entry;         /* of the batch */
    size_t workers;
    tufa_arena arena[POOL_MOST];
    hot_table hot[POOL_MOST];
} stream;

static void one(void *ctx, size_t worker, size_t i)
{
    stream *s = ctx;
    tufa_arena *arena = &s->arena[worker];
    bool alone = s->roll->streets.street[s->entry[i].street].heaters < 2;
    arena->used = 0;
    s->status[i] = choose(&s->c[i], &s->rates, s->d->units, s->months, s->draws, case_trip_share(!alone),
                          arena, &s->hot[worker], NULL, NULL, NULL, &s->row[i]);
}

/* Room for one more line of use at `i`; the oldest goes where there is none. Answers where it is. */
static size_t open_use(desk_case *c, size_t i, int64_t day)
{
    if (c->uses == TUFA_AHEAD_MAX_USES) {
        memmove(c->use, c->use + 1, (--c->uses) * sizeof c->use[0]);
        i -= i > 0;
    }
    memmove(c->use + i + 1, c->use + i, (c->uses - i) * sizeof c->use[0]);
    c->uses++;
    c->use[i] = (tufa_use){.day = day};
    return i;
}

/* From today on, whoever lives there: a line of use that says the change alone. What was before stays as it was. */
static void change_case(const year_change *x, desk_case *c)
{
    c->no_cleaning = x->no_cleaning;
    bool soften = x->soften_water && c->water->id == x->soften_water && c->water->softened.basis == TUFA_BASIS_NONE && !c->water->known.softened;
    if (!soften && x->setpoint_K <= 0.0) return;
    size_t i = c->uses;
    while (i > 0 && c->use[i - 1].day > c->today) i--;
    if (i == 0) i = open_use(c, 0, c->today - 1) + 1;
    for (i = open_use(c, i, c->today); i < c->uses; i++) {
        if (soften) c->use[i].softened = tufa_softened_default();
        if (x->setpoint_K <= 0.0) continue;
        c->use[i].setpoint_K = (tufa_value){x->setpoint_K, x->setpoint_K, x->setpoint_K, TUFA_BASIS_GIVEN};
        c->use[i].mixed_as_before = 1;
    }
    if (soften) c->planned_softener = tufa_softened_default();
}

static tufa_status load_batch(stream *s, desk_waters *w, size_t from, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        heater_rec h;
        RETURN_IF(store_heater_get(s->d->s, s->roll->entry[from + i].heater, &h));
        RETURN_IF(case_load(s->d->s, w, &h, s->d->today, &s->c[i]));
        if (s->change) change_case(s->change, &s->c[i]);
    }
    return OK;
}

static tufa_status run_batches(stream *s, desk_waters *w, const year_ask *ask, year_answer *out)
{
    for (size_t from = 0; from < s->roll->n; from += BATCH) {
        size_t n = s->roll->n - from < BATCH ? s->roll->n - from : BATCH;
        if (ask->cancelled && ask->cancelled(ask->ctx)) return trouble(TUFA_REFUSED, "year plan", "stopped before its end");
        RETURN_IF(load_batch(s, w, from, n));
        s->entry = s->roll->entry + from;
        s->row = out->row + from;
        pool_run(s->workers, n, one, s);
        for (size_t i = 0; i < n; i++) RETURN_IF(s->status[i]);
        if (ask->progress) ask->progress(ask->ctx, from + n, s->roll->n);
    }
    return OK;
}

static tufa_status run_stream(stream *s, desk_waters *w, const year_ask *ask, year_answer *out)
{
    size_t bytes = choose_bytes(s->months, s->draws) + others_bytes(s->months, s->draws);
    bool memory = (s->c = malloc(BATCH * sizeof *s->c)) != NULL;
    s->workers = pool_processors();
    for (size_t k = 0; k < s->workers; k++) {
        s->arena[k] = (tufa_arena){.base = malloc(bytes), .size = bytes};
        memory = memory && s->arena[k].base;
        memory = hot_table_init(&s->hot[k]).code == TUFA_OK && memory;
    }
    tufa_status st = memory ? run_batches(s, w, ask, out) : trouble(TUFA_MEMORY, "year plan", NULL);
    for (size_t k = 0; k < s->workers; k++) free(s->arena[k].base), hot_table_free(&s->hot[k]);
    free(s->c);
    return st;
}

/* ---- order ---- */

static bool is_visit(const year_row *r) { return r->choice != TUFA_CHOICE_LEAVE; }

static int rows_by_street(const void *a, const void *b)
{
    const year_row *x = a, *y = b;
    int order = label_order(x->street, y->street);
    if (order) return order;
    if (is_visit(x) != is_visit(y)) return is_visit(x) ? -1 : 1;
    order = label_order(x->label, y->label);
    return order ? order : x->heater < y->heater ? -1 : x->heater > y->heater;
}

static int streets_by_gain(const void *a, const void *b)
{
    const year_street *x = a, *y = b;
    if ((x->visits > 0) != (y->visits > 0)) return x->visits > 0 ? -1 : 1;
    if (x->leaks != y->leaks) return x->leaks ? -1 : 1;
    if (x->gain_usd != y->gain_usd) return x->gain_usd > y->gain_usd ? -1 : 1;
    return label_order(x->name, y->name);
}

/* ---- sums ---- */

static void add_band(tufa_band *sum, const tufa_band *x)
{
    sum->p10 += x->p10;
    sum->p50 += x->p50;
    sum->p90 += x->p90;
}

static void count_row(year_answer *a, year_street *s, const year_row *r)
{
    a->count[r->choice]++;
    add_band(&a->left_usd, &r->left_usd);
    if (r->age_basis == TUFA_BASIS_NONE || r->age_basis == TUFA_BASIS_DEFAULT) a->unknown_age++;
    if (!is_visit(r)) return;
    a->visits++;
    s->visits++;
    s->hours += r->hours.p50;
    s->spend_usd += r->spend_usd;
    s->gain_usd += r->mean_gain_usd;
    s->leaks = s->leaks || r->reason == TUFA_REASON_TANK_LEAKS;
    add_band(&a->hours, &r->hours);
    add_band(&a->gain_usd, &r->gain_usd);
    a->mean_gain_usd += r->mean_gain_usd;
}

/* What to see first: a leaking tank before everything, then where most is to be saved. */
static bool before(const year_row *x, const year_row *y)
{
    bool lx = x->reason == TUFA_REASON_TANK_LEAKS, ly = y->reason == TUFA_REASON_TANK_LEAKS;
    return lx != ly ? lx : x->mean_gain_usd > y->mean_gain_usd;
}

static void pick_first(year_answer *a)
{
    size_t most = sizeof a->first / sizeof a->first[0];
    for (size_t i = 0; i < a->n; i++) {
        if (!is_visit(&a->row[i])) continue;
        size_t k = a->firsts < most ? a->firsts++ : most;
        for (; k > 0 && before(&a->row[i], &a->row[a->first[k - 1]]); k--)
            if (k < most) a->first[k] = a->first[k - 1];
        if (k < most) a->first[k] = i;
    }
}

static tufa_status arrange(year_answer *a, size_t streets)
{
    a->street = calloc(streets ? streets : 1, sizeof *a->street);
    if (!a->street) return trouble(TUFA_MEMORY, "year plan", NULL);
    if (a->n) qsort(a->row, a->n, sizeof *a->row, rows_by_street);
    for (size_t i = 0; i < a->n; i++) {
        year_street *s = a->streets ? &a->street[a->streets - 1] : NULL;
        if (!s || label_order(s->name, a->row[i].street) != 0) {
            s = &a->street[a->streets++];
            memcpy(s->name, a->row[i].street, sizeof s->name);
            s->first = i;
        }
        s->n++;
        count_row(a, s, &a->row[i]);
    }
    pick_first(a);
    qsort(a->street, a->streets, sizeof *a->street, streets_by_gain);
    return OK;
}

static void drives(year_answer *a, const tufa_prices *p)
{
    for (size_t i = 0; i < a->streets; i++)
        if (a->street[i].visits) a->drive_hours += p->usd[TUFA_PRICE_TRIP].mid / MILES_AN_HOUR;
    double spend = 0.0;
    for (size_t i = 0; i < a->streets; i++) spend += a->street[i].spend_usd;
    a->spend_usd = (tufa_band){spend, spend, spend};
    a->own_hour_usd = p->usd[TUFA_PRICE_OWN_HOUR].mid;
    a->own_hour_default = p->usd[TUFA_PRICE_OWN_HOUR].basis == TUFA_BASIS_DEFAULT;
}

static tufa_status plan(desk *d, const year_ask *ask, roll *r, desk_waters *w, year_answer *out)
{
    stream s = {.d = d, .roll = r, .draws = ask->draws ? ask->draws : YEAR_DRAWS,
                .months = ask->months ? ask->months : YEAR_MONTHS, .change = ask->change};
    RETURN_IF(desk_rates_get(d, &s.rates));
    waters_start(w, d->s, s.draws);
    RETURN_IF(store_heater_each(d->s, enroll, r));
    out->row = calloc(r->n ? r->n : 1, sizeof *out->row);
    if (!out->row) return trouble(TUFA_MEMORY, "year plan", NULL);
    out->n = r->n;
    RETURN_IF(run_stream(&s, w, ask, out));
    RETURN_IF(arrange(out, r->streets.n));
    drives(out, &s.rates.prices);
    for (size_t i = 0; i < w->n; i++) out->no_sheet_waters += !w->water[i]->has_sheet;
    out->waters = w->n;
    return OK;
}

tufa_status desk_year(desk *d, const year_ask *ask, year_answer *out)
{
    static const year_ask USUAL;
    year_answer a = {.today = d->today, .units = d->units};
    roll r = {.s = d->s, .today = d->today};
    desk_waters w = {0};
    RETURN_IF(learned_hold(d->s));
    tufa_status st = plan(d, ask ? ask : &USUAL, &r, &w, &a);
    learned_release(d->s);
    waters_end(&w);
    free(r.entry);
    streets_free(&r.streets);
    if (st.code != TUFA_OK) {
        year_free(&a);
        return st;
    }
    *out = a;
    return OK;
}

void year_free(year_answer *a)
{
    free(a->row);
    free(a->street);
    *a = (year_answer){0};
}
