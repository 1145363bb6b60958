/* How a bed lies: fines level, flakes as a mound along the rod from which they fell. The mound is a prism with
 * half a cone at its inner end, standing on the floor; fines fill the room around it up to one level. */
#include "core/base/status.h"
#include "core/deposit/floor.h"

#include <math.h>

static const double PI = 3.14159265358979323846;
static const double TOL_M = 1e-13;
enum { CAP = 80 };

static double ridge_m3(double h, double length_m, double slope)
{
    return h * h / slope * (length_m + PI / 6.0 * h / slope);
}

static double ridge_area_m2(double h, double length_m, double slope)
{
    return h / slope * (2.0 * length_m + PI / 2.0 * h / slope);
}

/* Newton from above: without the cone the mound is higher. */
static double ridge_height_m(double m3, double length_m, double slope)
{
    if (!(m3 > 0.0)) return 0.0;
    double h = sqrt(m3 * slope / length_m);
    for (int i = 0; i < CAP; i++) {
        double step = (ridge_m3(h, length_m, slope) - m3) / ridge_area_m2(h, length_m, slope);
        h -= step;
        if (fabs(step) < TOL_M) break;
    }
    return h;
}

double tufa_ridge_m3(double height_m, double length_m, double slope_rad)
{
    return ridge_m3(height_m, length_m, tan(slope_rad));
}

double tufa_ridge_height_m(double bed_m3, double length_m, double slope_rad)
{
    return ridge_height_m(bed_m3, length_m, tan(slope_rad));
}

/* Mean height of the floor under the rod, by Simpson's rule: the floor is close to a parabola, for which it is exact. */
static double floor_under_m(const tufa_floor *f, const floor_shape *s)
{
    double inner = f->radius_m - f->element_length_m, middle = f->radius_m - 0.5 * f->element_length_m;
    return (floor_shape_height_m(s, s->R2) + 4.0 * floor_shape_height_m(s, middle * middle) +
            floor_shape_height_m(s, inner * inner)) / 6.0;
}

mound mound_of(const tufa_floor *f, const floor_shape *s)
{
    if (!(f->element_m > 0.0)) return (mound){.length_m = 1.0, .slope = 1.0};
    double slope = tan(f->repose_rad);
    return (mound){.length_m = f->element_length_m, .slope = slope, .under_m = floor_under_m(f, s),
                   .highest_m = f->radius_m * slope, .rod_bottom_m = f->element_m - f->element_radius_m,
                   .rod_radius_m = f->element_radius_m};
}

/* Level at which floor and what stands out of the mound above it together hold bed_m3: bracketed Newton. */
static double level_beside(const floor_shape *s, const mound *m, double bed_m3, double crest_m, double lo, double hi)
{
    double h = hi;
    for (int i = 0; i < CAP; i++) {
        double out = fmax(0.0, crest_m - h);
        double error = floor_shape_m3(s, h) + ridge_m3(out, m->length_m, m->slope) - bed_m3;
        double slope = floor_shape_area_m2(s, h) - ridge_area_m2(out, m->length_m, m->slope);
        if (error > 0.0) hi = h;
        else lo = h;
        double next = h - error / slope;
        if (!(next > lo && next < hi)) next = 0.5 * (lo + hi);
        if (fabs(next - h) < TOL_M) return next;
        h = next;
    }
    return h;
}

tufa_bed_shape bed_lie(const floor_shape *s, const mound *m, double bed_m3, double flakes_m3)
{
    tufa_bed_shape b = {.level_m = floor_shape_level_m(s, bed_m3)};
    b.crest_m = b.level_m;
    if (m->rod_radius_m == 0.0) return b;
    double height = fmin(m->highest_m, ridge_height_m(fmin(flakes_m3, bed_m3), m->length_m, m->slope));
    double crest = m->under_m + height;
    if (crest > b.level_m) {
        double beside = floor_shape_level_m(s, bed_m3 - ridge_m3(height, m->length_m, m->slope));
        if (beside > m->under_m) beside = level_beside(s, m, bed_m3, crest, fmin(m->under_m, b.level_m), b.level_m);
        b.level_m = beside;
        b.crest_m = crest;
    }
    b.element_covered_share = tufa_lying_surface_share((b.crest_m - m->rod_bottom_m) / m->rod_radius_m);
    return b;
}

tufa_status tufa_bed_lie(const tufa_floor *f, double bed_m3, double flakes_m3, tufa_bed_shape *out)
{
    RETURN_IF(tufa_floor_check(f));
    RETURN_IF(in_range("bed_m3", bed_m3, 0.0, 1e3));
    RETURN_IF(in_range("flakes_m3", flakes_m3, 0.0, bed_m3));
    floor_shape s = floor_shape_of(f);
    mound m = mound_of(f, &s);
    *out = bed_lie(&s, &m, bed_m3, flakes_m3);
    return OK;
}
