#include <stdlib.h> /* aligned_alloc */
#include <string.h>

#include "core/base/units.h"
#include "tests/check.h"
#include "tufa.h"

enum { KEY = 3, STREAM_TANK = 31, STREAM_CHANGE = 32, STREAM_DRAW = 33 };
static const double DAY_S = 86400.0;

static double among(uint64_t stream, uint64_t i, uint64_t k, double lo, double hi)
{
    return lo + (hi - lo) * tufa_uniform(KEY, stream, 64 * i + k);
}

/* All of them natively; sanitizers are ten times slower. */
static uint64_t how_many(uint64_t all)
{
#if defined(__SANITIZE_ADDRESS__)
    return all / 5;
#else
    return all;
#endif
}

typedef struct day_case {
    tufa_tank tank;
    tufa_tank_change change[4];
    size_t changes;
    tufa_tank_draw draw[TUFA_TANK_MAX_DRAWS];
    tufa_tank_use use;
    double start_K, hours;
} day_case;

static void random_tank(uint64_t i, tufa_tank *t)
{
    bool gas = among(STREAM_TANK, i, 0, 0, 1) < 0.35;
    *t = tufa_tank_like(gas ? TUFA_TANK_GAS : TUFA_TANK_ELECTRIC, among(STREAM_TANK, i, 1, 0.07, 0.5), 0.0, K_from_C(among(STREAM_TANK, i, 2, 40, 75)));
    t->layers = 24 + (int)among(STREAM_TANK, i, 3, 0, 96.99);
    t->inlet_K = K_from_C(among(STREAM_TANK, i, 4, 0.5, 28));
    t->ambient_K = K_from_C(among(STREAM_TANK, i, 5, -10, 40));
    t->loss_W_K *= among(STREAM_TANK, i, 6, 0.3, 3);
    t->loss_top_share = among(STREAM_TANK, i, 7, 0, 1) < 0.3 ? 0.2 : 0.0;
    t->sensor_lag_s = among(STREAM_TANK, i, 8, 0, 1) < 0.3 ? among(STREAM_TANK, i, 9, 10, 300) : 0.0;
    t->bed_m3 = among(STREAM_TANK, i, 10, 0, 1) < 0.5 ? among(STREAM_TANK, i, 11, 0, 0.4) * t->volume_m3 : 0.0;
    t->closed_system = among(STREAM_TANK, i, 12, 0, 1) < 0.3;
    t->pilot_W = gas && among(STREAM_TANK, i, 13, 0, 1) < 0.5 ? 117.0 : 0.0;
    if (among(STREAM_TANK, i, 14, 0, 1) < 0.2) t->density_kg_m3 = 987.0, t->heat_capacity_J_kg_K = 4182.0;
    if (!gas) t->lower_W = 1000.0 * (int)among(STREAM_TANK, i, 15, 0, 6.99), t->upper_W = 1000.0 * (int)among(STREAM_TANK, i, 16, 0, 6.99);
}

static void random_case(uint64_t i, day_case *c)
{
    memset(c, 0, sizeof *c);
    random_tank(i, &c->tank);
    c->changes = (size_t)among(STREAM_CHANGE, i, 0, 0, 4.99);
    if (c->changes > 4) c->changes = 4;
    for (size_t k = 0; k < c->changes; k++) {
        tufa_tank_change_id id = (tufa_tank_change_id)among(STREAM_CHANGE, i, 1 + k, 0, TUFA_CHANGE_COUNT - 0.001);
        const tufa_tank_change_row *row = tufa_tank_change_at(id);
        double hi = id == TUFA_CHANGE_BED ? 0.1 * c->tank.volume_m3 : id == TUFA_CHANGE_SETPOINT_DRIFT ? 15.0 : row->hi;
        double lo = id == TUFA_CHANGE_SETPOINT_DRIFT ? -15.0 : row->lo;
        c->change[k] = (tufa_tank_change){.id = id, .size = among(STREAM_CHANGE, i, 10 + k, lo, hi),
                                          .fault_ohm = pow(10.0, among(STREAM_CHANGE, i, 20 + k, -1, 4)),
                                          .broken = among(STREAM_CHANGE, i, 30 + k, 0, 1) < 0.3,
                                          .broken_before = among(STREAM_CHANGE, i, 40 + k, 0, 1) < 0.1};
    }
    c->use.n = (size_t)among(STREAM_DRAW, i, 0, 0, 12.99);
    double t = 0.0;
    for (size_t k = 0; k < c->use.n; k++) {
        t += among(STREAM_DRAW, i, 1 + k, 0, 6500);
        c->draw[k] = (tufa_tank_draw){.start_s = t, .volume_m3 = 1e-3 * among(STREAM_DRAW, i, 20 + k, 0.1, 90), .flow_m3_s = m3_s_from_L_min(among(STREAM_DRAW, i, 40 + k, 1, 20))};
    }
    c->use.draws = c->draw;
    c->use.tempered_K = among(STREAM_DRAW, i, 60, 0, 1) < 0.3 ? K_from_C(41.0) : 0.0;
    c->start_K = K_from_C(among(STREAM_DRAW, i, 61, 5, 80));
    c->hours = among(STREAM_DRAW, i, 62, 1, 48);
}

static double lightness_C(double t) { return t < 3.98 ? 7.96 - t : t; }

static void check_column(const tufa_tank_model *m, const tufa_tank_state *s, double lo_K, double hi_K, uint64_t i)
{
    for (int k = 0; k < m->n; k++) {
        double T = tufa_tank_layer_K(m, s, k);
        CHECK_TRUE(T >= lo_K - 0.02 && T <= hi_K, i); /* 0.02: heat content as a temperature, see tufa_tank_state */
        double below = s->theta[k > 0 ? k - 1 : 0], here = s->theta[k]; /* an ideal liquid has no heaviest temperature */
        CHECK_TRUE(m->real_water ? lightness_C(here) >= lightness_C(below) - 1e-6 : here >= below - 1e-6, i);
    }
}

