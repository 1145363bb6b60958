/* What touches the fire and the element: skin of a rod, scale on it, a bed over it, the bottom plate of a gas tank, and
 * whether it boils and sings. */
#include "core/base/status.h"
#include "core/tank/skin.h"
#include "core/tank/water.h"

#include <math.h>

static const double ATMOSPHERE_PA = 101325.0, ZERO_C = 273.15, GRAVITY = 9.80665;
static const double ROD_M = 0.008;        /* diameter of a sheathed element; common practice, no source */
static const double BOILING_EXCESS_K = 10.0; /* Rohsenow 1952 gives 3 to 12 K for these fluxes and Csf 0.006 to 0.013 */
static const double ONSET_K = 5.0;        /* wall above boiling point where bubbles start; common practice, no source */
static const double DRY_OUT_W_M2 = 100e3; /* Lipinski-type limit of a fine bed, 50 to 300 kW/m2: order of magnitude from memory */

double tufa_tank_element_ohm(double power_W, double rated_V) { return rated_V * rated_V / power_W; }
double tufa_tank_element_W(double power_W, double rated_V, double volts)
{
    return power_W * (volts / rated_V) * (volts / rated_V);
}

/* IAPWS-IF97, region 4, backward equation: 611 Pa to 22 MPa. Coefficients from memory, checked against the three values
 * that the release prints. */
double tufa_tank_boiling_K(double gauge_Pa)
{
    static const double n[] = {0.0, 0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5,
                               -0.32325550322333e7, 0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6,
                               -0.23855557567849, 0.65017534844798e3};
    double b = pow((gauge_Pa + ATMOSPHERE_PA) / 1e6, 0.25);
    double E = b * b + n[3] * b + n[6], F = n[1] * b * b + n[4] * b + n[7], G = n[2] * b * b + n[5] * b + n[8];
    double D = 2.0 * G / (-F - sqrt(F * F - 4.0 * E * G)), h = n[10] + D;
    return 0.5 * (h - sqrt(h * h - 4.0 * (n[9] + n[10] * D)));
}

typedef enum heated { ROD, PLATE } heated;

/* Natural convection into water, properties at the film temperature: from a horizontal rod (Churchill and Chu 1975), from
 * a plate that faces up (0.15 Ra^(1/3), McAdams 1954, from memory). */
static double convection_W_m2(heated shape, double wall_K, double water_K)
{
    double film = 0.5 * (wall_K + water_K), dT = wall_K - water_K, at = fmin(film - ZERO_C, 99.0), step = 0.5;
    double rho = tufa_tank_water_kg_m3(film), cp = tufa_tank_water_J_kg_K(film), k = tufa_tank_water_W_m_K(film);
    double mu = tufa_tank_water_Pa_s(film), Pr = mu * cp / k;
    double beta = fmax((water_density(at - step) - water_density(at + step)) / (2.0 * step * rho), 1e-6);
    double Ra_per_m3 = GRAVITY * beta * dT * rho * rho * cp / (mu * k);
    if (shape == PLATE) return 0.15 * k * cbrt(Ra_per_m3) * dT;
    double Ra = Ra_per_m3 * ROD_M * ROD_M * ROD_M;
    double root = 0.60 + 0.387 * pow(Ra, 1.0 / 6.0) / pow(1.0 + pow(0.559 / Pr, 9.0 / 16.0), 8.0 / 27.0);
    return root * root * k / ROD_M * dT;
}

/* Where convection would carry the flux, or the boiling point + 10 K, whichever is cooler. */
static double surface_K(heated shape, double flux_W_m2, double water_K, double boiling_K)
{
    double lo = water_K, hi = fmax(boiling_K + BOILING_EXCESS_K, water_K);
    if (convection_W_m2(shape, hi, water_K) <= flux_W_m2) return hi;
    for (int i = 0; i < 40; i++) { /* halves 200 K to below 1e-9 K */
        double mid = 0.5 * (lo + hi);
        if (convection_W_m2(shape, mid, water_K) < flux_W_m2) lo = mid;
        else hi = mid;
    }
    return hi;
}

double scale_rise_K(double flux_W_m2, double scale_m, double scale_W_m_K)
{
    double r = 0.5 * ROD_M;
    return scale_m > 0.0 ? flux_W_m2 * r * log((r + scale_m) / r) / scale_W_m_K : 0.0;
}

