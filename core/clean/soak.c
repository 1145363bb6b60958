/* M2: an acid stands on the bed. It can dissolve no more than its equilibrium allows, and no more than it reaches. */
#include "core/clean/draw.h"

#define SOAK_RINSES 2.0       /* tank volumes until a strip reads like the cold tap */

void method_acid(const method_once *once, const tank_draw *t, method_out *out)
{
    double capacity = t->acid_m3 * once->acid_kg_m3;
    double surface = t->floor_m2 * t->a[A_ACID_ROUGH], reached = surface * t->a[A_ACID_RATE] * t->soak_s * t->stone_kg_m3;
    double dissolved = fmin(fmin(capacity, reached), t->bed_kg);
    for (int i = 0; i < TUFA_CLEAN_CLASSES; i++)
        if (t->bed_kg > 0.0) out->class_kg[i] = t->class_kg[i] * dissolved / t->bed_kg;
    out->gas_m3 = once->acid_kg_m3 > 0.0 ? dissolved / once->acid_kg_m3 * once->acid_gas_m3_m3 : 0.0;
    out->labour_s = t->a[A_SOAK_LABOUR];
    out->onsite_s = out->labour_s + t->soak_s; /* somebody stays with the open tank */
    out->water_m3 = t->acid_m3 + SOAK_RINSES * t->volume_m3;
    out->flow_m3_s = t->flow.flow_m3_s;
}
