#include "edge/desk/what_learned.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/choose.h"
#include "edge/desk/find.h"
#include "edge/desk/words.h"

static tufa_value over(tufa_value v, double by) { return (tufa_value){v.mid / by, v.lo / by, v.hi / by, v.basis}; }

double learned_density(tufa_eps e, double usual, double ratio)
{
    double at = log(ratio * usual / tufa_eps_point(0)) / log(tufa_eps_point(1) / tufa_eps_point(0));
    int i = (int)floor(at);
    if (i < 0 || i + 1 >= TUFA_EPS_POINTS) return 0.0;
    double w = e.weight[i] + (at - i) * (e.weight[i + 1] - e.weight[i]);
    return w / log(tufa_eps_point(1) / tufa_eps_point(0)) / ratio;
}

/* ---- one heater ---- */

typedef struct listing {
    const desk_case *c;
    const tufa_learn_finding *each;
    const tufa_learn *learn;
    learned_heater *out;
} listing;

static quantity unit_of(const tufa_finding *f)
{
    switch (f->kind) {
    case TUFA_FOUND_WEIGHED: return Q_MASS;
    case TUFA_FOUND_HEIGHT:
    case TUFA_FOUND_DEPTH: return Q_LENGTH;
    case TUFA_FOUND_ELEMENT: return Q_YEARS;
    case TUFA_FOUND_RECOVERY: return Q_NUMBER;
    case TUFA_FOUND_SLURRY:
    case TUFA_FOUND_REFILL:
    case TUFA_FOUND_TOLD:
    case TUFA_FOUND_CLEANED:
    case TUFA_FOUND_COUNT: break;
    }
    return Q_VOLUME;
}

static void add_line(const listing *l, const finding_rec *r, size_t k)
{
    const tufa_finding *f = &l->c->found[k];
    const tufa_learn_finding *e = &l->each[k];
    double usual = l->out->usual.mid;
    if (l->out->lines == FOUND_LINES || !e->reads) return;
    found_line *to = &l->out->line[l->out->lines++];
    *to = (found_line){.day = f->day, .q = unit_of(f), .law = tufa_finding_at(f->kind)->law, .surprise = e->surprise, .set_aside = e->set_aside,
                       .contradicts = e->contradicts, .expected = {e->expected, e->expected_lo, e->expected_hi, TUFA_BASIS_LEARNED},
                       .ratio_without = e->without.mid / usual, .ratio_with = l->learn->posterior_eps.mid / usual};
    snprintf(to->what, sizeof to->what, "%s", r ? finding_rows[r->kind].what : tufa_finding_at(f->kind)->what);
    to->said = r && to->law != TUFA_LAW_TOLD && to->law != TUFA_LAW_RECOVERY ? r->value : (tufa_value){f->value, f->value, f->value, TUFA_BASIS_GIVEN};
    if (r && to->law == TUFA_LAW_TOLD) { /* as it was read, in its own unit; the bed that it expects in litres */
        to->said = r->value;
        to->q = finding_rows[r->kind].q;
    }
    if (r && to->law == TUFA_LAW_MASS) to->q = finding_rows[r->kind].q;
}

static tufa_status list(void *ctx, const finding_rec *r)
{
    const listing *l = ctx;
    for (size_t k = 0; k < l->c->findings; k++)
        if (l->c->found[k].id == r->id && tufa_finding_at(l->c->found[k].kind)->law != TUFA_LAW_DONE) add_line(l, r, k);
    return OK;
}

static tufa_value element_rate(const desk_case *c)
{
    tufa_element_life e = c->element;
    double mid = e.shape / e.rate_years, sd = 1.0 / sqrt(e.shape);
    return (tufa_value){mid, mid * exp(-1.2816 * sd), mid * exp(1.2816 * sd), TUFA_BASIS_LEARNED};
}

