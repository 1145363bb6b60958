/* The cleaning stage keeps its orders and its sums: more pressure never less flow, finer never harder to lift, what goes
 * in is out or left; the cases told of tanks come out of the same code; a visit isolates before it opens. */
#include <stdlib.h>
#include <string.h>

#include "core/base/units.h"
#include "tests/check.h"
#include "tufa.h"

enum { KEY = 4, DRAWS = 400 };

static double between(uint64_t stream, uint64_t i, double lo, double hi) { return lo + (hi - lo) * tufa_uniform(KEY, stream, i); }
static tufa_value exact(double x) { return (tufa_value){x, x, x, TUFA_BASIS_GIVEN}; }

static tufa_arena arena_of(size_t bytes)
{
    tufa_arena a = {.base = malloc(bytes), .size = bytes};
    assert_non_null(a.base);
    return a;
}

/* ---- relations ---- */

static tufa_line some_line(uint64_t i)
{
    return (tufa_line){.static_Pa = between(1, i, 0.0, 6e5), .house_k_Pa_s2_m6 = between(2, i, 0.0, 8e11), .port_bore_m = between(3, i, 0.006, 0.03),
                       .port_K = between(4, i, 0.05, 12.0), .hose_bore_m = between(5, i, 0.01, 0.03), .hose_length_m = between(6, i, 0.5, 150.0),
                       .hose_roughness_m = 1.5e-6, .hose_K = between(7, i, 0.5, 2.0), .rise_m = between(8, i, -5.0, 15.0), .rho_kg_m3 = 998.0,
                       .nu_m2_s = between(9, i, 0.4e-6, 1.5e-6)};
}

static void more_pressure_never_gives_less_flow(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 4000; i++) {
        tufa_line line = some_line(i);
        tufa_line_flow less, more;
        CHECK_OK(tufa_clean_line_flow(&line, &less), i);
        line.static_Pa += between(10, i, 0.0, 3e5) * tufa_uniform(KEY, 11, i);
        CHECK_OK(tufa_clean_line_flow(&line, &more), i);
        CHECK_TRUE(more.flow_m3_s >= less.flow_m3_s * (1.0 - 1e-8), i);
        line.hose_length_m *= 1.5;
        CHECK_OK(tufa_clean_line_flow(&line, &less), i);
        CHECK_TRUE(less.flow_m3_s <= more.flow_m3_s * (1.0 + 1e-8), i);
    }
}

static void a_line_uses_up_its_pressure(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 2000; i++) {
        tufa_line l = some_line(i);
        tufa_line_flow q;
        CHECK_OK(tufa_clean_line_flow(&l, &q), i);
        if (!(q.flow_m3_s > 0.0)) continue;
        double Re = q.hose_m_s * l.hose_bore_m / l.nu_m2_s;
        double ends = 0.5 * l.hose_K * l.rho_kg_m3 * q.hose_m_s * q.hose_m_s;
        double left = q.at_hose_Pa - q.hose_Pa_m * l.hose_length_m - ends - l.rho_kg_m3 * 9.80665 * l.rise_m;
        if (Re > 2290.0 && Re < 2310.0) continue; /* where laminar meets turbulent the loss jumps */
        CHECK_NEAR(left, 0.0, 1e-6 * (l.static_Pa + 1e5), i);
    }
}

static void finer_grains_are_never_harder_to_keep_up(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 4000; i++) {
        double d = exp(between(1, i, log(1e-5), log(0.03))), finer = d * between(2, i, 0.2, 1.0), R = between(3, i, 0.3, 1.9), nu = between(4, i, 0.3e-6, 1.5e-6);
        double w, w_fine, n, n_fine, s, s_fine;
        CHECK_OK(tufa_clean_settling(d, R, nu, 18.0, 1.0, &w), i);
        CHECK_OK(tufa_clean_settling(finer, R, nu, 18.0, 1.0, &w_fine), i);
        CHECK_TRUE(w_fine <= w, i);
        CHECK_OK(tufa_clean_just_suspended(6.0, nu, d, R, 3.0, 0.075, &n), i);
        CHECK_OK(tufa_clean_just_suspended(6.0, nu, finer, R, 3.0, 0.075, &n_fine), i);
        CHECK_TRUE(n_fine <= n, i);
        CHECK_OK(tufa_clean_sphere_fall(d, R, nu, &s), i);
        CHECK_OK(tufa_clean_sphere_fall(finer, R, nu, &s_fine), i);
        CHECK_TRUE(s_fine <= s * (1.0 + 1e-9), i);
        tufa_flush_in f = {.flow_m3_s = between(5, i, 5e-5, 1e-3), .across_m = 0.45, .dip_bore_m = 0.0165, .dip_gap_m = between(6, i, 0.05, 0.3), .bed_m3 = 5e-3,
                           .rho_kg_m3 = 990.0, .rho_p_kg_m3 = 990.0 * (1.0 + R), .nu_m2_s = nu};
        tufa_flush coarse, fine;
        CHECK_OK(tufa_clean_flush_share(&f, d, &coarse), i);
        CHECK_OK(tufa_clean_flush_share(&f, finer, &fine), i);
        CHECK_TRUE(fine.kept_up_share >= coarse.kept_up_share, i);
    }
}

