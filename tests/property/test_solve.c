#include "edge/solve/solve.h"
#include "edge/solve/trips.h"

#include <stdlib.h>
#include <string.h>

#include "tests/check.h"

enum { MOST = 60 };

static double cost[MOST * MOST];
static tufa_plan_stop stops[MOST];

static FILE *open_data(const char *name)
{
    char path[256];
    snprintf(path, sizeof path, "%s/%s", getenv("ROUTING_DATA"), name);
    FILE *f = fopen(path, "r");
    if (!f) fail_msg("%s cannot be opened", path);
    return f;
}

static int read_matrix(const char *name)
{
    char line[4096];
    FILE *f = open_data(name);
    int n = 0, k = 0;
    if (!fgets(line, sizeof line, f)) fail();
    for (; fgets(line, sizeof line, f); n++)
        for (char *s = strchr(line, ','); s; s = strchr(s, ',')) cost[k++] = strtod(++s, NULL);
    fclose(f);
    assert_int_equal(k, n * n);
    return n;
}

/* Coordinates, and for the problems with times: load, ready, due, service. */
static int read_nodes(const char *name, double *x, double *y)
{
    char line[256];
    FILE *f = open_data(name);
    int n = 0, node;
    if (!fgets(line, sizeof line, f)) fail();
    for (; fgets(line, sizeof line, f); n++) {
        tufa_plan_stop *s = &stops[n];
        int got = sscanf(line, "%d,%lf,%lf,%lf,%lf,%lf,%lf", &node, &x[n], &y[n], &s->load, &s->open_s, &s->close_s, &s->service_s);
        assert_true(got == 3 || got == 7);
    }
    fclose(f);
    return n;
}

static void tour_is(int n, double optimum)
{
    int order[MOST], seen[MOST] = {0};
    double total, bound, driven = 0.0;
    CHECK_OK(solve_tour(n, cost, 120.0, order, &total, &bound), n);
    CHECK_NEAR(total, optimum, 1e-6, n);
    CHECK_NEAR(bound, optimum, 1e-6, n);
    for (int k = 0; k < n; k++) {
        seen[order[k]]++;
        driven += cost[order[k] * n + order[(k + 1) % n]];
    }
    for (int k = 0; k < n; k++) CHECK_TRUE(seen[k] == 1, k);
    CHECK_NEAR(driven, optimum, 1e-6, n);
}

static void larger_tours_reach_their_proven_optimum(void **state)
{
    (void)state;
    tour_is(read_matrix("bayg29_matrix.csv"), 1610.0);
    tour_is(read_matrix("dantzig42_matrix.csv"), 699.0);
    double x[MOST], y[MOST];
    int n = read_nodes("berlin52_nodes.csv", x, y);
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++) cost[i * n + j] = floor(hypot(x[i] - x[j], y[i] - y[j]) + 0.5);
    tour_is(n, 7542.0);
}

static void the_solver_and_the_exact_tour_agree(void **state)
{
    (void)state;
    for (uint64_t k = 0; k < 20; k++) {
        enum { N = 9 };
        for (size_t i = 0; i < N; i++)
            for (size_t j = 0; j <= i; j++) {
                double c = i == j ? 0.0 : floor(1000.0 * tufa_uniform(3, k, i * N + j));
                cost[i * N + j] = cost[j * N + i] = c;
            }
        int order[N];
        double exact, total, bound;
        size_t bytes = tufa_plan_tour_bytes(N);
        tufa_arena a = {.base = malloc(bytes), .size = bytes};
        CHECK_OK(tufa_plan_tour(N, cost, &a, order, &exact), k);
        CHECK_OK(solve_tour(N, cost, 60.0, order, &total, &bound), k);
        CHECK_NEAR(total, exact, 1e-6, k);
        free(a.base);
    }
}

