#include "tufa/base.h"

double tufa_interp(size_t n, const double *x, const double *y, double at)
{
    if (at <= x[0]) return y[0];
    if (at >= x[n - 1]) return y[n - 1];
    size_t lo = 0, hi = n - 1;
    while (hi - lo > 1) {
        size_t mid = (lo + hi) / 2;
        if (x[mid] <= at) lo = mid;
        else hi = mid;
    }
    return y[lo] + (y[hi] - y[lo]) * (at - x[lo]) / (x[hi] - x[lo]);
}
