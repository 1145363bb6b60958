/* What no plan of many trips can cost less than: a linear problem in which stops may be parted among periods. Of a trip's ways
 * one leaves home and one comes back; every further stop is entered from another stop, by the shortest way there is from one.
 * How many trips the hours ask for: dual feasible functions of the hours (Fekete and Schepers 2001), which see that two long
 * stops do not fit into one day. */
#include <math.h>
#include <stdlib.h>

#include "core/base/status.h"
#include "edge/solve/grow.h"

enum { MOST_BUCKETS = 40, SHAPES = 6 };
static const double SHARE[SHAPES] = {0.0, 0.1, 0.2, 0.3, 0.4, 0.5}; /* of the day: shorter stops count nothing, those that fill the rest count all */

typedef struct nearest {
    double *cost, *travel_s;                     /* of the cheapest way into each stop from another one */
    double round_cost, round_s;                  /* least out and back, less the dearest of those */
    const int *trip;                             /* stops with -1 are left out; NULL: none is */
} nearest;

static bool counts(const nearest *near, int k) { return !near->trip || near->trip[k] >= 0; }

static void look_around(const solve_rounds_in *in, nearest *near)
{
    int n = in->n;
    double out = INFINITY, back = INFINITY, out_s = INFINITY, back_s = INFINITY, most = 0.0, most_s = 0.0;
    for (int i = 1; i < n; i++) {
        near->cost[i] = near->travel_s[i] = 0.0;
        if (!counts(near, i)) continue;
        double c = INFINITY, s = INFINITY;
        for (int j = 1; j < n; j++) {
            if (j == i || !counts(near, j)) continue;
            c = fmin(c, in->cost[(size_t)j * (size_t)n + (size_t)i]);
            s = fmin(s, in->travel_s[(size_t)j * (size_t)n + (size_t)i]);
        }
        near->cost[i] = c == INFINITY ? 0.0 : c;
        near->travel_s[i] = s == INFINITY ? 0.0 : s;
        most = fmax(most, near->cost[i]);
        most_s = fmax(most_s, near->travel_s[i]);
        out = fmin(out, in->cost[i]), out_s = fmin(out_s, in->travel_s[i]);
        back = fmin(back, in->cost[(size_t)i * (size_t)n]), back_s = fmin(back_s, in->travel_s[(size_t)i * (size_t)n]);
    }
    near->round_cost = out + back - most;
    near->round_s = out_s + back_s - most_s;
}

/* Added over the stops of one trip never more than 1, for `share` up to 1/2. */
static double shape(double part, double share)
{
    if (part > 1.0 - share) return 1.0;
    return part < share ? 0.0 : part;
}

static int row_of(const solve_rounds_in *in, int bucket, int s) { return in->n - 1 + bucket * SHAPES + s; }

static bool add_stop(grow *g, const solve_rounds_in *in, const nearest *near, int k, int buckets)
{
    double day_s = in->stop[0].close_s - in->stop[0].open_s - near->round_s;
    double part = fmin(1.0, (in->stop[k].service_s + near->travel_s[k]) / day_s);
    for (int b = 0; b < buckets; b++) {
        double wait = INFINITY, entry[1 + SHAPES] = {1.0};
        int from = b * in->periods / buckets, to = (b + 1) * in->periods / buckets, row[1 + SHAPES] = {k - 1};
        for (int p = from; p < to; p++)
            if (in->most[p] > 0) wait = fmin(wait, in->wait[(size_t)k * (size_t)in->periods + (size_t)p]);
        if (wait == INFINITY) continue;
        for (int s = 0; s < SHAPES; s++) row[1 + s] = row_of(in, b, s), entry[1 + s] = shape(part, SHARE[s]);
        if (!grow_column(g, wait + near->cost[k], 0.0, 1.0, false, 1 + SHAPES, row, entry)) return false;
    }
    return true;
}

static bool add_trips(grow *g, const solve_rounds_in *in, const nearest *near, int buckets)
{
    for (int b = 0; b < buckets; b++) {
        int room = 0, row[SHAPES];
        double entry[SHAPES];
        for (int p = b * in->periods / buckets; p < (b + 1) * in->periods / buckets; p++) room += in->most[p];
        for (int s = 0; s < SHAPES; s++) row[s] = row_of(in, b, s), entry[s] = -1.0;
        if (!grow_column(g, in->trip_cost + near->round_cost, 0.0, room, false, SHAPES, row, entry)) return false;
    }
    return true;
}

/* Rows: every stop once; the hours of every period in each shape. */
static bool pose(grow *g, const solve_rounds_in *in, const nearest *near, int buckets)
{
    int rows = in->n - 1 + buckets * SHAPES;
    double *lo = malloc((size_t)rows * sizeof *lo), *hi = malloc((size_t)rows * sizeof *hi);
    bool fits = lo && hi;
    for (int i = 0; fits && i < rows; i++) {
        bool stop = i < in->n - 1;
        lo[i] = stop ? counts(near, i + 1) : -1e12;
        hi[i] = stop ? counts(near, i + 1) : 0.0;
    }
    fits = fits && grow_begin(g, rows, lo, hi) && add_trips(g, in, near, buckets);
    for (int k = 1; fits && k < in->n; k++)
        if (counts(near, k)) fits = add_stop(g, in, near, k, buckets);
    free(lo), free(hi);
    return fits;
}

tufa_status solve_rounds_bound(const solve_rounds_in *in, const int *trip, double seconds, double *bound, double *price)
{
    *bound = 0.0;
    int stops = 0, buckets = in->periods < MOST_BUCKETS ? in->periods : MOST_BUCKETS;
    for (int k = 1; k < in->n; k++) stops += !trip || trip[k] >= 0;
    if (stops == 0) return OK;
    nearest near = {.trip = trip, .cost = malloc((size_t)in->n * sizeof(double)), .travel_s = malloc((size_t)in->n * sizeof(double))};
    double ignored;
    grow g = {0};
    bool fits = near.cost && near.travel_s;
    if (fits) {
        look_around(in, &near);
        fits = pose(&g, in, &near, buckets);
    }
    tufa_status st = fits ? grow_solve(&g, false, seconds, bound, &ignored) : trouble(TUFA_MEMORY, "rounds", NULL);
    for (int k = 1; price && st.code == TUFA_OK && k < in->n; k++) price[k] = g.price[k - 1];
    grow_free(&g);
    free(near.cost), free(near.travel_s);
    if (st.code == TUFA_SOLVE) *bound = 0.0; /* time ran out: nothing is proven */
    return st.code == TUFA_SOLVE ? OK : st;
}
