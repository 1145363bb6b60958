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
                           .element = tufa_element_life_default(), .years = 10.0};
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
    return 16384 + (size_t)draws * (sizeof(world) + sizeof(tufa_weibull) + 8 * (TUFA_CHOICE_COUNT + 6 + MOST_YEARS + 1));
}

static int applies(const tufa_money_in *in, tufa_choice c)
{
    if (c == TUFA_CHOICE_LOOK) return 0; /* it is weighed by what it is worth to the others */
    return c != TUFA_CHOICE_ELEMENTS || in->ahead->heater.fuel == TUFA_ELECTRIC;
}

static double flush_left(const world *w)
{
    double moved = fmin((1.0 - w->left_share[TUFA_CHOICE_FLUSH]) * w->kg, w->flush_kg);
    return w->kg > 0.0 ? 1.0 - moved / w->kg : 1.0;
}

static deed deed_of(const world *w, tufa_choice c)
{
    deed d = {.left_share = 1.0, .rise_K = w->rise_K};
    if (c == TUFA_CHOICE_FLUSH) d.left_share = flush_left(w);
    if (c == TUFA_CHOICE_CLEAN || c == TUFA_CHOICE_ELEMENTS) d.left_share = w->left_share[c];
    if (c == TUFA_CHOICE_ELEMENTS) d.rise_K = w->rise_K * fmin(1.0, w->low_density_W_m2 / w->flux_W_m2);
    d.new_anode = c == TUFA_CHOICE_ANODE;
    return d;
}

/* Parts, own hours and travel of doing it now. */
static double spend(const world *w, tufa_choice c)
{
    if (c == TUFA_CHOICE_LEAVE) return 0.0;
    double usd = w->hours[c] * w->own_hour + w->trip;
    if (c == TUFA_CHOICE_ELEMENTS) usd += w->element * w->low_density_price;
    if (c == TUFA_CHOICE_ANODE && w->anode_age > w->anode_life) usd += w->anode;
    if (c == TUFA_CHOICE_REPLACE) usd += w->unit;
    return usd;
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
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++)
        if (applies(ws->in, (tufa_choice)c) && !(l->cost[c] = tufa_arena_take(arena, ws->n, sizeof(double))))
            return trouble(TUFA_MEMORY, "arena", NULL);
    l->stop_usd = tufa_arena_take(arena, ws->n * ((size_t)ws->years + 1u), sizeof(double));
    l->scratch = tufa_arena_take(arena, ws->n, sizeof(double));
    l->signal = tufa_arena_take(arena, ws->n, sizeof(double));
    l->order = tufa_arena_take(arena, ws->n, sizeof(uint32_t));
    return l->stop_usd && l->scratch && l->signal && l->order ? OK : trouble(TUFA_MEMORY, "arena", NULL);
}

/* Everything but replacing now may end in a planned replacement in a later year, the one with the least expected cost;
 * replacing now is that of this year. */
static void weigh_choice(const worlds *ws, ledger *l, tufa_choice c, tufa_money_year *out)
{
    size_t n = ws->n, stops = (size_t)ws->years + 1u, best = 1;
    double mean[MOST_YEARS + 1] = {0};
    for (size_t i = 0; i < n; i++) {
        deed d = deed_of(&ws->w[i], c);
        double *stop_usd = l->stop_usd + i * stops;
        first_year f = run_path(ws, &ws->w[i], &d, stop_usd);
        for (size_t k = 0; k < stops; k++) mean[k] += stop_usd[k] / (double)n;
        l->scratch[i] = f.p_tank;
        l->signal[i] = f.p_element;
    }
    for (size_t k = 2; k < stops; k++)
        if (mean[k] < mean[best]) best = k;
    if (c == TUFA_CHOICE_LEAVE) {
        out->replace_in_years = mean[0] < mean[best] ? 0 : (int)best;
        out->p_tank = band_at(n, l->scratch, l->scratch);
        out->p_element = band_at(n, l->signal, l->scratch);
        for (size_t i = 0; i < n; i++) l->cost[TUFA_CHOICE_REPLACE][i] = l->stop_usd[i * stops];
    }
    for (size_t i = 0; i < n; i++) l->cost[c][i] = l->stop_usd[i * stops + best] + spend(&ws->w[i], c);
}

static void weigh_choices(const worlds *ws, ledger *l, tufa_money_year *out)
{
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++)
        if (l->cost[c] && c != TUFA_CHOICE_REPLACE) weigh_choice(ws, l, (tufa_choice)c, out);
    out->left_usd = band_at(ws->n, l->cost[TUFA_CHOICE_LEAVE], l->scratch);
}

static void count_best(const worlds *ws, const ledger *l, tufa_money_year *out)
{
    for (size_t i = 0; i < ws->n; i++) {
        int best = TUFA_CHOICE_LEAVE;
        for (int c = 0; c < TUFA_CHOICE_COUNT; c++)
            if (l->cost[c] && l->cost[c][i] < l->cost[best][i]) best = c;
        out->option[best].best_share += 1.0 / (double)ws->n;
    }
}

