#include "core/water/likely.h"

#include <math.h>

#include "core/base/status.h"
#include "core/base/units.h"
#include "core/water/waters.def"

#define LN10 2.302585092994046
#define BIT(f) (1u << (unsigned)TUFA_WATER_##f)

typedef struct like_row {
    source_id source;
    const char *place;
    double T_C, ph, ca, mg, na, k, alk, so4, cl, no3, sio2; /* mg/L, alkalinity as CaCO3; 0: not reported */
} like_row;
static const like_row LIKE[] = {
#define X(id, src, ...) {.source = src, __VA_ARGS__},
    LIKE_WATERS(X)
#undef X
};
_Static_assert(sizeof LIKE / sizeof LIKE[0] <= MOST_DONORS, "room for the published waters");

/* How near two waters must be to count as alike: one standard deviation, in ln of the amount or in pH. Source: judgement;
 * about the scatter of these waters among themselves at one hardness. */
static const double NEAR_HARDNESS = 0.25, NEAR_ALKALINITY = 0.25, NEAR_PH = 0.25, NEAR_MINOR = 1.0;
/* Scatter laid over what is taken from another water, so that 28 waters do not look like all there are. Judgement. */
static const double OVER_HARDNESS = 0.15, OVER_ALKALINITY = 0.12, OVER_SHARE = 0.06, OVER_MINOR = 0.4, OVER_PH = 0.15;
static const double CA_SHARE_LO = 0.25, CA_SHARE_HI = 0.98;
/* A pH without a temperature was taken on the laboratory bench, though it may have been at the cold main. Judgement. */
static const tufa_value PH_TAKEN_AT_K = {.mid = 298.15, .lo = 285.15, .hi = 298.15, .basis = TUFA_BASIS_DEFAULT};
static const double LAB_PH = 0.1, LAB_ALKALINITY = 0.05;

size_t water_donors(donor out[MOST_DONORS])
{
    size_t n = sizeof LIKE / sizeof LIKE[0];
    for (size_t i = 0; i < n; i++) {
        const like_row *r = &LIKE[i];
        const double mg_L[TUFA_WATER_FIELD_COUNT] = {
            [TUFA_WATER_CA] = r->ca, [TUFA_WATER_MG] = r->mg, [TUFA_WATER_NA] = r->na, [TUFA_WATER_K] = r->k,
            [TUFA_WATER_CL] = r->cl, [TUFA_WATER_SO4] = r->so4, [TUFA_WATER_NO3] = r->no3, [TUFA_WATER_SILICA] = r->sio2};
        out[i] = (donor){.has = BIT(HARDNESS)};
        for (int f = TUFA_WATER_CA; f < TUFA_WATER_FIELD_COUNT; f++) {
            *water_place(&out[i].a, (tufa_water_field)f) = 1e-3 * mg_L[f] / water_fields[f].g_mol;
            if (mg_L[f] > 0.0) out[i].has |= 1u << f;
        }
        out[i].a.alkalinity_eq_kgw = 2.0 * mol_from_mg_caco3(r->alk);
        out[i].a.ph = r->ph;
        out[i].a.T_K = K_from_C(r->T_C);
        if (r->alk > 0.0) out[i].has |= BIT(ALKALINITY);
        if (r->ph > 0.0) out[i].has |= BIT(PH);
    }
    return n;
}

/* A water in the making: what is settled so far. */
typedef struct making {
    tufa_analysis a;
    unsigned known; /* bits of fields that the sheet settles */
    double hardness;
} making;

static void settle_hardness(making *m)
{
    unsigned k = m->known;
    if ((k & BIT(CA)) && (k & BIT(MG))) m->hardness = m->a.ca_mol_kgw + m->a.mg_mol_kgw;
    else if ((k & BIT(HARDNESS)) && (k & BIT(CA))) m->a.mg_mol_kgw = fmax(0.0, m->hardness - m->a.ca_mol_kgw);
    else if ((k & BIT(HARDNESS)) && (k & BIT(MG))) m->a.ca_mol_kgw = fmax(0.02 * m->hardness, m->hardness - m->a.mg_mol_kgw);
    if ((k & BIT(HARDNESS)) && (k & (BIT(CA) | BIT(MG)))) m->known |= BIT(CA) | BIT(MG);
    if ((k & BIT(CA)) && (k & BIT(MG))) m->known |= BIT(HARDNESS);
}

