/* Trips through any number of places. Few are solved at once. Of many a quick plan is made and then made better part by part:
 * the trips of one neighbourhood are taken out and solved anew, all others staying. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/solve/grow.h"
#include "edge/solve/insert.h"
#include "edge/solve/master.h"

enum { AT_ONCE = 18, PART_STOPS = 14, PART_PERIODS = 12, MOST_IN_TRIP = 2000 };

typedef struct whole {
    const solve_rounds_in *in;
    solve_rounds_out *out;
    int *used;          /* trips of each period */
    unsigned char *in_part;
} whole;

static double wait_at(const solve_rounds_in *in, int k, int p) { return in->wait[(size_t)k * (size_t)in->periods + (size_t)p]; }

/* Stops of trip r in their order; how many. */
static int stops_of(const whole *w, int r, int *stop)
{
    int n = 0;
    for (int k = 1; k < w->in->n; k++)
        if (w->out->trip[k] == r) stop[w->out->at[k]] = k, n++;
    return n;
}

static double cost_of_trip(const solve_rounds_in *in, const int *stop, int n, int period)
{
    double c = in->trip_cost;
    int here = 0;
    for (int i = 0; i < n; i++) {
        c += in->cost[(size_t)here * (size_t)in->n + (size_t)stop[i]] + wait_at(in, stop[i], period);
        here = stop[i];
    }
    return c + in->cost[(size_t)here * (size_t)in->n];
}

/* ---- one part ---- */

typedef struct part {
    int n, stop[PART_STOPS + 1], trips, trip[PART_STOPS], periods, period[PART_PERIODS];
} part;

static int period_of(const whole *w, int r)
{
    for (int k = 1; k < w->in->n; k++)
        if (w->out->trip[k] == r) return w->out->period[k];
    return -1;
}

static double between(const whole *w, const int *a, int n, const int *b, int m)
{
    double least = INFINITY;
    for (int i = 0; i < n; i++)
        for (int j = 0; j < m; j++) least = fmin(least, w->in->travel_s[(size_t)a[i] * (size_t)w->in->n + (size_t)b[j]]);
    return least;
}

/* The trip `seed` and its nearest, by road in even passes, by day in odd ones. */
static void gather(const whole *w, int seed, int pass, part *p)
{
    int *mine = p->stop + 1, other[MOST_IN_TRIP];
    p->n = stops_of(w, seed, other);
    if (p->n > PART_STOPS) p->n = 0; /* too full a day to be solved anew */
    if (p->n == 0) return;
    memcpy(mine, other, sizeof *other * (size_t)p->n);
    p->trips = 0;
    p->trip[p->trips++] = seed;
    w->in_part[seed] = 1;
    int day = period_of(w, seed);
    for (;;) {
        int best = -1, best_n = 0;
        double nearest = INFINITY;
        for (int r = 0; r < w->out->trips; r++) {
            if (w->in_part[r]) continue;
            int n = stops_of(w, r, other);
            if (n == 0 || p->n + n > PART_STOPS) continue;
            double road = between(w, mine, p->n, other, n), days = abs(period_of(w, r) - day);
            double d = pass % 2 ? days + 1e-4 * road : road + 60.0 * days;
            if (d < nearest) nearest = d, best = r, best_n = n;
        }
        if (best < 0) return;
        best_n = stops_of(w, best, other);
        memcpy(mine + p->n, other, sizeof *other * (size_t)best_n);
        p->n += best_n;
        p->trip[p->trips++] = best;
        w->in_part[best] = 1;
    }
}

static void add_period(part *p, int period)
{
    for (int i = 0; i < p->periods; i++)
        if (p->period[i] == period) return;
    if (p->periods < PART_PERIODS) p->period[p->periods++] = period;
}

/* Days of the part's own trips, then the first ones with room. */
static void choose_periods(const whole *w, part *p)
{
    p->periods = 0;
    for (int i = 0; i < p->trips; i++) add_period(p, period_of(w, p->trip[i]));
    for (int q = 0; q < w->in->periods; q++)
        if (w->used[q] < w->in->most[q]) add_period(p, q);
}

static void take_out(whole *w, const part *p)
{
    for (int i = 0; i < p->trips; i++) w->used[period_of(w, p->trip[i])]--;
}

/* Puts the part's new trips in place of its old ones; numbers stay dense by using the old numbers first. */
static void put_back(whole *w, const part *p, const solve_rounds_out *new)
{
    int extra[PART_STOPS + 1];
    for (int r = 0; r < new->trips; r++) extra[r] = r < p->trips ? p->trip[r] : w->out->trips++;
    for (int i = 1; i <= p->n; i++) {
        int k = p->stop[i];
        w->out->period[k] = p->period[new->period[i]];
        w->out->trip[k] = extra[new->trip[i]];
        w->out->at[k] = new->at[i];
    }
}

