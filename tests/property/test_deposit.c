#include "tests/check.h"
#include "tufa/deposit.h"

enum { KEY = 20, RANDOM_FLOORS = 2000 };
static const double PI = 3.14159265358979323846;

static double uniform(uint64_t stream, uint64_t i, double lo, double hi) { return lo + (hi - lo) * tufa_uniform(KEY, stream, i); }

static tufa_floor some_floor(uint64_t i)
{
    tufa_floor f = {.radius_m = uniform(1, i, 0.15, 0.4), .dome_m = uniform(2, i, -0.12, 0.12), .element_m = uniform(3, i, 0.06, 0.3),
                    .element_length_m = uniform(4, i, 0.15, 0.29), .element_radius_m = uniform(5, i, 0.008, 0.02),
                    .repose_rad = uniform(6, i, 0.4, 0.65)};
    if (i % 3 == 0) f.flue_radius_m = uniform(7, i, 0.03, 0.08);
    if (i % 7 == 0) f.dome_m = 0.0;
    if (i % 11 == 0) f.dome_m *= 1e-4;
    return f;
}

/* Height of the spherical floor at r, written out afresh. */
static double floor_m(const tufa_floor *f, double r)
{
    double d = fabs(f->dome_m);
    if (d == 0.0) return 0.0;
    double rho = (f->radius_m * f->radius_m + d * d) / (2.0 * d), rise = rho - sqrt(rho * rho - r * r);
    return f->dome_m > 0.0 ? d - rise : rise;
}

static double volume_by_rings(const tufa_floor *f, double h)
{
    enum { RINGS = 20000 };
    double sum = 0.0, dr = (f->radius_m - f->flue_radius_m) / RINGS;
    for (int i = 0; i < RINGS; i++) {
        double r = f->flue_radius_m + (i + 0.5) * dr;
        sum += 2.0 * PI * r * dr * fmax(0.0, h - floor_m(f, r));
    }
    return sum;
}

static void the_room_over_a_floor_is_the_sum_of_its_rings(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 60; i++) {
        tufa_floor f = some_floor(i);
        double h = uniform(8, i, 0.005, 0.25);
        CHECK_NEAR(tufa_floor_volume_m3(&f, h), volume_by_rings(&f, h), 2e-8, i); /* the sum's own error */
    }
}

static void closed_forms_of_the_textbook_come_out(void **state)
{
    (void)state;
    tufa_floor bowl = {.radius_m = 0.2, .dome_m = -0.2, .repose_rad = 0.5};
    CHECK_REL(tufa_floor_volume_m3(&bowl, 0.2), 2.0 / 3.0 * PI * 0.008, 1e-14, 0); /* half a ball */
    tufa_floor dome = {.radius_m = 0.2, .dome_m = 0.2, .repose_rad = 0.5};
    CHECK_REL(tufa_floor_volume_m3(&dome, 0.2), (1.0 - 2.0 / 3.0) * PI * 0.008, 1e-14, 1); /* cylinder less half a ball */
    tufa_floor flat = {.radius_m = 0.2, .repose_rad = 0.5};
    CHECK_REL(tufa_floor_volume_m3(&flat, 0.3), PI * 0.04 * 0.3, 1e-14, 2);
    CHECK_REL(tufa_cap_m3(1.0, 2.0), 4.0 / 3.0 * PI, 1e-14, 3); /* the whole ball */
    CHECK_REL(tufa_cone_m3(1.0, PI / 4.0), PI / 3.0, 1e-14, 4);
    CHECK_REL(tufa_ridge_m3(0.1, 0.3, PI / 4.0), 0.3 * 0.01 + 0.5 * tufa_cone_m3(0.1, PI / 4.0), 1e-14, 5);
    CHECK_NEAR(tufa_lying_cylinder_share(1.0), 0.5, 1e-15, 6);
    CHECK_NEAR(tufa_lying_cylinder_share(2.0), 1.0, 1e-15, 7);
    /* a quarter of the diameter deep: (acos(1/2) - sin(acos(1/2))/2)/pi */
    CHECK_NEAR(tufa_lying_cylinder_share(0.5), (PI / 3.0 - sqrt(3.0) / 4.0) / PI, 1e-15, 8);
    CHECK_NEAR(tufa_lying_surface_share(0.5), 1.0 / 3.0, 1e-15, 9);
}

static void a_level_holds_its_volume(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < RANDOM_FLOORS; i++) {
        tufa_floor f = some_floor(i);
        double bed_m3 = uniform(9, i, 0.0, 1.0) * (i % 2 ? 0.02 : 0.001), h;
        CHECK_OK(tufa_floor_level_m(&f, bed_m3, &h), i);
        CHECK_NEAR(tufa_floor_volume_m3(&f, h), bed_m3, 1e-13, i);
    }
}

