/* Lives: what published figures and own records say together; ends that compete. */
#include "tests/property/ahead_case.h"
#include "tufa/money.h"

#include <stdlib.h>

enum { KEY = 62 };

static double uniform(uint64_t stream, uint64_t i) { return tufa_uniform(KEY, stream, i); }

/* A fleet that is watched from the age `entry` on, for some years; heaters gone before that are not in it. */
static size_t fleet(const tufa_weibull *w, uint64_t stream, size_t n, tufa_lived *life)
{
    size_t k = 0;
    for (uint64_t i = 0; k < n; i++) {
        double t = w->scale_years * pow(-log(uniform(stream, i)), 1.0 / w->shape);
        double entry = i % 3 ? 12.0 * uniform(stream + 1, i) : 0.0, until = entry + 1.0 + 9.0 * uniform(stream + 2, i);
        if (t > entry) life[k++] = (tufa_lived){.entry_years = entry, .years = fmin(t, until), .failed = t <= until};
    }
    return k;
}

static void without_records_the_published_life_stands(void **state)
{
    (void)state;
    static tufa_life_grid g;
    tufa_life prior = tufa_life_default(TUFA_ELECTRIC);
    CHECK_OK(tufa_life_learn(&prior, tufa_bed_on_life_default(TUFA_GAS), 0, NULL, NULL, &g), 0);
    tufa_life l = tufa_life_from(&g);
    CHECK_REL(l.mean_years.mid, prior.mean_years.mid, 0.01, 1);
    CHECK_REL(l.mean_years.lo, prior.mean_years.lo, 0.02, 2);
    CHECK_REL(l.mean_years.hi, prior.mean_years.hi, 0.02, 3);
    CHECK_REL(l.shape.mid, prior.shape.mid, 0.02, 4);
    CHECK_REL(l.shape.lo, prior.shape.lo, 0.03, 5);
    CHECK_REL(l.shape.hi, prior.shape.hi, 0.03, 6);
    tufa_value b = tufa_life_bed_ratio(&g);
    CHECK_NEAR(b.mid, 1.2, 0.02, 7);
    CHECK_TRUE(l.mean_years.basis == TUFA_BASIS_DEFAULT && b.basis == TUFA_BASIS_DEFAULT, 8);
}

static void many_records_say_what_the_best_fit_says(void **state)
{
    (void)state;
    enum { LIVES = 1500 };
    static tufa_life_grid g;
    tufa_lived *life = malloc(LIVES * sizeof *life);
    for (uint64_t s = 0; s < 4; s++) {
        tufa_weibull w;
        tufa_weibull_fit f;
        CHECK_OK(tufa_weibull_from_mean(8.0 + 3.0 * (double)s, 1.6 + 0.5 * (double)s, &w), s);
        size_t n = fleet(&w, 10 * s, LIVES, life);
        tufa_life wide = {.mean_years = between(12.0, 5.0, 28.0), .shape = between(2.2, 1.0, 5.0)};
        CHECK_OK(tufa_life_learn(&wide, tufa_bed_on_life_default(TUFA_GAS), n, life, NULL, &g), s);
        CHECK_OK(tufa_money_weibull_fit(n, life, &f), s);
        tufa_life l = tufa_life_from(&g);
        CHECK_NEAR(log(l.mean_years.mid / tufa_weibull_mean(&f.life)), 0.0, f.log_scale_sd, s);
        CHECK_NEAR(log(l.shape.mid / f.life.shape), 0.0, f.log_shape_sd, s);
        CHECK_TRUE(log(l.shape.hi / l.shape.lo) < 2.0 * 2.563 * f.log_shape_sd + 0.1, s); /* 10 to 90 %, and a cell */
        CHECK_TRUE(l.mean_years.basis == TUFA_BASIS_LEARNED && l.grid == &g, s);
    }
    free(life);
}