static double squared(double difference, double near) { return (difference / near) * (difference / near); }

static double ln_ratio(double a, double b) { return log(fmax(a, 1e-7) / fmax(b, 1e-7)); }

/* Squared distance of a published water from what is known. */
static double distance(const making *m, const donor *d, int softened)
{
    unsigned both = m->known & d->has;
    double s = 0.0;
    if (!softened) { /* an exchanger leaves no trace of the hardness before it */
        if (both & BIT(HARDNESS)) s += squared(ln_ratio(m->hardness, d->a.ca_mol_kgw + d->a.mg_mol_kgw), NEAR_HARDNESS);
        else if (both & BIT(CA)) s += squared(ln_ratio(m->a.ca_mol_kgw, d->a.ca_mol_kgw), NEAR_HARDNESS);
        if (both & BIT(NA)) s += squared(ln_ratio(m->a.na_mol_kgw, d->a.na_mol_kgw), NEAR_MINOR);
    }
    if (both & BIT(ALKALINITY)) s += squared(ln_ratio(m->a.alkalinity_eq_kgw, d->a.alkalinity_eq_kgw), NEAR_ALKALINITY);
    if (both & BIT(PH)) s += squared(m->a.ph - d->a.ph, NEAR_PH);
    if (both & BIT(SO4)) s += squared(ln_ratio(m->a.so4_mol_kgw, d->a.so4_mol_kgw), NEAR_MINOR);
    if (both & BIT(CL)) s += squared(ln_ratio(m->a.cl_mol_kgw, d->a.cl_mol_kgw), NEAR_MINOR);
    return s;
}

/* Weights of likeness, the nearest water always counting fully; waters without `need` get none. Answers their sum. */
static double weigh(const making *m, const donor *d, size_t n, int softened, unsigned need, double *weight)
{
    double least = INFINITY, sum = 0.0;
    for (size_t i = 0; i < n; i++) {
        weight[i] = (d[i].has & need) == need ? distance(m, &d[i], softened) : INFINITY;
        least = fmin(least, weight[i]);
    }
    for (size_t i = 0; i < n; i++) {
        weight[i] = isinf(weight[i]) ? 0.0 : exp(-0.5 * (weight[i] - least));
        sum += weight[i];
    }
    return sum;
}

static size_t pick(const double *weight, size_t n, double sum, double u)
{
    double at = u * sum;
    for (size_t i = 0; i + 1 < n; i++) {
        at -= weight[i];
        if (at < 0.0) return i;
    }
    return n - 1;
}

/* Charge that the settled ions leave open, in equivalents: above 0, anions are missing. */
static double open_charge(const tufa_analysis *a)
{
    double q = 0.0;
    for (int f = 0; f < TUFA_WATER_FIELD_COUNT; f++)
        if (water_fields[f].charge != 0.0) q += water_fields[f].charge * water_get(a, (tufa_water_field)f);
    return q;
}

/* Closes the charge with an ion that was not given: sodium, or chloride, or sulfate; else the sheet's own error stays. */
static void close_charge(tufa_analysis *a, unsigned known)
{
    double q = open_charge(a);
    if (!(known & BIT(NA))) {
        double na = fmax(0.0, a->na_mol_kgw - q);
        q += na - a->na_mol_kgw;
        a->na_mol_kgw = na;
    }
    if (!(known & BIT(CL))) {
        double cl = fmax(0.0, a->cl_mol_kgw + q);
        q -= cl - a->cl_mol_kgw;
        a->cl_mol_kgw = cl;
    }
    if (!(known & BIT(SO4))) a->so4_mol_kgw = fmax(0.0, a->so4_mol_kgw + 0.5 * q);
}

/* What one published water says about the missing figures of m; z are standard normal numbers, or zeros for the middle. */
enum { Z_HARDNESS, Z_SHARE, Z_ALKALINITY, Z_PH, Z_MINOR, Z_COUNT = Z_MINOR + TUFA_WATER_FIELD_COUNT };

