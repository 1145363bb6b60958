/* What a course costs in every draw: the failures that can be expected along it, or those that luck brings. */
#include "core/base/status.h"
#include "core/money/step.h"

#include <math.h>

static const double HARM_STAYS = 0.5; /* as in chain.c */

void course_of(const chain *c, double next_usd, int from, tufa_choice first, course *out)
{
    place p = {.kind = 0};
    for (int k = 0; k < STEPS; k++) {
        double usd, z = p.z, y = p.y;
        tufa_choice a = TUFA_CHOICE_LEAVE;
        place after = p;
        if (k == from && first < TUFA_CHOICE_COUNT) {
            a = first;
            if (act_usd(c, k, &p, a, next_usd, &after) == HUGE_VAL) after = p; /* a deed that moves no state of the problem */
        } else if (k >= from) {
            a = best_act(c, k, &p, next_usd, &usd, &after);
        }
        out->act[k] = (unsigned char)a;
        if (a == TUFA_CHOICE_REPLACE) {
            for (int later = k + 1; later < STEPS; later++) out->act[later] = TUFA_CHOICE_LEAVE;
            return;
        }
        p = after;
        y = p.y + (p.bed_touched ? STEP_YEARS : 0.0);
        z = p.z + (p.anode_touched ? STEP_YEARS : 0.0);
        p.y = y;
        p.z = z;
    }
}

void course_left(const unsigned char *replaced, course *out)
{
    int done = 0;
    for (int k = 0; k < STEPS; k++) {
        out->act[k] = !done && replaced[k] ? TUFA_CHOICE_REPLACE : TUFA_CHOICE_LEAVE;
        done = done || replaced[k];
    }
}

/* The heaters of all draws on their way. */
typedef struct party {
    double *kg, *z, *scar, *alive, *lucky_alive, *spent_hazard;
    double at;
    int kind, control_since;                            /* step at which thermostats were changed; -1: those that were there */
} party;

size_t walk_bytes(size_t n) { return 6 * (n * sizeof(double) + 64); }

static tufa_status set_out(const stand *s, tufa_arena *arena, party *p)
{
    double **all[] = {&p->kg, &p->z, &p->scar, &p->alive, &p->lucky_alive, &p->spent_hazard};
    for (size_t k = 0; k < sizeof all / sizeof all[0]; k++)
        if (!(*all[k] = tufa_arena_take(arena, s->n, sizeof(double)))) return trouble(TUFA_MEMORY, "arena", NULL);
    for (size_t i = 0; i < s->n; i++) {
        p->kg[i] = s->kg[i];
        p->z[i] = s->anode_age[i];
        p->scar[i] = p->alive[i] = p->lucky_alive[i] = 1.0;
        p->spent_hazard[i] = -log(s->ws->tank_u[i]); /* the tank leaks when its hazard has come to this */
    }
    p->at = 1.0;
    p->kind = 0;
    p->control_since = -1;
    return OK;
}

static void add(double *to, size_t i, double usd)
{
    if (to) to[i] += usd;
}

static void spend(const walk *w, const party *p, size_t i, int in_years, double usd)
{
    double expected = p->at * p->alive[i] * usd, lucky = p->at * p->lucky_alive[i] * usd;
    add(w->usd, i, expected);
    add(w->lucky_usd, i, lucky);
    if (!in_years) return;
    add(w->years_usd, i, expected);
    add(w->lucky_years_usd, i, lucky);
}

static void do_deed(const stand *s, const walk *w, party *p, tufa_choice a, int k)
{
    int in_years = k < s->ws->luck_steps;
    int cleans = a == TUFA_CHOICE_CLEAN || a == TUFA_CHOICE_ELEMENTS || a == TUFA_CHOICE_CLEAN_ANODE;
    for (size_t i = 0; i < s->n; i++) {
        const world *x = &s->ws->w[i];
        double usd = deed_usd(s, i, a);
        spend(w, p, i, in_years, usd);
        if (w->step_usd && k < w->steps) w->step_usd[(size_t)k * s->n + i] += p->at * p->alive[i] * usd;
        if (cleans) p->kg[i] *= x->left_share[TUFA_CHOICE_CLEAN];
        if (a == TUFA_CHOICE_FLUSH) p->kg[i] = flush_leaves(x, p->kg[i]);
        if (a != TUFA_CHOICE_ANODE && a != TUFA_CHOICE_CLEAN_ANODE) continue;
        if (p->z[i] > s->anode_life[i]) p->scar[i] = 1.0 + HARM_STAYS * (x->anode_on_life - 1.0);
        p->z[i] = 0.0;
    }
    if (a == TUFA_CHOICE_ELEMENTS) p->kind = 1;
    if (a == TUFA_CHOICE_CONTROL) p->control_since = k;
}

/* The rest of the years falls to the next heater. */
static void renew_at(const stand *s, const walk *w, size_t i, int steps_left, double weight, double lucky_weight)
{
    if (w->within && steps_left >= 0) {
        double rest = w->within[(size_t)steps_left * s->n + i];
        add(w->years_usd, i, weight * rest);
        add(w->lucky_years_usd, i, lucky_weight * rest);
    }
    if (w->next_usd) add(w->lucky_usd, i, lucky_weight * w->next_usd[i]);
}

static void replace_planned(const stand *s, const walk *w, party *p, int k)
{
    int steps_left = s->ws->luck_steps - k;
    for (size_t i = 0; i < s->n; i++) {
        add(w->slope, i, p->at * p->alive[i]);
        if (w->step_fails && k < w->steps) w->step_fails[(size_t)k * s->n + i] += p->at * p->alive[i];
        renew_at(s, w, i, steps_left > 0 ? steps_left : -1, p->at * p->alive[i], p->at * p->lucky_alive[i]);
    }
}

