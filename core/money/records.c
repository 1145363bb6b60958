/* What the owner's own records say of lives: heaters still in service end early (censored), heaters already old when the
 * records begin enter late (truncated). Leaving either out makes lives look too short or too long. */
#include "core/base/status.h"
#include "tufa/money.h"

#include <math.h>

static const double YEARS_MOST = 1e4, SHAPE_LO = 0.05, SHAPE_HI = 30.0, SHAPE_TOL = 1e-11, CURVE_STEP = 1e-4;
enum { SCAN = 120, CAP = 200 };

static tufa_status check(size_t n, const tufa_lived *life)
{
    RETURN_IF(in_range("n", (double)n, 1.0, 1e9));
    for (size_t i = 0; i < n; i++) {
        RETURN_IF(in_range("years", life[i].years, 1e-9, YEARS_MOST));
        RETURN_IF(in_range("entry_years", life[i].entry_years, 0.0, life[i].years));
        if (life[i].entry_years == life[i].years) return trouble(TUFA_CONFLICT, "entry_years", "a life must be seen for some time");
    }
    return OK;
}

/* The next failure after `after`, or 0 where there is none. */
static double next_failure(size_t n, const tufa_lived *life, double after)
{
    double next = 0.0;
    for (size_t i = 0; i < n; i++)
        if (life[i].failed && life[i].years > after && (next == 0.0 || life[i].years < next)) next = life[i].years;
    return next;
}

tufa_status tufa_money_product_limit(size_t n, const tufa_lived *life, tufa_limit_step *step, size_t *steps)
{
    RETURN_IF(check(n, life));
    double survival = 1.0, greenwood = 0.0;
    size_t k = 0;
    for (double t = next_failure(n, life, 0.0); t > 0.0; t = next_failure(n, life, t)) {
        size_t risk = 0, failed = 0;
        for (size_t i = 0; i < n; i++) {
            risk += life[i].entry_years < t && life[i].years >= t;
            failed += life[i].failed && life[i].years == t;
        }
        survival *= 1.0 - (double)failed / (double)risk;
        if (risk > failed) greenwood += (double)failed / ((double)risk * (double)(risk - failed));
        step[k++] = (tufa_limit_step){.years = t, .survival = survival, .sd = survival * sqrt(greenwood), .at_risk = risk, .failed = failed};
    }
    *steps = k;
    return OK;
}

tufa_status tufa_money_ends(size_t n, const tufa_lived *life, const int *end, int ends, tufa_ends_step *step, size_t *steps)
{
    RETURN_IF(check(n, life));
    RETURN_IF(in_range("ends", ends, 1, TUFA_MAX_ENDS));
    for (size_t i = 0; i < n; i++)
        if (life[i].failed) RETURN_IF(in_range("end", end[i], 0, ends - 1));
    tufa_ends_step at = {.survival = 1.0};
    size_t k = 0;
    for (double t = next_failure(n, life, 0.0); t > 0.0; t = next_failure(n, life, t)) {
        size_t count[TUFA_MAX_ENDS] = {0}, failed = 0;
        at.at_risk = 0;
        at.years = t;
        for (size_t i = 0; i < n; i++) {
            at.at_risk += life[i].entry_years < t && life[i].years >= t;
            if (!life[i].failed || life[i].years != t) continue;
            count[end[i]]++;
            failed++;
        }
        for (int e = 0; e < ends; e++) at.incidence[e] += at.survival * (double)count[e] / (double)at.at_risk;
        at.survival *= 1.0 - (double)failed / (double)at.at_risk;
        step[k++] = at;
    }
    *steps = k;
    return OK;
}

typedef struct sample {
    size_t n;
    const tufa_lived *life;
    double failures, log_sum, unit; /* of failures; ages are taken over `unit` so that powers stay small */
} sample;

static double powered(double x, double shape) { return x > 0.0 ? pow(x, shape) : 0.0; }
static double powered_log(double x, double shape) { return x > 0.0 ? pow(x, shape) * log(x) : 0.0; }

