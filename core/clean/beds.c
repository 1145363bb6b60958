/* Beds of grains: flow through them, what lifts them, arches over a hole, and a plug in a tube. */
#include "core/base/status.h"
#include "core/clean/physics.h"

static tufa_status bed_ok(double d, double e, double rho, double mu)
{
    RETURN_IF(in_range("d_m", d, 1e-7, 0.2));
    RETURN_IF(in_range("voidage", e, 0.05, 0.95));
    RETURN_IF(in_range("rho_kg_m3", rho, 0.1, 5000.0));
    return in_range("mu_Pa_s", mu, 1e-6, 100.0);
}

tufa_status tufa_clean_ergun(double d, double e, double v, double rho, double mu, tufa_bed_gradient *out)
{
    RETURN_IF(bed_ok(d, e, rho, mu));
    RETURN_IF(in_range("v_m_s", v, 1e-9, 100.0));
    double inertia = rho * v * v * (1.0 - e) / (e * e * e * d), Re = rho * v * d / (mu * (1.0 - e));
    out->ergun_Pa_m = inertia * (150.0 / Re + 1.75);
    out->blake_kozeny_Pa_m = inertia * 150.0 / Re;
    out->carman_Pa_m = inertia * (180.0 / Re + 2.87 / pow(Re, 0.1));
    out->kta_Pa_m = inertia * (160.0 / Re + 3.0 / pow(Re, 0.1));
    double Re_i = 0.45 / ((1.0 - e) * sqrt(e)) * rho * v * d / mu; /* Idelchik's own Reynolds number */
    out->idelchik_Pa_m = 0.765 / pow(e, 4.2) * (30.0 / Re_i + 3.0 / pow(Re_i, 0.7) + 0.3) * rho * v * v / d;
    return OK;
}

tufa_status tufa_clean_bed_velocity(double d, double e, double gradient, double rho, double mu, int laminar, double *v)
{
    RETURN_IF(bed_ok(d, e, rho, mu));
    RETURN_IF(in_range("gradient_Pa_m", gradient, 0.0, 1e9));
    double a = laminar ? 0.0 : 1.75 * rho * (1.0 - e) / (e * e * e * d);
    double b = 150.0 * mu * (1.0 - e) * (1.0 - e) / (e * e * e * d * d);
    *v = 2.0 * gradient / (b + sqrt(b * b + 4.0 * a * gradient));
    return OK;
}

tufa_status tufa_clean_fluidise(double d, double rho_p, double rho, double mu, double voidage, double sphericity,
                                tufa_fluidise *out)
{
    RETURN_IF(in_range("sphericity", sphericity, 0.1, 1.0));
    double e = voidage > 0.0 ? voidage : cbrt(0.071 / sphericity); /* Wen and Yu's voidage */
    RETURN_IF(bed_ok(d, e, rho, mu));
    RETURN_IF(in_range("rho_p_kg_m3", rho_p, rho + 1e-6, 3e4));
    tufa_fluidise f = {.voidage_mf = e, .weight_Pa_m = (1.0 - e) * (rho_p - rho) * GRAVITY_M_S2};
    RETURN_IF(tufa_clean_bed_velocity(d * sphericity, e, f.weight_Pa_m, rho, mu, 0, &f.v_mf_m_s));
    double Ar = d * d * d * (rho_p - rho) * rho * GRAVITY_M_S2 / (mu * mu);
    f.wen_yu_m_s = (sqrt(33.7 * 33.7 + 0.0408 * Ar) - 33.7) * mu / (rho * d);
    *out = f;
    return OK;
}

/* Zuriguel et al. 2005, constants from memory. Dilute feed: a clog needs about R + 1 grains at once (assumption). */
double clean_arch_grains(double R, double c)
{
    if (R > ARCH_R_NONE) return INFINITY;
    double s = 9900.0 / pow(4.94 - fmax(R, 1.0), 6.9);
    if (R < 1.0) return 0.0;
    return c > 0.0 && c < 0.6 ? s * pow(0.6 / c, R - 1.0) : s;
}

tufa_status tufa_clean_arch(double bore, double d, double rho_p, double c, tufa_arch *out)
{
    RETURN_IF(in_range("bore_m", bore, 1e-4, 1.0));
    RETURN_IF(in_range("d_m", d, 1e-6, 1.0));
    RETURN_IF(in_range("rho_p_kg_m3", rho_p, 100.0, 3e4));
    RETURN_IF(in_range("volume_share", c, 0.0, 1.0));
    out->R = bore / d;
    out->grains = clean_arch_grains(out->R, c);
    out->mass_kg = out->grains * PI / 6.0 * d * d * d * rho_p;
    return OK;
}

tufa_status tufa_clean_vacuum_plug(double D, double L, double rho_b, double mu_K, double *dp_Pa)
{
    RETURN_IF(in_range("bore_m", D, 1e-3, 1.0));
    RETURN_IF(in_range("length_m", L, 0.0, 100.0 * D));
    RETURN_IF(in_range("rho_b_kg_m3", rho_b, 10.0, 1e4));
    RETURN_IF(in_range("mu_K", mu_K, 1e-3, 2.0));
    *dp_Pa = rho_b * GRAVITY_M_S2 * D / (4.0 * mu_K) * expm1(4.0 * mu_K * L / D);
    return OK;
}

tufa_status tufa_clean_vacuum_plug_length(double D, double dp_Pa, double rho_b, double mu_K, double *L)
{
    RETURN_IF(in_range("bore_m", D, 1e-3, 1.0));
    RETURN_IF(in_range("dp_Pa", dp_Pa, 0.0, 1e7));
    RETURN_IF(in_range("rho_b_kg_m3", rho_b, 10.0, 1e4));
    RETURN_IF(in_range("mu_K", mu_K, 1e-3, 2.0));
    *L = D / (4.0 * mu_K) * log1p(4.0 * mu_K * dp_Pa / (rho_b * GRAVITY_M_S2 * D));
    return OK;
}
