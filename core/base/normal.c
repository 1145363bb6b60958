#include "tufa/base.h"

#include <math.h>

static const double SQRT_HALF = 0.70710678118654752440, SQRT_2_PI = 2.50662827463100050242;

double tufa_normal_cdf(double z) { return 0.5 * erfc(-z * SQRT_HALF); }

static double central(double p)
{
    double q = p - 0.5, r = q * q;
    double num = (((((-3.969683028665376e+01 * r + 2.209460984245205e+02) * r - 2.759285104469687e+02) * r +
                    1.383577518672690e+02) * r - 3.066479806614716e+01) * r + 2.506628277459239e+00) * q;
    double den = ((((-5.447609879822406e+01 * r + 1.615858368580409e+02) * r - 1.556989798598866e+02) * r +
                   6.680131188771972e+01) * r - 1.328068155288572e+01) * r + 1.0;
    return num / den;
}

static double lower_tail(double p)
{
    double q = sqrt(-2.0 * log(p));
    double num = ((((-7.784894002430293e-03 * q - 3.223964580411365e-01) * q - 2.400758277161838e+00) * q -
                   2.549732539343734e+00) * q + 4.374664141464968e+00) * q + 2.938163982698783e+00;
    double den = (((7.784695709041462e-03 * q + 3.224671290700398e-01) * q + 2.445134137142996e+00) * q +
                  3.754408661907416e+00) * q + 1.0;
    return num / den;
}

double tufa_normal_quick(double p)
{
    static const double P_LOW = 0.02425;
    return p < P_LOW ? lower_tail(p) : p > 1.0 - P_LOW ? -lower_tail(1.0 - p) : central(p);
}

double tufa_normal_quantile(double p)
{
    double x = tufa_normal_quick(p);
    double e = tufa_normal_cdf(x) - p, u = e * SQRT_2_PI * exp(0.5 * x * x); /* one step of Halley's method */
    return x - u / (1.0 + 0.5 * x * u);
}
