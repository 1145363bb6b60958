#include <string.h>

#include "tests/property/ahead_case.h"
#include "tufa/fault.h"
#include "tufa/money.h"

static tufa_ahead view; /* the heater that is quoted for */

static void look_at(tufa_fuel fuel, double age, unsigned draws)
{
    tufa_ahead_in in = case_in(fuel, age);
    in.draws = draws;
    in.months = 60;
    look_in(0, &in, &view);
}

static tufa_quote quote_of(const tufa_quote_in *in, uint64_t id)
{
    static unsigned char room[8 << 20];
    tufa_arena arena = {.base = room, .size = tufa_quote_bytes(in->money.ahead->draws)}; /* the promised room is enough */
    tufa_quote q = {0};
    assert_true(arena.size <= sizeof room);
    CHECK_OK(tufa_quote_look(in, &arena, &q), id);
    CHECK_TRUE(arena.used == 0, id);
    return q;
}

static int rank(tufa_quote_says s) { return s == TUFA_QUOTE_TAKE ? 0 : s == TUFA_QUOTE_ASK_FIRST ? 1 : 2; }

static void a_higher_price_is_never_better(void **state)
{
    (void)state;
    uint64_t id = 0;
    for (int fuel = 0; fuel < TUFA_FUEL_COUNT; fuel++)
        for (int age = 1; age <= 21; age += 10) {
            look_at((tufa_fuel)fuel, age, 40);
            for (int what = 0; what < TUFA_QUOTE_FOR_COUNT; what++)
                for (int leaking = -1; leaking <= 1; leaking++) {
                    tufa_quote_in in = tufa_quote_defaults(&view, (tufa_quote_for)what);
                    in.leaking = leaking;
                    in.treatment = what == TUFA_QUOTE_TREATMENT ? TUFA_TREATMENT_SOFTENER : TUFA_TREATMENT_COUNT;
                    in.price_usd = 0.0;
                    tufa_quote before = quote_of(&in, id);
                    for (double usd = 60.0; usd < 4000.0; usd *= 4.0) {
                        in.price_usd = usd;
                        tufa_quote q = quote_of(&in, ++id);
                        CHECK_TRUE(rank(q.says) >= rank(before.says), id);
                        CHECK_TRUE(q.gain_usd < before.gain_usd && q.better_share <= before.better_share + 1e-12, id);
                        CHECK_NEAR(q.break_even_usd, before.break_even_usd, 1e-9, id);
                        before = q;
                    }
                }
        }
    free_rooms();
}

static void the_break_even_is_where_the_sign_flips(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 24; i++) {
        look_at(i % 2 ? TUFA_ELECTRIC : TUFA_GAS, 2.0 + (double)i, 60);
        tufa_quote_in in = tufa_quote_defaults(&view, i % 3 ? TUFA_QUOTE_REPLACE : TUFA_QUOTE_CLEAN);
        in.leaking = 0;
        in.price_usd = 100.0;
        tufa_quote q = quote_of(&in, i);
        CHECK_NEAR(q.gain_usd, q.instead_usd - q.quote_usd, 1e-9, i);
        CHECK_TRUE(q.break_even_range_usd.p10 <= q.break_even_usd && q.break_even_usd <= q.break_even_range_usd.p90, i);
        if (q.break_even_usd < 1.0) continue;
        in.price_usd = q.break_even_usd - 0.5;
        tufa_quote under = quote_of(&in, i);
        in.price_usd = q.break_even_usd + 0.5;
        tufa_quote over = quote_of(&in, i);
        CHECK_TRUE(under.gain_usd > 0.0 && over.gain_usd < 0.0, i);
        CHECK_TRUE(under.quote_usd < under.instead_usd && over.quote_usd > over.instead_usd, i);
    }
    free_rooms();
}

