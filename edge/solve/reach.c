#include "edge/solve/reach.h"

#include <math.h>
#include <stdlib.h>

#include "core/base/clones.h"

enum { ROW = REACH_SLOTS + 1 };
static const double NEVER = -1e300;

void reach_free(reach *r)
{
    free(r->step), free(r->home), free(r->due), free(r->late), free(r->best), free(r->other), free(r->next);
    *r = (reach){0};
}

static int slots_of(const reach *r, double s) { return s <= 0.0 ? 0 : (int)fmin(REACH_SLOTS + 1, floor(s / r->slot_s)); }

static void count_slots(reach *r)
{
    const solve_rounds_in *in = r->in;
    size_t n = (size_t)r->n;
    double end_s = in->stop[0].close_s;
    r->block = REACH_SLOTS;
    r->sure = true;
    for (size_t k = 1; k < n; k++) {
        const tufa_plan_stop *s = &in->stop[k];
        r->home[k] = slots_of(r, in->travel_s[k * n]);
        r->due[k] = slots_of(r, end_s - s->close_s - s->service_s);
        r->late[k] = slots_of(r, end_s - fmax(s->open_s, in->stop[0].open_s) - s->service_s);
        for (size_t j = 1; j < n; j++) {
            int step = slots_of(r, in->travel_s[k * n + j] + in->stop[j].service_s);
            r->step[k * n + j] = step > 1 ? step : 1;
            if (j != k && step < 1) r->sure = false;
            if (j != k && r->step[k * n + j] < r->block) r->block = r->step[k * n + j];
        }
    }
}

bool reach_begin(reach *r, const solve_rounds_in *in)
{
    size_t n = (size_t)in->n;
    *r = (reach){.in = in, .n = in->n, .slot_s = (in->stop[0].close_s - in->stop[0].open_s) / REACH_SLOTS};
    r->step = malloc(n * n * sizeof *r->step), r->home = malloc(n * sizeof *r->home);
    r->due = malloc(n * sizeof *r->due), r->late = malloc(n * sizeof *r->late);
    r->best = malloc(n * ROW * sizeof *r->best), r->other = malloc(n * ROW * sizeof *r->other), r->next = malloc(n * ROW * sizeof *r->next);
    if (!r->step || !r->home || !r->due || !r->late || !r->best || !r->other || !r->next) return false;
    count_slots(r);
    return true;
}

/* One stop j as the next one after k, over `len` times left. */
ALWAYS_INLINE void take_next(int len, double k, double j, double gain, const double *restrict j_best, const double *restrict j_other,
                             const double *restrict j_next, double *restrict best, double *restrict other, double *restrict next)
{
    for (int t = 0; t < len; t++) {
        double v = gain + (j_next[t] != k ? j_best[t] : j_other[t]);
        double less = v < best[t] ? v : best[t];
        next[t] = v > best[t] ? j : next[t];
        best[t] = v > best[t] ? v : best[t];
        other[t] = less > other[t] ? less : other[t];
    }
}

static void begin_row(reach *r, size_t k)
{
    for (size_t t = 0; t < ROW; t++) {
        r->best[k * ROW + t] = (int)t >= r->home[k] ? -r->in->cost[k * (size_t)r->n] : NEVER;
        r->other[k * ROW + t] = NEVER;
        r->next[k * ROW + t] = 0.0;
    }
}

/* Times that stop k cannot be left with: too late to have begun it, or before it opens. */
static void keep_times(reach *r, size_t k, int from, int to)
{
    for (int t = from; t < to; t++) {
        size_t at = k * ROW + (size_t)t, late = k * ROW + (size_t)(r->late[k] < t ? r->late[k] : t);
        if (t < r->due[k]) r->best[at] = r->other[at] = NEVER;
        else r->best[at] = r->best[late], r->other[at] = r->other[late], r->next[at] = r->next[late];
    }
}

VECTOR_CLONES static void fill_block(reach *r, const double *worth, int from, int to)
{
    size_t n = (size_t)r->n;
    for (size_t k = 1; k < n; k++) {
        if (worth[k] == -INFINITY) continue;
        for (size_t j = 1; j < n; j++) {
            int step = r->step[k * n + j], first = from > step ? from : step;
            if (j == k || worth[j] == -INFINITY || first >= to) continue;
            size_t a = j * ROW + (size_t)(first - step), b = k * ROW + (size_t)first;
            take_next(to - first, (double)k, (double)j, worth[j] - r->in->cost[k * n + j], r->best + a, r->other + a, r->next + a,
                      r->best + b, r->other + b, r->next + b);
        }
    }
}

void reach_fill(reach *r, const double *worth)
{
    for (size_t k = 1; k < (size_t)r->n; k++) begin_row(r, k);
    for (int from = 0; from < ROW; from += r->block) {
        int to = from + r->block < ROW ? from + r->block : ROW;
        fill_block(r, worth, from, to);
        for (size_t k = 1; k < (size_t)r->n; k++) keep_times(r, k, from, to);
    }
}

double reach_at(const reach *r, int k, int from, double left_s)
{
    if (left_s < 0.0) return NEVER;
    size_t at = (size_t)k * ROW + (size_t)fmin(REACH_SLOTS, floor(left_s / r->slot_s));
    return from && r->next[at] == (double)from ? r->other[at] : r->best[at];
}
