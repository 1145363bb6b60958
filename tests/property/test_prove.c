/* The proof turned round: a bed is put into the tank stage, the readings are taken there, and the bed comes back inside
 * the error that the proof states. And over many invented tanks the ranges hold what they should. */
#include <stdlib.h>

#include "core/base/units.h"
#include "tests/check.h"
#include "tufa.h"

enum { KEY = 44, HERE = 45 };
static const double FLOW = 1.2e-4; /* 7 L/min */

static tufa_arena arena_of(size_t bytes)
{
    tufa_arena a = {.base = malloc(bytes), .size = bytes};
    assert_non_null(a.base);
    return a;
}

typedef struct taken {
    tufa_proof_reading heat;
    double heated_m3, draw_m3;
} taken;

/* Cold to cut-out, then the elements off: 10 L for the temperature, and from the same state a draw until it falls under
 * 313.7 K (105 F). */
static taken readings_of(const tufa_tank *tank)
{
    static tufa_tank_sample series[2000];
    tufa_tank_change off[2] = {tufa_tank_change_usual(TUFA_CHANGE_LOWER_ELEMENT_OPEN), tufa_tank_change_usual(TUFA_CHANGE_UPPER_ELEMENT_OPEN)};
    bool gas = tank->fuel == TUFA_TANK_GAS;
    if (gas) off[0] = tufa_tank_change_usual(TUFA_CHANGE_BURNER_OFF);
    tufa_tank_model on_model, off_model;
    tufa_tank_state cold, hot, s;
    tufa_tank_result r;
    tufa_tank_use none = {0};
    taken t = {0};
    CHECK_OK(tufa_tank_build(tank, NULL, 0, &on_model), 0);
    CHECK_OK(tufa_tank_build(tank, off, gas ? 1 : 2, &off_model), 0);
    CHECK_OK(tufa_tank_start(&on_model, tank->inlet_K, &cold), 0);
    hot = cold;
    CHECK_OK(tufa_tank_simulate(&on_model, &none, &(tufa_tank_run){.duration_s = 4.0 * 3600.0}, &hot, &r), 0);
    double cut_s = r.first_full_cutout_s;
    assert_true(cut_s > 0.0);
    hot = cold;
    CHECK_OK(tufa_tank_simulate(&on_model, &none, &(tufa_tank_run){.duration_s = cut_s + 1.0}, &hot, &r), 0);
    double energy = r.in_J;
    tufa_tank_draw little = {0.0, 0.010, FLOW}, all = {0.0, 1.3 * tank->volume_m3, FLOW};
    s = hot;
    CHECK_OK(tufa_tank_simulate(&off_model, &(tufa_tank_use){.draws = &little, .n = 1, .once = true}, &(tufa_tank_run){.duration_s = 100.0}, &s, &r), 0);
    t.heat = (tufa_proof_reading){.kind = TUFA_PROOF_HEATUP, .energy_J = energy, .start_K = tank->inlet_K, .end_K = r.mean_outlet_K, .duration_s = cut_s,
                                  .air_K = tank->ambient_K, .loss_W_K = tank->loss_W_K, .energy_by_meter = 1};
    double error;
    CHECK_OK(tufa_clean_heated_volume(&t.heat, &t.heated_m3, &error), 0);
    s = hot;
    tufa_tank_run run = {.duration_s = 1.2 * tank->volume_m3 / FLOW, .series = series, .series_room = 2000, .series_every_s = 2.0};
    CHECK_OK(tufa_tank_simulate(&off_model, &(tufa_tank_use){.draws = &all, .n = 1, .once = true}, &run, &s, &r), 0);
    for (size_t i = 1; i < r.series_count && t.draw_m3 == 0.0; i++)
        if (series[i].outlet_K > 0.0 && series[i].outlet_K < 313.7) t.draw_m3 = series[i].t_s * FLOW;
    assert_true(t.draw_m3 > 0.0);
    return t;
}

static tufa_proof_in proof_of(const tufa_tank *tank)
{
    double across = sqrt(4.0 * tank->volume_m3 / tank->height_m / 3.14159265358979);
    return (tufa_proof_in){.fuel = TUFA_ELECTRIC, .volume_m3 = tank->volume_m3, .across_m = across,
                           .below_element_m3 = tank->volume_m3 * tank->lower_height_m / tank->height_m, .clean_refill_m3 = NAN,
                           .clean_heated_m3 = NAN, .clean_draw_m3 = NAN};
}

