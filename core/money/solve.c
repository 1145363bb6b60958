/* From the inside out: other kinds of heater, the new one like this, the one that stands there. */
#include "core/money/solve.h"

#include <math.h>
#include <string.h>

#include "core/base/status.h"

static tufa_status check_price(const tufa_money_in *in, tufa_price p)
{
    const char *key = tufa_price_at(p)->key;
    RETURN_IF(in_range(key, in->prices.usd[p].lo, 0.0, in->prices.usd[p].mid));
    RETURN_IF(in_range(key, in->prices.usd[p].mid, 0.0, 1e6));
    return in_range(key, in->prices.usd[p].hi, in->prices.usd[p].mid, 1e7);
}

tufa_status check_money(const tufa_money_in *in)
{
    if (!in->ahead || !in->ahead->draw_kg) return trouble(TUFA_MISSING, "ahead", "the view ahead of the heater");
    RETURN_IF(in_range("years", in->years, 1.0, MOST_YEARS));
    RETURN_IF(in_range("softened_share", in->softened_share, 0.0, 1.0));
    RETURN_IF(in_range("mean_years", in->life.mean_years.mid, 2.0, 100.0));
    RETURN_IF(in_range("shape", in->life.shape.mid, 0.8, 8.0));
    RETURN_IF(in_range("element.rate_years", in->element.rate_years, 1e-3, 1e6));
    RETURN_IF(in_range("element.shape", in->element.shape, 1e-3, 1e6));
    if (in->grid) RETURN_IF(in_range("grid", in->grid, 3.0, MOST_BEDS));
    for (int p = 0; p < TUFA_PRICE_COUNT; p++) RETURN_IF(check_price(in, (tufa_price)p));
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++)
        if (in->other[c].ahead && in->other[c].ahead->draws != in->ahead->draws)
            return trouble(TUFA_CONFLICT, "other", "every view ahead needs the same draws");
    return OK;
}

size_t tufa_money_bytes(unsigned draws)
{
    size_t n = draws, stand_columns = 10 + 3 * STEPS + 1, fresh_steps = 3 * STEPS + 1;
    size_t columns = 3 * stand_columns + fresh_steps + OTHER_KINDS * (STEPS + 1) + STEPS + 2 * TUFA_CHOICE_COUNT + 30 + 7;
    return 65536 + 2 * sizeof(solved) + n * (sizeof(world) + sizeof(uint32_t)) + 2 * columns * (8 * n + 64) + 4 * chain_bytes(BEDS);
}

static tufa_status take(const worlds *ws, size_t columns, tufa_arena *arena, double **v)
{
    *v = tufa_arena_take(arena, columns * ws->n, sizeof(double));
    return *v ? OK : trouble(TUFA_MEMORY, "arena", NULL);
}

/* A new heater under the policy of its chain, draw by draw. */
typedef struct fresh_walk {
    double *usd, *slope, *step_usd, *step_fails;
} fresh_walk;

static tufa_status walk_fresh(const worlds *ws, const stand *s, const chain *c, double next_usd, int steps, tufa_arena *arena, fresh_walk *f)
{
    course best;
    RETURN_IF(take(ws, 1, arena, &f->usd));
    RETURN_IF(take(ws, 1, arena, &f->slope));
    if (steps) {
        RETURN_IF(take(ws, (size_t)steps, arena, &f->step_usd));
        RETURN_IF(take(ws, (size_t)steps, arena, &f->step_fails));
    }
    course_of(c, next_usd, 0, TUFA_CHOICE_COUNT, &best);
    walk w = {.usd = f->usd, .slope = f->slope, .step_usd = f->step_usd, .step_fails = f->step_fails, .steps = steps};
    return walk_course(s, &best, &w, arena);
}

static double like_usd(const world *w, tufa_choice kind)
{
    return w->like_usd[kind - TUFA_CHOICE_TO_GAS];
}

/* It may come after this one. */
static int may_follow(const worlds *ws, tufa_choice kind) { return ws->in->other[kind].allowed && !ws->in->never[kind]; }

/* In its first steps; only the first of them is paid as a change of kind. */
static void kind_within(const worlds *ws, tufa_choice kind, const fresh_walk *f, double *price, double *within)
{
    size_t n = ws->n;
    for (size_t i = 0; i < n; i++) price[i] = like_usd(&ws->w[i], kind);
    renew_within(n, ws->luck_steps, f->step_usd, f->step_fails, price, within);
    for (int m = 0; m <= ws->luck_steps; m++)
        for (size_t i = 0; i < n; i++) within[(size_t)m * n + i] += ws->w[i].spend[kind] - price[i];
}

/* A new one of that kind and its chain; like it are those that follow. */
typedef struct kind_chain {
    stand s;
    chain c;
    double next_usd, present_usd;
} kind_chain;

static tufa_status make_kind(const worlds *ws, tufa_choice kind, tufa_arena *arena, kind_chain *k)
{
    double like = 0.0, fresh;
    RETURN_IF(make_stand(ws, kind, 1, arena, &k->s));
    RETURN_IF(make_chain(&k->s, arena, &k->c));
    for (size_t i = 0; i < ws->n; i++) like += like_usd(&ws->w[i], kind) / (double)ws->n;
    RETURN_IF(renew(&k->c, like, HUGE_VAL, &k->next_usd, &fresh));
    k->present_usd = k->c.spend[kind] + fresh;
    return OK;
}