static void energy_closes_and_water_stays_in_order_whatever_is_wrong(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < how_many(10000); i++) {
        day_case c;
        tufa_tank_model m;
        tufa_tank_state s;
        tufa_tank_result r;
        random_case(i, &c);
        tufa_status st = tufa_tank_build(&c.tank, c.change, c.changes, &m);
        if (st.code == TUFA_RANGE) continue; /* two beds that together leave no water, a setpoint driven out of range */
        CHECK_OK(st, i);
        CHECK_OK(tufa_tank_start(&m, c.start_K, &s), i);
        tufa_tank_run run = {.duration_s = 3600.0 * c.hours};
        CHECK_OK(tufa_tank_simulate(&m, &c.use, &run, &s, &r), i);
        CHECK_NEAR(r.balance_J, 0.0, 1e-6 * (r.in_J + fabs(r.stored_J) + fabs(r.delivered_J) + 1.0), i);
        CHECK_TRUE(r.in_J >= 0.0 && isfinite(r.delivered_J) && isfinite(r.lost_J) && isfinite(r.mean_K) && isfinite(r.skin_K), i);
        CHECK_TRUE(r.lower_on_s + r.upper_on_s <= 3600.0 * c.hours + 1.0 && r.kill_lo[0] <= r.kill_hi[0], i);
        double lo = fmin(fmin(m.tank.inlet_K, m.tank.ambient_K), c.start_K);
        check_column(&m, &s, lo, m.tank.relief_K + 4.0, i); /* the valve lets out more than any heater heats, but not at once */
    }
}

/* ---- a plain tank and its day ---- */

static tufa_tank_day day_of(const tufa_tank *t, const tufa_tank_change *change, size_t n, double daily_m3)
{
    tufa_tank_draw draw[TUFA_TANK_MAX_DRAWS];
    tufa_tank_use use = {.draws = draw, .n = tufa_tank_draws_for(daily_m3, draw)};
    tufa_tank_day d = {0};
    CHECK_OK(tufa_tank_typical_day(t, change, n, &use, t->inlet_K, t->ambient_K, &d), 0);
    return d;
}

static tufa_tank_result run_of(const tufa_tank *t, const tufa_tank_change *change, size_t n, const tufa_tank_use *use, double hours)
{
    tufa_tank_model m;
    tufa_tank_state s;
    tufa_tank_result r = {0};
    tufa_tank_run run = {.duration_s = 3600.0 * hours};
    CHECK_OK(tufa_tank_build(t, change, n, &m), 0);
    CHECK_OK(tufa_tank_start(&m, t->setpoint_K, &s), 0);
    CHECK_OK(tufa_tank_simulate(&m, use, &run, &s, &r), 0);
    return r;
}

/* Lutz, Whitehead, Lekov, Winiarski, Rosenquist 1998; for gas its loss is energy in at rest, heat lost over recovery
 * efficiency. The equation holds the whole tank at the setpoint: 3 % by nature. */
static void a_periodic_day_agrees_with_the_energy_equation(void **state)
{
    (void)state;
    for (int i = 0; i < 12; i++) {
        tufa_tank t = tufa_tank_default(i % 2 ? TUFA_TANK_GAS : TUFA_TANK_ELECTRIC);
        t.setpoint_K = K_from_C(50.0 + 2.0 * i);
        t.differential_K = i % 2 ? 6.0 : 3.0;
        t.mixing_m3 = 0.0;
        double daily = 0.15 + 0.012 * i, W = i % 2 ? t.burner_W : t.lower_W;
        tufa_tank_day d = day_of(&t, NULL, 0, daily);
        double tank_K = i % 2 ? d.mean_outlet_K : t.setpoint_K; /* a gas tank stacks: it holds what it gives */
        double eq = tufa_tank_equation_J(daily, t.recovery_efficiency, t.loss_W_K / t.recovery_efficiency, W, tank_K, t.inlet_K, t.ambient_K);
        CHECK_REL(d.in_J, eq, 0.03, i);
    }
}

/* A thermostat whose sensor the cold front just touches may start a cycle earlier or later; such days differ by what one
 * cycle moves, others by little. */
static void long_steps_agree_with_dense_ones(void **state)
{
    (void)state;
    enum { TANKS = 30 };
    double apart[TANKS];
    int close = 0;
    for (uint64_t i = 0; i < TANKS; i++) {
        tufa_tank t = tufa_tank_like(TUFA_TANK_ELECTRIC, among(STREAM_TANK, i, 50, 0.1, 0.35), 0.0, K_from_C(among(STREAM_TANK, i, 51, 48, 65)));
        tufa_tank_draw draw[TUFA_TANK_MAX_DRAWS];
        tufa_tank_use use = {.draws = draw, .n = tufa_tank_draws_for(among(STREAM_TANK, i, 52, 0.8, 1.4) * t.volume_m3, draw)};
        tufa_tank_model m;
        tufa_tank_state s;
        tufa_tank_result r[2];
        CHECK_OK(tufa_tank_build(&t, NULL, 0, &m), i);
        for (int k = 0; k < 2; k++) {
            tufa_tank_run run = {.duration_s = DAY_S, .dense_step_s = k ? 2.0 : 0.0};
            CHECK_OK(tufa_tank_start(&m, t.setpoint_K, &s), i);
            CHECK_OK(tufa_tank_simulate(&m, &use, &run, &s, &r[k]), i);
        }
        apart[i] = fabs((r[0].in_J - r[0].stored_J) / (r[1].in_J - r[1].stored_J) - 1.0);
        close += fabs(r[0].min_outlet_K - r[1].min_outlet_K) < 0.2;
        CHECK_TRUE(apart[i] < 0.0075 && r[1].steps > 100 * r[0].steps, i);
    }
    CHECK_TRUE(tufa_quantile(TANKS, apart, 0.5) < 0.0015 && close >= 0.75 * TANKS, 0);
}

