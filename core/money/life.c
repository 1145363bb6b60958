/* Life by Weibull, failures of elements by gamma and Poisson. */
#include "core/base/status.h"
#include "tufa/money.h"

#include <math.h>

static const double YEARS_LEAST = 1e-3, YEARS_MOST = 1e3;
static const double SHAPE_LEAST = 0.2, SHAPE_MOST = 20.0;
static const double TINY = 1e-300, DIGITS = 1e-14;
enum { TERMS = 500 };

tufa_status tufa_weibull_from_mean(double mean_years, double shape, tufa_weibull *out)
{
    RETURN_IF(in_range("mean_years", mean_years, YEARS_LEAST, YEARS_MOST));
    RETURN_IF(in_range("shape", shape, SHAPE_LEAST, SHAPE_MOST));
    *out = (tufa_weibull){.shape = shape, .scale_years = mean_years / tgamma(1.0 + 1.0 / shape)};
    return OK;
}

/* Cumulative hazard. */
static double spent(const tufa_weibull *w, double age) { return age > 0.0 ? pow(age / w->scale_years, w->shape) : 0.0; }

double tufa_weibull_survival(const tufa_weibull *w, double age_years) { return exp(-spent(w, age_years)); }

double tufa_weibull_hazard(const tufa_weibull *w, double age_years)
{
    return w->shape / w->scale_years * pow(fmax(0.0, age_years) / w->scale_years, w->shape - 1.0);
}

double tufa_weibull_fails_within(const tufa_weibull *w, double age_years, double years)
{
    return -expm1(spent(w, age_years) - spent(w, age_years + fmax(0.0, years)));
}

double tufa_weibull_mean(const tufa_weibull *w) { return w->scale_years * tgamma(1.0 + 1.0 / w->shape); }

/* exp(x) times the upper incomplete gamma function of (a, x): continued fraction (Lentz) where x is large, else the
 * whole function less the series of the lower one. */
static tufa_status scaled_upper_gamma(double a, double x, double *value)
{
    if (x < a + 1.0) {
        double term = 1.0 / a, sum = term;
        int k = 1;
        for (; k < TERMS && fabs(term) > DIGITS * fabs(sum); k++) {
            term *= x / (a + k);
            sum += term;
        }
        *value = exp(x) * tgamma(a) - pow(x, a) * sum;
        return k < TERMS ? OK : trouble(TUFA_SOLVE, "remaining", NULL);
    }
    double b = x + 1.0 - a, c = 1.0 / TINY, d = 1.0 / b, h = d;
    for (int k = 1; k < TERMS; k++) {
        double an = -k * (k - a);
        b += 2.0;
        d = an * d + b;
        c = b + an / c;
        d = 1.0 / (fabs(d) < TINY ? TINY : d);
        c = fabs(c) < TINY ? TINY : c;
        h *= d * c;
        if (fabs(d * c - 1.0) > DIGITS) continue;
        *value = pow(x, a) * h;
        return OK;
    }
    return trouble(TUFA_SOLVE, "remaining", NULL);
}

tufa_status tufa_weibull_remaining(const tufa_weibull *w, double age_years, double *years)
{
    RETURN_IF(in_range("shape", w->shape, SHAPE_LEAST, SHAPE_MOST));
    RETURN_IF(in_range("scale_years", w->scale_years, YEARS_LEAST, YEARS_MOST));
    RETURN_IF(in_range("age_years", age_years, 0.0, YEARS_MOST));
    double upper;
    RETURN_IF(scaled_upper_gamma(1.0 / w->shape, spent(w, age_years), &upper));
    *years = w->scale_years / w->shape * upper;
    return OK;
}

static tufa_value assumed(double mid, double lo, double hi)
{
    return (tufa_value){.mid = mid, .lo = lo, .hi = hi, .basis = TUFA_BASIS_DEFAULT};
}

/* SRC_LIFETIMES. The published figures of the two fuels overlap too much to tell them apart. */
tufa_life tufa_life_default(tufa_fuel fuel)
{
    (void)fuel;
    return (tufa_life){.mean_years = assumed(12.0, 10.0, 14.5), .shape = assumed(2.2, 1.8, 3.0)};
}

/* Thermostats 8 to 15 years, gas controls 8 to 15, thermocouples 4 to 10: common practice, no source (SRC_LIFETIMES). */
tufa_life tufa_control_life_default(tufa_fuel fuel)
{
    (void)fuel;
    return (tufa_life){.mean_years = assumed(11.0, 8.0, 15.0), .shape = assumed(1.5, 1.0, 2.5)};
}

tufa_value tufa_bed_on_life_default(tufa_fuel fuel)
{
    return fuel == TUFA_ELECTRIC ? assumed(1.05, 1.0, 1.2) : assumed(1.2, 1.0, 1.5);
}

/* SRC_ELEMENT_LIFE: two failures in 33 years without scale; under the usual layer that is one in some 7 years. */
tufa_element_life tufa_element_life_default(void)
{
    return (tufa_element_life){.shape = 2.0, .rate_years = 33.0, .per_10K = assumed(0.2, 0.1, 0.3),
                               .buried = assumed(3.0, 1.5, 5.0)};
}

tufa_element_life tufa_element_life_update(tufa_element_life prior, double failures, double exposure_years)
{
    prior.shape += fmax(0.0, failures);
    prior.rate_years += fmax(0.0, exposure_years);
    return prior;
}

/* Scale cannot shorten life without end: water boils in its pores and carries heat off. Four times is judgement. */
static const double MOST_FACTOR = 4.0;

double tufa_element_failures_year(double base_year, double per_10K, double scale_rise_K)
{
    return base_year * fmin(MOST_FACTOR, exp(per_10K * fmax(0.0, scale_rise_K) / 10.0));
}