static void all_of_a_bed_lies_somewhere_and_flakes_lie_higher(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < RANDOM_FLOORS; i++) {
        tufa_floor f = some_floor(i);
        double bed_m3 = uniform(9, i, 1e-4, 0.015), flakes_m3 = bed_m3 * uniform(10, i, 0.0, 0.5), level;
        tufa_bed_shape b, none;
        CHECK_OK(tufa_bed_lie(&f, bed_m3, flakes_m3, &b), i);
        CHECK_OK(tufa_bed_lie(&f, bed_m3, 0.0, &none), i);
        CHECK_OK(tufa_floor_level_m(&f, bed_m3, &level), i);
        CHECK_NEAR(none.level_m, level, 1e-12, i);
        CHECK_TRUE(b.crest_m >= b.level_m - 1e-12 && b.level_m <= level + 1e-12, i);
        CHECK_TRUE(b.crest_m >= none.crest_m - 1e-12 && b.element_covered_share >= none.element_covered_share, i);
        double mound_m = tufa_ridge_height_m(flakes_m3, f.element_length_m, f.repose_rad);
        double out_m = fmin(b.crest_m - b.level_m, mound_m);
        double placed = tufa_floor_volume_m3(&f, b.level_m) + tufa_ridge_m3(out_m, f.element_length_m, f.repose_rad);
        CHECK_NEAR(placed, bed_m3, 1e-12, i);
    }
}

static void more_bed_never_lies_lower(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 200; i++) {
        tufa_floor f = some_floor(i);
        double share = uniform(10, i, 0.0, 0.5), before = 0.0;
        for (int k = 1; k <= 40; k++) {
            tufa_bed_shape b;
            CHECK_OK(tufa_bed_lie(&f, 5e-4 * k, 5e-4 * k * share, &b), i);
            CHECK_TRUE(b.crest_m >= before - 1e-12, i * 100 + (uint64_t)k);
            before = b.crest_m;
        }
    }
}

static tufa_rate_law some_law(uint64_t i)
{
    return (tufa_rate_law){.order = i % 5 == 0 ? 1.0 : uniform(11, i, 1.0, 2.0), .x_ref = uniform(12, i, 0.02, 0.8),
                           .activation_J_mol = 43e3};
}

static void the_reference_state_keeps_eps_ref(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 500; i++) {
        tufa_rate_law law = some_law(i);
        double x = tufa_deposit_conversion(&law, TUFA_REF_CCPP_MG_L, TUFA_REF_K, TUFA_REF_STAY_S), eps = 0.3 * law.x_ref;
        CHECK_REL(x, law.x_ref, 1e-9, i);
        CHECK_REL(tufa_deposit_kept_mg_L(eps, &law, TUFA_REF_CCPP_MG_L, TUFA_REF_K, TUFA_REF_STAY_S),
                  eps * TUFA_REF_CCPP_MG_L, 1e-9, i);
    }
}

/* dc/dt = -k c^n by many small steps of Heun's method, against the closed form. */
static void conversion_follows_its_rate_law(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 50; i++) {
        tufa_rate_law law = some_law(i);
        enum { STEPS = 20000 };
        double first = tufa_deposit_conversion(&law, 100.0, 330.0, 1.0), k = first, c = 1.0; /* of the start, a second */
        double stay_s = uniform(13, i, 1e4, 1e5), dt = stay_s / STEPS;
        for (int s = 0; s < STEPS; s++) {
            double rate = k * pow(c, law.order), ahead = c - dt * rate;
            c -= 0.5 * dt * (rate + k * pow(ahead, law.order));
        }
        CHECK_NEAR(tufa_deposit_conversion(&law, 100.0, 330.0, stay_s), 1.0 - c, 2e-5, i);
    }
}

static void hotter_richer_and_more_water_leave_more(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 2000; i++) {
        tufa_rate_law law = some_law(i);
        double C = uniform(14, i, 1.0, 300.0), T = uniform(15, i, 303.0, 353.0), V = uniform(16, i, 0.05, 0.6), tank_m3 = 0.19;
        double base = tufa_deposit_kept_mg_L(0.1, &law, C, T, 86400.0 * tank_m3 / V) * V;
        CHECK_TRUE(base >= 0.0 && base <= C * V, i);
        CHECK_TRUE(tufa_deposit_kept_mg_L(0.1, &law, C, T + 5.0, 86400.0 * tank_m3 / V) * V >= base, i);
        CHECK_TRUE(tufa_deposit_kept_mg_L(0.1, &law, C * 1.1, T, 86400.0 * tank_m3 / V) * V > base, i);
        CHECK_TRUE(tufa_deposit_kept_mg_L(0.1, &law, C, T, 86400.0 * tank_m3 / (1.2 * V)) * 1.2 * V >= base * (1.0 - 1e-12), i);
        CHECK_NEAR(tufa_deposit_kept_mg_L(0.1, &law, -C, T, 54000.0), 0.0, 0.0, i);
        CHECK_TRUE(tufa_deposit_kept_mg_L(50.0, &law, C, T, 54000.0) <= C, i);
    }
}

