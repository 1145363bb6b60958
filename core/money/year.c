/* This year's choice for one heater: each thing that could be done against leaving it, out of the solved decision problem. */
#include "core/base/sources.h"
#include "core/base/status.h"
#include "core/money/solve.h"

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

/* ---- what is weighed ---- */

typedef struct look {
    worlds *ws;
    solved *base;
    ledger l;
    double *lucky, *after;                       /* after: what every course costs alike once the years are over, by draw */
    double mean_after;
    tufa_money_year *y;
} look;

static tufa_status take_column(worlds *ws, tufa_arena *arena, double **column)
{
    *column = tufa_arena_take(arena, ws->n, sizeof(double));
    return *column ? OK : trouble(TUFA_MEMORY, "arena", NULL);
}

static tufa_status take(look *k, tufa_arena *arena)
{
    double **columns[] = {&k->lucky, &k->after, &k->l.wait, &k->l.scratch, &k->l.signal};
    for (size_t c = 0; c < sizeof columns / sizeof columns[0]; c++) RETURN_IF(take_column(k->ws, arena, columns[c]));
    k->l.order = tufa_arena_take(arena, k->ws->n, sizeof(uint32_t));
    return k->l.order ? OK : trouble(TUFA_MEMORY, "arena", NULL);
}

/* The cost of a course in every draw, expected over luck into usd and with it into k->lucky. */
static tufa_status cost_course(look *k, const course *c, tufa_arena *arena, double *usd, double *years, double *lucky_years)
{
    solved *b = k->base;
    for (size_t i = 0; i < k->ws->n; i++) usd[i] = k->l.signal[i] = k->lucky[i] = 0.0;
    walk w = {.usd = usd, .slope = k->l.signal, .next_usd = b->next_draw, .within = b->within, .lucky_usd = k->lucky,
              .years_usd = years, .lucky_years_usd = lucky_years};
    RETURN_IF(walk_course(&b->now, c, &w, arena));
    for (size_t i = 0; i < k->ws->n; i++) usd[i] += k->l.signal[i] * b->next_draw[i];
    return OK;
}

/* Ranges with luck, moved so that their runs have the exact mean. */
static tufa_band around(const look *k, double mean_usd, const double *expected)
{
    size_t n = k->ws->n;
    double shift = mean_usd - (mean_of(n, expected) - mean_of(n, k->after));
    for (size_t i = 0; i < n; i++) k->l.signal[i] = k->lucky[i] - k->after[i] + shift;
    return band_at(n, k->l.signal, k->l.scratch);
}

/* The model is no finer than this: a tenth of what a deed costs, a third of a year's rent of a new tank. Judgement. */
static const double MARGIN_SHARE = 0.1, MARGIN_YEARS = 0.3;

static double margin(const look *k, tufa_choice c)
{
    double spend = k->base->now_chain.spend[c];
    if (c != TUFA_CHOICE_REPLACE && c < TUFA_CHOICE_TO_GAS) return MARGIN_SHARE * spend;
    double year = 1.0 - k->ws->back * k->ws->back;
    return MARGIN_YEARS * year * k->base->next_usd;
}

static void tell_draws(const look *k, tufa_choice c, const double *usd)
{
    const tufa_money_in *in = k->ws->in;
    size_t n = k->ws->n;
    double shift = k->y->option[c].mean_done_usd - (mean_of(n, usd) - mean_of(n, k->after));
    for (size_t i = 0; i < n && in->draw_usd[c]; i++) in->draw_usd[c][i] = usd[i] - k->after[i] + shift;
    for (size_t i = 0; i < n && in->draw_spend_usd[c]; i++) in->draw_spend_usd[c][i] = k->ws->w[i].spend[c];
}

