/* What a tank can deliver: first-hour rating, first draw, recovery. Procedure of 10 CFR 430 Subpart B Appendix E, 5.3.3 and
 * 6.1, read in a public copy of the regulation: from a full cut-out, draw at 3 gpm (1 gpm below 20 gal) until the outlet is
 * 15 F below the hottest of that draw; again each time the highest element that is on, or the burner, cuts out; at one hour
 * power or fuel is shut off, and a running draw is finished so. If none runs then, one last draw is taken down to where
 * the draw before stopped, for 30 s at least. The copy lacks the formulas; that this last draw counts by how far its mean is
 * above that stop, against the draw before, is from memory. */
#include "core/base/status.h"
#include "core/base/units.h"
#include "core/tank/rate.h"
#include "core/tank/water.h"

#include <math.h>

static const double HOUR_S = 3600.0, LONGEST_S = 24.0 * 3600.0;
static const double DROP_K = 15.0 / 1.8; /* 15 F */
static const double SMALL_M3 = 20.0 * 3.785411784e-3, GPM_M3_S = 3.785411784e-3 / 60.0;
static const double STEP_S = 2.0;        /* how finely the outlet is watched: 0.4 L at 3 gpm */
static const double LAST_DRAW_S = 30.0;  /* at least */
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

/* Control turns off at the beginning of the next step; here that counts at once. */
static bool lacks(const sim *x, int k)
{
    return x->m->heater[k].W > 0.0 && x->s->wants[k] && (x->m->force_on[k] || x->s->reads[k] < x->m->set_theta - 1e-6);
}

static bool satisfied(const sim *x, bool only_upper) { return !lacks(x, UPPER) && (only_upper || !lacks(x, LOWER)); }

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

one_draw draw_down(sim *x, double flow_m3_s, double to_K, double off_at_s)
{
    one_draw d = {0};
    double begin = x->t_s;
    while (x->t_s < begin + LONGEST_S) {
        if (x->t_s >= off_at_s) x->s->limit_open = true;
        double v = sim_step(x, flow_m3_s, 0.0, x->t_s + STEP_S);
        d.drawn_m3 += v;
        d.mean_K += v * x->outlet_K;
        d.end_K = x->outlet_K;
        d.max_K = fmax(d.max_K, x->outlet_K);
        if (to_K > 0.0 ? x->outlet_K <= to_K && x->t_s - begin >= LAST_DRAW_S : x->outlet_K < d.max_K - DROP_K) break;
        if (d.drawn_m3 > 20.0 * x->m->tank.volume_m3) break; /* heats as fast as it is drawn */
    }
    d.mean_K = d.drawn_m3 > 0.0 ? d.mean_K / d.drawn_m3 : 0.0;
    return d;
}

double test_flow_m3_s(const tufa_tank *t) { return (t->volume_m3 < SMALL_M3 ? 1.0 : 3.0) * GPM_M3_S; }

/* What the last draw adds, taken at one hour because none was running: it stopped where the one before it did. */
static double counted_m3(const one_draw *last, const one_draw *before)
{
    double above = last->mean_K - before->end_K, usual = before->mean_K - before->end_K;
    return above > 0.0 && usual > 0.0 ? last->drawn_m3 * above / usual : 0.0;
}

/* Power and fuel are off at the end of it. */
static double first_hour_m3(sim *x, one_draw *first)
{
    double flow = test_flow_m3_s(&x->m->tank), hour = x->t_s + HOUR_S;
    one_draw d = *first = draw_down(x, flow, 0.0, hour);
    double sum = d.drawn_m3;
    while (x->t_s < hour) {
        bool upper_on = x->m->heater[UPPER].W > 0.0 && x->s->wants[UPPER];
        if (run_to_cutout(x, upper_on, hour) < 0.0) {
            one_draw last = draw_down(x, flow, d.end_K, hour);
            return sum + counted_m3(&last, &d);
        }
        d = draw_down(x, flow, 0.0, hour);
        sum += d.drawn_m3;
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
    bool limit_open = s.limit_open;
    r.first_hour_m3 = first_hour_m3(&x, &first);
    r.first_draw_m3 = first.drawn_m3;
    s.limit_open = limit_open;
    run_to_cutout(&x, false, x.t_s + LONGEST_S);
    double in = x.r.in_J - in_before;
    r.recovery_efficiency = in > 0.0 ? (x.r.delivered_J - delivered_before + m.layer_J_K * (x.sum - sum_before)) / in : 0.0;
    double W = tank->fuel == TUFA_TANK_GAS ? m.heater[LOWER].W : fmax(m.heater[LOWER].W, m.heater[UPPER].W);
    r.recovery_m3_s = tufa_tank_recovery_m3_s(W, m.efficiency, 50.0);
    r.pattern = pattern_of(r.first_hour_m3);
    *out = r;
    return OK;
}
