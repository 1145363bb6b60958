/* Water by degrees C, for the inside of the stage; tufa_tank_water_... are the public ones. */
#ifndef CORE_TANK_WATER_H
#define CORE_TANK_WATER_H

#include "tufa/tank.h"

double water_density(double t_C);
double water_heat_capacity(double t_C);
double water_heat(double t_C);

/* The state's temperatures are heat content over one reference heat capacity, so that energy is a plain sum. They
 * agree with degrees C at the inlet temperature and at the setpoint, and within 0.06 K between 5 and 65 C. */
double theta_from_C(const tufa_tank_model *m, double t_C);
double C_from_theta(const tufa_tank_model *m, double theta);

/* Temperature and density (over the model's own) from a table each 5 K, within 0.001 K and 0.02 kg/m3: for every step. */
static inline double between(const double *table, double theta)
{
    double at = theta * (1.0 / TUFA_TANK_C_STEP_K);
    int i = at < 0.0 ? 0 : at >= TUFA_TANK_C_POINTS - 1 ? TUFA_TANK_C_POINTS - 2 : (int)at;
    return table[i] + (at - i) * (table[i + 1] - table[i]);
}
static inline double quick_C(const tufa_tank_model *m, double theta) { return between(m->C_at, theta); }
static inline double quick_density(const tufa_tank_model *m, double theta) { return between(m->density_at, theta); }

#endif