static tufa_reason reason_for(const tufa_money_in *in, tufa_choice c)
{
    const tufa_ahead *a = in->ahead;
    int electric = a->heater.fuel == TUFA_ELECTRIC;
    double now = electric ? a->element_reached.p_now : a->gas_rumbles.p_now;
    switch (c) {
    case TUFA_CHOICE_LEAVE: return TUFA_REASON_NOTHING_PAYS;
    case TUFA_CHOICE_FLUSH: return TUFA_REASON_BED_YOUNG;
    case TUFA_CHOICE_CLEAN:
        if (electric) return now >= SPENT_SURE ? TUFA_REASON_BED_AT_ELEMENT : TUFA_REASON_BED_NEARS_ELEMENT;
        return now >= SPENT_SURE ? TUFA_REASON_GAS_FLOOR_BOILS : TUFA_REASON_GAS_FLOOR_NEARS;
    case TUFA_CHOICE_ELEMENTS: return TUFA_REASON_ELEMENT_HOT;
    case TUFA_CHOICE_ANODE: return TUFA_REASON_ANODE_SPENT;
    case TUFA_CHOICE_REPLACE: return in->leaking ? TUFA_REASON_TANK_LEAKS : TUFA_REASON_TANK_OLD;
    case TUFA_CHOICE_LOOK: return TUFA_REASON_NO_SURE_DATE;
    case TUFA_CHOICE_COUNT: break;
    }
    return TUFA_REASON_NOTHING_PAYS;
}

static void fill_option(const worlds *ws, ledger *l, tufa_choice c, tufa_money_option *o)
{
    size_t n = ws->n;
    o->possible = 1;
    o->reason = reason_for(ws->in, c);
    o->done_usd = band_at(n, l->cost[c], l->scratch);
    o->mean_done_usd = mean_of(n, l->cost[c]);
    for (size_t i = 0; i < n; i++) l->signal[i] = l->cost[TUFA_CHOICE_LEAVE][i] - l->cost[c][i];
    o->gain_usd = band_at(n, l->signal, l->scratch);
    o->mean_gain_usd = mean_of(n, l->signal);
    for (size_t i = 0; i < n; i++) l->signal[i] = c == TUFA_CHOICE_LEAVE ? 0.0 : ws->w[i].hours[c];
    o->hours = band_at(n, l->signal, l->scratch);
    for (size_t i = 0; i < n; i++) l->signal[i] = spend(&ws->w[i], c);
    o->spend_now_usd = tufa_quantile(n, l->signal, 0.5);
}

/* ---- when ---- */

static double due_years(const world *w, tufa_choice c)
{
    if (c == TUFA_CHOICE_REPLACE) return 0.0;
    if (c == TUFA_CHOICE_ANODE) return fmax(0.0, w->anode_life - w->anode_age);
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

static void propose(const worlds *ws, const ledger *l, tufa_money_year *out, double *best_usd)
{
    double best = HUGE_VAL, second = HUGE_VAL;
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        if (!l->cost[c]) continue;
        double usd = mean_of(ws->n, l->cost[c]);
        if (usd < best) {
            second = best;
            best = usd;
            out->propose_without_look = (tufa_choice)c;
        } else if (usd < second) second = usd;
    }
    out->regret_usd = second - best;
    *best_usd = best;
}

tufa_status tufa_money_look(const tufa_money_in *in, tufa_arena *arena, tufa_money_year *out)
{
    RETURN_IF(check(in));
    size_t used = arena->used;
    worlds ws = {.in = in, .n = in->ahead->draws, .years = (int)in->years};
    ledger l = {0};
    tufa_money_year y = {0};
    double best_usd;
    tufa_status st = draw_worlds(&ws, arena);
    if (st.code == TUFA_OK) st = take(&ws, arena, &l);
    if (st.code == TUFA_OK) {
        weigh_choices(&ws, &l, &y);
        count_best(&ws, &l, &y);
        for (int c = 0; c < TUFA_CHOICE_COUNT; c++)
            if (l.cost[c]) fill_option(&ws, &l, (tufa_choice)c, &y.option[c]);
        propose(&ws, &l, &y, &best_usd);
        if (in->leaking) y.propose_without_look = TUFA_CHOICE_REPLACE;
        consider_reading(&ws, &l, best_usd, &y);
        y.propose = in->leaking || y.reading == TUFA_SHARPEN_COUNT ? y.propose_without_look : TUFA_CHOICE_LOOK;
        y.reason = reason_for(in, y.propose);
        set_due(&ws, &l, &y);
        st = set_life(&ws, &l, &y);
    }
    arena->used = used;
    if (st.code == TUFA_OK) *out = y;
    return st;
}
