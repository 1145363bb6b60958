/* A gas tank's floor under its bed: flux through the bottom, gas side and bed in series, against boiling. */
#include "core/ahead/inner.h"

#include <math.h>

static const double BOTTOM_SHARE = 0.4;      /* of the heat taken up, through the bottom; judgement */
static const double GAS_SIDE_M2K_W = 0.025;  /* gas side between 30 and 60 W/(m2 K); common practice, no source */
static const double ONSET_K = 5.0;           /* above boiling before bubbles form */
static const double BOILING_K = 420.75;      /* at 50 psi gauge, steam tables */
static const double NEVER_M = 10.0;

double rumble_depth_m(const question *q)
{
    const tufa_value *f = q->heater.field;
    tufa_packing p = tufa_packing_default();
    double plan_m2 = 0.785398163397448 * (pow(f[TUFA_HEATER_DIAMETER].mid, 2.0) - pow(f[TUFA_HEATER_FLUE].mid, 2.0));
    double flux = BOTTOM_SHARE * f[TUFA_HEATER_RECOVERY].mid * f[TUFA_HEATER_BURNER].mid / plan_m2;
    double rise_K = BOILING_K + ONSET_K - f[TUFA_HEATER_SETPOINT].mid, free_K = flux * GAS_SIDE_M2K_W - rise_K;
    if (!(free_K > 0.0)) return NEVER_M;
    return tufa_packing_conductivity_W_mK(&p) * rise_K * GAS_SIDE_M2K_W / free_K;
}
