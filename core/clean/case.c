/* A tank to be cleaned: what is assumed of it, and what a jar or a sieve makes of the sizes. */
#include <math.h>

#include "core/base/sources.h"
#include "core/base/status.h"
#include "core/base/units.h"
#include "core/clean/assumptions.h"

static const tufa_assumption TABLE[ASSUMPTIONS] = {
#define X(id, source, unit, mid, lo, hi, what) [A_##id] = {#id, what, unit, {mid, lo, hi, TUFA_BASIS_DEFAULT}, source},
#include "core/clean/assumptions.def"
#undef X
};

size_t tufa_clean_assumption_count(void) { return ASSUMPTIONS; }
const tufa_assumption *tufa_clean_assumption_at(size_t i) { return i < ASSUMPTIONS ? &TABLE[i] : NULL; }
tufa_value assumption(assumption_id id) { return TABLE[id].value; }

const double tufa_clean_size_edge_m[TUFA_CLEAN_SIZES + 1] = {15e-6, 63e-6, 0.25e-3, 0.5e-3, 1e-3, 2e-3, 4e-3, 8e-3, 16e-3, 32e-3};

static tufa_value assumed(double mid, double lo, double hi) { return (tufa_value){mid, lo, hi, TUFA_BASIS_DEFAULT}; }

/* Loose mass by size in an old bed, and in a young one: judgement, no data behind it. Elements shed flakes; a hot
 * floor makes coarser lumps; what fell last year is fine. */
static const double OLD_ELECTRIC[TUFA_CLEAN_SIZES] = {0.07, 0.10, 0.09, 0.11, 0.14, 0.18, 0.18, 0.10, 0.03};
static const double OLD_GAS[TUFA_CLEAN_SIZES] = {0.06, 0.09, 0.07, 0.08, 0.12, 0.16, 0.20, 0.15, 0.07};
static const double YOUNG[TUFA_CLEAN_SIZES] = {0.45, 0.30, 0.11, 0.07, 0.04, 0.02, 0.01, 0.0, 0.0};
#define YOUNG_YEARS 2.0
#define AGE_UNKNOWN_YEARS 8.0 /* the middle of what stands in old rentals: judgement */

static int burns(tufa_fuel fuel) { return fuel != TUFA_ELECTRIC; }

tufa_value tufa_clean_cemented_prior(tufa_fuel fuel, double age_year)
{
    double age = isnan(age_year) ? AGE_UNKNOWN_YEARS : fmax(0.0, age_year);
    double mid = burns(fuel) ? fmin(0.5, 0.10 + 0.02 * age) : fmin(0.35, 0.04 + 0.012 * age);
    return assumed(mid, 0.4 * mid, fmin(0.9, 2.0 * mid));
}

void tufa_clean_case_default(tufa_fuel fuel, double age_year, tufa_clean_case *out)
{
    int gas = burns(fuel);
    double age = isnan(age_year) ? AGE_UNKNOWN_YEARS : fmax(0.0, age_year), young = exp(-age / YOUNG_YEARS);
    *out = (tufa_clean_case){
        .fuel = fuel,
        .age_year = isnan(age_year) ? (tufa_value){0} : (tufa_value){age, age, age, TUFA_BASIS_GIVEN},
        .volume_m3 = gas ? assumed(0.151, 0.140, 0.189) : assumed(0.189, 0.151, 0.246),
        .across_m = gas ? assumed(0.415, 0.39, 0.44) : assumed(0.448, 0.42, 0.48),
        .bed_kg = assumed(4.0, 1.0, 14.0),
        .cemented_share = tufa_clean_cemented_prior(fuel, age_year),
        .size_tilt = assumed(0.0, -0.3, 0.3),
        .grain_porosity = tufa_grain_porosity_default(),
        .voidage = tufa_voidage_default(),
        .static_Pa = assumed(Pa_from_psi(60.0), Pa_from_psi(45.0), Pa_from_psi(75.0)), /* IRC P2903.3: 40 to 80 psi */
        .house_k_Pa_s2_m6 = assumed(3.464e11, 1.7e11, 7e11),                          /* 20 psi lost at 10 gpm, 10 to 40 */
        .drain_bore_m = assumed(0.014, 0.011, 0.017),
        .hose_bore_m = assumed(0.015875, 0.015875, 0.015875),
        .hose_length_m = assumed(15.24, 15.24, 15.24),
        .coupling_bore_m = assumed(0.0115, 0.010, 0.013),
        .rise_m = assumed(0.0, 0.0, 0.0),
        .dip_bore_m = assumed(0.0165, 0.0145, 0.018),
        .dip_gap_m = assumed(0.15, 0.08, 0.22),
        .work_K = assumed(303.15, 293.15, 318.15),
        .acid_percent = assumed(5.0, 5.0, 5.0),
        .acid_m3 = assumed(0.0151, 0.0151, 0.0151), /* four gallons */
        .soak_s = assumed(6.0 * 3600.0, 4.0 * 3600.0, 12.0 * 3600.0),
        .air_cycles = assumed(5.0, 3.0, 8.0),
        .air_Pa = assumed(Pa_from_psi(20.0), Pa_from_psi(15.0), Pa_from_psi(30.0)),
        .tube_bore_m = assumed(0.019, 0.019, 0.019),
        .suction_Pa = assumed(12e3, 9e3, 15e3),
        .vacuum_kg_s = assumed(0.011, 0.008, 0.015),
        .vacuum_floor_share = assumed(0.75, 0.6, 0.9),
        .clear_s = assumed(20.0, 15.0, 30.0),
        .stirrer = {.rev_per_s = assumed(20.0, 13.0, 25.0),
                    .swept_share = assumed(0.88, 0.8, 0.95),
                    .breaking_clearance_m = (tufa_value){0}, /* a quarter of the port, when nobody said */
                    .feed_kg_s = assumed(0.008, 0.004, 0.015),
                    .port_bore_m = assumed(0.019, 0.017, 0.028),
                    .torque_Nm = (tufa_value){0},
                    .across_m = assumed(0.075, 0.05, 0.1)},
    };
    for (int i = 0; i < TUFA_CLEAN_SIZES; i++)
        out->size_share[i] = young * YOUNG[i] + (1.0 - young) * (gas ? OLD_GAS[i] : OLD_ELECTRIC[i]);
}

