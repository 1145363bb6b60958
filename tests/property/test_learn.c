#include "tests/property/ahead_case.h"
#include "tufa/learn.h"

static const double DAYS_YEAR = 365.25;

/* At the reference state the kept share is eps itself, whatever order and X_ref are: then nothing but eps is unknown. */
static tufa_ahead_in reference_in(double age_years)
{
    static const double T_K[1] = {TUFA_REF_K}, mg_L[1] = {TUFA_REF_CCPP_MG_L};
    static tufa_use use;
    tufa_ahead_in in = case_in(TUFA_ELECTRIC, age_years);
    in.ccpp = (tufa_ccpp){.draws = 1, .temps = 1, .T_K = T_K, .mg_L = mg_L};
    in.heater.field[TUFA_HEATER_VOLUME] = given(0.19);
    use = (tufa_use){.litres_day = given(190.0 * 86400.0 / TUFA_REF_STAY_S), .setpoint_K = given(TUFA_REF_K)};
    in.use = &use;
    in.uses = 1;
    in.misread_share = 0.0;
    in.draws = 40;
    return in;
}

static double kg_per_eps(double years) { return 1e-6 * TUFA_REF_CCPP_MG_L * 190.0 * 86400.0 / TUFA_REF_STAY_S * DAYS_YEAR * years; }

static tufa_learn learned(const tufa_ahead_in *in, tufa_learn_finding *each)
{
    tufa_learn l;
    tufa_arena arena = {.base = malloc(ROOM_BYTES), .size = tufa_learn_bytes(in->draws, in->findings)};
    CHECK_OK(tufa_learn_eps(in, &arena, &l, each), 0);
    CHECK_TRUE(arena.used == 0, 0);
    free(arena.base);
    return l;
}

static void the_grid_gives_what_the_closed_form_gives(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 20; i++) {
        double eps = 0.12 * exp(0.5 * tufa_normal(5, 1, i)), years = 3.0 + (double)i * 0.5, mean, sd, want_mean, want_sd;
        tufa_ahead_in in = reference_in(years);
        tufa_finding f = {.kind = TUFA_FOUND_WEIGHED, .day = TODAY, .value = eps * kg_per_eps(years), .left_kg = given(0.0)};
        in.found = &f;
        in.findings = 1;
        tufa_learn l = learned(&in, NULL);
        tufa_eps_moments(&l.posterior, &mean, &sd);
        tufa_learn_conjugate(log(0.12), 0.55, log(eps), 0.25, &want_mean, &want_sd);
        CHECK_NEAR(mean, want_mean, 2e-3, i); /* grid cells are 0.029 wide */
        CHECK_NEAR(sd, want_sd, 2e-3, i);
    }
}

static void more_of_the_same_narrows(void **state)
{
    (void)state;
    tufa_finding f[6];
    tufa_ahead_in in = reference_in(12.0);
    double before = 1e9, mean, sd;
    for (size_t k = 0; k < 6; k++)
        f[k] = (tufa_finding){.kind = k % 2 ? TUFA_FOUND_SLURRY : TUFA_FOUND_WEIGHED, .day = TODAY - 3600 + 700 * (int64_t)k, .left_kg = given(0.0)};
    in.misread_share = 0.02;
    in.found = f;
    double since = 12.0 * DAYS_YEAR - 3600.0;
    for (size_t k = 0; k < 6; k++) {
        f[k].value = 0.2 * kg_per_eps(since / DAYS_YEAR);
        if (k % 2) { /* in litres, at the default packing */
            tufa_packing p = tufa_packing_default();
            f[k].value = tufa_packing_bed_m3(&p, f[k].value);
        }
        since = 700.0;
        in.findings = k + 1;
        tufa_learn l = learned(&in, NULL);
        tufa_eps_moments(&l.posterior, &mean, &sd);
        CHECK_TRUE(sd < before, (int)k);
        CHECK_TRUE(l.contradicting == -1 && l.used == k + 1, (int)k);
        before = sd;
    }
    CHECK_NEAR(mean, log(0.2), 0.15, 9);
}

