/* Rows of tank.csv. A simulated case takes its tank, start and draws from the row's inputs by the keys of `tufa tank`. */
#include "core/base/units.h"
#include "tests/published/published.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define OK_STATUS ((tufa_status){.code = TUFA_OK})
#define TRY(call)                                                                                            \
    do {                                                                                                     \
        tufa_status st_ = (call);                                                                            \
        if (st_.code != TUFA_OK) return st_;                                                                 \
    } while (0)

/* ---- properties and tables ---- */

static tufa_status water(row_inputs *in, double *value)
{
    const char *what = row_text(in, "of");
    double T = K_from_C(row_number(in, "t_c"));
    if (!strcmp(what, "density")) *value = tufa_tank_water_kg_m3(T);
    if (!strcmp(what, "heat_capacity")) *value = tufa_tank_water_J_kg_K(T);
    if (!strcmp(what, "conductivity")) *value = tufa_tank_water_W_m_K(T);
    if (!strcmp(what, "viscosity")) *value = tufa_tank_water_Pa_s(T);
    return OK_STATUS;
}

static tufa_status boiling(row_inputs *in, double *value)
{
    *value = tufa_tank_boiling_K(row_number(in, "gauge_pa"));
    return OK_STATUS;
}

static int pattern_named(const char *name)
{
    for (int p = 0; p < TUFA_PATTERN_COUNT; p++)
        if (!strcmp(name, tufa_tank_pattern_name((tufa_tank_pattern)p))) return p;
    return -1;
}

static tufa_status pattern_sum(row_inputs *in, double *value)
{
    tufa_tank_draw d[TUFA_TANK_MAX_DRAWS];
    size_t n = tufa_tank_pattern_draws((tufa_tank_pattern)pattern_named(row_text(in, "pattern")), d);
    *value = 0.0;
    for (size_t i = 0; i < n; i++) *value += gal_from_m3(d[i].volume_m3);
    return OK_STATUS;
}

static tufa_status pattern_draw(row_inputs *in, double *value)
{
    tufa_tank_draw d[TUFA_TANK_MAX_DRAWS];
    const char *of = row_text(in, "of");
    size_t i = (size_t)row_number(in, "draw") - 1;
    tufa_tank_pattern_draws((tufa_tank_pattern)pattern_named(row_text(in, "pattern")), d);
    if (!strcmp(of, "start_min")) *value = d[i].start_s / 60.0;
    if (!strcmp(of, "litres")) *value = L_from_m3(d[i].volume_m3);
    if (!strcmp(of, "l_per_min")) *value = L_min_from_m3_s(d[i].flow_m3_s);
    return OK_STATUS;
}

static tufa_status recovery_gph(row_inputs *in, double *value)
{
    *value = 3600.0 * gal_from_m3(tufa_tank_recovery_m3_s(row_number(in, "watts"), row_number_or(in, "efficiency", 1.0),
                                                          delta_K_from_F(row_number(in, "rise_f"))));
    return OK_STATUS;
}

static tufa_status element(row_inputs *in, double *value)
{
    double W = row_number(in, "watts"), rated = row_number(in, "rated_v");
    *value = row_has(in, "volts") ? tufa_tank_element_W(W, rated, row_number(in, "volts")) : tufa_tank_element_ohm(W, rated);
    return OK_STATUS;
}

static tufa_status earthed(row_inputs *in, double *value)
{
    const char *of = row_text(in, "of");
    tufa_tank_earth_in e = {.element_ohm = row_number(in, "ohm"), .fault_ohm = row_number(in, "fault_ohm"), .s = row_number(in, "s"),
                            .thermostat_closed = !strcmp(row_text(in, "thermostat"), "closed")};
    tufa_tank_earth out;
    TRY(tufa_tank_earthed(&e, &out));
    *value = !strcmp(of, "watts") ? out.total_W : !strcmp(of, "earth_a") ? out.earth_A : out.breaker_overloaded;
    return OK_STATUS;
}

static tufa_status scald(row_inputs *in, double *value)
{
    const char *who = row_text(in, "who");
    tufa_tank_burn b = tufa_tank_burn_time(K_from_F(row_number(in, "t_f")), !strcmp(who, "infant") ? TUFA_PERSON_INFANT : TUFA_PERSON_ADULT);
    *value = b.time_s;
    return OK_STATUS;
}

