/* The general functions of money: replacement, records of lives, decisions. */
#include "tests/check.h"
#include "tufa/money.h"

#include <stdlib.h>

enum { KEY = 61 };

static double uniform(uint64_t stream, uint64_t i, double lo, double hi) { return lo + (hi - lo) * tufa_uniform(KEY, stream, i); }

static void the_best_age_costs_least_and_its_flat_part_is_within_one_per_cent(void **state)
{
    (void)state;
    int finite = 0;
    for (uint64_t i = 0; i < 300; i++) {
        tufa_weibull w = {.shape = uniform(1, i, 0.6, 5.0), .scale_years = uniform(2, i, 3.0, 25.0)};
        double planned = uniform(3, i, 1.0, 5.0), failure = planned * uniform(4, i, 0.7, 6.0), usd;
        tufa_age_replacement r;
        CHECK_OK(tufa_money_age_replacement(&w, planned, failure, &r), i);
        CHECK_TRUE(r.usd_year <= r.to_failure_usd_year * (1.0 + 1e-12), i);
        if (w.shape <= 1.0 || failure <= planned) CHECK_TRUE(!r.finite, i);
        if (!r.finite) continue;
        finite++;
        for (int k = 1; k <= 60; k++) { /* no other age is cheaper */
            double age = r.years * k / 20.0;
            CHECK_OK(tufa_money_age_cost(&w, planned, failure, fmin(age, 900.0), &usd), i);
            CHECK_TRUE(usd >= r.usd_year * (1.0 - 1e-9), i);
        }
        CHECK_TRUE(r.flat_lo_years <= r.years && r.years <= r.flat_hi_years, i);
        CHECK_OK(tufa_money_age_cost(&w, planned, failure, r.flat_lo_years, &usd), i);
        CHECK_REL(usd, 1.01 * r.usd_year, 1e-6, i);
    }
    CHECK_TRUE(finite > 100, finite);
}

static void a_fit_finds_the_life_that_the_records_were_drawn_from(void **state)
{
    (void)state;
    enum { LIVES = 4000, SETS = 6 };
    tufa_lived *life = malloc(LIVES * sizeof *life);
    for (uint64_t s = 0; s < SETS; s++) {
        tufa_weibull w = {.shape = 1.2 + 0.5 * (double)s, .scale_years = 8.0 + 2.0 * (double)s};
        size_t n = 0;
        for (uint64_t i = 0; n < LIVES; i++) { /* records begin when a heater is `entry` old, and end `window` years later */
            double t = w.scale_years * pow(-log(tufa_uniform(KEY, 100 + s, i)), 1.0 / w.shape);
            double entry = i % 3 ? uniform(200 + s, i, 0.0, 10.0) : 0.0, until = entry + uniform(300 + s, i, 1.0, 12.0);
            if (t <= entry) continue; /* gone before anybody wrote anything down */
            life[n++] = (tufa_lived){.entry_years = entry, .years = fmin(t, until), .failed = t <= until};
        }
        tufa_weibull_fit f, naive;
        CHECK_OK(tufa_money_weibull_fit(LIVES, life, &f), s);
        CHECK_NEAR(log(f.life.shape / w.shape), 0.0, 4.0 * f.log_shape_sd, s);
        CHECK_NEAR(log(f.life.scale_years / w.scale_years), 0.0, 4.0 * f.log_scale_sd, s);
        CHECK_TRUE(f.log_shape_sd > 0.0 && f.log_shape_sd < 0.06 && f.log_scale_sd < 0.05, s);
        for (size_t i = 0; i < LIVES; i++) life[i].entry_years = 0.0; /* as if all had been seen since new */
        CHECK_OK(tufa_money_weibull_fit(LIVES, life, &naive), s);
        /* years that nobody watched are then counted as years without a failure */
        CHECK_TRUE(tufa_weibull_survival(&naive.life, 6.0) > tufa_weibull_survival(&f.life, 6.0), s);
    }
    free(life);
}

static void a_fit_does_not_depend_on_the_unit(void **state)
{
    (void)state;
    tufa_lived a[9], b[9];
    for (int i = 0; i < 9; i++) {
        a[i] = (tufa_lived){.entry_years = i % 2 ? 1.0 : 0.0, .years = 2.0 + i * 1.7, .failed = i % 3 != 0};
        b[i] = (tufa_lived){.entry_years = 12.0 * a[i].entry_years, .years = 12.0 * a[i].years, .failed = a[i].failed};
    }
    tufa_weibull_fit fa, fb;
    CHECK_OK(tufa_money_weibull_fit(9, a, &fa), 0);
    CHECK_OK(tufa_money_weibull_fit(9, b, &fb), 0);
    CHECK_REL(fb.life.shape, fa.life.shape, 1e-9, 0);
    CHECK_REL(fb.life.scale_years, 12.0 * fa.life.scale_years, 1e-9, 0);
    tufa_lived one[2] = {{0.0, 3.0, 1}, {0.0, 5.0, 0}};
    CHECK_CODE(tufa_money_weibull_fit(2, one, &fa), TUFA_MISSING, 1);
    one[0].years = NAN;
    CHECK_CODE(tufa_money_weibull_fit(2, one, &fa), TUFA_RANGE, 2);
    one[0] = (tufa_lived){4.0, 4.0, 1};
    CHECK_CODE(tufa_money_weibull_fit(2, one, &fa), TUFA_CONFLICT, 3);
}