static void a_height_is_read_through_the_shape_of_the_floor(void **state)
{
    (void)state;
    tufa_ahead_in in = reference_in(10.0);
    tufa_ahead a;
    tufa_finding f = {.kind = TUFA_FOUND_HEIGHT, .day = TODAY};
    in.draws = 200;
    look_in(0, &in, &a);
    double before[2], after[2];
    tufa_eps_moments(&in.eps, &before[0], &before[1]);
    in.found = &f;
    in.findings = 1;
    double last = -10.0;
    for (int k = -1; k <= 1; k++) {
        f.value = a.now_depth_m.p50 * exp(0.4 * k);
        tufa_learn_finding each;
        tufa_learn l = learned(&in, &each);
        tufa_eps_moments(&l.posterior, &after[0], &after[1]);
        CHECK_TRUE(after[1] < before[1] && after[0] > last, k);
        CHECK_REL(each.expected, a.now_depth_m.p50, 0.15, k); /* kept by table, against the bed as it lies */
        last = after[0];
    }
    free_rooms();
}

/* Four ways to read one and the same bed lead to the same eps, as near as their errors are alike. */
static void every_way_of_reading_a_bed_says_the_same(void **state)
{
    (void)state;
    tufa_ahead_in in = reference_in(10.0);
    in.grain_porosity = given(0.3);
    in.voidage = given(0.5);
    in.heater.field[TUFA_HEATER_DIAMETER] = given(0.45);
    tufa_packing p = tufa_packing_default();
    double eps = 0.2, kg = eps * kg_per_eps(10.0), m3 = tufa_packing_bed_m3(&p, kg), plan_m2 = 0.78539816339744831 * 0.45 * 0.45;
    tufa_finding f[4] = {{.kind = TUFA_FOUND_WEIGHED, .value = kg - 1.0, .left_kg = given(1.0)}, {.kind = TUFA_FOUND_SLURRY, .value = m3, .left_depth_m = given(0.0)},
                         {.kind = TUFA_FOUND_DEPTH, .value = m3 / plan_m2}, {.kind = TUFA_FOUND_REFILL, .value = m3}};
    in.findings = 1;
    for (int k = 0; k < 4; k++) {
        f[k].day = TODAY;
        f[k].log_sd = 0.25;
        in.found = &f[k];
        double mean, sd, want_mean, want_sd;
        tufa_learn_finding each;
        tufa_learn l = learned(&in, &each);
        tufa_eps_moments(&l.posterior, &mean, &sd);
        tufa_learn_conjugate(log(0.12), 0.55, log(eps), 0.25, &want_mean, &want_sd);
        CHECK_NEAR(mean, want_mean, 2e-3, k);
        CHECK_NEAR(sd, want_sd, 2e-3, k);
        double expected = each.expected / f[k].value; /* before it: at the prior's median, in its own unit */
        CHECK_TRUE(expected > 0.4 && expected < 0.8, k);
    }
}

static void what_a_cleaning_left_may_be_a_depth(void **state)
{
    (void)state;
    tufa_ahead_in in = reference_in(10.0);
    in.grain_porosity = given(0.3);
    in.voidage = given(0.5);
    in.heater.field[TUFA_HEATER_DIAMETER] = given(0.45);
    tufa_finding f = {.kind = TUFA_FOUND_CLEANED, .day = TODAY, .left_depth_m = given(0.01)};
    tufa_ahead a;
    in.found = &f;
    in.findings = 1;
    look_in(0, &in, &a);
    for (unsigned i = 0; i < a.draws; i++) CHECK_REL(a.draw_kg[i], 0.01 * 0.78539816339744831 * 0.45 * 0.45 * 948.5, 1e-9, i);
    free_rooms();
}