static void a_longer_warranty_is_never_worse(void **state)
{
    (void)state;
    look_at(TUFA_ELECTRIC, 9.0, 80);
    for (int what = 0; what < TUFA_QUOTE_TREATMENT; what++) {
        tufa_quote_in in = tufa_quote_defaults(&view, (tufa_quote_for)what);
        in.leaking = 0;
        in.price_usd = 700.0;
        in.warranty_years = 0.0;
        double before = quote_of(&in, 0).gain_usd, first = before;
        for (double years = 0.5; years <= 20.0; years += 1.5) {
            in.warranty_years = years;
            tufa_quote q = quote_of(&in, (uint64_t)years);
            CHECK_TRUE(q.gain_usd >= before - 1e-9, (uint64_t)years);
            before = q.gain_usd;
        }
        if (what == TUFA_QUOTE_REPLACE) {
            CHECK_TRUE(before > first + 20.0, 1); /* and it is worth something */
            in.warranty_years = -1.0;
            double unsaid = quote_of(&in, 2).gain_usd;
            in.warranty_years = 6.0;
            CHECK_NEAR(quote_of(&in, 3).gain_usd, unsaid, 1e-9, 3); /* the usual one adds nothing */
        }
    }
    free_rooms();
}

/* 10,000 quotes of any kind at any price for any heater: what leaks is replaced, what is unsafe is referred. */
static void danger_comes_before_money(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 10000; i++) {
        double u[8];
        for (uint64_t k = 0; k < 8; k++) u[k] = tufa_uniform(911, k, i);
        if (i % 250 == 0) look_at((tufa_fuel)(int)(u[0] * TUFA_FUEL_COUNT), 0.5 + 24.0 * u[1], 8);
        tufa_quote_in in = tufa_quote_defaults(&view, (tufa_quote_for)(int)(u[2] * TUFA_QUOTE_FOR_COUNT));
        in.price_usd = u[3] < 0.1 ? 0.0 : exp(3.0 + 6.0 * u[3]);
        in.leaking = (int)(u[4] * 3.0) - 1;
        in.limit_failed = u[5] < 0.3;
        in.flue_unsafe = u[6] < 0.3;
        in.repair = (int)(u[7] * (double)tufa_fault_repair_count()) - 1;
        in.treatment = (tufa_treatment)(int)(u[7] * (TUFA_TREATMENT_COUNT + 1));
        in.by_himself = i % 2 == 0;
        tufa_quote q = quote_of(&in, i);
        CHECK_TRUE(!q.must_replace == (in.leaking != 1), i);
        CHECK_TRUE(!q.must_refer == !(in.limit_failed || in.flue_unsafe), i);
        if (q.must_replace && in.what == TUFA_QUOTE_REPLACE) CHECK_TRUE(q.says != TUFA_QUOTE_NO, i);
        if (q.must_replace && in.what != TUFA_QUOTE_REPLACE) CHECK_TRUE(q.says == TUFA_QUOTE_NO, i);
        const tufa_repair *r = in.repair >= 0 && in.what == TUFA_QUOTE_REPAIR ? tufa_fault_repair_at((size_t)in.repair) : NULL;
        int mends = r && ((in.limit_failed && strcmp(r->id, "tstat_upper") == 0) || (in.flue_unsafe && strcmp(r->id, "flue") == 0));
        if (q.must_refer && !mends) CHECK_TRUE(q.says != TUFA_QUOTE_TAKE, i);
        if (mends && !q.must_replace) CHECK_TRUE(q.says != TUFA_QUOTE_NO, i);
        if (in.leaking == -1 && in.what == TUFA_QUOTE_REPLACE) CHECK_TRUE(q.says != TUFA_QUOTE_NO, i);
        CHECK_TRUE(isfinite(q.break_even_usd) && isfinite(q.gain_usd) && q.better_share >= 0.0 && q.better_share <= 1.0 + 1e-9, i);
        CHECK_TRUE(q.asks < TUFA_QUOTE_ASKS, i);
    }
    free_rooms();
}

