#include "core/fault/spread.h"

#include <math.h>

static const double FLAT = 0.02;            /* misread dials and swapped ranges: judgement */
static const double ODD_CATEGORY = 0.005;   /* the same for a category: judgement */
static const double SQRT_2_PI = 2.50662827463100050242;

double spread_entered(const tufa_test *t, double x) { return t->log_scale && x < t->least ? t->least : x; }

int spread_categories(const tufa_test *t)
{
    int n = 0;
    while (n < TUFA_MAX_CATEGORIES && t->categories[n]) n++;
    return n;
}

static double part_density(const spread_part *p, double x)
{
    if (p->log && x <= 0.0) return 0.0;
    double z = ((p->log ? log(x / p->mid) : x - p->mid)) / p->wide;
    return exp(-0.5 * z * z) / (SQRT_2_PI * p->wide * (p->log ? x : 1.0));
}

static double part_below(const spread_part *p, double x)
{
    if (p->log && x <= 0.0) return 0.0;
    return tufa_normal_cdf((p->log ? log(x / p->mid) : x - p->mid) / p->wide);
}

double spread_flat(const tufa_test *t, double x)
{
    if (!t->log_scale) return FLAT / (t->hi - t->lo);
    return FLAT / (x * log(t->hi / t->least));
}

double spread_density(const spread *s, const tufa_test *t, const tufa_reading *r)
{
    if (r->category >= 0) return (1.0 - ODD_CATEGORY) * s->share[r->category] + ODD_CATEGORY / spread_categories(t);
    double x = spread_entered(t, r->value), sum = 0.0;
    for (int i = 0; i < s->parts; i++) sum += s->part[i].weight * part_density(&s->part[i], x);
    return (1.0 - FLAT) * sum + spread_flat(t, x);
}

double spread_below(const spread *s, const tufa_test *t, double x)
{
    double lo = t->log_scale ? t->least : t->lo, sum = 0.0, flat = 0.0;
    for (int i = 0; i < s->parts; i++) sum += s->part[i].weight * part_below(&s->part[i], x);
    if (x >= t->hi) flat = 1.0;
    else if (x > lo) flat = t->log_scale ? log(x / lo) / log(t->hi / lo) : (x - lo) / (t->hi - lo);
    return (1.0 - FLAT) * sum + FLAT * flat;
}

typedef struct quantile_in {
    const spread *s;
    const tufa_test *t;
    double p;
} quantile_in;

static double below_less_p(double z, void *ctx)
{
    const quantile_in *q = ctx;
    return spread_below(q->s, q->t, q->t->log_scale ? exp(z) : z) - q->p;
}

double spread_quantile(const spread *s, const tufa_test *t, double p)
{
    quantile_in q = {s, t, p};
    double lo = t->log_scale ? log(t->least) : t->lo, hi = t->log_scale ? log(t->hi) : t->hi, z;
    if (below_less_p(lo, &q) >= 0.0) return t->log_scale ? t->least : t->lo;
    if (below_less_p(hi, &q) <= 0.0) return t->hi;
    if (tufa_root(below_less_p, &q, lo, hi, 1e-7 * (hi - lo), 200, &z).code != TUFA_OK) return t->hi;
    return t->log_scale ? exp(z) : z;
}

void spread_mix(const spread *a, const spread *b, spread *out)
{
    const spread *both[2] = {a, b};
    spread s = {0};
    for (int k = 0; k < 2; k++) {
        for (int i = 0; i < both[k]->parts && s.parts < MAX_PARTS; i++) {
            s.part[s.parts] = both[k]->part[i];
            s.part[s.parts++].weight *= 0.5;
        }
        for (int i = 0; i < TUFA_MAX_CATEGORIES; i++) s.share[i] += 0.5 * both[k]->share[i];
    }
    *out = s;
}