/* ---- each change does what it is named for ---- */

static double measure(const tufa_tank_result *r, int what)
{
    const double all[] = {r->in_J, r->delivered_J, r->lost_J, r->min_outlet_K, r->lower_on_s, r->upper_on_s, r->limit_trip_s, r->skin_K,
                          r->max_outlet_K, r->flue_J, r->top_max_K};
    return all[what];
}
enum { MEASURES = 11 };

static void every_change_changes_something_and_others_are_named(void **state)
{
    (void)state;
    for (int fuel = 0; fuel < 2; fuel++) {
        tufa_tank t = tufa_tank_default((tufa_tank_fuel)fuel);
        tufa_tank_draw draw[TUFA_TANK_MAX_DRAWS];
        tufa_tank_use use = {.draws = draw, .n = tufa_tank_pattern_draws(TUFA_PATTERN_HIGH, draw)};
        tufa_tank_change stuck = tufa_tank_change_usual(TUFA_CHANGE_LOWER_THERMOSTAT_STUCK_ON);
        for (int id = 0; id < TUFA_CHANGE_COUNT; id++) {
            tufa_tank_change change[2] = {tufa_tank_change_usual((tufa_tank_change_id)id), stuck};
            size_t extra = id == TUFA_CHANGE_LIMIT_WELDED; /* shows only where the limit would trip */
            tufa_tank_model m;
            CHECK_OK(tufa_tank_build(&t, change, 1, &m), id);
            bool fits = strchr(tufa_tank_change_at((tufa_tank_change_id)id)->fuels, fuel ? 'G' : 'E') != NULL;
            CHECK_TRUE(((m.changes >> id) & 1u) == fits && ((m.without_effect >> id) & 1u) == !fits, id);
            tufa_tank_result with = run_of(&t, change, 1 + extra, &use, 48.0), without = run_of(&t, &stuck, extra, &use, 48.0);
            double most = 0.0;
            for (int k = 0; k < MEASURES; k++)
                most = fmax(most, fabs(measure(&with, k) - measure(&without, k)) / (fabs(measure(&without, k)) + 1.0));
            /* the upper element's part goes unseen while the lower one keeps the top hot */
            bool silent = id == TUFA_CHANGE_UPPER_ELEMENT_OPEN || id == TUFA_CHANGE_UPPER_THERMOSTAT_OPEN;
            CHECK_TRUE(fits && !silent ? most > 1e-4 : most < 1e-12, id + 100 * fuel);
        }
    }
}

static void an_upper_element_that_is_open_is_silent_until_the_top_runs_cold(void **state)
{
    (void)state;
    tufa_tank t = tufa_tank_default(TUFA_TANK_ELECTRIC);
    tufa_tank_change open = tufa_tank_change_usual(TUFA_CHANGE_UPPER_ELEMENT_OPEN);
    tufa_tank_draw all = {.volume_m3 = 0.25, .flow_m3_s = 2e-4};
    tufa_tank_use use = {.draws = &all, .n = 1, .once = true};
    tufa_tank_result r = run_of(&t, &open, 1, &use, 12.0);
    CHECK_TRUE(r.first_full_cutout_s < 0.0 && r.lower_on_s < 1800.0, 0); /* the top wants heat, so nothing heats, for ever */
}

static void a_stuck_thermostat_trips_the_limit_and_a_welded_limit_opens_the_relief_valve(void **state)
{
    (void)state;
    for (int fuel = 0; fuel < 2; fuel++) {
        tufa_tank t = tufa_tank_default((tufa_tank_fuel)fuel);
        tufa_tank_change c[] = {tufa_tank_change_usual(TUFA_CHANGE_LOWER_THERMOSTAT_STUCK_ON), tufa_tank_change_usual(TUFA_CHANGE_LIMIT_WELDED)};
        tufa_tank_result trips = run_of(&t, c, 1, NULL, 24.0), boils = run_of(&t, c, 2, NULL, 24.0);
        CHECK_TRUE(trips.limit_trip_s > 0.0 && trips.relief_m3 == 0.0 && trips.top_max_K < t.limit_K + 1.0, fuel);
        CHECK_TRUE(boils.limit_trip_s < 0.0 && boils.relief_open_s > trips.limit_trip_s && boils.relief_m3 > 0.1, fuel);
        CHECK_TRUE(boils.top_max_K < t.relief_K + 4.0, fuel);
    }
}

static void short_draws_stack_a_gas_tank(void **state)
{
    (void)state;
    tufa_tank t = tufa_tank_default(TUFA_TANK_GAS);
    tufa_tank_draw draw[48];
    for (int i = 0; i < 48; i++) draw[i] = (tufa_tank_draw){.start_s = 600.0 * i, .volume_m3 = 0.006, .flow_m3_s = 1e-4};
    tufa_tank_use use = {.draws = draw, .n = 48, .once = true};
    tufa_tank_result r = run_of(&t, NULL, 0, &use, 8.0);
    CHECK_TRUE(r.max_outlet_K > t.setpoint_K + 8.0 && r.max_outlet_K < t.setpoint_K + 20.0, 0);
}

