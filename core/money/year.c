/* This year's choice for one heater: each thing that could be done against leaving it, and what one reading is worth. */
#include "core/base/sources.h"
#include "core/base/status.h"
#include "core/money/inner.h"

#include <math.h>

static const double SPENT_SURE = 0.5;        /* more likely than not */
static const double SURE_WIDTH_YEARS = 4.0;  /* a date wider than this, and not past, is not sure; judgement */
static const double NEVER = 1e6;

tufa_money_in tufa_money_defaults(const tufa_ahead *ahead)
{
    return (tufa_money_in){.ahead = ahead, .prices = tufa_prices_default(), .life = tufa_life_default(ahead->heater.fuel),
                           .element = tufa_element_life_default(), .years = 10.0,
                           .control = tufa_control_life_default(ahead->heater.fuel)};
}

static tufa_status check(const tufa_money_in *in)
{
    if (!in->ahead || !in->ahead->draw_kg) return trouble(TUFA_MISSING, "ahead", "the view ahead of the heater");
    RETURN_IF(in_range("years", in->years, 1.0, MOST_YEARS));
    RETURN_IF(in_range("softened_share", in->softened_share, 0.0, 1.0));
    RETURN_IF(in_range("mean_years", in->life.mean_years.mid, 2.0, 100.0));
    RETURN_IF(in_range("shape", in->life.shape.mid, 0.8, 8.0));
    RETURN_IF(in_range("element.rate_years", in->element.rate_years, 1e-3, 1e6));
    RETURN_IF(in_range("element.shape", in->element.shape, 1e-3, 1e6));
    for (int p = 0; p < TUFA_PRICE_COUNT; p++) {
        const char *key = tufa_price_at((tufa_price)p)->key;
        RETURN_IF(in_range(key, in->prices.usd[p].lo, 0.0, in->prices.usd[p].mid));
        RETURN_IF(in_range(key, in->prices.usd[p].mid, 0.0, 1e6));
        RETURN_IF(in_range(key, in->prices.usd[p].hi, in->prices.usd[p].mid, 1e7));
    }
    return OK;
}

size_t tufa_money_bytes(unsigned draws)
{
    return 16384 + (size_t)draws * (sizeof(world) + sizeof(tufa_weibull) + 8 * (2 * TUFA_CHOICE_COUNT + 6 + MOST_YEARS + 1));
}

static int applies(const tufa_money_in *in, tufa_choice c)
{
    if (c == TUFA_CHOICE_LOOK) return 0; /* it is weighed by what it is worth to the others */
    return c != TUFA_CHOICE_ELEMENTS || in->ahead->heater.fuel == TUFA_ELECTRIC;
}

/* Leaving and replacing have no next year of their own: leaving holds the replacements of all later years. */
static int may_wait(const tufa_money_in *in, tufa_choice c)
{
    return applies(in, c) && c != TUFA_CHOICE_LEAVE && c != TUFA_CHOICE_REPLACE;
}

static double flush_left(const world *w, double kg)
{
    double moved = fmin((1.0 - w->left_share[TUFA_CHOICE_FLUSH]) * kg, w->flush_kg);
    return kg > 0.0 ? 1.0 - moved / kg : 1.0;
}

/* An anode with less left than this is changed when it is seen. */
static int is_worn(const world *w, int when) { return w->anode_age + when > w->anode_worn_share * w->anode_life; }

/* Parts, own hours and travel; an anode is bought only where the old one is found worn. */
static double spend(const world *w, tufa_choice c, int when)
{
    if (c == TUFA_CHOICE_LEAVE) return 0.0;
    double usd = w->hours[c] * w->own_hour + w->trip;
    if (c == TUFA_CHOICE_ELEMENTS) usd += w->element * w->low_density_price;
    if (c == TUFA_CHOICE_ANODE && is_worn(w, when)) usd += w->anode;
    if (c == TUFA_CHOICE_REPLACE) usd += w->unit;
    return usd;
}

