/* What a tank can deliver: first-hour rating, first draw, recovery. Procedure of 10 CFR 430 Subpart B Appendix E, from
 * memory: from a full cut-out, draw at 3 gpm (1 gpm below 20 gal) until the outlet is 15 F below the hottest of that
 * draw; again each time the controls cut out; at one hour a running draw is finished, or else one last draw is taken down to
 * where the draw before stopped; a draw that is cooler on the whole counts in proportion to its rise. */
#include "core/base/status.h"
#include "core/base/units.h"
#include "core/tank/rate.h"
#include "core/tank/water.h"

#include <math.h>

static const double HOUR_S = 3600.0, LONGEST_S = 24.0 * 3600.0;
static const double DROP_K = 15.0 / 1.8; /* 15 F */
static const double SMALL_M3 = 20.0 * 3.785411784e-3, GPM_M3_S = 3.785411784e-3 / 60.0;
static const double STEP_S = 2.0;        /* how finely the outlet is watched: 0.4 L at 3 gpm */
static const double TRADE_KG_M3 = 8.33 * 0.45359237 / 3.785411784e-3; /* 8.33 lb/gal, as trade tables take it */
static const double TRADE_J_KG_K = 4186.8;                            /* 1 Btu/(lb F) */

double tufa_tank_recovery_m3_s(double power_W, double efficiency, double rise_K)
{
    return power_W * efficiency / (TRADE_KG_M3 * TRADE_J_KG_K * rise_K);
}

tufa_status tufa_tank_mixing_fitted(double volume_m3, double first_draw_m3, double cut_off_share, double *mixing_m3)
{
    RETURN_IF(in_range("volume_m3", volume_m3, 0.005, 10.0));
    RETURN_IF(in_range("first_draw_m3", first_draw_m3, 0.0, volume_m3));
    RETURN_IF(in_range("cut_off_share", cut_off_share, 0.05, 0.99));
    double per_mixing = 1.0 + log(cut_off_share); /* usable = V - Vm (1 - ln(1/theta)) */
    if (per_mixing <= 0.05) return trouble(TUFA_RANGE, "cut_off_share", "the draw was stopped too late to tell the mixing from it");
    *mixing_m3 = fmin((volume_m3 - first_draw_m3) / per_mixing, 0.5 * volume_m3);
    return OK;
}

/* ---- stretches of a run ---- */

static bool satisfied(const sim *x, bool only_upper)
{
    bool upper = !x->s->wants[UPPER] || x->m->heater[UPPER].W <= 0.0;
    return upper && (only_upper || !x->s->wants[LOWER] || x->m->heater[LOWER].W <= 0.0);
}

double run_to_cutout(sim *x, bool only_upper, double until_s)
{
    while (x->t_s < until_s) {
        sim_step(x, 0.0, 0.0, fmin(until_s, x->t_s + 60.0));
        if (satisfied(x, only_upper)) return x->t_s;
    }
    return -1.0;
}

void draw_off(sim *x, double flow_m3_s, double m3)
{
    double until = x->t_s + m3 / flow_m3_s;
    while (x->t_s < until) sim_step(x, flow_m3_s, 0.0, until);
}

one_draw draw_down(sim *x, double flow_m3_s, double to_K, double begin_until_s)
{
    one_draw d = {0};
    double end = begin_until_s + LONGEST_S;
    while (x->t_s < end) {
        double v = sim_step(x, flow_m3_s, 0.0, x->t_s + STEP_S);
        d.drawn_m3 += v;
        d.mean_K += v * x->outlet_K;
        d.end_K = x->outlet_K;
        d.max_K = fmax(d.max_K, x->outlet_K);
        if (x->outlet_K < (to_K > 0.0 ? to_K : d.max_K - DROP_K)) break;
        if (d.drawn_m3 > 20.0 * x->m->tank.volume_m3) break; /* heats as fast as it is drawn */
    }
    d.mean_K = d.drawn_m3 > 0.0 ? d.mean_K / d.drawn_m3 : 0.0;
    return d;
}

double test_flow_m3_s(const tufa_tank *t) { return (t->volume_m3 < SMALL_M3 ? 1.0 : 3.0) * GPM_M3_S; }

static double counted(const sim *x, const one_draw *d, const one_draw *first)
{
    double rise = d->mean_K - x->inlet_K, first_rise = first->mean_K - x->inlet_K;
    return d->drawn_m3 * (rise < first_rise && first_rise > 0.0 ? fmax(rise, 0.0) / first_rise : 1.0);
}

static double first_hour_m3(sim *x, bool only_upper, one_draw *first)
{
    double flow = test_flow_m3_s(&x->m->tank), start = x->t_s;
    one_draw d = *first = draw_down(x, flow, 0.0, x->t_s);
    double sum = d.drawn_m3;
    while (x->t_s - start < HOUR_S) {
        double cut_out = run_to_cutout(x, only_upper, start + HOUR_S);
        one_draw next = draw_down(x, flow, cut_out < 0.0 ? d.end_K : 0.0, x->t_s);
        sum += counted(x, &next, first);
        if (cut_out < 0.0) break; /* that was the last draw at one hour */
        d = next;
    }
    return sum;
}

static tufa_tank_pattern pattern_of(double first_hour_m3)
{
    double gal = gal_from_m3(first_hour_m3); /* bins of the regulation: 18, 51, 75 */
    return gal < 18.0 ? TUFA_PATTERN_VERY_SMALL : gal < 51.0 ? TUFA_PATTERN_LOW : gal < 75.0 ? TUFA_PATTERN_MEDIUM : TUFA_PATTERN_HIGH;
}

tufa_status tufa_tank_rate(const tufa_tank *tank, const tufa_tank_change *changes, size_t n, tufa_tank_rating *out)
{
    tufa_tank_model m;
    tufa_tank_state s;
    tufa_tank_rating r = {.recovery_s = -1.0};
    sim x;
    RETURN_IF(tufa_tank_build(tank, changes, n, &m));
    RETURN_IF(tufa_tank_start(&m, m.tank.inlet_K, &s));
    sim_begin(&x, &m, &s);
    r.recovery_s = run_to_cutout(&x, false, LONGEST_S);
    one_draw first;
    double in_before = x.r.in_J, delivered_before = x.r.delivered_J, sum_before = x.sum;
    bool only_upper = tank->fuel == TUFA_TANK_ELECTRIC && m.heater[UPPER].W > 0.0;
    r.first_hour_m3 = first_hour_m3(&x, only_upper, &first);
    r.first_draw_m3 = first.drawn_m3;
    run_to_cutout(&x, false, x.t_s + LONGEST_S);
    double in = x.r.in_J - in_before;
    r.recovery_efficiency = in > 0.0 ? (x.r.delivered_J - delivered_before + m.layer_J_K * (x.sum - sum_before)) / in : 0.0;
    double W = tank->fuel == TUFA_TANK_GAS ? m.heater[LOWER].W : fmax(m.heater[LOWER].W, m.heater[UPPER].W);
    r.recovery_m3_s = tufa_tank_recovery_m3_s(W, m.efficiency, 50.0);
    r.pattern = pattern_of(r.first_hour_m3);
    *out = r;
    return OK;
}