static void the_product_limit_falls_in_steps_and_lies_on_the_true_curve(void **state)
{
    (void)state;
    enum { LIVES = 2000 };
    tufa_lived *life = malloc(LIVES * sizeof *life);
    tufa_limit_step *step = malloc(LIVES * sizeof *step);
    tufa_weibull w = {.shape = 2.2, .scale_years = 13.5};
    size_t n = 0, steps;
    for (uint64_t i = 0; n < LIVES; i++) {
        double t = w.scale_years * pow(-log(tufa_uniform(KEY, 400, i)), 1.0 / w.shape), entry = i % 2 ? uniform(401, i, 0.0, 6.0) : 0.0;
        double until = entry + 9.0;
        if (t <= entry) continue;
        life[n++] = (tufa_lived){entry, fmin(t, until), t <= until};
    }
    CHECK_OK(tufa_money_product_limit(LIVES, life, step, &steps), 0);
    double before = 1.0;
    for (size_t k = 0; k < steps; k++) {
        CHECK_TRUE(step[k].survival <= before && step[k].survival >= 0.0 && step[k].at_risk >= step[k].failed, (int)k);
        if (k > 0) CHECK_TRUE(step[k].years > step[k - 1].years, (int)k);
        if (step[k].at_risk > 100) CHECK_NEAR(step[k].survival, tufa_weibull_survival(&w, step[k].years), 4.5 * step[k].sd, (int)k);
        before = step[k].survival;
    }
    free(life);
    free(step);
}

/* Random problems of a few states: no stationary policy does better, and a long finite one comes to the same. */
static void policy_iteration_finds_the_best_of_all_policies(void **state)
{
    (void)state;
    enum { S = 4, A = 3, PROBLEMS = 60 };
    static unsigned char room[8192];
    for (uint64_t p = 0; p < PROBLEMS; p++) {
        double usd[S * A], to[S * A * S], value[S], finite[S], other[S];
        size_t action[S], first[S];
        for (int k = 0; k < S * A; k++) {
            double sum = 0.0;
            usd[k] = k % 7 == 5 ? HUGE_VAL : uniform(500 + p, (uint64_t)k, -3.0, 10.0);
            for (int t = 0; t < S; t++) sum += to[k * S + t] = uniform(600 + p, (uint64_t)(k * S + t), 0.0, 1.0);
            for (int t = 0; t < S; t++) to[k * S + t] /= sum;
        }
        tufa_decisions d = {S, A, usd, to, 0.9};
        tufa_arena arena = {.base = room, .size = sizeof room};
        CHECK_OK(tufa_money_policy(&d, &arena, value, action), p);
        CHECK_OK(tufa_money_policy_finite(&d, 400, NULL, &arena, finite, first), p);
        for (int s = 0; s < S; s++) CHECK_NEAR(finite[s], value[s], 1e-12 + 200.0 * pow(0.9, 400), p);
        for (int code = 0; code < 81; code++) { /* every policy by plain iteration */
            int choice[S] = {code % 3, code / 3 % 3, code / 9 % 3, code / 27}, allowed = 1;
            for (int s = 0; s < S; s++) allowed &= usd[s * A + choice[s]] != HUGE_VAL, other[s] = 0.0;
            if (!allowed) continue;
            for (int k = 0; k < 400; k++) {
                double next[S];
                for (int s = 0; s < S; s++) {
                    next[s] = usd[s * A + choice[s]];
                    for (int t = 0; t < S; t++) next[s] += 0.9 * to[(s * A + choice[s]) * S + t] * other[t];
                }
                for (int s = 0; s < S; s++) other[s] = next[s];
            }
            for (int s = 0; s < S; s++) CHECK_TRUE(other[s] >= value[s] - 1e-9, p);
        }
        CHECK_TRUE(arena.used == 0, p);
    }
    double usd[1] = {HUGE_VAL}, to[1] = {1.0}, value[1];
    size_t action[1];
    tufa_arena arena = {.base = room, .size = sizeof room};
    tufa_decisions none = {1, 1, usd, to, 0.9};
    CHECK_CODE(tufa_money_policy(&none, &arena, value, action), TUFA_CONFLICT, 0);
    usd[0] = 1.0;
    to[0] = 0.7;
    CHECK_CODE(tufa_money_policy(&none, &arena, value, action), TUFA_RANGE, 1);
}

static void an_even_yearly_cost_pays_back_what_was_spent(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 200; i++) {
        double usd = uniform(700, i, 10.0, 5000.0), rate = i % 10 == 0 ? 0.0 : uniform(701, i, 0.001, 0.2), even, back = 0.0;
        int years = 1 + (int)uniform(702, i, 0.0, 30.0);
        CHECK_OK(tufa_money_equivalent_annual(usd, rate, years, &even), i);
        for (int k = 1; k <= years; k++) back += even * pow(1.0 + rate, -k);
        CHECK_REL(back, usd, 1e-11, i);
    }
    double running[12], usd_year, average[12];
    size_t best, by_average;
    for (int k = 0; k < 12; k++) running[k] = 40.0 * k * k;
    CHECK_OK(tufa_money_economic_life(1200.0, 0.0, 12, running, &usd_year, &best), 0);
    CHECK_OK(tufa_money_average_cost(1200.0, 12, running, average, &by_average), 0);
    CHECK_TRUE(best == by_average, (int)best); /* without interest the two are one */
    CHECK_REL(usd_year, average[best - 1], 1e-12, 0);
}

RUN(cmocka_unit_test(the_best_age_costs_least_and_its_flat_part_is_within_one_per_cent),
    cmocka_unit_test(a_fit_finds_the_life_that_the_records_were_drawn_from), cmocka_unit_test(a_fit_does_not_depend_on_the_unit),
    cmocka_unit_test(the_product_limit_falls_in_steps_and_lies_on_the_true_curve),
    cmocka_unit_test(policy_iteration_finds_the_best_of_all_policies), cmocka_unit_test(an_even_yearly_cost_pays_back_what_was_spent))