tufa_tank_skin skin_of(const tufa_tank_skin_in *in)
{
    tufa_tank_skin s = {.boiling_K = tufa_tank_boiling_K(in->line_Pa)};
    double r = 0.5 * ROD_M, outside = in->element_W_m2 * r / (r + in->scale_m);
    s.surface_K = surface_K(ROD, outside, in->water_K, s.boiling_K);
    if (in->bed_cover > 0.0) { /* conduction alone cannot carry it away: the water in the bed boils around the rod */
        s.surface_K = s.boiling_K + BOILING_EXCESS_K;
        s.may_dry_out = in->bed_cover * in->element_W_m2 > DRY_OUT_W_M2;
    }
    s.sheath_K = s.surface_K + scale_rise_K(in->element_W_m2, in->scale_m, in->scale_W_m_K);
    s.noise_margin_K = s.sheath_K - s.boiling_K - ONSET_K; /* water in the pores of scale boils at the sheath */
    return s;
}

tufa_status tufa_tank_element_skin(const tufa_tank_skin_in *in, tufa_tank_skin *out)
{
    RETURN_IF(in_range("element_W_m2", in->element_W_m2, 0.0, 1e6));
    RETURN_IF(in_range("water_K", in->water_K, ZERO_C, ZERO_C + 150.0));
    RETURN_IF(in_range("line_Pa", in->line_Pa, 0.0, 2e6));
    RETURN_IF(in_range("scale_m", in->scale_m, 0.0, 0.05));
    if (in->scale_m > 0.0) RETURN_IF(in_range("scale_W_m_K", in->scale_W_m_K, 0.05, 10.0));
    RETURN_IF(in_range("bed_cover", in->bed_cover, 0.0, 1.0));
    *out = skin_of(in);
    return OK;
}

/* ---- gas ---- */

static const double GAS_SIDE_M2K_W = 0.025; /* 1/h of hot gas with radiation, h 30 to 60 W/(m2 K); common practice, no source */
static const double BOTTOM_M2 = 0.145;      /* bottom head of a 40 to 50 gal tank, 0.13 to 0.16 m2; common practice, no source */

/* The bottom takes up 1 - exp(-NTU) of the input; a bed puts its resistance behind the gas side's, and the hotter gas
 * gives the flue the same share of a larger rest. */
tufa_tank_bottom bottom_of(double clean_efficiency, double burner_W, double bed_depth_m, double bed_W_m_K,
                           double water_K, double line_Pa)
{
    double through_bottom = BOTTOM_SHARE * clean_efficiency;
    double flue_share = (clean_efficiency - through_bottom) / (1.0 - through_bottom);
    double bed_m2K_W = bed_depth_m > 0.0 ? bed_depth_m / bed_W_m_K : 0.0;
    double ntu = -log(1.0 - through_bottom) * GAS_SIDE_M2K_W / (GAS_SIDE_M2K_W + bed_m2K_W);
    double bottom = 1.0 - exp(-ntu), boiling = tufa_tank_boiling_K(line_Pa);
    double flux = bottom * burner_W / BOTTOM_M2;
    tufa_tank_bottom b = {.efficiency = bottom + (1.0 - bottom) * flue_share, .bottom_share = bottom};
    b.plate_K = fmax(surface_K(PLATE, flux, water_K, boiling), water_K + flux * bed_m2K_W);
    b.noise_margin_K = b.plate_K - boiling - ONSET_K;
    /* Boiling in the bed carries heat off, so conduction is the upper bound and the boiling point the lower. */
    b.plate_boiling_K = fmin(b.plate_K, boiling + BOILING_EXCESS_K);
    return b;
}

tufa_status tufa_tank_gas_bottom(double clean_efficiency, double burner_W, double bed_depth_m, double bed_W_m_K,
                                 double water_K, double line_Pa, tufa_tank_bottom *out)
{
    RETURN_IF(in_range("clean_efficiency", clean_efficiency, 0.1, 0.99));
    RETURN_IF(in_range("burner_W", burner_W, 0.0, 1e5));
    RETURN_IF(in_range("bed_depth_m", bed_depth_m, 0.0, 2.0));
    RETURN_IF(in_range("bed_W_m_K", bed_W_m_K, 0.1, 10.0));
    RETURN_IF(in_range("water_K", water_K, ZERO_C, ZERO_C + 150.0));
    RETURN_IF(in_range("line_Pa", line_Pa, 0.0, 2e6));
    *out = bottom_of(clean_efficiency, burner_W, bed_depth_m, bed_W_m_K, water_K, line_Pa);
    return OK;
}