static void ergun_and_its_inverse_agree(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 1000; i++) {
        double d = between(1, i, 1e-4, 1e-2), e = between(2, i, 0.3, 0.6), v = exp(between(3, i, log(1e-5), log(1.0))), back;
        tufa_bed_gradient g;
        CHECK_OK(tufa_clean_ergun(d, e, v, 998.0, 1e-3, &g), i);
        CHECK_OK(tufa_clean_bed_velocity(d, e, g.ergun_Pa_m, 998.0, 1e-3, 0, &back), i);
        CHECK_REL(back, v, 1e-9, i);
    }
}

static void a_wider_hole_arches_less_and_a_longer_plug_holds_more(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 1000; i++) {
        double d = between(1, i, 1e-3, 1e-2), bore = d * between(2, i, 1.0, 4.0), c = between(3, i, 0.0, 0.5), dp, dp2, L = between(4, i, 0.0, 0.2);
        tufa_arch a, b;
        CHECK_OK(tufa_clean_arch(bore, d, 2200.0, c, &a), i);
        CHECK_OK(tufa_clean_arch(bore * 1.1, d, 2200.0, c, &b), i);
        CHECK_TRUE(b.grains >= a.grains, i);
        CHECK_OK(tufa_clean_vacuum_plug(0.02, L, 1500.0, 0.25, &dp), i);
        CHECK_OK(tufa_clean_vacuum_plug(0.02, L + 0.01, 1500.0, 0.25, &dp2), i);
        CHECK_TRUE(dp2 > dp, i);
    }
}

static void every_relation_refuses_or_answers_finite_numbers(void **state)
{
    (void)state;
    for (size_t r = 0; r < tufa_relation_count(); r++) {
        const tufa_relation *rel = tufa_relation_at(r);
        CHECK_TRUE(rel->ins <= TUFA_RELATION_MAX_IN && rel->outs <= TUFA_RELATION_MAX_OUT, r);
        for (uint64_t i = 0; i < 3000; i++) {
            double in[TUFA_RELATION_MAX_IN], out[TUFA_RELATION_MAX_OUT];
            for (size_t k = 0; k < rel->ins; k++) {
                double u = tufa_uniform(KEY, 100 + k, i);
                int choice = strncmp(rel->in[k].kind, "choice", 6) == 0;
                in[k] = u < 0.4 ? NAN : choice ? 0.0 : exp(between(200 + k, i, -14.0, 12.0));
                if (u > 0.97 && !choice) in[k] = -in[k];
            }
            tufa_status st = tufa_relation_run(rel, in, out);
            if (st.code != TUFA_OK) CHECK_TRUE(st.field != NULL, i);
        }
    }
}

/* ---- methods ---- */

