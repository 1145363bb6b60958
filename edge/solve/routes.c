/* Several round trips at once: which trips to make is a choice among columns, one for each possible trip. Columns are
 * found as needed by the prices of the linear problem (Dantzig and Wolfe 1960; trips by labels as in Desrochers,
 * Desrosiers and Solomon 1992). When no trip pays any more its value is a proven bound; then every trip whose reduced
 * cost lies within the gap is listed, and the choice among those is the best of all. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/solve/grow.h"
#include "edge/solve/insert.h"

enum { MOST_PERIODS = 400, MOST_PLACES = SOLVE_MOST_PLACES, MOST_LABELS = 1500000, MOST_COLUMNS = 60000, COLUMNS_A_ROUND = 60, LOOK_AT_CLOCK = 4096 };
static const double PAYS = -1e-7, LEFT_OUT = 1e9; /* cost of a stop that finds no room: above any plan */

typedef struct label {
    uint64_t set;
    double reduced, cost, time_s, load;
    int before, next_in_list;
    short last, dropped;
} label;

typedef struct trip {
    double cost;
    int period; /* -1: a stop left out */
    short order[MOST_PLACES], n;
} trip;

typedef struct search {
    const solve_rounds_in *in;
    const double *price; /* of stop k at k - 1, of period w at n - 1 + w */
    int period;          /* for which labels are made */
    label *pool;
    int used, head[MOST_PLACES];
    bool rough;    /* drop a way that another beats in cost, time and load wherever that one has been: quick, may miss */
    bool list_all; /* dominance only between ways through the same places */
    double most;   /* trips with a reduced cost above this are not wanted */
    trip *trips;
    int trip_count;
    double until_s;
} search;

/* Does a beat b whatever comes after? */
static bool beats(const search *s, const label *a, const label *b)
{
    if (a->time_s > b->time_s) return false;
    if (s->list_all) return a->set == b->set && a->cost <= b->cost;
    return a->reduced <= b->reduced && a->load <= b->load && (s->rough || (a->set & ~b->set) == 0);
}

static bool keep(search *s, label l)
{
    for (int i = s->head[l.last]; i >= 0; i = s->pool[i].next_in_list) {
        label *other = &s->pool[i];
        if (other->dropped) continue;
        if (beats(s, other, &l)) return true;
        if (beats(s, &l, other)) other->dropped = 1;
    }
    if (s->used == MOST_LABELS) return false;
    l.next_in_list = s->head[l.last];
    s->pool[s->used] = l;
    s->head[l.last] = s->used++;
    return true;
}

static bool step_to(search *s, const label *from, int before, int next)
{
    const solve_rounds_in *q = s->in;
    const tufa_plan_stop *to = &q->stop[next];
    int n = q->n, at = from ? from->last : 0;
    double wait = q->wait[next * q->periods + s->period];
    if (wait == INFINITY) return true;
    double time_s = fmax((from ? from->time_s : q->stop[0].open_s) + q->travel_s[at * n + next], to->open_s);
    double load = (from ? from->load : 0.0) + to->load;
    if (time_s > to->close_s || load > q->capacity) return true;
    if (time_s + to->service_s + q->travel_s[next * n] > q->stop[0].close_s) return true;
    double c = q->cost[at * n + next] + wait + (from ? 0.0 : q->trip_cost);
    label l = {.set = (from ? from->set : 0) | (uint64_t)1 << next, .cost = (from ? from->cost : 0.0) + c,
               .reduced = (from ? from->reduced : -s->price[n - 1 + s->period]) + c - s->price[next - 1],
               .time_s = time_s + to->service_s, .load = load, .before = before, .last = (short)next};
    return keep(s, l);
}

static bool label_all(search *s)
{
    int n = s->in->n;
    s->used = 0;
    for (int i = 0; i < n; i++) s->head[i] = -1;
    for (int k = 1; k < n; k++)
        if (!step_to(s, NULL, -1, k)) return false;
    for (int i = 0; i < s->used; i++) {
        label l = s->pool[i];
        if (i % LOOK_AT_CLOCK == 0 && solve_now_s() > s->until_s) return false;
        if (l.dropped) continue;
        for (int k = 1; k < n; k++)
            if (!(l.set >> k & 1) && !step_to(s, &l, i, k)) return false;
    }
    return true;
}

