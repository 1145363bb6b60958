#include "edge/solve/master.h"

#include <coin/Clp_C_Interface.h>
#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/solve/grow.h"

enum { TRIPS_A_PERIOD = 4, COLUMNS_A_TURN = 400 };
static const double PAYS = -1e-6, NEAR_CENTRE = 0.8, LESS = 0.1, MORE = 0.35, CLOSED = 1e-7;

static int stops_of(const master *m) { return m->in->n - 1; }
static tufa_status no_memory(void) { return trouble(TUFA_MEMORY, "rounds", NULL); }

/* ---- begin and end ---- */

void master_free(master *m)
{
    if (m->lp) Clp_deleteModel(m->lp);
    reach_free(&m->reach), trips_free(&m->trips), trips_hunt_free(&m->hunt);
    free(m->trip), free(m->period), free(m->worth), free(m->price), free(m->day), free(m->centre), free(m->gain), free(m->try_gain);
    free(m->wait), free(m->costlier);
    *m = (master){0};
}

static double dearest_plan(const solve_rounds_in *in)
{
    size_t n = (size_t)in->n, periods = (size_t)in->periods;
    double sum = 1.0;
    for (size_t k = 0; k < n; k++) {
        double way = 0.0, wait = 0.0;
        for (size_t j = 0; j < n; j++) way = fmax(way, in->cost[k * n + j]);
        for (size_t p = 0; k && p < periods; p++)
            if (in->wait[k * periods + p] != INFINITY) wait = fmax(wait, in->wait[k * periods + p]);
        sum += 2.0 * way + wait + in->trip_cost;
    }
    return sum;
}

static bool is_costlier(const solve_rounds_in *in, int p)
{
    if (p == 0) return false;
    for (int k = 1; k < in->n; k++) {
        const double *wait = in->wait + (size_t)k * (size_t)in->periods + p;
        if (!(wait[0] >= wait[-1])) return false;
    }
    return true;
}

static bool set_up(master *m)
{
    size_t n = (size_t)m->in->n, periods = (size_t)m->in->periods;
    m->worth = calloc(n, sizeof(double)), m->price = calloc(n, sizeof(double)), m->centre = calloc(n, sizeof(double));
    m->day = calloc(periods, sizeof(double)), m->gain = calloc(periods, sizeof(double)), m->try_gain = calloc(periods, sizeof(double));
    m->wait = calloc(periods, sizeof(double)), m->costlier = calloc(periods, sizeof(bool));
    m->lp = Clp_newModel();
    if (!m->worth || !m->price || !m->centre || !m->day || !m->gain || !m->try_gain || !m->wait || !m->costlier || !m->lp) return false;
    for (int p = 0; p < m->in->periods; p++) m->costlier[p] = is_costlier(m->in, p);
    return reach_begin(&m->reach, m->in) && trips_begin(&m->trips, m->in);
}

/* Every stop at least once, no more trips than a period has room for. */
static bool add_rows(master *m)
{
    int stops = stops_of(m), rows = stops + m->in->periods, none = 0;
    double *lo = malloc((size_t)rows * sizeof *lo), *hi = malloc((size_t)rows * sizeof *hi);
    for (int i = 0; lo && hi && i < rows; i++) {
        lo[i] = i < stops ? 1.0 : 0.0;
        hi[i] = i < stops ? DBL_MAX : m->in->most[i - stops];
    }
    bool fits = lo && hi;
    Clp_setLogLevel(m->lp, 0);
    if (fits) Clp_loadProblem(m->lp, 0, rows, &none, NULL, NULL, NULL, NULL, NULL, lo, hi);
    free(lo), free(hi);
    return fits;
}

static bool note_column(master *m, int trip, int period)
{
    if (m->columns == m->room) {
        size_t room = m->room ? 2 * (size_t)m->room : 1024;
        int *t = realloc(m->trip, room * sizeof *t);
        if (t) m->trip = t;
        int *p = realloc(m->period, room * sizeof *p);
        if (p) m->period = p;
        if (!t || !p) return false;
        m->room = (int)room;
    }
    m->trip[m->columns] = trip;
    m->period[m->columns++] = period;
    return true;
}

