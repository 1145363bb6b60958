#include <stdlib.h>
#include <string.h>

#include "core/base/units.h"
#include "core/water/plain.h"
#include "tests/check.h"
#include "tufa.h"

/* The lanes again, compiled here without function clones and for the plainest processor. */
#undef TUFA_NO_CLONES
#define TUFA_NO_CLONES
#define water_run_lanes narrow_run_lanes
#define water_run_one narrow_run_one
#include "core/water/lanes.c"
#undef water_run_lanes
#undef water_run_one

enum { KEY = 3, STREAM = 14 };

static double u(uint64_t i, uint64_t k, double lo, double hi) { return lo + (hi - lo) * tufa_uniform(KEY, STREAM, 32 * i + k); }
static double u_log(uint64_t i, uint64_t k, double lo, double hi) { return exp(u(i, k, log(lo), log(hi))); }

/* A tap water with its charge balanced by sodium or chloride. */
static tufa_analysis tap(uint64_t i)
{
    tufa_analysis a = {.T_K = K_from_C(u(i, 0, 5.0, 28.0)), .ph = u(i, 1, 6.6, 8.6), .ca_mol_kgw = u_log(i, 2, 2e-4, 5e-3)};
    a.mg_mol_kgw = a.ca_mol_kgw * u(i, 3, 0.05, 1.0);
    a.alkalinity_eq_kgw = 2.0 * (a.ca_mol_kgw + a.mg_mol_kgw) * u(i, 4, 0.25, 1.1);
    a.so4_mol_kgw = u_log(i, 5, 1e-5, 4e-3);
    a.k_mol_kgw = u_log(i, 6, 1e-5, 2e-4);
    a.no3_mol_kgw = u_log(i, 7, 1e-6, 5e-4);
    a.cl_mol_kgw = u_log(i, 8, 1e-5, 4e-3);
    double left = a.alkalinity_eq_kgw + 2.0 * a.so4_mol_kgw + a.no3_mol_kgw + a.cl_mol_kgw - 2.0 * (a.ca_mol_kgw + a.mg_mol_kgw) - a.k_mol_kgw;
    if (left > 0.0) a.na_mol_kgw = left;
    else a.cl_mol_kgw -= left;
    return a;
}

/* Anything that the ranges allow, likely or not. */
static tufa_analysis wild(uint64_t i)
{
    tufa_analysis a = {.T_K = K_from_C(u(i, 0, 0.5, 60.0)), .ph = u(i, 1, 4.0, 11.5), .ca_mol_kgw = u_log(i, 2, 1e-7, 0.09),
                       .alkalinity_eq_kgw = u_log(i, 3, 1e-6, 0.09), .mg_mol_kgw = u_log(i, 4, 1e-7, 0.09),
                       .so4_mol_kgw = u(i, 9, 0.0, 1.0) < 0.2 ? 0.0 : u_log(i, 5, 1e-7, 0.09), .na_mol_kgw = u_log(i, 6, 1e-7, 0.6),
                       .cl_mol_kgw = u_log(i, 7, 1e-7, 0.6), .k_mol_kgw = u_log(i, 8, 1e-7, 0.05)};
    return a;
}

static int is_number(double x) { return x == x && fabs(x) < 1e300; }

