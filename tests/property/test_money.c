#include <string.h>

#include "tests/property/ahead_case.h"
#include "tufa/money.h"

static tufa_money_year money_of(const tufa_money_in *in)
{
    static unsigned char room[8 << 20];
    tufa_arena arena = {.base = room, .size = in->grid ? sizeof room : tufa_money_bytes(in->ahead->draws)};
    tufa_money_year y;
    CHECK_OK(tufa_money_look(in, &arena, &y), 0);
    CHECK_TRUE(arena.used == 0, 0);
    return y;
}

static void survival_is_conditional_as_it_should_be(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 2000; i++) {
        tufa_weibull w;
        double mean = 5.0 + 15.0 * tufa_uniform(1, 1, i), shape = 0.7 + 4.0 * tufa_uniform(1, 2, i), age = 25.0 * tufa_uniform(1, 3, i);
        CHECK_OK(tufa_weibull_from_mean(mean, shape, &w), i);
        CHECK_REL(tufa_weibull_mean(&w), mean, 1e-13, i);
        double now = tufa_weibull_survival(&w, age), later = tufa_weibull_survival(&w, age + 1.0);
        CHECK_NEAR(tufa_weibull_fails_within(&w, age, 1.0), 1.0 - later / now, 1e-12, i);
        double h = 1e-5, slope = (log(tufa_weibull_survival(&w, age + 1.0 - h)) - log(tufa_weibull_survival(&w, age + 1.0 + h))) / (2.0 * h);
        CHECK_REL(tufa_weibull_hazard(&w, age + 1.0), slope, 1e-6, i);
    }
}

/* Mean remaining life by the trapezoidal rule over survival. */
static void remaining_life_is_the_area_under_survival(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 60; i++) {
        tufa_weibull w;
        double shape = i == 0 ? 1.0 : 0.9 + 3.0 * tufa_uniform(2, 1, i), age = i == 0 ? 7.0 : 30.0 * tufa_uniform(2, 2, i), left, sum = 0.0;
        CHECK_OK(tufa_weibull_from_mean(12.0, shape, &w), i);
        CHECK_OK(tufa_weibull_remaining(&w, age, &left), i);
        enum { STEPS = 200000 };
        double now = tufa_weibull_survival(&w, age), dt = 300.0 / STEPS;
        for (int k = 0; k <= STEPS; k++) sum += (k == 0 || k == STEPS ? 0.5 : 1.0) * tufa_weibull_survival(&w, age + k * dt) / now * dt;
        CHECK_REL(left, sum, 1e-6, i);
        if (i == 0) CHECK_REL(left, 12.0, 1e-12, i); /* without memory */
    }
    tufa_weibull w;
    double left;
    CHECK_OK(tufa_weibull_from_mean(12.0, 2.2, &w), 100);
    CHECK_OK(tufa_weibull_remaining(&w, 0.0, &left), 100);
    CHECK_REL(left, 12.0, 1e-12, 100);
}

static void an_older_tank_leaks_sooner(void **state)
{
    (void)state;
    double before = 0.0, left = 1e9;
    for (int age = 1; age <= 25; age += 4) {
        tufa_ahead_in in = case_in(TUFA_ELECTRIC, age);
        tufa_ahead a;
        look_in(0, &in, &a);
        tufa_money_in m = tufa_money_defaults(&a);
        tufa_money_year y = money_of(&m);
        CHECK_TRUE(y.p_tank.p50 > before, age);
        CHECK_TRUE(y.p_tank.p10 <= y.p_tank.p50 && y.p_tank.p50 <= y.p_tank.p90 && y.p_tank.p90 < 1.0, age);
        CHECK_TRUE(y.remaining_years.p50 < left, age);
        before = y.p_tank.p50;
        left = y.remaining_years.p50;
    }
    free_rooms();
}

static void a_higher_price_makes_nothing_cheaper(void **state)
{
    (void)state;
    for (int fuel = 0; fuel < TUFA_FUEL_COUNT; fuel++) {
        tufa_ahead_in in = case_in((tufa_fuel)fuel, 9.0);
        tufa_ahead a;
        look_in(0, &in, &a);
        tufa_money_in m = tufa_money_defaults(&a);
        tufa_money_year base = money_of(&m);
        for (int p = 0; p < TUFA_PRICE_COUNT; p++) {
            if (p == TUFA_PRICE_DISCOUNT) continue; /* no price */
            tufa_money_in dear = m;
            dear.prices.usd[p].mid *= 1.5;
            dear.prices.usd[p].lo *= 1.5;
            dear.prices.usd[p].hi *= 1.5;
            tufa_money_year y = money_of(&dear);
            for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
                if (!base.option[c].possible || c == TUFA_CHOICE_LOOK) continue;
                CHECK_TRUE(y.option[c].present_usd >= base.option[c].present_usd - 1e-9, 100 * p + c);
            }
            CHECK_TRUE(y.best_present_usd >= base.best_present_usd - 1e-9 && y.next_usd >= base.next_usd - 1e-9, 100 * p);
        }
    }
    free_rooms();
}

