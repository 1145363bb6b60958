/* Water as a medium: density, permittivity, and from them A and B of the activity formula. Straight-line code, used one
 * at a time and in lanes. */
#ifndef CORE_WATER_MEDIA_H
#define CORE_WATER_MEDIA_H

#include <math.h>

#include "core/base/quick.h"

/* Density in g/cm3 at 1 atm, 273 to 373 K: saturated liquid by Wagner and Pruss 2002, with their theta = 1 - T/Tc, pressed
 * from its vapor pressure (Magnus form, Alduchov and Eskridge 1996, from memory) to 1 atm. */
ALWAYS_INLINE double media_density(double T_K)
{
    static const double PER_PA = 4.6e-10, ATM_PA = 101325.0; /* compressibility, within a tenth from 0 to 100 deg C */
    double vapor_Pa = 610.94 * quick_exp(17.625 * (T_K - 273.15) / (T_K - 30.11));
    double theta = 1.0 - T_K / 647.096, third = quick_cbrt(theta), t2 = theta * theta, t4 = t2 * t2, t8 = t4 * t4;
    double t5 = t4 * theta, t14 = t8 * t4 * t2, t36 = t8 * t8 * t8 * t8 * t4;
    double pressed = 1.0 + PER_PA * (ATM_PA - vapor_Pa);
    return 0.322 * pressed * (1.0 + 1.99274064 * third + 1.09965342 * third * third - 0.510839303 * theta * third * third -
                    1.75493479 * t5 * third - 45.5170352 * t14 * third - 6.7469445e5 * t36 * third * third);
}

/* Relative permittivity at 1 atm. Bradley and Pitzer 1979, their U1 to U9 as b, c and the first factor. */
ALWAYS_INLINE double media_permittivity(double T_K)
{
    static const double PRESSURE_BAR = 1.01325;
    double c = -2.0525 + 3115.9 / (T_K - 182.89), b = -8032.5 + 4.2142e6 / T_K + 2.1417 * T_K;
    return 342.79 * quick_exp(T_K * (-5.0866e-3 + 9.469e-7 * T_K)) +
           c * quick_log_near_1((b + PRESSURE_BAR) / (b + 1000.0));
}

/* Debye and Hueckel: A in (kg/mol)^0.5 for log10, B in (kg/mol)^0.5 per angstrom. */
ALWAYS_INLINE void media_at(double T_K, double *A, double *B)
{
    static const double PI = 3.141592653589793, CHARGE_FACTOR_CM_K = 1.671008e-3;
    static const double AVOGADRO = 6.02252e23; /* of PHREEQC; today's 6.02214e23 would lower A and B by 3e-5 of their value */
    double e2 = CHARGE_FACTOR_CM_K / (media_permittivity(T_K) * T_K); /* electron charge squared over eps k T, cm */
    double per_cm = sqrt(8.0 * PI * AVOGADRO * e2 * media_density(T_K) / 1000.0);
    *B = per_cm * 1e-8;
    *A = per_cm * e2 / (2.0 * 2.302585092994046);
}

#endif