static void heating_keeps_carbon_alkalinity_and_every_ion(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 1000; i++) {
        tufa_analysis a = tap(i);
        for (int set = 0; set < TUFA_CONSTANTS_COUNT; set++) {
            double T_K = K_from_C(u(i, 20, 5.0, 95.0)), T[LANES] = {T_K};
            lane_answer s;
            int settled;
            water_run_one(&a, water_sets[set], PH_CALCITE, 1, T, 1e-12, &s, &settled);
            CHECK_TRUE(settled, i);
            medium w;
            amounts m;
            double x[3] = {-2.302585092994046 * s.ph, s.ln_a_co3, s.ln_a_so4}; /* summed anew, species by species */
            water_medium(water_sets[set], PH_CALCITE, T_K, water_ln_activity_of_water(&a), &w);
            water_amounts(&w, &a, x, s.ionic_strength, 0, &m);
            CHECK_REL(2.0 * m.n[1] - m.n[0], a.alkalinity_eq_kgw, 1e-9, i);
            CHECK_REL(m.n[1], s.dic_mol_kgw, 1e-9, i);
            CHECK_REL(m.n[2], a.so4_mol_kgw, 1e-9, i);
            CHECK_REL(m.I, s.ionic_strength, 1e-9, i);
            CHECK_REL(s.ccpp_mol_kgw + s.ca_after_mol_kgw, a.ca_mol_kgw, 1e-12, i);
        }
    }
}

static void charge_stays_as_it_was(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 500; i++) {
        tufa_analysis a = tap(i);
        lane_answer s;
        int settled;
        double T[LANES] = {K_from_C(60.0)}, plus = 0.0, minus = a.cl_mol_kgw + a.no3_mol_kgw;
        water_run_one(&a, water_sets[0], PH_CALCITE, 1, T, 1e-12, &s, &settled);
        medium w;
        amounts m;
        double x[3] = {-2.302585092994046 * s.ph, s.ln_a_co3, s.ln_a_so4};
        water_medium(water_sets[0], PH_CALCITE, T[0], water_ln_activity_of_water(&a), &w);
        water_amounts(&w, &a, x, s.ionic_strength, 0, &m);
        for (int k = 0; k < SPECIES_COUNT; k++) {
            double q = species_charge[k] * m.m[k];
            if (q > 0.0) plus += q;
            else minus -= q;
        }
        CHECK_NEAR(plus - minus, 0.0, 1e-9 * plus, i); /* tap() balances its charge */
        CHECK_NEAR(tufa_water_charge_error_pct(&a), 0.0, 1e-9, i);
    }
}

static void the_bracketed_solution_agrees(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 24; i++) {
        tufa_analysis a = tap(i);
        enum phase solid = i % 2 ? PH_CALCITE : PH_ARAGONITE;
        const constants_set *set = water_sets[i % 3 == 0];
        double T_K = K_from_C(u(i, 20, 5.0, 95.0)), T[LANES] = {T_K};
        lane_answer newton, bracket;
        int settled;
        water_run_one(&a, set, solid, 1, T, 1e-12, &newton, &settled);
        CHECK_OK(water_bracketed(&a, set, solid, T_K, &bracket), i);
        CHECK_NEAR(newton.ph, bracket.ph, 1e-9, i);
        CHECK_NEAR(newton.si_calcite, bracket.si_calcite, 1e-9, i);
        CHECK_NEAR(newton.ccpp_mol_kgw, bracket.ccpp_mol_kgw, 1e-12, i);
    }
}

static void an_unlikely_water_is_answered_or_refused_never_guessed(void **state)
{
    (void)state;
    size_t answered = 0, refused = 0, fell_back = 0;
    for (uint64_t i = 0; i < 3000; i++) {
        tufa_analysis a = wild(i);
        tufa_water_state s;
        double T_K = K_from_C(u(i, 20, 0.0, 95.0));
        tufa_status st = tufa_water_heat(&a, (tufa_constants)(i % 2), T_K, &s);
        if (st.code != TUFA_OK) {
            CHECK_TRUE(st.code == TUFA_CONFLICT && st.why && st.field, i); /* pH against alkalinity, and nothing else */
            refused++;
            continue;
        }
        answered++;
        fell_back += s.fallback != 0;
        CHECK_TRUE(is_number(s.ph) && is_number(s.si_calcite) && is_number(s.ccpp_mol_kgw) && is_number(s.pco2_atm), i);
        CHECK_TRUE(s.ph > 1.0 && s.ph < 14.0 && s.dic_mol_kgw > 0.0 && s.ca_after_mol_kgw > 0.0, i);
        CHECK_TRUE((s.si_calcite > 1e-6) <= (s.ccpp_mol_kgw > 0.0) && (s.si_calcite < -1e-6) <= (s.ccpp_mol_kgw < 0.0), i);
    }
    CHECK_TRUE(answered > 2000 && refused > 50 && fell_back < 30, answered);
}