static void count_used(whole *w)
{
    memset(w->used, 0, sizeof *w->used * (size_t)w->in->periods);
    for (int r = 0; r < w->out->trips; r++) {
        int p = period_of(w, r);
        if (p >= 0) w->used[p]++;
    }
}

/* Some stops in some periods as a problem of its own: stop[1] .. stop[n - 1] of the whole. */
typedef struct piece {
    solve_rounds_in in;
    double *cost, *travel_s, *wait;
    tufa_plan_stop *stop;
    int *most;
} piece;

static void piece_free(piece *q) { free(q->cost), free(q->travel_s), free(q->wait), free(q->stop), free(q->most); }

static tufa_status cut_out(const solve_rounds_in *of, int n, const int *stop, int periods, const int *period, piece *q)
{
    size_t m = (size_t)n, all = (size_t)of->n;
    *q = (piece){.cost = malloc(m * m * sizeof(double)), .travel_s = malloc(m * m * sizeof(double)), .wait = calloc(m * (size_t)periods, sizeof(double)),
                 .stop = malloc(m * sizeof(tufa_plan_stop)), .most = malloc((size_t)periods * sizeof(int))};
    if (!q->cost || !q->travel_s || !q->wait || !q->stop || !q->most) {
        piece_free(q);
        return trouble(TUFA_MEMORY, "rounds", NULL);
    }
    for (size_t i = 0; i < m; i++) {
        size_t a = i ? (size_t)stop[i] : 0;
        q->stop[i] = of->stop[a];
        for (size_t j = 0; j < m; j++) {
            size_t b = j ? (size_t)stop[j] : 0;
            q->cost[i * m + j] = of->cost[a * all + b];
            q->travel_s[i * m + j] = of->travel_s[a * all + b];
        }
        for (size_t p = 0; i && p < (size_t)periods; p++) q->wait[i * (size_t)periods + p] = wait_at(of, (int)a, period[p]);
    }
    for (int p = 0; p < periods; p++) q->most[p] = of->most[period[p]];
    q->in = (solve_rounds_in){.n = n, .cost = q->cost, .travel_s = q->travel_s, .stop = q->stop, .capacity = of->capacity, .trip_cost = of->trip_cost,
                              .periods = periods, .wait = q->wait, .most = q->most};
    return OK;
}

static tufa_status solve_part(const whole *w, const part *p, double seconds, solve_rounds_out *new)
{
    piece q;
    RETURN_IF(cut_out(w->in, p->n + 1, p->stop, p->periods, p->period, &q));
    for (int i = 0; i < p->periods; i++) q.most[i] -= w->used[p->period[i]];
    tufa_status st = solve_rounds(&q.in, seconds, new);
    piece_free(&q);
    return st;
}

static tufa_status better_part(whole *w, int seed, int pass, double until_s, double *won)
{
    const double most_s = 0.5, worth = 1e-6;
    part p = {0};
    *won = 0.0;
    memset(w->in_part, 0, (size_t)w->in->n);
    gather(w, seed, pass, &p);
    if (p.n == 0) return OK;
    choose_periods(w, &p);
    double before = 0.0;
    for (int i = 0; i < p.trips; i++) {
        int stop[MOST_IN_TRIP], n = stops_of(w, p.trip[i], stop);
        before += cost_of_trip(w->in, stop, n, period_of(w, p.trip[i]));
    }
    take_out(w, &p);
    int period[PART_STOPS + 1], trip[PART_STOPS + 1], at[PART_STOPS + 1];
    solve_rounds_out new = {.period = period, .trip = trip, .at = at};
    tufa_status st = solve_part(w, &p, fmin(most_s, fmax(0.01, until_s - solve_now_s())), &new);
    if (st.code == TUFA_OK && new.unplaced == 0 && new.total < before - worth) {
        put_back(w, &p, &new);
        *won = before - new.total;
    }
    count_used(w);
    return st.code == TUFA_SOLVE ? OK : st;
}

/* ---- all of it ---- */

/* Numbers without gaps: trips that lost all their stops go. */
static void close_ranks(whole *w)
{
    int left = 0;
    for (int r = 0; r < w->out->trips; r++) {
        if (period_of(w, r) < 0) continue;
        for (int k = 1; r != left && k < w->in->n; k++)
            if (w->out->trip[k] == r) w->out->trip[k] = left;
        left++;
    }
    w->out->trips = left;
}

static void sum_up(whole *w)
{
    int stop[MOST_IN_TRIP];
    w->out->total = 0.0;
    for (int r = 0; r < w->out->trips; r++) {
        int n = stops_of(w, r, stop);
        w->out->total += cost_of_trip(w->in, stop, n, period_of(w, r));
    }
}