/* The other way round: a fair price for what has to be done is taken, a young sound heater is not replaced. */
static void a_quote_that_is_right_is_called_right(void **state)
{
    (void)state;
    look_at(TUFA_GAS, 13.0, 160);
    tufa_quote_in in = tufa_quote_defaults(&view, TUFA_QUOTE_REPLACE);
    in.leaking = 1;
    in.price_usd = 1400.0;
    tufa_quote q = quote_of(&in, 0);
    CHECK_TRUE(q.says == TUFA_QUOTE_TAKE && q.must_replace && q.mark == TUFA_MARK_USUAL && q.gain_usd > 0.0, 0);
    in.price_usd = 4200.0;
    q = quote_of(&in, 1);
    CHECK_TRUE(q.says == TUFA_QUOTE_ASK_FIRST && q.mark == TUFA_MARK_HIGH && q.gain_usd < 0.0, 1);
    look_at(TUFA_ELECTRIC, 3.0, 160);
    in = tufa_quote_defaults(&view, TUFA_QUOTE_REPLACE);
    in.leaking = 0;
    in.price_usd = 1850.0;
    q = quote_of(&in, 2);
    CHECK_TRUE(q.says == TUFA_QUOTE_NO && q.gain_usd < -1000.0 && !q.must_replace, 2);
    free_rooms();
}

static void lines_are_held_against_their_usual_prices(void **state)
{
    (void)state;
    look_at(TUFA_ELECTRIC, 12.0, 40);
    tufa_quote_in in = tufa_quote_defaults(&view, TUFA_QUOTE_REPLACE);
    in.line_usd[TUFA_LINE_HEATER] = 5000.0;
    in.line_usd[TUFA_LINE_PERMIT] = 100.0;
    in.line_usd[TUFA_LINE_CODE] = 300.0;
    tufa_quote q = quote_of(&in, 0);
    CHECK_NEAR(q.price_usd, 5400.0, 1e-9, 0);
    CHECK_TRUE(q.line_mark[TUFA_LINE_HEATER] == TUFA_MARK_HIGH && q.line_mark[TUFA_LINE_PERMIT] == TUFA_MARK_USUAL, 0);
    CHECK_TRUE(q.line_mark[TUFA_LINE_LABOUR] == TUFA_MARK_ABSENT && q.line_mark[TUFA_LINE_CODE] == TUFA_MARK_NO_RANGE, 0);
    double lacks = 0.0, usd[3];
    tufa_quote_usual(TUFA_LINE_LABOUR, TUFA_ELECTRIC, 0.0, usd), lacks += usd[1];
    tufa_quote_usual(TUFA_LINE_HAUL_AWAY, TUFA_ELECTRIC, 0.0, usd), lacks += usd[1];
    tufa_quote_usual(TUFA_LINE_FITTINGS, TUFA_ELECTRIC, 0.0, usd), lacks += usd[1];
    CHECK_NEAR(q.absent_usd, lacks, 1e-9, 0);
    int clause = 0, pan = 0, vent = 0;
    for (size_t k = 0; k < q.asks; k++) {
        clause += q.ask[k].ask == TUFA_ASK_CLAUSE;
        pan += q.ask[k].ask == TUFA_ASK_LINE && q.ask[k].line == TUFA_LINE_PAN;
        vent += q.ask[k].ask == TUFA_ASK_LINE && q.ask[k].line == TUFA_LINE_VENT;
    }
    CHECK_TRUE(clause == 1 && pan == 1 && vent == 0, 0); /* an electric heater has no vent */
    double big[3];
    tufa_quote_usual(TUFA_LINE_HEATER, TUFA_ELECTRIC, 0.3, big);
    tufa_quote_usual(TUFA_LINE_HEATER, TUFA_ELECTRIC, 0.0, usd);
    CHECK_TRUE(big[0] > usd[0] && big[2] > usd[2], 1);
    free_rooms();
}