static void sum_up(const desk_case *c, const tufa_learn *l, learned_heater *out)
{
    tufa_eps usual = tufa_eps_prior(c->known.fuel);
    out->usual = tufa_eps_value(&usual);
    out->ratio_before = over(l->prior_eps, out->usual.mid);
    out->ratio = over(l->posterior_eps, out->usual.mid);
    out->kept = l->posterior_eps;
    out->before = l->prior;
    out->after = l->posterior;
    out->used = l->used;
    out->aside = l->aside;
    out->skipped = l->skipped;
    out->rests_on = l->used ? TUFA_RESTS_ON_FINDINGS : c->prior.rests_on;
    out->loss_per_kg = l->loss_per_kg;
    out->loss_per_kg_before = l->prior_loss_per_kg;
    out->loss_used = l->loss_used;
    out->loss_neighbours = c->loss_neighbours;
    for (size_t k = 0; k < c->findings; k++) out->cleanings += c->found[k].cleaned != 0;
}

static tufa_status work_out(desk *d, desk_waters *waters, int64_t id, tufa_arena *arena, desk_case *c, learned_heater *out)
{
    static const unsigned DRAWS = YEAR_DRAWS;
    heater_rec heater;
    desk_rates rates;
    tufa_learn learn;
    tufa_learn_finding each[TUFA_AHEAD_MAX_FINDINGS];
    tufa_ahead ahead;
    RETURN_IF(store_heater_get(d->s, id, &heater));
    RETURN_IF(desk_rates_get(d, &rates));
    RETURN_IF(case_load(d->s, waters, &heater, d->today, c));
    *out = (learned_heater){.today = d->today, .id = id, .units = d->units, .fuel = c->known.fuel, .neighbours = c->neighbours, .blind = c->blind,
                            .water_id = c->water->id};
    memcpy(out->label, heater.label, sizeof out->label);
    memcpy(out->water, c->water->label, sizeof out->water);
    tufa_ahead_in in = case_ahead_in(c, 12, DRAWS, true);
    RETURN_IF(tufa_learn_eps(&in, arena, &learn, each));
    sum_up(c, &learn, out);
    listing l = {c, each, &learn, out};
    RETURN_IF(store_finding_each(d->s, id, list, &l));
    RETURN_IF(tufa_ahead_look(&in, arena, &ahead));
    out->kg = ahead.now_kg;
    out->kg_year = ahead.rate_kg_year;
    tufa_money_in money = case_money_in(c, &ahead, &rates.prices, rates.life[c->known.fuel], 1.0);
    if (c->known.fuel == TUFA_ELECTRIC) out->element_year = element_rate(c);
    out->anode_years = money.anode_life_years;
    return tufa_money_risks(&money, arena, &out->risks);
}

tufa_code desk_learned_heater(desk *d, const char *name, learned_heater *out, text *near, trouble_note *note)
{
    int64_t id;
    tufa_code code = desk_find(d, THING_HEATER, name, &id, near, note);
    if (code != TUFA_OK) return code;
    desk_waters waters;
    size_t bytes = choose_bytes(12, YEAR_DRAWS) + tufa_learn_bytes(YEAR_DRAWS, TUFA_AHEAD_MAX_FINDINGS);
    tufa_arena arena = {.base = malloc(bytes), .size = bytes};
    desk_case *c = malloc(sizeof *c);
    waters_start(&waters, d->s, YEAR_DRAWS);
    tufa_status st = c && arena.base ? work_out(d, &waters, id, &arena, c, out) : trouble(TUFA_MEMORY, "learned", NULL);
    waters_end(&waters);
    free(c);
    free(arena.base);
    if (st.code != TUFA_OK) note_from_status(note, st);
    return st.code;
}

/* ---- the book ---- */

typedef struct census {
    desk *d;
    learned_book *a;
    size_t room;
} census;