static void waters_in_lanes_come_out_as_one_at_a_time(void **state)
{
    (void)state;
    enum { N = 2003 };
    tufa_analysis *a = malloc(N * sizeof *a);
    double *T_K = malloc(N * sizeof *T_K);
    tufa_water_brief *out = malloc(N * sizeof *out);
    size_t bad;
    for (uint64_t i = 0; i < N; i++) {
        a[i] = tap(i);
        T_K[i] = K_from_C(u(i, 20, 5.0, 95.0));
    }
    CHECK_OK(tufa_water_batch(N, a, TUFA_CONSTANTS_2025, T_K, out, &bad), 0);
    for (uint64_t i = 0; i < N; i++) {
        tufa_water_brief one;
        tufa_water_state full;
        CHECK_OK(tufa_water_brief_at(&a[i], TUFA_CONSTANTS_2025, T_K[i], &one), i);
        CHECK_NEAR(out[i].ph, one.ph, 0.0, i);
        CHECK_NEAR(out[i].si_calcite, one.si_calcite, 0.0, i);
        CHECK_NEAR(out[i].ccpp_mol_kgw, one.ccpp_mol_kgw, 0.0, i);
        CHECK_OK(tufa_water_heat(&a[i], TUFA_CONSTANTS_2025, T_K[i], &full), i);
        CHECK_NEAR(out[i].ph, full.ph, 1e-5, i);
        CHECK_NEAR(out[i].si_calcite, full.si_calcite, 1e-5, i);
        CHECK_NEAR(1e3 * out[i].ccpp_mol_kgw, 1e3 * full.ccpp_mol_kgw, 1e-5, i);
    }
    a[777].ph = 0.0;
    CHECK_CODE(tufa_water_batch(N, a, TUFA_CONSTANTS_2025, T_K, out, &bad), TUFA_RANGE, 1);
    CHECK_TRUE(bad == 777, bad);
    free(a);
    free(T_K);
    free(out);
}

static void every_vector_width_gives_the_same_bits(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 200; i++) {
        tufa_analysis a[LANES];
        double T_K[LANES];
        lane_answer wide[LANES], narrow[LANES];
        int settled[LANES];
        for (uint64_t l = 0; l < LANES; l++) {
            a[l] = tap(LANES * i + l);
            T_K[l] = K_from_C(u(LANES * i + l, 20, 5.0, 95.0));
        }
        water_run_lanes(a, LANES, water_sets[0], PH_CALCITE, 1, T_K, 1e-4, wide, settled);
        narrow_run_lanes(a, LANES, water_sets[0], PH_CALCITE, 1, T_K, 1e-4, narrow, settled);
        CHECK_TRUE(memcmp(wide, narrow, sizeof wide) == 0, i);
    }
}

