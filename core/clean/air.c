/* Air: bubbles, what it stores, and what a leaking vacuum has left. */
#include "core/base/status.h"
#include "core/clean/physics.h"

#define SMALL_BUBBLE_M 0.015
#define SMALL_RISE_M_S 0.29 /* 0.28 to 0.30, read on a university's aeration page as quoted */
#define MOST_RISE_M_S 0.40  /* larger, unstable ones: 0.35 to 0.40, same page */

tufa_status tufa_clean_bubble_rise(double d_m, double *m_s)
{
    RETURN_IF(in_range("d_m", d_m, 1e-3, 1.0));
    *m_s = d_m <= SMALL_BUBBLE_M ? SMALL_RISE_M_S : fmin(MOST_RISE_M_S, fmax(SMALL_RISE_M_S, 0.707 * sqrt(GRAVITY_M_S2 * d_m)));
    return OK;
}

#define ATMOSPHERE_PA 101325.0
#define GAMMA_AIR 1.4
#define WATER_BULK_PA 2.2e9

tufa_status tufa_clean_stored_energy(double volume_m3, double gauge_Pa, double *air_J, double *water_J)
{
    RETURN_IF(in_range("volume_m3", volume_m3, 0.0, 1e3));
    RETURN_IF(in_range("gauge_Pa", gauge_Pa, 0.0, 1e8));
    double p = gauge_Pa + ATMOSPHERE_PA;
    *air_J = p * volume_m3 / (GAMMA_AIR - 1.0) * (1.0 - pow(ATMOSPHERE_PA / p, (GAMMA_AIR - 1.0) / GAMMA_AIR));
    *water_J = 0.5 * volume_m3 * gauge_Pa * gauge_Pa / WATER_BULK_PA;
    return OK;
}

#define FAN_PA_S_M3 4.1e5 /* slope fitted to a household unit measured with 2 to 8 holes of 1/4 in */
#define HOLE_CD 0.6
#define AIR_KG_M3 1.2

tufa_status tufa_clean_suction_left(double sealed_Pa, double hole_m, double holes, double *Pa)
{
    RETURN_IF(in_range("sealed_Pa", sealed_Pa, 0.0, 1e5));
    RETURN_IF(in_range("hole_m", hole_m, 0.0, 0.1));
    RETURN_IF(in_range("holes", holes, 0.0, 1e3));
    /* dp = sealed - slope n Cd A sqrt(2 dp/rho): a square in sqrt(dp) */
    double b = FAN_PA_S_M3 * holes * HOLE_CD * disc_area(hole_m) * sqrt(2.0 / AIR_KG_M3);
    double root = 0.5 * (sqrt(b * b + 4.0 * sealed_Pa) - b);
    *Pa = root * root;
    return OK;
}
