#include "core/base/units.h"
#include "tufa/tank.h"

#include <math.h>

/* Heights as shares of the tank's: where plates of common tanks put them; common practice, no source. */
static const double LOWER_AT = 0.1, UPPER_AT = 0.7, LOWER_SENSOR_AT = 0.2, UPPER_SENSOR_AT = 0.8, GAS_SENSOR_AT = 0.2;
static const double USUAL_M3 = 0.190, USUAL_GAS_M3 = 0.151, USUAL_HEIGHT_M = 1.2;
static const double MIXING_SHARE = 0.13;        /* first draw of about 0.9 of the volume, so as certified tanks have it */
static const double MIXING_FLOW_M3_S = 1.8927e-4; /* 3 gpm, the flow of the first-hour test */
static const double GAS_INPUT_W = 11723.0;      /* 40,000 Btu/h */

tufa_tank tufa_tank_default(tufa_tank_fuel fuel) { return tufa_tank_like(fuel, 0.0, 0.0, 0.0); }

tufa_tank tufa_tank_like(tufa_tank_fuel fuel, double volume_m3, double element_or_burner_W, double setpoint_K)
{
    bool gas = fuel == TUFA_TANK_GAS;
    double usual = gas ? USUAL_GAS_M3 : USUAL_M3, V = volume_m3 > 0.0 ? volume_m3 : usual;
    double H = USUAL_HEIGHT_M * cbrt(V / USUAL_M3); /* tanks are alike in shape */
    tufa_tank t = {
        .fuel = fuel, .layers = 60, .volume_m3 = V, .height_m = H,
        /* Old tank with fittings and pipe stubs, 1.4 to 2.5 W/K (common practice). Gas: rated tanks imply 4.8 W/K of input
         * at rest, pilot and flue with it; x 0.76 = 3.65 of heat. Like shapes lose by their surface. */
        .loss_W_K = (gas ? 3.65 : 1.5) * pow(V / usual, 2.0 / 3.0),
        .conductivity_W_m_K = 1.43, /* water 0.63 and 1.8 mm of steel */
        .ambient_K = K_from_F(67.5), .inlet_K = K_from_F(58.0), /* the test procedure's */
        .lower_height_m = LOWER_AT * H, .upper_height_m = UPPER_AT * H,
        .lower_sensor_m = (gas ? GAS_SENSOR_AT : LOWER_SENSOR_AT) * H,
        .upper_sensor_m = (gas ? GAS_SENSOR_AT : UPPER_SENSOR_AT) * H,
        .element_W_m2 = 116.25e3, /* 75 W/in2; common practice */
        .setpoint_K = setpoint_K > 0.0 ? setpoint_K : K_from_C(52.0), .differential_K = 6.0,
        .limit_K = K_from_C(82.0), /* trips between 77 and 88 C by make */
        .relief_K = K_from_C(98.9), /* 210 F, ANSI Z21.22 as quoted */
        .mixing_m3 = MIXING_SHARE * V, .mixing_flow_m3_s = MIXING_FLOW_M3_S,
        .recovery_efficiency = gas ? 0.76 : 1.0, .bed_W_m_K = 1.2, .bed_cover_m = -1.0, .scale_W_m_K = 1.5,
        .line_Pa = Pa_from_psi(50.0), .breaker_A = 30.0, .leak_height_m = LOWER_AT * H,
    };
    double W = element_or_burner_W > 0.0 ? element_or_burner_W : gas ? GAS_INPUT_W : 4500.0;
    if (gas) t.burner_W = W;
    else t.lower_W = t.upper_W = W;
    return t;
}