static tufa_status improve(whole *w, double until_s, const solve_watch *watch)
{
    for (int pass = 0;; pass++) {
        double won = 0.0;
        for (int r = 0; r < w->out->trips; r++) {
            double one;
            if (watch && watch->cancelled && watch->cancelled(watch->ctx)) return trouble(TUFA_REFUSED, "rounds", "stopped before their end");
            if (solve_now_s() >= until_s) return OK;
            RETURN_IF(better_part(w, r, pass, until_s, &one));
            won += one;
        }
        close_ranks(w);
        count_used(w);
        if (won == 0.0 && pass > 0) return OK;
    }
}

/* All stops that have a trip, as one linear problem: what nothing can cost less than, and the better plans that its trips give. */
static tufa_status by_prices(const solve_rounds_in *in, double seconds, const solve_watch *watch, solve_rounds_out *out)
{
    const double choose_share = 0.1, dive_share = 0.2, prove_share = 0.3, near = 0.02, quick_share = 0.2;
    master m;
    double quick;
    RETURN_IF(master_begin(&m, in, out));
    tufa_status st = solve_rounds_bound(in, NULL, quick_share * seconds, &quick, m.centre);
    if (st.code == TUFA_OK) st = master_run(&m, solve_now_s() + seconds, watch);
    if (st.code == TUFA_OK) st = master_choose(&m, solve_now_s() + choose_share * seconds, out);
    if (st.code == TUFA_OK && out->total - m.bound < near * out->total) st = master_prove(&m, solve_now_s() + prove_share * seconds, out);
    if (st.code == TUFA_OK && m.bound < out->total) st = master_dive(&m, solve_now_s() + dive_share * seconds, out);
    out->bound = fmin(out->total, fmax(quick, m.bound));
    master_free(&m);
    return st;
}

/* The same where some stops have found no room: without them. */
static tufa_status by_prices_of_placed(const solve_rounds_in *in, double seconds, const solve_watch *watch, solve_rounds_out *out)
{
    if (out->unplaced == 0) return by_prices(in, seconds, watch, out);
    size_t n = (size_t)in->n;
    int *stop = malloc(4 * n * sizeof *stop), *period = malloc((size_t)in->periods * sizeof *period), m = 1;
    piece q = {0};
    tufa_status st = stop && period ? OK : trouble(TUFA_MEMORY, "rounds", NULL);
    for (int p = 0; st.code == TUFA_OK && p < in->periods; p++) period[p] = p;
    solve_rounds_out few = {.period = stop + n, .trip = stop + 2 * n, .at = stop + 3 * n, .trips = out->trips, .total = out->total};
    for (int k = 1; st.code == TUFA_OK && k < in->n; k++) {
        if (out->trip[k] < 0) continue;
        few.period[m] = out->period[k], few.trip[m] = out->trip[k], few.at[m] = out->at[k];
        stop[m++] = k;
    }
    if (st.code == TUFA_OK) st = cut_out(in, m, stop, in->periods, period, &q);
    if (st.code == TUFA_OK) st = by_prices(&q.in, seconds, watch, &few);
    for (int i = 1; st.code == TUFA_OK && i < m; i++)
        out->period[stop[i]] = few.period[i], out->trip[stop[i]] = few.trip[i], out->at[stop[i]] = few.at[i];
    out->trips = few.trips, out->total = few.total, out->bound = few.bound;
    piece_free(&q);
    free(stop), free(period);
    return st;
}

static tufa_status make_better(whole *w, double until_s, const solve_watch *watch)
{
    count_used(w);
    RETURN_IF(improve(w, until_s, watch));
    close_ranks(w);
    sum_up(w);
    return OK;
}

static tufa_status solve_many(const solve_rounds_in *in, double seconds, const solve_watch *watch, solve_rounds_out *out)
{
    const double first_share = 0.4, last_share = 0.2;
    RETURN_IF(insert_rounds(in, out));
    whole w = {.in = in, .out = out, .used = calloc((size_t)in->periods, sizeof *w.used), .in_part = calloc((size_t)in->n, 1)};
    tufa_status st = w.used && w.in_part ? OK : trouble(TUFA_MEMORY, "rounds", NULL);
    if (st.code == TUFA_OK) st = make_better(&w, solve_now_s() + first_share * seconds, watch);
    if (st.code == TUFA_OK && out->trips) st = by_prices_of_placed(in, seconds, watch, out);
    double bound = out->bound;
    if (st.code == TUFA_OK && bound < out->total) st = make_better(&w, solve_now_s() + last_share * seconds, watch);
    out->bound = fmin(out->total, bound);
    free(w.used), free(w.in_part);
    return st;
}

tufa_status solve_plan(const solve_rounds_in *in, double seconds, const solve_watch *watch, solve_rounds_out *out)
{
    out->trips = out->unplaced = 0;
    out->total = out->bound = 0.0;
    if (in->n == 1) return OK;
    return in->n <= AT_ONCE + 1 ? solve_rounds(in, seconds, out) : solve_many(in, seconds, watch, out);
}