static void a_finding_that_contradicts_is_named_and_hardly_moves_the_rest(void **state)
{
    (void)state;
    tufa_ahead_in in = reference_in(10.0);
    in.misread_share = 0.02;
    tufa_finding f[3];
    for (int k = 0; k < 3; k++)
        f[k] = (tufa_finding){.kind = TUFA_FOUND_WEIGHED, .day = TODAY - 2200 + 1100 * k, .left_kg = given(0.0),
                              .value = 0.12 * kg_per_eps(k == 0 ? 10.0 - 2200.0 / DAYS_YEAR : 1100.0 / DAYS_YEAR)};
    in.found = f;
    in.findings = 2;
    tufa_learn two = learned(&in, NULL);
    in.findings = 3;
    f[2].value *= 12.0;
    tufa_learn_finding each[3];
    tufa_learn three = learned(&in, each);
    CHECK_TRUE(three.contradicting == 2 && each[2].contradicts && !each[0].contradicts && !each[1].contradicts, 0);
    CHECK_NEAR(log(three.posterior_eps.mid / two.posterior_eps.mid), 0.0, 0.15, 1);
    tufa_ahead a;
    look_in(0, &in, &a);
    CHECK_TRUE(a.found_surprise_index == 2 && a.found_surprise > 3.0, 2);
    free_rooms();
}

static void a_house_that_lays_down_more_is_found_to(void **state)
{
    (void)state;
    int inside = 0;
    enum { HOUSES = 40 };
    for (uint64_t i = 0; i < HOUSES; i++) {
        double truth;
        tufa_ahead_in in = case_in(TUFA_ELECTRIC, 8.0), quiet = in;
        tufa_ahead a;
        quiet.draws = in.draws = 120;
        quiet.key = 1000 + i;
        look_in(0, &quiet, &a);
        unsigned pick = (unsigned)(i % a.draws); /* one draw of another world is the truth */
        truth = a.draw_eps[pick];
        tufa_finding f = {.kind = TUFA_FOUND_WEIGHED, .day = TODAY, .left_kg = given(0.0),
                          .value = a.draw_kg[pick] * exp(0.25 * tufa_normal(9, 9, i))};
        in.found = &f;
        in.findings = 1;
        in.key = 5000 + i;
        tufa_learn l = learned(&in, NULL);
        inside += truth >= l.posterior_eps.lo && truth <= l.posterior_eps.hi;
    }
    /* 80 % are expected inside; 40 houses give that within 4 standard errors of 6 % */
    CHECK_TRUE(inside >= 22 && inside <= 40, inside);
    free_rooms();
}

/* Findings as sharp log-normal likelihoods: then the grid must give what the closed form of shrinkage gives. */
static void neighbours_shrink_as_the_closed_form_says(void **state)
{
    (void)state;
    enum { HOUSES = 6 };
    static tufa_learn own[HOUSES];
    static unsigned char room[1 << 16];
    double y[HOUSES] = {-1.2, -1.5, -1.9, -1.4, -2.2, -1.0}, sd[HOUSES] = {0.25, 0.3, 0.5, 0.25, 0.4, 0.35}, cell = 0.0290457;
    tufa_learn_water w = tufa_learn_water_default(TUFA_ELECTRIC);
    CHECK_NEAR(hypot(w.water_log_sd, w.between_log_sd), 0.55, 0.003, 0);
    for (int j = 0; j < HOUSES; j++) {
        double sum = 0.0;
        own[j] = (tufa_learn){.prior = tufa_eps_prior(TUFA_ELECTRIC), .used = 1};
        for (size_t g = 0; g < TUFA_EPS_POINTS; g++) {
            double z = (log(tufa_eps_point(g)) - y[j]) / sd[j];
            sum += own[j].posterior.weight[g] = own[j].prior.weight[g] * exp(-0.5 * z * z);
        }
        for (size_t g = 0; g < TUFA_EPS_POINTS; g++) own[j].posterior.weight[g] /= sum;
    }
    tufa_eps common, fresh, each[HOUSES];
    tufa_arena arena = {.base = room, .size = sizeof room};
    CHECK_OK(tufa_learn_neighbours(&w, HOUSES, own, &arena, &common, &fresh, each), 1);
    tufa_shrink want;
    double shrunk[HOUSES], mean, spread, prior_mean = log(w.median);
    CHECK_OK(tufa_learn_shrink(HOUSES, y, sd, w.between_log_sd, prior_mean, w.water_log_sd, &want, shrunk, NULL), 2);
    tufa_eps_moments(&common, &mean, &spread);
    CHECK_NEAR(mean, want.mean, 0.1 * cell, 3);
    CHECK_NEAR(spread, want.sd, 0.1 * cell, 3);
    CHECK_TRUE(common.rests_on == TUFA_RESTS_ON_NEIGHBOURS && fresh.rests_on == TUFA_RESTS_ON_NEIGHBOURS, 3);
    for (int j = 0; j < HOUSES; j++) { /* neighbours as prior, own findings as likelihood: the shrunk estimate */
        double sum = 0.0, m = 0.0;
        for (size_t g = 0; g < TUFA_EPS_POINTS; g++) {
            double z = (log(tufa_eps_point(g)) - y[j]) / sd[j], p = each[j].weight[g] * exp(-0.5 * z * z);
            sum += p;
            m += p * log(tufa_eps_point(g));
        }
        CHECK_NEAR(m / sum, shrunk[j], 0.2 * cell, 10 + j);
    }
}