static void hotter_and_harder_drops_more(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 500; i++) {
        tufa_analysis a = tap(i);
        a.ph = u(i, 1, 7.0, 8.2);
        tufa_water_state cold, hot, more_ca, more_alk;
        CHECK_OK(tufa_water_heat(&a, TUFA_CONSTANTS_2025, K_from_C(50.0), &cold), i);
        CHECK_OK(tufa_water_heat(&a, TUFA_CONSTANTS_2025, K_from_C(70.0), &hot), i);
        CHECK_TRUE(hot.si_calcite > cold.si_calcite, i);
        if (cold.ccpp_mol_kgw > 0.0) CHECK_TRUE(hot.ccpp_mol_kgw > cold.ccpp_mol_kgw, i);
        tufa_analysis b = a;
        b.ca_mol_kgw *= 1.2;
        b.cl_mol_kgw += 2.0 * 0.2 * a.ca_mol_kgw;
        CHECK_OK(tufa_water_heat(&b, TUFA_CONSTANTS_2025, K_from_C(60.0), &more_ca), i);
        CHECK_OK(tufa_water_heat(&a, TUFA_CONSTANTS_2025, K_from_C(60.0), &cold), i);
        CHECK_TRUE(more_ca.ccpp_mol_kgw > cold.ccpp_mol_kgw, i);
        b = a;
        b.alkalinity_eq_kgw *= 1.2;
        b.na_mol_kgw += 0.2 * a.alkalinity_eq_kgw;
        CHECK_OK(tufa_water_heat(&b, TUFA_CONSTANTS_2025, K_from_C(60.0), &more_alk), i);
        if (cold.ccpp_mol_kgw > 0.0) CHECK_TRUE(more_alk.ccpp_mol_kgw > cold.ccpp_mol_kgw, i);
        CHECK_TRUE(hot.ccpp_aragonite_mol_kgw < hot.ccpp_mol_kgw, i);
    }
}

static void what_cannot_be_is_refused(void **state)
{
    (void)state;
    tufa_analysis good = tap(1), a;
    tufa_water_state s;
    CHECK_OK(tufa_water_heat(&good, TUFA_CONSTANTS_2025, 333.15, &s), 0);
    const struct {
        size_t at;
        double value;
        tufa_code code;
    } bad[] = {{offsetof(tufa_analysis, ph), 0.0, TUFA_RANGE},        {offsetof(tufa_analysis, ph), 14.5, TUFA_RANGE},
               {offsetof(tufa_analysis, ph), NAN, TUFA_RANGE},        {offsetof(tufa_analysis, ca_mol_kgw), -1e-3, TUFA_RANGE},
               {offsetof(tufa_analysis, ca_mol_kgw), 0.0, TUFA_MISSING}, {offsetof(tufa_analysis, ca_mol_kgw), INFINITY, TUFA_RANGE},
               {offsetof(tufa_analysis, ca_mol_kgw), NAN, TUFA_RANGE}, {offsetof(tufa_analysis, alkalinity_eq_kgw), 0.0, TUFA_RANGE},
               {offsetof(tufa_analysis, alkalinity_eq_kgw), -1.0, TUFA_RANGE}, {offsetof(tufa_analysis, na_mol_kgw), -1e-9, TUFA_RANGE},
               {offsetof(tufa_analysis, so4_mol_kgw), NAN, TUFA_RANGE}, {offsetof(tufa_analysis, T_K), 200.0, TUFA_RANGE},
               {offsetof(tufa_analysis, T_K), NAN, TUFA_RANGE}};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        a = good;
        memcpy((unsigned char *)&a + bad[i].at, &bad[i].value, sizeof(double));
        CHECK_CODE(tufa_water_heat(&a, TUFA_CONSTANTS_2025, 333.15, &s), bad[i].code, i);
    }
    CHECK_CODE(tufa_water_heat(&good, TUFA_CONSTANTS_2025, 373.15, &s), TUFA_RANGE, 100);
    CHECK_CODE(tufa_water_heat(&good, TUFA_CONSTANTS_2025, NAN, &s), TUFA_RANGE, 101);
    CHECK_CODE(tufa_water_heat(&good, TUFA_CONSTANTS_COUNT, 333.15, &s), TUFA_UNKNOWN, 102);
    a = good;
    a.ph = 11.0; /* needs 1 meq of hydroxide alone */
    a.alkalinity_eq_kgw = 2e-4;
    CHECK_CODE(tufa_water_heat(&a, TUFA_CONSTANTS_2025, 333.15, &s), TUFA_CONFLICT, 103);
    a.alkalinity_eq_kgw = 9.5e-4; /* enough for the hydroxide, not for what magnesium and calcium bind of it */
    a.mg_mol_kgw = 0.05;
    CHECK_CODE(tufa_water_heat(&a, TUFA_CONSTANTS_2025, 333.15, &s), TUFA_CONFLICT, 104);
    CHECK_OK(tufa_water_heat(&good, TUFA_CONSTANTS_2025, K_from_C(95.0), &s), 105);
    CHECK_TRUE(s.extrapolated, 105);
    CHECK_OK(tufa_water_heat(&good, TUFA_CONSTANTS_2025, K_from_C(90.0), &s), 106);
    CHECK_TRUE(!s.extrapolated, 106);
}

