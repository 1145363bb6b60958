/* Life of a tank from what is published and what the owner's own records add, on a grid: few records move it little, many take it
 * over, and what they leave open stays open. */
#include "core/base/spread.h"
#include "core/base/status.h"
#include "tufa/money.h"

#include <math.h>

static const double MEAN_LO = 2.0, MEAN_HI = 60.0, SHAPE_LO = 0.6, SHAPE_HI = 9.0;
static const double LEAST_SD = 0.05; /* of a mean or shape said exactly: the grid is no finer */
static const double YEARS_MOST = 1e4;

static double even(double lo, double hi, int k, int n) { return lo * pow(hi / lo, (k + 0.5) / n); }

/* Density in the log of a split log-normal; each half holds half. */
static double density(const spread *s, double x)
{
    double off = log(x / s->mid), sd = fmax(LEAST_SD, s->wide ? (off < 0.0 ? s->below : s->above) : 0.0), z = off / sd;
    return exp(-0.5 * z * z) / sd;
}

/* All that the lives say at one shape: powers of ages over `unit`. */
typedef struct told {
    double failures, troubled, log_sum, clean, bad; /* failures in all and in trouble; exposure without and with trouble */
} told;

static double powered(double x, double shape) { return x > 0.0 ? pow(x, shape) : 0.0; }

static told tell(size_t n, const tufa_lived *life, const double *trouble, double unit, double shape)
{
    told t = {0};
    for (size_t i = 0; i < n; i++) {
        double from = life[i].entry_years, to = life[i].years, turn = trouble ? fmax(trouble[i], from) : HUGE_VAL;
        double begin = powered(from / unit, shape), end = powered(to / unit, shape);
        double middle = turn < to ? powered(turn / unit, shape) : end;
        t.clean += middle - begin;
        t.bad += end - middle;
        if (!life[i].failed) continue;
        t.failures += 1.0;
        t.troubled += turn < to;
        t.log_sum += log(to / unit);
    }
    return t;
}

static tufa_status check(const tufa_life *prior, tufa_value bed, size_t n, const tufa_lived *life)
{
    RETURN_IF(in_range("mean_years", prior->mean_years.mid, MEAN_LO, MEAN_HI));
    RETURN_IF(in_range("shape", prior->shape.mid, SHAPE_LO, SHAPE_HI));
    RETURN_IF(in_range("bed_ratio", bed.mid, 0.1, 20.0));
    RETURN_IF(in_range("n", (double)n, 0.0, 1e9));
    for (size_t i = 0; i < n; i++) {
        RETURN_IF(in_range("years", life[i].years, 1e-9, YEARS_MOST));
        RETURN_IF(in_range("entry_years", life[i].entry_years, 0.0, life[i].years));
    }
    return OK;
}

static void lay_out(tufa_value bed, tufa_life_grid *g)
{
    for (int m = 0; m < TUFA_LIFE_MEANS; m++) g->mean_years[m] = even(MEAN_LO, MEAN_HI, m, TUFA_LIFE_MEANS);
    for (int s = 0; s < TUFA_LIFE_SHAPES; s++) g->shape[s] = even(SHAPE_LO, SHAPE_HI, s, TUFA_LIFE_SHAPES);
    for (int b = 0; b < TUFA_LIFE_BEDS; b++) g->bed_ratio[b] = tufa_value_at(bed, (b + 0.5) / TUFA_LIFE_BEDS); /* of even weight */
}

/* ln of prior times likelihood in every cell. */
static void weigh(const tufa_life *prior, size_t n, const tufa_lived *life, const double *trouble, double unit, tufa_life_grid *g)
{
    spread mean = spread_of(prior->mean_years), shape = spread_of(prior->shape);
    for (int s = 0; s < TUFA_LIFE_SHAPES; s++) {
        double k = g->shape[s], middle = tgamma(1.0 + 1.0 / k), at_shape = log(fmax(1e-300, density(&shape, k)));
        told t = tell(n, life, trouble, unit, k);
        for (int m = 0; m < TUFA_LIFE_MEANS; m++) {
            double scale_log = log(g->mean_years[m] / middle / unit);
            double base = at_shape + log(fmax(1e-300, density(&mean, g->mean_years[m]))) +
                          t.failures * (log(k) - k * scale_log) + (k - 1.0) * t.log_sum;
            for (int b = 0; b < TUFA_LIFE_BEDS; b++)
                g->weight[(m * TUFA_LIFE_SHAPES + s) * TUFA_LIFE_BEDS + b] =
                    base + t.troubled * log(g->bed_ratio[b]) - exp(-k * scale_log) * (t.clean + g->bed_ratio[b] * t.bad);
        }
        g->failures = (size_t)t.failures;
    }
}

static void add_up(tufa_life_grid *g)
{
    for (int m = 0; m < TUFA_LIFE_MEANS; m++) {
        g->of_mean[m] = 0.0;
        for (int s = 0; s < TUFA_LIFE_SHAPES; s++) {
            double sum = 0.0;
            for (int b = 0; b < TUFA_LIFE_BEDS; b++) sum += g->weight[(m * TUFA_LIFE_SHAPES + s) * TUFA_LIFE_BEDS + b];
            g->of_cell[m * TUFA_LIFE_SHAPES + s] = sum;
            g->of_mean[m] += sum;
        }
    }
}

