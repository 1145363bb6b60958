/* The year's rounds, from visits and terms through the solver to days: what is promised to tenants is kept. */
#include <string.h>

#include "edge/solve/solve.h"

#include "tests/check.h"

enum { VISITS = 14, ALL_DAYS = 84, MONDAY = 20780 /* 2026-11-23 */ };

static const tufa_plan_terms TERMS = {.first_day = MONDAY + 2, .days = ALL_DAYS, .weekdays = 31, .day_s = 8.0 * 3600.0, .crews = 1};
static const double TRIP_USD = 20.0, DRIVE_USD_S = 40.0 / 3600.0;

static void a_district(uint64_t key, int n, tufa_plan_visit *v, double *travel_s)
{
    double x[64] = {0.0}, y[64] = {0.0};
    for (int i = 1; i <= n; i++) x[i] = 1200.0 * tufa_normal(key, 1, (uint64_t)i), y[i] = 1200.0 * tufa_normal(key, 2, (uint64_t)i);
    for (int i = 0; i <= n; i++)
        for (int j = 0; j <= n; j++) travel_s[i * (n + 1) + j] = hypot(x[i] - x[j], y[i] - y[j]);
    for (uint64_t i = 0; i < (uint64_t)n; i++) {
        int64_t from = MONDAY + (int64_t)(30.0 * tufa_uniform(key, 3, i));
        v[i] = (tufa_plan_visit){.place = (int)i + 1, .work_s = 3600.0 * (0.5 + 2.5 * tufa_uniform(key, 4, i)),
                                 .earliest_day = from, .latest_day = from + 7 + (int64_t)(40.0 * tufa_uniform(key, 5, i)),
                                 .wait_usd_day = 2.0 * tufa_uniform(key, 6, i), .entry_usd = 10.0, .empty_to = -1};
        if (i % 5 == 4) v[i].empty_from = from - 3, v[i].empty_to = from + 12;
    }
}

typedef struct made {
    int round[64], at[64];
    int64_t day[64];
    double total, bound, quick_bound;
    int unplaced;
} made;

static void plan_it(uint64_t key, int visits, const tufa_plan_terms *terms, const tufa_plan_visit *v, const double *travel_s, double seconds,
                    made *out)
{
    int n = visits + 1, most[ALL_DAYS], period[64], trip[64], place[64];
    static double wait[64 * ALL_DAYS], cost[64 * 64];
    int64_t day[ALL_DAYS];
    tufa_plan_stop stop[64] = {{.close_s = terms->day_s}};
    size_t bad, days;
    CHECK_OK(tufa_plan_days(terms, ALL_DAYS, day, &days), key);
    CHECK_OK(tufa_plan_wait((size_t)visits, v, terms, days, day, wait + days, &bad), key);
    for (size_t d = 0; d < days; d++) most[d] = terms->crews;
    for (int i = 0; i < n * n; i++) cost[i] = travel_s[i] * DRIVE_USD_S;
    for (int i = 1; i < n; i++) stop[i] = (tufa_plan_stop){.close_s = terms->day_s, .service_s = v[i - 1].work_s};
    solve_rounds_in in = {.n = n, .cost = cost, .travel_s = travel_s, .stop = stop, .capacity = 1.0, .trip_cost = TRIP_USD,
                          .periods = (int)days, .wait = wait, .most = most};
    solve_rounds_out o = {.period = period, .trip = trip, .at = place};
    CHECK_OK(solve_plan(&in, seconds, NULL, &o), key);
    CHECK_OK(solve_rounds_bound(&in, trip, 30.0, &out->quick_bound, NULL), key);
    out->total = o.total, out->bound = o.bound, out->unplaced = o.unplaced;
    for (int i = 0; i < visits; i++) {
        out->round[i] = trip[i + 1], out->at[i] = place[i + 1];
        out->day[i] = period[i + 1] < 0 ? -1 : day[period[i + 1]];
    }
}