/* A control low in a bed cycles short and stacks, at most 20 K at the top (common practice, no source); it does not fire for ever. */
static void a_bed_never_drives_a_healthy_gas_tank_to_its_relief_valve(void **state)
{
    (void)state;
    const struct {
        double volume_m3, burner_W, setpoint_C;
    } tank[] = {{0.151, 11723.0, 52.0}, {0.114, 9000.0, 49.0}, {0.151, 14700.0, 60.0}, {0.189, 11700.0, 60.0}, {0.284, 14700.0, 52.0}};
    tufa_tank_draw draw[TUFA_TANK_MAX_DRAWS];
    tufa_tank_use use = {.draws = draw, .n = tufa_tank_pattern_draws(TUFA_PATTERN_MEDIUM, draw)};
    for (int k = 0; k < 10; k++) {
        tufa_tank t = tufa_tank_like(TUFA_TANK_GAS, tank[k / 2].volume_m3, tank[k / 2].burner_W, K_from_C(tank[k / 2].setpoint_C));
        double clean = 0.0, last = 0.0;
        use.tempered_K = k % 2 ? t.setpoint_K : 0.0;
        for (int litres = 0; litres <= 40; litres++) {
            tufa_tank_day d;
            t.bed_m3 = 1e-3 * litres;
            CHECK_OK(tufa_tank_typical_day(&t, NULL, 0, &use, t.inlet_K, t.ambient_K, &d), litres);
            if (litres == 0) clean = last = d.in_J;
            CHECK_TRUE(d.relief_J == 0.0 && d.relief_m3 == 0.0, 100 * k + litres);
            CHECK_TRUE(d.max_outlet_K < t.setpoint_K + 20.0, 100 * k + litres);
            CHECK_TRUE(d.min_outlet_K > t.setpoint_K - 25.0, 100 * k + litres); /* the limit did not trip */
            CHECK_TRUE(d.in_J > 0.99 * clean && d.in_J < 1.35 * clean, 100 * k + litres);
            CHECK_REL(d.in_J, last, 0.08, 100 * k + litres); /* most where the bed reaches over the sensor */
            last = d.in_J;
        }
    }
}

static void the_limit_shuts_the_gas_of_a_tank_with_a_bed(void **state)
{
    (void)state;
    tufa_tank t = tufa_tank_default(TUFA_TANK_GAS);
    tufa_tank_change stuck = tufa_tank_change_usual(TUFA_CHANGE_LOWER_THERMOSTAT_STUCK_ON);
    for (int litres = 0; litres <= 40; litres += 5) {
        t.bed_m3 = 1e-3 * litres;
        tufa_tank_result r = run_of(&t, &stuck, 1, NULL, 24.0);
        CHECK_TRUE(r.limit_trip_s > 0.0 && r.last_on_s <= r.limit_trip_s + 1.0, litres);
        CHECK_TRUE(r.relief_m3 == 0.0 && r.top_max_K < t.limit_K + 10.0, litres);
    }
}

static void a_closed_system_presses_until_an_expansion_tank_takes_it(void **state)
{
    (void)state;
    tufa_tank t = tufa_tank_default(TUFA_TANK_ELECTRIC);
    tufa_tank_draw d = {.volume_m3 = 0.1, .flow_m3_s = 2e-4};
    tufa_tank_use use = {.draws = &d, .n = 1, .once = true};
    double open = run_of(&t, NULL, 0, &use, 6.0).max_pressure_Pa;
    t.closed_system = true;
    tufa_tank_result closed = run_of(&t, NULL, 0, &use, 6.0);
    t.expansion_m3 = 0.008;
    double relieved = run_of(&t, NULL, 0, &use, 6.0).max_pressure_Pa;
    CHECK_NEAR(open, t.line_Pa, 1.0, 0);
    CHECK_TRUE(closed.max_pressure_Pa > 900e3 && closed.relief_m3 > 1e-5 && closed.relief_m3 < 3e-3, 0);
    CHECK_TRUE(relieved < t.line_Pa + 50e3, 0);
}

static void more_bed_means_less_hot_water_and_a_buried_sensor_cycles_short(void **state)
{
    (void)state;
    tufa_tank t = tufa_tank_default(TUFA_TANK_ELECTRIC);
    double last = 1.0; /* below the element a bed takes up water that is never hot */
    for (int i = 0; i < 6; i++) {
        t.bed_m3 = 0.020 + 0.006 * i;
        double first = day_of(&t, NULL, 0, 0.2).first_draw_m3;
        CHECK_TRUE(first < last, i);
        last = first;
    }
    tufa_tank_draw draw[TUFA_TANK_MAX_DRAWS];
    tufa_tank_use use = {.draws = draw, .n = tufa_tank_pattern_draws(TUFA_PATTERN_MEDIUM, draw)};
    t.bed_m3 = 0.0;
    int clean = run_of(&t, NULL, 0, &use, 48.0).lower_starts;
    t.bed_m3 = 0.24 * t.volume_m3;
    CHECK_TRUE(run_of(&t, NULL, 0, &use, 48.0).lower_starts > clean + 3, 0);
}

static void tempered_use_takes_less_from_a_hotter_tank_for_the_same_warmth(void **state)
{
    (void)state;
    tufa_tank_draw draw[TUFA_TANK_MAX_DRAWS];
    tufa_tank_use use = {.draws = draw, .n = tufa_tank_pattern_draws(TUFA_PATTERN_MEDIUM, draw), .tempered_K = K_from_C(41.0)};
    tufa_tank t = tufa_tank_default(TUFA_TANK_ELECTRIC);
    double warm = run_of(&t, NULL, 0, &use, 24.0).delivered_J;
    t.setpoint_K += 15.0;
    CHECK_REL(run_of(&t, NULL, 0, &use, 24.0).delivered_J, warm, 0.01, 0);
}

/* ---- grounded elements and bills ---- */

static void the_legs_may_be_swapped_by_counting_from_the_other_end(void **state)
{
    (void)state;
    for (uint64_t i = 0; i < 1000; i++) {
        tufa_tank_earth_in in = {.element_ohm = among(STREAM_CHANGE, i, 50, 9, 20), .fault_ohm = pow(10.0, among(STREAM_CHANGE, i, 51, -2, 5)), .s = among(STREAM_CHANGE, i, 52, 0, 1),
                                 .thermostat_closed = i % 2, .broken = i % 3 == 0, .broken_before = i % 7 == 0};
        tufa_tank_earth a, b, whole;
        CHECK_OK(tufa_tank_earthed(&in, &a), i);
        in.s = 1.0 - in.s, in.unswitched_is_b = true;
        CHECK_OK(tufa_tank_earthed(&in, &b), i);
        CHECK_REL(a.total_W, b.total_W, 1e-12, i);
        CHECK_REL(a.total_W, a.coil_W + a.fault_W, 1e-12, i);
        if (in.broken_before && !in.thermostat_closed) CHECK_NEAR(a.total_W, 0.0, 0.0, i);
        in = (tufa_tank_earth_in){.element_ohm = 12.8, .fault_ohm = in.fault_ohm, .s = 0.5, .thermostat_closed = true};
        CHECK_OK(tufa_tank_earthed(&in, &whole), i); /* in the middle no current goes to earth and the power is the plate's */
        CHECK_NEAR(whole.earth_A, 0.0, 1e-9, i);
        CHECK_REL(whole.total_W, 4500.0, 1e-9, i);
    }
}

