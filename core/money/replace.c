/* When to replace: by age against failure, by known wear, by even yearly cost. */
#include "core/base/status.h"
#include "tufa/money.h"

#include <math.h>

static const double USD_MOST = 1e12, FLAT = 1.01, NEVER_YEARS = 1e6, AGE_TOL = 1e-10;
static const double LATEST_SCALES = 60.0; /* by then nothing is left */
enum { CAP = 300 };

/* Area under survival up to an age: the whole mean less what comes after it. */
static tufa_status lived_until(const tufa_weibull *w, double age, double *years)
{
    double left;
    RETURN_IF(tufa_weibull_remaining(w, age, &left));
    *years = tufa_weibull_mean(w) - tufa_weibull_survival(w, age) * left;
    return OK;
}

tufa_status tufa_money_age_cost(const tufa_weibull *w, double planned, double failure, double age, double *usd_year)
{
    double lived;
    RETURN_IF(in_range("planned_usd", planned, 0.0, USD_MOST));
    RETURN_IF(in_range("failure_usd", failure, 0.0, USD_MOST));
    RETURN_IF(in_range("years", age, 1e-6, 999.0));
    RETURN_IF(lived_until(w, age, &lived));
    double R = tufa_weibull_survival(w, age);
    *usd_year = (planned * R + failure * (1.0 - R)) / lived;
    return OK;
}

typedef struct search {
    const tufa_weibull *w;
    double planned, failure, target_usd_year;
    int failed;
} search;

/* The derivative of the cost rate vanishes where h(t) integral R + R = cf / (cf - cp). */
static double balance(double age, void *ctx)
{
    search *s = ctx;
    double lived;
    if (lived_until(s->w, age, &lived).code != TUFA_OK) s->failed = 1, lived = 0.0;
    return tufa_weibull_hazard(s->w, age) * lived + tufa_weibull_survival(s->w, age) - s->failure / (s->failure - s->planned);
}

static double above_target(double age, void *ctx)
{
    search *s = ctx;
    double usd;
    if (tufa_money_age_cost(s->w, s->planned, s->failure, age, &usd).code != TUFA_OK) s->failed = 1, usd = 0.0;
    return usd - s->target_usd_year;
}

static tufa_status find_flat(search *s, double latest, tufa_age_replacement *r)
{
    s->target_usd_year = FLAT * r->usd_year;
    RETURN_IF(tufa_root(above_target, s, 1e-3 * r->years, r->years, AGE_TOL, CAP, &r->flat_lo_years));
    if (r->to_failure_usd_year <= s->target_usd_year) r->flat_hi_years = NEVER_YEARS;
    else RETURN_IF(tufa_root(above_target, s, r->years, latest, AGE_TOL, CAP, &r->flat_hi_years));
    return OK;
}

tufa_status tufa_money_age_replacement(const tufa_weibull *w, double planned, double failure, tufa_age_replacement *out)
{
    double remaining;
    RETURN_IF(in_range("planned_usd", planned, 1e-9, USD_MOST));
    RETURN_IF(in_range("failure_usd", failure, 1e-9, USD_MOST));
    RETURN_IF(tufa_weibull_remaining(w, 0.0, &remaining));
    tufa_age_replacement r = {.to_failure_usd_year = failure / remaining, .flat_hi_years = NEVER_YEARS};
    double latest = fmin(998.0, w->scale_years * pow(LATEST_SCALES, 1.0 / w->shape));
    search s = {.w = w, .planned = planned, .failure = failure};
    r.usd_year = r.to_failure_usd_year;
    if (w->shape > 1.0 && failure > planned && balance(latest, &s) > 0.0) {
        RETURN_IF(tufa_root(balance, &s, 1e-6 * w->scale_years, latest, AGE_TOL, CAP, &r.years));
        RETURN_IF(tufa_money_age_cost(w, planned, failure, r.years, &r.usd_year));
        r.finite = 1;
        RETURN_IF(find_flat(&s, latest, &r));
    }
    if (s.failed) return trouble(TUFA_SOLVE, "life", NULL);
    *out = r;
    return OK;
}

tufa_status tufa_money_average_cost(double replace, size_t n, const double *wear, double *average, size_t *best)
{
    RETURN_IF(in_range("replace_usd", replace, 0.0, USD_MOST));
    RETURN_IF(in_range("n", (double)n, 1.0, 1e9));
    double sum = replace, least = HUGE_VAL;
    for (size_t k = 0; k < n; k++) {
        RETURN_IF(in_range("wear_usd", wear[k], -USD_MOST, USD_MOST));
        sum += wear[k];
        double mean = sum / (double)(k + 1);
        if (average) average[k] = mean;
        if (mean >= least) continue;
        least = mean;
        *best = k + 1;
    }
    return OK;
}