static void what_has_no_evidence_is_worth_nothing_and_stopping_all_scale_is_worth_something(void **state)
{
    (void)state;
    look_at(TUFA_ELECTRIC, 6.0, 160);
    tufa_quote_in in = tufa_quote_defaults(&view, TUFA_QUOTE_TREATMENT);
    in.treatment = TUFA_TREATMENT_MAGNET;
    in.price_usd = 300.0;
    tufa_quote q = quote_of(&in, 0);
    CHECK_TRUE(q.says == TUFA_QUOTE_NO && q.reason == TUFA_QUOTE_REASON_NO_EVIDENCE, 0);
    CHECK_NEAR(q.gain_usd, -300.0, 1e-6, 0);
    CHECK_TRUE(q.treats_all_usd > 1.0, 0);
    in.treatment = TUFA_TREATMENT_SOFTENER;
    tufa_quote soft = quote_of(&in, 1);
    CHECK_NEAR(soft.break_even_usd, 0.985 * soft.treats_all_usd, 1e-6, 1);
    in.treatment = TUFA_TREATMENT_TEMPLATE;
    in.price_usd = q.treats_all_usd + 100.0;
    CHECK_TRUE(quote_of(&in, 2).says == TUFA_QUOTE_NO, 2);
    in.price_usd = 0.2 * q.treats_all_usd;
    CHECK_TRUE(quote_of(&in, 3).says == TUFA_QUOTE_ASK_FIRST, 3);
    free_rooms();
}

static void odd_input_is_refused_by_name(void **state)
{
    (void)state;
    look_at(TUFA_ELECTRIC, 6.0, 20);
    static unsigned char room[4 << 20];
    tufa_arena arena = {.base = room, .size = sizeof room};
    tufa_quote q;
    tufa_quote_in in = tufa_quote_defaults(&view, TUFA_QUOTE_REPLACE);
    assert_int_equal(tufa_quote_look(&in, &arena, &q).code, TUFA_MISSING);
    in.price_usd = 1e7;
    assert_int_equal(tufa_quote_look(&in, &arena, &q).code, TUFA_RANGE);
    in.price_usd = (double)NAN;
    assert_int_not_equal(tufa_quote_look(&in, &arena, &q).code, TUFA_OK);
    in.price_usd = 500.0;
    in.warranty_years = 80.0;
    assert_string_equal(tufa_quote_look(&in, &arena, &q).field, "warranty_years");
    free_rooms();
}

/* The power that is promised, against trials played out draw by draw. */
static void the_trial_shows_what_it_promises(void **state)
{
    (void)state;
    enum { TRIALS = 20000 };
    for (int swap = 0; swap < 2; swap++) {
        tufa_fair_trial t = {.pairs = 1 + 2 * swap, .swap = swap, .log_sd_between = 0.38, .log_sd_season = 0.15, .log_sd_weighed = 0.1};
        double least, sd, power;
        CHECK_OK(tufa_fair_trial_least_seen(&t, &least), 0);
        CHECK_OK(tufa_fair_trial_log_sd(&t, &sd), 0);
        CHECK_OK(tufa_fair_trial_power(&t, least, &power), 0);
        CHECK_NEAR(power, 0.8, 1e-9, swap);
        CHECK_OK(tufa_fair_trial_power(&t, 0.0, &power), 0);
        CHECK_NEAR(power, 0.025, 1e-9, swap);
        int seen = 0;
        uint64_t at = 0;
        for (int k = 0; k < TRIALS; k++) {
            double sum = 0.0;
            for (int p = 0; p < t.pairs; p++) {
                double house[2], weight[2][2]; /* by house and period */
                for (int h = 0; h < 2; h++) house[h] = t.log_sd_between * tufa_normal(5, 1, at++);
                for (int h = 0; h < 2; h++)
                    for (int period = 0; period < 1 + swap; period++) {
                        int treated = h == period;
                        weight[h][period] = house[h] + t.log_sd_season * tufa_normal(5, 2, at) + t.log_sd_weighed * tufa_normal(5, 3, at) +
                                            (treated ? log1p(-least) : 0.0);
                        at++;
                    }
                sum += swap ? 0.5 * ((weight[0][0] - weight[1][0]) + (weight[1][1] - weight[0][1])) : weight[0][0] - weight[1][0];
            }
            seen += sum / t.pairs < -1.959963984540054 * sd;
        }
        CHECK_NEAR((double)seen / TRIALS, 0.8, 0.012, swap); /* four standard errors of 20,000 trials */
    }
    tufa_fair_trial one = {.pairs = 1, .log_sd_between = 0.38, .log_sd_season = 0.15, .log_sd_weighed = 0.1}, more = one, turned = one;
    double a, b, c;
    more.pairs = 4;
    turned.swap = 1;
    CHECK_OK(tufa_fair_trial_least_seen(&one, &a), 1);
    CHECK_OK(tufa_fair_trial_least_seen(&more, &b), 1);
    CHECK_OK(tufa_fair_trial_least_seen(&turned, &c), 1);
    CHECK_TRUE(b < a && c < a, 1);
}