static int rows_of(const master *m, int trip, int period, int *row)
{
    int n = 0;
    if (trip < 0) {
        row[n++] = period - 1;
        return n;
    }
    for (int i = m->trips.start[trip]; i < m->trips.start[trip + 1]; i++) row[n++] = m->trips.stop[i] - 1;
    row[n++] = stops_of(m) + period;
    return n;
}

static double cost_of(const master *m, int j) { return m->trip[j] < 0 ? m->left_out : trips_cost(&m->trips, m->trip[j], m->period[j]); }

/* Columns `from` to the last go into the linear problem. */
static bool load_columns(master *m, int from)
{
    int n = m->columns - from, entries = 0;
    for (int j = from; j < m->columns; j++) entries += m->trip[j] < 0 ? 1 : m->trips.start[m->trip[j] + 1] - m->trips.start[m->trip[j]] + 1;
    size_t c = (size_t)n + 1, e = (size_t)entries + 1;
    double *lo = calloc(c, sizeof *lo), *hi = malloc(c * sizeof *hi), *cost = malloc(c * sizeof *cost), *one = malloc(e * sizeof *one);
    int *start = malloc(c * sizeof *start), *row = malloc(e * sizeof *row), at = 0;
    bool fits = lo && hi && cost && one && start && row;
    for (int i = 0; fits && i < n; i++) {
        start[i] = at;
        hi[i] = DBL_MAX;
        cost[i] = cost_of(m, from + i);
        at += rows_of(m, m->trip[from + i], m->period[from + i], row + at);
    }
    for (int i = 0; fits && i < at; i++) one[i] = 1.0;
    if (fits) {
        start[n] = at;
        Clp_addColumns(m->lp, n, lo, hi, cost, start, row, one);
    }
    free(lo), free(hi), free(cost), free(one), free(start), free(row);
    return fits;
}

/* A first guess at what stops are worth: the cost of their trip by the time they take. */
static void guess_prices(master *m, const solve_rounds_out *plan, const int *trip)
{
    const solve_rounds_in *in = m->in;
    for (int r = 0; r < plan->trips; r++) {
        double time_s = 0.0, cost = 0.0;
        for (int k = 1; k < in->n; k++)
            if (plan->trip[k] == r) time_s += in->stop[k].service_s + 1.0, cost = trips_cost(&m->trips, trip[r], plan->period[k]);
        for (int k = 1; k < in->n; k++)
            if (plan->trip[k] == r) m->centre[k] = cost * (in->stop[k].service_s + 1.0) / time_s;
    }
}

/* Trips to one stop and to two near ones keep prices from running high before better ones are known. */
static bool add_short_trips(master *m)
{
    enum { NEAR = 8 };
    const solve_rounds_in *in = m->in;
    size_t n = (size_t)in->n;
    for (int k = 1; k < in->n; k++) {
        int near[NEAR], nears = 0;
        for (int j = 1; j < in->n; j++) {
            if (j == k) continue;
            int at = nears < NEAR ? nears++ : NEAR;
            for (; at > 0 && in->cost[(size_t)k * n + (size_t)j] < in->cost[(size_t)k * n + (size_t)near[at - 1]]; at--)
                if (at < NEAR) near[at] = near[at - 1];
            if (at < NEAR) near[at] = j;
        }
        if (trip_keeps(in, 1, &k) && trips_add(&m->trips, 1, &k) < 0) return false;
        for (int i = 0; i < nears; i++) {
            int two[2] = {k, near[i]};
            if (trip_keeps(in, 2, two) && trips_add(&m->trips, 2, two) < 0) return false;
        }
    }
    return true;
}

