/* Elementary functions as straight-line code, so that loops over lanes become vector instructions. */
#ifndef CORE_BASE_QUICK_H
#define CORE_BASE_QUICK_H

#include <stdint.h>
#include <string.h>

#include "core/base/clones.h"

/* e^x, relative error below 1e-14; held constant beyond +-700. Range reduction by ln 2 in two parts and the Taylor
 * series to the 11th power, whose remainder is 6e-15 at ln 2 / 2. NaN stays NaN. */
ALWAYS_INLINE double quick_exp(double x)
{
    static const double LOG2_E = 1.4426950408889634, LN2_HI = 0x1.62e42feep-1, LN2_LO = 0x1.a39ef35793c76p-33;
    static const double ROUND = 0x1.8p52; /* adding it leaves the nearest integer in the low bits */
    x = x < -700.0 ? -700.0 : x;
    x = x > 700.0 ? 700.0 : x;
    double shifted = x * LOG2_E + ROUND, n = shifted - ROUND;
    double r = (x - n * LN2_HI) - n * LN2_LO;
    double p = 1.0 / 39916800.0;
    p = p * r + 1.0 / 3628800.0;
    p = p * r + 1.0 / 362880.0;
    p = p * r + 1.0 / 40320.0;
    p = p * r + 1.0 / 5040.0;
    p = p * r + 1.0 / 720.0;
    p = p * r + 1.0 / 120.0;
    p = p * r + 1.0 / 24.0;
    p = p * r + 1.0 / 6.0;
    p = p * r + 0.5;
    p = p * r + 1.0;
    p = p * r + 1.0;
    uint64_t bits, exponent;
    memcpy(&bits, &p, sizeof bits);
    memcpy(&exponent, &shifted, sizeof exponent);
    bits += exponent << 52;
    memcpy(&p, &bits, sizeof p);
    return p;
}

/* ln x for x between 0.5 and 2: 2 atanh((x-1)/(x+1)) as a series; relative error below 1e-14 there. */
ALWAYS_INLINE double quick_log_near_1(double x)
{
    double u = (x - 1.0) / (x + 1.0), q = u * u, s = 1.0 / 27.0;
    for (int k = 25; k >= 1; k -= 2) s = s * q + 1.0 / k;
    return 2.0 * u * s;
}

/* Cube root of x between 0.3 and 1: three steps of Halley from a straight line. */
ALWAYS_INLINE double quick_cbrt(double x)
{
    double y = 0.5 + 0.52 * x;
    for (int i = 0; i < 3; i++) {
        double y3 = y * y * y;
        y = y * (y3 + 2.0 * x) / (2.0 * y3 + x);
    }
    return y;
}

#endif