/* Exposure at a shape: sum of (t^b - e^b), and of its derivative. */
static double exposure(const sample *s, double shape, double *slope)
{
    double sum = 0.0, d = 0.0;
    for (size_t i = 0; i < s->n; i++) {
        double t = s->life[i].years / s->unit, e = s->life[i].entry_years / s->unit;
        sum += powered(t, shape) - powered(e, shape);
        d += powered_log(t, shape) - powered_log(e, shape);
    }
    *slope = d;
    return sum;
}

/* Derivative of the profile likelihood in the shape; the scale is that shape's best. */
static double score(double shape, void *ctx)
{
    sample *s = ctx;
    double slope, sum = exposure(s, shape, &slope);
    return s->failures / shape + s->log_sum - s->failures * slope / sum;
}

static double log_likelihood(const sample *s, double shape, double scale_log)
{
    double slope, sum = exposure(s, shape, &slope);
    return s->failures * (log(shape) - shape * scale_log) + (shape - 1.0) * s->log_sum - sum * exp(-shape * scale_log);
}

static double best_scale_log(const sample *s, double shape)
{
    double slope, sum = exposure(s, shape, &slope);
    return log(sum / s->failures) / shape;
}

/* Every fall of the score through 0 is a peak; the highest is kept. */
static tufa_status find_shape(sample *s, double *shape)
{
    double best = -HUGE_VAL, before_at = SHAPE_LO, before = score(before_at, s);
    for (int k = 1; k <= SCAN; k++) {
        double at = SHAPE_LO * pow(SHAPE_HI / SHAPE_LO, (double)k / SCAN), now = score(at, s), peak;
        if (before > 0.0 && now <= 0.0) {
            RETURN_IF(tufa_root(score, s, before_at, at, SHAPE_TOL, CAP, &peak));
            double l = log_likelihood(s, peak, best_scale_log(s, peak));
            if (l > best) best = l, *shape = peak;
        }
        before_at = at;
        before = now;
    }
    if (best == -HUGE_VAL) return trouble(TUFA_SOLVE, "shape", "the records do not settle a shape between 0.05 and 30");
    return OK;
}

/* Errors from the curvature in (log shape, log scale), by differences. */
static void find_errors(const sample *s, double shape, double scale_log, tufa_weibull_fit *f)
{
    double h = CURVE_STEP, l0 = log_likelihood(s, shape, scale_log);
    double up = shape * exp(h), down = shape * exp(-h);
    double aa = (log_likelihood(s, up, scale_log) - 2.0 * l0 + log_likelihood(s, down, scale_log)) / (h * h);
    double bb = (log_likelihood(s, shape, scale_log + h) - 2.0 * l0 + log_likelihood(s, shape, scale_log - h)) / (h * h);
    double ab = (log_likelihood(s, up, scale_log + h) - log_likelihood(s, up, scale_log - h) -
                 log_likelihood(s, down, scale_log + h) + log_likelihood(s, down, scale_log - h)) / (4.0 * h * h);
    double det = aa * bb - ab * ab;
    f->log_shape_sd = sqrt(fmax(0.0, -bb / det));
    f->log_scale_sd = sqrt(fmax(0.0, -aa / det));
}

tufa_status tufa_money_weibull_fit(size_t n, const tufa_lived *life, tufa_weibull_fit *out)
{
    RETURN_IF(check(n, life));
    sample s = {.n = n, .life = life};
    double first = next_failure(n, life, 0.0);
    if (first == 0.0 || next_failure(n, life, first) == 0.0)
        return trouble(TUFA_MISSING, "failed", "two failures at different ages are needed");
    for (size_t i = 0; i < n; i++) s.unit = fmax(s.unit, life[i].years);
    for (size_t i = 0; i < n; i++) {
        if (!life[i].failed) continue;
        s.failures += 1.0;
        s.log_sum += log(life[i].years / s.unit);
    }
    double shape = 1.0;
    RETURN_IF(find_shape(&s, &shape));
    double scale_log = best_scale_log(&s, shape);
    tufa_weibull_fit f = {.life = {.shape = shape, .scale_years = s.unit * exp(scale_log)}};
    f.log_likelihood = log_likelihood(&s, shape, scale_log) - s.failures * log(s.unit); /* densities a year */
    find_errors(&s, shape, scale_log, &f);
    *out = f;
    return OK;
}
