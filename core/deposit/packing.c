#include "core/deposit/constants.h"
#include "tufa/deposit.h"

#include <math.h>

tufa_packing tufa_packing_default(void)
{
    return (tufa_packing){.grain_porosity = D(GRAIN_POROSITY), .voidage = D(VOIDAGE), .grain_kg_m3 = D(GRAIN_KG_M3)};
}

double tufa_packing_bulk_kg_m3(const tufa_packing *p)
{
    return p->grain_kg_m3 * (1.0 - p->grain_porosity) * (1.0 - p->voidage);
}

double tufa_packing_bed_m3(const tufa_packing *p, double kg) { return kg / tufa_packing_bulk_kg_m3(p); }

double tufa_packing_solid_m3(const tufa_packing *p, double kg) { return kg / p->grain_kg_m3; }

/* Geometric mean of mineral and water by volume; between the bounds of layers in series and side by side. */
double tufa_packing_conductivity_W_mK(const tufa_packing *p)
{
    double solid = (1.0 - p->grain_porosity) * (1.0 - p->voidage);
    return pow(D(MINERAL_W_MK), solid) * pow(D(BED_WATER_W_MK), 1.0 - solid);
}
