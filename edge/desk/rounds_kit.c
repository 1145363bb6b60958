/* Kits of the rounds: the union of what their visits may need, parts weighted by the odds that they are used up; the stock for
 * the year; the money to keep for what fails all the same. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/allows.h"
#include "edge/desk/call.h"
#include "edge/desk/rounds_parts.h"

static const double ENOUGH = 0.9, DAYS = 365.0;

/* One piece that a visit may use up, or a tool that it needs. */
typedef struct want {
    char id[STORE_ITEM];
    const char *what, *size;
    bool part;
    double odds; /* of a part; of a tool 1 */
    int round;   /* -1: in no round, but a part of the year */
} want;

typedef struct wants {
    want *w;
    size_t n, room;
} wants;

static tufa_status add_want(wants *l, const char *id, const char *what, const char *size, bool part, double odds, int round)
{
    if (odds <= 0.0) return OK;
    if (l->n == l->room) {
        size_t room = l->room ? 2 * l->room : 256;
        want *grown = realloc(l->w, room * sizeof *grown);
        if (!grown) return trouble(TUFA_MEMORY, "kit", NULL);
        l->w = grown;
        l->room = room;
    }
    want *w = &l->w[l->n++];
    *w = (want){.what = what, .size = size, .part = part, .odds = fmin(odds, 1.0), .round = round};
    snprintf(w->id, sizeof w->id, "%s", id);
    return OK;
}

/* ---- odds and prices ---- */

enum { NO_PRICE = TUFA_PRICE_COUNT };
static const struct {
    const char *id;
    double odds;
    int price;
} ODDS[] = {
#define X(id, odds, price) {#id, odds, price},
#include "edge/desk/part_odds.def"
#undef X
};
enum { ODDS_N = sizeof ODDS / sizeof ODDS[0] };

static int odds_row(const char *id)
{
    for (int i = 0; i < ODDS_N; i++)
        if (strcmp(ODDS[i].id, id) == 0) return i;
    return -1;
}

/* Whoever looks at an anode has what changing it takes. */
static tufa_choice work_of(const rounds_visit *v)
{
    return v->choice == TUFA_CHOICE_LOOK && v->reading == TUFA_SHARPEN_ANODE ? TUFA_CHOICE_ANODE : v->choice;
}

static double odds_of(const rounds_visit *v, const char *id)
{
    bool clean = v->choice == TUFA_CHOICE_CLEAN || v->choice == TUFA_CHOICE_CLEAN_ANODE;
    if (clean && strcmp(id, "element") == 0) return fmax(v->p_element, 0.1); /* found burnt or baked in: at least 1 in 10, judgement */
    if (work_of(v) == TUFA_CHOICE_ANODE && strcmp(id, "anode") == 0) return v->p_anode;
    if (v->choice == TUFA_CHOICE_LOOK && strcmp(id, "gasket") == 0) return 0.5; /* where the look is through the element hole */
    int i = odds_row(id);
    return i < 0 ? 1.0 : ODDS[i].odds;
}

/* ---- of one visit ---- */

static const struct {
    const char *id;
    tufa_choice choice;
    int fuel; /* 0 any, 1 electric, 2 gas */
    int part, pieces;
    const char *what, *size;
} PARTS[] = {
#define ANY 0
#define ELECTRIC 1
#define GAS 2
#define X(id, choice, fuel, part, pieces, what, size) {#id, TUFA_CHOICE_##choice, fuel, part, pieces, what, size},
#include "edge/desk/parts.def"
#undef X
#undef ANY
#undef ELECTRIC
#undef GAS
};

static tufa_status cleaning_wants(wants *l, const rounds_visit *v)
{
    enum { MOST = 48 };
    tufa_kit_item item[MOST];
    size_t n = tufa_visit_kit(TUFA_VISIT_CLEAN, v->method, v->fuel, MOST, item);
    for (size_t i = 0; i < n && i < MOST; i++) {
        if (v->choice == TUFA_CHOICE_ELEMENTS && strcmp(item[i].id, "element") == 0) continue; /* it brings its own */
        for (int k = 0; k < (int)item[i].count; k++)
            RETURN_IF(add_want(l, item[i].id, item[i].what, item[i].size, item[i].part, item[i].part ? odds_of(v, item[i].id) : 1.0, v->round));
    }
    return OK;
}