/* The life is drawn from what the prior holds possible: then the range must hold it as often as it says. */
static void a_fleet_whose_life_is_known_is_found_as_often_as_the_range_says(void **state)
{
    (void)state;
    enum { FLEETS = 240, LIVES = 60 };
    static tufa_life_grid g;
    static tufa_lived life[LIVES];
    tufa_life prior = tufa_life_default(TUFA_ELECTRIC);
    int mean = 0, shape = 0;
    for (uint64_t i = 0; i < FLEETS; i++) {
        tufa_weibull w = tufa_life_at(&prior, uniform(500, i), uniform(501, i));
        size_t n = fleet(&w, 1000 + 10 * i, LIVES, life);
        CHECK_OK(tufa_life_learn(&prior, tufa_bed_on_life_default(TUFA_GAS), n, life, NULL, &g), i);
        tufa_life l = tufa_life_from(&g);
        double truth = tufa_weibull_mean(&w);
        mean += truth >= l.mean_years.lo && truth <= l.mean_years.hi;
        shape += w.shape >= l.shape.lo && w.shape <= l.shape.hi;
    }
    /* 80 % of 240 is 192, standard error 6.2: within three of them */
    CHECK_TRUE(mean >= 173 && mean <= 211, mean);
    CHECK_TRUE(shape >= 173 && shape <= 211, shape);
}

static void more_lives_narrow_and_their_order_does_not_matter(void **state)
{
    (void)state;
    enum { LIVES = 400 };
    static tufa_life_grid g, back;
    static tufa_lived life[LIVES], turned[LIVES];
    tufa_life prior = tufa_life_default(TUFA_GAS);
    tufa_weibull w;
    CHECK_OK(tufa_weibull_from_mean(11.0, 2.4, &w), 0);
    fleet(&w, 40, LIVES, life);
    double before = log(prior.mean_years.hi / prior.mean_years.lo);
    for (size_t n = 25; n <= LIVES; n *= 4) {
        CHECK_OK(tufa_life_learn(&prior, tufa_bed_on_life_default(TUFA_GAS), n, life, NULL, &g), n);
        for (size_t i = 0; i < n; i++) turned[i] = life[n - 1 - i];
        CHECK_OK(tufa_life_learn(&prior, tufa_bed_on_life_default(TUFA_GAS), n, turned, NULL, &back), n);
        tufa_life l = tufa_life_from(&g), r = tufa_life_from(&back);
        double width = log(l.mean_years.hi / l.mean_years.lo);
        CHECK_TRUE(width < before, n);
        CHECK_REL(l.mean_years.mid, r.mean_years.mid, 1e-9, n);
        before = width;
    }
}

static void draws_come_from_the_grid(void **state)
{
    (void)state;
    enum { LIVES = 80, DRAWS = 4000 };
    static tufa_life_grid g;
    static tufa_lived life[LIVES];
    static double mean[DRAWS];
    tufa_life prior = tufa_life_default(TUFA_GAS);
    tufa_weibull w;
    CHECK_OK(tufa_weibull_from_mean(9.0, 2.8, &w), 0);
    size_t n = fleet(&w, 90, LIVES, life);
    CHECK_OK(tufa_life_learn(&prior, tufa_bed_on_life_default(TUFA_GAS), n, life, NULL, &g), 0);
    tufa_life l = tufa_life_from(&g);
    for (uint64_t i = 0; i < DRAWS; i++) {
        tufa_weibull d = tufa_life_at(&l, uniform(600, i), uniform(601, i));
        mean[i] = tufa_weibull_mean(&d);
    }
    CHECK_REL(tufa_quantile(DRAWS, mean, 0.1), l.mean_years.lo, 0.02, 1);
    CHECK_REL(tufa_quantile(DRAWS, mean, 0.5), l.mean_years.mid, 0.02, 2);
    CHECK_REL(tufa_quantile(DRAWS, mean, 0.9), l.mean_years.hi, 0.02, 3);
    double last = 1.0;
    for (int age = 0; age <= 30; age += 5) {
        tufa_value s = tufa_life_survival(&g, age);
        CHECK_TRUE(s.lo <= s.mid && s.mid <= s.hi && s.mid <= last, age);
        last = s.mid;
    }
}