static void a_plan_never_breaks_a_notice_or_a_due_day(void **state)
{
    (void)state;
    for (uint64_t key = 1; key <= 5; key++) {
        tufa_plan_visit v[VISITS];
        double travel_s[(VISITS + 1) * (VISITS + 1)];
        made m;
        a_district(key, VISITS, v, travel_s);
        plan_it(key, VISITS, &TERMS, v, travel_s, 60.0, &m);
        CHECK_TRUE(m.unplaced == 0, key);
        CHECK_TRUE(m.bound >= 0.99 * m.total, key);
        CHECK_TRUE(m.quick_bound <= m.total + 1e-6 && m.quick_bound > 0.5 * m.total, key); /* proven best, and still above the quick bound */
        CHECK_OK(tufa_plan_check(VISITS, v, &TERMS, VISITS + 1, travel_s, m.round, m.at, m.day), key);
        for (int i = 0; i < VISITS; i++) {
            int empty = m.day[i] >= v[i].empty_from && m.day[i] <= v[i].empty_to;
            CHECK_TRUE((m.day[i] >= v[i].earliest_day || empty) && m.day[i] <= v[i].latest_day && m.day[i] >= TERMS.first_day, i);
            CHECK_TRUE((m.day[i] - MONDAY) % 7 < 5, i); /* no weekend */
        }
    }
}

static void many_visits_are_planned_in_time_and_the_bound_holds(void **state)
{
    (void)state;
    enum { MANY = 50 };
    for (uint64_t key = 1; key <= 2; key++) {
        static tufa_plan_visit v[MANY];
        static double travel_s[(MANY + 1) * (MANY + 1)];
        made m;
        a_district(key, MANY, v, travel_s);
        for (int i = 0; i < MANY; i++) v[i].latest_day += 30;
        plan_it(key, MANY, &TERMS, v, travel_s, 1.5, &m);
        CHECK_TRUE(m.unplaced == 0, key);
        CHECK_TRUE(m.bound > 0.5 * m.total && m.bound <= m.total + 1e-6, key);
        CHECK_OK(tufa_plan_check(MANY, v, &TERMS, MANY + 1, travel_s, m.round, m.at, m.day), key);
    }
}

/* Each loosening alone: later due days, shorter notice, another crew, a longer day. */
static void a_loosened_constraint_never_makes_a_proven_plan_dearer(void **state)
{
    (void)state;
    enum { FEW = 9 };
    for (uint64_t key = 20; key < 24; key++) {
        tufa_plan_visit v[FEW], looser[FEW];
        double travel_s[(FEW + 1) * (FEW + 1)];
        made tight, loose;
        tufa_plan_terms terms[4] = {TERMS, TERMS, TERMS, TERMS};
        terms[2].crews = 2, terms[3].day_s *= 1.25;
        a_district(key, FEW, v, travel_s);
        plan_it(key, FEW, &TERMS, v, travel_s, 30.0, &tight);
        for (int how = 0; how < 4; how++) {
            memcpy(looser, v, sizeof v);
            for (int i = 0; i < FEW; i++) looser[i].latest_day += how == 0 ? 5 : 0, looser[i].earliest_day -= how == 1 ? 5 : 0;
            plan_it(key, FEW, &terms[how], looser, travel_s, 30.0, &loose);
            CHECK_TRUE(loose.bound <= tight.total + 1e-6 && loose.total <= tight.total + (loose.total - loose.bound) + 1e-6, key);
        }
    }
}

static void empty_days_pull_a_visit_in_and_save_its_entry(void **state)
{
    (void)state;
    tufa_plan_visit v = {.place = 1, .work_s = 3600.0, .earliest_day = MONDAY + 4, .latest_day = MONDAY + 60, .wait_usd_day = 0.5,
                         .entry_usd = 30.0, .empty_to = -1};
    double travel_s[4] = {0.0, 600.0, 600.0, 0.0};
    made lived_in, empty;
    plan_it(0, 1, &TERMS, &v, travel_s, 5.0, &lived_in);
    CHECK_TRUE(lived_in.day[0] == MONDAY + 4, 0);
    v.empty_from = MONDAY + 20, v.empty_to = MONDAY + 25; /* a weekend lies at its begin: 2026-12-13 is a Sunday */
    plan_it(1, 1, &TERMS, &v, travel_s, 5.0, &empty);
    CHECK_TRUE(empty.day[0] == MONDAY + 21, 1);
    CHECK_NEAR(lived_in.total - empty.total, 30.0 - 0.5 * 17.0, 1e-6, 1);
    v.empty_from = MONDAY + 2, v.empty_to = MONDAY + 2; /* before any notice could be given: it needs none */
    plan_it(2, 1, &TERMS, &v, travel_s, 5.0, &empty);
    CHECK_TRUE(empty.day[0] == MONDAY + 2, 2);
}

