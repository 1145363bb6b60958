#include "core/fault/heat.h"

#include <math.h>

#include "core/base/status.h"
#include "core/base/units.h"

enum { SAMPLES = 160 };
static const double USABLE_C = 40.6, EARLY_M3 = 0.038; /* 105 F and 10 gallons, as the readings are taken */
static const double FLOW_M3_S = 7e-3 / 60.0;           /* 6 to 8 L/min */
static const double COLDEST_C = 5.0;                   /* cold tap in a hard winter; judgement */
static const double HEAT_UP_S = 5.0 * 3600.0;          /* the slowest common tank is through by then */
static const double SETTLE_S = 900.0;
static const double WHOLE_TANK = 1.15;                 /* volumes drawn */
static const double NO_HEALTH_S = 1e9;                 /* bacteria are not asked about here */

int fault_tank_of(const tufa_fault_heater *heater, const fault_effect *a, const fault_effect *b, tufa_tank *tank,
                  tufa_tank_change change[4])
{
    const fault_effect *both[2] = {a, b};
    double share = heater->supply_V / heater->plate_V;
    int n = 0;
    *tank = heater->tank;
    tank->lower_W *= share * share;
    tank->upper_W = heater->single_element ? 0.0 : tank->upper_W * share * share;
    for (int i = 0; i < 2; i++) {
        const fault_effect *e = both[i];
        if (!e) continue;
        for (int k = 0; k < e->changes; k++) change[n++] = e->change[k];
        double to_element_m3 = tank->volume_m3 * tank->lower_height_m / tank->height_m;
        tank->bed_m3 = fmax(tank->bed_m3, e->bed_at_element * to_element_m3) + m3_from_L(e->bed_litres);
        tank->setpoint_K += e->setpoint_K;
        if (e->inlet_K != 0.0) tank->inlet_K = fmin(tank->inlet_K, fmax(tank->inlet_K + e->inlet_K, K_from_C(COLDEST_C)));
    }
    return n;
}

/* Place between two samples at which the outlet passes `at_K`, in litres drawn. */
static double litres_until(const tufa_tank_sample *s, size_t n, double at_K)
{
    size_t i = 0;
    while (i < n && s[i].outlet_K <= 0.0) i++;
    if (i == n || s[i].outlet_K < at_K) return 0.0;
    for (; i + 1 < n && s[i + 1].outlet_K > 0.0; i++)
        if (s[i + 1].outlet_K < at_K) {
            double part = (s[i].outlet_K - at_K) / (s[i].outlet_K - s[i + 1].outlet_K);
            return L_from_m3((s[i].t_s + part * (s[i + 1].t_s - s[i].t_s)) * FLOW_M3_S);
        }
    return L_from_m3(s[i].t_s * FLOW_M3_S);
}

static double outlet_after(const tufa_tank_sample *s, size_t n, double m3)
{
    double last = 0.0;
    for (size_t i = 0; i < n && (s[i].t_s * FLOW_M3_S <= m3 || last <= 0.0); i++)
        if (s[i].outlet_K > 0.0) last = s[i].outlet_K;
    return last;
}

static tufa_status draw_empty(const tufa_tank *tank, const tufa_tank_change *change, size_t n, tufa_tank_state *s, fault_heat *h)
{
    tufa_tank_change off[5];
    for (size_t i = 0; i < n; i++) off[i] = change[i];
    off[n] = tufa_tank_change_usual(tank->fuel == TUFA_TANK_GAS ? TUFA_CHANGE_BURNER_OFF : TUFA_CHANGE_LIMIT_OPEN);
    tufa_tank_model m;
    RETURN_IF(tufa_tank_build(tank, off, n + 1, &m));
    s->limit_open = true;
    s->wants[0] = s->wants[1] = false;
    double volume_m3 = WHOLE_TANK * tank->volume_m3;
    tufa_tank_draw draw = {.volume_m3 = volume_m3, .flow_m3_s = FLOW_M3_S};
    tufa_tank_use use = {.draws = &draw, .n = 1, .once = true};
    tufa_tank_sample series[SAMPLES];
    tufa_tank_run run = {.duration_s = volume_m3 / FLOW_M3_S, .health_every_s = NO_HEALTH_S, .series = series,
                         .series_room = SAMPLES, .series_every_s = volume_m3 / FLOW_M3_S / (SAMPLES - 2)};
    tufa_tank_result r;
    RETURN_IF(tufa_tank_simulate(&m, &use, &run, s, &r));
    h->litres = litres_until(series, r.series_count, K_from_C(USABLE_C));
    h->outlet_K = outlet_after(series, r.series_count, 0.0);
    h->drop_K = h->outlet_K - outlet_after(series, r.series_count, EARLY_M3);
    return OK;
}

tufa_status fault_heat_of(const tufa_fault_heater *heater, const fault_effect *a, const fault_effect *b, fault_heat *h)
{
    tufa_tank tank;
    tufa_tank_change change[4];
    size_t n = (size_t)fault_tank_of(heater, a, b, &tank, change);
    tufa_tank_model m;
    tufa_tank_state s;
    tufa_tank_result r;
    RETURN_IF(tufa_tank_build(&tank, change, n, &m));
    RETURN_IF(tufa_tank_start(&m, tank.inlet_K, &s));
    tufa_tank_use nobody = {0};
    tufa_tank_run run = {.duration_s = HEAT_UP_S, .health_every_s = NO_HEALTH_S};
    RETURN_IF(tufa_tank_simulate(&m, &nobody, &run, &s, &r));
    if (r.first_cutout_s > 0.0) { /* again, only until a little after the last cut-out: nobody waits for hours with the pail */
        run.duration_s = fmax(r.first_full_cutout_s, r.first_cutout_s) + SETTLE_S;
        RETURN_IF(tufa_tank_start(&m, tank.inlet_K, &s));
        RETURN_IF(tufa_tank_simulate(&m, &nobody, &run, &s, &r));
    }
    /* A thermostat that is fed nothing goes on wanting heat: the first cut-out is then the last. */
    double last_s = fmax(r.first_full_cutout_s, r.first_cutout_s);
    h->recover_min = last_s > 0.0 ? last_s / 60.0 : 0.0;
    double litre_J = tufa_tank_water_kg_m3(tank.setpoint_K) * tufa_tank_water_J_kg_K(tank.setpoint_K) * 1e-3;
    h->skin_K = r.skin_K;
    h->heated_L = last_s > 0.0 ? r.stored_J / (litre_J * (tank.setpoint_K - tank.inlet_K)) : 0.0;
    return draw_empty(&tank, change, n, &s, h);
}

tufa_status fault_day_of(const tufa_fault_heater *heater, const fault_effect *a, const fault_effect *b, double people,
                         tufa_tank_day *day)
{
    static const double LITRES = 45.0, LITRES_EACH = 48.0, USUAL_PEOPLE = 2.6; /* a day; as in the view ahead (judgement) */
    tufa_tank tank;
    tufa_tank_change change[4];
    size_t n = (size_t)fault_tank_of(heater, a, b, &tank, change);
    tufa_tank_draw draws[TUFA_TANK_MAX_DRAWS];
    double litres = LITRES + LITRES_EACH * (people > 0.0 ? people : USUAL_PEOPLE);
    tufa_tank_use use = {.draws = draws, .n = tufa_tank_draws_for(m3_from_L(litres), draws)};
    return tufa_tank_typical_day(&tank, change, n, &use, tank.inlet_K, tank.ambient_K, day);
}