static void a_leak_below_the_load_costs_no_more_than_a_hotter_tank_loses(void **state)
{
    (void)state;
    tufa_tank t = tufa_tank_default(TUFA_TANK_ELECTRIC);
    tufa_tank_draw draw[TUFA_TANK_MAX_DRAWS];
    tufa_tank_use use = {.draws = draw, .n = tufa_tank_pattern_draws(TUFA_PATTERN_MEDIUM, draw), .tempered_K = K_from_C(41.0)};
    double leaks[] = {50.0, 150.0, 250.0, 300.0};
    t.relief_K = 0.0;
    for (int i = 0; i < 4; i++) {
        tufa_tank_day plain, leaky;
        tufa_tank_leak_bound b;
        t.leak_W = 0.0;
        CHECK_OK(tufa_tank_typical_day(&t, NULL, 0, &use, t.inlet_K, t.ambient_K, &plain), i);
        CHECK_OK(tufa_tank_leak_bounds(&t, leaks[i], 0.2082, &b), i);
        t.leak_W = leaks[i];
        CHECK_OK(tufa_tank_typical_day(&t, NULL, 0, &use, t.inlet_K, t.ambient_K, &leaky), i);
        CHECK_TRUE(leaky.in_J > plain.in_J, i);
        CHECK_TRUE((leaky.in_J - plain.in_J) / DAY_S < b.extra_most_W, i);
        CHECK_TRUE(leaks[i] > b.load_W || b.steady_extra_W == 0.0, i);
    }
}

static void a_leak_above_the_load_reaches_the_limit_when_it_says_so(void **state)
{
    (void)state;
    tufa_tank t = tufa_tank_default(TUFA_TANK_ELECTRIC);
    tufa_tank_leak_bound b;
    t.leak_W = 1125.0;
    t.density_kg_m3 = 987.0, t.heat_capacity_J_kg_K = 4182.0;
    CHECK_OK(tufa_tank_leak_bounds(&t, t.leak_W, 0.0, &b), 0);
    tufa_tank_result r = run_of(&t, NULL, 0, NULL, 24.0);
    CHECK_TRUE(b.reaches_limit && b.scald, 0);
    CHECK_REL(r.limit_trip_s, b.idle_to_limit_s, 0.08, 0); /* lumped, without what is conducted below the element */
}

/* ---- health ---- */

static void burn_times_fall_with_temperature_and_stay_within_the_tables(void **state)
{
    (void)state;
    double shortest = 1e9, longest = 0.0, last[2] = {1e9, 1e9};
    for (size_t i = 0; i < tufa_tank_scald_count(); i++) {
        shortest = fmin(shortest, tufa_tank_scald_at(i)->time_s);
        longest = fmax(longest, tufa_tank_scald_at(i)->time_s);
    }
    for (int i = 0; i < 400; i++) {
        double T = K_from_F(100.0 + 0.25 * i);
        tufa_tank_burn who[2] = {tufa_tank_burn_time(T, TUFA_PERSON_ADULT), tufa_tank_burn_time(T, TUFA_PERSON_INFANT)};
        CHECK_TRUE(who[0].below_table == (T < K_from_F(113.0) - 1e-9), i);
        for (int k = 0; k < 2 && !who[k].below_table; k++) {
            CHECK_TRUE(who[k].time_s <= last[k] + 1e-9 && who[k].time_s >= shortest && who[k].time_s <= longest && who[k].source[0], i);
            last[k] = who[k].time_s;
        }
        if (!who[0].below_table) CHECK_TRUE(who[1].time_s <= who[0].time_s, i);
    }
}

static void bacteria_die_faster_in_hotter_water_and_the_band_holds_the_middle(void **state)
{
    (void)state;
    double last = 1e9;
    for (int i = 0; i < 360; i++) {
        tufa_tank_kill k = tufa_tank_kill_time(K_from_C(45.0 + 0.1 * i));
        CHECK_TRUE(k.D_s <= last && k.D_short_s <= k.D_s && k.D_s <= k.D_long_s && k.D_short_s > 0.0, i);
        last = k.D_s;
    }
    CHECK_NEAR(tufa_tank_kill_time(K_from_C(40.0)).D_s, 0.0, 0.0, 0);
}

/* ---- rating, mixing, table ---- */

static void mixing_is_found_again_from_the_first_draw(void **state)
{
    (void)state;
    for (int i = 1; i < 6; i++) {
        tufa_tank t = tufa_tank_default(TUFA_TANK_ELECTRIC);
        tufa_tank_rating r;
        double found, share = 1.0 - (15.0 / 1.8) / (t.setpoint_K - t.inlet_K);
        t.layers = 120, t.mixing_m3 = 0.05 * i * t.volume_m3, t.mixing_flow_m3_s = 0.0;
        t.lower_W = t.upper_W = 200.0; /* next to no heat while drawing, as the formula has it */
        t.lower_height_m = 0.0;
        CHECK_OK(tufa_tank_rate(&t, NULL, 0, &r), i);
        if (r.recovery_s < 0.0) continue;
        CHECK_OK(tufa_tank_mixing_fitted(t.volume_m3, r.first_draw_m3, share, &found), i);
        CHECK_NEAR(found, t.mixing_m3, 0.025 * t.volume_m3, i);
    }
}