static bool begin_with(master *m, const solve_rounds_out *plan)
{
    int *trip = malloc(((size_t)plan->trips + 1) * sizeof *trip);
    bool fits = trip && add_rows(m) && trips_add_plan(&m->trips, plan, trip) && add_short_trips(m);
    for (int k = 1; fits && k < m->in->n; k++) fits = note_column(m, -1, k);
    for (int r = 0; fits && r < plan->trips; r++)
        for (int k = 1; fits && k < m->in->n; k++)
            if (plan->trip[k] == r && plan->at[k] == 0) fits = note_column(m, trip[r], plan->period[k]);
    if (fits) guess_prices(m, plan, trip);
    free(trip);
    return fits && load_columns(m, 0);
}

tufa_status master_begin(master *m, const solve_rounds_in *in, const solve_rounds_out *plan)
{
    *m = (master){.in = in, .left_out = dearest_plan(in), .bound = -INFINITY, .total = INFINITY};
    if (set_up(m) && begin_with(m, plan)) return OK;
    master_free(m);
    return no_memory();
}

/* ---- the linear problem ---- */

static tufa_status solve_lp(master *m, double until_s)
{
    Clp_setMaximumSeconds(m->lp, fmax(0.05, until_s - solve_now_s()));
    Clp_primal(m->lp, 1);
    if (Clp_status(m->lp) != 0) return trouble(TUFA_SOLVE, "rounds", "time ran out");
    const double *row = Clp_dualRowSolution(m->lp);
    m->total = Clp_getObjValue(m->lp);
    for (int k = 1; k < m->in->n; k++) m->price[k] = row[k - 1];
    for (int p = 0; p < m->in->periods; p++) m->day[p] = row[stops_of(m) + p];
    return OK;
}

typedef struct offer {
    double pays;
    int trip, period;
} offer;

static int by_pay(const void *a, const void *b)
{
    const offer *x = a, *y = b;
    if (x->pays != y->pays) return x->pays < y->pays ? -1 : 1;
    return x->trip != y->trip ? x->trip - y->trip : x->period - y->period;
}

/* A trip in the period where it pays most at the prices of the linear problem. */
static offer best_offer(master *m, int trip)
{
    const trips *t = &m->trips;
    size_t periods = (size_t)m->in->periods;
    double base = t->way[trip];
    offer best = {.trip = trip, .pays = 0.0};
    for (size_t p = 0; p < periods; p++) m->wait[p] = m->in->most[p] > 0 ? -m->day[p] : INFINITY;
    for (int i = t->start[trip]; i < t->start[trip + 1]; i++) {
        const double *wait = m->in->wait + (size_t)t->stop[i] * periods;
        base -= m->price[t->stop[i]];
        for (size_t p = 0; p < periods; p++) m->wait[p] += wait[p];
    }
    for (size_t p = 0; p < periods; p++)
        if (base + m->wait[p] < best.pays) best.pays = base + m->wait[p], best.period = (int)p;
    return best;
}

/* Of the trips found so far, those that pay become columns. */
static tufa_status add_paying(master *m, int *added)
{
    int before = m->columns, n = 0;
    offer *o = malloc(((size_t)m->trips.n + 1) * sizeof *o);
    if (!o) return no_memory();
    for (int t = 0; t < m->trips.n; t++) {
        o[n] = best_offer(m, t);
        if (o[n].pays < PAYS) n++;
    }
    qsort(o, (size_t)n, sizeof *o, by_pay);
    bool fits = true;
    for (int i = 0; fits && i < n && i < COLUMNS_A_TURN; i++) fits = note_column(m, o[i].trip, o[i].period);
    free(o);
    *added = m->columns - before;
    if (fits && *added) fits = load_columns(m, before);
    return fits ? OK : no_memory();
}

/* Solved with the trips that are known; *grew tells whether one of them was of use. */
static tufa_status solve_known(master *m, double until_s, bool *grew)
{
    enum { TURNS = 12 };
    *grew = false;
    for (int turn = 0; turn < TURNS; turn++) {
        int added;
        RETURN_IF(solve_lp(m, until_s));
        RETURN_IF(add_paying(m, &added));
        if (added == 0) return OK;
        *grew = true;
    }
    return solve_lp(m, until_s);
}