static tufa_status work_wants(wants *l, const rounds_visit *v)
{
    for (size_t i = 0; i < sizeof PARTS / sizeof PARTS[0]; i++) {
        bool fits = PARTS[i].choice == work_of(v) && (PARTS[i].fuel == 0 || (PARTS[i].fuel == 1) == (v->fuel == TUFA_ELECTRIC));
        for (int k = 0; fits && k < PARTS[i].pieces; k++)
            RETURN_IF(add_want(l, PARTS[i].id, PARTS[i].what, PARTS[i].size, PARTS[i].part, PARTS[i].part ? odds_of(v, PARTS[i].id) : 1.0, v->round));
    }
    return OK;
}

/* What a call's faults may ask for, with the odds that the fault finder gives. */
static tufa_status call_wants(desk *d, wants *l, const rounds_visit *v, desk_finder *f)
{
    call_view c;
    trouble_note note = {0};
    if (desk_call_view(d, f, v->call, &c, &note) != TUFA_OK) return trouble(note.code, "call", "an open call cannot be worked out");
    RETURN_IF(add_want(l, "call_tools", "meter, lamp, thermometer, pail and watch", "", false, 1.0, v->round));
    for (int i = 0; i < c.answer.parts; i++) {
        const tufa_repair *r = tufa_fault_repair_at((size_t)c.answer.part[i].repair);
        if (!r || !r->parts[0] || strcmp(r->parts, "none") == 0) continue;
        RETURN_IF(add_want(l, r->id, r->parts, r->sizes, true, c.answer.part[i].probability, v->round));
        if (r->tools[0]) RETURN_IF(add_want(l, r->tools, r->tools, "", false, 1.0, v->round));
    }
    return OK;
}

static tufa_status all_wants(desk *d, const rounds_answer *a, wants *l)
{
    desk_finder f = {0};
    tufa_status st = OK;
    for (size_t i = 0; st.code == TUFA_OK && i < a->visits; i++) {
        const rounds_visit *v = &a->visit[i];
        if (v->round < 0) continue;
        if (v->call) st = call_wants(d, l, v, &f);
        else {
            if (choice_is_cleaning(v->choice) || v->choice == TUFA_CHOICE_FLUSH) st = cleaning_wants(l, v);
            if (st.code == TUFA_OK) st = work_wants(l, v);
        }
    }
    desk_finder_free(&f);
    return st;
}

/* ---- added up ---- */

static int by_round_and_id(const void *a, const void *b)
{
    const want *x = a, *y = b;
    if (x->round != y->round) return x->round < y->round ? -1 : 1;
    if (x->part != y->part) return x->part ? -1 : 1;
    return strcmp(x->id, y->id);
}

static int by_id(const void *a, const void *b)
{
    const want *x = a, *y = b;
    if (x->part != y->part) return x->part ? -1 : 1;
    return strcmp(x->id, y->id);
}

/* Pieces of a tool for one visit stand behind one another: as many are carried as the neediest visit asks, which is at most
 * those of one kit; visits of a day take turns. */
static size_t most_of_tool(const want *w, size_t n, const rounds_answer *a)
{
    size_t visits = w->round >= 0 ? a->round[w->round].n : 1;
    return n <= visits ? 1 : (n + visits - 1) / visits;
}

static tufa_status item_of(const want *w, size_t n, const rounds_answer *a, rounds_item *out)
{
    *out = (rounds_item){.part = w->part, .in_van = -1.0};
    snprintf(out->id, sizeof out->id, "%s", w->id);
    snprintf(out->what, sizeof out->what, "%s", w->what);
    snprintf(out->size, sizeof out->size, "%s", w->size);
    if (!w->part) {
        out->need = (tufa_plan_count){.mean = 1.0, .carry = most_of_tool(w, n, a)};
        return OK;
    }
    double *odds = malloc((2 * n + 8) * sizeof *odds);
    if (!odds) return trouble(TUFA_MEMORY, "kit", NULL);
    for (size_t i = 0; i < n; i++) odds[i] = w[i].odds;
    tufa_arena scratch = {.base = (unsigned char *)(odds + n), .size = (n + 8) * sizeof *odds};
    tufa_status st = tufa_plan_need(n, odds, ENOUGH, &scratch, &out->need);
    free(odds);
    return st;
}