/* One choice, its exact present cost known, its cost in every draw in `usd`, with luck in k->lucky. */
static void note_option(look *k, tufa_choice c, double present_usd, double *usd)
{
    tufa_money_option *o = &k->y->option[c];
    size_t n = k->ws->n;
    k->l.now[c] = usd;
    k->l.margin_usd[c] = margin(k, c);
    o->possible = 1;
    o->present_usd = present_usd;
    o->mean_done_usd = present_usd - k->mean_after;
    o->done_usd = around(k, o->mean_done_usd, usd);
    o->mean_gain_usd = k->y->left_present_usd - present_usd;
    o->gain_usd_year = o->mean_gain_usd * (1.0 / (k->ws->back * k->ws->back) - 1.0);
    const double *left = k->l.now[TUFA_CHOICE_LEAVE];
    double shift = o->mean_gain_usd - (mean_of(n, left) - mean_of(n, usd));
    for (size_t i = 0; i < n; i++) k->l.signal[i] = left[i] - usd[i] + shift;
    o->gain_usd = band_at(n, k->l.signal, k->l.scratch);
    for (size_t i = 0; i < n; i++) k->l.signal[i] = c == TUFA_CHOICE_LEAVE ? 0.0 : k->ws->w[i].hours[c];
    o->hours = band_at(n, k->l.signal, k->l.scratch);
    for (size_t i = 0; i < n; i++) k->l.signal[i] = k->ws->w[i].spend[c];
    o->spend_now_usd = tufa_quantile(n, k->l.signal, 0.5);
    tell_draws(k, c, usd);
}

static void note_waits(look *k, tufa_choice c, const double later_usd[TUFA_MONEY_WAITS])
{
    tufa_money_option *o = &k->y->option[c];
    for (int d = 0; d < TUFA_MONEY_WAITS; d++)
        o->wait_usd[d] = left_until(&k->base->now_chain, k->base->next_usd, STEPS_YEAR * (d + 1), later_usd[d]) - o->present_usd;
    o->waiting_usd = o->wait_usd[0];
}

/* ---- the courses ---- */

static tufa_status weigh_left(look *k, tufa_arena *arena)
{
    solved *b = k->base;
    size_t n = k->ws->n;
    double usd[STEPS], *left, *years;
    unsigned char replaced[STEPS];
    course c;
    left_alone(&b->now_chain, b->next_usd, usd, replaced);
    replaced[0] = 0;
    course_left(replaced, &c);
    RETURN_IF(take_column(k->ws, arena, &left));
    RETURN_IF(take_column(k->ws, arena, &years));
    RETURN_IF(cost_course(k, &c, arena, left, years, NULL));
    for (size_t i = 0; i < n; i++) k->after[i] = left[i] - years[i];
    k->mean_after = mean_of(n, k->after);
    k->y->left_present_usd = usd[0];
    k->l.now[TUFA_CHOICE_LEAVE] = left;
    note_option(k, TUFA_CHOICE_LEAVE, usd[0], left);
    k->y->left_usd = k->y->option[TUFA_CHOICE_LEAVE].done_usd;
    int first = 0;
    while (first < STEPS && !replaced[first]) first++;
    if (b->next_usd < usd[0] && b->now_chain.may[TUFA_CHOICE_REPLACE][0]) first = 0;
    k->y->replace_in_years = (int)fmin(k->ws->in->years, (first + 1) / STEPS_YEAR);
    for (int d = 0; d <= TUFA_MONEY_REPLACE_YEARS; d++)
        k->y->replace_usd[d] = left_until(&b->now_chain, b->next_usd, STEPS_YEAR * d, b->next_usd);
    return OK;
}

static tufa_status weigh_wait(look *k, account *exact, tufa_arena *arena)
{
    course c;
    place here = {.kind = 0}, after;
    double then;
    course_of(&k->base->now_chain, k->base->next_usd, STEPS_YEAR, TUFA_CHOICE_COUNT, &c);
    best_act(&k->base->now_chain, STEPS_YEAR, &here, k->base->next_usd, &then, &after);
    exact->wait = left_until(&k->base->now_chain, k->base->next_usd, STEPS_YEAR, then);
    return cost_course(k, &c, arena, k->l.wait, NULL, NULL);
}

static tufa_status weigh_deed(look *k, tufa_choice a, tufa_arena *arena)
{
    solved *b = k->base;
    place here = {.kind = 0}, after;
    double *usd, later[TUFA_MONEY_WAITS], present = act_usd(&b->now_chain, 0, &here, a, b->next_usd, &after);
    course c;
    if (present == HUGE_VAL) return OK;
    RETURN_IF(take_column(k->ws, arena, &usd));
    course_of(&b->now_chain, b->next_usd, 0, a, &c);
    RETURN_IF(cost_course(k, &c, arena, usd, NULL, NULL));
    note_option(k, a, present, usd);
    for (int d = 0; d < TUFA_MONEY_WAITS; d++) {
        later[d] = act_usd(&b->now_chain, STEPS_YEAR * (d + 1), &here, a, b->next_usd, &after);
        if (later[d] == HUGE_VAL) best_act(&b->now_chain, STEPS_YEAR * (d + 1), &here, b->next_usd, &later[d], &after);
    }
    note_waits(k, a, later);
    k->l.allowed[a] = k->y->option[a].allowed = 1;
    return OK;
}