/* ---- new trips ---- */

static bool worth_in(master *m, const double *price, int p)
{
    bool any = false;
    for (int k = 1; k < m->in->n; k++) {
        double wait = m->in->wait[(size_t)k * (size_t)m->in->periods + (size_t)p];
        m->worth[k] = wait == INFINITY ? -INFINITY : price[k] - wait;
        any = any || m->worth[k] > 0.0;
    }
    return any;
}

/* Trips that gain at these prices in every `stride`th period. Between them the period before stands for those that are nowhere
 * cheaper. What all prices are worth less what trips can gain is the bound. */
static tufa_status hunt_all(master *m, const double *price, int stride, int steps, double until_s, double *bound)
{
    double sum = 0.0, gain = 0.0;
    int since = 0;
    for (int k = 1; k < m->in->n; k++) sum += price[k];
    for (int p = 0; p < m->in->periods; p++, since++) {
        bool stands = p > 0 && m->costlier[p] && (since % stride != 0 || gain <= 0.0);
        if (!stands) {
            if (p == 0 || !m->costlier[p]) since = 0;
            gain = 0.0;
            if (m->in->most[p] > 0 && worth_in(m, price, p)) {
                reach_fill(&m->reach, m->worth);
                m->hunt = (trip_hunt){.reach = &m->reach, .found = &m->trips, .worth = m->worth, .most = TRIPS_A_PERIOD, .steps = steps,
                                      .until_s = until_s, .way = m->hunt.way,   .heap = m->hunt.heap, .like = m->hunt.like, .room = m->hunt.room};
                trips_hunt(&m->hunt);
                if (m->hunt.failed) return no_memory();
                gain = m->hunt.limit;
            }
        }
        m->try_gain[p] = gain;
        sum -= m->in->most[p] * gain;
        if (solve_now_s() > until_s) return trouble(TUFA_SOLVE, "rounds", "time ran out");
    }
    *bound = m->reach.sure ? sum : -INFINITY;
    return OK;
}

tufa_status master_run(master *m, double until_s, const solve_watch *watch)
{
    enum { SAMPLES = 4, STEPS = 400, MORE_STEPS = 3000, PATIENCE = 5 };
    int stride = m->in->periods / SAMPLES > 1 ? m->in->periods / SAMPLES : 1, steps = STEPS, idle = 0;
    const double thorough_share = 0.75;
    double begin_s = solve_now_s(), thorough_s = begin_s + thorough_share * (until_s - begin_s);
    double near = NEAR_CENTRE, *mix = malloc((size_t)m->in->n * sizeof *mix);
    tufa_status st = mix ? OK : no_memory();
    for (bool first = true; st.code == TUFA_OK; first = false) {
        bool grew;
        double bound, before = m->bound;
        if (watch && watch->cancelled && watch->cancelled(watch->ctx)) st = trouble(TUFA_REFUSED, "rounds", "stopped before their end");
        else st = solve_known(m, until_s, &grew);
        if (st.code != TUFA_OK || m->total - m->bound <= CLOSED * fabs(m->total)) break;
        if (!first && !grew) {
            if (near > 0.05) near *= 0.5;
            else if (stride > 1) stride = (stride + 1) / 2, near = NEAR_CENTRE;
            else if (steps >= MORE_STEPS) break;
        }
        if (solve_now_s() > thorough_s) stride = 1, steps = MORE_STEPS; /* what is left of the time goes into the bound */
        else if (stride == 1 && steps < MORE_STEPS) steps *= 2;
        for (int k = 1; k < m->in->n; k++) mix[k] = first ? m->centre[k] : near * m->centre[k] + (1.0 - near) * m->price[k];
        st = hunt_all(m, mix, stride, steps, until_s, &bound);
        if (st.code != TUFA_OK) break;
        near = bound > m->bound ? fmax(0.3, near - LESS) : near + MORE * (1.0 - near);
        if (bound > m->bound) {
            m->bound = bound;
            memcpy(m->centre, mix, (size_t)m->in->n * sizeof *mix);
            memcpy(m->gain, m->try_gain, (size_t)m->in->periods * sizeof *m->gain);
        }
        idle = m->bound - before < 0.05 * (m->total - m->bound) ? idle + 1 : 0;
        if (idle > PATIENCE && stride > 1) stride = (stride + 1) / 2, idle = 0;
    }
    free(mix);
    return st.code == TUFA_SOLVE ? OK : st;
}