/* Another kind of heater: the break-even does not hang on the price, no is no, and what was not asked is not taken. */
static void another_kind_is_judged_by_the_house_too(void **state)
{
    (void)state;
    tufa_ahead kind;
    look_at(TUFA_GAS, 9.0, 40);
    tufa_ahead_in of_kind = case_in(TUFA_ELECTRIC, 0.0);
    of_kind.draws = 40;
    of_kind.months = 60;
    look_in(1, &of_kind, &kind);
    uint64_t id = 0;
    for (int allowed = -1; allowed <= 1; allowed++)
        for (int leaking = 0; leaking <= 1; leaking++) {
            tufa_quote_in in = tufa_quote_defaults(&view, TUFA_QUOTE_REPLACE);
            in.kind = TUFA_CHOICE_TO_HEAT_PUMP;
            in.money.other[in.kind] = (tufa_money_other){.ahead = &kind, .allowed = allowed == 1};
            in.kind_allowed = allowed;
            in.leaking = leaking;
            in.price_usd = 10.0;
            tufa_quote cheap = quote_of(&in, ++id);
            in.price_usd = 9000.0;
            tufa_quote dear = quote_of(&in, ++id);
            CHECK_NEAR(cheap.break_even_usd, dear.break_even_usd, 1e-9, id);
            CHECK_TRUE(rank(cheap.says) <= rank(dear.says) && cheap.gain_usd > dear.gain_usd, id);
            CHECK_TRUE(allowed != 0 || (cheap.says == (leaking ? TUFA_QUOTE_ASK_FIRST : TUFA_QUOTE_NO) && cheap.reason == TUFA_QUOTE_REASON_NOT_ALLOWED), id);
            CHECK_TRUE(allowed != -1 || cheap.says != TUFA_QUOTE_TAKE, id);
            CHECK_TRUE(!leaking || dear.says != TUFA_QUOTE_NO, id);
            CHECK_TRUE(cheap.usual_usd[0] < cheap.usual_usd[1] && cheap.usual_usd[1] < cheap.usual_usd[2], id);
        }
    tufa_quote_in in = tufa_quote_defaults(&view, TUFA_QUOTE_REPLACE);
    static unsigned char room[64];
    tufa_arena none = {.base = room, .size = sizeof room};
    tufa_quote q;
    in.kind = TUFA_CHOICE_TO_GAS; /* its view ahead was not handed in */
    in.price_usd = 10.0;
    CHECK_CODE(tufa_quote_look(&in, &none, &q), TUFA_MISSING, ++id);
    free_rooms();
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_higher_price_is_never_better),
        cmocka_unit_test(the_break_even_is_where_the_sign_flips),
        cmocka_unit_test(a_longer_warranty_is_never_worse),
        cmocka_unit_test(danger_comes_before_money),
        cmocka_unit_test(a_quote_that_is_right_is_called_right),
        cmocka_unit_test(lines_are_held_against_their_usual_prices),
        cmocka_unit_test(what_has_no_evidence_is_worth_nothing_and_stopping_all_scale_is_worth_something),
        cmocka_unit_test(odd_input_is_refused_by_name),
        cmocka_unit_test(another_kind_is_judged_by_the_house_too),
        cmocka_unit_test(the_trial_shows_what_it_promises),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