static tufa_value exactly(double x) { return (tufa_value){x, x, x, TUFA_BASIS_GIVEN}; }

static tufa_arena arena_for(size_t draws)
{
    tufa_arena a = {.size = tufa_water_scratch_bytes(draws)};
    a.base = malloc(a.size);
    return a;
}

static void a_draw_is_a_function_of_its_index_and_keeps_what_is_known(void **state)
{
    (void)state;
    enum { N = 300 };
    tufa_water_known w = {0};
    w.field[TUFA_WATER_HARDNESS] = (tufa_value){4e-3, 3e-3, 5e-3, TUFA_BASIS_RANGE};
    w.field[TUFA_WATER_SO4] = exactly(5e-4);
    tufa_analysis all[N], some[10];
    CHECK_OK(tufa_water_draws(&w, 1, 2, 0, N, all), 0);
    CHECK_OK(tufa_water_draws(&w, 1, 2, 100, 10, some), 0);
    CHECK_TRUE(memcmp(some, all + 100, sizeof some) == 0, 0);
    double hardness[N];
    for (uint64_t i = 0; i < N; i++) {
        hardness[i] = all[i].ca_mol_kgw + all[i].mg_mol_kgw;
        CHECK_NEAR(all[i].so4_mol_kgw, 5e-4, 0.0, i);
        CHECK_NEAR(tufa_water_charge_error_pct(&all[i]), 0.0, 12.0, i);
        CHECK_OK(tufa_water_check(&all[i]), i);
    }
    CHECK_NEAR(tufa_quantile(N, hardness, 0.1), 3e-3, 2e-4, 0);
    CHECK_NEAR(tufa_quantile(N, hardness, 0.9), 5e-3, 3e-4, 0);
}

/* Whatever is known, however oddly, there are draws: only a pH and an alkalinity that are both given can contradict. */
static void no_gap_in_what_is_known_is_refused(void **state)
{
    (void)state;
    static const double LO[] = {275.0, 6.0, 1e-5, 1e-5, 1e-6, 1e-6, 1e-5, 1e-6, 1e-5, 1e-6, 1e-6, 1e-5};
    static const double HI[] = {320.0, 10.5, 0.01, 0.012, 0.01, 0.006, 0.1, 0.005, 0.1, 0.02, 0.003, 0.001};
    enum { N = 40 };
    tufa_arena scratch = arena_for(N);
    for (uint64_t i = 0; i < 600; i++) {
        tufa_water_known w = {.softened = tufa_uniform(KEY, 77, 64 * i + 60) < 0.1};
        for (uint64_t f = 0; f < TUFA_WATER_FIELD_COUNT; f++) {
            double a = tufa_uniform(KEY, 77, 64 * i + f), mid = f < 2 ? LO[f] + a * (HI[f] - LO[f]) : LO[f] * pow(HI[f] / LO[f], a);
            double half = f == 0 ? 1.0 : f == 1 ? 0.4 : 0.6 * mid * tufa_uniform(KEY, 77, 64 * i + 40);
            if (tufa_uniform(KEY, 77, 64 * i + 20 + f) < 0.5) w.field[f] = (tufa_value){mid, mid - half, mid + half, TUFA_BASIS_RANGE};
        }
        double T_K[2] = {313.15, 333.15}, ccpp[2 * N];
        tufa_status st = tufa_water_ccpp_draws(&w, (tufa_constants)(i % 2), 1, i, N, 2, T_K, &scratch, ccpp);
        int both = w.field[TUFA_WATER_PH].basis != TUFA_BASIS_NONE && w.field[TUFA_WATER_ALKALINITY].basis != TUFA_BASIS_NONE;
        CHECK_TRUE(st.code == TUFA_OK || (both && st.code == TUFA_CONFLICT), i);
        for (int k = 0; k < 2 * N && st.code == TUFA_OK; k++) CHECK_TRUE(is_number(ccpp[k]), i);
        tufa_water_filled f;
        st = tufa_water_fill(&w, &f);
        CHECK_TRUE(st.code == TUFA_OK || (both && st.code == TUFA_CONFLICT), i);
    }
    free(scratch.base);
}