/* A planned new one of the same kind. */
static tufa_status weigh_replace(look *k, tufa_arena *arena)
{
    solved *b = k->base;
    double *usd, later[TUFA_MONEY_WAITS], present = b->now_chain.spend[TUFA_CHOICE_REPLACE] + b->new_usd;
    RETURN_IF(take_column(k->ws, arena, &usd));
    for (size_t i = 0; i < k->ws->n; i++) usd[i] = k->lucky[i] = k->ws->w[i].spend[TUFA_CHOICE_REPLACE] + b->new_draw[i];
    note_option(k, TUFA_CHOICE_REPLACE, present, usd);
    for (int d = 0; d < TUFA_MONEY_WAITS; d++) later[d] = present;
    note_waits(k, TUFA_CHOICE_REPLACE, later);
    k->l.allowed[TUFA_CHOICE_REPLACE] = k->y->option[TUFA_CHOICE_REPLACE].allowed = !k->ws->in->never[TUFA_CHOICE_REPLACE];
    return OK;
}

/* What thermostats changed at step `at` save over those that are there, as long as the heater stands and is not replaced by
 * plan; present dollars, their price not counted. */
static double control_saves(const look *k, const course *way, int at)
{
    const chain *c = &k->base->now_chain;
    double saves = 0.0, weight = 1.0;
    for (int s = 0; s < STEPS && way->act[s] != TUFA_CHOICE_REPLACE; s++) {
        if (s >= at) saves += weight * k->ws->back_half * (c->control[s] - k->base->new_control[s - at]);
        weight *= k->ws->back * exp(-c->hazard[0][0][s]);
    }
    return saves;
}

/* New thermostats or gas control move no state: the policy stays what it is. */
static tufa_status weigh_control(look *k, tufa_arena *arena)
{
    solved *b = k->base;
    double *usd, spend = b->now_chain.spend[TUFA_CHOICE_CONTROL], weight = 1.0;
    tufa_money_option *o = &k->y->option[TUFA_CHOICE_CONTROL];
    place here = {.kind = 0}, after;
    course way;
    if (k->ws->in->never[TUFA_CHOICE_CONTROL]) return OK;
    RETURN_IF(take_column(k->ws, arena, &usd));
    course_of(&b->now_chain, b->next_usd, 0, TUFA_CHOICE_CONTROL, &way);
    RETURN_IF(cost_course(k, &way, arena, usd, NULL, NULL));
    double left = act_usd(&b->now_chain, 0, &here, TUFA_CHOICE_LEAVE, b->next_usd, &after);
    note_option(k, TUFA_CHOICE_CONTROL, left + spend - control_saves(k, &way, 0), usd);
    for (int d = 0; d < TUFA_MONEY_WAITS; d++) {
        int at = STEPS_YEAR * (d + 1);
        for (int s = at - STEPS_YEAR; s < at; s++) weight *= k->ws->back * exp(-b->now_chain.hazard[0][0][s]);
        o->wait_usd[d] = control_saves(k, &way, 0) - control_saves(k, &way, at) - spend * (1.0 - weight);
    }
    o->waiting_usd = o->wait_usd[0];
    k->l.allowed[TUFA_CHOICE_CONTROL] = o->allowed = 1;
    return OK;
}

/* Another kind of heater: solved already, before this one, since it may come after it. */
static tufa_status weigh_other_kind(look *k, tufa_choice a, tufa_arena *arena)
{
    const other_kind *o = &k->base->kind[a - TUFA_CHOICE_TO_GAS];
    double *usd, later[TUFA_MONEY_WAITS];
    if (!o->draw_usd) return OK;
    RETURN_IF(take_column(k->ws, arena, &usd));
    for (size_t i = 0; i < k->ws->n; i++) usd[i] = k->lucky[i] = o->draw_usd[i];
    note_option(k, a, o->present_usd, usd);
    for (int d = 0; d < TUFA_MONEY_WAITS; d++) later[d] = o->present_usd;
    note_waits(k, a, later);
    k->l.allowed[a] = k->y->option[a].allowed = k->ws->in->other[a].allowed && !k->ws->in->never[a];
    return OK;
}

