/* What no plan of many trips can cost less than: a linear problem in which stops may be parted among periods and days filled
 * to the brim. Each stop is entered by some way, the shortest there is; a trip pays for itself by the hours it holds. */
#include <math.h>
#include <stdlib.h>

#include "core/base/status.h"
#include "edge/solve/grow.h"

enum { MOST_BUCKETS = 60 };

typedef struct nearest {
    double *cost, *travel_s; /* of the cheapest way into each stop */
    double home_cost, home_s;
} nearest;

static void look_around(const solve_rounds_in *in, nearest *near)
{
    size_t n = (size_t)in->n;
    near->home_cost = near->home_s = INFINITY;
    for (size_t i = 1; i < n; i++) {
        near->cost[i] = near->travel_s[i] = INFINITY;
        for (size_t j = 0; j < n; j++) {
            if (j == i) continue;
            near->cost[i] = fmin(near->cost[i], in->cost[j * n + i]);
            near->travel_s[i] = fmin(near->travel_s[i], in->travel_s[j * n + i]);
        }
        near->home_cost = fmin(near->home_cost, in->cost[i * n]);
        near->home_s = fmin(near->home_s, in->travel_s[i * n]);
    }
}

static bool add_stop(grow *g, const solve_rounds_in *in, const nearest *near, int k, int buckets)
{
    double work_s = in->stop[k].service_s + near->travel_s[k];
    for (int b = 0; b < buckets; b++) {
        double wait = INFINITY;
        int from = b * in->periods / buckets, to = (b + 1) * in->periods / buckets;
        for (int p = from; p < to; p++)
            if (in->most[p] > 0) wait = fmin(wait, in->wait[(size_t)k * (size_t)in->periods + (size_t)p]);
        if (wait == INFINITY) continue;
        int row[2] = {k - 1, in->n - 1 + b};
        if (!grow_column(g, wait + near->cost[k], 0.0, 1.0, false, 2, row, (double[]){1.0, work_s})) return false;
    }
    return true;
}

static bool add_trips(grow *g, const solve_rounds_in *in, const nearest *near, int buckets)
{
    double day_s = in->stop[0].close_s - in->stop[0].open_s - near->home_s;
    for (int b = 0; b < buckets; b++) {
        int room = 0;
        for (int p = b * in->periods / buckets; p < (b + 1) * in->periods / buckets; p++) room += in->most[p];
        int row = in->n - 1 + b;
        if (!grow_column(g, in->trip_cost + near->home_cost, 0.0, room, false, 1, &row, (double[]){-day_s})) return false;
    }
    return true;
}

tufa_status solve_rounds_bound(const solve_rounds_in *in, double seconds, double *bound)
{
    *bound = 0.0;
    if (in->n == 1) return OK;
    int buckets = in->periods < MOST_BUCKETS ? in->periods : MOST_BUCKETS, rows = in->n - 1 + buckets;
    nearest near = {.cost = malloc((size_t)in->n * sizeof(double)), .travel_s = malloc((size_t)in->n * sizeof(double))};
    double *lo = malloc((size_t)rows * sizeof *lo), *hi = malloc((size_t)rows * sizeof *hi), ignored;
    grow g = {0};
    bool fits = near.cost && near.travel_s && lo && hi;
    if (fits) {
        for (int i = 0; i < in->n - 1; i++) lo[i] = hi[i] = 1.0;
        for (int b = 0; b < buckets; b++) lo[in->n - 1 + b] = -1e12, hi[in->n - 1 + b] = 0.0;
        look_around(in, &near);
        fits = grow_begin(&g, rows, lo, hi) && add_trips(&g, in, &near, buckets);
        for (int k = 1; fits && k < in->n; k++) fits = add_stop(&g, in, &near, k, buckets);
    }
    tufa_status st = fits ? grow_solve(&g, false, seconds, bound, &ignored) : trouble(TUFA_MEMORY, "rounds", NULL);
    grow_free(&g);
    free(near.cost), free(near.travel_s), free(lo), free(hi);
    if (st.code == TUFA_SOLVE) *bound = 0.0; /* time ran out: nothing is proven */
    return st.code == TUFA_SOLVE ? OK : st;
}