static tufa_status count(void *ctx, const heater_rec *h)
{
    census *c = ctx;
    house_rec house;
    if (!case_in_service(h, c->d->today)) return OK;
    int64_t water = h->water;
    tufa_fuel fuel = h->fuel == FUEL_GAS || h->fuel == FUEL_PROPANE ? TUFA_GAS : TUFA_ELECTRIC;
    c->a->gas_heaters += fuel == TUFA_GAS;
    if (!water) {
        RETURN_IF(store_house_get(c->d->s, h->house, &house));
        water = house.water;
    }
    if (!water) return c->a->unknown++, OK;
    for (size_t i = 0; i < c->a->waters; i++)
        if (c->a->water[i].water == water && c->a->water[i].fuel == fuel) return c->a->water[i].heaters++, OK;
    if (c->a->waters == c->room) {
        size_t room = c->room ? 2 * c->room : 8;
        learned_water *more = realloc(c->a->water, room * sizeof *more);
        if (!more) return trouble(TUFA_MEMORY, "learned", NULL);
        c->a->water = more;
        c->room = room;
    }
    c->a->water[c->a->waters++] = (learned_water){.water = water, .fuel = fuel, .heaters = 1};
    return OK;
}

static int by_label(const void *a, const void *b) { return label_order(((const char *)a) + sizeof(int64_t), ((const char *)b) + sizeof(int64_t)); }

static tufa_status fill_water(desk *d, learned_water *w, size_t *aside)
{
    const learned_group *g;
    RETURN_IF(learned_group_of(d->s, d->today, w->water, w->fuel, &g));
    RETURN_IF(store_thing_label(d->s, THING_WATER, w->water, w->label));
    w->found = g->n;
    w->ratio = over(g->common, g->usual.mid);
    w->fresh = over(g->between, g->usual.mid);
    w->member = calloc(g->n + 1, sizeof *w->member);
    if (!w->member) return trouble(TUFA_MEMORY, "learned", NULL);
    for (size_t i = 0; i < g->n; i++) {
        w->member[i].heater = g->member[i].heater;
        w->member[i].ratio = over(g->member[i].own, g->usual.mid);
        w->member[i].used = g->member[i].used;
        for (uint64_t b = g->member[i].aside; b; b &= b - 1) w->member[i].aside++;
        *aside += w->member[i].aside;
        RETURN_IF(store_thing_label(d->s, THING_HEATER, g->member[i].heater, w->member[i].label));
    }
    qsort(w->member, g->n, sizeof *w->member, by_label);
    return OK;
}

static int by_water(const void *a, const void *b)
{
    const learned_water *x = a, *y = b;
    int order = label_order(x->label, y->label);
    return order ? order : (int)x->fuel - (int)y->fuel;
}

static int by_timed(const void *a, const void *b) { return label_order(((const learned_timed *)a)->label, ((const learned_timed *)b)->label); }

static tufa_status fill_losses(desk *d, learned_book *a)
{
    RETURN_IF(learned_losses_of(d->s, d->today, &a->losses));
    a->timed = calloc(a->losses->n + 1, sizeof *a->timed);
    if (!a->timed) return trouble(TUFA_MEMORY, "learned", NULL);
    for (size_t i = 0; i < a->losses->n; i++) {
        const learned_loss *m = &a->losses->member[i];
        a->timed[i] = (learned_timed){.heater = m->heater, .share_kg = m->own, .used = m->used};
        RETURN_IF(store_thing_label(d->s, THING_HEATER, m->heater, a->timed[i].label));
    }
    qsort(a->timed, a->losses->n, sizeof *a->timed, by_timed);
    return OK;
}

tufa_status desk_learned_book(desk *d, learned_book *out)
{
    learned_book a = {.today = d->today, .units = d->units};
    census c = {.d = d, .a = &a};
    tufa_status st = store_heater_each(d->s, count, &c);
    for (size_t i = 0; st.code == TUFA_OK && i < a.waters; i++) st = fill_water(d, &a.water[i], &a.aside);
    if (st.code == TUFA_OK) st = learned_lives_of(d->s, d->today, &a.lives);
    if (st.code == TUFA_OK) st = fill_losses(d, &a);
    if (st.code != TUFA_OK) {
        learned_book_free(&a);
        return st;
    }
    if (a.waters) qsort(a.water, a.waters, sizeof *a.water, by_water);
    *out = a;
    return OK;
}

void learned_book_free(learned_book *a)
{
    for (size_t i = 0; i < a->waters; i++) free(a->water[i].member);
    free(a->water);
    free(a->timed);
    *a = (learned_book){0};
}
