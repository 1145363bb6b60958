/* A fair trial of a treatment in his own houses: what it could show. Log ratios of weights, taken as normal. */
#include "core/base/status.h"
#include "tufa/money.h"

#include <math.h>

static const double BY_CHANCE = 0.025, SEEN = 0.8; /* one side of 1 in 20; the usual power. Common practice */

static tufa_status check(const tufa_fair_trial *t)
{
    RETURN_IF(in_range("pairs", t->pairs, 1.0, 1000.0));
    RETURN_IF(in_range("log_sd_between", t->log_sd_between, 0.0, 5.0));
    RETURN_IF(in_range("log_sd_season", t->log_sd_season, 0.0, 5.0));
    return in_range("log_sd_weighed", t->log_sd_weighed, 0.0, 5.0);
}

/* One period: two houses differ by what lies between them, and each weight by its season and its weighing. Two periods with the
 * sides changed: what lies between falls out, the rest is averaged over two ratios. */
tufa_status tufa_fair_trial_log_sd(const tufa_fair_trial *t, double *log_sd)
{
    RETURN_IF(check(t));
    double one = 2.0 * (t->log_sd_season * t->log_sd_season + t->log_sd_weighed * t->log_sd_weighed);
    double pair = t->swap ? one / 2.0 : one + 2.0 * t->log_sd_between * t->log_sd_between;
    *log_sd = sqrt(pair / t->pairs);
    return OK;
}

tufa_status tufa_fair_trial_least_seen(const tufa_fair_trial *t, double *share)
{
    double sd;
    RETURN_IF(tufa_fair_trial_log_sd(t, &sd));
    *share = -expm1(-(tufa_normal_quantile(1.0 - BY_CHANCE) + tufa_normal_quantile(SEEN)) * sd);
    return OK;
}

tufa_status tufa_fair_trial_power(const tufa_fair_trial *t, double share, double *power)
{
    double sd;
    RETURN_IF(tufa_fair_trial_log_sd(t, &sd));
    if (!(share >= 0.0 && share < 1.0)) return in_range("share", share, 0.0, 0.999999);
    double effect = -log1p(-share), needed = tufa_normal_quantile(1.0 - BY_CHANCE) * sd;
    *power = sd > 0.0 ? tufa_normal_cdf((effect - needed) / sd) : share > 0.0 ? 1.0 : BY_CHANCE;
    return OK;
}