static tufa_status kill_minutes(row_inputs *in, double *value)
{
    tufa_tank_kill k = tufa_tank_kill_time(K_from_C(row_number(in, "t_c")));
    const char *of = row_text(in, "of");
    *value = (!strcmp(of, "shortest") ? k.D_short_s : !strcmp(of, "longest") ? k.D_long_s : k.D_s) / 60.0;
    return OK_STATUS;
}

static tufa_status scale_rise(row_inputs *in, double *value)
{
    tufa_tank_skin_in s = {.element_W_m2 = row_number(in, "w_m2"), .water_K = 325.15, .line_Pa = 345e3, .scale_m = row_number(in, "scale_mm") * 1e-3,
                           .scale_W_m_K = row_number(in, "k")};
    tufa_tank_skin out;
    TRY(tufa_tank_element_skin(&s, &out));
    *value = out.sheath_K - out.surface_K;
    return OK_STATUS;
}

static tufa_status clean_skin(row_inputs *in, double *value)
{
    tufa_tank_skin_in s = {.element_W_m2 = row_number(in, "w_m2"), .water_K = K_from_C(row_number(in, "t_c")), .line_Pa = row_number(in, "gauge_pa")};
    tufa_tank_skin out;
    TRY(tufa_tank_element_skin(&s, &out));
    *value = C_from_K(out.surface_K);
    return OK_STATUS;
}

static tufa_status gas_efficiency(row_inputs *in, double *value)
{
    tufa_tank_bottom b;
    TRY(tufa_tank_gas_bottom(row_number(in, "clean"), 11723.0, row_number(in, "bed_mm") * 1e-3, row_number(in, "k"), 325.15, 345e3, &b));
    *value = b.efficiency;
    return OK_STATUS;
}

static tufa_status equation_kwh(row_inputs *in, double *value)
{
    *value = kWh_from_J(tufa_tank_equation_J(m3_from_L(row_number(in, "daily_l")), row_number(in, "efficiency"), row_number(in, "loss_w_k"),
                                             row_number(in, "input_w"), K_from_C(row_number(in, "tank_c")),
                                             K_from_C(row_number(in, "inlet_c")), K_from_C(row_number(in, "ambient_c"))));
    return OK_STATUS;
}

/* ---- simulated cases ---- */

enum { MOST_SAMPLES = 1500 };

typedef struct simulated {
    tufa_tank_model m;
    tufa_tank_state s;
    tufa_tank_result r;
    tufa_tank_draw_result draw[64];
    tufa_tank_sample series[MOST_SAMPLES];
} simulated;

static tufa_tank tank_of(row_inputs *in)
{
    tufa_tank t = tufa_tank_default(TUFA_TANK_ELECTRIC);
    t.volume_m3 = m3_from_L(row_number_or(in, "volume_l", 190.0));
    t.height_m = row_number_or(in, "height_m", 1.2);
    t.loss_W_K = row_number_or(in, "loss_w_per_k", 1.5);
    t.conductivity_W_m_K = row_number_or(in, "conductivity", 1.43);
    t.ambient_K = K_from_C(row_number_or(in, "ambient_c", 19.7222));
    t.inlet_K = K_from_C(row_number_or(in, "inlet_c", 14.4444));
    t.upper_height_m = row_number_or(in, "upper_height_m", 0.84);
    t.upper_sensor_m = row_number_or(in, "upper_sensor_m", 0.96);
    t.lower_height_m = row_number_or(in, "lower_height_m", 0.12);
    t.leak_height_m = row_number_or(in, "leak_height_m", 0.12);
    t.lower_sensor_m = 0.24;
    t.inlet_height_m = row_number_or(in, "inlet_height_m", 0.0);
    t.mixing_m3 = m3_from_L(row_number_or(in, "mixing_l", 0.0));
    t.mixing_flow_m3_s = 0.0;
    t.limit_K = row_has(in, "limit_c") ? K_from_C(row_number(in, "limit_c")) : 0.0;
    t.relief_K = 0.0;
    t.leak_W = row_number_or(in, "leak_w", 0.0);
    t.setpoint_K = K_from_C(row_number_or(in, "setpoint_c", 52.0));
    t.differential_K = row_number_or(in, "differential_k", 6.0);
    t.lower_W = row_number_or(in, "lower_w", 4500.0), t.upper_W = row_number_or(in, "upper_w", 4500.0);
    t.density_kg_m3 = 987.0;
    t.heat_capacity_J_kg_K = 4182.0;
    double elements = row_number_or(in, "elements", 1.0);
    t.lower_W *= elements, t.upper_W *= elements;
    t.layers = (int)row_number_or(in, "layers", 0.0);
    if (t.layers == 0) t.layers = tufa_tank_layers_for(&t, 100, TUFA_TANK_MAX_LAYERS);
    return t;
}