static void luck_of_step(const stand *s, const walk *w, party *p, size_t i, int k, double hazard, double elements, double running,
                         double weight)
{
    const worlds *ws = s->ws;
    const world *x = &ws->w[i];
    double here = p->lucky_alive[i], usd = running;
    if (here == 0.0) return;
    if (k < ws->luck_steps) usd += ((ws->element_u[(size_t)k * s->n + i] < chance_of(elements)) - elements) * x->element_usd;
    p->spent_hazard[i] -= hazard;
    int leaks = p->spent_hazard[i] < 0.0;
    if (leaks) {
        usd = 0.5 * usd + x->leak_usd + (ws->damage_u[i] < x->damage_chance ? x->damage_usd : 0.0);
        p->lucky_alive[i] = 0.0;
    }
    add(w->lucky_usd, i, weight * usd);
    if (k < ws->luck_steps) add(w->lucky_years_usd, i, weight * usd);
    if (!leaks) return;
    if (w->next_usd) add(w->lucky_usd, i, weight * w->next_usd[i]);
    if (w->within && w->lucky_years_usd && k < ws->luck_steps) w->lucky_years_usd[i] += weight * w->within[(size_t)(ws->luck_steps - k - 1) * s->n + i];
}

static void walk_step(const stand *s, const walk *w, party *p, int k)
{
    const worlds *ws = s->ws;
    size_t n = s->n;
    double weight = p->at * ws->back_half;
    int left = ws->luck_steps - k, el = s->electric, since = p->control_since;
    const double *control = since < 0 ? s->control + (size_t)k * n : s->new_control + (size_t)(k - since) * n;
    for (size_t i = 0; i < n; i++) {
        const world *x = &ws->w[i];
        double kg = p->kg[i], grown = STEP_YEARS * s->growth[i], t = share_in_trouble(kg, grown, s->trouble_kg[i]);
        double hazard = s->hazard[(size_t)k * n + i] * (1.0 + (x->bed_on_life[el] - 1.0) * t) *
                        (p->z[i] > s->anode_life[i] ? x->anode_on_life : p->scar[i]);
        double prob = chance_of(hazard), alive = p->alive[i], fails = weight * alive * prob;
        double elements = STEP_YEARS * s->element[p->kind][i] * (1.0 + (x->buried - 1.0) * t);
        double running = STEP_YEARS * (t * x->calls_year[el] * x->call_usd + s->extra_year[i] +
                                       lost_share(s->loss_per_kg[i], kg + 0.5 * grown) * s->fuel_year[i]) +
                         control[i] * x->control_usd[el] + elements * x->element_usd;
        double usd = weight * alive * (1.0 - 0.5 * prob) * running + fails * (x->leak_usd + x->damage_chance * x->damage_usd);
        w->usd[i] += usd;
        w->slope[i] += fails;
        if (w->years_usd && left > 0) {
            w->years_usd[i] += usd;
            if (w->within) w->years_usd[i] += 0.5 * fails * (w->within[(size_t)left * n + i] + w->within[(size_t)(left - 1) * n + i]);
        }
        if (w->step_usd && k < w->steps) {
            w->step_usd[(size_t)k * n + i] += usd;
            w->step_fails[(size_t)k * n + i] += fails;
        }
        if (w->lucky_usd) luck_of_step(s, w, p, i, k, hazard, elements, running, weight);
        if (w->p_year && k < STEPS_YEAR) {
            w->p_year[i] = 1.0 - (1.0 - w->p_year[i]) * (1.0 - prob);
            w->p_element[i] = 1.0 - (1.0 - w->p_element[i]) * (1.0 - chance_of(elements));
        }
        p->alive[i] = alive * (1.0 - prob);
        p->kg[i] = kg + grown;
        p->z[i] += STEP_YEARS;
    }
    p->at *= ws->back;
}

tufa_status walk_course(const stand *s, const course *c, const walk *w, tufa_arena *arena)
{
    party p;
    size_t used = arena->used;
    RETURN_IF(set_out(s, arena, &p));
    int k = 0;
    for (; k < STEPS && c->act[k] != TUFA_CHOICE_REPLACE; k++) {
        if (c->act[k] != TUFA_CHOICE_LEAVE) do_deed(s, w, &p, (tufa_choice)c->act[k], k);
        walk_step(s, w, &p, k);
    }
    replace_planned(s, w, &p, k);
    arena->used = used;
    return OK;
}

/* A heater that fails within a step is followed, half a step on, by one that has the rest of the steps. */
void renew_within(size_t n, int steps, const double *step_usd, const double *step_fails, const double *price_usd, double *within)
{
    for (size_t i = 0; i < n; i++) {
        within[i] = price_usd[i];
        for (int m = 1; m <= steps; m++) {
            double sum = 0.0, itself = 0.0;
            for (int k = 0; k < m; k++) {
                double fails = step_fails[(size_t)k * n + i], half = 0.5 * within[(size_t)(m - k - 1) * n + i];
                sum += step_usd[(size_t)k * n + i] + fails * half;
                if (k == 0) itself = 0.5 * fails;
                else sum += 0.5 * fails * within[(size_t)(m - k) * n + i];
            }
            /* within = price + sum + itself x within */
            within[(size_t)m * n + i] = (price_usd[i] + sum) / (1.0 - itself);
        }
    }
}