static double recovery(double rate, double years) { return rate == 0.0 ? 1.0 / years : rate / -expm1(-years * log1p(rate)); }

tufa_status tufa_money_equivalent_annual(double usd, double rate, double years, double *usd_year)
{
    RETURN_IF(in_range("usd", usd, -USD_MOST, USD_MOST));
    RETURN_IF(in_range("rate", rate, -0.5, 10.0));
    RETURN_IF(in_range("years", years, 1e-3, 1e4));
    *usd_year = usd * recovery(rate, years);
    return OK;
}

tufa_status tufa_money_economic_life(double usd, double rate, size_t n, const double *running, double *usd_year, size_t *best)
{
    RETURN_IF(in_range("usd", usd, -USD_MOST, USD_MOST));
    RETURN_IF(in_range("rate", rate, -0.5, 10.0));
    RETURN_IF(in_range("n", (double)n, 1.0, 1e9));
    double present = usd, least = HUGE_VAL;
    size_t at = 1;
    for (size_t k = 1; k <= n; k++) {
        RETURN_IF(in_range("running_usd", running[k - 1], -USD_MOST, USD_MOST));
        present += running[k - 1] * pow(1.0 + rate, -(double)k);
        double even = present * recovery(rate, (double)k);
        if (even >= least) continue;
        least = even;
        at = k;
    }
    *usd_year = least;
    *best = at;
    return OK;
}

/* ---- discounted ---- */

enum { SIMPSON = 4000 };
static const double GOLDEN = 0.6180339887498949, GOLDEN_TOL = 1e-9;

/* Integral of e^(-rate t) S(t) up to an age, by Simpson's rule in t = age u^3, which takes the corner at 0 out. */
static double discounted_life(const tufa_weibull *w, double rate, double age)
{
    double sum = 0.0, h = 1.0 / SIMPSON;
    for (int k = 0; k <= SIMPSON; k++) {
        double u = h * k, t = age * u * u * u, f = exp(-rate * t) * tufa_weibull_survival(w, t) * 3.0 * u * u;
        sum += f * (k == 0 || k == SIMPSON ? 1.0 : k % 2 ? 4.0 : 2.0);
    }
    return age * sum * h / 3.0;
}

/* The chance of failure before the age, discounted, is 1 - e^-rt S(t) - rate x integral (by parts). */
static double discounted_cost(const tufa_weibull *w, double planned, double failure, double rate, double age)
{
    double stands = exp(-rate * age) * tufa_weibull_survival(w, age), life = rate * discounted_life(w, rate, age);
    return (planned * stands + failure * (1.0 - stands - life)) / life;
}

static double latest_age(const tufa_weibull *w) { return fmin(998.0, w->scale_years * pow(LATEST_SCALES, 1.0 / w->shape)); }

tufa_status tufa_money_age_discounted_cost(const tufa_weibull *w, double planned, double failure, double rate, double age,
                                           double *present_usd)
{
    double remaining;
    RETURN_IF(in_range("planned_usd", planned, 0.0, USD_MOST));
    RETURN_IF(in_range("failure_usd", failure, 0.0, USD_MOST));
    RETURN_IF(in_range("rate", rate, 1e-6, 10.0));
    RETURN_IF(in_range("years", age, 1e-6, 999.0));
    RETURN_IF(tufa_weibull_remaining(w, 0.0, &remaining)); /* checks the life */
    *present_usd = discounted_cost(w, planned, failure, log1p(rate), age);
    return OK;
}

tufa_status tufa_money_age_discounted(const tufa_weibull *w, double planned, double failure, double rate, tufa_age_discounted *out)
{
    double latest = latest_age(w), lo = 1e-3 * w->scale_years, hi = latest, usd;
    RETURN_IF(tufa_money_age_discounted_cost(w, planned, failure, rate, latest, &usd));
    tufa_age_discounted r = {.present_usd = usd, .to_failure_usd = usd};
    double r_log = log1p(rate);
    for (int k = 0; k < CAP && hi - lo > GOLDEN_TOL * latest; k++) {
        double a = hi - GOLDEN * (hi - lo), b = lo + GOLDEN * (hi - lo);
        if (discounted_cost(w, planned, failure, r_log, a) < discounted_cost(w, planned, failure, r_log, b)) hi = b;
        else lo = a;
    }
    double best = discounted_cost(w, planned, failure, r_log, 0.5 * (lo + hi));
    if (best < usd * (1.0 - 1e-9) && hi < 0.99 * latest) r = (tufa_age_discounted){1, 0.5 * (lo + hi), best, usd};
    *out = r;
    return OK;
}