static tufa_status solve_other_kind(const worlds *ws, tufa_choice kind, tufa_arena *arena, other_kind *out)
{
    int steps = may_follow(ws, kind) ? ws->luck_steps : 0;
    RETURN_IF(take(ws, 1, arena, &out->draw_usd));
    if (steps) RETURN_IF(take(ws, (size_t)steps + 1, arena, &out->within));
    size_t used = arena->used;
    kind_chain k;
    fresh_walk f = {0};
    double *price;
    RETURN_IF(make_kind(ws, kind, arena, &k));
    RETURN_IF(walk_fresh(ws, &k.s, &k.c, k.next_usd, steps, arena, &f));
    out->present_usd = k.present_usd;
    for (size_t i = 0; i < ws->n; i++) {
        double again = (like_usd(&ws->w[i], kind) + f.usd[i]) / (1.0 - f.slope[i]);
        out->draw_usd[i] = ws->w[i].spend[kind] + f.usd[i] + f.slope[i] * again;
    }
    if (steps) {
        RETURN_IF(take(ws, 1, arena, &price));
        kind_within(ws, kind, &f, price, out->within);
    }
    arena->used = used;
    return OK;
}

/* The cheapest other kind that the house allows, or none. */
static const other_kind *outside(const worlds *ws, const solved *s)
{
    const other_kind *best = NULL;
    for (int k = 0; k < OTHER_KINDS; k++) {
        tufa_choice c = (tufa_choice)(TUFA_CHOICE_TO_GAS + k);
        if (!s->kind[k].draw_usd || !may_follow(ws, c)) continue;
        if (!best || s->kind[k].present_usd < best->present_usd) best = &s->kind[k];
    }
    return best;
}

static tufa_status solve_fresh(const worlds *ws, tufa_choice other, tufa_arena *arena, solved *out)
{
    size_t n = ws->n;
    int steps = ws->luck_steps;
    const other_kind *o = outside(ws, out);
    RETURN_IF(take(ws, 1, arena, &out->next_draw));
    RETURN_IF(take(ws, 1, arena, &out->new_draw));
    RETURN_IF(take(ws, (size_t)steps + 1, arena, &out->within));
    size_t used = arena->used;
    stand s;
    chain c;
    fresh_walk f;
    double *price;
    RETURN_IF(make_stand(ws, other, 1, arena, &s));
    RETURN_IF(make_chain(&s, arena, &c));
    double own = c.spend[TUFA_CHOICE_REPLACE], elsewhere = o ? o->present_usd : HUGE_VAL;
    RETURN_IF(renew(&c, own, elsewhere, &out->next_usd, &out->new_usd));
    RETURN_IF(walk_fresh(ws, &s, &c, out->next_usd, steps, arena, &f));
    RETURN_IF(take(ws, 1, arena, &price));
    int turns = o && elsewhere < own + out->new_usd;
    for (size_t i = 0; i < n; i++) {
        double mine = ws->w[i].spend[TUFA_CHOICE_REPLACE];
        out->next_draw[i] = turns ? o->draw_usd[i] : (mine + f.usd[i]) / (1.0 - f.slope[i]);
        out->new_draw[i] = f.usd[i] + f.slope[i] * out->next_draw[i];
        price[i] = mine;
    }
    if (turns) memcpy(out->within, o->within, ((size_t)steps + 1) * n * sizeof *out->within);
    else renew_within(n, steps, f.step_usd, f.step_fails, price, out->within);
    for (int k = 0; k < STEPS; k++) out->new_control[k] = c.control[k];
    arena->used = used;
    return OK;
}

tufa_status solve_heater(const worlds *ws, tufa_choice other, const solved *base, tufa_arena *arena, solved *out)
{
    for (int k = 0; k < OTHER_KINDS; k++) {
        tufa_choice c = (tufa_choice)(TUFA_CHOICE_TO_GAS + k);
        if (base) out->kind[k] = base->kind[k];
        else if (ws->in->other[c].ahead) RETURN_IF(solve_other_kind(ws, c, arena, &out->kind[k]));
    }
    RETURN_IF(solve_fresh(ws, other, arena, out));
    RETURN_IF(make_stand(ws, other, 0, arena, &out->now));
    RETURN_IF(make_chain(&out->now, arena, &out->now_chain));
    out->today_usd = sweep(&out->now_chain, out->next_usd, NULL);
    return OK;
}

tufa_status tufa_money_kinds(const tufa_money_in *in, double present_usd, tufa_arena *arena, double gain_usd_year[TUFA_CHOICE_COUNT])
{
    RETURN_IF(check_money(in));
    size_t used = arena->used;
    worlds ws = {.in = in, .n = in->ahead->draws};
    tufa_status st = draw_worlds(&ws, arena);
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) gain_usd_year[c] = -HUGE_VAL;
    for (int c = TUFA_CHOICE_TO_GAS; c <= TUFA_CHOICE_TO_HEAT_PUMP && st.code == TUFA_OK; c++) {
        size_t kept = arena->used;
        kind_chain k;
        if (!in->other[c].ahead) continue;
        st = make_kind(&ws, (tufa_choice)c, arena, &k);
        if (st.code == TUFA_OK) gain_usd_year[c] = (present_usd - k.present_usd) * (1.0 / (ws.back * ws.back) - 1.0);
        arena->used = kept;
    }
    arena->used = used;
    return st;
}
