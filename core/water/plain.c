#include "core/water/plain.h"

#include <math.h>

#include "core/base/status.h"

#define LN10 2.302585092994046

static const struct {
    signed char z, nu[3], cation; /* cation: -1 for none */
    enum ion_size size;
} SPECIES[SPECIES_COUNT] = {
#define PLAIN(id, z, h, c, s, sz) [SP_##id] = {z, {h, c, s}, -1, SIZE_##sz},
#define OF_CA(id, z, h, c, s, sz) [SP_##id] = {z, {h, c, s}, CA, SIZE_##sz},
#define OF_MG(id, z, h, c, s, sz) [SP_##id] = {z, {h, c, s}, MG, SIZE_##sz},
#define OF_NA(id, z, h, c, s, sz) [SP_##id] = {z, {h, c, s}, NA, SIZE_##sz},
#define OF_K(id, z, h, c, s, sz) [SP_##id] = {z, {h, c, s}, K, SIZE_##sz},
    PLAIN_SPECIES(PLAIN) CA_SPECIES(OF_CA) MG_SPECIES(OF_MG) NA_SPECIES(OF_NA) K_SPECIES(OF_K)
    [SP_CA] = {2, {0, 0, 0}, CA, SIZE_CA}, [SP_MG] = {2, {0, 0, 0}, MG, SIZE_MG},
    [SP_NA] = {1, {0, 0, 0}, NA, SIZE_NA}, [SP_K] = {1, {0, 0, 0}, K, SIZE_OH}};
static const enum species FREE[CATION_COUNT] = {[CA] = SP_CA, [MG] = SP_MG, [NA] = SP_NA, [K] = SP_K};

double water_ln_activity_of_water(const tufa_analysis *a)
{
    double less = WATER_FACTOR * (a->ca_mol_kgw + a->mg_mol_kgw + a->na_mol_kgw + a->k_mol_kgw + a->cl_mol_kgw +
                                  a->no3_mol_kgw + a->so4_mol_kgw + a->alkalinity_eq_kgw);
    return -less - 0.5 * less * less;
}

void water_medium(const constants_set *set, enum phase solid, double T_K, double ln_a_water, medium *out)
{
    *out = (medium){.T_K = T_K, .ln_ksp = LN10 * water_log10_k(set->phase[solid].a, T_K)};
    water_debye_hueckel(T_K, &out->A, &out->B);
    for (int k = 0; k < SIZE_COUNT; k++) {
        double angstrom = set->size[k].angstrom;
        out->size[k] = angstrom == 0.0 ? 1.0 : out->B * angstrom; /* Davies: 1 + sqrt(I) */
    }
    for (int s = 0; s < SPECIES_COUNT; s++) {
        const dissolved_row *row = &set->dissolved[s];
        double z = SPECIES[s].z;
        out->linear[s] = LN10 * (row->b + (row->davies ? 0.3 * z * z * out->A : 0.0));
        out->ln_k[s] = row->absent ? -INFINITY : LN10 * water_log10_k(row->a, T_K);
    }
    for (int s = 0; s < SPECIES_COUNT; s++)
        if (set->dissolved[s].of_hco3) out->ln_k[s] += out->ln_k[SP_HCO3];
    out->ln_k[SP_OH] += ln_a_water;
    out->ln_k[SP_CAOH] += ln_a_water;
    out->ln_k[SP_MGOH] += ln_a_water;
    out->ln_k[SP_CO2] -= ln_a_water;
}

double water_ln_gamma(const medium *w, enum species s, double I)
{
    double root = sqrt(I), z = SPECIES[s].z;
    return w->linear[s] * I - LN10 * w->A * z * z * root / (1.0 + w->size[SPECIES[s].size] * root);
}

void water_amounts(const medium *w, const tufa_analysis *a, const double x[3], double I, int with_solid, amounts *out)
{
    double total[CATION_COUNT] = {a->ca_mol_kgw, a->mg_mol_kgw, a->na_mol_kgw, a->k_mol_kgw}, S[CATION_COUNT] = {1.0, 1.0, 1.0, 1.0};
    *out = (amounts){.I = 0.5 * (a->cl_mol_kgw + a->no3_mol_kgw)};
    for (int s = 0; s < SPECIES_COUNT; s++) out->ln_gamma[s] = water_ln_gamma(w, (enum species)s, I);
    for (int s = 0; s < SPECIES_COUNT; s++) { /* cation species relative to the free ion at first */
        int cation = SPECIES[s].cation;
        const signed char *nu = SPECIES[s].nu;
        double ln = w->ln_k[s] + nu[0] * x[0] + nu[1] * x[1] + nu[2] * x[2] - out->ln_gamma[s];
        if (cation >= 0) ln += out->ln_gamma[FREE[cation]];
        out->m[s] = exp(ln);
        if (cation >= 0 && s != (int)FREE[cation]) S[cation] += out->m[s];
    }
    for (int c = 0; c < CATION_COUNT; c++) {
        double free = total[c] / S[c];
        if (c == CA && with_solid) free = exp(w->ln_ksp - x[1] - out->ln_gamma[SP_CA]);
        if (c == CA) out->ca_total = free * S[c];
        for (int s = 0; s < SPECIES_COUNT; s++)
            if (SPECIES[s].cation == c) out->m[s] *= free;
    }
    for (int s = 0; s < SPECIES_COUNT; s++) {
        out->I += 0.5 * SPECIES[s].z * SPECIES[s].z * out->m[s];
        for (int k = 0; k < 3; k++) out->n[k] += SPECIES[s].nu[k] * out->m[s];
    }
}