/* Like wants side by side become one item; `same` tells how far they go. */
static tufa_status items_of(const want *w, size_t n, const rounds_answer *a, rounds_item **item, size_t *items)
{
    *items = 0;
    *item = calloc(n ? n : 1, sizeof **item);
    if (!*item) return trouble(TUFA_MEMORY, "kit", NULL);
    for (size_t i = 0, k; i < n; i = k) {
        for (k = i; k < n && by_id(&w[i], &w[k]) == 0;) k++;
        RETURN_IF(item_of(&w[i], k - i, a, &(*item)[(*items)++]));
    }
    return OK;
}

/* ---- the van ---- */

typedef struct van {
    rounds_item *item;
    size_t n;
} van;

static tufa_status look_in_van(void *ctx, const stock_rec *r)
{
    van *v = ctx;
    for (size_t i = 0; i < v->n; i++)
        if (strcmp(v->item[i].id, r->item) == 0) v->item[i].in_van = fmax(0.0, r->pieces);
    return OK;
}

static void price_items(const desk_rates *rates, rounds_item *item, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        int row = odds_row(item[i].id);
        if (row >= 0 && ODDS[row].price != NO_PRICE) item[i].each_usd = rates->prices.usd[ODDS[row].price].mid;
        item[i].buy = item[i].part ? fmax(0.0, (double)item[i].need.carry - fmax(0.0, item[i].in_van)) : 0.0;
    }
}

static tufa_status part_wanted(wants *l, const char *id, double odds)
{
    for (size_t i = 0; i < sizeof PARTS / sizeof PARTS[0]; i++)
        if (PARTS[i].part && strcmp(PARTS[i].id, id) == 0) return add_want(l, id, PARTS[i].what, PARTS[i].size, true, odds, -1);
    return OK;
}

/* Elements, thermostats and gas controls that fail in spite of the plan are wanted too. */
static tufa_status failures_want(const year_answer *y, wants *l)
{
    for (size_t i = 0; i < y->n; i++) {
        const year_row *r = &y->row[i];
        RETURN_IF(part_wanted(l, r->fuel == TUFA_ELECTRIC ? "thermostat" : "control", (double)r->mean_p_control));
        if (r->fuel != TUFA_ELECTRIC) continue;
        RETURN_IF(part_wanted(l, "element", (double)r->mean_p_element));
        RETURN_IF(part_wanted(l, "gasket", (double)r->mean_p_element));
    }
    return OK;
}

static tufa_status stock_for_year(desk *d, const desk_rates *rates, const year_answer *y, wants *l, rounds_answer *a)
{
    RETURN_IF(failures_want(y, l));
    if (l->n) qsort(l->w, l->n, sizeof *l->w, by_id);
    size_t parts = 0;
    while (parts < l->n && l->w[parts].part) parts++;
    RETURN_IF(items_of(l->w, parts, a, &a->stock, &a->stocks));
    RETURN_IF(store_stock_each(d->s, look_in_van, &(van){a->stock, a->stocks}));
    price_items(rates, a->stock, a->stocks);
    return OK;
}

/* ---- the reserve ---- */

static tufa_value plus(tufa_value a, tufa_value b, double times)
{
    return (tufa_value){a.mid + times * b.mid, a.lo + times * b.lo, a.hi + times * b.hi, TUFA_BASIS_DEFAULT};
}

/* Share of the year that passes before the work that ends this risk, that of a new tank or `by`; 1 where no such work is planned. */
static double until_done(const rounds_answer *a, int64_t heater, tufa_choice by)
{
    for (size_t i = 0; i < a->visits; i++) {
        const rounds_visit *v = &a->visit[i];
        bool ends = sets_a_heater(v->choice) || v->choice == by;
        if (v->heater == heater && ends && v->round >= 0) return fmin(1.0, (double)(v->day - a->today) / DAYS);
    }
    return 1.0;
}