static tufa_clean_case some_case(uint64_t i)
{
    tufa_clean_case c;
    double age = between(20, i, 0.0, 20.0);
    tufa_clean_case_default(tufa_uniform(KEY, 21, i) < 0.5 ? TUFA_ELECTRIC : TUFA_GAS, tufa_uniform(KEY, 22, i) < 0.2 ? NAN : age, &c);
    c.bed_kg = exact(exp(between(23, i, log(0.05), log(40.0))));
    c.static_Pa = exact(between(24, i, 0.0, 6e5));
    c.rise_m = exact(between(25, i, -2.0, 20.0));
    c.hose_length_m = exact(between(26, i, 1.0, 150.0));
    c.hose_bore_m = exact(between(27, i, 0.01, 0.026));
    c.acid_m3 = exact(between(28, i, 0.0, 0.1));
    c.cemented_share = exact(between(29, i, 0.0, 1.0));
    c.plate_read = c.relief_works = tufa_uniform(KEY, 30, i) < 0.7 ? TUFA_YES : TUFA_UNSAID;
    c.top_open = tufa_uniform(KEY, 31, i) < 0.8 ? TUFA_YES : TUFA_NO;
    c.stirrer.present = tufa_uniform(KEY, 32, i) < 0.7 ? TUFA_YES : TUFA_NO;
    c.drain_pattern = TUFA_DRAIN_FULL_PORT;
    return c;
}

static void what_was_there_is_out_or_left(void **state)
{
    (void)state;
    tufa_arena a = arena_of(tufa_clean_scratch_bytes(1));
    for (uint64_t i = 0; i < 1000; i++) {
        tufa_clean_case c = some_case(i);
        tufa_clean_answer r;
        CHECK_OK(tufa_clean_compare(&c, KEY, 1, &a, &r), i);
        for (int m = 0; m < TUFA_METHOD_COUNT; m++) {
            const tufa_method_answer *x = &r.method[m];
            double parts = 0.0;
            for (int k = 0; k < TUFA_CLEAN_CLASSES; k++) {
                CHECK_TRUE(x->class_kg[k].mid >= 0.0, i);
                parts += x->class_kg[k].mid;
            }
            CHECK_NEAR(parts, x->out_kg.mid, 1e-9 * (1.0 + parts), i);
            CHECK_NEAR(x->out_kg.mid + x->left_kg.mid, c.bed_kg.mid, 1e-9 * c.bed_kg.mid, i);
            CHECK_TRUE(x->out_kg.mid <= c.bed_kg.mid * (1.0 + 1e-12), i);
            CHECK_TRUE(x->verdict < TUFA_VERDICT_CANNOT || (x->out_kg.mid == 0.0 && x->reasons > 0), i);
        }
    }
    assert_int_equal(a.used, 0);
    free(a.base);
}

static void ranges_hold_their_medians_and_stay_within_the_bed(void **state)
{
    (void)state;
    tufa_arena a = arena_of(tufa_clean_scratch_bytes(DRAWS));
    for (uint64_t i = 0; i < 40; i++) {
        tufa_clean_case c = some_case(i);
        c.bed_kg = (tufa_value){4.0, 2.0, 8.0, TUFA_BASIS_RANGE};
        tufa_clean_answer r, again;
        CHECK_OK(tufa_clean_compare(&c, KEY, DRAWS, &a, &r), i);
        CHECK_OK(tufa_clean_compare(&c, KEY, DRAWS, &a, &again), i);
        for (int m = 0; m < TUFA_METHOD_COUNT; m++) {
            const tufa_method_answer *x = &r.method[m];
            CHECK_TRUE(x->out_kg.lo <= x->out_kg.mid && x->out_kg.mid <= x->out_kg.hi && x->out_kg.hi <= 8.5, i);
            CHECK_TRUE(x->out_share.hi <= 1.0 + 1e-12 && x->left_kg.lo >= 0.0, i);
            CHECK_TRUE(x->water_m3.lo <= x->water_m3.hi && x->onsite_s.lo <= x->onsite_s.hi, i);
            CHECK_NEAR(x->out_kg.mid, again.method[m].out_kg.mid, 0.0, i);
        }
    }
    free(a.base);
}

static tufa_method_answer ask(const tufa_clean_case *c, tufa_method_id m)
{
    tufa_arena a = arena_of(tufa_clean_scratch_bytes(DRAWS));
    tufa_method_answer r;
    CHECK_OK(tufa_clean_method(c, m, KEY, DRAWS, &a, &r), m);
    free(a.base);
    return r;
}

static tufa_clean_case old_bed(void)
{
    tufa_clean_case c;
    tufa_clean_case_default(TUFA_ELECTRIC, 8.0, &c);
    c.bed_kg = exact(5.0);
    c.plate_read = c.relief_works = c.top_open = TUFA_YES;
    return c;
}