static void routes_are(const char *name, double optimum)
{
    double x[MOST], y[MOST], total, bound, sum = 0.0;
    int period[MOST], route[MOST], at[MOST], n = read_nodes(name, x, y), served = 0;
    for (int i = 0; i < n; i++)
        for (int j = 0; j < n; j++) cost[i * n + j] = floor(10.0 * hypot(x[i] - x[j], y[i] - y[j])) / 10.0;
    const double wait[MOST] = {0.0};
    solve_rounds_in in = {.n = n, .cost = cost, .travel_s = cost, .stop = stops, .capacity = 200.0, .periods = 1,
                          .wait = wait, .most = &n};
    solve_rounds_out out = {.period = period, .trip = route, .at = at};
    CHECK_OK(solve_rounds(&in, 120.0, &out), n);
    total = out.total;
    bound = out.bound;
    CHECK_TRUE(out.unplaced == 0, n);
    CHECK_NEAR(total, optimum, 1e-6, n);
    CHECK_NEAR(bound, optimum, 1e-6, n);
    for (int r = 0; served < n - 1; r++) { /* each trip by itself keeps times and load */
        int order[MOST], m = 0;
        for (int p = 0, more = 1; more; p++) {
            more = 0;
            for (int k = 1; k < n; k++)
                if (route[k] == r && at[k] == p) order[m++] = k, more = 1;
        }
        double c, end;
        CHECK_TRUE(m > 0, r);
        CHECK_OK(tufa_plan_route_check((size_t)n, cost, cost, stops, 200.0, (size_t)m, order, &c, &end), r);
        sum += c;
        served += m;
    }
    CHECK_NEAR(sum, optimum, 1e-6, n);
}

static void several_trips_with_times_reach_their_proven_optimum(void **state)
{
    (void)state;
    routes_are("C101.25_nodes.csv", 191.3);
    routes_are("R101.25_nodes.csv", 617.1);
}

/* Small enough to try everything: each stop in each period, each group driven in its shortest order. */
static double best_of_all(const solve_rounds_in *in, int n)
{
    int choice[MOST] = {0};
    double best = INFINITY, sub[MOST * MOST], tour;
    size_t bytes = tufa_plan_tour_bytes((size_t)n);
    tufa_arena a = {.base = malloc(bytes), .size = bytes};
    for (;;) {
        double total = 0.0;
        for (int w = 0; w < in->periods; w++) {
            int group[MOST] = {0}, m = 1, order[MOST];
            double hours = 0.0;
            for (int k = 1; k < n; k++)
                if (choice[k] == w) group[m++] = k, total += in->wait[k * in->periods + w], hours += in->stop[k].service_s;
            if (m == 1) continue;
            for (int i = 0; i < m; i++)
                for (int j = 0; j < m; j++) sub[i * m + j] = in->cost[group[i] * n + group[j]];
            CHECK_OK(tufa_plan_tour((size_t)m, sub, &a, order, &tour), w);
            total += tour + hours > in->stop[0].close_s ? INFINITY : tour + in->trip_cost;
        }
        best = fmin(best, total);
        int k = 1;
        while (k < n && ++choice[k] == in->periods) choice[k++] = 0;
        if (k == n) break;
    }
    free(a.base);
    return best;
}

static void rounds_over_weeks_cost_no_more_than_the_best_of_all_plans(void **state)
{
    (void)state;
    enum { N = 8, WEEKS = 3 };
    for (uint64_t k = 0; k < 30; k++) {
        double wait[N * WEEKS], x[N], y[N];
        int most[WEEKS] = {1, 1, 1}, period[N], trip[N], at[N];
        for (uint64_t i = 0; i < N; i++) {
            x[i] = 10.0 * tufa_uniform(5, k, 2 * i);
            y[i] = 10.0 * tufa_uniform(5, k, 2 * i + 1);
            stops[i] = (tufa_plan_stop){.close_s = i ? 1e6 : 45.0, .service_s = 3.0};
            for (int w = 0; w < WEEKS; w++) /* the stop is due: it may not wait to the last week */
                wait[(int)i * WEEKS + w] = w == 2 && i % 3 == 0 ? INFINITY : 4.0 * w * tufa_uniform(6, k, i);
        }
        for (int i = 0; i < N; i++)
            for (int j = 0; j < N; j++) cost[i * N + j] = hypot(x[i] - x[j], y[i] - y[j]);
        solve_rounds_in in = {.n = N, .cost = cost, .travel_s = cost, .stop = stops, .capacity = 1.0, .trip_cost = 8.0,
                              .periods = WEEKS, .wait = wait, .most = most};
        solve_rounds_out out = {.period = period, .trip = trip, .at = at};
        CHECK_OK(solve_rounds(&in, 60.0, &out), k);
        double best = best_of_all(&in, N);
        CHECK_TRUE(out.unplaced == 0 || best == INFINITY, k);
        if (best == INFINITY) continue;
        CHECK_NEAR(out.total, best, 1e-6, k);
        CHECK_NEAR(out.bound, best, 1e-5, k);
    }
}