static void what_is_proposed_pays_beats_waiting_and_is_the_cheapest_that_does(void **state)
{
    (void)state;
    for (int age = 1; age <= 22; age += 3) {
        tufa_ahead_in in = case_in(age % 2 ? TUFA_ELECTRIC : TUFA_GAS, age);
        tufa_ahead a;
        look_in(0, &in, &a);
        tufa_money_in m = tufa_money_defaults(&a);
        tufa_money_year y = money_of(&m);
        double share = 0.0;
        for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
            const tufa_money_option *o = &y.option[c];
            if (!o->possible || c == TUFA_CHOICE_LOOK) continue;
            share += o->best_share;
            int pays = o->mean_gain_usd > 0.2 * o->spend_now_usd && (c == TUFA_CHOICE_REPLACE || o->waiting_usd > 0.2 * o->spend_now_usd);
            if (c != TUFA_CHOICE_LEAVE && pays) /* well beyond the margins: then it, or something cheaper, is proposed */
                CHECK_TRUE(y.propose_without_look != TUFA_CHOICE_LEAVE ? o->present_usd >= y.option[y.propose_without_look].present_usd - 1e-9
                                                                       : o->present_usd > fmin(y.left_present_usd, y.wait_present_usd) - 0.2 * o->spend_now_usd, 100 * age + c);
            CHECK_NEAR(o->mean_gain_usd, y.option[TUFA_CHOICE_LEAVE].mean_done_usd - o->mean_done_usd, 1e-6, 100 * age + c);
        }
        CHECK_NEAR(share, 1.0, 1e-9, age);
        const tufa_money_option *best = &y.option[y.propose_without_look];
        if (y.propose_without_look != TUFA_CHOICE_LEAVE) CHECK_TRUE(best->mean_gain_usd > 0.0 && best->waiting_usd >= 0.0, age);
        CHECK_TRUE(y.option[TUFA_CHOICE_ELEMENTS].possible == (in.heater.fuel == TUFA_ELECTRIC && age < 15), age); /* worn tanks are left shut */
        CHECK_TRUE(y.regret_usd >= 0.0, age);
        if (y.propose == TUFA_CHOICE_LOOK) CHECK_TRUE(y.reading_worth_usd > y.option[TUFA_CHOICE_LOOK].spend_now_usd, age);
    }
    free_rooms();
}

static void an_old_tank_is_replaced_on_a_planned_day_only_where_a_leak_is_dear(void **state)
{
    (void)state;
    tufa_ahead_in in = case_in(TUFA_ELECTRIC, 20.0);
    tufa_ahead a;
    look_in(0, &in, &a);
    tufa_money_in m = tufa_money_defaults(&a);
    m.leak_damage_chance = given(0.4); /* upstairs */
    tufa_money_year dear = money_of(&m);
    CHECK_TRUE(dear.propose_without_look == TUFA_CHOICE_REPLACE && dear.replace_in_years == 0, 0);
    m.leak_damage_chance = given(0.0); /* on a floor with a drain, and nobody minds */
    m.prices.usd[TUFA_PRICE_OUTAGE_DAY] = given(0.0);
    m.element.shape = 1e-3;            /* elements that do not fail */
    tufa_money_year cheap = money_of(&m);
    CHECK_TRUE(cheap.propose_without_look != TUFA_CHOICE_REPLACE && cheap.replace_in_years > 0, 1);
    free_rooms();
}

static void a_leaking_shell_is_replaced_whatever_the_money_says(void **state)
{
    (void)state;
    tufa_ahead_in in = case_in(TUFA_GAS, 2.0);
    tufa_ahead a;
    look_in(0, &in, &a);
    tufa_money_in m = tufa_money_defaults(&a);
    m.leaking = 1;
    tufa_money_year y = money_of(&m);
    CHECK_TRUE(y.propose == TUFA_CHOICE_REPLACE && y.reason == TUFA_REASON_TANK_LEAKS, 0);
    free_rooms();
}

