/* The year's rounds, from visits and terms through the solver to days: what is promised to tenants is kept. */
#include "edge/solve/solve.h"

#include "tests/check.h"

enum { VISITS = 14, WEEKS = 12, MONDAY = 20780 /* 2026-11-23 */ };

static const tufa_plan_terms TERMS = {.first_day = MONDAY + 2, .weeks = WEEKS, .weekdays = 31, .day_s = 8.0 * 3600.0,
                                      .crews = 1, .trip_usd = 20.0, .drive_usd_s = 40.0 / 3600.0};

static void a_district(uint64_t key, tufa_plan_visit *v, double *travel_s)
{
    double x[VISITS + 1] = {0.0}, y[VISITS + 1] = {0.0};
    for (uint64_t i = 1; i <= VISITS; i++) x[i] = 1200.0 * tufa_normal(key, 1, i), y[i] = 1200.0 * tufa_normal(key, 2, i);
    for (int i = 0; i <= VISITS; i++)
        for (int j = 0; j <= VISITS; j++) travel_s[i * (VISITS + 1) + j] = hypot(x[i] - x[j], y[i] - y[j]);
    for (uint64_t i = 0; i < VISITS; i++) {
        int64_t from = MONDAY + (int64_t)(30.0 * tufa_uniform(key, 3, i));
        v[i] = (tufa_plan_visit){.place = (int)i + 1, .work_s = 3600.0 * (0.5 + 2.5 * tufa_uniform(key, 4, i)),
                                 .earliest_day = from, .latest_day = from + 7 + (int64_t)(40.0 * tufa_uniform(key, 5, i)),
                                 .wait_usd_day = 2.0 * tufa_uniform(key, 6, i)};
    }
}

static void plan_district(uint64_t key, tufa_plan_visit *v, double *travel_s, int *week, int *round, int *at)
{
    enum { N = VISITS + 1 };
    double wait[N * WEEKS] = {0.0}, cost[N * N];
    int most[WEEKS];
    tufa_plan_stop stop[N] = {{.close_s = TERMS.day_s}};
    size_t bad;
    a_district(key, v, travel_s);
    CHECK_OK(tufa_plan_weeks(VISITS, v, &TERMS, wait + WEEKS, most, &bad), key);
    for (int i = 0; i < N * N; i++) cost[i] = travel_s[i] * TERMS.drive_usd_s;
    for (int i = 1; i < N; i++) stop[i] = (tufa_plan_stop){.close_s = TERMS.day_s, .service_s = v[i - 1].work_s};
    int period[N], trip[N], place[N];
    solve_rounds_in in = {.n = N, .cost = cost, .travel_s = travel_s, .stop = stop, .capacity = 1.0, .trip_cost = TERMS.trip_usd,
                          .periods = WEEKS, .wait = wait, .most = most};
    solve_rounds_out out = {.period = period, .trip = trip, .at = place};
    CHECK_OK(solve_rounds(&in, 60.0, &out), key);
    CHECK_TRUE(out.unplaced == 0, key);
    CHECK_TRUE(out.bound >= 0.99 * out.total, key);
    for (int i = 0; i < VISITS; i++) week[i] = period[i + 1], round[i] = trip[i + 1], at[i] = place[i + 1];
}

static void a_plan_never_breaks_a_notice_or_a_due_day(void **state)
{
    (void)state;
    for (uint64_t key = 1; key <= 8; key++) {
        tufa_plan_visit v[VISITS];
        double travel_s[(VISITS + 1) * (VISITS + 1)];
        int week[VISITS], round[VISITS], at[VISITS];
        int64_t day[VISITS];
        plan_district(key, v, travel_s, week, round, at);
        CHECK_OK(tufa_plan_days(VISITS, v, &TERMS, week, round, day), key);
        CHECK_OK(tufa_plan_check(VISITS, v, &TERMS, VISITS + 1, travel_s, round, at, day), key);
        for (int i = 0; i < VISITS; i++) {
            CHECK_TRUE(day[i] >= v[i].earliest_day && day[i] <= v[i].latest_day && day[i] >= TERMS.first_day, i);
            CHECK_TRUE((day[i] - MONDAY) % 7 < 5, i); /* no weekend */
        }
    }
}

static void the_check_of_a_plan_sees_each_kind_of_fault(void **state)
{
    (void)state;
    tufa_plan_visit v[VISITS];
    double travel_s[(VISITS + 1) * (VISITS + 1)];
    int week[VISITS], round[VISITS], at[VISITS];
    int64_t day[VISITS];
    plan_district(1, v, travel_s, week, round, at);
    CHECK_OK(tufa_plan_days(VISITS, v, &TERMS, week, round, day), 0);
    int64_t kept = day[0];
    day[0] = v[0].earliest_day - 1;
    CHECK_CODE(tufa_plan_check(VISITS, v, &TERMS, VISITS + 1, travel_s, round, at, day), TUFA_RANGE, 1);
    day[0] = kept;
    tufa_plan_terms weekend = TERMS;
    weekend.weekdays = 96;
    CHECK_CODE(tufa_plan_check(VISITS, v, &weekend, VISITS + 1, travel_s, round, at, day), TUFA_CONFLICT, 2);
    tufa_plan_terms shorter = TERMS;
    shorter.day_s = 60.0;
    CHECK_CODE(tufa_plan_check(VISITS, v, &shorter, VISITS + 1, travel_s, round, at, day), TUFA_RANGE, 3);
}

static void a_window_without_a_working_day_is_named(void **state)
{
    (void)state;
    tufa_plan_visit v = {.place = 1, .work_s = 60.0, .earliest_day = MONDAY + 5, .latest_day = MONDAY + 6};
    double wait[WEEKS];
    int most[WEEKS];
    size_t bad;
    CHECK_CODE(tufa_plan_weeks(1, &v, &TERMS, wait, most, &bad), TUFA_RANGE, 0);
    v.latest_day = MONDAY + 7; /* a Monday: one day is enough */
    CHECK_OK(tufa_plan_weeks(1, &v, &TERMS, wait, most, &bad), 1);
    CHECK_TRUE(wait[0] == INFINITY && wait[1] < INFINITY && wait[2] == INFINITY, 1);
    CHECK_TRUE(most[0] == 3 && most[1] == 5, 1); /* the plan begins on a Wednesday */
}

static void areas_hold_everyone_once_and_keep_their_size(void **state)
{
    (void)state;
    tufa_plan_visit v[VISITS];
    double travel_s[(VISITS + 1) * (VISITS + 1)];
    int area[VISITS], size[VISITS] = {0};
    a_district(3, v, travel_s);
    size_t areas = tufa_plan_areas(VISITS, v, VISITS + 1, travel_s, 4, area);
    CHECK_TRUE(areas == 4, 0);
    for (int i = 0; i < VISITS; i++) CHECK_TRUE(area[i] >= 0 && (size_t)area[i] < areas && ++size[area[i]] <= 4, i);
}

RUN(cmocka_unit_test(a_plan_never_breaks_a_notice_or_a_due_day), cmocka_unit_test(the_check_of_a_plan_sees_each_kind_of_fault),
    cmocka_unit_test(a_window_without_a_working_day_is_named), cmocka_unit_test(areas_hold_everyone_once_and_keep_their_size))