static void the_check_of_a_plan_sees_each_kind_of_fault(void **state)
{
    (void)state;
    tufa_plan_visit v[VISITS];
    double travel_s[(VISITS + 1) * (VISITS + 1)];
    made m;
    a_district(1, VISITS, v, travel_s);
    plan_it(1, VISITS, &TERMS, v, travel_s, 60.0, &m);
    int64_t kept = m.day[0];
    m.day[0] = v[0].latest_day + 1;
    CHECK_CODE(tufa_plan_check(VISITS, v, &TERMS, VISITS + 1, travel_s, m.round, m.at, m.day), TUFA_RANGE, 1);
    m.day[0] = kept;
    tufa_plan_terms weekend = TERMS;
    weekend.weekdays = 96;
    CHECK_CODE(tufa_plan_check(VISITS, v, &weekend, VISITS + 1, travel_s, m.round, m.at, m.day), TUFA_CONFLICT, 2);
    tufa_plan_terms shorter = TERMS;
    shorter.day_s = 60.0;
    CHECK_CODE(tufa_plan_check(VISITS, v, &shorter, VISITS + 1, travel_s, m.round, m.at, m.day), TUFA_RANGE, 3);
    int at = m.at[0];
    m.at[0] = VISITS + 3; /* a gap in the order of the stops */
    CHECK_CODE(tufa_plan_check(VISITS, v, &TERMS, VISITS + 1, travel_s, m.round, m.at, m.day), TUFA_RANGE, 4);
    m.at[0] = at;
    for (int i = 0; i < VISITS; i++)
        if (m.round[i] != m.round[0] && v[i].earliest_day <= m.day[0] && v[i].latest_day >= m.day[0]) {
            int64_t was = m.day[i];
            m.day[i] = m.day[0]; /* two rounds, one crew */
            CHECK_TRUE(tufa_plan_check(VISITS, v, &TERMS, VISITS + 1, travel_s, m.round, m.at, m.day).code != TUFA_OK, 5);
            m.day[i] = was;
        }
}

static void a_window_without_a_working_day_is_named(void **state)
{
    (void)state;
    tufa_plan_visit v = {.place = 1, .work_s = 60.0, .earliest_day = MONDAY + 5, .latest_day = MONDAY + 6, .empty_to = -1};
    double wait[ALL_DAYS];
    int64_t day[ALL_DAYS];
    size_t bad, days;
    CHECK_OK(tufa_plan_days(&TERMS, ALL_DAYS, day, &days), 0);
    CHECK_TRUE(days == 60 && day[0] == MONDAY + 2 && day[3] == MONDAY + 7, 0);
    CHECK_CODE(tufa_plan_wait(1, &v, &TERMS, days, day, wait, &bad), TUFA_RANGE, 0);
    v.latest_day = MONDAY + 7; /* a Monday: one day is enough */
    CHECK_OK(tufa_plan_wait(1, &v, &TERMS, days, day, wait, &bad), 1);
    CHECK_TRUE(wait[2] == INFINITY && wait[3] < INFINITY && wait[4] == INFINITY, 1);
}

/* Equal odds: the binomial distribution, worked out by hand: 4 jobs at 1 in 2 need 2 on average, 3 suffice in 15 of 16. */
static void parts_to_carry_follow_the_binomial_distribution(void **state)
{
    (void)state;
    double half[4] = {0.5, 0.5, 0.5, 0.5}, memory[16];
    tufa_arena scratch = {.base = (unsigned char *)memory, .size = sizeof memory};
    tufa_plan_count c;
    CHECK_OK(tufa_plan_need(4, half, 0.9, &scratch, &c), 0);
    CHECK_NEAR(c.mean, 2.0, 1e-12, 0);
    CHECK_TRUE(c.carry == 3, 0);
    CHECK_NEAR(c.short_chance, 1.0 / 16.0, 1e-12, 0);
    double sure[3] = {1.0, 1.0, 0.0};
    CHECK_OK(tufa_plan_need(3, sure, 0.9, &scratch, &c), 1);
    CHECK_TRUE(c.carry == 2 && c.short_chance == 0.0, 1);
    CHECK_OK(tufa_plan_need(0, NULL, 0.9, &scratch, &c), 2);
    CHECK_TRUE(c.carry == 0 && c.mean == 0.0, 2);
    double bad[1] = {1.5};
    CHECK_CODE(tufa_plan_need(1, bad, 0.9, &scratch, &c), TUFA_RANGE, 3);
    CHECK_TRUE(scratch.used == 0, 4);
}