/* ---- the bracketed solution ---- */

enum task { AT_PH, CLOSED, WITH_SOLID };
enum { CAP = 200 };
static const double LN_TOLERANCE = 1e-13, LN_LEAST = -90.0, LN_MOST = 5.0, PH_LO = 1.0, PH_HI = 13.9;

typedef struct nest {
    const medium *w;
    const tufa_analysis *a;
    enum task task;
    double x[3], I, dic, alk;
    amounts got;
    tufa_status st;
} nest;

static double sulfate_left(double x2, void *ctx)
{
    nest *p = ctx;
    p->x[2] = x2;
    water_amounts(p->w, p->a, p->x, p->I, p->task == WITH_SOLID, &p->got);
    return p->got.n[2] - (p->a->so4_mol_kgw > 0.0 ? p->a->so4_mol_kgw : LEAST_AMOUNT);
}

/* Alkalinity at a given pH, else inorganic carbon; both rise with carbonate. */
static double carbonate_left(double x1, void *ctx)
{
    nest *p = ctx;
    double x2;
    p->x[1] = x1;
    tufa_status st = tufa_root(sulfate_left, p, LN_LEAST, LN_MOST, LN_TOLERANCE, CAP, &x2);
    if (st.code != TUFA_OK) p->st = st;
    else sulfate_left(x2, p);
    if (p->task == AT_PH) return 2.0 * p->got.n[1] - p->got.n[0] - p->alk;
    double solid = p->task == WITH_SOLID ? p->a->ca_mol_kgw - p->got.ca_total : 0.0;
    return p->got.n[1] + solid - p->dic;
}

static double hydrogen_left(double x0, void *ctx)
{
    nest *p = ctx;
    double x1;
    p->x[0] = x0;
    tufa_status st = tufa_root(carbonate_left, p, LN_LEAST, LN_MOST, LN_TOLERANCE, CAP, &x1);
    if (st.code != TUFA_OK) p->st = st;
    else carbonate_left(x1, p);
    return p->got.n[0] - (2.0 * p->dic - p->alk);
}

/* The ionic strength is brought into step around the rest. */
static tufa_status settle(nest *p)
{
    for (int i = 0; i < CAP; i++) {
        double x;
        p->st = OK;
        if (p->task == AT_PH) {
            RETURN_IF(tufa_root(carbonate_left, p, LN_LEAST, LN_MOST, LN_TOLERANCE, CAP, &x));
            carbonate_left(x, p);
        } else {
            RETURN_IF(tufa_root(hydrogen_left, p, -LN10 * PH_HI, -LN10 * PH_LO, LN_TOLERANCE, CAP, &x));
            hydrogen_left(x, p);
        }
        RETURN_IF(p->st);
        double change = fabs(p->got.I - p->I);
        p->I = p->got.I;
        if (change <= 1e-11 * p->I) return OK;
    }
    return trouble(TUFA_SOLVE, "ionic_strength", "the ionic strength did not settle");
}

tufa_status water_bracketed(const tufa_analysis *a, const constants_set *set, enum phase solid, double T_K, lane_answer *out)
{
    double ln_a_water = water_ln_activity_of_water(a);
    medium sheet, hot;
    water_medium(set, solid, a->T_K, ln_a_water, &sheet);
    water_medium(set, solid, T_K, ln_a_water, &hot);
    nest p = {.w = &sheet, .a = a, .task = AT_PH, .x = {-LN10 * a->ph, 0.0, 0.0}, .I = 0.01, .alk = a->alkalinity_eq_kgw};
    tufa_status st = settle(&p);
    if (st.code == TUFA_RANGE)
        return (tufa_status){.code = TUFA_CONFLICT, .field = "ph", .got = a->ph, .lo = 4.0, .hi = 11.5,
                             .why = "this pH and this alkalinity cannot belong to one water"};
    RETURN_IF(st);
    p.dic = p.got.n[1];
    p.w = &hot;
    p.task = CLOSED;
    RETURN_IF(settle(&p));
    lane_answer o = {.ph = -p.x[0] / LN10, .ln_a_co3 = p.x[1], .ln_a_so4 = p.x[2], .ionic_strength = p.I, .dic_mol_kgw = p.dic};
    o.ln_a_ca = log(p.got.m[SP_CA]) + p.got.ln_gamma[SP_CA];
    o.si_calcite = (o.ln_a_ca + o.ln_a_co3 - hot.ln_ksp) / LN10;
    p.task = WITH_SOLID;
    RETURN_IF(settle(&p));
    o.ca_after_mol_kgw = p.got.ca_total;
    o.ccpp_mol_kgw = a->ca_mol_kgw - p.got.ca_total;
    o.ph_after = -p.x[0] / LN10;
    *out = o;
    return OK;
}