static void a_bed_found_over_the_element_is_cleaned(void **state)
{
    (void)state;
    tufa_ahead_in in = case_in(TUFA_ELECTRIC, 5.0);
    tufa_finding deep[2] = {{.kind = TUFA_FOUND_HEIGHT, .day = TODAY - 10, .value = 0.22}, {.kind = TUFA_FOUND_HEIGHT, .day = TODAY - 5, .value = 0.22}};
    tufa_ahead a;
    in.heater.field[TUFA_HEATER_ELEMENT_LOW] = given(0.11);
    in.found = deep;
    in.findings = 2;
    look_in(0, &in, &a);
    CHECK_TRUE(a.element_reached.p_now > 0.7, 0);
    tufa_money_in m = tufa_money_defaults(&a);
    m.anode_age_years = given(0.5);
    tufa_money_year y = money_of(&m);
    CHECK_TRUE(y.propose_without_look == TUFA_CHOICE_CLEAN && y.option[TUFA_CHOICE_CLEAN].reason == TUFA_REASON_BED_AT_ELEMENT, 1);
    free_rooms();
}

static void an_anode_is_looked_at_when_it_may_be_worn_and_the_tank_can_gain(void **state)
{
    (void)state;
    for (int fuel = 0; fuel < 2; fuel++) {
        tufa_ahead_in in = case_in((tufa_fuel)fuel, 2.0);
        tufa_ahead a;
        look_in(0, &in, &a);
        tufa_money_in m = tufa_money_defaults(&a);
        tufa_money_year young = money_of(&m);
        CHECK_TRUE(young.propose_without_look != TUFA_CHOICE_ANODE && young.p_anode_spent < 0.1, fuel);
        in.heater.field[TUFA_HEATER_AGE] = given(8.0);
        look_in(1, &in, &a);
        m = tufa_money_defaults(&a);
        tufa_money_year worn = money_of(&m);
        m.anode_age_years = given(1.0);
        tufa_money_year fresh = money_of(&m);
        CHECK_TRUE(worn.option[TUFA_CHOICE_ANODE].mean_gain_usd > fresh.option[TUFA_CHOICE_ANODE].mean_gain_usd, fuel);
        CHECK_TRUE(worn.p_tank.p50 > fresh.p_tank.p50 && worn.p_anode_spent > 0.5 && fresh.p_anode_spent == 0.0, fuel);
        m = tufa_money_defaults(&a);
        m.softened_share = 1.0;
        CHECK_TRUE(money_of(&m).p_anode_spent > worn.p_anode_spent, fuel);
    }
    free_rooms();
}

static void soft_water_and_a_new_heater_are_left_alone(void **state)
{
    (void)state;
    double none[6] = {-20.0, -15.0, -10.0, -5.0, 0.0, 2.0};
    tufa_ahead_in in = case_in(TUFA_ELECTRIC, 1.0);
    tufa_ahead a;
    in.ccpp.mg_L = none;
    look_in(0, &in, &a);
    CHECK_NEAR(a.now_kg.p90, 0.0, 1e-9, 0);
    tufa_money_in m = tufa_money_defaults(&a);
    tufa_money_year y = money_of(&m);
    CHECK_TRUE(y.propose == TUFA_CHOICE_LEAVE && y.reason == TUFA_REASON_NOTHING_PAYS, 1);
    free_rooms();
}

static void failures_raise_and_quiet_years_lower_the_rate_of_elements(void **state)
{
    (void)state;
    tufa_element_life prior = tufa_element_life_default(), quiet = tufa_element_life_update(prior, 0.0, 20.0),
                      burnt = tufa_element_life_update(prior, 4.0, 5.0);
    double base = prior.shape / prior.rate_years;
    CHECK_TRUE(quiet.shape / quiet.rate_years < base && burnt.shape / burnt.rate_years > base, 0);
    double before = 0.0;
    for (int k = 0; k < 20; k++) {
        double rate = tufa_element_failures_year(base, 0.2, 10.0 * k);
        CHECK_TRUE(rate >= before && rate <= 4.0 * base + 1e-12, k);
        before = rate;
    }
}

static void every_default_price_has_a_source_and_a_range(void **state)
{
    (void)state;
    for (int p = 0; p < TUFA_PRICE_COUNT; p++) {
        const tufa_price_row *row = tufa_price_at((tufa_price)p);
        CHECK_TRUE(row->lo <= row->mid && row->mid <= row->hi && row->lo >= 0.0 && row->date && row->key && row->what, p);
        CHECK_TRUE(tufa_source_at((size_t)row->source) != NULL, p);
    }
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) CHECK_TRUE(tufa_choice_at((tufa_choice)c)->what != NULL, c);
    for (int r = 0; r < TUFA_REASON_COUNT; r++) CHECK_TRUE(tufa_reason_words((tufa_reason)r)[0] != 0, r);
}