static void a_heater_without_neighbours_keeps_the_prior(void **state)
{
    (void)state;
    static unsigned char room[8192];
    tufa_arena arena = {.base = room, .size = sizeof room};
    tufa_learn own = {.prior = tufa_eps_prior(TUFA_GAS), .posterior = tufa_eps_prior(TUFA_GAS)};
    tufa_learn_water w = tufa_learn_water_default(TUFA_GAS);
    tufa_eps common, fresh, each;
    double mean, spread;
    CHECK_OK(tufa_learn_neighbours(&w, 1, &own, &arena, &common, &fresh, &each), 0);
    tufa_eps_moments(&each, &mean, &spread);
    CHECK_NEAR(mean, log(0.07), 0.01, 1);
    CHECK_NEAR(spread, 0.55, 0.01, 1);
    CHECK_TRUE(each.rests_on == TUFA_RESTS_ON_PRIOR && arena.used == 0, 1);
}

/* A heater whose times speak for a cost of exp(mid) a kg with a log-normal error. */
static tufa_learn timed(double mid_log, double sd)
{
    tufa_learn l = {.loss_used = 1};
    for (size_t c = 0; c < TUFA_LOSS_CELLS; c++) {
        double z = (log(tufa_loss_cell(c)) - mid_log) / sd;
        l.loss_told[c] = exp(-0.5 * z * z);
    }
    return l;
}

static double log_mean(const tufa_loss *l)
{
    double mean = 0.0;
    for (size_t c = 0; c < TUFA_LOSS_CELLS; c++) mean += l->weight[c] * log(tufa_loss_cell(c));
    return mean;
}

static double log_sd(const tufa_loss *l)
{
    double mean = log_mean(l), square = 0.0;
    for (size_t c = 0; c < TUFA_LOSS_CELLS; c++) square += l->weight[c] * pow(log(tufa_loss_cell(c)) - mean, 2.0);
    return sqrt(square);
}

