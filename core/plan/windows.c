/* Round trips with times at the stops. A label is a way so far: its stops as bits, its last stop, cost and time. Labels
 * are extended one stop at a time; of two with the same stops and last stop the one that is not better in cost or in
 * time is dropped. Sets are visited by size, so that no label is extended before it is final. */
#include <math.h>
#include <stdbool.h>

#include "core/base/status.h"
#include "tufa/plan.h"

typedef struct label {
    double cost, time_s;
    int next_in_list, before; /* places in the pool, -1: none */
    unsigned set;
    short last;
    short dropped;
} label;

typedef struct search {
    size_t n, stops, room, used;
    const double *cost, *travel_s;
    const tufa_plan_stop *stop;
    label *pool;
    int *head; /* first label of (set, last) */
} search;

/* Keeps (cost, time) at (set, last) unless another beats it; drops those that it beats. False: the pool is full. */
static bool keep(search *s, unsigned set, size_t last, double cost, double time_s, int before)
{
    int *head = &s->head[(size_t)set * s->stops + last];
    for (int i = *head; i >= 0; i = s->pool[i].next_in_list) {
        label *l = &s->pool[i];
        if (l->dropped) continue;
        if (l->cost <= cost && l->time_s <= time_s) return true;
        if (cost <= l->cost && time_s <= l->time_s) l->dropped = 1;
    }
    if (s->used == s->room) return false;
    s->pool[s->used] = (label){cost, time_s, *head, before, set, (short)last, 0};
    *head = (int)s->used++;
    return true;
}

static bool go(search *s, unsigned set, size_t place, double cost, double time_s, int before, size_t next)
{
    double arrive = time_s + s->travel_s[place * s->n + next + 1];
    const tufa_plan_stop *q = &s->stop[next + 1];
    double begin = fmax(arrive, q->open_s);
    if (begin > q->close_s) return true;
    return keep(s, set | 1u << next, next, cost + s->cost[place * s->n + next + 1], begin + q->service_s, before);
}

static bool extend_all(search *s)
{
    for (size_t i = 0; i < s->used; i++) { /* labels appear in order of the size of their set */
        label l = s->pool[i];
        if (l.dropped) continue;
        for (size_t next = 0; next < s->stops; next++)
            if (!(l.set >> next & 1) && !go(s, l.set, (size_t)l.last + 1, l.cost, l.time_s, (int)i, next)) return false;
    }
    return true;
}

tufa_status tufa_plan_tour_windows(size_t n, const double *cost, const double *travel_s, const tufa_plan_stop *stop,
                                   tufa_arena *scratch, int *order, double *total)
{
    RETURN_IF(in_range("n", (double)n, 1, TUFA_PLAN_MAX_STOPS + 1));
    size_t stops = n - 1, lists = stops << stops, mark = scratch->used;
    order[0] = 0;
    *total = 0.0;
    if (stops == 0) return OK;
    search s = {.n = n, .stops = stops, .cost = cost, .travel_s = travel_s, .stop = stop};
    s.head = tufa_arena_take(scratch, lists, sizeof *s.head);
    size_t left = scratch->size - scratch->used;
    s.room = left > 128 ? (left - 128) / sizeof *s.pool : 0;
    s.pool = s.head ? tufa_arena_take(scratch, s.room, sizeof *s.pool) : NULL;
    if (!s.pool) return trouble(TUFA_MEMORY, "scratch", NULL);
    for (size_t i = 0; i < lists; i++) s.head[i] = -1;
    bool fits = true;
    for (size_t first = 0; first < stops && fits; first++) fits = go(&s, 0, 0, 0.0, stop[0].open_s, -1, first);
    fits = fits && extend_all(&s);
    scratch->used = mark;
    if (!fits) return trouble(TUFA_MEMORY, "scratch", "more ways keep the times than there is room for");
    int best = -1;
    for (size_t last = 0; last < stops; last++)
        for (int i = s.head[(((size_t)1 << stops) - 1) * stops + last]; i >= 0; i = s.pool[i].next_in_list) {
            const label *l = &s.pool[i];
            double home = cost[(last + 1) * n];
            if (l->dropped || l->time_s + travel_s[(last + 1) * n] > stop[0].close_s) continue;
            if (best < 0 || l->cost + home < *total) best = i, *total = l->cost + home;
        }
    if (best < 0) return trouble(TUFA_REFUSED, "stops", "no order keeps every time");
    for (size_t k = stops; best >= 0; best = s.pool[best].before) order[k--] = s.pool[best].last + 1;
    return OK;
}

tufa_status tufa_plan_route_check(size_t n, const double *cost, const double *travel_s, const tufa_plan_stop *stop,
                                  double capacity, size_t m, const int *order, double *total, double *end_s)
{
    double sum = 0.0, time_s = stop[0].open_s, load = 0.0;
    size_t at = 0;
    for (size_t k = 0; k < m; k++) {
        RETURN_IF(in_range("order", order[k], 1.0, (double)n - 1.0));
        size_t next = (size_t)order[k];
        time_s = fmax(time_s + travel_s[at * n + next], stop[next].open_s);
        RETURN_IF(in_range("begin_s", time_s, stop[next].open_s, stop[next].close_s));
        time_s += stop[next].service_s;
        sum += cost[at * n + next];
        load += stop[next].load;
        at = next;
    }
    RETURN_IF(in_range("load", load, 0.0, capacity));
    time_s += travel_s[at * n];
    RETURN_IF(in_range("end_s", time_s, stop[0].open_s, stop[0].close_s));
    *total = sum + cost[at * n];
    *end_s = time_s;
    return OK;
}
