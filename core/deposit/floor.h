/* A floor worked out once: what the many levels of one forecast are found with. */
#ifndef CORE_DEPOSIT_FLOOR_H
#define CORE_DEPOSIT_FLOOR_H

#include "tufa/deposit.h"

typedef struct floor_shape {
    double R2, flue2, rho, d, z_flue; /* squares of radii; sphere of the cap, its height, its rise at the flue */
    double plan_m2, full_m3;          /* area above the cap; room below its rim */
    int domed;
} floor_shape;

floor_shape floor_shape_of(const tufa_floor *f);
double floor_shape_m3(const floor_shape *s, double height_m);
double floor_shape_area_m2(const floor_shape *s, double height_m);
double floor_shape_level_m(const floor_shape *s, double bed_m3);
double floor_shape_height_m(const floor_shape *s, double r2); /* of the floor itself, at squared distance from the axis */

/* What a mound under the element needs beside it. */
typedef struct mound {
    double length_m, slope, under_m, highest_m; /* slope: tangent; floor under the rod; the walls allow no higher */
    double rod_bottom_m, rod_radius_m;          /* rod_radius_m 0: no element */
} mound;

mound mound_of(const tufa_floor *f, const floor_shape *s);
tufa_bed_shape bed_lie(const floor_shape *s, const mound *m, double bed_m3, double flakes_m3);

#endif
