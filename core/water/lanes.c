/* Speciation, heating and calcite balance by Newton steps in three unknowns. Given ln h, ln CO3 and ln SO4 (activities),
 * the free amount of every cation is an explicit share of its total, and all balances and their derivatives are sums over
 * species. The ionic strength is carried along and moved with the predicted change of each step. */
#include "core/water/lanes.h"

#include <math.h>

#include "core/base/quick.h"
#include "core/water/media.h"

#define LN10 2.302585092994046
static const double LONGEST_LOG_STEP = 2.0, LEAST_STRENGTH = 1e-7;
/* Where balance with the solid lies between here and there, as shares of ln of the excess: found by trying, on tap waters. */
static const double H_SHARE = 0.63, C_SHARE = 0.75;
enum { MOST_PASSES = 60 };

/* What is solved: carbonate and sulfate at a given pH; all three at given totals; the same with calcite. */
enum mode { AT_PH, CLOSED, WITH_SOLID };

/* Moles of H+, CO3-2, SO4-2 (0, 1, 2) bound in a set of species, their derivatives by the three logarithms (symmetric),
 * and q, the sum of charge squared times amount, with its derivatives. Written out term by term: loops in here would keep
 * the compiler from turning lanes into vectors. */
typedef struct sums {
    double n0, n1, n2, m00, m10, m11, m20, m21, m22, q, q0, q1, q2;
} sums;

ALWAYS_INLINE void tally(sums *t, double amount, const int z, const int nu0, const int nu1, const int nu2)
{
    if (nu0) t->n0 += nu0 * amount;
    if (nu1) t->n1 += nu1 * amount;
    if (nu2) t->n2 += nu2 * amount;
    if (nu0) t->m00 += nu0 * nu0 * amount;
    if (nu0 && nu1) t->m10 += nu0 * nu1 * amount;
    if (nu1) t->m11 += nu1 * nu1 * amount;
    if (nu0 && nu2) t->m20 += nu0 * nu2 * amount;
    if (nu1 && nu2) t->m21 += nu1 * nu2 * amount;
    if (nu2) t->m22 += nu2 * nu2 * amount;
    if (z) t->q += z * z * amount;
    if (z && nu0) t->q0 += z * z * nu0 * amount;
    if (z && nu1) t->q1 += z * z * nu1 * amount;
    if (z && nu2) t->q2 += z * z * nu2 * amount;
}

ALWAYS_INLINE double with_x(double ln, const int nu0, const int nu1, const int nu2, double x0, double x1, double x2)
{
    if (nu0) ln += nu0 * x0;
    if (nu1) ln += nu1 * x1;
    if (nu2) ln += nu2 * x2;
    return ln;
}

/* Adds a cation of total T, whose complexes relative to the free ion are in g, S = 1 + their sum. */
ALWAYS_INLINE void add_cation(sums *t, const sums *g, double S, double T, const int z)
{
    double inv = 1.0 / S, F = T * inv, all = z * z + g->q, s0 = g->n0 * inv, s1 = g->n1 * inv, s2 = g->n2 * inv;
    t->q += F * all;
    t->n0 += F * g->n0;
    t->n1 += F * g->n1;
    t->n2 += F * g->n2;
    t->q0 += F * (g->q0 - all * s0);
    t->q1 += F * (g->q1 - all * s1);
    t->q2 += F * (g->q2 - all * s2);
    t->m00 += F * (g->m00 - s0 * g->n0);
    t->m10 += F * (g->m10 - s1 * g->n0);
    t->m11 += F * (g->m11 - s1 * g->n1);
    t->m20 += F * (g->m20 - s2 * g->n0);
    t->m21 += F * (g->m21 - s2 * g->n1);
    t->m22 += F * (g->m22 - s2 * g->n2);
}

/* Rows a, b, c times d = right-hand side r, by Cramer's rule. */
typedef struct triple {
    double v0, v1, v2;
} triple;

ALWAYS_INLINE triple solve_3(triple a, triple b, triple c, triple r)
{
    double k0 = b.v1 * c.v2 - b.v2 * c.v1, k1 = b.v2 * c.v0 - b.v0 * c.v2, k2 = b.v0 * c.v1 - b.v1 * c.v0;
    double inv = 1.0 / (a.v0 * k0 + a.v1 * k1 + a.v2 * k2);
    return (triple){inv * (r.v0 * k0 + r.v1 * (a.v2 * c.v1 - a.v1 * c.v2) + r.v2 * (a.v1 * b.v2 - a.v2 * b.v1)),
                    inv * (r.v0 * k1 + r.v1 * (a.v0 * c.v2 - a.v2 * c.v0) + r.v2 * (a.v2 * b.v0 - a.v0 * b.v2)),
                    inv * (r.v0 * k2 + r.v1 * (a.v1 * c.v0 - a.v0 * c.v1) + r.v2 * (a.v0 * b.v1 - a.v1 * b.v0))};
}

