/* The relations without range checks, for the loops of the stage. Symbols as in the sources named above each. */
#ifndef CORE_CLEAN_PHYSICS_H
#define CORE_CLEAN_PHYSICS_H

#include <math.h>

#include "tufa/clean.h"

#define GRAVITY_M_S2 9.80665 /* standard gravity, exact by definition */
#define PI 3.14159265358979323846
#define RE_LAMINAR 2300.0 /* pipes are turbulent above, as every source of the friction forms has it */

static inline double disc_area(double d) { return 0.25 * PI * d * d; }

/* Ferguson and Church 2004, J. Sed. Res. 74:933. */
static inline double settle(double d, double R, double nu, double C1, double C2)
{
    return R * GRAVITY_M_S2 * d * d / (C1 * nu + sqrt(0.75 * C2 * R * GRAVITY_M_S2 * d * d * d));
}

/* Soulsby 1997, threshold by Shields number. */
static inline double shields(double D_star) { return 0.30 / (1.0 + 1.2 * D_star) + 0.055 * (1.0 - exp(-0.020 * D_star)); }
static inline double grain_star(double d, double R, double nu) { return cbrt(GRAVITY_M_S2 * R / (nu * nu)) * d; }
static inline double tau_critical(double d, double R, double rho, double nu)
{
    return shields(grain_star(d, R, nu)) * R * rho * GRAVITY_M_S2 * d;
}

/* Swamee and Jain 1976; 64/Re below RE_LAMINAR. */
static inline double darcy_f(double Re, double e_D)
{
    if (Re < RE_LAMINAR) return Re > 0.0 ? 64.0 / Re : 0.0;
    double l = log10(e_D / 3.7 + 5.74 / pow(Re, 0.9));
    return 0.25 / (l * l);
}

double clean_colebrook(double Re, double e_D);
/* Line flow with everything in range; flow 0 where the pressure does not reach the end. */
void clean_line_flow(const tufa_line *line, tufa_line_flow *out);
double clean_arch_grains(double R, double volume_share);
double clean_just_suspended(double S, double nu, double d, double drho_rho, double X, double D);
/* Velocity in the hose at which the wall shear moves (a 0.42, b 0.49) or disperses (1.12, 0.37) grains of size d. */
double clean_small_pipe_m_s(double bore, double e, double d, double R, double nu, double a, double b);

#define MOVES_A 0.42 /* Soentvedt 1995, Schulkes 2002, as in an open package with test values */
#define MOVES_B 0.49
#define DISPERSED_A 1.12
#define DISPERSED_B 0.37
#define DESIGN_MARGIN 1.3     /* assumption: Durand's pipes were wider than a hose */
#define F_L_COARSE 1.34       /* Durand and Condolios 1952, coarse grains */
#define ARCH_R_NONE 4.5       /* beyond it the power law is not used: assumption */
#define STOKES_C1 18.0
#define SAND_C2 1.0

#endif
