/* How the bed of one draw lies in its tank. */
#include "core/ahead/inner.h"
#include "core/deposit/constants.h"

#include <math.h>

vessel vessel_of(const question *q, size_t i)
{
    const unknowns *x = &q->x;
    tufa_floor f = {.radius_m = x->radius_m[i], .dome_m = x->dome_m[i], .flue_radius_m = x->flue_m[i], .repose_rad = x->repose_rad[i]};
    vessel v = {0};
    if (q->heater.fuel == TUFA_ELECTRIC) {
        f.element_m = x->element_m[i];
        f.element_length_m = fmin(q->heater.field[TUFA_HEATER_ELEMENT_LENGTH].mid, 1.9 * f.radius_m);
        f.element_radius_m = q->heater.field[TUFA_HEATER_ELEMENT_RADIUS].mid;
        tufa_element e = tufa_element_from(x->element_W[i], x->flux_W_m2[i]);
        v.full_layer_kg = e.area_m2 * x->shed_m[i] * e.scale_kg_m3;
    }
    v.shape = floor_shape_of(&f);
    v.pile = mound_of(&f, &v.shape);
    return v;
}

lying lie_down(const question *q, const vessel *v, size_t i, double scale_kg, double grit_kg)
{
    double element_kg = q->element_part[i] * scale_kg;
    double layer_kg = v->full_layer_kg > 0.0 ? element_kg - v->full_layer_kg * floor(element_kg / v->full_layer_kg) : 0.0;
    double flakes_m3 = (element_kg - layer_kg) / q->bulk_kg_m3[i];
    lying l = {.bed_m3 = (scale_kg - layer_kg) / q->bulk_kg_m3[i] + grit_kg * q->grit_m3_kg[i]};
    tufa_bed_shape b = bed_lie(&v->shape, &v->pile, l.bed_m3, flakes_m3);
    l.level_m = b.level_m;
    l.depth_m = b.crest_m;
    l.covered = b.element_covered_share;
    return l;
}