/* Readings without any error, and nothing known before: most answers hold the bed that was put in, and the few that do
 * not (a bed at the height of the lower control, where the heat-up is cut short) come next to it. */
static void a_bed_put_into_the_tank_comes_back_from_its_readings(void **state)
{
    (void)state;
    tufa_arena a = arena_of(tufa_clean_prove_bytes());
    tufa_tank tank = tufa_tank_default(TUFA_TANK_ELECTRIC);
    taken clean = readings_of(&tank);
    int inside = 0, asked = 0;
    for (int i = 0; i <= 12; i++) {
        double bed = 5e-3 * i;
        tank.bed_m3 = bed;
        taken now = readings_of(&tank);
        for (int which = 0; which < 3; which++) { /* heat-up alone, draw alone, both */
            tufa_proof_in in = proof_of(&tank);
            in.clean_heated_m3 = clean.heated_m3;
            in.clean_draw_m3 = clean.draw_m3;
            if (which != 1) in.reading[in.n++] = now.heat;
            if (which != 0) in.reading[in.n++] = (tufa_proof_reading){.kind = TUFA_PROOF_DRAW, .volume_m3 = now.draw_m3};
            tufa_proof p;
            CHECK_OK(tufa_clean_prove(&in, &a, &p), i);
            asked++;
            inside += bed >= p.left_m3.lo && bed <= p.left_m3.hi;
            CHECK_TRUE(bed >= p.left_m3.lo - 0.1 * p.width_m3 && bed <= p.left_m3.hi + 0.1 * p.width_m3, 10 * i + which);
            assert_false(p.clean); /* neither of them proves a tank clean */
        }
    }
    if (inside < asked * 9 / 10) fail_msg("%d of %d beds lie in their range", inside, asked);
    free(a.base);
}

static double either(uint64_t stream, uint64_t i) { return tufa_normal(HERE, stream, i); }
static double even(uint64_t stream, uint64_t i, double lo, double hi) { return lo + (hi - lo) * tufa_uniform(HERE, stream, i); }

/* What each reading shows of a bed in a tank, with the error of instruments and of what nobody can know (where the label
 * is wrong, how the bed lies, what its pores keep back). `mask` says which were taken. */
static void take_readings(const tufa_tank *tank, const taken *now, uint64_t i, int mask, tufa_proof_in *in)
{
    double bed = tank->bed_m3, floor = tank->volume_m3 / tank->height_m, V = tank->volume_m3;
    double voids = even(21, i, 0.45, 0.6), kept_back = even(22, i, 0.3, 0.7), shift = 0.005 * either(23, i), mound = 0.05 * either(24, i);
    if (mask & 1) in->reading[in->n++] = (tufa_proof_reading){.kind = TUFA_PROOF_HEATUP, .volume_m3 = now->heated_m3 + 0.026 * V * either(25, i)};
    if (mask & 2) in->reading[in->n++] = (tufa_proof_reading){.kind = TUFA_PROOF_DRAW, .volume_m3 = now->draw_m3 + 0.047 * V * either(26, i)};
    if (mask & 4)
        in->reading[in->n++] = (tufa_proof_reading){.kind = TUFA_PROOF_REFILL, .volume_m3 = V - bed * (1.0 - voids + voids * kept_back) + 0.0095 * V * either(27, i)};
    if (mask & 8) {
        tufa_proof_reading *r = &in->reading[in->n++];
        r->kind = TUFA_PROOF_PROBE5;
        for (int k = 0; k < 5; k++) r->depth_m[k] = fmax(0.0, bed / floor * (1.0 + mound) + shift);
    }
    if (mask & 16) {
        tufa_proof_reading *r = &in->reading[in->n++];
        r->kind = TUFA_PROOF_PROBE1;
        r->depth_m[0] = fmax(0.0, bed / floor * (1.0 + 0.19 * either(28, i)) + 0.019 * either(29, i));
    }
}

/* The tank of case i with this bed in it: size, setpoint, inlet, label and forecast differ. Readings of the heat and the
 * draw come from the tank stage. */