static tufa_value nothing(void) { return given(0.0); }

/* A tank alone: no bed, no elements, no thermostats, no anode work, and a planned day or a flood. */
static tufa_money_in bare_tank(const tufa_ahead *a, double planned_usd, double flood_usd)
{
    tufa_money_in m = tufa_money_defaults(a);
    for (int p = 0; p < TUFA_PRICE_COUNT; p++)
        if (p != TUFA_PRICE_DISCOUNT) m.prices.usd[p] = nothing();
    m.prices.usd[TUFA_PRICE_UNIT_ELECTRIC] = given(planned_usd);
    m.prices.usd[TUFA_PRICE_LEAK_DAMAGE] = given(flood_usd);
    m.leak_damage_chance = given(1.0);
    m.element.shape = 1e-3;
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) m.never[c] = c != TUFA_CHOICE_LEAVE && c != TUFA_CHOICE_REPLACE;
    return m;
}

static const double SOFT_MG_L[6] = {-20.0, -15.0, -10.0, -5.0, 0.0, 2.0};

/* Barlow and Hunter's age replacement with a discount, by quadrature, against the decision problem with all else taken out. */
static void one_part_alone_meets_the_discounted_age_replacement(void **state)
{
    (void)state;
    static const struct {
        double planned, flood, mean, shape;
    } CASES[] = {{800, 1600, 12, 2.2}, {800, 3200, 12, 2.2}, {600, 2400, 14, 3.0}, {1000, 4000, 10, 2.6}, {900, 200, 12, 1.8}};
    for (size_t k = 0; k < sizeof CASES / sizeof CASES[0]; k++) {
        tufa_ahead_in in = case_in(TUFA_ELECTRIC, 0.0);
        tufa_ahead a;
        in.ccpp.mg_L = SOFT_MG_L;
        look_in(0, &in, &a);
        tufa_money_in m = bare_tank(&a, CASES[k].planned, CASES[k].flood);
        m.life = (tufa_life){.mean_years = given(CASES[k].mean), .shape = given(CASES[k].shape)};
        m.anode_age_years = given(0.0);
        tufa_money_year y = money_of(&m);
        tufa_weibull life;
        tufa_age_discounted d;
        CHECK_OK(tufa_weibull_from_mean(CASES[k].mean, CASES[k].shape, &life), k);
        CHECK_OK(tufa_money_age_discounted(&life, CASES[k].planned, CASES[k].planned + CASES[k].flood, m.prices.usd[TUFA_PRICE_DISCOUNT].mid, &d), k);
        CHECK_REL(y.new_usd, d.present_usd, 0.02, k);
        CHECK_REL(y.best_present_usd, y.new_usd, 0.02, k); /* it is new: tank and successor are alike but for the drawn lives */
        int best = 0;
        for (int t = 1; t <= TUFA_MONEY_REPLACE_YEARS; t++)
            if (y.replace_usd[t] < y.replace_usd[best]) best = t;
        if (d.finite) CHECK_NEAR(best, d.years, 1.5, k);
        else CHECK_TRUE(best >= 25, k);
    }
    free_rooms();
}

static void the_solved_value_is_that_of_the_policy_walked_through_the_draws(void **state)
{
    (void)state;
    for (int age = 1; age <= 16; age += 3) {
        tufa_ahead_in in = case_in(age % 2 ? TUFA_ELECTRIC : TUFA_GAS, age);
        tufa_ahead a;
        in.draws = 1000;
        look_in(0, &in, &a);
        static unsigned char room[40 << 20];
        tufa_arena arena = {.base = room, .size = sizeof room};
        assert_true(tufa_money_bytes(1000) <= sizeof room);
        tufa_money_in m = tufa_money_defaults(&a);
        for (int c = 1; c < TUFA_CHOICE_COUNT; c++) m.never[c] = 1;
        tufa_money_year solved;
        tufa_money_followed walked;
        CHECK_OK(tufa_money_look(&m, &arena, &solved), age);
        CHECK_OK(tufa_money_follow(&m, &(tufa_money_course){0}, &arena, &walked), age);
        CHECK_REL(walked.present_usd, solved.best_present_usd, 0.02, age);
        CHECK_TRUE(fabs(walked.rolled_usd - walked.mean_years_usd) < 4.0 * walked.rolled_error_usd, age);
        CHECK_TRUE(walked.rolled_error_usd < 0.05 * walked.mean_years_usd, age); /* the check above can fail */
        CHECK_TRUE(walked.years_usd.p10 < walked.mean_years_usd && walked.mean_years_usd < walked.years_usd.p90, age);
    }
    free_rooms();
}