/* Ten things at 1 in 10 for 100 dollars each: mean 100, and 90 % of a binomial (10, 0.1) is 2 of them. */
static void the_reserve_has_the_mean_and_the_tail_of_what_may_fail(void **state)
{
    (void)state;
    enum { THINGS = 10, DRAWS = 20000 };
    static double memory[DRAWS + 8];
    tufa_arena scratch = {.base = (unsigned char *)memory, .size = sizeof memory};
    tufa_plan_risk risk[THINGS];
    tufa_plan_money m, more;
    for (int i = 0; i < THINGS; i++) risk[i] = (tufa_plan_risk){.chance = 0.1, .usd = {100.0, 100.0, 100.0, TUFA_BASIS_GIVEN}};
    CHECK_OK(tufa_plan_reserve(THINGS, risk, DRAWS, 7, &scratch, &m), 0);
    CHECK_NEAR(m.mean_usd, 100.0, 4.0 * sqrt(10 * 0.1 * 0.9) * 100.0 / sqrt(DRAWS), 0);
    CHECK_TRUE(m.p50_usd == 100.0 && m.p90_usd == 200.0, 0);
    risk[0].chance = 0.6;
    CHECK_OK(tufa_plan_reserve(THINGS, risk, DRAWS, 7, &scratch, &more), 1);
    CHECK_TRUE(more.mean_usd > m.mean_usd && more.p90_usd >= m.p90_usd, 1);
    CHECK_OK(tufa_plan_reserve(0, NULL, DRAWS, 7, &scratch, &m), 2);
    CHECK_TRUE(m.mean_usd == 0.0 && m.p90_usd == 0.0, 2);
    risk[0].chance = -0.1;
    CHECK_CODE(tufa_plan_reserve(THINGS, risk, DRAWS, 7, &scratch, &m), TUFA_RANGE, 3);
}

/* With hazards h and k of an end and a repair, the repair comes first with chance k / (h + k) (1 - e^-(h + k)); the end comes as if
 * it were alone. Two ends: the first one alone is paid. */
static void what_ends_a_thing_ends_its_other_risks(void **state)
{
    (void)state;
    enum { DRAWS = 200000 };
    static double memory[DRAWS + 8];
    tufa_arena scratch = {.base = (unsigned char *)memory, .size = sizeof memory};
    const double END = 0.5, REPAIR = 0.7, h = -log1p(-END), k = -log1p(-REPAIR), both = -expm1(-(h + k));
    tufa_value one = {1.0, 1.0, 1.0, TUFA_BASIS_GIVEN}, none = {0};
    tufa_plan_risk risk[3] = {{REPAIR, one, 0, 0}, {END, none, 0, 1}, {REPAIR, one, 1, 0}};
    tufa_plan_money alone, with, ends;
    CHECK_OK(tufa_plan_reserve(1, risk, DRAWS, 11, &scratch, &alone), 0);
    CHECK_OK(tufa_plan_reserve(2, risk, DRAWS, 11, &scratch, &with), 1);
    CHECK_NEAR(alone.mean_usd, REPAIR, 4.0 * sqrt(0.21 / DRAWS), 0);
    CHECK_NEAR(with.mean_usd, k / (h + k) * both, 4.0 * sqrt(0.25 / DRAWS), 1);
    risk[1].thing = 2; /* another thing's end takes nothing away */
    CHECK_OK(tufa_plan_reserve(2, risk, DRAWS, 11, &scratch, &with), 2);
    CHECK_NEAR(with.mean_usd, REPAIR, 4.0 * sqrt(0.21 / DRAWS), 2);
    risk[0].ends = risk[1].ends = 1, risk[0].thing = risk[1].thing = 0, risk[1].usd = one;
    CHECK_OK(tufa_plan_reserve(2, risk, DRAWS, 11, &scratch, &ends), 3);
    CHECK_NEAR(ends.mean_usd, both, 4.0 * sqrt(0.25 / DRAWS), 3);
}

RUN(cmocka_unit_test(what_ends_a_thing_ends_its_other_risks), cmocka_unit_test(a_plan_never_breaks_a_notice_or_a_due_day), cmocka_unit_test(many_visits_are_planned_in_time_and_the_bound_holds),
    cmocka_unit_test(a_loosened_constraint_never_makes_a_proven_plan_dearer), cmocka_unit_test(empty_days_pull_a_visit_in_and_save_its_entry),
    cmocka_unit_test(the_check_of_a_plan_sees_each_kind_of_fault), cmocka_unit_test(a_window_without_a_working_day_is_named),
    cmocka_unit_test(parts_to_carry_follow_the_binomial_distribution),
    cmocka_unit_test(the_reserve_has_the_mean_and_the_tail_of_what_may_fail))