/* Tanks whose bed is in trouble from some age on, and fail faster from then: the fleet says how much. */
static void a_bed_that_shortens_lives_is_learned_from_the_fleet(void **state)
{
    (void)state;
    enum { LIVES = 3000 };
    static tufa_life_grid g;
    tufa_lived *life = malloc(LIVES * sizeof *life);
    double *trouble = malloc(LIVES * sizeof *trouble);
    tufa_life prior = tufa_life_default(TUFA_GAS);
    tufa_value assumed = between(1.5, 1.0, 2.5);
    for (int harm = 0; harm < 2; harm++) {
        double ratio = harm ? 2.4 : 1.0, k = 2.2, scale = 13.55;
        for (uint64_t i = 0; i < LIVES; i++) {
            double turn = 4.0 + 12.0 * uniform(700, i), h = -log(uniform(701, i)), at_turn = pow(turn / scale, k);
            double t = h <= at_turn ? scale * pow(h, 1.0 / k) : scale * pow(at_turn + (h - at_turn) / ratio, 1.0 / k);
            life[i] = (tufa_lived){.years = fmin(t, 18.0), .failed = t <= 18.0};
            trouble[i] = turn;
        }
        CHECK_OK(tufa_life_learn(&prior, assumed, LIVES, life, trouble, &g), harm);
        tufa_value b = tufa_life_bed_ratio(&g);
        if (harm) CHECK_TRUE(b.mid > 2.0, 1);
        else CHECK_TRUE(b.mid < 1.2, 0);
        CHECK_TRUE(log(b.hi / b.lo) < log(assumed.hi / assumed.lo), harm);
        CHECK_OK(tufa_life_learn(&prior, assumed, LIVES, life, NULL, &g), harm); /* where nobody knows the beds it stays an assumption */
        CHECK_NEAR(tufa_life_bed_ratio(&g).mid, 1.5, 0.05, harm);
    }
    free(life);
    free(trouble);
}

static void ends_that_compete_share_out_everything(void **state)
{
    (void)state;
    enum { N = 120 };
    static tufa_lived life[N];
    static int end[N], one[N];
    static tufa_ends_step step[N], alone[N];
    static tufa_limit_step limit[N];
    size_t steps, same, curve;
    for (uint64_t i = 0; i < N; i++) {
        double entry = i % 4 ? 0.0 : 5.0 * uniform(800, i);
        life[i] = (tufa_lived){.entry_years = entry, .years = entry + ceil(10.0 * uniform(801, i)), .failed = uniform(802, i) < 0.6};
        end[i] = (int)(3.0 * uniform(803, i));
    }
    CHECK_OK(tufa_money_ends(N, life, end, 3, step, &steps), 0);
    CHECK_OK(tufa_money_ends(N, life, one, 1, alone, &same), 1);
    CHECK_OK(tufa_money_product_limit(N, life, limit, &curve), 2);
    CHECK_TRUE(steps == curve && same == curve, 3);
    for (size_t k = 0; k < steps; k++) {
        CHECK_NEAR(step[k].survival + step[k].incidence[0] + step[k].incidence[1] + step[k].incidence[2], 1.0, 1e-12, k);
        CHECK_NEAR(step[k].survival, limit[k].survival, 1e-12, k);
        CHECK_NEAR(1.0 - alone[k].incidence[0], limit[k].survival, 1e-12, k);
    }
    CHECK_CODE(tufa_money_ends(N, life, end, 2, step, &steps), TUFA_RANGE, 4);
}

static tufa_risks risks_of(const tufa_money_in *in)
{
    static unsigned char room[8 << 20];
    tufa_arena arena = {.base = room, .size = tufa_money_bytes(in->ahead->draws)};
    tufa_risks r;
    CHECK_OK(tufa_money_risks(in, &arena, &r), 0);
    CHECK_TRUE(arena.used == 0, 0);
    return r;
}

/* The year's chances are those of the competing ends taken alone: exactly for the tank, closely for parts, whose hazard is taken
 * at the middle of each half year. */
