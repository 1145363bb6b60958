/* One grain: how it falls and what moves it. */
#include "core/base/status.h"
#include "core/clean/physics.h"

static tufa_status grain_ok(double d_m, double R, double nu)
{
    RETURN_IF(in_range("d_m", d_m, 1e-7, 0.2));
    RETURN_IF(in_range("R", R, 1e-3, 20.0));
    return in_range("nu_m2_s", nu, 1e-8, 1e-3);
}

tufa_status tufa_clean_settling(double d_m, double R, double nu_m2_s, double C1, double C2, double *w_m_s)
{
    RETURN_IF(grain_ok(d_m, R, nu_m2_s));
    RETURN_IF(in_range("C1", C1, 1.0, 100.0));
    RETURN_IF(in_range("C2", C2, 0.01, 10.0));
    *w_m_s = settle(d_m, R, nu_m2_s, C1, C2);
    return OK;
}

/* Barati, Neyshabouri, Ahmadi 2014, Powder Technol. 257:11 (the form for Re to 1e6). */
static double barati(double Re)
{
    return 5.4856e9 * tanh(4.3774e-9 / Re) + 0.0709 * tanh(700.6574 / Re) + 0.3894 * tanh(74.1539 / Re) -
           0.1198 * tanh(7429.0843 / Re) + 1.7174 * tanh(9.9851 / (Re + 2.3384)) + 0.4744;
}

tufa_status tufa_clean_drag(tufa_drag_law law, double Re, double sphericity, double S, double *C_D)
{
    RETURN_IF(in_range("Re", Re, 1e-6, 1e6));
    switch (law) {
    case TUFA_DRAG_STOKES: *C_D = 24.0 / Re; return OK;
    case TUFA_DRAG_BARATI: *C_D = barati(Re); return OK;
    case TUFA_DRAG_CLIFT_GAUVIN:
        *C_D = 24.0 / Re * (1.0 + 0.152 * pow(Re, 0.677)) + 0.417 / (1.0 + 5070.0 * pow(Re, -0.94));
        return OK;
    case TUFA_DRAG_SONG_XU:
        RETURN_IF(in_range("sphericity", sphericity, 0.05, 1.0));
        RETURN_IF(in_range("S", S, 0.01, 10.0));
        *C_D = 24.0 / (Re * pow(sphericity, 0.65) * pow(S, 0.3)) * pow(1.0 + 0.35 * Re, 0.44);
        return OK;
    }
    return trouble(TUFA_UNKNOWN, "law", "there is no such drag law");
}

typedef struct fall {
    double d, R, nu;
} fall;

/* Weight over drag, less 1: above 0 where the sphere still speeds up. */
static double weight_over_drag(double w, void *ctx)
{
    const fall *s = ctx;
    double Re = w * s->d / s->nu;
    return 4.0 / 3.0 * GRAVITY_M_S2 * s->R * s->d / (barati(Re) * w * w) - 1.0;
}

tufa_status tufa_clean_sphere_fall(double d_m, double R, double nu_m2_s, double *w_m_s)
{
    RETURN_IF(grain_ok(d_m, R, nu_m2_s));
    fall s = {d_m, R, nu_m2_s};
    double slow = 1e-6 * nu_m2_s / d_m, fast = 1e6 * nu_m2_s / d_m, w = 0.0;
    double most = sqrt(4.0 * GRAVITY_M_S2 * R * d_m / (3.0 * 0.05)); /* no sphere has a drag coefficient below 0.05 here */
    RETURN_IF(tufa_root(weight_over_drag, &s, slow, fmin(fast, most), 1e-12 * most, 200, &w));
    *w_m_s = w;
    return OK;
}

tufa_status tufa_clean_threshold(double d_m, double rho_p, double rho, double nu_m2_s, tufa_threshold *out)
{
    RETURN_IF(in_range("rho_kg_m3", rho, 100.0, 5000.0));
    double R = rho_p / rho - 1.0;
    RETURN_IF(grain_ok(d_m, R, nu_m2_s));
    tufa_threshold t = {.D_star = grain_star(d_m, R, nu_m2_s)};
    t.theta = shields(t.D_star);
    t.tau_Pa = t.theta * R * rho * GRAVITY_M_S2 * d_m;
    t.u_star_m_s = sqrt(t.tau_Pa / rho);
    /* Brownlie 1981 as in Parker's e-book, chapter 6. */
    double x = pow(sqrt(R * GRAVITY_M_S2 * d_m) * d_m / nu_m2_s, -0.6);
    t.theta_brownlie = 0.22 * x + 0.06 * pow(10.0, -7.7 * x);
    *out = t;
    return OK;
}
