/* What a leak of heat into the tank can do to a bill, and the energy equation to compare with. */
#include "core/base/status.h"
#include "core/tank/water.h"

#include <math.h>

static const double DAY_S = 86400.0, STOP_K = 273.15 + 60.0; /* 140 F: burns in seconds */

static double volume_above_rod(const tufa_tank *t)
{
    double reach = 0.0125; /* as in model.c */
    return t->volume_m3 * (1.0 - fmax(t->leak_height_m - reach, t->bed_m3 / t->volume_m3 * t->height_m) / t->height_m);
}

/* Heat that people and the room take at a tank temperature. What people want is energy at the tap, not litres: a hotter
 * tank is drawn less. */
static double load_at(const tufa_tank *t, double draw_W, double tank_K)
{
    return draw_W + t->loss_W_K * (tank_K - t->ambient_K);
}

static double litre_J_K(const tufa_tank *t)
{
    if (t->density_kg_m3 > 0.0) return t->density_kg_m3 * t->heat_capacity_J_kg_K;
    return tufa_tank_water_kg_m3(t->setpoint_K) * tufa_tank_water_J_kg_K(t->setpoint_K);
}

tufa_status tufa_tank_leak_bounds(const tufa_tank *tank, double leak_W, double daily_m3, tufa_tank_leak_bound *out)
{
    tufa_tank_model checked;
    RETURN_IF(tufa_tank_build(tank, NULL, 0, &checked));
    RETURN_IF(in_range("leak_W", leak_W, 0.0, 20e3));
    RETURN_IF(in_range("daily_m3", daily_m3, 0.0, 10.0));
    double limit = tank->limit_K > tank->setpoint_K ? tank->limit_K : 273.15 + 98.9;
    double draw_W = daily_m3 / DAY_S * litre_J_K(tank) * fmax(tank->setpoint_K - tank->inlet_K, 0.0);
    tufa_tank_leak_bound b = {.load_W = load_at(tank, draw_W, tank->setpoint_K), .idle_to_limit_s = -1.0};
    b.extra_most_W = tank->loss_W_K * (limit - tank->setpoint_K);
    /* Above the load the tank warms until the hotter jacket takes the rest, or the limit opens. */
    double over = leak_W - b.load_W;
    b.steady_extra_W = fmin(fmax(over, 0.0), b.extra_most_W);
    b.steady_K = tank->setpoint_K + (tank->loss_W_K > 0.0 ? b.steady_extra_W / tank->loss_W_K : over > 0.0 ? limit - tank->setpoint_K : 0.0);
    b.reaches_limit = leak_W > load_at(tank, draw_W, limit);
    double C = volume_above_rod(tank) * litre_J_K(tank), at_set = tank->setpoint_K - tank->ambient_K;
    double ends = tank->loss_W_K > 0.0 ? leak_W / tank->loss_W_K : INFINITY, to = limit - tank->ambient_K;
    if (ends > to && leak_W > 0.0)
        b.idle_to_limit_s = tank->loss_W_K > 0.0 ? C / tank->loss_W_K * log((ends - at_set) / (ends - to)) : C * (to - at_set) / leak_W;
    double relief = tank->relief_K > 0.0 ? tank->relief_K : 273.15 + 98.9;
    b.discharge_W = fmax(leak_W - load_at(tank, draw_W, relief), 0.0);
    b.scald = b.steady_K > STOP_K || (b.reaches_limit && limit > STOP_K);
    *out = b;
    return OK;
}

double tufa_tank_equation_J(double daily_m3, double recovery_efficiency, double loss_W_K, double input_W, double tank_K,
                            double inlet_K, double ambient_K)
{
    const double kg_m3 = 8.293752 * 0.45359237 / 3.785411784e-3, J_kg_K = 1.000743 * 4186.8; /* as its authors take them */
    double drawn = daily_m3 * kg_m3 * J_kg_K * (tank_K - inlet_K), rest_W = loss_W_K * (tank_K - ambient_K);
    return drawn / recovery_efficiency * (1.0 - rest_W / input_W) + DAY_S * rest_W;
}
