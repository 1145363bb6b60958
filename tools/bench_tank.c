/* The tank: a year of one heater, 60 layers, medium pattern, seasons; and the same model at equal steps of 2 s. */
#include "tools/bench.h"
#include "tufa.h"

static void year_case(tufa_tank_model *m, tufa_tank_draw *draw, tufa_tank_use *use)
{
    tufa_tank t = tufa_tank_default(TUFA_TANK_ELECTRIC);
    *use = (tufa_tank_use){.draws = draw, .n = tufa_tank_pattern_draws(TUFA_PATTERN_MEDIUM, draw)};
    tufa_status st = tufa_tank_build(&t, NULL, 0, m);
    (void)st;
}

static double best_ms(double dense_step_s, int repeats)
{
    static tufa_tank_draw draw[TUFA_TANK_MAX_DRAWS];
    tufa_tank_model m;
    tufa_tank_use use;
    tufa_tank_season season = tufa_tank_season_default();
    tufa_tank_run run = {.duration_s = 365.0 * 86400.0, .season = &season, .health_every_s = 7200.0, .dense_step_s = dense_step_s};
    double best = 1e9;
    year_case(&m, draw, &use);
    for (int k = 0; k < repeats; k++) {
        tufa_tank_state s;
        tufa_tank_result r;
        double start = bench_now_s();
        tufa_status st = tufa_tank_start(&m, m.tank.setpoint_K, &s);
        if (st.code == TUFA_OK) st = tufa_tank_simulate(&m, &use, &run, &s, &r);
        double ms = 1e3 * (bench_now_s() - start);
        if (st.code != TUFA_OK) return -1.0;
        if (ms < best) best = ms;
    }
    return best;
}

static double year_ms(void) { return best_ms(0.0, 40); }
static double dense_year_ms(void) { return best_ms(2.0, 1); }

static double typical_day_us(void)
{
    enum { N = 200 };
    tufa_tank t = tufa_tank_default(TUFA_TANK_ELECTRIC);
    tufa_tank_draw draw[TUFA_TANK_MAX_DRAWS];
    tufa_tank_use use = {.draws = draw, .n = tufa_tank_pattern_draws(TUFA_PATTERN_MEDIUM, draw)};
    tufa_tank_day d;
    double start = bench_now_s();
    for (int i = 0; i < N; i++) {
        tufa_status st = tufa_tank_typical_day(&t, NULL, 0, &use, t.inlet_K, t.ambient_K, &d);
        if (st.code != TUFA_OK) return -1.0;
    }
    return 1e6 * (bench_now_s() - start) / N;
}

const bench_row bench_tank[] = {{"tank_year_ms", year_ms}, {"tank_dense_year_ms", dense_year_ms}, {"tank_typical_day_us", typical_day_us}, {0}};