static tufa_status simulate(row_inputs *in, simulated *x, double hours, double series_every_s)
{
    tufa_tank t = tank_of(in);
    tufa_tank_change change;
    size_t changes = 0;
    tufa_tank_draw draws[TUFA_TANK_MAX_DRAWS] = {{0}};
    tufa_tank_use use = {.draws = draws, .once = true};
    const char *pattern = row_text(in, "pattern");
    if (row_text(in, "change")[0]) {
        TRY(tufa_tank_change_named(row_text(in, "change"), &change));
        changes = 1;
    }
    if (pattern[0] && strcmp(pattern, "none")) use.n = tufa_tank_pattern_draws((tufa_tank_pattern)pattern_named(pattern), draws);
    if (row_has(in, "draw_l")) {
        use.n = 1;
        draws[0] = (tufa_tank_draw){.volume_m3 = m3_from_L(row_number(in, "draw_l")), .flow_m3_s = m3_s_from_L_min(row_number(in, "l_per_min"))};
    }
    tufa_tank_run run = {.duration_s = 3600.0 * hours, .draws = x->draw, .draws_room = 64, .series_every_s = series_every_s,
                         .series = series_every_s > 0.0 ? x->series : NULL, .series_room = MOST_SAMPLES};
    TRY(tufa_tank_build(&t, &change, changes, &x->m));
    TRY(tufa_tank_start(&x->m, K_from_C(row_number_or(in, "start_c", 52.0)), &x->s));
    return tufa_tank_simulate(&x->m, &use, &run, &x->s, &x->r);
}

static double of_result(const tufa_tank_result *r, const char *of)
{
    if (!strcmp(of, "in_kwh")) return kWh_from_J(r->in_J);
    if (!strcmp(of, "delivered_kwh")) return kWh_from_J(r->delivered_J);
    if (!strcmp(of, "lost_kwh")) return kWh_from_J(r->lost_J);
    if (!strcmp(of, "stored_kwh")) return kWh_from_J(r->stored_J);
    if (!strcmp(of, "in_less_stored_kwh")) return kWh_from_J(r->in_J - r->stored_J);
    if (!strcmp(of, "min_outlet_c")) return C_from_K(r->min_outlet_K);
    if (!strcmp(of, "litres_above_40c")) return L_from_m3(r->above_40_m3);
    if (!strcmp(of, "lower_on_min")) return r->lower_on_s / 60.0;
    if (!strcmp(of, "upper_on_min")) return r->upper_on_s / 60.0;
    if (!strcmp(of, "first_cutout_min")) return r->first_cutout_s / 60.0;
    if (!strcmp(of, "limit_trip_min")) return r->limit_trip_s / 60.0;
    if (!strcmp(of, "balance")) return fabs(r->balance_J) / (r->in_J + fabs(r->stored_J) + 1.0);
    return NAN;
}

static tufa_status case_day(row_inputs *in, double *value)
{
    simulated x;
    TRY(simulate(in, &x, row_number(in, "hours"), 0.0));
    *value = of_result(&x.r, row_text(in, "of"));
    return OK_STATUS;
}

static tufa_status draw_outlet(row_inputs *in, double *value)
{
    simulated x;
    TRY(simulate(in, &x, 24.0, 0.0));
    const tufa_tank_draw_result *d = &x.draw[(int)row_number(in, "draw") - 1];
    *value = C_from_K(!strcmp(row_text(in, "of"), "mean_c") ? d->mean_K : d->min_K);
    return OK_STATUS;
}

static tufa_status series_at(row_inputs *in, double *value)
{
    simulated x;
    TRY(simulate(in, &x, 24.0, 60.0));
    const tufa_tank_sample *s = &x.series[(int)row_number(in, "min")];
    const char *of = row_text(in, "of");
    *value = C_from_K(!strcmp(of, "outlet") ? s->outlet_K : !strcmp(of, "top") ? s->top_K : !strcmp(of, "upper_sensor") ? s->upper_sensor_K : s->middle_K);
    return OK_STATUS;
}