static double chance(const rounds_answer *a, const year_row *r, float p_year, tufa_choice by)
{
    return fmin(1.0, fmax(0.0, (double)p_year * until_done(a, r->heater, by)));
}

/* Tank, element and thermostat or gas control of one heater: the first ends the other two. */
enum { RISKS = 3 };
static void risks_of(const desk_rates *rates, const rounds_answer *a, const year_row *r, size_t thing, tufa_plan_risk risk[RISKS])
{
    static const double DAMAGE_SHARE = 0.1, TANK_OUT_DAYS = 2.0, ELEMENT_OUT_DAYS = 1.0, ELEMENT_HOURS = 2.0; /* judgement; the first as in the money stage */
    static const double CONTROL_OUT_DAYS = 1.0, CONTROL_HOURS = 1.25; /* as there */
    const tufa_value *p = rates->prices.usd;
    bool electric = r->fuel == TUFA_ELECTRIC;
    tufa_value tank = plus(p[electric ? TUFA_PRICE_INSTALLED_ELECTRIC : TUFA_PRICE_INSTALLED_GAS], p[TUFA_PRICE_OUTAGE_DAY], TANK_OUT_DAYS);
    tufa_value element = plus(plus(p[TUFA_PRICE_ELEMENT], p[TUFA_PRICE_OWN_HOUR], ELEMENT_HOURS), p[TUFA_PRICE_OUTAGE_DAY], ELEMENT_OUT_DAYS);
    tufa_value control = plus(p[electric ? TUFA_PRICE_THERMOSTAT : TUFA_PRICE_GAS_CONTROL], p[TUFA_PRICE_OWN_HOUR], CONTROL_HOURS);
    risk[0] = (tufa_plan_risk){chance(a, r, r->mean_p_tank, TUFA_CHOICE_REPLACE), plus(tank, p[TUFA_PRICE_LEAK_DAMAGE], DAMAGE_SHARE), thing, 1};
    risk[1] = (tufa_plan_risk){electric ? chance(a, r, r->mean_p_element, TUFA_CHOICE_ELEMENTS) : 0.0, element, thing, 0};
    risk[2] = (tufa_plan_risk){chance(a, r, r->mean_p_control, TUFA_CHOICE_CONTROL), plus(control, p[TUFA_PRICE_OUTAGE_DAY], CONTROL_OUT_DAYS), thing, 0};
}

static tufa_status reserve(const desk_rates *rates, const year_answer *y, rounds_answer *a)
{
    enum { DRAWS = 4000 };
    size_t bytes = tufa_plan_reserve_bytes(DRAWS);
    tufa_plan_risk *risk = malloc((RISKS * y->n + 1) * sizeof *risk);
    tufa_arena scratch = {.base = malloc(bytes), .size = bytes};
    tufa_status st = risk && scratch.base ? OK : trouble(TUFA_MEMORY, "reserve", NULL);
    for (size_t i = 0; st.code == TUFA_OK && i < y->n; i++) risks_of(rates, a, &y->row[i], i, risk + RISKS * i);
    if (st.code == TUFA_OK) st = tufa_plan_reserve(RISKS * y->n, risk, DRAWS, 0x726f756e6473u, &scratch, &a->reserve);
    a->at_risk = y->n;
    free(risk), free(scratch.base);
    return st;
}

/* ---- all of it ---- */

static tufa_status kits(wants *l, rounds_answer *a)
{
    if (l->n) qsort(l->w, l->n, sizeof *l->w, by_round_and_id);
    for (size_t i = 0, k; i < l->n; i = k) {
        for (k = i; k < l->n && l->w[k].round == l->w[i].round;) k++;
        rounds_day *r = &a->round[l->w[i].round];
        RETURN_IF(items_of(l->w + i, k - i, a, &r->item, &r->items));
    }
    return OK;
}

tufa_status rounds_kit(desk *d, const desk_rates *rates, const year_answer *y, rounds_answer *a)
{
    wants l = {0};
    tufa_status st = all_wants(d, a, &l);
    if (st.code == TUFA_OK && l.n) st = kits(&l, a);
    if (st.code == TUFA_OK) st = stock_for_year(d, rates, y, &l, a);
    free(l.w);
    return st.code == TUFA_OK ? reserve(rates, y, a) : st;
}