static void no_fixed_course_beats_the_policy(void **state)
{
    (void)state;
    static const tufa_money_course COURSES[] = {{0}, {.clean_years = 3.0}, {.flush_years = 1.0}, {.anode_years = 5.0}, {.replace_age_years = 10.0},
                                                {.clean_years = 5.0, .anode_years = 5.0, .replace_age_years = 14.0}};
    for (int fuel = 0; fuel < 2; fuel++) {
        tufa_ahead_in in = case_in((tufa_fuel)fuel, 4.0);
        tufa_ahead a;
        look_in(0, &in, &a);
        tufa_money_in m = tufa_money_defaults(&a);
        double best = money_of(&m).best_present_usd;
        static unsigned char room[8 << 20];
        tufa_arena arena = {.base = room, .size = tufa_money_bytes(in.draws)};
        for (size_t k = 0; k < sizeof COURSES / sizeof COURSES[0]; k++) {
            tufa_money_followed f;
            CHECK_OK(tufa_money_follow(&m, &COURSES[k], &arena, &f), k);
            CHECK_TRUE(best <= 1.01 * f.present_usd, 10 * (size_t)fuel + k); /* walked by draw, not averaged: 1 % */
        }
    }
    free_rooms();
}

static void an_older_heater_costs_no_less(void **state)
{
    (void)state;
    double before = 0.0;
    for (int age = 0; age <= 24; age += 2) {
        tufa_ahead_in in = case_in(TUFA_ELECTRIC, age);
        tufa_ahead a;
        in.ccpp.mg_L = SOFT_MG_L;
        look_in(0, &in, &a);
        tufa_money_in m = bare_tank(&a, 800.0, 1600.0);
        m.life = (tufa_life){.mean_years = given(12.0), .shape = given(2.2)};
        tufa_money_year y = money_of(&m);
        CHECK_TRUE(y.best_present_usd >= before - 1e-9 && y.best_present_usd <= y.next_usd + 1e-9, age);
        before = y.best_present_usd;
    }
    free_rooms();
}

static void a_finer_grid_changes_the_value_little(void **state)
{
    (void)state;
    for (int age = 0; age < 14; age += 3) {
        tufa_ahead_in in = case_in(age % 2 ? TUFA_ELECTRIC : TUFA_GAS, age);
        tufa_ahead a;
        look_in(0, &in, &a);
        tufa_money_in m = tufa_money_defaults(&a);
        tufa_money_year usual = money_of(&m);
        m.grid = 61; /* every half-year of growth to 30 years */
        tufa_money_year fine = money_of(&m);
        CHECK_REL(usual.best_present_usd, fine.best_present_usd, 0.003, age);
        CHECK_NEAR(usual.option[TUFA_CHOICE_CLEAN].mean_gain_usd, fine.option[TUFA_CHOICE_CLEAN].mean_gain_usd, 6.0, age);
    }
    free_rooms();
}

/* What is not allowed is not done: fewer choices never cost less. */
static void forbidding_a_deed_never_saves(void **state)
{
    (void)state;
    tufa_ahead_in in = case_in(TUFA_GAS, 6.0);
    tufa_ahead a;
    look_in(0, &in, &a);
    tufa_money_in m = tufa_money_defaults(&a);
    double free_choice = money_of(&m).best_present_usd;
    for (int c = 1; c < TUFA_CHOICE_COUNT; c++) {
        m = tufa_money_defaults(&a);
        m.never[c] = 1;
        tufa_money_year y = money_of(&m);
        CHECK_TRUE(y.best_present_usd >= free_choice - 1e-9 && y.propose_without_look != (tufa_choice)c, c);
    }
    free_rooms();
}