enum { SMALL = 7, SMALL_WEEKS = 3 };

/* Roads that keep no rule of triangles, due weeks, weeks without room, short days. */
static solve_rounds_in a_small_case(uint64_t k, double *travel_s, double *wait, int *most)
{
    for (uint64_t i = 0; i < SMALL * SMALL; i++) {
        cost[i] = i % (SMALL + 1) ? 1.0 + 9.0 * tufa_uniform(21, k, i) : 0.0;
        travel_s[i] = i % (SMALL + 1) ? 1.0 + 4.0 * tufa_uniform(22, k, i) : 0.0;
    }
    for (uint64_t i = 0; i < SMALL; i++) {
        stops[i] = (tufa_plan_stop){.close_s = i ? 1e6 : 24.0, .service_s = 1.0 + 7.0 * tufa_uniform(23, k, i)};
        for (uint64_t w = 0; w < SMALL_WEEKS; w++)
            wait[i * SMALL_WEEKS + w] = tufa_uniform(24, k, i * SMALL_WEEKS + w) < 0.2 ? INFINITY : 6.0 * tufa_uniform(25, k, i * SMALL_WEEKS + w);
    }
    for (uint64_t w = 0; w < SMALL_WEEKS; w++) most[w] = 1 + (tufa_uniform(26, k, w) < 0.5);
    return (solve_rounds_in){.n = SMALL, .cost = cost, .travel_s = travel_s, .stop = stops, .capacity = 1.0, .trip_cost = 5.0,
                             .periods = SMALL_WEEKS, .wait = wait, .most = most};
}

/* Least cost of a trip through each set of stops in any order that keeps the day; INFINITY: none does. */
static void best_ways(const solve_rounds_in *in, double *way, const double *worth, double *most_gain)
{
    int order[SMALL], n = in->n;
    for (int set = 0; set < 1 << SMALL; set++) way[set] = INFINITY;
    *most_gain = -INFINITY;
    for (int code = 1; code < 823543; code++) { /* 7^7 words over home and six stops */
        int m = 0, set = 0, at = 0, c = code;
        double sum = in->trip_cost, time_s = 0.0, gain = 0.0;
        for (; c && c % SMALL && !(set >> (c % SMALL) & 1); c /= SMALL) order[m++] = c % SMALL, set |= 1 << order[m - 1];
        if (c || m == 0) continue;
        for (int i = 0; i < m; at = order[i++]) {
            sum += in->cost[at * n + order[i]], time_s += in->travel_s[at * n + order[i]] + in->stop[order[i]].service_s;
            gain += worth[order[i]];
        }
        if (time_s + in->travel_s[at * n] > in->stop[0].close_s) continue;
        sum += in->cost[at * n];
        way[set] = fmin(way[set], sum);
        *most_gain = fmax(*most_gain, gain - sum);
    }
}

/* Every way to share the stops out among sets in weeks, from the weeks' ends on. */
static double least_of(const solve_rounds_in *in, const double *way, int left, int week, int used)
{
    if (left == 0) return 0.0;
    if (week == in->periods) return INFINITY;
    double best = least_of(in, way, left, week + 1, 0);
    for (int set = left; used < in->most[week] && set; set = (set - 1) & left) {
        double c = way[set];
        for (int k = 1; k < in->n; k++)
            if (set >> k & 1) c += in->wait[k * in->periods + week];
        if (c < INFINITY) best = fmin(best, c + least_of(in, way, left & ~set, week, used + 1));
    }
    return best;
}