static tufa_status cooling(row_inputs *in, double *value)
{
    simulated x;
    TRY(simulate(in, &x, row_number(in, "s") / 3600.0, 0.0));
    *value = C_from_K(tufa_tank_layer_K(&x.m, &x.s, x.m.n / 2));
    return OK_STATUS;
}

/* Two layers of water at rest; the temperature at a height by interpolation between the middles of layers. */
static tufa_status two_layers(row_inputs *in, double *value)
{
    simulated x;
    tufa_tank t = tank_of(in);
    tufa_tank_run run = {.duration_s = row_number(in, "s")};
    TRY(tufa_tank_build(&t, NULL, 0, &x.m));
    TRY(tufa_tank_start(&x.m, K_from_C(55.0), &x.s));
    for (int i = 0; i < x.m.n / 2; i++) x.s.theta[i] = 15.0;
    TRY(tufa_tank_simulate(&x.m, NULL, &run, &x.s, &x.r));
    double at = row_number(in, "z_m") / x.m.dz_m - 0.5;
    int i = (int)at;
    *value = x.s.theta[i] + (at - i) * (x.s.theta[i + 1] - x.s.theta[i]);
    return OK_STATUS;
}

/* From cold layers under hot ones, or from a straight line: a layer's temperature, or energy, after some hours. */
static tufa_status layers_at(row_inputs *in, double *value)
{
    simulated x;
    tufa_tank t = tank_of(in);
    tufa_tank_change change;
    size_t changes = row_has(in, "change") ? 1 : 0;
    double cold_C = row_number(in, "cold_c"), hot_C = row_number(in, "hot_c"), cold_layers = row_number_or(in, "cold_layers", 0.0);
    const char *of = row_text(in, "of");
    tufa_tank_run run = {.duration_s = 3600.0 * row_number(in, "hours")};
    if (changes) TRY(tufa_tank_change_named(row_text(in, "change"), &change));
    TRY(tufa_tank_build(&t, &change, changes, &x.m));
    TRY(tufa_tank_start(&x.m, K_from_C(hot_C), &x.s));
    for (int i = 0; i < x.m.n; i++)
        x.s.theta[i] = cold_layers <= 0.0 ? cold_C + (hot_C - cold_C) * i / (x.m.n - 1) : i < cold_layers ? cold_C : hot_C;
    TRY(tufa_tank_simulate(&x.m, NULL, &run, &x.s, &x.r));
    *value = strstr(of, "kwh") ? of_result(&x.r, of) : C_from_K(tufa_tank_layer_K(&x.m, &x.s, (int)strtol(of, NULL, 10)));
    return OK_STATUS;
}

/* Outlet after so many litres of one draw. */
static tufa_status outlet_after(row_inputs *in, double *value)
{
    simulated x;
    TRY(simulate(in, &x, row_number(in, "draw_l") / row_number(in, "l_per_min") / 60.0, 0.0));
    *value = C_from_K(tufa_tank_layer_K(&x.m, &x.s, x.m.n - 1));
    return OK_STATUS;
}

/* Gallons in the busiest hour of so many people: mid, lo or hi. */
static tufa_status peak_gal(row_inputs *in, double *value)
{
    const char *which = row_text(in, "end");
    double people = row_number(in, "people");
    tufa_value m3;
    TRY(tufa_peak_hour_m3((tufa_value){people, people, people, TUFA_BASIS_GIVEN}, &m3));
    *value = gal_from_m3(!strcmp(which, "lo") ? m3.lo : !strcmp(which, "hi") ? m3.hi : m3.mid);
    return OK_STATUS;
}

const row_kind tank_rows[] = {
    {"water", water}, {"boiling_K", boiling}, {"pattern_sum", pattern_sum}, {"pattern_draw", pattern_draw},
    {"recovery_gph", recovery_gph}, {"element", element}, {"earthed", earthed}, {"scald_s", scald}, {"kill_min", kill_minutes},
    {"scale_rise", scale_rise}, {"clean_skin", clean_skin}, {"gas_efficiency", gas_efficiency}, {"equation_kwh", equation_kwh},
    {"case_day", case_day}, {"draw_outlet", draw_outlet}, {"series_at", series_at}, {"cooling", cooling},
    {"two_layers", two_layers}, {"layers_at", layers_at}, {"outlet_after", outlet_after}, {"peak_gal", peak_gal}, {0}};
