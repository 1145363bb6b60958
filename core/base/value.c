#include "tufa/base.h"

#include <math.h>

static const double Z_90 = 1.2815515655446004; /* standard normal quantile at 0.9 */

double tufa_value_at(tufa_value v, double u)
{
    if (!(v.hi > v.lo)) return v.mid;
    double z = tufa_normal_quantile(u), edge = z < 0.0 ? v.lo : v.hi, share = fabs(z) / Z_90;
    if (v.lo > 0.0) return v.mid * pow(edge / v.mid, share);
    return v.mid + (edge - v.mid) * share;
}