/* No upper thermostat that wants heat for ever: the element heats all of the water above it in the time that its power takes. */
static void a_tank_with_one_element_heats(void **state)
{
    (void)state;
    tufa_tank t = tufa_tank_like(TUFA_TANK_ELECTRIC, 0.1, 1500.0, K_from_C(52.0));
    t.upper_W = 0.0;
    t.inlet_K = K_from_C(15.0);
    t.loss_W_K = 0.2;
    t.density_kg_m3 = 990.0;
    t.heat_capacity_J_kg_K = 4180.0;
    tufa_tank_model m;
    tufa_tank_state s;
    tufa_tank_result r;
    CHECK_OK(tufa_tank_build(&t, NULL, 0, &m), 0);
    CHECK_OK(tufa_tank_start(&m, t.inlet_K, &s), 0);
    tufa_tank_use nobody = {0};
    tufa_tank_run run = {.duration_s = 6.0 * 3600.0};
    CHECK_OK(tufa_tank_simulate(&m, &nobody, &run, &s, &r), 0);
    double above_m3 = t.volume_m3 * (1.0 - t.lower_height_m / t.height_m), by_hand_s = above_m3 * 990.0 * 4180.0 * 37.0 / 1500.0;
    CHECK_REL(r.first_full_cutout_s, by_hand_s, 0.1, 0); /* losses, the rod's thickness and layers: a few percent */
    CHECK_TRUE(r.upper_on_s == 0.0 && r.lower_on_s > 0.9 * by_hand_s, 0);
    tufa_tank_change open = tufa_tank_change_usual(TUFA_CHANGE_LOWER_ELEMENT_OPEN);
    CHECK_OK(tufa_tank_build(&t, &open, 1, &m), 1);
    CHECK_OK(tufa_tank_start(&m, t.inlet_K, &s), 1);
    CHECK_OK(tufa_tank_simulate(&m, &nobody, &run, &s, &r), 1);
    CHECK_TRUE(r.in_J == 0.0, 1); /* with it burnt out there is nothing else */
}

static void larger_and_stronger_heaters_rate_higher(void **state)
{
    (void)state;
    for (int fuel = 0; fuel < 2; fuel++) {
        double last = 0.0;
        for (int i = 0; i < 5; i++) {
            tufa_tank t = tufa_tank_like((tufa_tank_fuel)fuel, m3_from_gal(20.0 + 15.0 * i), fuel ? 290.0 * (20.0 + 15.0 * i) : 3e3 + 1e3 * i, K_from_F(125.0));
            tufa_tank_rating r;
            CHECK_OK(tufa_tank_rate(&t, NULL, 0, &r), i);
            CHECK_TRUE(r.first_hour_m3 > last && r.first_hour_m3 > r.first_draw_m3 && r.recovery_s > 0.0, i);
            CHECK_TRUE(r.recovery_efficiency > (fuel ? 0.70 : 0.95) && r.recovery_efficiency <= 1.0, i);
            last = r.first_hour_m3;
        }
    }
}

/* Certified ratings of common 40 and 50 gal electric heaters of 4500 W, whose tanks hold 0.9 of that: 50 to 56 and 60 to 68
 * gal, from memory. */
static void common_electric_heaters_rate_as_certified_ones_are_remembered(void **state)
{
    (void)state;
    const struct {
        double gal, lo_gal, hi_gal;
    } common[] = {{40.0, 50.0, 56.0}, {50.0, 60.0, 68.0}};
    for (size_t i = 0; i < sizeof common / sizeof common[0]; i++) {
        tufa_tank t = tufa_tank_like(TUFA_TANK_ELECTRIC, m3_from_gal(0.9 * common[i].gal), 0.0, K_from_F(125.0));
        tufa_tank_rating r;
        CHECK_OK(tufa_tank_rate(&t, NULL, 0, &r), i);
        CHECK_TRUE(gal_from_m3(r.first_hour_m3) > common[i].lo_gal && gal_from_m3(r.first_hour_m3) < common[i].hi_gal, i);
    }
}

/* Heat is off from one hour on. A heater too weak to recover within it gives its first draw and, since the last draw then
 * begins below where the first one stopped, nothing more; and it stays able to heat afterwards. */
static void a_heater_that_cannot_recover_in_an_hour_rates_its_first_draw(void **state)
{
    (void)state;
    for (int fuel = 0; fuel < 2; fuel++) {
        tufa_tank t = tufa_tank_like((tufa_tank_fuel)fuel, 0.0, 800.0, K_from_F(125.0));
        tufa_tank_rating r;
        CHECK_OK(tufa_tank_rate(&t, NULL, 0, &r), (uint64_t)fuel);
        CHECK_NEAR(r.first_hour_m3, r.first_draw_m3, 1e-12, (uint64_t)fuel);
        CHECK_TRUE(r.recovery_efficiency > 0.6, (uint64_t)fuel);
    }
}

static void days_from_the_table_agree_with_full_simulation(void **state)
{
    (void)state;
    enum { ENTRIES = 4096 };
    void *memory = aligned_alloc(64, (tufa_tank_cache_bytes(ENTRIES) + 63) / 64 * 64);
    tufa_tank_cache cache;
    CHECK_OK(tufa_tank_cache_init(memory, tufa_tank_cache_bytes(ENTRIES), &cache), 0);
    for (uint64_t i = 0; i < 60; i++) {
        tufa_tank t = tufa_tank_default(i % 3 ? TUFA_TANK_ELECTRIC : TUFA_TANK_GAS);
        tufa_tank_draw draw[TUFA_TANK_MAX_DRAWS];
        tufa_tank_use use = {.draws = draw, .n = tufa_tank_draws_for(among(STREAM_DRAW, i, 50, 0.8, 1.3) * t.volume_m3, draw), .tempered_K = t.setpoint_K};
        double bed = among(STREAM_DRAW, i, 51, 0.0, 0.45) * t.volume_m3, inlet = K_from_C(among(STREAM_DRAW, i, 52, 6, 22));
        tufa_tank_day full, kept;
        CHECK_OK(tufa_tank_cached_day(&cache, &t, bed, &use, inlet, t.ambient_K, &kept), i);
        t.bed_m3 = bed;
        CHECK_OK(tufa_tank_typical_day(&t, NULL, 0, &use, inlet, t.ambient_K, &full), i);
        CHECK_REL(kept.in_J, full.in_J, 0.02, i);
        CHECK_REL(kept.delivered_J, full.delivered_J, 0.02, i);
        CHECK_NEAR(kept.first_draw_m3, full.first_draw_m3, 0.02 * t.volume_m3, i);
        CHECK_NEAR(kept.mean_K, full.mean_K, 1.0, i);
    }
    free(memory);
}

