#include "core/clean/draw.h"

#include "core/base/units.h"

#define WATER_KG_M3 998.0

double clean_class_m(int i) { return sqrt(tufa_clean_size_edge_m[i] * tufa_clean_size_edge_m[i + 1]); }

double clean_class_fall(const tank_draw *t, int i)
{
    return t->a[A_SETTLE] * settle(clean_class_m(i), t->grain_kg_m3 / t->rho - 1.0, t->nu, STOKES_C1, SAND_C2);
}

/* Place in its range of quantity `stream`, the same for every method and house. */
typedef struct place {
    clean_spreads *known;
    uint64_t key, index;
    int median;
    uint64_t stream;
} place;

/* Every draw asks for the quantities in the same order: the first one makes their spreads ready. */
static double at(place *p, tufa_value v)
{
    p->stream++;
    if (p->median || !(v.hi > v.lo)) return v.mid;
    spread *s = &p->known->of[p->stream];
    if (!s->wide) *s = spread_of(v);
    return spread_draw(s, p->key, p->stream, p->index);
}

static double between(double x, double lo, double hi) { return fmin(fmax(x, lo), hi); }

/* Even in the logarithm of size inside a class. */
double clean_size_below(const double *class_kg, double share)
{
    double sum = 0.0, below = 0.0;
    for (int i = 0; i < TUFA_CLEAN_SIZES; i++) sum += class_kg[i];
    if (!(sum > 0.0)) return 0.0;
    for (int i = 0; i < TUFA_CLEAN_SIZES; i++) {
        if (below + class_kg[i] >= share * sum && class_kg[i] > 0.0) {
            double lo = tufa_clean_size_edge_m[i], hi = tufa_clean_size_edge_m[i + 1];
            return lo * pow(hi / lo, fmin(1.0, (share * sum - below) / class_kg[i]));
        }
        below += class_kg[i];
    }
    return tufa_clean_size_edge_m[TUFA_CLEAN_SIZES];
}

static void draw_bed(const tufa_clean_case *c, place *p, tank_draw *t)
{
    double cemented = between(at(p, c->cemented_share), 0.0, 1.0), tilt = at(p, c->size_tilt);
    double n = between(at(p, c->grain_porosity), 0.0, 0.8), e = between(at(p, c->voidage), 0.1, 0.9);
    double share[TUFA_CLEAN_SIZES], sum = 0.0;
    tufa_packing pack = tufa_packing_default();
    pack.grain_porosity = n;
    pack.voidage = e;
    t->bulk_kg_m3 = tufa_packing_bulk_kg_m3(&pack);
    t->stone_kg_m3 = pack.grain_kg_m3 * (1.0 - n);
    t->grain_kg_m3 = t->stone_kg_m3 + WATER_KG_M3 * n;
    t->bed_kg = fmax(at(p, c->bed_kg), 0.0);
    t->bed_m3 = t->bed_kg / t->bulk_kg_m3;
    for (int i = 0; i < TUFA_CLEAN_SIZES; i++) {
        share[i] = fmax(c->size_share[i], 0.0) * exp(tilt * (i - TUFA_CLEAN_SIZES / 2));
        sum += share[i];
    }
    for (int i = 0; i < TUFA_CLEAN_SIZES; i++) {
        share[i] = sum > 0.0 ? share[i] / sum : 1.0 / TUFA_CLEAN_SIZES;
        t->class_kg[i] = t->bed_kg * (1.0 - cemented) * share[i];
    }
    t->class_kg[TUFA_CLEAN_CAKE] = t->bed_kg * cemented;
    t->d85_m = clean_size_below(share, 0.85);
    t->d50_m = clean_size_below(share, 0.50);
}

static double port_loss(tufa_drain_pattern pattern, const double *a)
{
    switch (pattern) {
    case TUFA_DRAIN_STRAIGHT: return a[A_STRAIGHT_K];
    case TUFA_DRAIN_FULL_PORT: return a[A_FULL_PORT_K];
    case TUFA_DRAIN_GLOBE:
    case TUFA_DRAIN_UNSAID: break;
    }
    return a[A_GLOBE_K]; /* what heaters are delivered with: common practice, no source */
}

