/* A weak acid on more lime than it can dissolve. Given pH and carbon dioxide everything else is explicit, so the balance of
 * charges is one root in pH; a closed tank adds one root in carbon dioxide around it. */
#include <math.h>

#include "core/base/status.h"
#include "core/water/acids.def"
#include "core/water/plain.h"

#define LN10 2.302585092994046

typedef struct acid_species {
    source_id source;
    tufa_acid acid;
    int charge, h, ca;
    double log_k, heat_kJ;
} acid_species;
static const acid_species SPECIES_OF_ACID[] = {
#define X(id, src, ...) {.source = src, __VA_ARGS__},
    ACID_SPECIES(X)
#undef X
};
enum { ACID_ROWS = sizeof SPECIES_OF_ACID / sizeof SPECIES_OF_ACID[0], CAP = 200 };

static const struct {
    source_id source;
    double g_mol, protons, rise;
} ACID[TUFA_ACID_COUNT] = {
#define X(id, src, ...) [TUFA_ACID_##id] = {.source = src, __VA_ARGS__},
    ACIDS(X)
#undef X
};
static const acid_species SOLID =
#define X(id, src, ...) {.source = src, __VA_ARGS__};
    CITRATE_SOLID(X)
#undef X

static const double WATER_KG_L = 0.9982, LIME_G_MOL = 100.0869, NO_SULFATE = -60.0; /* ln activity */

typedef struct bath {
    const tufa_soak_in *in;
    int with_lime;
    double acid_mol_kgw, ln_co2_atm, I, ln_water;
    medium w;
    double ln_k[ACID_ROWS], ln_gamma[ACID_ROWS], ln_solid;
    /* at the present pH */
    double x[3];
    amounts a;
    double acid[ACID_ROWS], free_ln, dissolved_acid, solid;
    tufa_status st;
} bath;

static double ln_k_at(const acid_species *s, double T_K)
{
    static const double R = 8.314462618e-3; /* kJ/mol/K */
    return LN10 * s->log_k - s->heat_kJ / R * (1.0 / T_K - 1.0 / 298.15);
}

static void prepare(bath *b)
{
    water_medium(water_sets[TUFA_CONSTANTS_2025], PH_CALCITE, b->in->T_K, b->ln_water, &b->w);
    double root = sqrt(b->I);
    for (int i = 0; i < ACID_ROWS; i++) {
        double z = SPECIES_OF_ACID[i].charge;
        b->ln_k[i] = ln_k_at(&SPECIES_OF_ACID[i], b->in->T_K);
        b->ln_gamma[i] = z == 0.0 ? LN10 * 0.1 * b->I : -LN10 * b->w.A * z * z * (root / (1.0 + root) - 0.3 * b->I);
    }
    b->ln_solid = ln_k_at(&SOLID, b->in->T_K);
}

/* All amounts at ln h; answers positive less negative charge, which rises with h. */
static double charge(double x0, void *ctx)
{
    bath *b = ctx;
    static const tufa_analysis EMPTY = {0};
    const double *k_h = water_sets[TUFA_CONSTANTS_2025]->phase[PH_CO2_GAS].a;
    double ln_co2 = b->ln_co2_atm + LN10 * water_log10_k(k_h, b->in->T_K);
    b->x[0] = x0;
    b->x[1] = b->with_lime ? ln_co2 - b->w.ln_k[SP_CO2] - 2.0 * x0 : NO_SULFATE;
    b->x[2] = NO_SULFATE;
    water_amounts(&b->w, &EMPTY, b->x, b->I, b->with_lime, &b->a);
    double ln_ca = b->with_lime ? b->w.ln_ksp - b->x[1] : -INFINITY, per_free = 0.0, q = 0.0;
    for (int i = 0; i < ACID_ROWS; i++) {
        const acid_species *s = &SPECIES_OF_ACID[i];
        b->acid[i] = 0.0;
        if (s->acid != b->in->acid || (s->ca && !b->with_lime)) continue;
        b->acid[i] = exp(b->ln_k[i] + s->h * x0 + (s->ca ? ln_ca : 0.0) - b->ln_gamma[i]);
        per_free += b->acid[i];
    }
    b->free_ln = log(b->acid_mol_kgw / per_free);
    b->solid = 0.0;
    double limit = 0.5 * (b->ln_solid - 3.0 * ln_ca - 4.0 * b->ln_water); /* ln of free citrate over the solid */
    if (b->in->acid == TUFA_ACID_CITRIC && b->in->citrate_solid && b->with_lime && b->free_ln > limit) {
        b->free_ln = limit;
        b->solid = 0.5 * (b->acid_mol_kgw - exp(limit) * per_free);
    }
    b->dissolved_acid = 0.0;
    for (int i = 0; i < ACID_ROWS; i++) {
        b->acid[i] *= exp(b->free_ln);
        b->dissolved_acid += b->acid[i];
        q += SPECIES_OF_ACID[i].charge * b->acid[i];
    }
    for (int s = 0; s < SPECIES_COUNT; s++) q += species_charge[s] * b->a.m[s];
    return q;
}