/* ---- whole trips ---- */

typedef struct choice {
    int n, *trip, *period;
} choice;

static void choice_free(choice *c) { free(c->trip), free(c->period); }

static bool choice_begin(choice *c, int room)
{
    size_t n = (size_t)room + 1;
    *c = (choice){.trip = malloc(n * sizeof(int)), .period = malloc(n * sizeof(int))};
    return c->trip && c->period;
}

/* Rows as in the linear problem, but every stop just once. */
static bool pose(const master *m, const choice *c, grow *g)
{
    int stops = stops_of(m), rows = stops + m->in->periods, *row = malloc(((size_t)rows + 1) * sizeof *row);
    double *lo = malloc((size_t)rows * sizeof *lo), *hi = malloc((size_t)rows * sizeof *hi), *one = malloc(((size_t)rows + 1) * sizeof *one);
    bool fits = row && lo && hi && one;
    for (int i = 0; fits && i < rows; i++) {
        lo[i] = i < stops ? 1.0 : 0.0, hi[i] = i < stops ? 1.0 : m->in->most[i - stops];
        one[i] = 1.0;
    }
    fits = fits && grow_begin(g, rows, lo, hi);
    for (int k = 1; fits && k <= stops; k++) fits = grow_column(g, m->left_out, 0.0, 1.0, true, rows_of(m, -1, k, row), row, one);
    for (int j = 0; fits && j < c->n; j++)
        fits = grow_column(g, trips_cost(&m->trips, c->trip[j], c->period[j]), 0.0, 1.0, true, rows_of(m, c->trip[j], c->period[j], row), row, one);
    free(row), free(lo), free(hi), free(one);
    return fits;
}

static void write_plan(const master *m, const choice *c, const grow *g, double total, solve_rounds_out *out)
{
    int stops = stops_of(m);
    out->trips = out->unplaced = 0;
    for (int k = 1; k <= stops; k++)
        if (g->x[k - 1] > 0.5) out->period[k] = out->trip[k] = out->at[k] = -1, out->unplaced++;
    for (int j = 0; j < c->n; j++) {
        if (g->x[stops + j] < 0.5) continue;
        int from = m->trips.start[c->trip[j]], to = m->trips.start[c->trip[j] + 1];
        for (int i = from; i < to; i++) {
            int k = m->trips.stop[i];
            out->period[k] = c->period[j], out->trip[k] = out->trips, out->at[k] = i - from;
        }
        out->trips++;
    }
    out->total = total - out->unplaced * m->left_out;
}

static double upper(const master *m, const solve_rounds_out *out) { return out->total + out->unplaced * m->left_out; }

/* The best of these trips, where it is better than `out`; *bound: what no plan of them can cost less than. */
static tufa_status choose_among(const master *m, const choice *c, double seconds, solve_rounds_out *out, double *bound)
{
    grow g = {0};
    double total;
    *bound = -INFINITY;
    tufa_status st = pose(m, c, &g) ? grow_solve(&g, true, seconds, &total, bound) : no_memory();
    if (st.code == TUFA_OK && total < upper(m, out) - CLOSED) write_plan(m, c, &g, total, out);
    grow_free(&g);
    return st.code == TUFA_SOLVE || st.code == TUFA_REFUSED ? OK : st; /* no time, or no plan of them alone: the one there is stays */
}