static void a_plain_flush_takes_the_fines_and_leaves_the_coarse(void **state)
{
    (void)state;
    tufa_clean_case c = old_bed();
    tufa_method_answer r = ask(&c, TUFA_METHOD_FLUSH);
    assert_int_equal(r.verdict, TUFA_VERDICT_LITTLE);
    assert_true(r.out_share.mid < 0.2 && r.out_share.mid > 0.01);
    double fines = r.class_kg[0].mid + r.class_kg[1].mid, coarse = r.class_kg[5].mid + r.class_kg[6].mid + r.class_kg[7].mid;
    assert_true(fines > 20.0 * coarse);
    assert_true(r.plugs.mid >= 1.0); /* arches, while clear water goes on */
    tufa_clean_case young;
    tufa_clean_case_default(TUFA_ELECTRIC, 0.3, &young);
    young.bed_kg = exact(0.4);
    assert_true(ask(&young, TUFA_METHOD_FLUSH).out_share.mid > 0.4); /* a cure for none, a habit for many */
}

static void an_arch_of_chips_passes_clear_water(void **state)
{
    (void)state;
    double v;
    CHECK_OK(tufa_clean_bed_velocity(4e-3, 0.45, Pa_from_psi(30.0) / 0.02, 998.0, 1e-3, 0, &v), 0);
    double L_min = L_min_from_m3_s(v * 0.25 * 3.14159265 * 0.014 * 0.014);
    assert_true(L_min > 12.0 && L_min < 22.0);
}

static void air_blows_a_crater_and_carries_little_out(void **state)
{
    (void)state;
    tufa_clean_case c = old_bed();
    tufa_method_answer r = ask(&c, TUFA_METHOD_AIR);
    assert_int_equal(r.verdict, TUFA_VERDICT_LITTLE);
    double coarse = 0.0, fines = r.class_kg[0].mid + r.class_kg[1].mid;
    for (int i = 4; i < TUFA_CLEAN_CLASSES; i++) coarse += r.class_kg[i].mid;
    assert_true(coarse < 0.05 * fines);
}

static void acid_stalls_far_below_what_the_sum_promises(void **state)
{
    (void)state;
    tufa_acid_capacity k;
    CHECK_OK(tufa_clean_acid_capacity(TUFA_ACID_ACETIC, 5.0, 293.15, 1.0, m3_from_gal(1.0), &k), 0);
    CHECK_NEAR(k.caco3_kg, 0.151, 0.002, 0);   /* one gallon of vinegar: 151 g at equilibrium */
    CHECK_NEAR(k.share_used, 0.955, 0.006, 0);
    CHECK_NEAR(k.co2_m3, 0.037, 0.001, 0);
    tufa_clean_case c = old_bed();
    assert_int_equal(ask(&c, TUFA_METHOD_ACETIC).verdict, TUFA_VERDICT_CANNOT); /* four gallons against 5 kg */
    c.acid_m3 = exact(0.2);
    tufa_method_answer r = ask(&c, TUFA_METHOD_ACETIC);
    assert_int_equal(r.verdict, TUFA_VERDICT_LITTLE);
    assert_true(r.out_kg.hi < 0.5 * 0.2 * 40.0); /* transport, not capacity, holds it back */
    c.top_open = TUFA_NO;
    assert_int_equal(ask(&c, TUFA_METHOD_ACETIC).verdict, TUFA_VERDICT_MUST_NOT);
}

static void a_vacuum_tube_plugs_every_few_seconds_of_running(void **state)
{
    (void)state;
    tufa_arch a;
    CHECK_OK(tufa_clean_arch(0.019, 0.0064, 2200.0, 0.0, &a), 0);
    CHECK_NEAR(a.mass_kg, 0.030, 0.004, 0);
    double runs_s = a.mass_kg / 0.012;
    assert_true(runs_s > 1.5 && runs_s < 5.0);
    double longest;
    CHECK_OK(tufa_clean_vacuum_plug_length(0.02, 12e3, 1500.0, 0.25, &longest), 0);
    CHECK_NEAR(longest / 0.02, 3.7, 0.1, 0);
    tufa_clean_case c = old_bed();
    assert_true(ask(&c, TUFA_METHOD_VACUUM).plugs.mid > 20.0);
    c.fuel = TUFA_GAS;
    assert_int_equal(ask(&c, TUFA_METHOD_VACUUM).verdict, TUFA_VERDICT_CANNOT);
}