tufa_status tufa_life_learn(const tufa_life *prior, tufa_value bed, size_t n, const tufa_lived *life, const double *trouble_years,
                            tufa_life_grid *out)
{
    enum { CELLS = TUFA_LIFE_MEANS * TUFA_LIFE_SHAPES * TUFA_LIFE_BEDS };
    RETURN_IF(check(prior, bed, n, life));
    double unit = 1.0, most = -HUGE_VAL, sum = 0.0;
    for (size_t i = 0; i < n; i++) unit = fmax(unit, life[i].years);
    out->lives = n;
    lay_out(bed, out);
    weigh(prior, n, life, trouble_years, unit, out);
    for (int c = 0; c < CELLS; c++) most = fmax(most, out->weight[c]);
    for (int c = 0; c < CELLS; c++) sum += out->weight[c] = exp(out->weight[c] - most);
    for (int c = 0; c < CELLS; c++) out->weight[c] /= sum;
    add_up(out);
    return OK;
}

/* ---- reading it ---- */

/* Where the running sum of n weights passes u of their sum: a place in cells, 0 to n. */
static double place(int n, const double *w, double u)
{
    double sum = 0.0, below = 0.0;
    for (int i = 0; i < n; i++) sum += w[i];
    for (int i = 0; i < n; i++) {
        if (w[i] > 0.0 && below + w[i] >= u * sum) return i + (u * sum - below) / w[i];
        below += w[i];
    }
    return n;
}

static double mean_at(double cells) { return MEAN_LO * pow(MEAN_HI / MEAN_LO, cells / TUFA_LIFE_MEANS); }
static double shape_at(double cells) { return SHAPE_LO * pow(SHAPE_HI / SHAPE_LO, cells / TUFA_LIFE_SHAPES); }

tufa_life tufa_life_from(const tufa_life_grid *g)
{
    const double *m = g->of_mean;
    double s[TUFA_LIFE_SHAPES] = {0};
    for (int c = 0; c < TUFA_LIFE_MEANS * TUFA_LIFE_SHAPES; c++) s[c % TUFA_LIFE_SHAPES] += g->of_cell[c];
    tufa_basis basis = g->lives ? TUFA_BASIS_LEARNED : TUFA_BASIS_DEFAULT;
    return (tufa_life){.mean_years = {mean_at(place(TUFA_LIFE_MEANS, m, 0.5)), mean_at(place(TUFA_LIFE_MEANS, m, 0.1)),
                                      mean_at(place(TUFA_LIFE_MEANS, m, 0.9)), basis},
                       .shape = {shape_at(place(TUFA_LIFE_SHAPES, s, 0.5)), shape_at(place(TUFA_LIFE_SHAPES, s, 0.1)),
                                 shape_at(place(TUFA_LIFE_SHAPES, s, 0.9)), basis},
                       .grid = g};
}

static double ratio_at(const tufa_life_grid *g, const double *w, double u)
{
    double at = fmin(TUFA_LIFE_BEDS - 1.0, fmax(0.0, place(TUFA_LIFE_BEDS, w, u) - 0.5));
    int i = at >= TUFA_LIFE_BEDS - 1.0 ? TUFA_LIFE_BEDS - 2 : (int)at;
    return g->bed_ratio[i] + (at - i) * (g->bed_ratio[i + 1] - g->bed_ratio[i]);
}

tufa_value tufa_life_bed_ratio(const tufa_life_grid *g)
{
    double w[TUFA_LIFE_BEDS] = {0};
    for (int c = 0; c < TUFA_LIFE_MEANS * TUFA_LIFE_SHAPES; c++)
        for (int b = 0; b < TUFA_LIFE_BEDS; b++) w[b] += g->weight[c * TUFA_LIFE_BEDS + b];
    return (tufa_value){ratio_at(g, w, 0.5), ratio_at(g, w, 0.1), ratio_at(g, w, 0.9), g->lives ? TUFA_BASIS_LEARNED : TUFA_BASIS_DEFAULT};
}

tufa_value tufa_life_survival(const tufa_life_grid *g, double age)
{
    enum { BINS = 400 };
    double bin[BINS] = {0};
    for (int m = 0; m < TUFA_LIFE_MEANS; m++)
        for (int s = 0; s < TUFA_LIFE_SHAPES; s++) {
            double weight = g->of_cell[m * TUFA_LIFE_SHAPES + s], scale = g->mean_years[m] / tgamma(1.0 + 1.0 / g->shape[s]);
            int k = (int)(BINS * exp(-pow(fmax(0.0, age) / scale, g->shape[s])));
            bin[k < BINS ? k : BINS - 1] += weight;
        }
    return (tufa_value){place(BINS, bin, 0.5) / BINS, place(BINS, bin, 0.1) / BINS, place(BINS, bin, 0.9) / BINS, TUFA_BASIS_LEARNED};
}

static double within(double x, double lo, double hi) { return fmin(hi, fmax(lo, x)); }

tufa_weibull tufa_life_at(const tufa_life *life, double u_mean, double u_shape)
{
    double mean, shape;
    if (life->grid) {
        double cell = place(TUFA_LIFE_MEANS, life->grid->of_mean, u_mean);
        int m = cell < TUFA_LIFE_MEANS ? (int)cell : TUFA_LIFE_MEANS - 1;
        mean = mean_at(cell);
        shape = shape_at(place(TUFA_LIFE_SHAPES, life->grid->of_cell + m * TUFA_LIFE_SHAPES, u_shape));
    } else {
        mean = within(tufa_value_at(life->mean_years, u_mean), MEAN_LO, 100.0);
        shape = within(tufa_value_at(life->shape, u_shape), 0.8, 8.0);
    }
    return (tufa_weibull){.shape = shape, .scale_years = mean / tgamma(1.0 + 1.0 / shape)};
}
