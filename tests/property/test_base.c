#include "core/base/units.h"
#include "tests/check.h"

enum { KEY = 1, STREAM = 2 };

static double cubic(double x, void *ctx) { return x * x * x - *(double *)ctx; }

static void a_root_is_found_inside_its_bracket(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 1000; i++) {
        double c = 100.0 * tufa_uniform(KEY, STREAM, i) + 1e-3, x = 0.0;
        CHECK_OK(tufa_root(cubic, &c, 0.0, 10.0, 1e-12, 200, &x), i);
        CHECK_NEAR(x, cbrt(c), 1e-9, i);
    }
    double c = 1.0, x;
    CHECK_CODE(tufa_root(cubic, &c, 2.0, 3.0, 1e-12, 200, &x), TUFA_RANGE, 0);
    CHECK_CODE(tufa_root(cubic, &c, 0.0, 3.0, 1e-12, 2, &x), TUFA_SOLVE, 0);
}

static void draws_have_the_moments_of_their_distribution(void **state)
{
    (void)state;
    enum { N = 100000 };
    double sum = 0.0, squares = 0.0, uniform = 0.0;
    for (uint64_t i = 0; i < N; i++) {
        double z = tufa_normal(KEY, STREAM, i);
        sum += z;
        squares += z * z;
        uniform += tufa_uniform(KEY, STREAM + 1, i);
    }
    CHECK_NEAR(sum / N, 0.0, 4.0 / sqrt(N), 0); /* four standard errors */
    CHECK_NEAR(squares / N, 1.0, 4.0 * sqrt(2.0 / N), 0);
    CHECK_NEAR(uniform / N, 0.5, 4.0 * sqrt(1.0 / 12.0 / N), 0);
}

static void the_normal_quantile_inverts_the_distribution(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 1000; i++) {
        double p = tufa_uniform(KEY, STREAM, i);
        CHECK_REL(tufa_normal_cdf(tufa_normal_quantile(p)), p, 1e-13, i);
    }
}

static void a_value_passes_through_its_three_points(void **state)
{
    (void)state;
    tufa_value positive = {.mid = 10.0, .lo = 8.0, .hi = 15.0}, around = {.mid = 0.0, .lo = -1.0, .hi = 3.0},
               exact = {.mid = 7.0, .lo = 7.0, .hi = 7.0};
    double p[] = {0.1, 0.5, 0.9}, at_positive[] = {8.0, 10.0, 15.0}, at_around[] = {-1.0, 0.0, 3.0};
    for (int i = 0; i < 3; i++) {
        CHECK_NEAR(tufa_value_at(positive, p[i]), at_positive[i], 1e-12, i);
        CHECK_NEAR(tufa_value_at(around, p[i]), at_around[i], 1e-12, i);
        CHECK_NEAR(tufa_value_at(exact, p[i]), 7.0, 0.0, i);
    }
}

static void units_round_trip(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 1000; i++) {
        double x = 1000.0 * tufa_uniform(KEY, STREAM, i);
        CHECK_REL(F_from_K(K_from_F(x)), x, 1e-12, i);
        CHECK_REL(gal_from_m3(m3_from_gal(x)), x, 1e-15, i);
        CHECK_REL(psi_from_Pa(Pa_from_psi(x)), x, 1e-15, i);
        CHECK_REL(Btu_h_from_W(W_from_Btu_h(x)), x, 1e-15, i);
    }
    CHECK_NEAR(C_from_K(K_from_F(212.0)), 100.0, 1e-10, 0);
    CHECK_NEAR(mg_L_caco3_from_gpg(1.0), 64.79891 / 3.785411784, 1e-4, 0);
}

static void an_arena_gives_aligned_zeroed_room_and_then_nothing(void **state)
{
    (void)state;
    unsigned char room[1024];
    for (size_t i = 0; i < sizeof room; i++) room[i] = 0xAA;
    tufa_arena a = {.base = room, .size = sizeof room};
    double *x = tufa_arena_take(&a, 8, sizeof *x);
    CHECK_TRUE(x && (uintptr_t)x % 64 == 0 && x[0] == 0.0 && x[7] == 0.0, 0);
    CHECK_TRUE(tufa_arena_take(&a, 1024, 1) == NULL, 1);
    CHECK_TRUE(tufa_arena_take(&a, SIZE_MAX / 2, 8) == NULL, 2);
}

static void a_quantile_lies_between_order_statistics(void **state)
{
    (void)state;
    double v[] = {3.0, 1.0, 4.0, 1.0, 5.0};
    CHECK_NEAR(tufa_quantile(5, v, 0.5), 3.0, 0.0, 0);
    CHECK_NEAR(tufa_quantile(5, v, 0.9), 4.6, 1e-12, 1);
    double one[] = {2.0};
    CHECK_NEAR(tufa_quantile(1, one, 0.1), 2.0, 0.0, 2);
}

RUN(cmocka_unit_test(a_root_is_found_inside_its_bracket), cmocka_unit_test(draws_have_the_moments_of_their_distribution),
    cmocka_unit_test(the_normal_quantile_inverts_the_distribution),
    cmocka_unit_test(a_value_passes_through_its_three_points), cmocka_unit_test(units_round_trip),
    cmocka_unit_test(an_arena_gives_aligned_zeroed_room_and_then_nothing),
    cmocka_unit_test(a_quantile_lies_between_order_statistics))