static void what_settles_is_what_was_kept(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 300; i++) {
        tufa_element e = tufa_element_from(4500.0, 116250.0);
        tufa_bed b = {0};
        double kept = uniform(17, i, 0.0, 40.0), share = uniform(18, i, 0.05, 0.5), m3_day = uniform(19, i, 0.05, 0.4);
        for (int m = 0; m < 240; m++) tufa_bed_settle(&b, &e, share, kept, 0.2, 0.1, m3_day, 365.25 / 12.0);
        CHECK_REL(tufa_bed_kg(&b), (kept + 0.3) * m3_day * 365.25 * 20.0 * 1e-3, 1e-11, i);
        CHECK_TRUE(b.layer_kg >= 0.0 && b.layer_kg <= e.area_m2 * e.shed_m * e.scale_kg_m3, i);
        tufa_bed half = b;
        tufa_bed_clean(&half, 0.5, 0.5);
        CHECK_REL(tufa_bed_kg(&half), 0.5 * tufa_bed_kg(&b), 1e-12, i);
    }
}

static void a_hotter_element_takes_a_larger_share(void **state)
{
    (void)state;
    tufa_rate_law law = tufa_rate_law_default();
    double before = 0.0;
    for (int k = 0; k < 80; k++) {
        double share = tufa_deposit_element_share(&law, 0.2, 330.0 + k);
        CHECK_TRUE(share > before && share < 1.0, k);
        before = share;
    }
    CHECK_NEAR(tufa_deposit_element_share(&law, 0.2, TUFA_SKIN_REF_K), 0.2, 1e-15, 0);
    double skin_75 = tufa_element_skin_K(325.15, 116250.0), skin_150 = tufa_element_skin_K(325.15, 232500.0);
    CHECK_TRUE(skin_150 > skin_75, 1);
}

static void the_grid_holds_its_lognormal(void **state)
{
    (void)state;
    for (int fuel = 0; fuel < TUFA_FUEL_COUNT; fuel++) {
        tufa_eps e = tufa_eps_prior((tufa_fuel)fuel);
        double sum = 0.0, mean, sd, median = fuel == TUFA_ELECTRIC ? 0.12 : 0.07;
        for (int i = 0; i < TUFA_EPS_POINTS; i++) sum += e.weight[i];
        CHECK_NEAR(sum, 1.0, 1e-12, fuel);
        tufa_eps_moments(&e, &mean, &sd);
        CHECK_NEAR(mean, log(median), 1e-3, fuel);
        CHECK_NEAR(sd, 0.55, 1e-3, fuel);
        tufa_value v = tufa_eps_value(&e);
        CHECK_REL(v.mid, median, 1e-3, fuel);
        CHECK_REL(v.lo, median * exp(-1.2815515655 * 0.55), 2e-3, fuel);
        CHECK_REL(v.hi, median * exp(1.2815515655 * 0.55), 2e-3, fuel);
        CHECK_TRUE(tufa_eps_at(&e, 1e-12) >= TUFA_EPS_LO * 0.999 && tufa_eps_at(&e, 1.0 - 1e-12) <= TUFA_EPS_HI * 1.001, fuel);
    }
}

RUN(cmocka_unit_test(the_room_over_a_floor_is_the_sum_of_its_rings), cmocka_unit_test(closed_forms_of_the_textbook_come_out),
    cmocka_unit_test(a_level_holds_its_volume), cmocka_unit_test(all_of_a_bed_lies_somewhere_and_flakes_lie_higher),
    cmocka_unit_test(more_bed_never_lies_lower), cmocka_unit_test(the_reference_state_keeps_eps_ref),
    cmocka_unit_test(conversion_follows_its_rate_law), cmocka_unit_test(hotter_richer_and_more_water_leave_more),
    cmocka_unit_test(what_settles_is_what_was_kept), cmocka_unit_test(a_hotter_element_takes_a_larger_share),
    cmocka_unit_test(the_grid_holds_its_lognormal))