static int by_reduced(const void *a, const void *b)
{
    double x = ((const label *)a)->reduced, y = ((const label *)b)->reduced;
    return (x > y) - (x < y);
}

static void read_trip(const search *s, const label *l, trip *t)
{
    *t = (trip){.cost = l->cost + s->in->cost[l->last * s->in->n], .period = s->period};
    short back[MOST_PLACES];
    int m = 0;
    back[m++] = l->last;
    for (int i = l->before; i >= 0; i = s->pool[i].before) back[m++] = s->pool[i].last;
    t->n = (short)m;
    for (int i = 0; i < m; i++) t->order[i] = back[m - 1 - i];
}

static bool add_trip(search *s, grow *g, const trip *t)
{
    if (s->trip_count == MOST_COLUMNS) return false;
    int rows[MOST_PLACES + 1], m = 0;
    double ones[MOST_PLACES + 1];
    for (int i = 0; i < t->n; i++) rows[m++] = t->order[i] - 1;
    if (t->period >= 0) rows[m++] = s->in->n - 1 + t->period;
    for (int i = 0; i < m; i++) ones[i] = 1.0;
    s->trips[s->trip_count++] = *t;
    return grow_column(g, t->cost, 0.0, 1.0, true, m, rows, ones);
}

static double trip_cost_of(const solve_rounds_in *in, const trip *t)
{
    double c = in->trip_cost;
    int at = 0;
    for (int i = 0; i < t->n; i++) {
        c += in->cost[at * in->n + t->order[i]] + in->wait[t->order[i] * in->periods + t->period];
        at = t->order[i];
    }
    return c + in->cost[at * in->n];
}

/* Adds the best trips found by the labels; *added grows by their number. */
static bool add_paying(search *s, grow *g, int most, int *added)
{
    label *ends = malloc(sizeof *ends * (size_t)(s->used + 1));
    if (!ends) return false;
    int m = 0;
    for (int i = 0; i < s->used; i++) {
        label l = s->pool[i];
        l.reduced += s->in->cost[l.last * s->in->n];
        if (!l.dropped && l.reduced < s->most) ends[m++] = l;
    }
    qsort(ends, (size_t)m, sizeof *ends, by_reduced);
    bool fits = true;
    for (int i = 0; fits && i < m && i < most; i++, ++*added) {
        trip t;
        read_trip(s, &ends[i], &t);
        fits = add_trip(s, g, &t);
    }
    free(ends);
    return fits;
}

static tufa_status too_many(void)
{
    return trouble(TUFA_SOLVE, "rounds", "more possible trips than there is room for");
}

/* Trips that pay, or that are within s->most, in every period. */
static tufa_status search_periods(search *s, grow *g, int most, int *added)
{
    *added = 0;
    for (s->period = 0; s->period < s->in->periods; s->period++)
        if (s->in->most[s->period] > 0 && (!label_all(s) || !add_paying(s, g, most, added))) return too_many();
    return OK;
}

/* Rough searches while they find something; the last word, that nothing pays, is always an exact one's. */
static tufa_status add_until_none_pays(search *s, grow *g, double until_s, double *bound)
{
    s->most = PAYS;
    s->rough = true;
    for (;;) {
        double left = until_s - solve_now_s();
        int added;
        if (left <= 0.0) return trouble(TUFA_SOLVE, "rounds", "time ran out");
        RETURN_IF(grow_solve(g, false, left, bound, bound));
        s->price = g->price;
        RETURN_IF(search_periods(s, g, COLUMNS_A_ROUND, &added));
        if (added == 0 && !s->rough) return OK;
        s->rough = added > 0;
    }
}

/* Every stop left out, and the trips of the quick plan: something to begin with, and to fall back on. */
static bool add_first(search *s, grow *g)
{
    int n = s->in->n, period[MOST_PLACES], number[MOST_PLACES], at[MOST_PLACES];
    for (int k = 1; k < n; k++)
        if (!add_trip(s, g, &(trip){.cost = LEFT_OUT, .period = -1, .order = {(short)k}, .n = 1})) return false;
    solve_rounds_out quick = {.period = period, .trip = number, .at = at};
    if (insert_rounds(s->in, &quick).code != TUFA_OK) return false;
    for (int r = 0; r < quick.trips; r++) {
        trip t = {.n = 0};
        for (int k = 1; k < n; k++)
            if (number[k] == r) t.order[at[k]] = (short)k, t.period = period[k], t.n++;
        t.cost = trip_cost_of(s->in, &t);
        if (!add_trip(s, g, &t)) return false;
    }
    return true;
}