static double width_of(const tufa_water_known *w, tufa_water_field *ask)
{
    enum { N = 400 };
    tufa_arena scratch = arena_for(N);
    tufa_water_outlook o;
    CHECK_OK(tufa_water_look(w, TUFA_CONSTANTS_2025, 333.15, 5, 6, N, &scratch, &o), 0);
    free(scratch.base);
    *ask = o.ask;
    CHECK_TRUE(o.ask == TUFA_WATER_FIELD_COUNT || o.width_after_mg_L < 0.85 * o.width_mg_L, 0);
    CHECK_TRUE(o.other_set_mg_L < 0.0, 0); /* the 1982 set says less when hot */
    return o.ccpp_mg_L.hi - o.ccpp_mg_L.lo;
}

static void the_more_is_known_the_narrower_and_the_figure_asked_for_helps(void **state)
{
    (void)state;
    tufa_water_field ask, next;
    tufa_water_known w = {0};
    double nothing = width_of(&w, &ask);
    w.field[TUFA_WATER_HARDNESS] = (tufa_value){4.3e-3, 4.1e-3, 4.5e-3, TUFA_BASIS_GIVEN};
    double hardness = width_of(&w, &ask);
    CHECK_TRUE(ask == TUFA_WATER_ALKALINITY, ask);
    w.field[TUFA_WATER_ALKALINITY] = (tufa_value){6e-3, 5.7e-3, 6.3e-3, TUFA_BASIS_GIVEN};
    double alkalinity = width_of(&w, &next);
    CHECK_TRUE(next != TUFA_WATER_ALKALINITY, next);
    w.field[TUFA_WATER_PH] = (tufa_value){7.3, 7.2, 7.4, TUFA_BASIS_GIVEN};
    double ph = width_of(&w, &next);
    w.field[TUFA_WATER_CA] = exactly(2.9e-3);
    double ca = width_of(&w, &next);
    CHECK_TRUE(next == TUFA_WATER_FIELD_COUNT, next);
    CHECK_TRUE(nothing > 80.0 && hardness > 50.0, 0);
    CHECK_TRUE(alkalinity < 0.8 * hardness && ph < alkalinity && ca < ph, 0);
}

/* Waters that are not in the table of like waters: from their hardness alone the range must hold the true figure as often
 * as it says, within what 21 waters can tell. */