static deed deed_of(const world *w, tufa_choice c, int when)
{
    deed d = {.when = when, .left_share = 1.0, .rise_K = w->rise_K, .spend_usd = spend(w, c, when)};
    if (c == TUFA_CHOICE_FLUSH) d.left_share = flush_left(w, w->kg + w->kg_year * when);
    if (c == TUFA_CHOICE_CLEAN || c == TUFA_CHOICE_ELEMENTS) d.left_share = w->left_share[c];
    if (c == TUFA_CHOICE_ELEMENTS) d.rise_K = w->rise_K * fmin(1.0, w->low_density_W_m2 / w->flux_W_m2);
    d.new_anode = c == TUFA_CHOICE_ANODE && is_worn(w, when);
    return d;
}

double mean_of(size_t n, const double *v)
{
    double sum = 0.0;
    for (size_t i = 0; i < n; i++) sum += v[i];
    return sum / (double)n;
}

static double sorted_at(size_t n, const double *v, double p)
{
    double at = p * (double)(n - 1);
    size_t i = (size_t)at;
    return i + 1 < n ? v[i] + (at - (double)i) * (v[i + 1] - v[i]) : v[n - 1];
}

tufa_band band_at(size_t n, const double *v, double *scratch)
{
    for (size_t i = 0; i < n; i++) scratch[i] = v[i];
    double p50 = tufa_quantile(n, scratch, 0.5); /* leaves it sorted */
    return (tufa_band){.p10 = sorted_at(n, scratch, 0.1), .p50 = p50, .p90 = sorted_at(n, scratch, 0.9)};
}

static tufa_status take(const worlds *ws, tufa_arena *arena, ledger *l)
{
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        if (applies(ws->in, (tufa_choice)c) && !(l->now[c] = tufa_arena_take(arena, ws->n, sizeof(double))))
            return trouble(TUFA_MEMORY, "arena", NULL);
        if (may_wait(ws->in, (tufa_choice)c) && !(l->wait[c] = tufa_arena_take(arena, ws->n, sizeof(double))))
            return trouble(TUFA_MEMORY, "arena", NULL);
    }
    l->stop_usd = tufa_arena_take(arena, ws->n * ((size_t)ws->years + 1u), sizeof(double));
    l->scratch = tufa_arena_take(arena, ws->n, sizeof(double));
    l->signal = tufa_arena_take(arena, ws->n, sizeof(double));
    l->order = tufa_arena_take(arena, ws->n, sizeof(uint32_t));
    return l->stop_usd && l->scratch && l->signal && l->order ? OK : trouble(TUFA_MEMORY, "arena", NULL);
}

/* A planned replacement may follow in the year after `when` or later, whichever has the least expected cost. */
static void weigh(const worlds *ws, ledger *l, tufa_choice c, int when, double *usd, tufa_money_year *out)
{
    size_t n = ws->n, stops = (size_t)ws->years + 1u, best = (size_t)when + 1u;
    double mean[MOST_YEARS + 1] = {0};
    for (size_t i = 0; i < n; i++) {
        deed d = deed_of(&ws->w[i], c, when);
        double *stop_usd = l->stop_usd + i * stops;
        first_year f = run_path(ws, &ws->w[i], &d, stop_usd);
        for (size_t k = 0; k < stops; k++) mean[k] += stop_usd[k] / (double)n;
        l->scratch[i] = f.p_tank;
        l->signal[i] = f.p_element;
    }
    if (best >= stops) best = stops - 1;
    for (size_t k = best + 1; k < stops; k++)
        if (mean[k] < mean[best]) best = k;
    for (size_t i = 0; i < n; i++) usd[i] = l->stop_usd[i * stops + best];
    if (c != TUFA_CHOICE_LEAVE) return;
    out->replace_in_years = mean[0] < mean[best] ? 0 : (int)best;
    out->p_tank = band_at(n, l->scratch, l->scratch);
    out->p_element = band_at(n, l->signal, l->scratch);
    for (size_t i = 0; i < n; i++) l->now[TUFA_CHOICE_REPLACE][i] = l->stop_usd[i * stops]; /* its price is in the rent */
}

/* The model is no finer than this: a tenth of what a deed costs, a third of a year's rent of a new tank. Judgement. */
static const double MARGIN_SHARE = 0.1, MARGIN_YEARS = 0.3;