static void take_hardness(making *m, const donor *d, const double *z, int softened)
{
    double theirs = d->a.ca_mol_kgw + d->a.mg_mol_kgw;
    double share = fmin(CA_SHARE_HI, fmax(CA_SHARE_LO, d->a.ca_mol_kgw / theirs + OVER_SHARE * z[Z_SHARE]));
    if (!(m->known & (BIT(HARDNESS) | BIT(CA) | BIT(MG))))
        m->hardness = theirs * exp(OVER_HARDNESS * z[Z_HARDNESS]) * (softened ? 0.01 : 1.0); /* what an exchanger passes */
    else if (!(m->known & BIT(HARDNESS)))
        m->hardness = m->known & BIT(CA) ? m->a.ca_mol_kgw / share : m->a.mg_mol_kgw / (1.0 - share);
    if (!(m->known & BIT(CA))) m->a.ca_mol_kgw = m->known & BIT(MG) ? m->hardness - m->a.mg_mol_kgw : m->hardness * share;
    if (!(m->known & BIT(MG))) m->a.mg_mol_kgw = fmax(0.0, m->hardness - m->a.ca_mol_kgw);
}

static void take_ions(making *m, const donor *d, const double *z, int softened)
{
    double scale = softened ? 1.0 : m->hardness / (d->a.ca_mol_kgw + d->a.mg_mol_kgw);
    for (int f = TUFA_WATER_NA; f < TUFA_WATER_FIELD_COUNT; f++)
        if (!(m->known & (1u << f)))
            *water_place(&m->a, (tufa_water_field)f) = water_get(&d->a, (tufa_water_field)f) * exp(OVER_MINOR * z[Z_MINOR + f]);
    if (!(m->known & BIT(ALKALINITY))) {
        unsigned main_ions = BIT(HARDNESS) | BIT(NA) | BIT(CL) | BIT(SO4);
        m->a.alkalinity_eq_kgw = 0.0;
        double left = open_charge(&m->a); /* a sheet with all other ions tells the alkalinity by difference */
        if ((m->known & main_ions) == main_ions && left > 1e-4) m->a.alkalinity_eq_kgw = left;
        else m->a.alkalinity_eq_kgw = d->a.alkalinity_eq_kgw * scale * exp(OVER_ALKALINITY * z[Z_ALKALINITY]);
    }
}

/* Waters rest near balance with lime: what carries over from one to the next is not the pH but its distance from there. */
static void take_ph(making *m, const donor *d, const double *z, int softened)
{
    if (m->known & BIT(PH)) return;
    double ours = m->a.ca_mol_kgw * m->a.alkalinity_eq_kgw, theirs = d->a.ca_mol_kgw * d->a.alkalinity_eq_kgw;
    double shift = softened ? 0.0 : log10(ours / theirs);
    if (shift < 0.0) shift *= 0.5; /* soft waters are far from it anyway */
    m->a.ph = fmin(9.2, fmax(6.3, d->a.ph - shift + OVER_PH * z[Z_PH]));
    m->a.T_K = d->a.T_K;
}

/* Alkalinity that hydroxide and what it binds take up, generously: activities are left out. */
static double hydroxide(const tufa_analysis *a)
{
    static const double ROOM = 1.5, NEGLIGIBLE_PH = 7.0;
    if (a->ph < NEGLIGIBLE_PH) return 0.0;
    const dissolved_row *row = water_sets[TUFA_CONSTANTS_2025]->dissolved;
    double T = a->T_K, oh = exp(LN10 * (water_log10_k(row[SP_OH].a, T) + a->ph));
    double mg = a->mg_mol_kgw * exp(LN10 * (water_log10_k(row[SP_MGOH].a, T) + a->ph));
    return ROOM * (oh + fmin(mg, a->mg_mol_kgw) + a->ca_mol_kgw * exp(LN10 * (water_log10_k(row[SP_CAOH].a, T) + a->ph)));
}

/* A pH and an alkalinity of which at least one was filled in must be able to stand together. */
static void agree(making *m)
{
    double need = hydroxide(&m->a), have = m->a.alkalinity_eq_kgw;
    if (need <= 0.5 * have) return;
    if (!(m->known & BIT(PH))) m->a.ph -= log10(need / (0.5 * have));
    else if (!(m->known & BIT(ALKALINITY))) m->a.alkalinity_eq_kgw = 2.0 * need;
}

static making begin(const tufa_water_known *w, const double u[TUFA_WATER_FIELD_COUNT])
{
    making m = {.a = {.sand_mg_L = w->sand_mg_L, .rust_mg_L = w->rust_mg_L, .tds_mg_L = w->tds_mg_L}};
    for (int f = 0; f < TUFA_WATER_FIELD_COUNT; f++) {
        tufa_value v = w->field[f];
        if (v.basis == TUFA_BASIS_NONE) continue;
        m.known |= 1u << f;
        double x = tufa_value_at(v, u[f]);
        if (f == TUFA_WATER_HARDNESS) m.hardness = x;
        else *water_place(&m.a, (tufa_water_field)f) = x;
    }
    if (!(m.known & BIT(T_K))) m.a.T_K = tufa_value_at(PH_TAKEN_AT_K, u[TUFA_WATER_T_K]);
    settle_hardness(&m);
    return m;
}

