/* Where the heater stands, and the tank as ahead sees it. */
#include "core/base/status.h"
#include "core/base/units.h"
#include "tufa/ahead.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double COLDEST_MONTH = 1.0;         /* the middle of February, months counted from the middle of January */
static const double WATER_J_M3_K = 4.13e6;       /* density times heat capacity of water at 50 deg C */
static const double INLET_LEAST_K = 274.15;      /* a main does not freeze */

static tufa_value assumed(double mid, double lo, double hi)
{
    return (tufa_value){.mid = mid, .lo = lo, .hi = hi, .basis = TUFA_BASIS_DEFAULT};
}

/* Judgement of the project, as are the spreads. */
tufa_site tufa_site_default(void)
{
    return (tufa_site){.inlet_mean_K = assumed(287.55, 285.15, 290.15), .inlet_swing_K = assumed(6.0, 4.0, 8.0),
                       .room_K = assumed(292.85, 289.15, 296.15),
                       .pressure_Pa = assumed(Pa_from_psi(50.0), Pa_from_psi(40.0), Pa_from_psi(70.0))};
}

/* What a softener in working order takes away: measured 14 of 907 g a year electric, 7 of 528 gas (SRC_BATTELLE_2009);
 * the spread is judgement. */
tufa_value tufa_softened_default(void) { return assumed(0.985, 0.97, 0.995); }

double tufa_inlet_K(double mean_K, double swing_K, int month)
{
    return fmax(INLET_LEAST_K, mean_K - swing_K * cos(2.0 * PI * (month - COLDEST_MONTH) / 12.0));
}

tufa_status tufa_ahead_plain_tank(void *ctx, const tufa_tank_ask *ask, tufa_tank_month *out)
{
    (void)ctx;
    const tufa_value *f = ask->heater->field;
    double recovery = f[TUFA_HEATER_RECOVERY].mid, loss_W = f[TUFA_HEATER_LOSS].mid * (ask->setpoint_K - ask->room_K);
    double drawn_J = WATER_J_M3_K * ask->draw_m3_day * fmax(0.0, ask->setpoint_K - ask->inlet_K);
    *out = (tufa_tank_month){.mean_K = ask->setpoint_K, .skin_K = ask->setpoint_K,
                             .energy_J_day = (drawn_J + fmax(0.0, loss_W) * 86400.0) / recovery,
                             .hot_m3_day = ask->draw_m3_day};
    if (ask->heater->fuel == TUFA_ELECTRIC)
        out->skin_K = tufa_element_skin_K(ask->setpoint_K, f[TUFA_HEATER_ELEMENT_FLUX].mid);
    return OK;
}

static double between(double a, double b, double share) { return a + share * (b - a); }

tufa_status tufa_ahead_table_tank(void *ctx, const tufa_tank_ask *ask, tufa_tank_month *out)
{
    const tufa_tank_table *t = ctx;
    if (!t || t->steps == 0) return trouble(TUFA_MISSING, "tank_ctx", "a table of tank results");
    size_t i = 0;
    while (i + 2 < t->steps && t->bed_m3[i + 1] <= ask->bed_m3) i++;
    const tufa_tank_month *a = &t->month[i * 12 + (size_t)ask->month];
    if (t->steps == 1) {
        *out = *a;
        return OK;
    }
    const tufa_tank_month *b = a + 12;
    double share = (ask->bed_m3 - t->bed_m3[i]) / (t->bed_m3[i + 1] - t->bed_m3[i]);
    share = fmin(1.0, fmax(0.0, share));
    *out = (tufa_tank_month){.mean_K = between(a->mean_K, b->mean_K, share), .skin_K = between(a->skin_K, b->skin_K, share),
                             .energy_J_day = between(a->energy_J_day, b->energy_J_day, share),
                             .hot_m3_day = between(a->hot_m3_day, b->hot_m3_day, share)};
    return OK;
}