static void gas_heaters_share_what_a_bed_costs(void **state)
{
    (void)state;
    enum { N = 12 };
    tufa_learn own[N] = {{.loss_used = 0}};
    tufa_loss common, fresh, each[N], with[N], prior = tufa_loss_prior();
    CHECK_OK(tufa_learn_losses(N, own, &common, &fresh, each, with), 0); /* nothing was timed: all stays the prior, even in the log */
    for (size_t c = 0; c < TUFA_LOSS_CELLS; c++) {
        CHECK_NEAR(common.weight[c], prior.weight[c], 1e-12, c);
        CHECK_NEAR(fresh.weight[c], prior.weight[c], 1e-9, c);
        CHECK_NEAR(with[3].weight[c], prior.weight[c], 1e-9, c);
    }
    CHECK_TRUE(common.rests_on == TUFA_RESTS_ON_PRIOR && with[0].rests_on == TUFA_RESTS_ON_PRIOR, 0);
    for (double u = 0.0; u <= 1.0; u += 0.125) CHECK_REL(tufa_loss_at(&prior, u), 0.002 * pow(20.0, u), 1e-12, 100.0 * u);
    /* in the middle of the range the ends are far: the closed form of normal shrinkage with a flat prior */
    double mid[N], sd[N], shrunk[N], shrunk_sd[N], centre = log(sqrt(0.002 * 0.04));
    tufa_shrink closed;
    for (int j = 0; j < N; j++) {
        mid[j] = centre + 0.25 * tufa_normal(31, 1, (uint64_t)j);
        sd[j] = 0.2 + 0.2 * tufa_uniform(31, 2, (uint64_t)j);
        own[j] = timed(mid[j], sd[j]);
    }
    CHECK_OK(tufa_learn_shrink(N, mid, sd, TUFA_LOSS_BETWEEN_LOG_SD, 0.0, 0.0, &closed, shrunk, shrunk_sd), 1);
    CHECK_OK(tufa_learn_losses(N, own, &common, &fresh, each, with), 1);
    CHECK_NEAR(log_mean(&common), closed.mean, 0.01, 1);
    CHECK_NEAR(log_sd(&common), closed.sd, 0.01, 1);
    for (int j = 0; j < N; j++) {
        CHECK_NEAR(log_mean(&with[j]), shrunk[j], 0.02, j);
        CHECK_NEAR(log_sd(&with[j]), shrunk_sd[j], 0.02, j);
        CHECK_TRUE(log_sd(&with[j]) < log_sd(&each[j]) && log_sd(&each[j]) < log_sd(&prior), j);
    }
    CHECK_TRUE(log_sd(&fresh) < log_sd(&prior) && log_sd(&fresh) > TUFA_LOSS_BETWEEN_LOG_SD, 2); /* no fleet says more of one heater than they differ */
    tufa_loss alone[N];
    own[0] = timed(centre - 1.2, 0.2); /* its own times are not in its own prior */
    CHECK_OK(tufa_learn_losses(N, own, &common, &fresh, alone, with), 3);
    for (size_t c = 0; c < TUFA_LOSS_CELLS; c++) CHECK_NEAR(alone[0].weight[c], each[0].weight[c], 1e-9, c);
    CHECK_TRUE(log_mean(&alone[1]) < log_mean(&each[1]), 3);
    CHECK_OK(tufa_learn_losses(1, own, &common, &fresh, alone, with), 4); /* one heater alone: prior flat, posterior its own */
    CHECK_NEAR(log_mean(&with[0]), centre - 1.2, 0.05, 4);
    CHECK_TRUE(alone[0].rests_on == TUFA_RESTS_ON_PRIOR && fresh.rests_on == TUFA_RESTS_ON_NEIGHBOURS, 4);
    for (size_t c = 0; c < TUFA_LOSS_CELLS; c++) own[0].loss_told[c] = 0.0;
    CHECK_CODE(tufa_learn_losses(1, own, &common, &fresh, NULL, NULL), TUFA_CONFLICT, 5);
}

RUN(cmocka_unit_test(gas_heaters_share_what_a_bed_costs), cmocka_unit_test(neighbours_shrink_as_the_closed_form_says), cmocka_unit_test(a_heater_without_neighbours_keeps_the_prior),
    cmocka_unit_test(the_grid_gives_what_the_closed_form_gives), cmocka_unit_test(more_of_the_same_narrows),
    cmocka_unit_test(a_height_is_read_through_the_shape_of_the_floor),
    cmocka_unit_test(every_way_of_reading_a_bed_says_the_same), cmocka_unit_test(what_a_cleaning_left_may_be_a_depth),
    cmocka_unit_test(a_finding_that_contradicts_is_named_and_hardly_moves_the_rest),
    cmocka_unit_test(a_house_that_lays_down_more_is_found_to))