/* Whenever the solver is stopped: what it says cannot be beaten is not beaten by the best of all plans. */
static void a_bound_is_never_above_the_best_of_all_plans(void **state)
{
    (void)state;
    static const double SECONDS[] = {0.0, 0.002, 60.0};
    int possible = 0;
    for (uint64_t k = 0; k < 12; k++) {
        double travel_s[SMALL * SMALL], wait[SMALL * SMALL_WEEKS], way[1 << SMALL], worth[SMALL] = {0.0}, ignored, quick;
        int most[SMALL_WEEKS], period[SMALL], trip[SMALL], at[SMALL];
        solve_rounds_in in = a_small_case(k, travel_s, wait, most);
        best_ways(&in, way, worth, &ignored);
        double best = least_of(&in, way, (1 << SMALL) - 2, 0, 0);
        if (best == INFINITY) continue;
        possible++;
        CHECK_OK(solve_rounds_bound(&in, NULL, 30.0, &quick, NULL), k);
        CHECK_TRUE(quick <= best + 1e-6, k);
        for (int s = 0; s < 3; s++) {
            solve_rounds_out out = {.period = period, .trip = trip, .at = at};
            CHECK_OK(solve_rounds(&in, SECONDS[s], &out), k);
            if (out.unplaced) continue; /* stopped before all had room: nothing is said of those */
            CHECK_TRUE(out.bound <= best + 1e-6 && out.total >= best - 1e-6, k);
            if (s == 2) CHECK_NEAR(out.total, best, 1e-6, k);
            if (s == 2) CHECK_NEAR(out.bound, best, 1e-5, k);
        }
    }
    CHECK_TRUE(possible >= 6, possible);
}

/* The search for the trip that gains most finds it, and stopped early it promises no less. */
static void no_trip_gains_more_than_the_search_says(void **state)
{
    (void)state;
    for (uint64_t k = 40; k < 52; k++) {
        double travel_s[SMALL * SMALL], wait[SMALL * SMALL_WEEKS], way[1 << SMALL], worth[SMALL], best;
        int most[SMALL_WEEKS];
        solve_rounds_in in = a_small_case(k, travel_s, wait, most);
        for (uint64_t i = 0; i < SMALL; i++) worth[i] = 14.0 * tufa_uniform(27, k, i);
        best_ways(&in, way, worth, &best);
        reach r;
        trips t;
        assert_true(reach_begin(&r, &in) && trips_begin(&t, &in) && r.sure);
        reach_fill(&r, worth);
        for (int steps = 0; steps < 400; steps = steps ? 3 * steps : 1) {
            trip_hunt h = {.reach = &r, .found = &t, .worth = worth, .most = 1, .steps = steps, .until_s = INFINITY};
            trips_hunt(&h);
            assert_false(h.failed);
            CHECK_TRUE(h.limit >= best - 1e-9, k);
            if (h.ended) CHECK_NEAR(h.limit, fmax(best, 0.0), 1e-9, k);
            trips_hunt_free(&h);
        }
        trip_hunt all = {.reach = &r, .found = &t, .worth = worth, .most = 1, .steps = 1 << 20, .until_s = INFINITY};
        trips_hunt(&all);
        CHECK_TRUE(all.ended, k);
        CHECK_NEAR(all.limit, fmax(best, 0.0), 1e-9, k);
        trips_hunt_free(&all), trips_free(&t), reach_free(&r);
    }
}

/* More stops than are solved at once: the bound still holds against the proven best, and the plan is near it. */
static void a_plan_made_in_parts_is_held_against_the_proven_best(void **state)
{
    (void)state;
    enum { N = 21, WEEKS = 8 };
    for (uint64_t k = 0; k < 2; k++) {
        double wait[N * WEEKS], x[N], y[N];
        int most[WEEKS], period[N], trip[N], at[N];
        for (uint64_t i = 0; i < N; i++) {
            x[i] = 10.0 * tufa_uniform(31, k, 2 * i), y[i] = 10.0 * tufa_uniform(31, k, 2 * i + 1);
            stops[i] = (tufa_plan_stop){.close_s = i ? 1e6 : 60.0, .service_s = 6.0 + 8.0 * tufa_uniform(32, k, i)};
            for (uint64_t w = 0; w < WEEKS; w++) wait[i * WEEKS + w] = (double)w * tufa_uniform(33, k, i);
        }
        for (int i = 0; i < N; i++)
            for (int j = 0; j < N; j++) cost[i * N + j] = hypot(x[i] - x[j], y[i] - y[j]);
        for (int w = 0; w < WEEKS; w++) most[w] = 1;
        solve_rounds_in in = {.n = N, .cost = cost, .travel_s = cost, .stop = stops, .capacity = 1.0, .trip_cost = 8.0, .periods = WEEKS, .wait = wait, .most = most};
        solve_rounds_out once = {.period = period, .trip = trip, .at = at}, parts = once;
        CHECK_OK(solve_rounds(&in, 4.0, &once), k);
        CHECK_OK(solve_plan(&in, 1.0, NULL, &parts), k);
        CHECK_TRUE(once.unplaced == 0 && parts.unplaced == 0, k);
        CHECK_TRUE(once.bound <= parts.total + 1e-6 && parts.bound <= once.total + 1e-6, k);
        double quick;
        CHECK_OK(solve_rounds_bound(&in, NULL, 30.0, &quick, NULL), k);
        CHECK_TRUE(parts.bound >= fmin(quick, parts.total) - 1e-6, k); /* and is never the worse of the two bounds, however little time there was */
    }
}