static void a_year_from_the_table_agrees_with_every_day_simulated(void **state)
{
    (void)state;
    enum { ENTRIES = 256 };
    void *memory = aligned_alloc(64, (tufa_tank_cache_bytes(ENTRIES) + 63) / 64 * 64);
    tufa_tank_cache cache;
    tufa_tank_season season = tufa_tank_season_default();
    tufa_tank_draw draw[TUFA_TANK_MAX_DRAWS];
    tufa_tank_use use = {.draws = draw, .n = tufa_tank_pattern_draws(TUFA_PATTERN_MEDIUM, draw)};
    CHECK_OK(tufa_tank_cache_init(memory, tufa_tank_cache_bytes(ENTRIES), &cache), 0);
    for (int fuel = 0; fuel < 2; fuel++) {
        tufa_tank t = tufa_tank_default((tufa_tank_fuel)fuel);
        tufa_tank_model m;
        tufa_tank_result full;
        tufa_tank_day kept;
        CHECK_OK(tufa_tank_build(&t, NULL, 0, &m), fuel);
        CHECK_OK(tufa_tank_year(&m, &use, &season, t.setpoint_K, &full), fuel);
        CHECK_OK(tufa_tank_cached_year(&cache, &t, 0.0, &use, &season, &kept), fuel);
        CHECK_REL(kept.in_J, full.in_J, 0.01, fuel);
        CHECK_REL(kept.drawn_m3, full.drawn_m3, 1e-6, fuel);
        uint64_t misses = cache.misses;
        CHECK_OK(tufa_tank_cached_year(&cache, &t, 0.0, &use, &season, &kept), fuel);
        CHECK_TRUE(cache.misses == misses, fuel); /* asked again, nothing is simulated again */
    }
    free(memory);
}

static void what_cannot_be_is_refused_by_name(void **state)
{
    (void)state;
    tufa_tank t = tufa_tank_default(TUFA_TANK_ELECTRIC);
    tufa_tank_model m;
    tufa_tank_change c = {.id = TUFA_CHANGE_BED, .size = 2.0};
    CHECK_CODE(tufa_tank_build(&t, &c, 1, &m), TUFA_RANGE, 0);
    CHECK_CODE(tufa_tank_change_named("lower_element_opn", &c), TUFA_UNKNOWN, 1);
    t.density_kg_m3 = 987.0;
    CHECK_CODE(tufa_tank_build(&t, NULL, 0, &m), TUFA_CONFLICT, 2);
    t = tufa_tank_default(TUFA_TANK_GAS);
    t.volume_m3 = NAN;
    CHECK_CODE(tufa_tank_build(&t, NULL, 0, &m), TUFA_RANGE, 3);
    t = tufa_tank_default(TUFA_TANK_GAS);
    t.layers = 12;
    CHECK_CODE(tufa_tank_build(&t, NULL, 0, &m), TUFA_RANGE, 4);
}

static tufa_value about(double mid, double lo, double hi) { return (tufa_value){mid, lo, hi, TUFA_BASIS_RANGE}; }

static void a_larger_household_wants_more_and_a_hotter_tank_gives_it_with_less(void **state)
{
    (void)state;
    tufa_value last = {0};
    for (int n = 0; n <= 12; n++) {
        tufa_value sure, unsure;
        CHECK_OK(tufa_peak_hour_m3(about(n, n, n), &sure), n);
        CHECK_OK(tufa_peak_hour_m3(about(n, 0.5 * n, n + 2.0), &unsure), n);
        CHECK_TRUE(sure.lo <= sure.mid && sure.mid <= sure.hi, n);
        CHECK_TRUE(n == 0 || (sure.mid > last.mid && sure.hi > last.hi), n);
        CHECK_TRUE(unsure.lo <= sure.lo && unsure.hi >= sure.hi && unsure.mid == sure.mid, n);
        CHECK_NEAR(tufa_people_like(about(tufa_hot_litres_day(n), 0.0, 1000.0)).mid, n, 1e-9, n);
        last = sure;
    }
    CHECK_NEAR(tufa_peak_drawn(K_from_F(125.0), K_from_F(58.0)), 1.0, 1e-12, 100);
    for (int f = 106; f < 160; f++) {
        CHECK_TRUE(tufa_peak_drawn(K_from_F(f + 1.0), K_from_F(50.0)) < tufa_peak_drawn(K_from_F(f), K_from_F(50.0)), f);
        CHECK_TRUE(tufa_peak_drawn(K_from_F(f), K_from_F(40.0)) > tufa_peak_drawn(K_from_F(f), K_from_F(60.0)), f);
    }
    CHECK_CODE(tufa_peak_hour_m3(about(-1.0, -1.0, 1.0), &last), TUFA_RANGE, 200);
    CHECK_CODE(tufa_peak_hour_m3(about(60.0, 60.0, 60.0), &last), TUFA_RANGE, 201);
}

static int worse(tufa_enough_says s) { return s == TUFA_ENOUGH_YES ? 0 : s == TUFA_ENOUGH_NEARLY ? 1 : 2; }