/* A column that is dearer than the gap at the prices of the linear problem is in no better plan of these trips. */
tufa_status master_choose(master *m, double until_s, solve_rounds_out *out)
{
    enum { MOST_COLUMNS = 4000 };
    static const double LEAST_S = 0.05;
    choice c;
    double ignored, gap = upper(m, out) - m->total;
    offer *o = malloc(((size_t)m->columns + 1) * sizeof *o);
    int n = 0;
    bool fits = choice_begin(&c, MOST_COLUMNS) && o;
    for (int j = 0; fits && j < m->columns; j++) {
        if (m->trip[j] < 0) continue;
        double pays = cost_of(m, j) - m->day[m->period[j]];
        for (int i = m->trips.start[m->trip[j]]; i < m->trips.start[m->trip[j] + 1]; i++) pays -= m->price[m->trips.stop[i]];
        if (pays <= gap - PAYS) o[n++] = (offer){pays, m->trip[j], m->period[j]};
    }
    if (fits) qsort(o, (size_t)n, sizeof *o, by_pay);
    for (; fits && c.n < n && c.n < MOST_COLUMNS; c.n++) c.trip[c.n] = o[c.n].trip, c.period[c.n] = o[c.n].period;
    free(o);
    tufa_status st = fits ? choose_among(m, &c, fmax(LEAST_S, until_s - solve_now_s()), out, &ignored) : no_memory();
    choice_free(&c);
    return st;
}

/* ---- a dive: one trip after another is settled on, and the rest solved anew ---- */

/* A column is settled on when it may not be less than one. */
static bool is_settled(const master *m, int j) { return Clp_columnLower(m->lp)[j] > 0.5; }

static int most_wanted(const master *m)
{
    static const double NOTHING = 1e-6;
    const double *x = Clp_primalColumnSolution(m->lp);
    int best = -1;
    for (int j = 0; j < m->columns; j++)
        if (m->trip[j] >= 0 && !is_settled(m, j) && x[j] > NOTHING && (best < 0 || x[j] > x[best])) best = j;
    return best;
}

/* Takes a settled trip into the plan, without the stops that are in it already; false where that breaks its times. */
static bool write_trip(master *m, int trip, int period, int *stop, solve_rounds_out *out)
{
    int n = 0;
    for (int i = m->trips.start[trip]; i < m->trips.start[trip + 1]; i++)
        if (out->trip[m->trips.stop[i]] < 0) stop[n++] = m->trips.stop[i];
    if (n == 0) return true;
    int t = trip_keeps(m->in, n, stop) ? trips_add(&m->trips, n, stop) : -1;
    if (t < 0) return false;
    for (int i = 0; i < n; i++) out->period[stop[i]] = period, out->trip[stop[i]] = out->trips, out->at[stop[i]] = i;
    out->trips++;
    out->total += trips_cost(&m->trips, t, period);
    return true;
}

static bool write_settled(master *m, int *stop, solve_rounds_out *out)
{
    for (int k = 1; k < m->in->n; k++) out->period[k] = out->trip[k] = out->at[k] = -1;
    bool keeps = true;
    for (int j = 0; keeps && j < m->columns; j++)
        if (is_settled(m, j)) keeps = write_trip(m, m->trip[j], m->period[j], stop, out);
    for (int k = 1; k < m->in->n; k++) out->unplaced += out->trip[k] < 0;
    return keeps;
}

static tufa_status take_settled(master *m, solve_rounds_out *out)
{
    size_t n = (size_t)m->in->n;
    int *place = malloc(4 * n * sizeof *place);
    if (!place) return no_memory();
    solve_rounds_out new = {.period = place, .trip = place + n, .at = place + 2 * n};
    if (write_settled(m, place + 3 * n, &new) && upper(m, &new) < upper(m, out) - CLOSED) {
        memcpy(out->period, new.period, n * sizeof(int)), memcpy(out->trip, new.trip, n * sizeof(int)), memcpy(out->at, new.at, n * sizeof(int));
        out->trips = new.trips, out->unplaced = new.unplaced, out->total = new.total;
    }
    free(place);
    return OK;
}

