/* Liquid water at one atmosphere. Polynomials in x = T/100 C put through values computed with IAPWS-95 (density, heat
 * capacity), the IAPWS 2008 viscosity and the IAPWS 2011 conductivity, each 5 C from 0.01 to 99.9 C. Above 100 C, where a
 * tank under pressure can get, the value at 100 C is kept. */
#include "core/tank/water.h"

#include <math.h>

/* Against the table: 0.007 kg/m3. */
double water_density(double t)
{
    double x = t < 100.0 ? 0.01 * t : 1.0;
    return ((((10.7384 * x - 39.7203) * x + 64.7902) * x - 83.5284) * x + 6.22401) * x + 999.849;
}

static const double CP[] = {4219.2, -323.653, 984.569, -1457.34, 1131.28, -338.537};
enum { CP_TERMS = sizeof CP / sizeof CP[0] };

/* Against the table: 0.27 J/(kg K). */
double water_heat_capacity(double t)
{
    double x = t < 100.0 ? 0.01 * t : 1.0, sum = 0.0;
    for (int i = CP_TERMS; i-- > 0;) sum = sum * x + CP[i];
    return sum;
}

/* The integral of the heat capacity from 0 C. */
double water_heat(double t)
{
    double x = t < 100.0 ? 0.01 * t : 1.0, sum = 0.0;
    for (int i = CP_TERMS; i-- > 0;) sum = sum * x + CP[i] / (i + 1);
    sum *= 100.0 * x;
    return t > 100.0 ? sum + (t - 100.0) * water_heat_capacity(100.0) : sum;
}

double tufa_tank_water_kg_m3(double T_K) { return water_density(T_K - 273.15); }
double tufa_tank_water_J_kg_K(double T_K) { return water_heat_capacity(T_K - 273.15); }
double tufa_tank_water_J_kg(double T_K) { return water_heat(T_K - 273.15); }

double tufa_tank_water_W_m_K(double T_K)
{
    double x = fmin(0.01 * (T_K - 273.15), 1.0);
    return (((-0.0421384 * x + 0.123444) * x - 0.207973) * x + 0.247967) * x + 0.555814;
}

double tufa_tank_water_Pa_s(double T_K)
{
    double x = fmin(0.01 * (T_K - 273.15), 1.0);
    return exp(((((-0.534687 * x + 1.93652) * x - 3.08631) * x + 3.28938) * x - 3.45506) * x - 6.32512);
}