static double margin(const world *w, tufa_choice c)
{
    return c == TUFA_CHOICE_REPLACE ? MARGIN_YEARS * next_tank_year(w) : MARGIN_SHARE * spend(w, c, 0);
}

static void weigh_choices(const worlds *ws, ledger *l, tufa_money_year *out)
{
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        if (!l->now[c]) continue;
        for (size_t i = 0; i < ws->n; i++) l->margin_usd[c] += margin(&ws->w[i], (tufa_choice)c) / (double)ws->n;
        if (c != TUFA_CHOICE_REPLACE) weigh(ws, l, (tufa_choice)c, 0, l->now[c], out);
        if (l->wait[c]) weigh(ws, l, (tufa_choice)c, 1, l->wait[c], out);
    }
    out->left_usd = band_at(ws->n, l->now[TUFA_CHOICE_LEAVE], l->scratch);
}

/* In each draw: the cheapest of this year, where leaving may mean next year. */
static void count_best(const worlds *ws, const ledger *l, tufa_money_year *out)
{
    for (size_t i = 0; i < ws->n; i++) {
        int best = TUFA_CHOICE_LEAVE;
        double least = l->now[best][i];
        for (int c = 0; c < TUFA_CHOICE_COUNT; c++)
            if (l->wait[c]) least = fmin(least, l->wait[c][i]);
        for (int c = 0; c < TUFA_CHOICE_COUNT; c++)
            if (l->now[c] && l->now[c][i] < least) least = l->now[c][i], best = c;
        out->option[best].best_share += 1.0 / (double)ws->n;
    }
}

static tufa_reason reason_for(const tufa_money_in *in, const tufa_money_year *y, tufa_choice c)
{
    const tufa_ahead *a = in->ahead;
    int electric = a->heater.fuel == TUFA_ELECTRIC;
    double now = electric ? a->element_reached.p_now : a->gas_rumbles.p_now;
    switch (c) {
    case TUFA_CHOICE_LEAVE: return y->replace_in_years == 0 ? TUFA_REASON_REPLACE_IS_FLAT : TUFA_REASON_NOTHING_PAYS;
    case TUFA_CHOICE_FLUSH: return TUFA_REASON_BED_YOUNG;
    case TUFA_CHOICE_CLEAN:
        if (electric) return now >= SPENT_SURE ? TUFA_REASON_BED_AT_ELEMENT : TUFA_REASON_BED_NEARS_ELEMENT;
        return now >= SPENT_SURE ? TUFA_REASON_GAS_FLOOR_BOILS : TUFA_REASON_GAS_FLOOR_NEARS;
    case TUFA_CHOICE_ELEMENTS: return TUFA_REASON_ELEMENT_HOT;
    case TUFA_CHOICE_ANODE: return y->p_anode_spent >= SPENT_SURE ? TUFA_REASON_ANODE_SPENT : TUFA_REASON_ANODE_MAY_BE;
    case TUFA_CHOICE_REPLACE: return in->leaking ? TUFA_REASON_TANK_LEAKS : TUFA_REASON_TANK_OLD;
    case TUFA_CHOICE_LOOK: return TUFA_REASON_NO_SURE_DATE;
    case TUFA_CHOICE_COUNT: break;
    }
    return TUFA_REASON_NOTHING_PAYS;
}

static void fill_option(const worlds *ws, ledger *l, tufa_choice c, tufa_money_year *y)
{
    size_t n = ws->n;
    tufa_money_option *o = &y->option[c];
    o->possible = 1;
    o->reason = reason_for(ws->in, y, c);
    o->done_usd = band_at(n, l->now[c], l->scratch);
    o->mean_done_usd = mean_of(n, l->now[c]);
    o->waiting_usd = l->wait[c] ? mean_of(n, l->wait[c]) - o->mean_done_usd : 0.0;
    for (size_t i = 0; i < n; i++) l->signal[i] = l->now[TUFA_CHOICE_LEAVE][i] - l->now[c][i];
    o->gain_usd = band_at(n, l->signal, l->scratch);
    o->mean_gain_usd = mean_of(n, l->signal);
    for (size_t i = 0; i < n; i++) l->signal[i] = c == TUFA_CHOICE_LEAVE ? 0.0 : ws->w[i].hours[c];
    o->hours = band_at(n, l->signal, l->scratch);
    for (size_t i = 0; i < n; i++) l->signal[i] = spend(&ws->w[i], c, 0);
    o->spend_now_usd = tufa_quantile(n, l->signal, 0.5);
}

