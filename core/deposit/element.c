/* Scale on the lower element: how it grows and falls, and how hot it makes the rod. */
#include "core/deposit/constants.h"
#include "tufa/deposit.h"

#include <math.h>

/* Clean rod in still water at 52 deg C: 60 K over the water at 75 W/in2, 45 at 50, 96 at 150; a power law goes
 * through the three within 1 K. SRC_SKIN_CHURCHILL. */
static const double SKIN_RISE_K = 60.0, SKIN_FLUX_W_M2 = 116250.0, SKIN_POWER = 0.68;
/* Boiling holds the skin down: 10 K above boiling at 50 psi (147.6 deg C, steam tables). */
static const double SKIN_MOST_K = 430.75;

tufa_element tufa_element_from(double power_W, double flux_W_m2)
{
    return (tufa_element){.area_m2 = power_W / flux_W_m2, .flux_W_m2 = flux_W_m2, .scale_W_mK = D(SCALE_W_MK),
                          .scale_kg_m3 = D(GRAIN_KG_M3) * (1.0 - D(SCALE_POROSITY)), .shed_m = D(SHED_M)};
}

double tufa_element_skin_K(double water_K, double flux_W_m2)
{
    return fmin(water_K + SKIN_RISE_K * pow(flux_W_m2 / SKIN_FLUX_W_M2, SKIN_POWER), fmax(water_K, SKIN_MOST_K));
}

double tufa_element_scale_rise_K(double flux_W_m2, double thickness_m, double scale_W_mK)
{
    return flux_W_m2 * thickness_m / scale_W_mK;
}

double tufa_element_grow(const tufa_element *e, double grown_kg, double *layer_kg)
{
    double full_kg = e->area_m2 * e->shed_m * e->scale_kg_m3, on_kg = *layer_kg + fmax(0.0, grown_kg);
    double fell_kg = full_kg > 0.0 ? full_kg * floor(on_kg / full_kg) : on_kg;
    *layer_kg = fmax(0.0, on_kg - fell_kg);
    return fell_kg;
}