/* Trips for what is left, as long as they are of use. */
static tufa_status fill_up(master *m, double until_s)
{
    enum { SAMPLES = 4, STEPS = 200, TURNS = 3 };
    double ignored;
    bool grew;
    RETURN_IF(solve_known(m, until_s, &grew));
    for (int turn = 0; turn < TURNS; turn++) {
        int before = m->trips.n;
        RETURN_IF(hunt_all(m, m->price, m->in->periods / SAMPLES + 1, STEPS, until_s, &ignored));
        if (m->trips.n == before) return OK;
        RETURN_IF(solve_known(m, until_s, &grew));
        if (!grew) return OK;
    }
    return OK;
}

tufa_status master_dive(master *m, double until_s, solve_rounds_out *out)
{
    tufa_status st = solve_lp(m, until_s);
    for (int j; st.code == TUFA_OK && (j = most_wanted(m)) >= 0;) {
        Clp_columnLower(m->lp)[j] = 1.0;
        st = fill_up(m, until_s);
    }
    if (st.code == TUFA_OK) st = take_settled(m, out);
    for (int j = 0; j < m->columns; j++)
        if (is_settled(m, j)) Clp_columnLower(m->lp)[j] = 0.0;
    return st.code == TUFA_SOLVE ? OK : st;
}

/* ---- proof ---- */

/* What a trip gains in a period at the prices of the best bound; -INFINITY: it may not be made then. */
static double gain_of(const master *m, int trip, int period)
{
    double gain = -trips_cost(&m->trips, trip, period);
    for (int i = m->trips.start[trip]; i < m->trips.start[trip + 1]; i++) gain += m->centre[m->trips.stop[i]];
    return gain;
}

/* A trip is in no better plan if what it gains less than the best of its period already closes the gap. */
static tufa_status list_all(master *m, double gap, double until_s, bool *all)
{
    enum { MOST_TRIPS = 20000, STEPS = 400000 };
    *all = true;
    for (int p = 0; *all && p < m->in->periods; p++) {
        if (m->in->most[p] <= 0 || !worth_in(m, m->centre, p)) continue;
        reach_fill(&m->reach, m->worth);
        m->hunt = (trip_hunt){.reach = &m->reach, .found = &m->trips, .worth = m->worth, .more_than = m->gain[p] - gap, .most = MOST_TRIPS, .steps = STEPS,
                              .until_s = until_s, .way = m->hunt.way, .heap = m->hunt.heap, .like = m->hunt.like, .room = m->hunt.room};
        trips_hunt(&m->hunt);
        if (m->hunt.failed) return no_memory();
        *all = m->hunt.ended && m->hunt.got < MOST_TRIPS;
    }
    return OK;
}

tufa_status master_prove(master *m, double until_s, solve_rounds_out *out)
{
    enum { MOST_COLUMNS = 30000 };
    static const double LEAST_S = 0.05, SLACK = 1e-6;
    double gap = upper(m, out) - m->bound + SLACK, bound;
    bool all;
    choice c;
    if (gap <= 2.0 * SLACK || !(m->bound > -INFINITY)) return OK;
    RETURN_IF(list_all(m, gap, until_s, &all));
    if (!all) return OK;
    if (!choice_begin(&c, MOST_COLUMNS)) {
        choice_free(&c);
        return no_memory();
    }
    for (int t = 0; t < m->trips.n; t++)
        for (int p = 0; p < m->in->periods; p++) {
            if (m->in->most[p] <= 0 || gain_of(m, t, p) <= m->gain[p] - gap) continue;
            if (c.n < MOST_COLUMNS) c.trip[c.n] = t, c.period[c.n++] = p;
            else all = false;
        }
    tufa_status st = all ? choose_among(m, &c, fmax(LEAST_S, until_s - solve_now_s()), out, &bound) : OK;
    if (all && st.code == TUFA_OK) m->bound = fmax(m->bound, fmin(bound, upper(m, out)));
    choice_free(&c);
    return st;
}