/* ---- when ---- */

static double due_years(const world *w, tufa_choice c)
{
    if (c == TUFA_CHOICE_REPLACE) return 0.0;
    if (c == TUFA_CHOICE_ANODE) return fmax(0.0, w->anode_worn_share * w->anode_life - w->anode_age);
    if (c == TUFA_CHOICE_FLUSH) return w->kg_year > 0.0 ? fmax(0.0, (w->flush_kg - w->kg) / w->kg_year) : NEVER;
    return -1.0; /* with the trouble that the bed makes */
}

static void set_due(const worlds *ws, ledger *l, tufa_money_year *out)
{
    const tufa_ahead *a = ws->in->ahead;
    tufa_choice c = out->propose_without_look;
    for (size_t i = 0; i < ws->n; i++) {
        double years = due_years(&ws->w[i], c);
        l->signal[i] = years < 0.0 ? a->draw_trouble_years[i] : years;
    }
    out->due_years = band_at(ws->n, l->signal, l->scratch);
    out->due_latest_years = out->due_years.p10;
    out->date_sure = out->due_years.p90 - out->due_years.p10 <= SURE_WIDTH_YEARS || out->due_years.p90 <= 1.0;
}

static tufa_status set_life(const worlds *ws, ledger *l, tufa_money_year *out)
{
    for (size_t i = 0; i < ws->n; i++) {
        const world *w = &ws->w[i];
        RETURN_IF(tufa_weibull_remaining(&w->tank, fmin(w->age, 100.0), &l->signal[i]));
    }
    out->remaining_years = band_at(ws->n, l->signal, l->scratch);
    for (size_t i = 0; i < ws->n; i++) {
        const world *w = &ws->w[i];
        l->signal[i] = w->anode_age > w->anode_life;
    }
    out->p_anode_spent = mean_of(ws->n, l->signal);
    return OK;
}

static void propose(const worlds *ws, const ledger *l, tufa_money_year *out)
{
    account a = {0};
    for (size_t i = 0; i < ws->n; i++) add_draw(l, i, &a);
    tufa_choice now = choose_now(l, &a, 1, &out->later);
    if (ws->in->leaking) now = TUFA_CHOICE_REPLACE;
    out->propose_without_look = now;
    if (now != TUFA_CHOICE_LEAVE) out->later = TUFA_CHOICE_LEAVE;
    out->regret_usd = fmax(0.0, (second_best(l, &a, now) - cost_of(&a, now, out->later)) / a.draws);
}

static tufa_status answer(worlds *ws, tufa_arena *arena, tufa_money_year *y)
{
    ledger l = {0};
    RETURN_IF(draw_worlds(ws, arena));
    RETURN_IF(take(ws, arena, &l));
    weigh_choices(ws, &l, y);
    RETURN_IF(set_life(ws, &l, y));
    count_best(ws, &l, y);
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++)
        if (l.now[c]) fill_option(ws, &l, (tufa_choice)c, y);
    propose(ws, &l, y);
    consider_reading(ws, &l, y);
    y->propose = ws->in->leaking || y->reading == TUFA_SHARPEN_COUNT ? y->propose_without_look : TUFA_CHOICE_LOOK;
    y->reason = reason_for(ws->in, y, y->propose);
    set_due(ws, &l, y);
    return OK;
}

tufa_status tufa_money_look(const tufa_money_in *in, tufa_arena *arena, tufa_money_year *out)
{
    RETURN_IF(check(in));
    size_t used = arena->used;
    worlds ws = {.in = in, .n = in->ahead->draws, .years = (int)in->years};
    tufa_money_year y = {0};
    tufa_status st = answer(&ws, arena, &y);
    arena->used = used;
    if (st.code == TUFA_OK) *out = y;
    return st;
}
