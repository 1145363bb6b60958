/* Depth of bed under which a gas tank's floor boils: where the tank stage's noise margin passes 0. */
#include "core/ahead/inner.h"

#include "tufa/tank.h"

static const double DEEPEST_M = 0.5, NEVER_M = 10.0, TOL_M = 1e-6;
enum { CAP = 100 };

typedef struct floor_case {
    double recovery, burner_W, bed_W_mK, water_K, line_Pa;
} floor_case;

static double margin_K(double depth_m, void *ctx)
{
    const floor_case *c = ctx;
    tufa_tank_bottom b;
    tufa_status st = tufa_tank_gas_bottom(c->recovery, c->burner_W, depth_m, c->bed_W_mK, c->water_K, c->line_Pa, &b);
    return st.code == TUFA_OK ? b.noise_margin_K : -1.0;
}

double rumble_depth_m(const question *q)
{
    const tufa_value *f = q->heater.field;
    tufa_packing p = tufa_packing_default();
    floor_case c = {.recovery = f[TUFA_HEATER_RECOVERY].mid, .burner_W = f[TUFA_HEATER_BURNER].mid,
                    .bed_W_mK = tufa_packing_conductivity_W_mK(&p), .water_K = f[TUFA_HEATER_SETPOINT].mid,
                    .line_Pa = q->site.pressure_Pa.mid};
    double depth_m;
    if (margin_K(0.0, &c) >= 0.0) return TOL_M;
    if (margin_K(DEEPEST_M, &c) < 0.0) return NEVER_M;
    return tufa_root(margin_K, &c, 0.0, DEEPEST_M, TOL_M, CAP, &depth_m).code == TUFA_OK ? depth_m : NEVER_M;
}