/* ---- sieve ---- */

#define SAMPLE_WEIGHT 0.75 /* one jar or sieve against what was assumed: judgement */
#define SAMPLE_TILT 0.12   /* what is left of the doubt about the shares */

/* Share of class i above a mesh, its mass spread evenly over the logarithm of size. */
static double part_over(int i, double mesh)
{
    double lo = log(tufa_clean_size_edge_m[i]), hi = log(tufa_clean_size_edge_m[i + 1]), at = log(mesh);
    return at <= lo ? 1.0 : at >= hi ? 0.0 : (hi - at) / (hi - lo);
}

static tufa_status sieve_ok(const tufa_sieve *s)
{
    if (s->n > 4) return (tufa_status){.code = TUFA_RANGE, .field = "n", .got = (double)s->n, .lo = 0.0, .hi = 4.0};
    double sum = 0.0;
    for (size_t k = 0; k < s->n; k++) {
        RETURN_IF(in_range("mesh_m", s->mesh_m[k], 20e-6, 30e-3));
        RETURN_IF(in_range("over_share", s->over_share[k], 0.0, 1.0));
        if (k && !(s->mesh_m[k] < s->mesh_m[k - 1])) return trouble(TUFA_CONFLICT, "mesh_m", "the meshes are given coarsest first");
        sum += s->over_share[k];
    }
    return in_range("over_share", sum, 0.0, 1.0 + 1e-9);
}

tufa_status tufa_clean_use_sieve(const tufa_sieve *s, tufa_clean_case *c)
{
    RETURN_IF(sieve_ok(s));
    if (s->n) {
        double part[5][TUFA_CLEAN_SIZES], prior[5] = {0}, said[5], rest = 1.0, total = 0.0;
        for (int i = 0; i < TUFA_CLEAN_SIZES; i++) total += c->size_share[i];
        if (!(total > 0.0)) return trouble(TUFA_RANGE, "size_share", "the shares add up to nothing");
        for (size_t k = 0; k <= s->n; k++) { /* band k: over mesh k and under mesh k - 1 */
            for (int i = 0; i < TUFA_CLEAN_SIZES; i++) {
                double above = k < s->n ? part_over(i, s->mesh_m[k]) : 1.0, coarser = k ? part_over(i, s->mesh_m[k - 1]) : 0.0;
                part[k][i] = c->size_share[i] / total * (above - coarser);
                prior[k] += part[k][i];
            }
            said[k] = k < s->n ? s->over_share[k] : fmax(0.0, rest);
            rest -= said[k];
        }
        for (int i = 0; i < TUFA_CLEAN_SIZES; i++) {
            double share = 0.0;
            for (size_t k = 0; k <= s->n; k++) {
                double now = SAMPLE_WEIGHT * said[k] + (1.0 - SAMPLE_WEIGHT) * prior[k];
                if (prior[k] > 0.0) share += part[k][i] * now / prior[k];
            }
            c->size_share[i] = share;
        }
        c->size_tilt = (tufa_value){0.0, -SAMPLE_TILT, SAMPLE_TILT, TUFA_BASIS_LEARNED};
    }
    if (!isnan(s->lumps_share)) {
        RETURN_IF(in_range("lumps_share", s->lumps_share, 0.0, 1.0));
        double mid = SAMPLE_WEIGHT * s->lumps_share + (1.0 - SAMPLE_WEIGHT) * c->cemented_share.mid;
        double width = 0.5 * SAMPLE_TILT + 0.5 * fmin(mid, 1.0 - mid);
        c->cemented_share = (tufa_value){mid, fmax(0.0, mid - width), fmin(1.0, mid + width), TUFA_BASIS_LEARNED};
    }
    return OK;
}