/* The same heater set otherwise or on soft water: another problem, solved whole. */
static tufa_status weigh_other_life(look *k, tufa_choice a, tufa_arena *arena)
{
    const tufa_money_in *in = k->ws->in;
    double *usd;
    if (!in->other[a].ahead) return OK;
    RETURN_IF(take_column(k->ws, arena, &usd));
    size_t used = arena->used;
    solved *other = tufa_arena_take(arena, 1, sizeof *other), *base = k->base;
    if (!other) return trouble(TUFA_MEMORY, "arena", NULL);
    RETURN_IF(solve_heater(k->ws, a, base, arena, other));
    course c;
    course_of(&other->now_chain, other->next_usd, 0, TUFA_CHOICE_COUNT, &c);
    k->base = other;
    tufa_status st = cost_course(k, &c, arena, usd, NULL, NULL);
    k->base = base;
    RETURN_IF(st);
    double spend = base->now_chain.spend[a], present = spend + other->today_usd;
    for (size_t i = 0; i < k->ws->n; i++) usd[i] += k->ws->w[i].spend[a], k->lucky[i] += k->ws->w[i].spend[a];
    arena->used = used;
    note_option(k, a, present, usd);
    double later[TUFA_MONEY_WAITS];
    for (int d = 0; d < TUFA_MONEY_WAITS; d++) later[d] = present; /* the year between is as it was; what changes later, little */
    note_waits(k, a, later);
    k->l.allowed[a] = k->y->option[a].allowed = in->other[a].allowed && !in->never[a];
    return OK;
}

static const tufa_choice DEEDS[] = {TUFA_CHOICE_FLUSH, TUFA_CHOICE_CLEAN, TUFA_CHOICE_ELEMENTS, TUFA_CHOICE_ANODE, TUFA_CHOICE_CLEAN_ANODE};

static tufa_status weigh_choices(look *k, account *exact, tufa_arena *arena)
{
    RETURN_IF(weigh_left(k, arena));
    RETURN_IF(weigh_wait(k, exact, arena));
    RETURN_IF(weigh_control(k, arena));
    for (size_t d = 0; d < sizeof DEEDS / sizeof DEEDS[0]; d++) RETURN_IF(weigh_deed(k, DEEDS[d], arena));
    RETURN_IF(weigh_replace(k, arena));
    for (int a = TUFA_CHOICE_TO_GAS; a <= TUFA_CHOICE_TO_HEAT_PUMP; a++) RETURN_IF(weigh_other_kind(k, (tufa_choice)a, arena));
    RETURN_IF(weigh_other_life(k, TUFA_CHOICE_SETPOINT, arena));
    RETURN_IF(weigh_other_life(k, TUFA_CHOICE_SOFTEN, arena));
    k->l.allowed[TUFA_CHOICE_LEAVE] = k->y->option[TUFA_CHOICE_LEAVE].allowed = 1;
    exact->draws = 1.0;
    for (int a = 0; a < TUFA_CHOICE_COUNT; a++) exact->now[a] = k->y->option[a].present_usd;
    k->y->best_present_usd = k->base->today_usd;
    k->y->wait_present_usd = exact->wait;
    return OK;
}

/* In each draw: the cheapest of this year, where leaving may mean a year of it. */
static void count_best(look *k)
{
    for (size_t i = 0; i < k->ws->n; i++) {
        account a = {0};
        add_draw(&k->l, i, &a);
        k->y->option[choose_now(&k->l, &a, 0)].best_share += 1.0 / (double)k->ws->n;
    }
}

/* ---- why and when ---- */

static tufa_reason bed_reason(const tufa_ahead *a)
{
    if (a->heater.fuel == TUFA_ELECTRIC)
        return a->element_reached.p_now >= SPENT_SURE ? TUFA_REASON_BED_AT_ELEMENT : TUFA_REASON_BED_NEARS_ELEMENT;
    return a->gas_rumbles.p_now >= SPENT_SURE ? TUFA_REASON_GAS_FLOOR_BOILS : TUFA_REASON_GAS_FLOOR_NEARS;
}

