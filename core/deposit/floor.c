/* The room above a floor that is a spherical cap, domed or dished, with a flue through its middle: closed forms from
 * the volume of a cap, pi h (3 a^2 + h^2) / 6 with a^2 = h (2 rho - h), which keeps its digits on nearly flat floors. */
#include "core/base/status.h"
#include "core/deposit/floor.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double FLAT = 1e-7;            /* of the radius: a floor this even is flat */
static const double LEVEL_TOL_M = 1e-13;
enum { LEVEL_CAP = 80 };
static const double ALL_M = 10.0;           /* no tank is larger */

double tufa_cap_m3(double sphere_radius_m, double height_m)
{
    return PI * height_m * height_m * (sphere_radius_m - height_m / 3.0);
}

double tufa_cone_m3(double height_m, double slope_rad)
{
    double radius = height_m / tan(slope_rad);
    return PI * radius * radius * height_m / 3.0;
}

double tufa_lying_cylinder_share(double depth_over_radius)
{
    double d = fmin(2.0, fmax(0.0, depth_over_radius)), half_chord = sqrt(d * (2.0 - d));
    return (atan2(half_chord, 1.0 - d) - (1.0 - d) * half_chord) / PI;
}

double tufa_lying_surface_share(double depth_over_radius)
{
    double d = fmin(2.0, fmax(0.0, depth_over_radius));
    return atan2(sqrt(d * (2.0 - d)), 1.0 - d) / PI;
}

tufa_status tufa_floor_check(const tufa_floor *f)
{
    RETURN_IF(in_range("radius_m", f->radius_m, 0.01, ALL_M));
    RETURN_IF(in_range("dome_m", f->dome_m, -f->radius_m, f->radius_m));
    RETURN_IF(in_range("flue_radius_m", f->flue_radius_m, 0.0, 0.9 * f->radius_m));
    RETURN_IF(in_range("element_m", f->element_m, 0.0, ALL_M));
    RETURN_IF(in_range("repose_rad", f->repose_rad, 0.05, 1.4));
    if (f->element_m == 0.0) return OK;
    RETURN_IF(in_range("element_radius_m", f->element_radius_m, 1e-4, f->radius_m));
    return in_range("element_length_m", f->element_length_m, 1e-3, 2.0 * f->radius_m);
}

floor_shape floor_shape_of(const tufa_floor *f)
{
    floor_shape s = {.R2 = f->radius_m * f->radius_m, .flue2 = f->flue_radius_m * f->flue_radius_m};
    double d = fabs(f->dome_m);
    s.plan_m2 = PI * (s.R2 - s.flue2);
    if (d > FLAT * f->radius_m) {
        s.d = d;
        s.rho = (s.R2 + d * d) / (2.0 * d);
        s.z_flue = s.flue2 / (s.rho + sqrt(s.rho * s.rho - s.flue2));
        s.domed = f->dome_m > 0.0;
    }
    s.full_m3 = floor_shape_m3(&s, s.d);
    return s;
}

/* Rise of the sphere from its apex at distance r from the axis. */
static double rise(const floor_shape *s, double r2) { return r2 / (s->rho + sqrt(s->rho * s->rho - r2)); }

double floor_shape_height_m(const floor_shape *s, double r2)
{
    if (s->d == 0.0) return 0.0;
    return s->domed ? s->d - rise(s, r2) : rise(s, r2);
}

static double dished_m3(const floor_shape *s, double h)
{
    double bowl = tufa_cap_m3(s->rho, h);
    if (s->flue2 == 0.0) return bowl;
    return bowl - (h > s->z_flue ? PI * s->flue2 * (h - s->z_flue) + tufa_cap_m3(s->rho, s->z_flue) : bowl);
}

/* Cylinder less the part of the dome under the level, less what of the rest lies inside the flue. */
static double domed_m3(const floor_shape *s, double h)
{
    double top = s->d - h; /* of the dome, above the level */
    double outside = PI * s->R2 * h - (tufa_cap_m3(s->rho, s->d) - tufa_cap_m3(s->rho, top));
    if (top >= s->z_flue) return outside;
    return outside - (PI * s->flue2 * (s->z_flue - top) - (tufa_cap_m3(s->rho, s->z_flue) - tufa_cap_m3(s->rho, top)));
}

double floor_shape_m3(const floor_shape *s, double height_m)
{
    double h = fmin(height_m, s->d), above = height_m - h;
    double below = s->d == 0.0 ? 0.0 : s->domed ? domed_m3(s, h) : dished_m3(s, h);
    return below + s->plan_m2 * above;
}

double floor_shape_area_m2(const floor_shape *s, double h)
{
    if (h >= s->d) return s->plan_m2;
    double top = s->domed ? s->d - h : h, r2 = fmax(0.0, top * (2.0 * s->rho - top));
    double area = s->domed ? s->R2 - fmax(r2, s->flue2) : r2 - fmin(r2, s->flue2);
    return PI * fmax(0.0, area);
}

/* Newton inside a bracket; volume grows ever faster with height up to the rim and evenly above. */
double floor_shape_level_m(const floor_shape *s, double bed_m3)
{
    if (!(bed_m3 > 0.0)) return 0.0;
    if (bed_m3 >= s->full_m3) return s->d + (bed_m3 - s->full_m3) / s->plan_m2;
    double lo = 0.0, hi = s->d, h = s->d * sqrt(bed_m3 / s->full_m3);
    for (int i = 0; i < LEVEL_CAP; i++) {
        double error = floor_shape_m3(s, h) - bed_m3, area = floor_shape_area_m2(s, h);
        if (error > 0.0) hi = h;
        else lo = h;
        double next = area > 0.0 ? h - error / area : lo;
        if (!(next > lo && next < hi)) next = 0.5 * (lo + hi);
        if (fabs(next - h) < LEVEL_TOL_M) return next;
        h = next;
    }
    return h;
}

double tufa_floor_volume_m3(const tufa_floor *f, double height_m)
{
    floor_shape s = floor_shape_of(f);
    return height_m > 0.0 ? floor_shape_m3(&s, height_m) : 0.0;
}

double tufa_floor_area_m2(const tufa_floor *f, double height_m)
{
    floor_shape s = floor_shape_of(f);
    return height_m < 0.0 ? 0.0 : floor_shape_area_m2(&s, height_m);
}

tufa_status tufa_floor_level_m(const tufa_floor *f, double bed_m3, double *height_m)
{
    RETURN_IF(tufa_floor_check(f));
    RETURN_IF(in_range("bed_m3", bed_m3, 0.0, ALL_M * ALL_M * ALL_M));
    floor_shape s = floor_shape_of(f);
    *height_m = floor_shape_level_m(&s, bed_m3);
    return OK;
}