static tufa_status known_in_range(const tufa_water_known *w)
{
    for (int f = 0; f < TUFA_WATER_FIELD_COUNT; f++) {
        tufa_value v = w->field[f];
        if (v.basis == TUFA_BASIS_NONE) continue;
        double lo = 0.0, hi = water_fields[f].limit;
        if (f == TUFA_WATER_T_K) lo = TUFA_WATER_EXTRAPOLATED_LO_K, hi = TUFA_WATER_EXTRAPOLATED_HI_K;
        if (f == TUFA_WATER_PH) lo = 4.0, hi = 11.5;
        RETURN_IF(in_range(water_fields[f].name, v.lo, lo, hi));
        RETURN_IF(in_range(water_fields[f].name, v.hi, lo, hi));
        RETURN_IF(in_range(water_fields[f].name, v.mid, v.lo, v.hi));
    }
    return OK;
}

static tufa_status livable(const tufa_analysis *a)
{
    RETURN_IF(tufa_water_check(a));
    if (a->alkalinity_eq_kgw > hydroxide(a)) return OK;
    return (tufa_status){.code = TUFA_CONFLICT, .field = "ph", .got = a->ph, .lo = 4.0, .hi = 11.5,
                         .why = "this pH needs more alkalinity than is given"};
}

static tufa_status draw(const tufa_water_known *w, const donor *d, size_t n, uint64_t key, uint64_t stream, uint64_t index,
                        tufa_analysis *out)
{
    enum { TRIES = 16, PER_TRY = 64 };
    tufa_status st = OK;
    for (uint64_t try = 0; try < TRIES; try++) {
        uint64_t at = (index * TRIES + try) * PER_TRY;
        double u[TUFA_WATER_FIELD_COUNT], z[Z_COUNT], weight[MOST_DONORS];
        for (uint64_t f = 0; f < TUFA_WATER_FIELD_COUNT; f++)
            u[f] = w->field[f].hi > w->field[f].lo || f == TUFA_WATER_T_K ? tufa_uniform(key, stream, at + f) : 0.5;
        making m = begin(w, u);
        unsigned all = (1u << TUFA_WATER_FIELD_COUNT) - 1u;
        if ((m.known | BIT(T_K) | BIT(SILICA) | BIT(HARDNESS)) != all) {
            for (uint64_t k = 0; k < Z_COUNT; k++) z[k] = tufa_normal(key, stream, at + 16 + k);
            double sum = weigh(&m, d, n, w->softened, 0, weight);
            const donor *like = &d[pick(weight, n, sum, tufa_uniform(key, stream, at + 60))];
            take_hardness(&m, like, z, w->softened);
            take_ions(&m, like, z, w->softened);
            if (!(like->has & BIT(PH))) {
                sum = weigh(&m, d, n, w->softened, BIT(PH), weight);
                like = &d[pick(weight, n, sum, tufa_uniform(key, stream, at + 61))];
            }
            take_ph(&m, like, z, w->softened);
            agree(&m);
            close_charge(&m.a, m.known);
        }
        st = livable(&m.a);
        if (st.code == TUFA_OK) {
            *out = m.a;
            return OK;
        }
    }
    return st;
}

tufa_status tufa_water_draws(const tufa_water_known *w, uint64_t key, uint64_t stream, uint64_t first, size_t n,
                             tufa_analysis *out)
{
    RETURN_IF(known_in_range(w));
    donor d[MOST_DONORS];
    size_t donors = water_donors(d);
    for (size_t i = 0; i < n; i++) RETURN_IF(draw(w, d, donors, key, stream, first + i, &out[i]));
    return OK;
}

/* The waters that weigh most, by name. */
static void name_nearest(const double *weight, size_t n, tufa_water_filled *out)
{
    size_t taken[TUFA_WATER_NAMED];
    for (size_t k = 0; k < TUFA_WATER_NAMED; k++) {
        size_t best = n;
        for (size_t i = 0; i < n; i++) {
            int before = 0;
            for (size_t j = 0; j < k; j++) before |= taken[j] == i;
            if (!before && weight[i] > 0.0 && (best == n || weight[i] > weight[best])) best = i;
        }
        taken[k] = best;
        out->like_name[k] = best < n ? LIKE[best].place : NULL;
    }
}