static void the_range_from_hardness_alone_holds_as_often_as_it_says(void **state)
{
    (void)state;
    /* Ca, Mg, alkalinity in mmol and meq, pH, deg C, Na, SO4, Cl in mmol/kgw: waters of the shared check table that are
     * invented inputs typical of surface waters, aquifers and treated waters */
    static const double WATERS[][8] = {
        {0.299, 0.062, 0.679, 8.6, 12, 0.365, 0.094, 0.226}, {0.349, 0.206, 0.959, 6.8, 13, 0.444, 0.083, 0.338},
        {0.599, 0.206, 1.359, 7.9, 10, 0.452, 0.187, 0.338}, {0.898, 0.370, 1.639, 7.4, 18, 0.848, 0.541, 0.677},
        {0.549, 0.494, 0.919, 8.5, 15, 1.283, 0.729, 1.072}, {0.873, 0.494, 2.158, 7.8, 9, 0.374, 0.271, 0.423},
        {1.297, 0.576, 2.997, 7.5, 14, 0.500, 0.312, 0.621}, {1.497, 0.823, 3.897, 7.2, 12, 0.826, 0.291, 0.846},
        {1.447, 0.864, 2.598, 7.9, 20, 2.297, 1.145, 2.115}, {1.871, 1.152, 2.558, 8.1, 25, 3.993, 2.498, 2.595},
        {2.046, 0.741, 4.596, 7.4, 11, 0.905, 0.416, 0.790}, {2.695, 0.165, 5.096, 7.25, 11, 1.018, 0.260, 0.677},
        {1.797, 1.646, 6.195, 7.4, 12, 0.435, 0.364, 0.395}, {2.994, 1.234, 6.794, 7.1, 13, 1.087, 0.729, 1.128},
        {4.242, 1.399, 3.797, 7.3, 15, 1.266, 3.956, 0.846}, {2.246, 1.234, 4.196, 7.6, 22, 4.237, 0.989, 5.077},
        {3.294, 1.728, 7.593, 7.0, 24, 2.619, 1.249, 2.539}, {2.894, 1.399, 7.294, 7.2, 14, 1.305, 0.833, 0.846},
        {3.618, 1.481, 8.393, 6.95, 12, 1.453, 0.937, 1.269}, {3.743, 1.399, 3.597, 7.5, 18, 1.840, 3.435, 1.692},
        {2.196, 1.234, 4.996, 8.0, 16, 1.266, 0.833, 1.410}};
    enum { N = 400, WATER_COUNT = sizeof WATERS / sizeof WATERS[0] };
    int inside = 0;
    for (uint64_t i = 0; i < WATER_COUNT; i++) {
        const double *x = WATERS[i];
        tufa_analysis a = {.ca_mol_kgw = 1e-3 * x[0], .mg_mol_kgw = 1e-3 * x[1], .alkalinity_eq_kgw = 1e-3 * x[2], .ph = x[3], .T_K = K_from_C(x[4]),
                           .na_mol_kgw = 1e-3 * x[5], .so4_mol_kgw = 1e-3 * x[6], .cl_mol_kgw = 1e-3 * x[7]};
        tufa_water_known w = {0};
        w.field[TUFA_WATER_HARDNESS] = exactly(a.ca_mol_kgw + a.mg_mol_kgw);
        tufa_water_brief truth;
        CHECK_OK(tufa_water_brief_at(&a, TUFA_CONSTANTS_2025, 333.15, &truth), i);
        tufa_arena scratch = arena_for(N);
        tufa_water_outlook o;
        CHECK_OK(tufa_water_look(&w, TUFA_CONSTANTS_2025, 333.15, 5, i, N, &scratch, &o), i);
        free(scratch.base);
        double mg_L = mg_caco3_from_mol(truth.ccpp_mol_kgw);
        inside += mg_L >= o.ccpp_mg_L.lo && mg_L <= o.ccpp_mg_L.hi;
    }
    printf("# %d of %d inside the 10 to 90 %% range\n", inside, WATER_COUNT);
    CHECK_TRUE(inside >= 14 && inside <= 21, inside); /* 16.8 expected of 21, standard deviation 1.8 */
}

static void a_softener_leaves_nothing_to_drop(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 200; i++) {
        tufa_analysis a = tap(i), soft;
        a.ph = u(i, 1, 7.0, 8.0);
        tufa_water_brief b;
        CHECK_OK(tufa_water_softened(&a, 0.01, &soft), i);
        CHECK_NEAR(tufa_water_charge_error_pct(&soft), tufa_water_charge_error_pct(&a), 0.1, i);
        CHECK_OK(tufa_water_brief_at(&soft, TUFA_CONSTANTS_2025, 333.15, &b), i);
        CHECK_TRUE(b.ccpp_mol_kgw < 1e-5 + 0.01 * a.ca_mol_kgw, i);
    }
    tufa_analysis a = tap(1), same;
    CHECK_OK(tufa_water_softened(&a, 1.0, &same), 0);
    CHECK_TRUE(memcmp(&a, &same, sizeof a) == 0, 0);
    CHECK_CODE(tufa_water_softened(&a, 1.5, &same), TUFA_RANGE, 0);
}