static bool case_in_the_tank(uint64_t i, bool gas, double bed, tufa_proof_in *in)
{
    double label = gas ? (i % 3 ? 0.151 : 0.189) : (i % 3 == 0 ? 0.151 : i % 3 == 1 ? 0.19 : 0.25), spread = 0.5;
    tufa_tank tank = tufa_tank_like(gas ? TUFA_TANK_GAS : TUFA_TANK_ELECTRIC, label * (1.0 + 0.05 * either(11, i)), 0.0, even(12, i, 322.15, 330.15));
    tank.inlet_K = even(13, i, 278.15, 290.15);
    taken clean = readings_of(&tank);
    tank.bed_m3 = bed;
    taken now = readings_of(&tank);
    double forecast = bed * exp(spread * either(14, i)), z = 1.2816 * spread;
    if (forecast > 0.5 * label) return false; /* the desk hands such a forecast on as nothing known */
    *in = proof_of(&tank);
    in->fuel = gas ? TUFA_GAS : TUFA_ELECTRIC;
    in->volume_m3 = label;
    if (gas) in->below_element_m3 = 0.0;
    in->before_m3 = (tufa_value){forecast, forecast * exp(-z), forecast * exp(z), TUFA_BASIS_RANGE};
    if (i % 2) { /* half of the tanks have their own clean readings */
        in->clean_refill_m3 = tank.volume_m3;
        in->clean_heated_m3 = clean.heated_m3 + 0.026 * tank.volume_m3 * either(15, i);
        in->clean_draw_m3 = clean.draw_m3;
    }
    int mask = 1 + (int)even(16, i, 0.0, 31.0);
    if (gas) mask &= ~(1 | 8); /* no element hole, and a heat-up that tells nothing */
    take_readings(&tank, &now, i, mask ? mask : 4, in);
    return true;
}

/* Beds of 0.5 to 60 L, both fuels, any of the readings: the 10 to 90 % range holds the truth in about 8 of 10, at every
 * size and whichever single reading is asked. */
static void the_range_holds_a_simulated_bed_in_eight_of_ten(void **state)
{
    (void)state;
    enum { TIMES = 1000, BEDS = 10 };
    static const double BED[BEDS] = {0.5e-3, 2e-3, 5e-3, 10e-3, 15e-3, 20e-3, 30e-3, 40e-3, 50e-3, 60e-3};
    tufa_arena a = arena_of(tufa_clean_prove_bytes());
    int fuel[2][2] = {{0}}, size[BEDS][2] = {{0}}, alone[TUFA_PROOF_COUNT][2] = {{0}}, under = 0, over = 0;
    for (uint64_t i = 0; i < TIMES; i++) {
        size_t b = (i / 2) % BEDS;
        bool gas = i % 4 >= 2;
        tufa_proof_in in;
        tufa_proof p;
        if (!case_in_the_tank(i, gas, BED[b], &in)) continue;
        CHECK_OK(tufa_clean_prove(&in, &a, &p), i);
        int held = BED[b] >= p.left_m3.lo && BED[b] <= p.left_m3.hi;
        under += BED[b] < p.left_m3.lo;
        over += BED[b] > p.left_m3.hi;
        fuel[gas][0]++, fuel[gas][1] += held;
        size[b][0]++, size[b][1] += held;
        if (in.n == 1) alone[in.reading[0].kind][0]++, alone[in.reading[0].kind][1] += held;
    }
    for (int g = 0; g < 2; g++) CHECK_TRUE(fuel[g][1] > 0.76 * fuel[g][0] && fuel[g][1] < 0.87 * fuel[g][0], g);
    for (size_t b = 0; b < BEDS; b++) CHECK_TRUE(size[b][0] > 60 && size[b][1] > 0.68 * size[b][0], b); /* 0.8 less three times its chance error */
    for (int k = 0; k < TUFA_PROOF_COUNT; k++) CHECK_TRUE(alone[k][1] >= alone[k][0] * 0.8 - 3.0 * sqrt(0.16 * alone[k][0]), k);
    CHECK_TRUE(under < 2 * over && over < 2 * under, 0); /* wrong to both sides alike: no bias */
    free(a.base);
}

static void a_normal_heat_up_proves_nothing_of_a_bed_below_the_element(void **state)
{
    (void)state;
    tufa_arena a = arena_of(tufa_clean_prove_bytes());
    tufa_tank tank = tufa_tank_default(TUFA_TANK_ELECTRIC);
    taken clean = readings_of(&tank);
    tank.bed_m3 = 10e-3;
    taken now = readings_of(&tank);
    CHECK_NEAR(now.heated_m3, clean.heated_m3, 5e-3, 0); /* inside its own error: 4 to 5 L */
    tufa_proof_in in = proof_of(&tank);
    in.clean_heated_m3 = clean.heated_m3;
    in.n = 1;
    in.reading[0] = now.heat;
    tufa_proof p;
    CHECK_OK(tufa_clean_prove(&in, &a, &p), 0);
    assert_true(p.left_m3.hi > 10e-3);
    assert_true(p.sharpen == TUFA_PROOF_PROBE5 || p.sharpen == TUFA_PROOF_REFILL);
    free(a.base);
}