/* The same electric heater, but for a thousandth of its energy, is another kind in name alone: what the coming years cost stays what it is. */
static void another_kind_that_is_the_same_changes_nothing(void **state)
{
    (void)state;
    tufa_ahead_in in = case_in(TUFA_ELECTRIC, 12.0);
    tufa_ahead a, same;
    double energy[200];
    look_in(0, &in, &a);
    same = a;
    for (unsigned i = 0; i < a.draws; i++) energy[i] = 0.999 * a.draw_energy_J_year[i];
    same.draw_energy_J_year = energy;
    tufa_money_in m = tufa_money_defaults(&a);
    m.prices.usd[TUFA_PRICE_OWN_HOUR] = m.prices.usd[TUFA_PRICE_TO_ELECTRIC] = given(0.0); /* one kind is set in longer than the other */
    tufa_money_year alone = money_of(&m);
    m.other[TUFA_CHOICE_TO_ELECTRIC] = (tufa_money_other){.ahead = &same, .allowed = 1};
    tufa_money_year both = money_of(&m);
    const tufa_money_option *like = &both.option[TUFA_CHOICE_REPLACE], *other = &both.option[TUFA_CHOICE_TO_ELECTRIC];
    assert_true(other->possible && other->allowed && other->present_usd < like->present_usd);
    CHECK_NEAR(other->present_usd, like->present_usd, 40.0, 0);
    CHECK_NEAR(both.mean_years_usd, alone.mean_years_usd, 15.0, 1);
    CHECK_NEAR(both.option[TUFA_CHOICE_LEAVE].mean_done_usd, alone.option[TUFA_CHOICE_LEAVE].mean_done_usd, 15.0, 2);
    CHECK_NEAR(both.left_usd.p10, alone.left_usd.p10, 30.0, 3);
    CHECK_NEAR(both.left_usd.p90, alone.left_usd.p90, 30.0, 4);
    free_rooms();
}

/* Leave to have another kind never costs more; without leave it changes nothing; and what it gains is the same asked alone. */
static void a_kind_may_only_help_and_counts_only_with_leave(void **state)
{
    (void)state;
    static unsigned char room[16 << 20];
    for (int fuel = 0; fuel < 2; fuel++) {
        tufa_ahead_in in = case_in(fuel ? TUFA_GAS : TUFA_ELECTRIC, 9.0), of_kind = case_in(TUFA_ELECTRIC, 0.0);
        tufa_ahead a, kind;
        double gain[TUFA_CHOICE_COUNT];
        look_in(0, &in, &a);
        look_in(1, &of_kind, &kind);
        tufa_money_in m = tufa_money_defaults(&a);
        tufa_money_year alone = money_of(&m);
        m.other[TUFA_CHOICE_TO_HEAT_PUMP].ahead = &kind;
        tufa_money_year shown = money_of(&m);
        CHECK_NEAR(shown.best_present_usd, alone.best_present_usd, 1e-9, fuel);
        CHECK_TRUE(shown.propose == alone.propose && !shown.option[TUFA_CHOICE_TO_HEAT_PUMP].allowed, fuel);
        tufa_arena arena = {.base = room, .size = tufa_money_bytes(a.draws)};
        assert_true(arena.size <= sizeof room);
        CHECK_OK(tufa_money_kinds(&m, shown.left_present_usd, &arena, gain), fuel);
        CHECK_NEAR(gain[TUFA_CHOICE_TO_HEAT_PUMP], shown.option[TUFA_CHOICE_TO_HEAT_PUMP].gain_usd_year, 1e-6, fuel);
        CHECK_TRUE(gain[TUFA_CHOICE_TO_GAS] == -HUGE_VAL && arena.used == 0, fuel);
        m.other[TUFA_CHOICE_TO_HEAT_PUMP].allowed = 1;
        tufa_money_year leave = money_of(&m);
        CHECK_TRUE(leave.best_present_usd <= alone.best_present_usd + 1e-9, fuel);
        CHECK_TRUE(fabs(leave.mean_years_usd) < 20000.0 && leave.left_usd.p90 < 20000.0, fuel);
    }
    free_rooms();
}

static void check_readings(const tufa_money_year *y, tufa_fuel fuel, int i)
{
    static const tufa_sharpen WEIGHED[] = {TUFA_SHARPEN_HEIGHT, TUFA_SHARPEN_LAB, TUFA_SHARPEN_METER, TUFA_SHARPEN_ANODE};
    double best = 0.0;
    CHECK_TRUE(y->perfect_worth_usd >= 0.0, i);
    for (int s = 0; s < TUFA_SHARPEN_COUNT; s++) {
        const tufa_money_reading *r = &y->of_reading[s];
        CHECK_TRUE(r->worth_usd >= 0.0 && r->worth_usd <= y->perfect_worth_usd * (1.0 + 1e-9), 100 * i + s);
        CHECK_TRUE(r->changes_share >= 0.0 && r->changes_share <= 1.0 && (r->changes_share > 0.0) == (r->worth_usd > 0.0), 100 * i + s);
        CHECK_TRUE(r->applies ? r->cost_usd > 0.0 : r->worth_usd == 0.0, 100 * i + s);
        best = fmax(best, r->worth_usd - r->cost_usd);
    }
    for (size_t k = 0; k < sizeof WEIGHED / sizeof WEIGHED[0]; k++) CHECK_TRUE(y->of_reading[WEIGHED[k]].applies, 100 * i);
    CHECK_TRUE(y->of_reading[TUFA_SHARPEN_HEAT_UP].applies == (fuel != TUFA_ELECTRIC), i);
    CHECK_TRUE(y->of_reading[TUFA_SHARPEN_ELEMENT].applies == (fuel == TUFA_ELECTRIC), i);
    if (y->reading < TUFA_SHARPEN_COUNT) CHECK_NEAR(y->of_reading[y->reading].worth_usd - y->of_reading[y->reading].cost_usd, best, 1e-9, i);
}