static void a_stop_without_room_is_said_to_have_none(void **state)
{
    (void)state;
    double two[] = {0.0, 1.0, 1.0, 0.0}, wait[] = {0.0, INFINITY};
    int most = 1, period[2], trip[2], at[2];
    stops[0] = stops[1] = (tufa_plan_stop){.close_s = 10.0};
    solve_rounds_in in = {.n = 2, .cost = two, .travel_s = two, .stop = stops, .capacity = 1.0, .periods = 1, .wait = wait, .most = &most};
    solve_rounds_out out = {.period = period, .trip = trip, .at = at};
    CHECK_OK(solve_rounds(&in, 10.0, &out), 0);
    CHECK_TRUE(out.unplaced == 1 && period[1] == -1 && out.trips == 0, 0);
    CHECK_NEAR(out.total, 0.0, 1e-6, 0);
}

/* Without times that bind, the tour with windows is the plain tour; with them it is never shorter. */
static void windows_only_lengthen_a_tour(void **state)
{
    (void)state;
    enum { N = 8, ROOM = 1 << 22 };
    tufa_arena a = {.base = malloc(ROOM), .size = ROOM};
    for (uint64_t k = 0; k < 50; k++) {
        for (size_t i = 0; i < N; i++)
            for (size_t j = 0; j < N; j++) cost[i * N + j] = i == j ? 0.0 : 1.0 + 9.0 * tufa_uniform(4, k, i * N + j);
        int order[N], tied[N];
        double plain, free_of_times, bound_by_times, checked, end;
        for (int i = 0; i < N; i++) stops[i] = (tufa_plan_stop){.close_s = 1000.0};
        CHECK_OK(tufa_plan_tour(N, cost, &a, order, &plain), k);
        CHECK_OK(tufa_plan_tour_windows(N, cost, cost, stops, &a, order, &free_of_times), k);
        CHECK_NEAR(free_of_times, plain, 1e-9, k);
        stops[3].open_s = 20.0;
        stops[5].close_s = 12.0;
        CHECK_OK(tufa_plan_tour_windows(N, cost, cost, stops, &a, tied, &bound_by_times), k);
        CHECK_TRUE(bound_by_times >= plain - 1e-9, k);
        CHECK_OK(tufa_plan_route_check(N, cost, cost, stops, 1.0, N - 1, tied + 1, &checked, &end), k);
        CHECK_NEAR(checked, bound_by_times, 1e-9, k);
        stops[5].close_s = 0.5;
        CHECK_CODE(tufa_plan_tour_windows(N, cost, cost, stops, &a, tied, &bound_by_times), TUFA_REFUSED, k);
    }
    free(a.base);
}

RUN(cmocka_unit_test(larger_tours_reach_their_proven_optimum), cmocka_unit_test(the_solver_and_the_exact_tour_agree),
    cmocka_unit_test(rounds_over_weeks_cost_no_more_than_the_best_of_all_plans),
    cmocka_unit_test(a_stop_without_room_is_said_to_have_none),
    cmocka_unit_test(a_bound_is_never_above_the_best_of_all_plans), cmocka_unit_test(no_trip_gains_more_than_the_search_says),
    cmocka_unit_test(a_plan_made_in_parts_is_held_against_the_proven_best),
    cmocka_unit_test(several_trips_with_times_reach_their_proven_optimum), cmocka_unit_test(windows_only_lengthen_a_tour))
