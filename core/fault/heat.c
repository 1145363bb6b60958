#include "core/fault/heat.h"

#include <math.h>

#include "core/base/status.h"
#include "core/base/units.h"

static const double USABLE_C = 40.6, EARLY_M3 = 0.038, J_M3_K = 4.13e6;

tufa_status fault_heat_of(const tufa_fault_heater *heater, const fault_effect *a, const fault_effect *b, fault_heat *h)
{
    const tufa_tank *t = &heater->tank;
    int top_only = 0, dip = 0;
    double bed = t->bed_m3, set = t->setpoint_K, inlet = t->inlet_K, weak = 1.0;
    const fault_effect *both[2] = {a, b};
    for (int i = 0; i < 2; i++) {
        if (!both[i]) continue;
        const fault_effect *e = both[i];
        if (e->cut.lower_coil_open || e->cut.lower_never || e->cut.upper_no_handover) top_only = 1;
        if (e->changes && e->change[0].id == TUFA_CHANGE_DIP_TUBE_LOST) dip = 1;
        if (e->changes && e->change[0].id == TUFA_CHANGE_BURNER_WEAK) weak = e->change[0].size;
        if (e->bed_at_element > 0.0) bed = fmax(bed, e->bed_at_element * t->volume_m3 * t->lower_height_m / t->height_m);
        bed += e->bed_litres * 1e-3;
        set += e->setpoint_K;
        if (e->inlet_C > 0.0) inlet = K_from_C(e->inlet_C);
    }
    double V = t->volume_m3, watts = t->lower_W, heated;
    if (t->fuel == TUFA_TANK_GAS) {
        heated = V - bed;
        watts = t->burner_W * t->recovery_efficiency * weak;
    } else {
        double low = fmax(V * t->lower_height_m / t->height_m, bed);
        heated = V - low;
        if (top_only && !heater->single_element) heated = V - V * t->upper_height_m / t->height_m;
    }
    double rise = set - inlet, theta = (K_from_C(USABLE_C) - inlet) / rise, mix = 0.125 * V;
    double litres = dip ? V * log(1.0 / theta) : fmax(heated - mix * (1.0 - log(1.0 / theta)), 0.0);
    if (top_only) litres = heated * 0.915;
    h->litres = 1e3 * litres;
    h->drop_K = dip ? rise * (1.0 - exp(-EARLY_M3 / V)) : 0.6;
    h->heated_L = 1e3 * heated;
    h->recover_min = heated * J_M3_K * rise / watts / 60.0;
    return OK;
}