static void draw_line(const tufa_clean_case *c, place *p, tank_draw *t)
{
    t->line = (tufa_line){.static_Pa = fmax(at(p, c->static_Pa), 0.0),
                          .house_k_Pa_s2_m6 = fmax(at(p, c->house_k_Pa_s2_m6), 0.0),
                          .port_bore_m = between(at(p, c->drain_bore_m), 1e-3, 0.1),
                          .port_K = port_loss(c->drain_pattern, t->a),
                          .hose_bore_m = between(at(p, c->hose_bore_m), 1e-3, 0.1),
                          .hose_length_m = fmax(at(p, c->hose_length_m), 0.0),
                          .hose_roughness_m = t->a[A_HOSE_E],
                          .hose_K = t->a[A_HOSE_K],
                          .rise_m = at(p, c->rise_m),
                          .rho_kg_m3 = t->rho,
                          .nu_m2_s = t->nu};
    t->coupling_m = between(at(p, c->coupling_bore_m), 1e-3, 0.1);
    clean_line_flow(&t->line, &t->flow);
}

#define TUBE_GONE_SHARE 0.8 /* of the tank's height: the jet then starts near the top */

void clean_draw(const tufa_clean_case *c, uint64_t key, size_t i, size_t n, clean_spreads *known, tank_draw *t)
{
    place p = {known, key, i, n <= 1, 0};
    *t = (tank_draw){.key = key, .index = i, .median = n <= 1};
    for (int k = 0; k < ASSUMPTIONS; k++) t->a[k] = at(&p, assumption((assumption_id)k));
    t->a[A_SETTLE] = fmin(t->a[A_SETTLE], 1.0);
    t->volume_m3 = fmax(at(&p, c->volume_m3), 1e-3);
    t->across_m = fmax(at(&p, c->across_m), 0.05);
    t->floor_m2 = disc_area(t->across_m);
    t->work_K = between(at(&p, c->work_K), 273.16, 373.0);
    t->rho = tufa_tank_water_kg_m3(t->work_K);
    t->nu = tufa_tank_water_Pa_s(t->work_K) / t->rho;
    draw_bed(c, &p, t);
    draw_line(c, &p, t);
    t->dip_bore_m = between(at(&p, c->dip_bore_m), 1e-3, 0.1);
    t->dip_gap_m = between(at(&p, c->dip_gap_m), 0.01, 3.0);
    if (c->dip_state == TUFA_DIP_SHORT) t->dip_gap_m = fmax(t->dip_gap_m, TUBE_GONE_SHARE * t->volume_m3 / t->floor_m2);
    t->dip_gain = c->dip_state == TUFA_DIP_CURVED ? t->a[A_CURVED_GAIN] : 1.0;
    t->acid_m3 = fmax(at(&p, c->acid_m3), 0.0);
    t->soak_s = fmax(at(&p, c->soak_s), 0.0);
    t->air_cycles = fmax(at(&p, c->air_cycles), 0.0);
    t->tube_m = between(at(&p, c->tube_bore_m), 1e-3, 0.2);
    t->vacuum_kg_s = fmax(at(&p, c->vacuum_kg_s), 1e-6);
    t->vacuum_share = between(at(&p, c->vacuum_floor_share), 0.0, 1.0);
    t->clear_s = fmax(at(&p, c->clear_s), 0.0);
    const tufa_stirrer *s = &c->stirrer;
    t->rev_s = fmax(at(&p, s->rev_per_s), 0.0);
    t->swept = between(at(&p, s->swept_share), 0.0, 1.0);
    t->feed_kg_s = fmax(at(&p, s->feed_kg_s), 0.0);
    t->port_m = between(at(&p, s->port_bore_m), 1e-3, 0.1);
    t->stirrer_m = between(at(&p, s->across_m), 5e-3, t->across_m);
    double quarter = 0.25 * t->port_m; /* assumption: what turns in a port leaves a quarter of it open */
    t->clearance_m = s->breaking_clearance_m.basis == TUFA_BASIS_NONE ? quarter : between(at(&p, s->breaking_clearance_m), 1e-4, 0.1);
}

/* ---- chance ---- */

#define CHANCE_STREAM 0x10000u /* beyond the streams of the quantities */

double clean_exponential(const tank_draw *t, uint64_t stream)
{
    return t->median ? 1.0 : -log(tufa_uniform(t->key, CHANCE_STREAM + stream, t->index));
}

double clean_poisson(const tank_draw *t, uint64_t stream, double mean)
{
    enum { MANY = 60 };
    if (!(mean > 0.0)) return 0.0;
    if (t->median) return mean;
    double u = tufa_uniform(t->key, CHANCE_STREAM + stream, t->index);
    if (mean > MANY) return fmax(0.0, floor(mean + sqrt(mean) * tufa_normal_quantile(u) + 0.5));
    double p = exp(-mean), sum = p, k = 0.0;
    while (sum < u && k < 10.0 * MANY) {
        k += 1.0;
        p *= mean / k;
        sum += p;
    }
    return k;
}