/* The best choice among the trips found so far; with `status` SOLVE nothing is proven of it. */
static tufa_status choose_among(grow *g, double until_s, tufa_status status, double *total, double *bound)
{
    const double least = 0.5;
    if (status.code != TUFA_OK && status.code != TUFA_SOLVE) return status;
    double ignored;
    *bound = -INFINITY;
    return grow_solve(g, true, fmax(least, until_s - solve_now_s()), total, &ignored);
}

static tufa_status choose_trips(search *s, grow *g, double until_s, double *total, double *bound)
{
    if (!add_first(s, g)) return trouble(TUFA_MEMORY, "rounds", NULL);
    double least = 0.5, ignored, lower;
    tufa_status st = add_until_none_pays(s, g, until_s, &lower);
    if (st.code != TUFA_OK) return choose_among(g, until_s, st, total, bound);
    RETURN_IF(grow_solve(g, true, fmax(least, until_s - solve_now_s()), total, &ignored));
    *bound = lower;
    if (*total <= lower + 1e-6 || solve_now_s() >= until_s) return OK;
    st = grow_solve(g, false, fmax(least, until_s - solve_now_s()), &ignored, &ignored); /* prices again */
    if (st.code == TUFA_SOLVE) return grow_solve(g, true, least, total, &ignored);
    RETURN_IF(st);
    s->list_all = true;
    s->most = *total - lower + 1e-6;
    int added;
    if (search_periods(s, g, MOST_COLUMNS, &added).code != TUFA_OK) { /* too many: the bound says how far it may be */
        return grow_solve(g, true, fmax(least, until_s - solve_now_s()), total, &ignored);
    }
    double proven;
    RETURN_IF(grow_solve(g, true, fmax(least, until_s - solve_now_s()), total, &proven));
    *bound = fmax(lower, proven);
    return OK;
}

static void read_choice(const search *s, const grow *g, solve_rounds_out *out)
{
    for (int j = 0; j < g->p.columns; j++) {
        const trip *t = &s->trips[j];
        if (g->x[j] < 0.5) continue;
        for (int i = 0; i < t->n; i++) {
            out->period[t->order[i]] = t->period;
            out->trip[t->order[i]] = t->period < 0 ? -1 : out->trips;
            out->at[t->order[i]] = i;
        }
        out->unplaced += t->period < 0;
        out->trips += t->period >= 0;
    }
    out->total -= out->unplaced * LEFT_OUT;
    out->bound = fmin(out->total, fmax(0.0, out->bound - out->unplaced * LEFT_OUT));
}

tufa_status solve_rounds(const solve_rounds_in *in, double seconds, solve_rounds_out *out)
{
    RETURN_IF(in_range("n", in->n, 1, MOST_PLACES));
    RETURN_IF(in_range("periods", in->periods, 1, MOST_PERIODS));
    out->trips = out->unplaced = 0;
    out->total = out->bound = 0.0;
    if (in->n == 1) return OK;
    double lo[MOST_PLACES + MOST_PERIODS], hi[MOST_PLACES + MOST_PERIODS];
    for (int i = 0; i < in->n - 1; i++) lo[i] = hi[i] = 1.0;
    for (int w = 0; w < in->periods; w++) lo[in->n - 1 + w] = 0.0, hi[in->n - 1 + w] = in->most[w];
    search s = {.in = in, .pool = malloc(sizeof(label) * MOST_LABELS), .trips = malloc(sizeof(trip) * MOST_COLUMNS),
                .until_s = solve_now_s() + seconds};
    grow g = {0};
    bool fits = s.pool && s.trips && grow_begin(&g, in->n - 1 + in->periods, lo, hi);
    tufa_status st = fits ? choose_trips(&s, &g, s.until_s, &out->total, &out->bound)
                          : trouble(TUFA_MEMORY, "rounds", NULL);
    if (st.code == TUFA_OK) read_choice(&s, &g, out);
    if (st.code == TUFA_SOLVE) st = insert_rounds(in, out); /* not even a choice among what was found: the quick plan stands */
    grow_free(&g);
    free(s.pool), free(s.trips);
    return st;
}