/* The middle: every like water's answer with its weight, amounts averaged in their logarithm. */
tufa_status tufa_water_fill(const tufa_water_known *w, tufa_water_filled *out)
{
    RETURN_IF(known_in_range(w));
    donor d[MOST_DONORS];
    size_t n = water_donors(d), first = TUFA_WATER_PH;
    double u[TUFA_WATER_FIELD_COUNT], z[Z_COUNT] = {0}, weight[MOST_DONORS], sum = 0.0, squares = 0.0;
    for (int f = 0; f < TUFA_WATER_FIELD_COUNT; f++) u[f] = 0.5;
    making m = begin(w, u);
    *out = (tufa_water_filled){.middle = m.a};
    for (int f = 0; f < TUFA_WATER_FIELD_COUNT; f++)
        if (f != TUFA_WATER_HARDNESS && !(m.known & (1u << f))) out->assumed |= 1u << f;
    unsigned needs = out->assumed & ~(BIT(T_K) | BIT(SILICA));
    if (!needs) return tufa_water_check(&out->middle);
    double total[TUFA_WATER_FIELD_COUNT] = {0};
    weigh(&m, d, n, w->softened, needs & BIT(PH) ? BIT(PH) : 0, weight);
    for (size_t i = 0; i < n; i++) {
        making theirs = m;
        if (weight[i] == 0.0) continue;
        take_hardness(&theirs, &d[i], z, w->softened);
        take_ions(&theirs, &d[i], z, w->softened);
        take_ph(&theirs, &d[i], z, w->softened);
        agree(&theirs);
        close_charge(&theirs.a, theirs.known);
        sum += weight[i];
        squares += weight[i] * weight[i];
        for (size_t f = 0; f < TUFA_WATER_FIELD_COUNT; f++) {
            double x = water_get(&theirs.a, (tufa_water_field)f);
            total[f] += weight[i] * (f <= first ? x : log(fmax(x, 1e-7)));
        }
    }
    for (size_t i = 0; i < n; i++) out->like_waters += weight[i] > 0.02 * sum;
    name_nearest(weight, n, out);
    out->like_weight = sum * sum / squares;
    for (size_t f = 0; f < TUFA_WATER_FIELD_COUNT; f++) {
        double mean = total[f] / sum, *place = water_place(&out->middle, (tufa_water_field)f);
        if (place && !(m.known & (1u << f))) *place = f <= first ? mean : exp(mean);
    }
    if (!(out->assumed & BIT(PH)) && (out->assumed & BIT(T_K))) out->middle.T_K = PH_TAKEN_AT_K.mid;
    making middle = {.a = out->middle, .known = m.known};
    agree(&middle);
    close_charge(&middle.a, m.known);
    out->middle = middle.a;
    return tufa_water_check(&out->middle);
}

void tufa_water_add_lab_error(tufa_water_known *w)
{
    tufa_value *ph = &w->field[TUFA_WATER_PH], *alk = &w->field[TUFA_WATER_ALKALINITY];
    if (ph->basis != TUFA_BASIS_NONE && ph->lo == ph->hi) {
        ph->lo = ph->mid - LAB_PH;
        ph->hi = ph->mid + LAB_PH;
    }
    if (alk->basis != TUFA_BASIS_NONE && alk->lo == alk->hi) {
        alk->lo = alk->mid * (1.0 - LAB_ALKALINITY);
        alk->hi = alk->mid * (1.0 + LAB_ALKALINITY);
    }
}

tufa_water_known tufa_water_known_from(const tufa_analysis *a)
{
    tufa_water_known w = {.sand_mg_L = a->sand_mg_L, .rust_mg_L = a->rust_mg_L, .tds_mg_L = a->tds_mg_L};
    for (int f = 0; f < TUFA_WATER_FIELD_COUNT; f++) {
        double x = water_get(a, (tufa_water_field)f);
        if (f != TUFA_WATER_SILICA || x > 0.0)
            w.field[f] = (tufa_value){.mid = x, .lo = x, .hi = x, .basis = TUFA_BASIS_GIVEN};
    }
    return w;
}
