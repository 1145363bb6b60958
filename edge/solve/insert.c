#include "edge/solve/insert.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "core/base/status.h"

typedef struct route {
    int period, n, room, *stop;
} route;

typedef struct insertion {
    const solve_rounds_in *in;
    route *route;
    int routes, *left; /* left: trips that a period still has room for */
} insertion;

static double wait_of(const solve_rounds_in *in, int k, int period) { return in->wait[(size_t)k * (size_t)in->periods + (size_t)period]; }
static double cost_of(const solve_rounds_in *in, int i, int j) { return in->cost[(size_t)i * (size_t)in->n + (size_t)j]; }
static double drive_of(const solve_rounds_in *in, int i, int j) { return in->travel_s[(size_t)i * (size_t)in->n + (size_t)j]; }

/* Does the route keep its times and load with stop k put in at position `at`? */
static bool keeps(const solve_rounds_in *in, const route *r, int k, int at)
{
    double time_s = in->stop[0].open_s, load = 0.0;
    int here = 0;
    for (int i = 0; i <= r->n; i++) {
        int next = i == at ? k : r->stop[i < at ? i : i - 1];
        time_s = fmax(time_s + drive_of(in, here, next), in->stop[next].open_s);
        if (time_s > in->stop[next].close_s) return false;
        time_s += in->stop[next].service_s;
        load += in->stop[next].load;
        here = next;
    }
    return load <= in->capacity && time_s + drive_of(in, here, 0) <= in->stop[0].close_s;
}

static double added_cost(const solve_rounds_in *in, const route *r, int k, int at)
{
    int before = at == 0 ? 0 : r->stop[at - 1], after = at == r->n ? 0 : r->stop[at];
    double instead = r->n == 0 ? -in->trip_cost : cost_of(in, before, after);
    return cost_of(in, before, k) + cost_of(in, k, after) - instead + wait_of(in, k, r->period);
}

static bool put(route *r, int k, int at)
{
    if (r->n == r->room) {
        int room = r->room ? 2 * r->room : 8, *stop = realloc(r->stop, (size_t)room * sizeof *stop);
        if (!stop) return false;
        r->stop = stop;
        r->room = room;
    }
    for (int i = r->n++; i > at; i--) r->stop[i] = r->stop[i - 1];
    r->stop[at] = k;
    return true;
}

typedef struct spot {
    double cost;
    int route, at, period; /* route -1: a new one */
} spot;

static spot best_spot(const insertion *s, int k)
{
    spot best = {.cost = INFINITY, .route = -2};
    for (int r = 0; r < s->routes; r++) {
        const route *to = &s->route[r];
        if (wait_of(s->in, k, to->period) == INFINITY) continue;
        for (int at = 0; at <= to->n; at++) {
            double c = added_cost(s->in, to, k, at);
            if (c < best.cost && keeps(s->in, to, k, at)) best = (spot){c, r, at, to->period};
        }
    }
    for (int p = 0; p < s->in->periods; p++) {
        route none = {.period = p};
        if (s->left[p] <= 0 || wait_of(s->in, k, p) == INFINITY) continue;
        double c = added_cost(s->in, &none, k, 0);
        if (c < best.cost && keeps(s->in, &none, k, 0)) best = (spot){c, -1, 0, p};
    }
    return best;
}

static bool take(insertion *s, int k, spot where)
{
    if (where.route == -1) {
        where.route = s->routes++;
        s->route[where.route] = (route){.period = where.period};
        s->left[where.period]--;
    }
    return put(&s->route[where.route], k, where.at);
}

/* Those with the fewest periods to choose from come first, then those whose waiting is dearest. */
typedef struct turn {
    int k, choices;
    double slope;
} turn;

static int by_turn(const void *a, const void *b)
{
    const turn *x = a, *y = b;
    if (x->choices != y->choices) return x->choices - y->choices;
    if (x->slope != y->slope) return x->slope > y->slope ? -1 : 1;
    return x->k - y->k;
}

static turn turn_of(const solve_rounds_in *in, int k)
{
    turn t = {.k = k};
    double first = INFINITY, last = INFINITY;
    for (int p = 0; p < in->periods; p++) {
        if (wait_of(in, k, p) == INFINITY) continue;
        t.choices++;
        if (first == INFINITY) first = wait_of(in, k, p);
        last = wait_of(in, k, p);
    }
    if (t.choices > 1) t.slope = (last - first) / t.choices;
    return t;
}

static void write_out(const insertion *s, solve_rounds_out *out)
{
    for (int k = 1; k < s->in->n; k++) out->period[k] = out->trip[k] = out->at[k] = -1;
    out->total = out->bound = 0.0;
    int placed = 0;
    for (int r = 0; r < s->routes; r++) {
        const route *t = &s->route[r];
        int here = 0;
        out->total += s->in->trip_cost;
        for (int i = 0; i < t->n; i++) {
            int k = t->stop[i];
            out->period[k] = t->period, out->trip[k] = r, out->at[k] = i;
            out->total += cost_of(s->in, here, k) + wait_of(s->in, k, t->period);
            here = k;
            placed++;
        }
        out->total += cost_of(s->in, here, 0);
    }
    out->trips = s->routes;
    out->unplaced = s->in->n - 1 - placed;
}

tufa_status insert_rounds(const solve_rounds_in *in, solve_rounds_out *out)
{
    size_t n = (size_t)in->n;
    insertion s = {.in = in, .route = malloc(n * sizeof *s.route), .left = malloc((size_t)in->periods * sizeof *s.left)};
    turn *order = malloc(n * sizeof *order);
    bool fits = s.route && s.left && order;
    if (fits) {
        for (int p = 0; p < in->periods; p++) s.left[p] = in->most[p];
        for (int k = 1; k < in->n; k++) order[k - 1] = turn_of(in, k);
        qsort(order, n - 1, sizeof *order, by_turn);
        for (size_t i = 0; fits && i + 1 < n; i++) {
            spot where = best_spot(&s, order[i].k);
            if (where.cost < INFINITY) fits = take(&s, order[i].k, where);
        }
        if (fits) write_out(&s, out);
        for (int r = 0; r < s.routes; r++) free(s.route[r].stop);
    }
    free(order), free(s.route), free(s.left);
    return fits ? OK : trouble(TUFA_MEMORY, "rounds", NULL);
}