static void slurry_is_carried_far_and_uphill_above_the_deposition_velocity(void **state)
{
    (void)state;
    tufa_clean_case c = old_bed();
    c.stirrer.present = TUFA_YES;
    c.rise_m = exact(3.048);
    tufa_method_answer r = ask(&c, TUFA_METHOD_STIR);
    assert_int_equal(r.verdict, TUFA_VERDICT_WORKS);
    assert_true(r.hose_m_s.mid > r.design_m_s.mid && r.design_m_s.mid > r.deposit_m_s.mid);
    assert_true(r.reach_rise_m.mid > 45.0 && r.reach_rise_m.mid < r.reach_level_m.mid);
    c.static_Pa = exact(Pa_from_psi(12.0));
    c.hose_bore_m = exact(0.0254);
    c.hose_length_m = exact(60.0);
    c.rise_m = exact(2.0);
    r = ask(&c, TUFA_METHOD_STIR); /* a wide hose is not better */
    assert_int_equal(r.verdict, TUFA_VERDICT_CANNOT);
    assert_true(r.hose_m_s.mid < r.deposit_m_s.mid);
}

static void air_is_refused_where_it_may_burst_a_tank(void **state)
{
    (void)state;
    tufa_clean_case good = old_bed();
    assert_true(ask(&good, TUFA_METHOD_AIR).verdict < TUFA_VERDICT_CANNOT);
    for (int i = 0; i < 7; i++) {
        tufa_clean_case c = good;
        if (i == 0) c.age_year = exact(12.0);
        if (i == 1) c.age_year = (tufa_value){0};
        if (i == 2) c.rusted = TUFA_YES;
        if (i == 3) c.plate_read = TUFA_UNSAID;
        if (i == 4) c.relief_works = TUFA_UNSAID;
        if (i == 5) c.top_open = TUFA_NO;
        if (i == 6) c.air_Pa = exact(Pa_from_psi(45.0));
        CHECK_TRUE(ask(&c, TUFA_METHOD_AIR).verdict == TUFA_VERDICT_MUST_NOT, i);
    }
}

static void a_sieve_bends_the_sizes_towards_what_was_seen(void **state)
{
    (void)state;
    tufa_clean_case c = old_bed(), fine = c, coarse = c;
    tufa_sieve f = {.n = 2, .mesh_m = {2e-3, 0.25e-3}, .over_share = {0.0, 0.1}, .lumps_share = 0.0};
    tufa_sieve g = {.n = 2, .mesh_m = {2e-3, 0.25e-3}, .over_share = {0.9, 0.1}, .lumps_share = 0.6};
    CHECK_OK(tufa_clean_use_sieve(&f, &fine), 0);
    CHECK_OK(tufa_clean_use_sieve(&g, &coarse), 0);
    assert_true(fine.cemented_share.mid < c.cemented_share.mid && coarse.cemented_share.mid > c.cemented_share.mid);
    assert_true(ask(&fine, TUFA_METHOD_FLUSH).out_share.mid > ask(&c, TUFA_METHOD_FLUSH).out_share.mid);
    assert_true(ask(&coarse, TUFA_METHOD_FLUSH).out_share.mid < ask(&c, TUFA_METHOD_FLUSH).out_share.mid);
    double sum = 0.0, before = 0.0;
    for (int i = 0; i < TUFA_CLEAN_SIZES; i++) {
        sum += fine.size_share[i];
        before += c.size_share[i];
    }
    CHECK_NEAR(sum, 1.0, 1e-9, 0);
    assert_true(before > 0.99);
    tufa_sieve bad = {.n = 2, .mesh_m = {1e-3, 2e-3}, .over_share = {0.5, 0.5}, .lumps_share = NAN};
    CHECK_CODE(tufa_clean_use_sieve(&bad, &c), TUFA_CONFLICT, 0);
}

/* ---- the visit ---- */

static int at(const tufa_step *s, size_t n, const char *id)
{
    for (size_t i = 0; i < n; i++)
        if (strcmp(s[i].id, id) == 0) return (int)i;
    return -1;
}