static void a_reading_is_worth_something_between_nothing_and_knowing_everything(void **state)
{
    (void)state;
    double worth[TUFA_SHARPEN_COUNT] = {0.0};
    for (int i = 0; i < 36; i++) {
        tufa_fuel fuel = (tufa_fuel)(i % TUFA_FUEL_COUNT);
        tufa_ahead_in in = case_in(fuel, 2.0 + 0.5 * i);
        in.key = (uint64_t)i;
        if (i % 2) in.heater.field[TUFA_HEATER_AGE] = (tufa_value){0};
        tufa_ahead a;
        look_in(0, &in, &a);
        tufa_money_in m = tufa_money_defaults(&a);
        m.key = in.key;
        tufa_money_year y = money_of(&m);
        check_readings(&y, fuel, i);
        for (int s = 0; s < TUFA_SHARPEN_COUNT; s++) worth[s] = fmax(worth[s], y.of_reading[s].worth_usd);
    }
    CHECK_TRUE(worth[TUFA_SHARPEN_HEIGHT] > 0.0 && worth[TUFA_SHARPEN_AGE] > 0.0, 0); /* somewhere a look decides */
    free_rooms();
}

static void what_is_known_or_changes_nothing_is_worth_nothing(void **state)
{
    (void)state;
    for (int i = 0; i < 12; i++) {
        tufa_ahead_in in = case_in(i % 2 ? TUFA_GAS : TUFA_ELECTRIC, 4.0 + i);
        if (i % 2 == 0) in.heater.field[TUFA_HEATER_ELEMENT_LOW] = given(0.12);
        tufa_ahead a;
        look_in(0, &in, &a);
        tufa_money_in m = tufa_money_defaults(&a);
        tufa_money_year y = money_of(&m);
        CHECK_TRUE(y.of_reading[TUFA_SHARPEN_AGE].worth_usd == 0.0 && y.of_reading[TUFA_SHARPEN_ELEMENT].worth_usd == 0.0, i);
        CHECK_TRUE(y.of_reading[TUFA_SHARPEN_LAB].worth_usd == 0.0, i); /* the water of the case is one water */
        m.taken[TUFA_SHARPEN_HEIGHT] = 1;
        CHECK_TRUE(!money_of(&m).of_reading[TUFA_SHARPEN_HEIGHT].applies, i);
        memset(m.never, 1, sizeof m.never); /* nothing is ever done: nothing can be decided */
        y = money_of(&m);
        CHECK_TRUE(y.perfect_worth_usd == 0.0 && y.reading == TUFA_SHARPEN_COUNT, i);
        for (int s = 0; s < TUFA_SHARPEN_COUNT; s++) CHECK_TRUE(y.of_reading[s].worth_usd == 0.0, 100 * i + s);
    }
    free_rooms();
}

/* A reading of something that has no part in the costs looks like worth by chance in 1 of 40, and is then told to be small. */
static void a_reading_of_something_else_is_worth_nothing(void **state)
{
    (void)state;
    int seen = 0;
    enum { CASES = 60 };
    for (int i = 0; i < CASES; i++) {
        tufa_ahead_in in = case_in(TUFA_ELECTRIC, 2.0 + 0.3 * i);
        in.key = 1000u + (uint64_t)i;
        tufa_ahead a;
        look_in(0, &in, &a);
        for (unsigned d = 0; d < a.draws; d++) {
            a.draw_element_m[d] = exp(tufa_normal(in.key, 901, d));
            a.draw_ccpp_mg_L[d] = 100.0 * tufa_uniform(in.key, 902, d);
        }
        tufa_money_in m = tufa_money_defaults(&a);
        m.key = in.key;
        tufa_money_year y = money_of(&m);
        seen += (y.of_reading[TUFA_SHARPEN_ELEMENT].worth_usd > 0.0) + (y.of_reading[TUFA_SHARPEN_LAB].worth_usd > 0.0);
    }
    CHECK_TRUE(seen <= 2 * CASES / 20, seen);
    free_rooms();
}

