/* Markov decision problems of moderate size: policy iteration (Howard 1960) and steps backward from an end. */
#include "core/base/status.h"
#include "tufa/money.h"

#include <math.h>

enum { MOST_STATES = 20000, POLICY_CAP = 1000 };
static const double CHANCE_TOL = 1e-9;
static const double BETTER = 1e-12; /* a change of policy must save this share, so that equals do not cycle */

static tufa_status check(const tufa_decisions *d)
{
    RETURN_IF(in_range("states", (double)d->states, 1.0, MOST_STATES));
    RETURN_IF(in_range("actions", (double)d->actions, 1.0, 1e6));
    RETURN_IF(in_range("discount", d->discount, 0.0, 1.0));
    for (size_t s = 0; s < d->states; s++) {
        int allowed = 0;
        for (size_t a = 0; a < d->actions; a++) {
            size_t k = s * d->actions + a;
            if (d->usd[k] == HUGE_VAL) continue;
            RETURN_IF(in_range("usd", d->usd[k], -1e15, 1e15));
            double sum = 0.0;
            for (size_t t = 0; t < d->states; t++) {
                RETURN_IF(in_range("to", d->to[k * d->states + t], 0.0, 1.0 + CHANCE_TOL));
                sum += d->to[k * d->states + t];
            }
            RETURN_IF(in_range("to", sum, 1.0 - CHANCE_TOL, 1.0 + CHANCE_TOL));
            allowed = 1;
        }
        if (!allowed) return trouble(TUFA_CONFLICT, "usd", "a state without any allowed action");
    }
    return OK;
}

static double worth(const tufa_decisions *d, size_t s, size_t a, const double *value)
{
    const double *to = d->to + (s * d->actions + a) * d->states;
    double ahead = 0.0;
    for (size_t t = 0; t < d->states; t++) ahead += to[t] * value[t];
    return d->usd[s * d->actions + a] + d->discount * ahead;
}

static int allowed(const tufa_decisions *d, size_t s, size_t a) { return d->usd[s * d->actions + a] != HUGE_VAL; }

static size_t cheapest(const tufa_decisions *d, size_t s, const double *value, double *usd)
{
    size_t best = 0;
    *usd = HUGE_VAL;
    for (size_t a = 0; a < d->actions; a++) {
        if (!allowed(d, s, a)) continue;
        double v = worth(d, s, a, value);
        if (v < *usd) *usd = v, best = a;
    }
    return best;
}

/* (I - discount P) v = cost, by elimination with the largest pivot of a column. */
static tufa_status evaluate(const tufa_decisions *d, const size_t *action, double *m, double *value)
{
    size_t n = d->states;
    for (size_t s = 0; s < n; s++) {
        const double *to = d->to + (s * d->actions + action[s]) * n;
        for (size_t t = 0; t < n; t++) m[s * n + t] = (s == t ? 1.0 : 0.0) - d->discount * to[t];
        value[s] = d->usd[s * d->actions + action[s]];
    }
    for (size_t c = 0; c < n; c++) {
        size_t p = c;
        for (size_t r = c + 1; r < n; r++)
            if (fabs(m[r * n + c]) > fabs(m[p * n + c])) p = r;
        if (m[p * n + c] == 0.0) return trouble(TUFA_SOLVE, "policy", "costs grow without end");
        for (size_t t = c; t < n && p != c; t++) {
            double x = m[p * n + t];
            m[p * n + t] = m[c * n + t];
            m[c * n + t] = x;
        }
        double v = value[p];
        value[p] = value[c];
        value[c] = v;
        for (size_t r = c + 1; r < n; r++) {
            double f = m[r * n + c] / m[c * n + c];
            if (f == 0.0) continue;
            for (size_t t = c; t < n; t++) m[r * n + t] -= f * m[c * n + t];
            value[r] -= f * value[c];
        }
    }
    for (size_t r = n; r-- > 0;) {
        for (size_t t = r + 1; t < n; t++) value[r] -= m[r * n + t] * value[t];
        value[r] /= m[r * n + r];
    }
    return OK;
}

static tufa_status iterate(const tufa_decisions *d, double *m, double *value, size_t *action)
{
    for (size_t s = 0; s < d->states; s++) value[s] = 0.0;
    for (size_t s = 0; s < d->states; s++) {
        double usd;
        action[s] = cheapest(d, s, value, &usd);
    }
    for (int k = 0; k < POLICY_CAP; k++) {
        int changed = 0;
        RETURN_IF(evaluate(d, action, m, value));
        for (size_t s = 0; s < d->states; s++) {
            double usd, now = worth(d, s, action[s], value);
            size_t a = cheapest(d, s, value, &usd);
            if (a == action[s] || !(usd < now - BETTER * fmax(1.0, fabs(now)))) continue;
            action[s] = a;
            changed = 1;
        }
        if (!changed) return OK;
    }
    return trouble(TUFA_SOLVE, "policy", NULL);
}

tufa_status tufa_money_policy(const tufa_decisions *d, tufa_arena *arena, double *value, size_t *action)
{
    RETURN_IF(check(d));
    RETURN_IF(in_range("discount", d->discount, 0.0, 1.0 - 1e-9));
    size_t used = arena->used;
    double *m = tufa_arena_take(arena, d->states * d->states, sizeof *m);
    tufa_status st = m ? iterate(d, m, value, action) : trouble(TUFA_MEMORY, "arena", NULL);
    arena->used = used;
    return st;
}

tufa_status tufa_money_policy_finite(const tufa_decisions *d, size_t steps, const double *end_usd, tufa_arena *arena,
                                     double *value, size_t *action)
{
    RETURN_IF(check(d));
    RETURN_IF(in_range("steps", (double)steps, 1.0, 1e6));
    size_t used = arena->used;
    double *next = tufa_arena_take(arena, d->states, sizeof *next);
    if (!next) return trouble(TUFA_MEMORY, "arena", NULL);
    for (size_t s = 0; s < d->states; s++) next[s] = end_usd ? end_usd[s] : 0.0;
    for (size_t k = 0; k < steps; k++) {
        for (size_t s = 0; s < d->states; s++) action[s] = cheapest(d, s, next, &value[s]);
        for (size_t s = 0; s < d->states; s++) next[s] = value[s];
    }
    arena->used = used;
    return OK;
}