/* 29 CFR 1910.333(b)(2): disconnect, lock and tag, then verify by test, before work; covers and full tank before power. */
static void isolation_and_proof_of_dead_stand_before_anything_is_opened(void **state)
{
    (void)state;
    for (int kind = 0; kind < TUFA_VISIT_KIND_COUNT; kind++)
        for (int m = 0; m < TUFA_METHOD_COUNT; m++) {
            tufa_step s[96];
            size_t n = tufa_visit_steps((tufa_visit_kind)kind, (tufa_method_id)m, TUFA_ELECTRIC, 0, 96, s);
            CHECK_TRUE(n > 8 && n < 96, m);
            for (size_t i = 1; i < n; i++) CHECK_TRUE(s[i - 1].phase <= s[i].phase, i);
            int off = at(s, n, "BREAKER_OFF"), live = at(s, n, "KNOWN_LIVE"), legs = at(s, n, "DEAD_LEGS"), earth = at(s, n, "DEAD_EARTH"), again = at(s, n, "LIVE_AGAIN");
            CHECK_TRUE(off >= 0 && off < live && live < legs && legs < earth && earth < again, m);
            for (size_t i = 0; i < n; i++)
                if (s[i].phase >= TUFA_STEP_OPEN) CHECK_TRUE((int)i > again, i);
            int full = at(s, n, "FULL"), covers = at(s, n, "COVERS_ON"), on = at(s, n, "BREAKER_ON"), tub = at(s, n, "TUB_AFTER"), card = at(s, n, "CARD");
            CHECK_TRUE(full > again && covers > full && on > covers && tub > on && card == (int)n - 1, m);
        }
}

static void a_gas_visit_ends_with_leak_light_spill_and_tub(void **state)
{
    (void)state;
    for (int kind = 0; kind < TUFA_VISIT_KIND_COUNT; kind++)
        for (int m = 0; m < TUFA_METHOD_COUNT; m++) {
            tufa_step s[96];
            size_t n = tufa_visit_steps((tufa_visit_kind)kind, (tufa_method_id)m, TUFA_GAS, 0, 96, s);
            int smell = at(s, n, "SMELL"), off = at(s, n, "GAS_OFF"), full = at(s, n, "FULL"), open = at(s, n, "COCK_OPEN"), soap = at(s, n, "BUBBLES");
            int light = at(s, n, "RELIGHT"), spill = at(s, n, "SPILL"), tub = at(s, n, "TUB_AFTER");
            CHECK_TRUE(smell >= 0 && smell < off && off < full && full < open && open < soap && soap < light && light < spill && spill < tub, m);
            CHECK_TRUE(at(s, n, "BREAKER_OFF") < 0 && at(s, n, "CARD") == (int)n - 1, m);
        }
    tufa_step s[96];
    size_t n = tufa_visit_steps(TUFA_VISIT_STANDING, TUFA_METHOD_FLUSH, TUFA_GAS, 0, 96, s);
    assert_true(at(s, n, "AIR_OUT") >= 0 && at(s, n, "AIR_OUT") < at(s, n, "RELIGHT"));
    assert_true(at(s, n, "HOT_FLUSH") < at(s, n, "DIAL_BACK_G") && at(s, n, "DIAL_BACK_G") < at(s, n, "TUB_AFTER"));
    n = tufa_visit_steps(TUFA_VISIT_STANDING, TUFA_METHOD_FLUSH, TUFA_ELECTRIC, 0, 96, s);
    assert_true(at(s, n, "AIR_OUT") >= 0 && at(s, n, "AIR_OUT") < at(s, n, "BREAKER_OFF"));
    assert_true(at(s, n, "HOT_FLUSH") < at(s, n, "OFF_AGAIN") && at(s, n, "OFF_AGAIN") < at(s, n, "TUB_AFTER"));
}