static void acid_dissolves_lime_in_proportion_and_less_when_closed(void **state)
{
    (void)state;
    for (int acid = 0; acid < TUFA_ACID_COUNT; acid++)
        for (double percent = 0.5; percent <= 10.0; percent += 0.5) {
            tufa_soak_in in = {.acid = (tufa_acid)acid, .acid_percent = percent, .T_K = 293.15, .co2_atm = 1.0};
            tufa_soak open, closed, same, stronger;
            CHECK_OK(tufa_water_soak(&in, &open), acid);
            in.closed = 1;
            CHECK_OK(tufa_water_soak(&in, &closed), acid);
            CHECK_REL(closed.dic_mol_kgw, closed.caco3_mol_kgw, 1e-6, acid); /* all the carbon stays in */
            CHECK_TRUE(closed.pco2_atm > 0.5 && open.share_of_stoichiometric > 0.9, acid);
            if (percent >= 5.0) CHECK_TRUE(closed.caco3_mol_kgw < open.caco3_mol_kgw, acid); /* its own gas holds it back */
            in.closed = 0;
            in.co2_atm = closed.pco2_atm; /* open to gas at that pressure is the same bath */
            CHECK_OK(tufa_water_soak(&in, &same), acid);
            CHECK_REL(same.caco3_mol_kgw, closed.caco3_mol_kgw, 1e-6, acid);
            in.co2_atm = 1.0;
            in.closed = 0;
            in.acid_percent = fmin(10.0, percent + 0.1);
            CHECK_OK(tufa_water_soak(&in, &stronger), acid);
            CHECK_TRUE(percent >= 10.0 || stronger.caco3_mol_kgw > open.caco3_mol_kgw, acid);
        }
    tufa_soak_in in = {.acid = TUFA_ACID_CITRIC, .acid_percent = 5.0, .T_K = 293.15, .co2_atm = 1.0, .citrate_solid = 1};
    tufa_soak s;
    CHECK_OK(tufa_water_soak(&in, &s), 0);
    CHECK_NEAR(s.si_citrate, 0.0, 1e-9, 0);
    CHECK_TRUE(s.citrate_solid_mol_kgw > 0.1, 0);
    in.acid_percent = 50.0;
    CHECK_CODE(tufa_water_soak(&in, &s), TUFA_RANGE, 0);
    in.acid_percent = NAN;
    CHECK_CODE(tufa_water_soak(&in, &s), TUFA_RANGE, 0);
}

RUN(cmocka_unit_test(heating_keeps_carbon_alkalinity_and_every_ion), cmocka_unit_test(charge_stays_as_it_was),
    cmocka_unit_test(the_bracketed_solution_agrees), cmocka_unit_test(an_unlikely_water_is_answered_or_refused_never_guessed),
    cmocka_unit_test(waters_in_lanes_come_out_as_one_at_a_time), cmocka_unit_test(every_vector_width_gives_the_same_bits),
    cmocka_unit_test(hotter_and_harder_drops_more), cmocka_unit_test(what_cannot_be_is_refused),
    cmocka_unit_test(a_draw_is_a_function_of_its_index_and_keeps_what_is_known),
    cmocka_unit_test(no_gap_in_what_is_known_is_refused),
    cmocka_unit_test(the_more_is_known_the_narrower_and_the_figure_asked_for_helps),
    cmocka_unit_test(the_range_from_hardness_alone_holds_as_often_as_it_says),
    cmocka_unit_test(a_softener_leaves_nothing_to_drop), cmocka_unit_test(acid_dissolves_lime_in_proportion_and_less_when_closed))
