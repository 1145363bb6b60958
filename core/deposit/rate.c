/* How much of what the water can drop comes out while it stays in the tank: dc/dt = -k(T) c^n for the excess c, as a
 * plug through the tank. With Da = k c0^(n-1) t: X = 1 - (1 + (n-1) Da)^(-1/(n-1)), for n = 2 Da/(1+Da), for n = 1
 * 1 - exp(-Da). The rate constant is set by X_ref at the reference state. */
#include "core/deposit/constants.h"
#include "tufa/deposit.h"

#include <math.h>

static const double GAS_CONSTANT_J_MOL_K = 8.314462618; /* CODATA 2018 */
static const double FIRST_ORDER = 1e-6;                 /* nearer to order 1 than this the two forms agree to 1e-6 */
static const double X_MOST = 1.0 - 1e-9;                /* a share of 1 would need an endless rate */

tufa_rate_law tufa_rate_law_default(void)
{
    return (tufa_rate_law){.order = 2.0, .x_ref = D(X_REF), .activation_J_mol = D(ACTIVATION_J_MOL)};
}

static double share_out(double order, double Da)
{
    double m = order - 1.0;
    if (m < FIRST_ORDER) return -expm1(-Da);
    return -expm1(-log1p(m * Da) / m);
}

static double Da_for(double order, double share)
{
    double m = order - 1.0, stays = log1p(-fmin(share, X_MOST));
    return m < FIRST_ORDER ? -stays : expm1(-m * stays) / m;
}

static double arrhenius(double activation_J_mol, double T_K, double ref_K)
{
    return exp(-activation_J_mol / GAS_CONSTANT_J_MOL_K * (1.0 / T_K - 1.0 / ref_K));
}

double tufa_deposit_conversion(const tufa_rate_law *law, double ccpp_mg_L, double T_K, double stay_s)
{
    if (!(ccpp_mg_L > 0.0) || !(stay_s > 0.0)) return 0.0;
    double Da = Da_for(law->order, law->x_ref) * arrhenius(law->activation_J_mol, T_K, TUFA_REF_K) *
                pow(ccpp_mg_L / TUFA_REF_CCPP_MG_L, law->order - 1.0) * stay_s / TUFA_REF_STAY_S;
    return share_out(law->order, Da);
}

double tufa_deposit_kept_mg_L(double eps_ref, const tufa_rate_law *law, double ccpp_mg_L, double T_K, double stay_s)
{
    double x = tufa_deposit_conversion(law, ccpp_mg_L, T_K, stay_s);
    return x > 0.0 ? fmin(1.0, fmax(0.0, eps_ref) * x / law->x_ref) * ccpp_mg_L : 0.0;
}

double tufa_deposit_element_share(const tufa_rate_law *law, double at_rest_share, double skin_K)
{
    if (!(at_rest_share > 0.0)) return 0.0;
    if (at_rest_share >= 1.0) return 1.0;
    double odds = at_rest_share / (1.0 - at_rest_share) * arrhenius(law->activation_J_mol, skin_K, TUFA_SKIN_REF_K);
    return odds / (1.0 + odds);
}

double tufa_ccpp_at(const tufa_ccpp *c, size_t draw, double T_K)
{
    return tufa_interp(c->temps, c->T_K, c->mg_L + (draw % c->draws) * c->temps, T_K);
}
