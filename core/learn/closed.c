/* Posteriors in closed form. */
#include "core/base/status.h"
#include "tufa/learn.h"

#include <math.h>

static const double MOST = 1e12;

tufa_status tufa_learn_gamma_poisson(double shape, double rate, double events, double exposure, tufa_gamma *out)
{
    RETURN_IF(in_range("shape", shape, 0.0, MOST));
    RETURN_IF(in_range("rate", rate, 0.0, MOST));
    RETURN_IF(in_range("events", events, 0.0, MOST));
    RETURN_IF(in_range("exposure", exposure, 0.0, MOST));
    tufa_gamma g = {.shape = shape + events, .rate = rate + exposure};
    if (!(g.shape > 0.0) || !(g.rate > 0.0)) return trouble(TUFA_MISSING, "exposure", "neither a prior nor anything seen");
    g.mean = g.shape / g.rate;
    g.sd = sqrt(g.shape) / g.rate;
    *out = g;
    return OK;
}

tufa_status tufa_learn_shrink(size_t n, const double *estimate, const double *sd, double between_sd, double prior_mean,
                              double prior_sd, tufa_shrink *out, double *shrunk, double *shrunk_sd)
{
    RETURN_IF(in_range("n", (double)n, 1.0, 1e9));
    RETURN_IF(in_range("between_sd", between_sd, 0.0, MOST));
    RETURN_IF(in_range("prior_sd", prior_sd, 0.0, MOST));
    RETURN_IF(in_range("prior_mean", prior_mean, -MOST, MOST));
    double weight = prior_sd > 0.0 ? 1.0 / (prior_sd * prior_sd) : 0.0, sum = weight * prior_mean;
    for (size_t j = 0; j < n; j++) {
        RETURN_IF(in_range("sd", sd[j], 1e-12, MOST));
        RETURN_IF(in_range("estimate", estimate[j], -MOST, MOST));
        double w = 1.0 / (sd[j] * sd[j] + between_sd * between_sd);
        weight += w;
        sum += w * estimate[j];
    }
    tufa_shrink common = {.mean = sum / weight, .sd = sqrt(1.0 / weight)};
    for (size_t j = 0; j < n; j++) {
        double b = between_sd * between_sd, own = b / (b + sd[j] * sd[j]); /* share of its own estimate that stays */
        if (shrunk) shrunk[j] = common.mean + own * (estimate[j] - common.mean);
        if (shrunk_sd) shrunk_sd[j] = sqrt(own * sd[j] * sd[j] + (1.0 - own) * (1.0 - own) * common.sd * common.sd);
    }
    *out = common;
    return OK;
}