static void chances_of_the_year_are_those_of_what_may_end(void **state)
{
    (void)state;
    static unsigned char room[8 << 20];
    for (int age = 1; age <= 7; age += 3) {
        tufa_ahead_in in = case_in(age == 4 ? TUFA_GAS : TUFA_ELECTRIC, age);
        tufa_ahead a;
        look_in(0, &in, &a);
        tufa_money_in m = tufa_money_defaults(&a);
        tufa_arena arena = {.base = room, .size = tufa_money_bytes(a.draws)};
        tufa_money_year y;
        CHECK_OK(tufa_money_look(&m, &arena, &y), age);
        tufa_risks r = risks_of(&m);
        CHECK_REL(y.mean_p_tank, r.within[TUFA_RISK_TANK][1], 1e-6, age);
        /* a part of an older heater may have been renewed before: its rate does not rise beyond one in a mean life */
        if (age < 7) CHECK_REL(y.mean_p_control, r.within[TUFA_RISK_CONTROL][1], 0.03, age);
        else CHECK_TRUE(y.mean_p_control < r.within[TUFA_RISK_CONTROL][1] && y.mean_p_control > -expm1(-1.0 / 15.0), age);
        if (age != 4) CHECK_REL(y.mean_p_element, r.within[TUFA_RISK_ELEMENT][1], 0.03, age);
        else CHECK_TRUE(y.mean_p_element == 0.0, age);
        CHECK_TRUE(y.p_control.p10 <= y.p_control.p50 && y.p_control.p50 <= y.p_control.p90 && y.p_control.p90 < 1.0, age);
    }
    free_rooms();
}

static void what_may_end_first_is_shared_out_year_by_year(void **state)
{
    (void)state;
    for (int fuel = 0; fuel < 2; fuel++) {
        tufa_ahead_in in = case_in(fuel ? TUFA_GAS : TUFA_ELECTRIC, 7.0);
        tufa_ahead a;
        look_in(0, &in, &a);
        tufa_money_in m = tufa_money_defaults(&a);
        tufa_risks r = risks_of(&m);
        for (int y = 0; y <= TUFA_RISK_YEARS; y++) {
            double sum = r.none[y];
            for (int k = 0; k < TUFA_RISK_COUNT; k++) {
                sum += r.first[k][y];
                CHECK_TRUE(r.first[k][y] <= r.within[k][y] + 1e-12 && r.within[k][y] <= 1.0 + 1e-12, 100 * fuel + 10 * k + y);
                if (y) CHECK_TRUE(r.within[k][y] >= r.within[k][y - 1] - 1e-12, 100 * fuel + 10 * k + y);
            }
            CHECK_NEAR(sum, 1.0, 1e-9, y);
        }
        CHECK_TRUE(fuel == 1 ? r.within[TUFA_RISK_ELEMENT][10] == 0.0 : r.within[TUFA_RISK_ELEMENT][10] > 0.3, fuel);
    }
    free_rooms();
}

static void an_anode_goes_by_its_metal_and_by_the_water(void **state)
{
    (void)state;
    tufa_ahead_in in = case_in(TUFA_GAS, 4.0);
    tufa_ahead a;
    look_in(0, &in, &a);
    tufa_money_in m = tufa_money_defaults(&a);
    double usual = risks_of(&m).within[TUFA_RISK_ANODE][0];
    m.conductivity_S_m = given(0.15);
    double salty = risks_of(&m).within[TUFA_RISK_ANODE][0];
    m.conductivity_S_m = given(0.02);
    double thin = risks_of(&m).within[TUFA_RISK_ANODE][0];
    CHECK_TRUE(salty > usual && usual > thin, 0);
    m.anode_life_years = between(3.0, 2.6, 3.4); /* its own metal was seen to go */
    CHECK_TRUE(risks_of(&m).within[TUFA_RISK_ANODE][0] > 0.95, 1);
    m.anode_life_years = between(9.0, 8.0, 10.0);
    CHECK_TRUE(risks_of(&m).within[TUFA_RISK_ANODE][0] < 0.05, 2);
    free_rooms();
}

RUN(cmocka_unit_test(without_records_the_published_life_stands), cmocka_unit_test(many_records_say_what_the_best_fit_says),
    cmocka_unit_test(a_fleet_whose_life_is_known_is_found_as_often_as_the_range_says),
    cmocka_unit_test(more_lives_narrow_and_their_order_does_not_matter), cmocka_unit_test(draws_come_from_the_grid),
    cmocka_unit_test(a_bed_that_shortens_lives_is_learned_from_the_fleet), cmocka_unit_test(ends_that_compete_share_out_everything),
    cmocka_unit_test(chances_of_the_year_are_those_of_what_may_end), cmocka_unit_test(what_may_end_first_is_shared_out_year_by_year), cmocka_unit_test(an_anode_goes_by_its_metal_and_by_the_water))