/* An anode that may be whole or gone, a new one dear, a new tank dearer: then a look decides. A thick gas bed of unknown cost: then the watch does,
 * and against its own clean time it tells no less. */
static void anode_and_burner_are_worth_a_reading_where_they_decide(void **state)
{
    (void)state;
    tufa_ahead_in in = case_in(TUFA_ELECTRIC, 5.0);
    tufa_ahead a;
    look_in(0, &in, &a);
    tufa_money_in m = tufa_money_defaults(&a);
    m.anode_life_years = between(6.0, 2.0, 18.0);
    m.prices.usd[TUFA_PRICE_ANODE] = given(220.0);
    m.prices.usd[TUFA_PRICE_UNIT_ELECTRIC] = given(4000.0);
    tufa_money_year y = money_of(&m);
    CHECK_TRUE(y.of_reading[TUFA_SHARPEN_ANODE].worth_usd > y.of_reading[TUFA_SHARPEN_ANODE].cost_usd, 0);
    m.anode_life_years = given(6.0);
    m.anode_age_years = given(5.0);
    CHECK_TRUE(money_of(&m).of_reading[TUFA_SHARPEN_ANODE].worth_usd == 0.0, 1); /* it is known */
    tufa_ahead_in gas = case_in(TUFA_GAS, 7.0);
    tufa_finding bed = {.kind = TUFA_FOUND_HEIGHT, .value = 0.12, .day = TODAY};
    gas.found = &bed, gas.findings = 1, gas.draws = 400;
    look_in(1, &gas, &a);
    m = tufa_money_defaults(&a);
    m.prices.usd[TUFA_PRICE_GAS] = given(2.0);
    tufa_money_year plain = money_of(&m);
    m.clean_heat_up = 1;
    tufa_money_year clean = money_of(&m);
    CHECK_TRUE(clean.of_reading[TUFA_SHARPEN_HEAT_UP].worth_usd > 0.0, 2);
    CHECK_TRUE(clean.of_reading[TUFA_SHARPEN_HEAT_UP].worth_usd >= plain.of_reading[TUFA_SHARPEN_HEAT_UP].worth_usd, 3);
    free_rooms();
}

RUN(cmocka_unit_test(a_reading_is_worth_something_between_nothing_and_knowing_everything), cmocka_unit_test(what_is_known_or_changes_nothing_is_worth_nothing),
    cmocka_unit_test(a_reading_of_something_else_is_worth_nothing), cmocka_unit_test(anode_and_burner_are_worth_a_reading_where_they_decide),
    cmocka_unit_test(survival_is_conditional_as_it_should_be), cmocka_unit_test(remaining_life_is_the_area_under_survival),
    cmocka_unit_test(an_older_tank_leaks_sooner), cmocka_unit_test(a_higher_price_makes_nothing_cheaper),
    cmocka_unit_test(what_is_proposed_pays_beats_waiting_and_is_the_cheapest_that_does),
    cmocka_unit_test(an_old_tank_is_replaced_on_a_planned_day_only_where_a_leak_is_dear),
    cmocka_unit_test(a_leaking_shell_is_replaced_whatever_the_money_says), cmocka_unit_test(a_bed_found_over_the_element_is_cleaned),
    cmocka_unit_test(an_anode_is_looked_at_when_it_may_be_worn_and_the_tank_can_gain),
    cmocka_unit_test(soft_water_and_a_new_heater_are_left_alone),
    cmocka_unit_test(failures_raise_and_quiet_years_lower_the_rate_of_elements),
    cmocka_unit_test(one_part_alone_meets_the_discounted_age_replacement),
    cmocka_unit_test(the_solved_value_is_that_of_the_policy_walked_through_the_draws), cmocka_unit_test(no_fixed_course_beats_the_policy),
    cmocka_unit_test(an_older_heater_costs_no_less), cmocka_unit_test(a_finer_grid_changes_the_value_little),
    cmocka_unit_test(forbidding_a_deed_never_saves), cmocka_unit_test(another_kind_that_is_the_same_changes_nothing),
    cmocka_unit_test(a_kind_may_only_help_and_counts_only_with_leave),
    cmocka_unit_test(every_default_price_has_a_source_and_a_range))
