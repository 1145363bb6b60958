/* eps_ref as weights on cells that are equal in its logarithm. */
#include "core/deposit/constants.h"
#include "tufa/deposit.h"

#include <math.h>

static const double LOG_LO = -5.8091429903140277; /* ln TUFA_EPS_LO */

static double log_step(void) { return -LOG_LO / TUFA_EPS_POINTS; } /* ln TUFA_EPS_HI is 0 */

static double log_point(double cell) { return LOG_LO + (cell + 0.5) * log_step(); }

double tufa_eps_point(size_t i) { return exp(log_point((double)i)); }

tufa_eps tufa_eps_lognormal(double median, double log_sd)
{
    tufa_eps e = {.rests_on = TUFA_RESTS_ON_PRIOR};
    double sum = 0.0, mean = log(median), below = tufa_normal_cdf((LOG_LO - mean) / log_sd);
    for (int i = 0; i < TUFA_EPS_POINTS; i++) {
        double up_to = tufa_normal_cdf((LOG_LO + (i + 1) * log_step() - mean) / log_sd);
        e.weight[i] = up_to - below;
        sum += e.weight[i];
        below = up_to;
    }
    for (int i = 0; i < TUFA_EPS_POINTS; i++) e.weight[i] /= sum;
    return e;
}

tufa_eps tufa_eps_prior(tufa_fuel fuel)
{
    return tufa_eps_lognormal(fuel == TUFA_ELECTRIC ? D(EPS_ELECTRIC) : D(EPS_GAS), D(EPS_LOG_SD));
}

double tufa_eps_at(const tufa_eps *e, double u)
{
    double below = 0.0;
    for (int i = 0; i < TUFA_EPS_POINTS; i++) {
        double w = e->weight[i];
        if (w > 0.0 && below + w >= u) return exp(log_point((double)i - 0.5 + fmax(0.0, u - below) / w));
        below += w;
    }
    return TUFA_EPS_HI;
}

tufa_value tufa_eps_value(const tufa_eps *e)
{
    return (tufa_value){.mid = tufa_eps_at(e, 0.5), .lo = tufa_eps_at(e, 0.1), .hi = tufa_eps_at(e, 0.9),
                        .basis = e->rests_on == TUFA_RESTS_ON_PRIOR ? TUFA_BASIS_DEFAULT : TUFA_BASIS_LEARNED};
}

void tufa_eps_moments(const tufa_eps *e, double *log_mean, double *log_sd)
{
    double mean = 0.0, square = 0.0;
    for (int i = 0; i < TUFA_EPS_POINTS; i++) {
        double x = log_point((double)i);
        mean += e->weight[i] * x;
        square += e->weight[i] * x * x;
    }
    *log_mean = mean;
    *log_sd = sqrt(fmax(0.0, square - mean * mean));
}
