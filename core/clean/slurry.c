/* Solids kept off the floor of a tank and off the wall of a hose. */
#include "core/base/status.h"
#include "core/clean/physics.h"

#define MOST_LAMINAR 400.0 /* Re sqrt(f) at the end of laminar flow, 8 sqrt(Re), rounded */

/* Zwietering 1958, Chem. Eng. Sci. 8:244. */
double clean_just_suspended(double S, double nu, double d, double drho_rho, double X, double D)
{
    return S * pow(nu, 0.1) * pow(d, 0.2) * pow(GRAVITY_M_S2 * drho_rho, 0.45) * pow(X, 0.13) / pow(D, 0.85);
}

tufa_status tufa_clean_just_suspended(double S, double nu_m2_s, double d_m, double drho_rho, double X, double D_m,
                                      double *n_per_s)
{
    RETURN_IF(in_range("S", S, 0.5, 50.0));
    RETURN_IF(in_range("nu_m2_s", nu_m2_s, 1e-8, 1e-2));
    RETURN_IF(in_range("d_m", d_m, 1e-6, 0.1));
    RETURN_IF(in_range("drho_rho", drho_rho, 1e-3, 20.0));
    RETURN_IF(in_range("X", X, 1e-3, 200.0));
    RETURN_IF(in_range("D_m", D_m, 1e-3, 20.0));
    *n_per_s = clean_just_suspended(S, nu_m2_s, d_m, drho_rho, X, D_m);
    return OK;
}

/* F_L by grain size and volume share: McElvain and Cave 1972 (widely graded), Durand (closely graded), both as digitised
 * in an open print of the diagrams. The first columns of the second are inferred from its stated range. */
enum { WIDE_SIZES = 13, CLOSE_SIZES = 12, SHARES = 4 };
static const double WIDE_UM[WIDE_SIZES] = {10, 20, 40, 60, 80, 100, 200, 400, 600, 800, 1000, 2000, 3000};
static const double CLOSE_UM[CLOSE_SIZES] = {10, 20, 40, 60, 80, 100, 200, 400, 600, 800, 1000, 2000};
static const double WIDE_SHARE[SHARES] = {0.05, 0.10, 0.20, 0.30}, CLOSE_SHARE[SHARES] = {0.02, 0.05, 0.10, 0.15};
static const double WIDE[SHARES][WIDE_SIZES] = {
    {0.47, 0.59, 0.71, 0.78, 0.83, 0.86, 0.98, 1.10, 1.17, 1.23, 1.26, 1.34, 1.36},
    {0.47, 0.60, 0.72, 0.80, 0.85, 0.89, 1.01, 1.14, 1.21, 1.26, 1.29, 1.37, 1.39},
    {0.47, 0.61, 0.74, 0.82, 0.88, 0.92, 1.05, 1.19, 1.27, 1.31, 1.33, 1.39, 1.40},
    {0.47, 0.61, 0.76, 0.84, 0.90, 0.95, 1.10, 1.24, 1.31, 1.34, 1.36, 1.40, 1.40}};
static const double CLOSE[SHARES][CLOSE_SIZES] = {
    {0.10, 0.20, 0.40, 0.544, 0.632, 0.72, 0.93, 1.10, 1.17, 1.206, 1.23, 1.302},
    {0.124, 0.248, 0.496, 0.662, 0.746, 0.83, 1.08, 1.29, 1.375, 1.396, 1.40, 1.35},
    {0.14, 0.28, 0.56, 0.752, 0.856, 0.96, 1.21, 1.42, 1.465, 1.454, 1.43, 1.356},
    {0.148, 0.296, 0.592, 0.792, 0.896, 1.00, 1.27, 1.47, 1.505, 1.482, 1.45, 1.362}};

tufa_status tufa_clean_F_L(tufa_grading grading, double d_m, double volume_share, double *F_L)
{
    RETURN_IF(in_range("d_m", d_m, 1e-6, 0.1));
    RETURN_IF(in_range("volume_share", volume_share, 0.0, 0.5));
    double by_share[SHARES], um = d_m * 1e6;
    switch (grading) {
    case TUFA_GRADED_COARSE: *F_L = F_L_COARSE; return OK;
    case TUFA_GRADED_WIDE:
        for (int i = 0; i < SHARES; i++) by_share[i] = tufa_interp(WIDE_SIZES, WIDE_UM, WIDE[i], um);
        *F_L = tufa_interp(SHARES, WIDE_SHARE, by_share, volume_share);
        return OK;
    case TUFA_GRADED_CLOSE:
        for (int i = 0; i < SHARES; i++) by_share[i] = tufa_interp(CLOSE_SIZES, CLOSE_UM, CLOSE[i], um);
        *F_L = tufa_interp(SHARES, CLOSE_SHARE, by_share, volume_share);
        return OK;
    }
    return trouble(TUFA_UNKNOWN, "grading", "there is no such grading");
}

/* Wall Shields number theta = a / ds^b with ds = d u* / nu gives u*. The velocity follows from the friction factor at that
 * velocity by Colebrook, which is explicit once u* is known: Re sqrt(f) = sqrt(8) u* D / nu. */
double clean_small_pipe_m_s(double D, double e, double d, double R, double nu, double a, double b)
{
    double u_star = pow(R * GRAVITY_M_S2 * d * a * pow(nu / d, b), 1.0 / (2.0 + b)), root8 = sqrt(8.0);
    double Re_root_f = root8 * u_star * D / nu;
    return root8 * u_star * -2.0 * log10(e / (3.7 * D) + 2.51 / fmax(Re_root_f, MOST_LAMINAR));
}

tufa_status tufa_clean_deposition(double D, double e, double d, double rho_p, double rho, double nu, double F_L,
                                  tufa_deposition *out)
{
    RETURN_IF(in_range("bore_m", D, 1e-3, 5.0));
    RETURN_IF(in_range("roughness_m", e, 0.0, 0.05 * D));
    RETURN_IF(in_range("d_m", d, 1e-6, D));
    RETURN_IF(in_range("rho_kg_m3", rho, 100.0, 5000.0));
    RETURN_IF(in_range("rho_p_kg_m3", rho_p, 1.001 * rho, 3e4));
    RETURN_IF(in_range("nu_m2_s", nu, 1e-8, 1e-3));
    RETURN_IF(in_range("F_L", F_L, 0.01, 3.0));
    double R = rho_p / rho - 1.0;
    tufa_deposition v = {.F_L = F_L, .durand_m_s = F_L * sqrt(2.0 * GRAVITY_M_S2 * D * R)};
    v.moves_m_s = clean_small_pipe_m_s(D, e, d, R, nu, MOVES_A, MOVES_B);
    v.dispersed_m_s = clean_small_pipe_m_s(D, e, d, R, nu, DISPERSED_A, DISPERSED_B);
    v.design_m_s = DESIGN_MARGIN * fmax(v.durand_m_s, v.dispersed_m_s);
    *out = v;
    return OK;
}