static tufa_reason reason_for(const tufa_money_in *in, const tufa_money_year *y, tufa_choice c)
{
    switch (c) {
    case TUFA_CHOICE_LEAVE: return y->replace_in_years == 0 ? TUFA_REASON_REPLACE_IS_FLAT : TUFA_REASON_NOTHING_PAYS;
    case TUFA_CHOICE_FLUSH: return TUFA_REASON_BED_YOUNG;
    case TUFA_CHOICE_CLEAN:
    case TUFA_CHOICE_CLEAN_ANODE: return bed_reason(in->ahead);
    case TUFA_CHOICE_ELEMENTS: return TUFA_REASON_ELEMENT_HOT;
    case TUFA_CHOICE_ANODE: return y->p_anode_spent >= SPENT_SURE ? TUFA_REASON_ANODE_SPENT : TUFA_REASON_ANODE_MAY_BE;
    case TUFA_CHOICE_CONTROL: return TUFA_REASON_CONTROL_OLD;
    case TUFA_CHOICE_SETPOINT: return TUFA_REASON_SETPOINT_GAINS;
    case TUFA_CHOICE_SOFTEN: return TUFA_REASON_SOFT_WATER_PAYS;
    case TUFA_CHOICE_REPLACE: return in->leaking ? TUFA_REASON_TANK_LEAKS : TUFA_REASON_TANK_OLD;
    case TUFA_CHOICE_TO_GAS:
    case TUFA_CHOICE_TO_ELECTRIC:
    case TUFA_CHOICE_TO_HEAT_PUMP: return in->leaking ? TUFA_REASON_TANK_LEAKS : TUFA_REASON_OTHER_HEAT_PAYS;
    case TUFA_CHOICE_LOOK: return TUFA_REASON_NO_SURE_DATE;
    case TUFA_CHOICE_COUNT: break;
    }
    return TUFA_REASON_NOTHING_PAYS;
}

static const double ANODE_WORN_SHARE = 0.6; /* of its life, after which an anode that is seen is changed; judgement */

static double due_years(const stand *s, size_t i, tufa_choice c)
{
    if (c >= TUFA_CHOICE_CONTROL && c <= TUFA_CHOICE_TO_HEAT_PUMP) return 0.0;
    if (c == TUFA_CHOICE_ANODE) return fmax(0.0, ANODE_WORN_SHARE * s->anode_life[i] - s->anode_age[i]);
    if (c == TUFA_CHOICE_FLUSH) return s->growth[i] > 0.0 ? fmax(0.0, (s->ws->w[i].flush_kg - s->kg[i]) / s->growth[i]) : NEVER;
    return -1.0; /* with the trouble that the bed makes */
}

static void set_due(look *k)
{
    const tufa_ahead *a = k->ws->in->ahead;
    tufa_money_year *out = k->y;
    for (size_t i = 0; i < k->ws->n; i++) {
        double years = due_years(&k->base->now, i, out->propose_without_look);
        k->l.signal[i] = years < 0.0 ? a->draw_trouble_years[i] : years;
    }
    out->due_years = band_at(k->ws->n, k->l.signal, k->l.scratch);
    out->due_latest_years = out->due_years.p10;
    out->date_sure = out->due_years.p90 - out->due_years.p10 <= SURE_WIDTH_YEARS || out->due_years.p90 <= 1.0;
}

static tufa_status set_life(look *k, tufa_arena *arena)
{
    size_t n = k->ws->n, used = arena->used;
    const stand *s = &k->base->now;
    double *p[4];
    for (int j = 0; j < 4; j++) RETURN_IF(take_column(k->ws, arena, &p[j]));
    course year = {.act = {[STEPS_YEAR] = TUFA_CHOICE_REPLACE}};
    walk w = {.usd = p[0], .slope = p[1], .p_year = p[2], .p_element = p[3]};
    RETURN_IF(walk_course(s, &year, &w, arena));
    k->y->p_tank = band_at(n, p[2], k->l.scratch);
    k->y->p_element = band_at(n, p[3], k->l.scratch);
    k->y->mean_p_tank = mean_of(n, p[2]);
    k->y->mean_p_element = mean_of(n, p[3]);
    for (size_t i = 0; i < n; i++) {
        double fails = 0.0;
        for (int step = 0; step < STEPS_YEAR; step++) fails += s->control[(size_t)step * n + i];
        k->l.signal[i] = -expm1(-fails);
    }
    k->y->p_control = band_at(n, k->l.signal, k->l.scratch);
    k->y->mean_p_control = mean_of(n, k->l.signal);
    for (size_t i = 0; i < n; i++) {
        const world *x = &k->ws->w[i];
        RETURN_IF(tufa_weibull_remaining(&x->tank, fmin(x->age, 100.0), &k->l.signal[i]));
        k->y->p_anode_spent += (s->anode_age[i] > s->anode_life[i]) / (double)n;
    }
    k->y->remaining_years = band_at(n, k->l.signal, k->l.scratch);
    arena->used = used;
    return OK;
}