static void the_errors_are_those_that_are_stated(void **state)
{
    (void)state;
    tufa_proof_reading r = {.kind = TUFA_PROOF_HEATUP, .energy_J = J_from_kWh(7.67), .start_K = 287.55, .end_K = 287.55 + 37.6, .duration_s = 6120.0,
                            .air_K = 292.85, .loss_W_K = 1.3, .energy_by_meter = 1};
    double V, error;
    CHECK_OK(tufa_clean_heated_volume(&r, &V, &error), 0);
    CHECK_NEAR(V, 0.173, 0.004, 0);          /* (7.67 - 0.22) kWh over 37.6 K: 173 L of 190 */
    assert_true(error > 3.5e-3 && error < 4.6e-3);
    r.energy_by_meter = 0;
    CHECK_OK(tufa_clean_heated_volume(&r, &V, &error), 0);
    assert_true(error > 4.6e-3 && error < 5.5e-3);
    tufa_arena a = arena_of(tufa_clean_prove_bytes());
    tufa_proof_in in = {.fuel = TUFA_ELECTRIC, .volume_m3 = 0.19, .across_m = 0.4485, .below_element_m3 = 0.019, .clean_refill_m3 = 0.188,
                        .clean_heated_m3 = NAN, .clean_draw_m3 = NAN, .n = 2};
    in.reading[0] = (tufa_proof_reading){.kind = TUFA_PROOF_PROBE5, .depth_m = {0.02, 0.02, 0.02, 0.02, 0.02}};
    in.reading[1] = (tufa_proof_reading){.kind = TUFA_PROOF_REFILL, .volume_m3 = 0.185};
    tufa_proof p;
    CHECK_OK(tufa_clean_prove(&in, &a, &p), 0);
    CHECK_NEAR(p.part[0].error_m3, 0.8e-3, 0.05e-3, 0); /* five spots: 0.8 L */
    CHECK_NEAR(p.part[1].error_m3, 2.4e-3, 0.05e-3, 0); /* own clean refill: 2.4 L */
    CHECK_NEAR(p.part[0].says_m3, 3.16e-3, 0.05e-3, 0);
    CHECK_NEAR(p.part[1].says_m3, 4.0e-3, 0.05e-3, 0);
    free(a.base);
}

/* One invented tank: its bed, and readings with the errors that the proof states. */
static tufa_proof_in invented(uint64_t i, double *left)
{
    double across = 0.4485, floor = 0.25 * 3.14159265358979 * across * across;
    double before = exp(log(8e-3) + 0.5 * tufa_normal(KEY, 1, i)), out = i % 5 < 2 ? before * tufa_uniform(KEY, 2, i) : 0.0; /* work is done where a pail is read */
    *left = before - out;
    tufa_proof_in in = {.fuel = TUFA_ELECTRIC, .volume_m3 = 0.19, .across_m = across, .below_element_m3 = 0.019, .clean_refill_m3 = 0.188, .clean_heated_m3 = NAN,
                        .clean_draw_m3 = NAN, .before_m3 = {8e-3, 8e-3 * exp(-0.5 * 1.2816), 8e-3 * exp(0.5 * 1.2816), TUFA_BASIS_RANGE}};
    if (i % 2 == 0) {
        tufa_proof_reading *r = &in.reading[in.n++];
        double shift = 0.005 * tufa_normal(KEY, 3, i);
        r->kind = TUFA_PROOF_PROBE5;
        for (int k = 0; k < 5; k++) r->depth_m[k] = fmax(0.0, *left / floor + shift);
    }
    if (i % 3 != 0) in.reading[in.n++] = (tufa_proof_reading){.kind = TUFA_PROOF_REFILL, .volume_m3 = 0.188 - 0.75 * *left + 1.8e-3 * tufa_normal(KEY, 4, i)};
    if (i % 5 < 2) in.reading[in.n++] = (tufa_proof_reading){.kind = TUFA_PROOF_SLURRY, .volume_m3 = out * exp(0.1 * tufa_normal(KEY, 5, i))};
    return in;
}