static double strength_and_sum(const bath *b, double *sum)
{
    double I = b->a.I;
    *sum = 0.0;
    for (int i = 0; i < ACID_ROWS; i++) {
        I += 0.5 * SPECIES_OF_ACID[i].charge * SPECIES_OF_ACID[i].charge * b->acid[i];
        *sum += b->acid[i];
    }
    for (int s = 0; s < SPECIES_COUNT; s++) *sum += b->a.m[s];
    return I;
}

/* pH, amounts and ionic strength at the present carbon dioxide pressure. */
static tufa_status settle(bath *b)
{
    for (int i = 0; i < CAP; i++) {
        double x0, sum;
        prepare(b);
        RETURN_IF(tufa_root(charge, b, -12.0 * LN10, -0.5 * LN10, 1e-13, CAP, &x0));
        charge(x0, b);
        double I = strength_and_sum(b, &sum), change = fabs(I - b->I), less = WATER_FACTOR * sum;
        b->I += 0.7 * (I - b->I); /* damped: above 0.5 mol/kgw the full step overshoots */
        b->ln_water = log1p(-less);
        if (change < 1e-10) return OK;
    }
    return trouble(TUFA_SOLVE, "ionic_strength", "the acid's ionic strength did not settle");
}

static double ca_dissolved(const bath *b)
{
    double ca = b->a.ca_total;
    for (int i = 0; i < ACID_ROWS; i++)
        if (SPECIES_OF_ACID[i].ca) ca += b->acid[i];
    return ca;
}

static double lime_dissolved(const bath *b) { return ca_dissolved(b) + 3.0 * b->solid; }

/* Closed: what carbon dioxide is dissolved must be what the lime gave. Rises with the pressure. */
static double carbon_left(double ln_co2_atm, void *ctx)
{
    bath *b = ctx;
    b->ln_co2_atm = ln_co2_atm;
    tufa_status st = settle(b);
    if (st.code != TUFA_OK) b->st = st;
    return b->a.n[1] - lime_dissolved(b);
}

static void answer(const bath *b, double ph_start, tufa_soak *out)
{
    double lime = lime_dissolved(b), acid_share = b->in->acid_percent / 100.0, protons = ACID[b->in->acid].protons;
    double density = WATER_KG_L + ACID[b->in->acid].rise * b->in->acid_percent, ln_ca = b->w.ln_ksp - b->x[1];
    *out = (tufa_soak){.ph_start = ph_start, .ph = -b->x[0] / LN10, .caco3_mol_kgw = lime, .caco3_g_kgw = lime * LIME_G_MOL,
                       .caco3_g_per_L_acid = lime * LIME_G_MOL * density * (1.0 - acid_share),
                       .share_of_stoichiometric = b->acid_mol_kgw > 0.0 ? lime / (0.5 * protons * b->acid_mol_kgw) : 0.0,
                       .ca_mol_kgw = ca_dissolved(b),
                       .dic_mol_kgw = b->a.n[1], .pco2_atm = exp(b->ln_co2_atm), .ionic_strength_mol_kgw = b->I};
    if (b->in->acid != TUFA_ACID_CITRIC || b->acid_mol_kgw == 0.0) return;
    out->citrate_solid_mol_kgw = b->solid;
    out->si_citrate = (2.0 * b->free_ln + 3.0 * ln_ca + 4.0 * b->ln_water - b->ln_solid) / LN10;
}

tufa_status tufa_water_soak(const tufa_soak_in *in, tufa_soak *out)
{
    if ((unsigned)in->acid >= TUFA_ACID_COUNT) return trouble(TUFA_UNKNOWN, "acid", "acetic and citric acid are known");
    RETURN_IF(in_range("acid_percent", in->acid_percent, 0.0, 10.0));
    RETURN_IF(in_range("T_K", in->T_K, TUFA_WATER_EXTRAPOLATED_LO_K, TUFA_WATER_EXTRAPOLATED_HI_K));
    if (!in->closed) RETURN_IF(in_range("co2_atm", in->co2_atm, 1e-5, 100.0));
    bath b = {.in = in, .I = 0.01, .acid_mol_kgw = 1000.0 * in->acid_percent / (100.0 - in->acid_percent) / ACID[in->acid].g_mol};
    RETURN_IF(settle(&b));
    double ph_start = -b.x[0] / LN10, ln_co2;
    b.with_lime = 1;
    b.I = 0.3;
    if (in->closed) {
        RETURN_IF(tufa_root(carbon_left, &b, log(1e-5), log(200.0), 1e-10, CAP, &ln_co2));
        RETURN_IF(b.st);
        b.ln_co2_atm = ln_co2;
    } else {
        b.ln_co2_atm = log(in->co2_atm);
    }
    RETURN_IF(settle(&b));
    answer(&b, ph_start, out);
    return OK;
}