/* What follows when nothing is done this year, by the policy. */
static void look_later(look *k)
{
    course c;
    course_of(&k->base->now_chain, k->base->next_usd, STEPS_YEAR, TUFA_CHOICE_COUNT, &c);
    k->y->later = TUFA_CHOICE_LEAVE;
    for (int s = 0; s < STEPS && s < STEPS_YEAR * k->ws->in->years; s++) {
        if (c.act[s] == TUFA_CHOICE_LEAVE) continue;
        k->y->later = (tufa_choice)c.act[s];
        k->y->later_years = STEP_YEARS * s;
        return;
    }
}

/* The cheapest way to have it replaced at once. */
static tufa_choice replace_by(const look *k)
{
    tufa_choice best = TUFA_CHOICE_REPLACE;
    for (int a = TUFA_CHOICE_TO_GAS; a <= TUFA_CHOICE_TO_HEAT_PUMP; a++)
        if (k->l.allowed[a] && k->y->option[a].present_usd < k->y->option[best].present_usd) best = (tufa_choice)a;
    return best;
}

static void propose(look *k, const account *exact)
{
    tufa_money_year *y = k->y;
    tufa_choice now = choose_now(&k->l, exact, 1);
    if (k->ws->in->leaking) now = replace_by(k);
    y->propose_without_look = now;
    y->later = TUFA_CHOICE_LEAVE;
    if (now == TUFA_CHOICE_LEAVE) look_later(k);
    y->second = second_best(&k->l, exact, now);
    y->regret_usd = fmax(0.0, cost_of(exact, y->second) - cost_of(exact, now));
}

/* What the coming years cost if this is done and then what is best. */
static tufa_status cost_years(look *k, tufa_arena *arena)
{
    size_t n = k->ws->n, used = arena->used;
    tufa_choice a = k->y->propose_without_look;
    double *usd, *years, *lucky;
    course c;
    RETURN_IF(take_column(k->ws, arena, &usd));
    RETURN_IF(take_column(k->ws, arena, &years));
    RETURN_IF(take_column(k->ws, arena, &lucky));
    int kept = a == TUFA_CHOICE_LEAVE;
    course_of(&k->base->now_chain, k->base->next_usd, kept ? STEPS_YEAR : 0, kept || a > TUFA_CHOICE_REPLACE || a == TUFA_CHOICE_SETPOINT || a == TUFA_CHOICE_SOFTEN ? TUFA_CHOICE_COUNT : a, &c);
    RETURN_IF(cost_course(k, &c, arena, usd, years, lucky));
    k->y->mean_years_usd = mean_of(n, years);
    k->y->years_usd = band_at(n, lucky, k->l.scratch);
    arena->used = used;
    return OK;
}

static tufa_status answer(worlds *ws, tufa_arena *arena, tufa_money_year *y)
{
    look k = {.ws = ws, .y = y};
    account exact = {0};
    k.base = tufa_arena_take(arena, 1, sizeof *k.base);
    if (!k.base) return trouble(TUFA_MEMORY, "arena", NULL);
    RETURN_IF(draw_worlds(ws, arena));
    RETURN_IF(solve_heater(ws, TUFA_CHOICE_COUNT, NULL, arena, k.base));
    RETURN_IF(take(&k, arena));
    RETURN_IF(weigh_choices(&k, &exact, arena));
    RETURN_IF(set_life(&k, arena));
    y->new_usd = k.base->new_usd;
    y->next_usd = k.base->next_usd;
    count_best(&k);
    propose(&k, &exact);
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++)
        if (y->option[c].possible) y->option[c].reason = reason_for(ws->in, y, (tufa_choice)c);
    consider_reading(ws, &k.l, y);
    y->propose = ws->in->leaking || y->reading == TUFA_SHARPEN_COUNT ? y->propose_without_look : TUFA_CHOICE_LOOK;
    y->reason = reason_for(ws->in, y, y->propose);
    set_due(&k);
    return cost_years(&k, arena);
}

tufa_status tufa_money_look(const tufa_money_in *in, tufa_arena *arena, tufa_money_year *out)
{
    RETURN_IF(check_money(in));
    size_t used = arena->used;
    worlds ws = {.in = in, .n = in->ahead->draws};
    tufa_money_year y = {0};
    tufa_status st = answer(&ws, arena, &y);
    arena->used = used;
    if (st.code == TUFA_OK) *out = y;
    return st;
}