static void ranges_hold_the_truth_as_often_as_they_say(void **state)
{
    (void)state;
    enum { TIMES = 600 };
    tufa_arena a = arena_of(tufa_clean_prove_bytes());
    int inside = 0, asked = 0;
    for (uint64_t i = 0; i < TIMES; i++) {
        double left;
        tufa_proof_in in = invented(i, &left);
        if (in.n == 0 || (in.n == 1 && in.reading[0].kind == TUFA_PROOF_SLURRY)) continue;
        tufa_proof p;
        CHECK_OK(tufa_clean_prove(&in, &a, &p), i);
        CHECK_TRUE(p.left_m3.lo <= p.left_m3.mid && p.left_m3.mid <= p.left_m3.hi, i);
        asked++;
        inside += left >= p.left_m3.lo && left <= p.left_m3.hi;
    }
    double share = (double)inside / asked;
    if (!(share > 0.70 && share < 0.92)) fail_msg("%d of %d truths lie in their 10 to 90 %% range", inside, asked);
    free(a.base);
}

static void only_the_rule_calls_a_tank_clean(void **state)
{
    (void)state;
    tufa_arena a = arena_of(tufa_clean_prove_bytes());
    tufa_proof_in in = {.fuel = TUFA_ELECTRIC, .volume_m3 = 0.19, .across_m = 0.4485, .below_element_m3 = 0.019, .clean_refill_m3 = NAN,
                        .clean_heated_m3 = NAN, .clean_draw_m3 = NAN, .n = 1};
    tufa_proof p;
    in.reading[0] = (tufa_proof_reading){.kind = TUFA_PROOF_PROBE5, .depth_m = {0.005, 0.005, 0.014, 0.01, 0.0}};
    CHECK_OK(tufa_clean_prove(&in, &a, &p), 0);
    assert_false(p.clean); /* no weight in the record */
    in.reading[in.n++] = (tufa_proof_reading){.kind = TUFA_PROOF_MASS, .mass_kg = 3.0};
    CHECK_OK(tufa_clean_prove(&in, &a, &p), 1);
    assert_true(p.clean);
    in.reading[0].depth_m[2] = 0.016;
    CHECK_OK(tufa_clean_prove(&in, &a, &p), 2);
    assert_false(p.clean);
    in.reading[0] = (tufa_proof_reading){.kind = TUFA_PROOF_REFILL, .volume_m3 = 0.187};
    CHECK_OK(tufa_clean_prove(&in, &a, &p), 3);
    assert_false(p.clean); /* against the label alone */
    in.clean_refill_m3 = 0.1885;
    CHECK_OK(tufa_clean_prove(&in, &a, &p), 4);
    assert_true(p.clean);
    in.reading[0] = (tufa_proof_reading){.kind = TUFA_PROOF_FLOW, .flow_m3_s = 6e-4, .clear_m3_s = 6e-4};
    CHECK_OK(tufa_clean_prove(&in, &a, &p), 5);
    assert_false(p.clean);
    assert_false(p.part[0].sees); /* a restored flow says that the port is clear */
    free(a.base);
}

static void a_gas_tank_keeps_its_secret_from_the_heat_up(void **state)
{
    (void)state;
    tufa_arena a = arena_of(tufa_clean_prove_bytes());
    tufa_proof_in in = {.fuel = TUFA_GAS, .volume_m3 = 0.151, .across_m = 0.415, .clean_refill_m3 = NAN, .clean_heated_m3 = NAN, .clean_draw_m3 = NAN, .n = 1};
    in.reading[0] = (tufa_proof_reading){.kind = TUFA_PROOF_HEATUP, .energy_J = 3e7, .start_K = 288.0, .end_K = 325.0, .duration_s = 2700.0, .air_K = 293.0, .loss_W_K = 5.0};
    tufa_proof p, without;
    CHECK_OK(tufa_clean_prove(&in, &a, &p), 0);
    assert_false(p.part[0].sees);
    in.n = 0;
    CHECK_OK(tufa_clean_prove(&in, &a, &without), 0);
    CHECK_NEAR(p.left_m3.mid, without.left_m3.mid, 1e-12, 0);
    assert_true(p.sharpen != TUFA_PROOF_PROBE5 && p.sharpen != TUFA_PROOF_HEATUP);
    free(a.base);
}

RUN(cmocka_unit_test(a_bed_put_into_the_tank_comes_back_from_its_readings), cmocka_unit_test(the_range_holds_a_simulated_bed_in_eight_of_ten),
    cmocka_unit_test(a_normal_heat_up_proves_nothing_of_a_bed_below_the_element), cmocka_unit_test(the_errors_are_those_that_are_stated),
    cmocka_unit_test(ranges_hold_the_truth_as_often_as_they_say), cmocka_unit_test(only_the_rule_calls_a_tank_clean),
    cmocka_unit_test(a_gas_tank_keeps_its_secret_from_the_heat_up))