/* A sqrt(I) / (1 + B a sqrt(I)) for four ion sizes with one division, which costs as much as a dozen products. */
#define SIZE_TERMS(p, q, r, s) \
    { \
        double dp_ = 1.0 + b->size[SIZE_##p][l] * root, dq_ = 1.0 + b->size[SIZE_##q][l] * root, \
               dr_ = 1.0 + b->size[SIZE_##r][l] * root, ds_ = 1.0 + b->size[SIZE_##s][l] * root, pq_ = dp_ * dq_, \
               rs_ = dr_ * ds_, inv_ = a_root / (pq_ * rs_), inv_pq_ = inv_ * rs_, inv_rs_ = inv_ * pq_; \
        size_##p = inv_pq_ * dq_; \
        size_##q = inv_pq_ * dp_; \
        size_##r = inv_rs_ * ds_; \
        size_##s = inv_rs_ * dr_; \
    }
/* ln of the activity coefficient. */
#define LN_GAMMA(id, z, sz) ((z) ? b->linear[SP_##id][l] * I - ((z) * (z)) * size_##sz : b->linear[SP_##id][l] * I)
#define PLAIN(id, z, h, c, s, sz) \
    tally(&t, quick_exp(with_x(b->ln_k[SP_##id][l], h, c, s, x0, x1, x2) - LN_GAMMA(id, z, sz)), z, h, c, s);
#define BOUND(id, z, h, c, s, sz) \
    r = quick_exp(with_x(b->ln_k[SP_##id][l], h, c, s, x0, x1, x2) + ln_gamma - LN_GAMMA(id, z, sz)); \
    S += r; \
    tally(&g, r, z, h, c, s);
#define BEGIN_CATION(id, z, sz) \
    g = (sums){0}; \
    S = 1.0; \
    ln_gamma = LN_GAMMA(id, z, sz);

/* One Newton step of lane l. */
ALWAYS_INLINE void pass(lanes *b, const int l, const enum mode mode, double tol)
{
    double x0 = b->x[0][l], x1 = b->x[1][l], x2 = b->x[2][l], I = b->I[l], root = sqrt(I), a_root = b->A[l] * root;
    double size_H, size_OH, size_CA, size_MG, size_NA, size_CO3, size_CAOH, size_CAHCO3, size_MGOH, size_MGHCO3, size_NASO4,
        size_HSO4;
    SIZE_TERMS(H, OH, CA, MG)
    SIZE_TERMS(NA, CO3, CAOH, CAHCO3)
    SIZE_TERMS(MGOH, MGHCO3, NASO4, HSO4)
    sums t = {0}, g;
    double S, ln_gamma, r;
    PLAIN_SPECIES(PLAIN)
    BEGIN_CATION(MG, 2, MG)
    MG_SPECIES(BOUND)
    add_cation(&t, &g, S, b->total[MG][l], 2);
    BEGIN_CATION(NA, 1, NA)
    NA_SPECIES(BOUND)
    add_cation(&t, &g, S, b->total[NA][l], 1);
    BEGIN_CATION(K, 1, OH)
    K_SPECIES(BOUND)
    add_cation(&t, &g, S, b->total[K][l], 1);
    BEGIN_CATION(CA, 2, CA)
    CA_SPECIES(BOUND)

    triple d;
    double F, ca_total = b->total[CA][l], ca_0 = 0.0, ca_1 = 0.0, ca_2 = 0.0; /* calcium and its derivatives */
    if (mode != WITH_SOLID) {
        add_cation(&t, &g, S, ca_total, 2);
        F = ca_total / S;
    }
    if (mode == AT_PH) {
        double p = 2.0 * t.m11 - t.m10, q = 2.0 * t.m21 - t.m20, a = b->alk[l] - (2.0 * t.n1 - t.n0), s = b->so4[l] - t.n2;
        double inv = 1.0 / (p * t.m22 - q * t.m21);
        d = (triple){0.0, inv * (a * t.m22 - q * s), inv * (p * s - t.m21 * a)};
    } else if (mode == CLOSED) {
        d = solve_3((triple){t.m00, t.m10, t.m20}, (triple){t.m10, t.m11, t.m21}, (triple){t.m20, t.m21, t.m22},
                    (triple){b->h_total[l] - t.n0, b->c_total[l] - t.n1, b->so4[l] - t.n2});
    } else { /* free calcium follows from carbonate; what calcium leaves, carbonate leaves with it */
        F = quick_exp(b->ln_ksp[l] - x1 - ln_gamma);
        double all = 4.0 + g.q, T = F * S, c0 = F * g.n0, c1 = F * g.n1, c2 = F * g.n2;
        ca_0 = c0;
        ca_1 = c1 - T;
        ca_2 = c2;
        t.q += F * all;
        t.q0 += F * g.q0;
        t.q1 += F * (g.q1 - all);
        t.q2 += F * g.q2;
        d = solve_3((triple){t.m00 + F * g.m00, t.m10 + F * g.m10 - c0, t.m20 + F * g.m20},
                    (triple){t.m10 + F * g.m10 - ca_0, t.m11 + F * g.m11 - c1 - ca_1, t.m21 + F * g.m21 - ca_2},
                    (triple){t.m20 + F * g.m20, t.m21 + F * g.m21 - c2, t.m22 + F * g.m22},
                    (triple){b->h_total[l] - t.n0 - c0, (b->c_total[l] - ca_total) - (t.n1 + c1 - T), b->so4[l] - t.n2 - c2});
        ca_total = T;
    }

    double d0 = fabs(d.v0), d1 = fabs(d.v1), d2 = fabs(d.v2), most = d0 > d1 ? d0 : d1;
    most = d2 > most ? d2 : most;
    double scale = most > LONGEST_LOG_STEP ? LONGEST_LOG_STEP / most : 1.0;
    d0 = scale * d.v0;
    d1 = scale * d.v1;
    d2 = scale * d.v2;
    double now = 0.5 * (t.q + t.q0 * d0 + t.q1 * d1 + t.q2 * d2) + b->inert[l];
    now = now < LEAST_STRENGTH ? LEAST_STRENGTH : now;
    now = now > 3.0 * I + 1e-3 ? 3.0 * I + 1e-3 : now; /* a wild step must not carry the ionic strength away */

    /* A lane that has settled moves no more: every change is multiplied by 1 or 0, which no compiler turns into a branch. */
    double bound = mode == CLOSED ? (g.n0 * d0 + g.n1 * d1 + g.n2 * d2) / S : 0.0, go = b->active[l];
    b->x[0][l] = x0 + go * d0;
    b->x[1][l] = x1 + go * d1;
    b->x[2][l] = x2 + go * d2;
    b->I[l] = I + go * (now - I);
    if (mode == CLOSED) {
        b->free_ca[l] += go * (F - b->free_ca[l]);
        b->ln_gamma_ca[l] += go * (ln_gamma - bound - b->ln_gamma_ca[l]);
    }
    if (mode == WITH_SOLID) b->ca_total[l] += go * (ca_total + ca_0 * d0 + ca_1 * d1 + ca_2 * d2 - b->ca_total[l]);
    if (mode == AT_PH) b->c_total[l] += go * (t.n1 + t.m11 * d1 + t.m21 * d2 - b->c_total[l]);
    double drift = fabs(now - I), most_drift = 0.1 * tol * now; /* its lag is what is left last, so it is held tighter */
    double still = drift <= most_drift ? 0.0 : go; /* a non-number is not <= and goes on to the cap */
    b->active[l] = most <= tol ? still : go;
}

ALWAYS_INLINE void iterate(lanes *b, const int width, const enum mode mode, double tol)
{
    for (int l = 0; l < width; l++) b->active[l] = 1.0;
    for (int i = 0; i < MOST_PASSES; i++) {
        for (int l = 0; l < width; l++) pass(b, l, mode, tol);
        double left = 0.0;
        for (int l = 0; l < width; l++) left += b->active[l];
        if (left == 0.0) break;
    }
    for (int l = 0; l < width; l++) b->unsettled[l] = b->unsettled[l] + b->active[l];
}

/* Constants of `set` at T_K, in all lanes. */
ALWAYS_INLINE void set_temperature(lanes *b, const int width, const constants_set *set, enum phase solid, const double *T_K)
{
    static const double MID_K = 300.0, LOG10_MID = 2.4771212547196624;
    double B[LANES], inverse[LANES], log10_T[LANES], A10[LANES];
    for (int l = 0; l < width; l++) {
        media_at(T_K[l], &A10[l], &B[l]);
        b->A[l] = LN10 * A10[l];
        inverse[l] = 1.0 / T_K[l];
        log10_T[l] = LOG10_MID + quick_log_near_1(T_K[l] / MID_K) / LN10;
    }
#define LN_FIT(a, l) \
    (LN10 * ((a)[0] + (a)[1] * T_K[l] + (a)[2] * inverse[l] + (a)[3] * log10_T[l] + (a)[4] * inverse[l] * inverse[l] + \
             (a)[5] * T_K[l] * T_K[l]))
    for (int k = 0; k < SIZE_COUNT; k++) {
        double angstrom = set->size[k].angstrom, davies = angstrom == 0.0 ? 1.0 : 0.0;
        for (int l = 0; l < width; l++) b->size[k][l] = B[l] * angstrom + davies;
    }
    for (int s = 0; s < SPECIES_COUNT; s++) {
        const dissolved_row *row = &set->dissolved[s];
        double z = species_charge[s], davies = row->davies ? 0.3 * z * z : 0.0, b_ln = LN10 * row->b;
        double none = row->absent ? -1000.0 : 0.0;
        for (int l = 0; l < width; l++) {
            b->linear[s][l] = b_ln + davies * b->A[l];
            b->ln_k[s][l] = LN_FIT(row->a, l) + none;
        }
    }
    for (int s = 0; s < SPECIES_COUNT; s++)
        if (set->dissolved[s].of_hco3)
            for (int l = 0; l < width; l++) b->ln_k[s][l] += b->ln_k[SP_HCO3][l];
    for (int l = 0; l < width; l++) {
        b->ln_ksp[l] = LN_FIT(set->phase[solid].a, l);
        double w = b->ln_a_water[l];
        b->ln_k[SP_OH][l] += w;
        b->ln_k[SP_CAOH][l] += w;
        b->ln_k[SP_MGOH][l] += w;
        b->ln_k[SP_CO2][l] -= w;
    }
#undef LN_FIT
}

ALWAYS_INLINE void load(lanes *b, const int width, const tufa_analysis *a, size_t n)
{
    for (int l = 0; l < width; l++) {
        const tufa_analysis *w = &a[(size_t)l < n ? (size_t)l : n - 1];
        b->total[CA][l] = w->ca_mol_kgw;
        b->total[MG][l] = w->mg_mol_kgw;
        b->total[NA][l] = w->na_mol_kgw;
        b->total[K][l] = w->k_mol_kgw;
        b->inert[l] = 0.5 * (w->cl_mol_kgw + w->no3_mol_kgw);
        b->so4[l] = w->so4_mol_kgw > LEAST_AMOUNT ? w->so4_mol_kgw : LEAST_AMOUNT;
        b->alk[l] = w->alkalinity_eq_kgw;
        b->x[0][l] = -LN10 * w->ph;
        double molality = w->ca_mol_kgw + w->mg_mol_kgw + w->na_mol_kgw + w->k_mol_kgw + w->cl_mol_kgw + w->no3_mol_kgw +
                          w->so4_mol_kgw + w->alkalinity_eq_kgw;
        double less = WATER_FACTOR * molality;
        b->ln_a_water[l] = -less - 0.5 * less * less;
        b->unsettled[l] = b->free_ca[l] = b->ln_gamma_ca[l] = b->ca_total[l] = b->c_total[l] = 0.0;
    }
}

/* Starting values at the sheet's own pH: carbonate from the alkalinity that hydroxide leaves, sulfate mostly free. */
ALWAYS_INLINE void guess_at_ph(lanes *b, const int width)
{
    for (int l = 0; l < width; l++) {
        double I = 0.95 * (2.0 * (b->total[CA][l] + b->total[MG][l] + b->so4[l]) +
                           0.5 * (b->total[NA][l] + b->total[K][l] + b->alk[l]) + b->inert[l]);
        double root = sqrt(I), ln_1 = -b->A[l] * root / (1.0 + 1.5 * root), g1 = quick_exp(ln_1), g2 = g1 * g1 * g1 * g1;
        double h = quick_exp(b->x[0][l]), oh = quick_exp(b->ln_k[SP_OH][l] - b->x[0][l]) / g1;
        double left = b->alk[l] - oh + h / g1;
        left = left > 1e-3 * b->alk[l] ? left : 1e-3 * b->alk[l];
        double c = left / (quick_exp(b->ln_k[SP_HCO3][l]) * h / g1 + 2.0 / g2);
        b->I[l] = I;
        b->x[1][l] = c;
        b->x[2][l] = b->so4[l] * g2 / (1.0 + 200.0 * (b->total[CA][l] + b->total[MG][l]) * g2 * g2);
    }
    for (int l = 0; l < width; l++) {
        b->x[1][l] = log(b->x[1][l]);
        b->x[2][l] = log(b->x[2][l]);
    }
}

/* Starting values for another temperature: ln h and ln CO3 follow the changes of K1 and K2 (constants of the old one handed
 * in), the more after K1 the more carbon dioxide outweighs carbonate. */
ALWAYS_INLINE void shift_for_heat(lanes *b, const int width, const double *ln_k_hco3, const double *ln_k_co2)
{
    for (int l = 0; l < width; l++) {
        double dk2 = ln_k_hco3[l] - b->ln_k[SP_HCO3][l]; /* change of ln K2 */
        double dk1 = ln_k_co2[l] - b->ln_k[SP_CO2][l] - dk2;
        double co2 = quick_exp(b->ln_k[SP_CO2][l] + 2.0 * b->x[0][l]), share = co2 / (co2 + 1.0); /* against CO3 */
        b->x[0][l] += share * dk1 + (1.0 - share) * dk2;
        b->x[1][l] += share * (dk2 - dk1);
    }
}

ALWAYS_INLINE void run(lanes *b, const int width, const tufa_analysis *a, size_t n, const constants_set *set,
                       enum phase solid, size_t temps, const double *T_K, double tol, lane_answer *out, int *settled)
{
    double start_K[LANES], k_hco3[LANES], k_co2[LANES], x_sheet[3][LANES], I_sheet[LANES];
    for (int l = 0; l < width; l++) start_K[l] = a[(size_t)l < n ? (size_t)l : n - 1].T_K;
    load(b, width, a, n);
    set_temperature(b, width, set, solid, start_K);
    guess_at_ph(b, width);
    iterate(b, width, AT_PH, tol);
    for (int l = 0; l < width; l++) {
        b->h_total[l] = 2.0 * b->c_total[l] - b->alk[l];
        k_hco3[l] = b->ln_k[SP_HCO3][l];
        k_co2[l] = b->ln_k[SP_CO2][l];
        for (int k = 0; k < 3; k++) x_sheet[k][l] = b->x[k][l];
        I_sheet[l] = b->I[l];
    }
    for (size_t t = 0; t < temps; t++) {
        set_temperature(b, width, set, solid, T_K + t * LANES);
        for (int l = 0; l < width; l++) {
            for (int k = 0; k < 3; k++) b->x[k][l] = x_sheet[k][l];
            b->I[l] = I_sheet[l];
        }
        shift_for_heat(b, width, k_hco3, k_co2);
        iterate(b, width, CLOSED, tol);
        double ln_omega[LANES];
        for (int l = 0; l < width; l++) {
            double ln_a_ca = log(b->free_ca[l]) + b->ln_gamma_ca[l];
            ln_omega[l] = ln_a_ca + b->x[1][l] - b->ln_ksp[l];
            lane_answer *o = &out[t * LANES + (size_t)l];
            *o = (lane_answer){.ph = -b->x[0][l] / LN10, .ln_a_ca = ln_a_ca, .ln_a_co3 = b->x[1][l], .ln_a_so4 = b->x[2][l],
                               .ionic_strength = b->I[l], .dic_mol_kgw = b->c_total[l], .si_calcite = ln_omega[l] / LN10};
        }
        for (int l = 0; l < width; l++) {
            b->x[0][l] += H_SHARE * ln_omega[l];
            b->x[1][l] -= C_SHARE * ln_omega[l];
        }
        iterate(b, width, WITH_SOLID, tol);
        for (int l = 0; l < width; l++) {
            lane_answer *o = &out[t * LANES + (size_t)l];
            o->ccpp_mol_kgw = b->total[CA][l] - b->ca_total[l];
            o->ph_after = -b->x[0][l] / LN10;
            o->ca_after_mol_kgw = b->ca_total[l];
        }
    }
    for (int l = 0; l < width; l++) settled[l] = b->unsettled[l] == 0.0;
}

VECTOR_CLONES void water_run_lanes(const tufa_analysis *a, size_t n, const constants_set *set, enum phase solid,
                                   size_t temps, const double *T_K, double tol, lane_answer *out, int settled[LANES])
{
    lanes b;
    run(&b, LANES, a, n, set, solid, temps, T_K, tol, out, settled);
}

void water_run_one(const tufa_analysis *a, const constants_set *set, enum phase solid, size_t temps, const double *T_K,
                   double tol, lane_answer *out, int settled[1])
{
    lanes b;
    run(&b, 1, a, 1, set, solid, temps, T_K, tol, out, settled);
}