static void more_given_is_never_worse_and_short_is_said_only_of_a_known_household(void **state)
{
    (void)state;
    tufa_value wants;
    tufa_enough before = {.short_chance = 1.0, .says = TUFA_ENOUGH_NO}, e;
    CHECK_OK(tufa_peak_hour_m3(about(4, 3, 5), &wants), 0);
    for (int gal = 5; gal < 140; gal++) {
        double m3 = m3_from_gal(gal);
        CHECK_OK(tufa_tank_enough(about(m3, 0.9 * m3, 1.1 * m3), wants, 1, &e), gal);
        CHECK_TRUE(e.short_chance <= before.short_chance + 1e-12 && worse(e.says) <= worse(before.says), gal);
        CHECK_TRUE((e.says == TUFA_ENOUGH_NO) == (m3 <= wants.mid) && (e.says != TUFA_ENOUGH_YES || e.short_m3 == 0.0), gal);
        CHECK_TRUE(e.says != TUFA_ENOUGH_NO || fabs(e.short_m3 - (wants.mid - m3)) < 1e-12, gal);
        before = e;
        CHECK_OK(tufa_tank_enough(about(m3, 0.9 * m3, 1.1 * m3), wants, 0, &e), gal);
        CHECK_TRUE(e.says == (before.says == TUFA_ENOUGH_YES ? TUFA_ENOUGH_YES : TUFA_ENOUGH_NOT_KNOWN), gal);
    }
    CHECK_CODE(tufa_tank_enough(about(-1.0, -1.0, 0.0), wants, 1, &e), TUFA_RANGE, 1000);
}

/* What a label says holds at the conditions of its test; elsewhere the simulation takes it over, and bounds it without one. */
static void a_label_counts_at_its_own_conditions(void **state)
{
    (void)state;
    for (int fuel = 0; fuel < 2; fuel++) {
        tufa_tank t = tufa_tank_like((tufa_tank_fuel)fuel, m3_from_gal(50.0), fuel ? 11700.0 : 4500.0, K_from_F(125.0));
        tufa_value bare, said;
        t.inlet_K = K_from_F(58.0);
        t.ambient_K = K_from_F(67.5);
        CHECK_OK(tufa_tank_first_hour(&t, m3_from_gal(61.0), &said), fuel);
        CHECK_NEAR(said.mid, m3_from_gal(61.0), 1e-9, fuel);
        CHECK_OK(tufa_tank_first_hour(&t, 0.0, &bare), fuel);
        CHECK_TRUE(bare.lo < bare.mid && bare.mid < bare.hi && said.hi - said.lo < bare.hi - bare.lo, fuel);
        t.inlet_K = K_from_F(40.0); /* colder water takes longer to heat */
        CHECK_OK(tufa_tank_first_hour(&t, m3_from_gal(61.0), &said), fuel);
        CHECK_TRUE(said.mid < m3_from_gal(61.0), fuel);
    }
    tufa_tank electric = tufa_tank_default(TUFA_TANK_ELECTRIC), pump = tufa_tank_as_heat_pump(&electric);
    tufa_tank_rating r, slow;
    CHECK_OK(tufa_tank_rate(&electric, NULL, 0, &r), 10);
    CHECK_OK(tufa_tank_rate(&pump, NULL, 0, &slow), 11);
    CHECK_TRUE(slow.recovery_s > 2.0 * r.recovery_s && slow.first_hour_m3 <= r.first_hour_m3, 12);
}

RUN(cmocka_unit_test(energy_closes_and_water_stays_in_order_whatever_is_wrong),
    cmocka_unit_test(a_periodic_day_agrees_with_the_energy_equation), cmocka_unit_test(long_steps_agree_with_dense_ones),
    cmocka_unit_test(every_change_changes_something_and_others_are_named),
    cmocka_unit_test(an_upper_element_that_is_open_is_silent_until_the_top_runs_cold),
    cmocka_unit_test(a_stuck_thermostat_trips_the_limit_and_a_welded_limit_opens_the_relief_valve),
    cmocka_unit_test(short_draws_stack_a_gas_tank),
    cmocka_unit_test(a_bed_never_drives_a_healthy_gas_tank_to_its_relief_valve), cmocka_unit_test(the_limit_shuts_the_gas_of_a_tank_with_a_bed),
    cmocka_unit_test(a_closed_system_presses_until_an_expansion_tank_takes_it),
    cmocka_unit_test(more_bed_means_less_hot_water_and_a_buried_sensor_cycles_short),
    cmocka_unit_test(tempered_use_takes_less_from_a_hotter_tank_for_the_same_warmth),
    cmocka_unit_test(the_legs_may_be_swapped_by_counting_from_the_other_end),
    cmocka_unit_test(a_leak_below_the_load_costs_no_more_than_a_hotter_tank_loses),
    cmocka_unit_test(a_leak_above_the_load_reaches_the_limit_when_it_says_so),
    cmocka_unit_test(burn_times_fall_with_temperature_and_stay_within_the_tables),
    cmocka_unit_test(bacteria_die_faster_in_hotter_water_and_the_band_holds_the_middle),
    cmocka_unit_test(mixing_is_found_again_from_the_first_draw), cmocka_unit_test(a_tank_with_one_element_heats),
    cmocka_unit_test(larger_and_stronger_heaters_rate_higher),
    cmocka_unit_test(common_electric_heaters_rate_as_certified_ones_are_remembered),
    cmocka_unit_test(a_heater_that_cannot_recover_in_an_hour_rates_its_first_draw),
    cmocka_unit_test(days_from_the_table_agree_with_full_simulation),
    cmocka_unit_test(a_year_from_the_table_agrees_with_every_day_simulated), cmocka_unit_test(what_cannot_be_is_refused_by_name),
    cmocka_unit_test(a_larger_household_wants_more_and_a_hotter_tank_gives_it_with_less),
    cmocka_unit_test(more_given_is_never_worse_and_short_is_said_only_of_a_known_household),
    cmocka_unit_test(a_label_counts_at_its_own_conditions))