static void air_gets_in_where_water_goes_out_and_acid_stays_out_of_the_house(void **state)
{
    (void)state;
    for (int fuel = 0; fuel < 2; fuel++)
        for (int m = 0; m < TUFA_METHOD_COUNT; m++) {
            tufa_step s[96];
            size_t n = tufa_visit_steps(TUFA_VISIT_CLEAN, (tufa_method_id)m, fuel ? TUFA_GAS : TUFA_ELECTRIC, 0, 96, s);
            int drain = at(s, n, "DRAIN"), tap = at(s, n, "TAP_OPEN"), cold = at(s, n, "COLD_SHUT"), flow = at(s, n, "CLEAR_FLOW"), jar = at(s, n, "JAR");
            if (drain >= 0) CHECK_TRUE(tap >= 0 && tap < drain && cold >= 0 && cold < drain, m);
            if (cold >= 0) CHECK_TRUE(flow < cold && jar < cold, m); /* both are read with the water on */
            if (m == TUFA_METHOD_FLUSH) CHECK_TRUE(tap < 0 && cold < 0, m); /* it keeps its pressure */
            int acid = at(s, n, "ACID_IN"), house = at(s, n, "HOUSE_SHUT"), anode = at(s, n, "ANODE_OUT");
            CHECK_TRUE((acid >= 0) == (house >= 0) && (acid >= 0) == (anode >= 0) && (acid < 0 || (house < acid && anode < acid)), m);
        }
    for (int fuel = 0; fuel < 2; fuel++) { /* water of 140 F leaves the tank before the tub is measured and anybody bathes */
        tufa_step s[96];
        size_t n = tufa_visit_steps(TUFA_VISIT_STANDING, TUFA_METHOD_FLUSH, fuel ? TUFA_GAS : TUFA_ELECTRIC, 0, 96, s);
        int back = at(s, n, fuel ? "DIAL_BACK_G" : "OFF_AGAIN"), cool = at(s, n, "COOL_AGAIN"), tub = at(s, n, "TUB_AFTER");
        assert_true(back >= 0 && back < cool && cool < tub && at(s, n, "TUB_BEFORE") < 0);
    }
}

static void every_step_and_kit_row_names_its_source(void **state)
{
    (void)state;
    for (int m = 0; m < TUFA_METHOD_COUNT; m++) {
        tufa_step s[96];
        tufa_kit_item k[64];
        size_t n = tufa_visit_steps(TUFA_VISIT_CLEAN, (tufa_method_id)m, TUFA_ELECTRIC, 0, 96, s), items = tufa_visit_kit(TUFA_VISIT_CLEAN, (tufa_method_id)m, TUFA_ELECTRIC, 64, k);
        for (size_t i = 0; i < n; i++) CHECK_TRUE(tufa_source_at(s[i].source) && s[i].words[0], i);
        CHECK_TRUE(items > 5 && items < 64, m);
        const tufa_method_row *row = tufa_method_at((tufa_method_id)m);
        CHECK_TRUE(row->title && row->what && row->waste_to && tufa_source_at(row->source), m);
        CHECK_TRUE(tufa_method_find(row->id) == (tufa_method_id)m, m);
    }
    assert_int_equal(tufa_method_find("M4"), TUFA_METHOD_VACUUM);
    assert_int_equal(tufa_method_find("magic"), TUFA_METHOD_COUNT);
}

RUN(cmocka_unit_test(more_pressure_never_gives_less_flow), cmocka_unit_test(a_line_uses_up_its_pressure),
    cmocka_unit_test(finer_grains_are_never_harder_to_keep_up), cmocka_unit_test(ergun_and_its_inverse_agree),
    cmocka_unit_test(a_wider_hole_arches_less_and_a_longer_plug_holds_more),
    cmocka_unit_test(every_relation_refuses_or_answers_finite_numbers), cmocka_unit_test(what_was_there_is_out_or_left),
    cmocka_unit_test(ranges_hold_their_medians_and_stay_within_the_bed),
    cmocka_unit_test(a_plain_flush_takes_the_fines_and_leaves_the_coarse), cmocka_unit_test(an_arch_of_chips_passes_clear_water),
    cmocka_unit_test(air_blows_a_crater_and_carries_little_out), cmocka_unit_test(acid_stalls_far_below_what_the_sum_promises),
    cmocka_unit_test(a_vacuum_tube_plugs_every_few_seconds_of_running),
    cmocka_unit_test(slurry_is_carried_far_and_uphill_above_the_deposition_velocity),
    cmocka_unit_test(air_is_refused_where_it_may_burst_a_tank), cmocka_unit_test(a_sieve_bends_the_sizes_towards_what_was_seen),
    cmocka_unit_test(isolation_and_proof_of_dead_stand_before_anything_is_opened),
    cmocka_unit_test(a_gas_visit_ends_with_leak_light_spill_and_tub), cmocka_unit_test(air_gets_in_where_water_goes_out_and_acid_stays_out_of_the_house),
    cmocka_unit_test(every_step_and_kit_row_names_its_source))
