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

enum { MOST_PLACES = 60, MOST_LABELS = 1500000, MOST_COLUMNS = 60000, COLUMNS_A_ROUND = 60 };
static const double PAYS = -1e-7;

typedef struct label {
    uint64_t set;
    double reduced, cost, time_s, load;
    int before, next_in_list;
    short last, dropped;
} label;

typedef struct trip {
    uint64_t set;
    double cost;
    short order[MOST_PLACES], n;
} trip;

typedef struct search {
    int n;
    const double *cost, *travel_s, *price; /* price[k - 1] of place k */
    const tufa_plan_stop *stop;
    double capacity;
    label *pool;
    int used, head[MOST_PLACES];
    bool rough;    /* drop a way that another beats in cost, time and load wherever that one has been: quick, may miss */
    bool list_all; /* dominance only between ways through the same places */
    double most;   /* trips with a reduced cost above this are not wanted */
    trip *trips;
    int trip_count;
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
    int n = s->n, at = from ? from->last : 0;
    const tufa_plan_stop *q = &s->stop[next];
    double time_s = fmax((from ? from->time_s : s->stop[0].open_s) + s->travel_s[at * n + next], q->open_s);
    double load = (from ? from->load : 0.0) + q->load;
    if (time_s > q->close_s || load > s->capacity) return true;
    if (time_s + q->service_s + s->travel_s[next * n] > s->stop[0].close_s) return true;
    double c = s->cost[at * n + next];
    label l = {.set = (from ? from->set : 0) | (uint64_t)1 << next, .cost = (from ? from->cost : 0.0) + c,
               .reduced = (from ? from->reduced : 0.0) + c - s->price[next - 1], .time_s = time_s + q->service_s,
               .load = load, .before = before, .last = (short)next};
    return keep(s, l);
}

static bool label_all(search *s)
{
    s->used = 0;
    for (int i = 0; i < s->n; i++) s->head[i] = -1;
    for (int k = 1; k < s->n; k++)
        if (!step_to(s, NULL, -1, k)) return false;
    for (int i = 0; i < s->used; i++) {
        label l = s->pool[i];
        if (l.dropped) continue;
        for (int k = 1; k < s->n; k++)
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
    *t = (trip){.set = l->set, .cost = l->cost + s->cost[l->last * s->n]};
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
    int rows[MOST_PLACES];
    double ones[MOST_PLACES];
    for (int i = 0; i < t->n; i++) rows[i] = t->order[i] - 1, ones[i] = 1.0;
    s->trips[s->trip_count++] = *t;
    return grow_column(g, t->cost, 0.0, 1.0, true, t->n, rows, ones);
}

/* Adds the best trips found by the labels; *added says how many. */
static bool add_paying(search *s, grow *g, int most, int *added)
{
    label *ends = malloc(sizeof *ends * (size_t)(s->used + 1));
    if (!ends) return false;
    int m = 0;
    for (int i = 0; i < s->used; i++) {
        label l = s->pool[i];
        l.reduced += s->cost[l.last * s->n];
        if (!l.dropped && l.reduced < s->most) ends[m++] = l;
    }
    qsort(ends, (size_t)m, sizeof *ends, by_reduced);
    bool fits = true;
    for (*added = 0; fits && *added < m && *added < most; ++*added) {
        trip t;
        read_trip(s, &ends[*added], &t);
        fits = add_trip(s, g, &t);
    }
    free(ends);
    return fits;
}

static tufa_status too_many(void)
{
    return trouble(TUFA_SOLVE, "routes", "more possible trips than there is room for");
}

/* Rough searches while they find something; the last word, that nothing pays, is always an exact one's. */
static tufa_status add_until_none_pays(search *s, grow *g, double until_s, double *bound)
{
    s->most = PAYS;
    s->rough = true;
    for (;;) {
        double left = until_s - solve_now_s();
        int added;
        if (left <= 0.0) return trouble(TUFA_SOLVE, "routes", "time ran out");
        RETURN_IF(grow_solve(g, false, left, bound, bound));
        s->price = g->price;
        if (!label_all(s) || !add_paying(s, g, COLUMNS_A_ROUND, &added)) return too_many();
        if (added == 0 && !s->rough) return OK;
        s->rough = added > 0;
    }
}

static tufa_status choose_trips(search *s, grow *g, double until_s, double *total, double *bound)
{
    for (int k = 1; k < s->n; k++) {
        const int row = k - 1;
        const double one = 1.0;
        trip t = {.set = (uint64_t)1 << k, .cost = s->cost[k] + s->cost[k * s->n], .order = {(short)k}, .n = 1};
        double arrive = fmax(s->stop[0].open_s + s->travel_s[k], s->stop[k].open_s);
        if (arrive > s->stop[k].close_s || s->stop[k].load > s->capacity ||
            arrive + s->stop[k].service_s + s->travel_s[k * s->n] > s->stop[0].close_s)
            return (tufa_status){.code = TUFA_REFUSED, .field = "stop", .got = k, .lo = 1, .hi = s->n - 1,
                                 .why = "this place cannot be reached in its time at all"};
        s->trips[s->trip_count++] = t;
        if (!grow_column(g, t.cost, 0.0, 1.0, true, 1, &row, &one)) return trouble(TUFA_MEMORY, "routes", NULL);
    }
    RETURN_IF(add_until_none_pays(s, g, until_s, bound));
    RETURN_IF(grow_solve(g, true, fmax(1.0, until_s - solve_now_s()), total, &(double){0.0}));
    double lower = *bound;
    if (*total <= lower + 1e-6) return OK;
    double again;
    RETURN_IF(grow_solve(g, false, fmax(1.0, until_s - solve_now_s()), &again, &again));
    s->list_all = true;
    s->most = *total - lower + 1e-6;
    int added;
    if (!label_all(s) || !add_paying(s, g, MOST_COLUMNS, &added)) return OK; /* the bound says how far it may be */
    double proven;
    RETURN_IF(grow_solve(g, true, fmax(1.0, until_s - solve_now_s()), total, &proven));
    *bound = fmax(lower, proven);
    return OK;
}

tufa_status solve_routes(int n, const double *cost, const double *travel_s, const tufa_plan_stop *stop, double capacity,
                         double seconds, int *route, int *at, double *total, double *bound)
{
    RETURN_IF(in_range("n", n, 1, MOST_PLACES));
    *total = *bound = 0.0;
    if (n == 1) return OK;
    double one[MOST_PLACES];
    for (int i = 0; i < n; i++) one[i] = 1.0;
    search s = {.n = n, .cost = cost, .travel_s = travel_s, .stop = stop, .capacity = capacity,
                .pool = malloc(sizeof(label) * MOST_LABELS), .trips = malloc(sizeof(trip) * MOST_COLUMNS)};
    grow g = {0};
    bool fits = s.pool && s.trips && grow_begin(&g, n - 1, one, one);
    tufa_status st = fits ? choose_trips(&s, &g, solve_now_s() + seconds, total, bound) : trouble(TUFA_MEMORY, "routes", NULL);
    for (int j = 0, r = 0; st.code == TUFA_OK && j < g.p.columns; j++) {
        if (g.x[j] < 0.5) continue;
        for (int i = 0; i < s.trips[j].n; i++) route[s.trips[j].order[i]] = r, at[s.trips[j].order[i]] = i;
        r++;
    }
    grow_free(&g);
    free(s.pool), free(s.trips);
    return st;
}
