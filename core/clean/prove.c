/* What is left in the tank: all readings on one grid of bed volumes. Errors are one standard deviation, judgement where
 * no source is named; the arithmetic is that of the readings' own physics. */
#include <string.h>

#include "core/base/quick.h"
#include "core/base/sources.h"
#include "core/base/status.h"
#include "core/clean/physics.h"

enum { POINTS = 600, QUANTILES = 48, TRUTHS = 15, COSTS = 7, COLDS = 4 };

static const tufa_proof_row ROWS[TUFA_PROOF_COUNT] = {
#define X(name, src, ...) [TUFA_PROOF_##name] = {.source = src, __VA_ARGS__},
#include "core/clean/proofs.def"
#undef X
};
const tufa_proof_row *tufa_proof_at(tufa_proof_kind k) { return (unsigned)k < TUFA_PROOF_COUNT ? &ROWS[k] : NULL; }

#define PROBE_M 0.005            /* each spot and the whole of five: 5 mm */
#define PROBE_LINE_M 0.019       /* one line for the whole floor: 3 L in a tank of 0.158 m2 */
#define METER_SHARE 0.0095       /* a refill through the house's water meter: 1.8 L of 190 */
#define LABEL_SHARE 0.05         /* what a tank holds against its label */
#define MISSING_OF_BED 0.75      /* water that a bed keeps out: its solids and half of its pores, which do not drain */
#define WARM_BED_COST 0.23       /* heat that a warm bed lacks against water, by volume */
#define HEATED_SHARE 0.026       /* of a heated volume whose readings are not told */
#define COLD_USUAL 0.75         /* of the volume below the element, not heated */
#define SHAPE_SHARE 0.06         /* of a bed's volume by five spots: it is not flat, and the tank's width is not known to a finger */
#define LINE_SHAPE_SHARE 0.2     /* the same by one line */
#define PORES_SHARE 0.087        /* of that missing water: voidage 0.45 to 0.6, of which 0.3 to 0.7 drains */
#define DRAW_OWN_SHARE 0.047     /* 9 L of 190, with this tank's own clean reading */
#define DRAW_TABLE_SHARE 0.063   /* 12 L of 190, against what such tanks give */
#define DRAW_ELECTRIC 0.85       /* of the volume until it falls under 105 F: 0.82 by heated volume less mixing, 0.87 to 0.90 in the layered tank */
#define DRAW_GAS 0.92            /* 0.914 and 0.91 to 0.96 */
#define DRAW_HIDES 0.65          /* of a bed below the element: that water would hardly have come out hot; 0.4 to 0.9 (layered tank 0.47 to 0.85) */
#define SENSOR_AT 2.0            /* a bed of this many times the volume below the element reaches the lower control */
#define SENSOR_COST 2.0          /* which may then cut out with water still cold over the bed (layered tank: up to 1.8) */
#define FINES_LOST 1.06          /* 3 to 10 % of the fines leave with the water */
#define PAIL_SHARE 0.10          /* settled volume read in a pail */
#define RULE_DEPTH_M 0.015       /* clean: under 15 mm at all five spots */
#define RULE_REFILL_M3 2e-3      /* or a refill within 2 L of this tank's own clean one */
#define SMEAR_M3 0.3e-3          /* below it no prior is sharp */
#define LEAST_SEEN_M3 0.8e-3     /* error of the best reading there is: a range that begins below it begins at nothing */
#define WIDE_WEIGHT 0.05         /* of the prior that nobody knew anything: the work may have gone otherwise */
#define WIDE_M3 2e-3             /* that prior falls as 1/(B + 2 L) */

/* ---- the heat-up ---- */

tufa_status tufa_clean_heated_volume(const tufa_proof_reading *r, double *volume_m3, double *error_m3)
{
    RETURN_IF(in_range("energy_J", r->energy_J, 1e5, 1e9));
    RETURN_IF(in_range("start_K", r->start_K, 273.15, 370.0));
    RETURN_IF(in_range("end_K", r->end_K, r->start_K + 5.0, 373.0));
    RETURN_IF(in_range("duration_s", r->duration_s, 0.0, 1e6));
    RETURN_IF(in_range("air_K", r->air_K, 230.0, 330.0));
    RETURN_IF(in_range("loss_W_K", r->loss_W_K, 0.0, 50.0));
    double mean = 0.5 * (r->start_K + r->end_K), rise = r->end_K - r->start_K;
    double heat = r->energy_J - r->loss_W_K * (mean - r->air_K) * r->duration_s;
    double s_E = r->energy_by_meter ? 0.01 : 0.022, s_end = 0.7 / rise, s_start = 0.3 / rise, s_loss = 0.003;
    *volume_m3 = heat / (tufa_tank_water_kg_m3(mean) * tufa_tank_water_J_kg_K(mean) * rise);
    if (!(*volume_m3 > 0.0)) return trouble(TUFA_CONFLICT, "energy_J", "the losses exceed the energy");
    *error_m3 = *volume_m3 * sqrt(s_E * s_E + s_end * s_end + s_start * s_start + s_loss * s_loss);
    return OK;
}

/* ---- the grid ---- */

typedef struct bed_grid {
    const tufa_proof_in *in;
    double most, floor;
    double *bed, *prior, *post, *work, *log_now; /* POINTS each */
} bed_grid;

/* Finer near nothing, where the question is decided. */
static double point(const bed_grid *g, int i)
{
    double x = (i + 0.5) / POINTS;
    return g->most * x * x;
}
static double cell(const bed_grid *g, int i)
{
    double a = (double)i / POINTS, b = (i + 1.0) / POINTS;
    return g->most * (b * b - a * a);
}
static int index_of(const bed_grid *g, double bed)
{
    int i = (int)(POINTS * sqrt(fmax(bed, 0.0) / g->most));
    return i < 0 ? 0 : i >= POINTS ? POINTS - 1 : i;
}

static void scale(double *p)
{
    double sum = 0.0;
    for (int i = 0; i < POINTS; i++) sum += p[i];
    for (int i = 0; i < POINTS; i++) p[i] = sum > 0.0 ? p[i] / sum : 1.0 / POINTS;
}

static double quantile(const bed_grid *g, const double *p, double u)
{
    double below = 0.0;
    for (int i = 0; i < POINTS; i++) {
        if (below + p[i] >= u && p[i] > 0.0) {
            double a = (double)i / POINTS, x = a + (u - below) / p[i] / POINTS;
            return g->most * x * x;
        }
        below += p[i];
    }
    return g->most;
}

static double width(const bed_grid *g, const double *p) { return quantile(g, p, 0.9) - quantile(g, p, 0.1); }

/* ---- the prior: what was there less what is known or expected to have left ---- */

static const tufa_proof_reading *find_reading(const tufa_proof_in *in, tufa_proof_kind kind)
{
    for (size_t i = 0; i < in->n; i++)
        if (in->reading[i].kind == kind) return &in->reading[i];
    return NULL;
}

static tufa_value bed_m3_kg(const tufa_proof_in *in)
{
    /* CONTRACT of packing: 1.05 L for each kg, 0.74 to 1.5 */
    return in->bed_m3_kg.basis == TUFA_BASIS_NONE ? (tufa_value){1.05e-3, 0.74e-3, 1.5e-3, TUFA_BASIS_DEFAULT} : in->bed_m3_kg;
}

/* Bed that left, from a pail, a weight, or the method's own forecast; the surest first. */
static tufa_value removed_m3(const tufa_proof_in *in)
{
    const tufa_proof_reading *pail = find_reading(in, TUFA_PROOF_SLURRY), *weight = find_reading(in, TUFA_PROOF_MASS);
    if (pail) {
        double z = 1.2816 * PAIL_SHARE;
        return (tufa_value){pail->volume_m3, pail->volume_m3 * (1.0 - z), pail->volume_m3 * (1.0 + z), TUFA_BASIS_GIVEN};
    }
    if (weight) {
        tufa_value v = bed_m3_kg(in);
        double kg = weight->mass_kg * FINES_LOST;
        return (tufa_value){kg * v.mid, kg * v.lo, kg * v.hi, TUFA_BASIS_GIVEN};
    }
    return in->removed_m3;
}

static void smear(const bed_grid *g, const double *from, double *to)
{
    double w[POINTS];
    memset(to, 0, POINTS * sizeof *to);
    for (int i = 0; i < POINTS; i++) {
        if (!(from[i] > 0.0)) continue;
        double at = g->bed[i], sum = 0.0;
        int lo = index_of(g, at - 5.0 * SMEAR_M3), hi = index_of(g, at + 5.0 * SMEAR_M3);
        for (int j = lo; j <= hi; j++) {
            double z = (g->bed[j] - at) / SMEAR_M3;
            w[j] = quick_exp(-0.5 * z * z) * cell(g, j);
        }
        for (int j = lo; j <= hi; j++) sum += w[j];
        for (int j = lo; j <= hi && sum > 0.0; j++) to[j] += from[i] * w[j] / sum;
    }
}

static void make_prior(bed_grid *g)
{
    const tufa_proof_in *in = g->in;
    double *wide = g->work;
    for (int i = 0; i < POINTS; i++) wide[i] = cell(g, i) / (point(g, i) + WIDE_M3);
    scale(wide);
    memcpy(g->prior, wide, POINTS * sizeof *wide);
    if (in->before_m3.basis == TUFA_BASIS_NONE) return;
    tufa_value gone = removed_m3(in);
    double none = 0.0, before_m3[QUANTILES], gone_m3[QUANTILES];
    memset(g->post, 0, POINTS * sizeof *g->post);
    for (int k = 0; k < QUANTILES; k++) {
        before_m3[k] = tufa_value_at(in->before_m3, (k + 0.5) / QUANTILES);
        gone_m3[k] = gone.basis == TUFA_BASIS_NONE ? 0.0 : tufa_value_at(gone, (k + 0.5) / QUANTILES);
    }
    for (int b = 0; b < QUANTILES; b++)
        for (int r = 0; r < QUANTILES; r++) {
            double left = before_m3[b] - gone_m3[r];
            if (left >= 0.0) g->post[index_of(g, left)] += 1.0; /* more cannot have left than there was */
            else none += 1.0;
        }
    if (none >= QUANTILES * QUANTILES) g->post[0] = 1.0; /* what left exceeds what was thought to be there: little can be left */
    scale(g->post);
    smear(g, g->post, g->prior);
    scale(g->prior);
    for (int i = 0; i < POINTS; i++) g->prior[i] = (1.0 - WIDE_WEIGHT) * g->prior[i] + WIDE_WEIGHT * wide[i];
}

/* ---- what each reading expects at a bed, and how likely it then is ---- */

/* A reading boiled down: a number, the error of it, and how it depends on the bed. */
typedef struct seen {
    tufa_proof_kind kind;
    double value, error; /* of the number: depth volume, missing water, missing heated volume, missing litres */
    int sees;
} seen;

/* Likelihood of a number where another is expected. The errors differ from bed to bed, so the height of the bell counts. */
static double near_to(double got, double expected, double error)
{
    double z = (got - expected) / error;
    return exp(-0.5 * z * z) / error;
}

/* The same where one of several numbers is expected, nobody knows which: their mean. */
VECTOR_CLONES static double near_to_mean(const seen *s, int n, const double *expected)
{
    double bell[COLDS * COSTS], sum = 0.0;
    for (int i = 0; i < n; i++) {
        double z = (s->value - expected[i]) / s->error;
        bell[i] = quick_exp(-0.5 * z * z);
    }
    for (int i = 0; i < n; i++) sum += bell[i];
    return sum / s->error / n;
}

/* Bed that stands where water would be heated. The element warms some of the water below itself too: what stays cold is
 * `cold` of the volume below it, 0.5 to 1 (0.6 to 0.75 in the layered tank, 0.9 in a tank of 190 L that was measured). */
static double in_the_heat(const tufa_proof_in *in, double bed, double cold) { return fmax(0.0, bed - cold * in->below_element_m3); }
static double share_between(double lo, double hi, int i, int n) { return lo + (hi - lo) * (i + 0.5) / n; }

/* Most that a heat-up may miss of the bed in the heat: all of it, and more once the bed reaches the lower control. */
static double most_cost(const tufa_proof_in *in, double bed)
{
    double reach = SENSOR_AT * in->below_element_m3, over = reach > 0.0 ? (bed - 0.8 * reach) / (0.25 * reach) : 0.0;
    return 1.0 + (SENSOR_COST - 1.0) * fmin(fmax(over, 0.0), 1.0);
}

/* A heat-up misses between 0.23 of the bed, where it warms through, and all of it, where it stays cold; which, nobody
 * knows: even in between. */
static double heat_likelihood(const tufa_proof_in *in, const seen *s, double bed)
{
    double expected[COLDS * COSTS], most = most_cost(in, bed);
    for (int c = 0; c < COLDS; c++) {
        double hot = in_the_heat(in, bed, share_between(0.5, 1.0, c, COLDS));
        for (int i = 0; i < COSTS; i++) expected[COSTS * c + i] = share_between(WARM_BED_COST, most, i, COSTS) * hot;
    }
    return near_to_mean(s, COLDS * COSTS, expected);
}

/* Of a bed below the element a draw misses a part alone, of the rest all. */
static double draw_missing(const tufa_proof_in *in, double bed, double hides) { return bed - hides * fmin(bed, in->below_element_m3); }

static double draw_likelihood(const tufa_proof_in *in, const seen *s, double bed)
{
    double expected[COLDS];
    for (int c = 0; c < COLDS; c++) expected[c] = draw_missing(in, bed, share_between(0.4, 0.9, c, COLDS));
    return near_to_mean(s, COLDS, expected);
}

#define LOW_FLOW 0.57   /* of the clear-bed flow: below it grains arch over the port (20 of 35 L/min) */
#define CLOUDY_JAR 0.01

static double likelihood(const tufa_proof_in *in, const seen *s, double bed)
{
    switch (s->kind) {
    case TUFA_PROOF_PROBE5: return near_to(s->value, bed, hypot(s->error, SHAPE_SHARE * bed));
    case TUFA_PROOF_PROBE1: return near_to(s->value, bed, hypot(s->error, LINE_SHAPE_SHARE * bed));
    case TUFA_PROOF_REFILL: return near_to(s->value, MISSING_OF_BED * bed, hypot(s->error, PORES_SHARE * MISSING_OF_BED * bed));
    case TUFA_PROOF_HEATUP: return heat_likelihood(in, s, bed);
    case TUFA_PROOF_DRAW: return draw_likelihood(in, s, bed);
    case TUFA_PROOF_FLOW: return 0.02 + 0.9 * (1.0 - exp(-bed / 5e-3)); /* chance of a low flow: judgement */
    case TUFA_PROOF_JAR: return 0.05 + 0.95 * (1.0 - exp(-bed / 2e-3)); /* chance of a cloudy jar: judgement */
    case TUFA_PROOF_MASS:
    case TUFA_PROOF_SLURRY:
    case TUFA_PROOF_COUNT: break;
    }
    return 1.0;
}

/* Error of each kind in its own number, own clean reading or not. */
static double usual_error(const tufa_proof_in *in, double floor, tufa_proof_kind kind)
{
    double V = in->volume_m3, label = LABEL_SHARE * V;
    switch (kind) {
    case TUFA_PROOF_PROBE5: return PROBE_M * floor;
    case TUFA_PROOF_PROBE1: return PROBE_LINE_M * floor;
    case TUFA_PROOF_REFILL: return isnan(in->clean_refill_m3) ? hypot(METER_SHARE * V, label) : METER_SHARE * V;
    case TUFA_PROOF_HEATUP: return isnan(in->clean_heated_m3) ? hypot(HEATED_SHARE * V, label) : 1.3 * HEATED_SHARE * V; /* two readings with the same instruments */
    case TUFA_PROOF_DRAW: return V * (isnan(in->clean_draw_m3) ? DRAW_TABLE_SHARE : DRAW_OWN_SHARE);
    default: return 0.0;
    }
}

static double or_own(double own, double table) { return isnan(own) ? table : own; }

static tufa_status look_at(const tufa_proof_in *in, double floor, const tufa_proof_reading *r, seen *s)
{
    *s = (seen){.kind = r->kind, .error = usual_error(in, floor, r->kind), .sees = 1};
    int electric = in->fuel == TUFA_ELECTRIC;
    double heated, error;
    if (!(electric ? ROWS[r->kind].electric : ROWS[r->kind].gas)) s->sees = 0;
    switch (r->kind) {
    case TUFA_PROOF_PROBE5:
    case TUFA_PROOF_PROBE1: {
        int spots = r->kind == TUFA_PROOF_PROBE5 ? 5 : 1;
        double sum = 0.0;
        for (int i = 0; i < spots; i++) {
            RETURN_IF(in_range("depth_m", r->depth_m[i], 0.0, 2.0));
            sum += r->depth_m[i];
        }
        s->value = sum / spots * floor;
        break;
    }
    case TUFA_PROOF_REFILL:
        RETURN_IF(in_range("volume_m3", r->volume_m3, 0.0, 3.0 * in->volume_m3));
        s->value = or_own(in->clean_refill_m3, in->volume_m3) - r->volume_m3;
        break;
    case TUFA_PROOF_HEATUP:
        if (r->energy_J > 0.0) {
            RETURN_IF(tufa_clean_heated_volume(r, &heated, &error));
        } else { /* worked out before and kept as a volume */
            RETURN_IF(in_range("volume_m3", r->volume_m3, 1e-3, 3.0 * in->volume_m3));
            heated = r->volume_m3;
            error = HEATED_SHARE * heated;
        }
        s->value = or_own(in->clean_heated_m3, in->volume_m3 - COLD_USUAL * in->below_element_m3) - heated;
        s->error = isnan(in->clean_heated_m3) ? hypot(error, LABEL_SHARE * in->volume_m3) : error * sqrt(2.0);
        break;
    case TUFA_PROOF_DRAW:
        RETURN_IF(in_range("volume_m3", r->volume_m3, 0.0, 3.0 * in->volume_m3));
        s->value = or_own(in->clean_draw_m3, (electric ? DRAW_ELECTRIC : DRAW_GAS) * in->volume_m3) - r->volume_m3;
        break;
    case TUFA_PROOF_FLOW:
        RETURN_IF(in_range("flow_m3_s", r->flow_m3_s, 0.0, 0.1));
        RETURN_IF(in_range("clear_m3_s", r->clear_m3_s, 1e-7, 0.1));
        s->sees = r->flow_m3_s < LOW_FLOW * r->clear_m3_s;
        break;
    case TUFA_PROOF_JAR:
        RETURN_IF(in_range("settled_share", r->settled_share, 0.0, 1.0));
        s->sees = r->settled_share > CLOUDY_JAR;
        break;
    case TUFA_PROOF_MASS:
        RETURN_IF(in_range("mass_kg", r->mass_kg, 0.0, 500.0));
        s->sees = in->before_m3.basis != TUFA_BASIS_NONE;
        break;
    case TUFA_PROOF_SLURRY:
        RETURN_IF(in_range("volume_m3", r->volume_m3, 0.0, 2.0));
        s->sees = in->before_m3.basis != TUFA_BASIS_NONE;
        break;
    case TUFA_PROOF_COUNT: return trouble(TUFA_UNKNOWN, "kind", "there is no such proof");
    }
    if (r->error_m3 > 0.0) s->error = r->error_m3;
    return OK;
}

#define LEAST_LIKELY 1e-280 /* beyond it a reading contradicts every bed alike */

/* Adds the logarithm of the likelihood. */
static void add_log(const bed_grid *g, const seen *s, double *log_p)
{
    if (!s->sees) return;
    for (int i = 0; i < POINTS; i++) log_p[i] += log(fmax(likelihood(g->in, s, g->bed[i]), LEAST_LIKELY));
}

VECTOR_CLONES static void from_log(double *p)
{
    double most = p[0];
    for (int i = 1; i < POINTS; i++) most = fmax(most, p[i]);
    for (int i = 0; i < POINTS; i++) p[i] = quick_exp(p[i] - most);
    scale(p);
}

static void to_log(const double *from, double *p)
{
    for (int i = 0; i < POINTS; i++) p[i] = log(fmax(from[i], LEAST_LIKELY));
}

/* Prior times every reading but one (skip < 0: all). */
static void combine(const bed_grid *g, const seen *s, int skip, double *p)
{
    to_log(g->prior, p);
    for (size_t k = 0; k < g->in->n; k++)
        if ((int)k != skip) add_log(g, &s[k], p);
    from_log(p);
}

/* ---- what it says ---- */

static void fill_part(const bed_grid *g, const seen *s, size_t k, double median, tufa_proof_part *part)
{
    const tufa_proof_in *in = g->in;
    *part = (tufa_proof_part){.kind = s[k].kind, .says_m3 = NAN, .error_m3 = s[k].error, .sees = s[k].sees};
    tufa_value gone;
    switch (s[k].kind) {
    case TUFA_PROOF_PROBE5:
    case TUFA_PROOF_PROBE1:
        part->says_m3 = s[k].value;
        part->error_m3 = hypot(s[k].error, (s[k].kind == TUFA_PROOF_PROBE5 ? SHAPE_SHARE : LINE_SHAPE_SHARE) * s[k].value);
        break;
    case TUFA_PROOF_REFILL:
        part->says_m3 = fmax(0.0, s[k].value / MISSING_OF_BED);
        part->error_m3 = hypot(s[k].error / MISSING_OF_BED, PORES_SHARE * part->says_m3);
        break;
    case TUFA_PROOF_DRAW:
        if (s[k].value > s[k].error) /* else it names no volume */
            part->says_m3 = fmin(s[k].value / (1.0 - DRAW_HIDES), s[k].value + DRAW_HIDES * in->below_element_m3);
        break;
    case TUFA_PROOF_MASS:
    case TUFA_PROOF_SLURRY:
        gone = removed_m3(in);
        if (!s[k].sees) break;
        part->says_m3 = fmax(0.0, in->before_m3.mid - gone.mid);
        part->error_m3 = hypot(in->before_m3.hi - in->before_m3.lo, gone.hi - gone.lo) / (2.0 * 1.2816);
        break;
    default: break;
    }
    if (!s[k].sees || s[k].kind == TUFA_PROOF_MASS || s[k].kind == TUFA_PROOF_SLURRY) return;
    combine(g, s, (int)k, g->work);
    part->shift_m3 = median - quantile(g, g->work, 0.5);
}

static void judge_rule(const tufa_proof_in *in, tufa_proof *out)
{
    const tufa_proof_reading *probe = find_reading(in, TUFA_PROOF_PROBE5), *refill = find_reading(in, TUFA_PROOF_REFILL);
    int weighed = find_reading(in, TUFA_PROOF_MASS) != NULL, bare = probe != NULL, full = 0;
    for (int i = 0; probe && i < 5; i++)
        if (probe->depth_m[i] >= RULE_DEPTH_M) bare = 0;
    if (refill && !isnan(in->clean_refill_m3)) full = in->clean_refill_m3 - refill->volume_m3 <= RULE_REFILL_M3;
    out->clean = (bare || full) && weighed;
    if (out->clean) out->rule = bare ? "probe under 15 mm at all five spots, and a weight in the record" : "refill within 2 L of this tank's own clean one, and a weight in the record";
    else if (bare || full) out->rule = "the tank passes, but no dry weight is in the record";
    else if (probe || (refill && !isnan(in->clean_refill_m3))) out->rule = "the probe or the refill finds bed";
    else out->rule = "neither five probe spots nor a refill against this tank's own clean one were taken";
}

/* Expected 10 to 90 % width after one more reading of this kind, over what may be true now. */
static double width_after(const bed_grid *g, const double *now, tufa_proof_kind kind) /* log_now is that of now */
{
    const tufa_proof_in *in = g->in;
    double sum = 0.0;
    for (int t = 0; t < TRUTHS; t++) {
        double truth = quantile(g, now, (t + 0.5) / TRUTHS);
        seen s = {.kind = kind, .error = usual_error(in, g->floor, kind), .sees = 1};
        switch (kind) {
        case TUFA_PROOF_REFILL: s.value = MISSING_OF_BED * truth; break;
        case TUFA_PROOF_HEATUP: s.value = 0.5 * (1.0 + WARM_BED_COST) * in_the_heat(in, truth, COLD_USUAL); break;
        case TUFA_PROOF_DRAW: s.value = draw_missing(in, truth, DRAW_HIDES); break;
        default: s.value = truth; break;
        }
        memcpy(g->work, g->log_now, POINTS * sizeof *g->work);
        add_log(g, &s, g->work);
        from_log(g->work);
        sum += width(g, g->work);
    }
    return sum / TRUTHS;
}

#define WORTH_ASKING 0.9      /* of the width now: less gain is not worth an hour */
#define WORTH_ASKING_M3 1e-3  /* nor is a gain under a litre */

static void find_sharpest(const bed_grid *g, tufa_proof *out)
{
    static const tufa_proof_kind ASKED[] = {TUFA_PROOF_PROBE5, TUFA_PROOF_PROBE1, TUFA_PROOF_REFILL, TUFA_PROOF_HEATUP, TUFA_PROOF_DRAW};
    int electric = g->in->fuel == TUFA_ELECTRIC;
    out->sharpen = TUFA_PROOF_COUNT;
    out->width_after_m3 = out->width_m3;
    to_log(g->post, g->log_now);
    double best = fmin(WORTH_ASKING * out->width_m3, out->width_m3 - WORTH_ASKING_M3);
    for (size_t i = 0; i < sizeof ASKED / sizeof ASKED[0]; i++) {
        tufa_proof_kind kind = ASKED[i];
        if (find_reading(g->in, kind) || (kind == TUFA_PROOF_PROBE1 && find_reading(g->in, TUFA_PROOF_PROBE5)) || !(electric ? ROWS[kind].electric : ROWS[kind].gas)) continue;
        double after = width_after(g, g->post, kind);
        if (after >= best) continue;
        best = after;
        out->sharpen = kind;
        out->width_after_m3 = after;
    }
}

static tufa_value over(tufa_value bed, tufa_value m3_kg)
{
    double mid = bed.mid / m3_kg.mid;
    if (!(bed.lo > 0.0)) return (tufa_value){mid, 0.0, bed.hi / m3_kg.lo, bed.basis};
    double down = hypot(log(bed.mid / bed.lo), log(m3_kg.hi / m3_kg.mid)), up = hypot(log(bed.hi / bed.mid), log(m3_kg.mid / m3_kg.lo));
    return (tufa_value){mid, mid * exp(-down), mid * exp(up), bed.basis};
}

static void weigh(const tufa_proof_in *in, tufa_proof *out)
{
    const tufa_proof_reading *weight = find_reading(in, TUFA_PROOF_MASS), *pail = find_reading(in, TUFA_PROOF_SLURRY);
    if (weight) out->removed_kg = (tufa_value){weight->mass_kg * FINES_LOST, weight->mass_kg * 1.0, weight->mass_kg * 1.12, TUFA_BASIS_GIVEN};
    else if (pail) out->removed_kg = over(removed_m3(in), bed_m3_kg(in));
}

size_t tufa_clean_prove_bytes(void) { return 5 * (POINTS * sizeof(double) + 64); }

static tufa_status proof_ok(const tufa_proof_in *in)
{
    RETURN_IF(in_range("volume_m3", in->volume_m3, 0.005, 5.0));
    RETURN_IF(in_range("across_m", in->across_m, 0.1, 3.0));
    RETURN_IF(in_range("below_element_m3", in->below_element_m3, 0.0, in->volume_m3));
    RETURN_IF(in_range("n", (double)in->n, 0.0, TUFA_PROOF_MAX));
    if (in->before_m3.basis != TUFA_BASIS_NONE) RETURN_IF(in_range("before_m3", in->before_m3.mid, 0.0, in->volume_m3));
    for (size_t i = 0; i < in->n; i++)
        for (size_t k = 0; k < i; k++)
            if (in->reading[i].kind == in->reading[k].kind) return trouble(TUFA_CONFLICT, "reading", "the same reading was given twice");
    return OK;
}

tufa_status tufa_clean_prove(const tufa_proof_in *in, tufa_arena *scratch, tufa_proof *out)
{
    RETURN_IF(proof_ok(in));
    size_t mark = scratch->used;
    seen s[TUFA_PROOF_MAX];
    bed_grid g = {.in = in, .floor = disc_area(in->across_m), .most = 0.6 * in->volume_m3};
    for (size_t k = 0; k < in->n; k++) RETURN_IF(look_at(in, g.floor, &in->reading[k], &s[k]));
    g.bed = tufa_arena_take(scratch, POINTS, sizeof *g.bed);
    g.prior = tufa_arena_take(scratch, POINTS, sizeof *g.prior);
    g.post = tufa_arena_take(scratch, POINTS, sizeof *g.post);
    g.work = tufa_arena_take(scratch, POINTS, sizeof *g.work);
    g.log_now = tufa_arena_take(scratch, POINTS, sizeof *g.log_now);
    if (!g.bed || !g.prior || !g.post || !g.work || !g.log_now) {
        scratch->used = mark;
        return trouble(TUFA_MEMORY, "scratch", "the arena is too small: tufa_clean_prove_bytes");
    }
    for (int i = 0; i < POINTS; i++) g.bed[i] = point(&g, i);
    make_prior(&g);
    combine(&g, s, -1, g.post);
    *out = (tufa_proof){.parts = in->n};
    double median = quantile(&g, g.post, 0.5);
    double low = quantile(&g, g.post, 0.1);
    out->left_m3 = (tufa_value){median, low < LEAST_SEEN_M3 ? 0.0 : low, quantile(&g, g.post, 0.9), TUFA_BASIS_LEARNED};
    out->left_kg = over(out->left_m3, bed_m3_kg(in));
    out->width_m3 = out->left_m3.hi - out->left_m3.lo;
    for (int i = 0; i < POINTS; i++)
        if (g.bed[i] < RULE_DEPTH_M * g.floor) out->under_rule_share += g.post[i];
    for (size_t k = 0; k < in->n; k++) fill_part(&g, s, k, median, &out->part[k]);
    judge_rule(in, out);
    weigh(in, out);
    find_sharpest(&g, out);
    scratch->used = mark;
    return OK;
}

/* ---- one reading, for those who learn from it ---- */

tufa_status tufa_clean_told(const tufa_proof_in *in, const tufa_proof_reading *r, tufa_told *out)
{
    tufa_proof_in one = *in;
    one.n = 0;
    RETURN_IF(proof_ok(&one));
    seen s;
    RETURN_IF(look_at(&one, disc_area(in->across_m), r, &s));
    if (!s.sees || r->kind == TUFA_PROOF_MASS || r->kind == TUFA_PROOF_SLURRY) return trouble(TUFA_MISSING, "reading", "it sees no bed here");
    tufa_told t = {.most_m3 = 0.6 * in->volume_m3};
    double most = -HUGE_VAL, sum = 0.0, mean = 0.0, square = 0.0;
    for (int i = 0; i < TUFA_TOLD_POINTS; i++) {
        double x = (i + 0.5) / TUFA_TOLD_POINTS;
        t.log_likelihood[i] = log(fmax(likelihood(&one, &s, t.most_m3 * x * x), LEAST_LIKELY));
        most = fmax(most, t.log_likelihood[i]);
    }
    for (int i = 0; i < TUFA_TOLD_POINTS; i++) { /* its mean and spread, every volume alike before it */
        double x = (i + 0.5) / TUFA_TOLD_POINTS, v = log(t.most_m3 * x * x + TUFA_TOLD_FLOOR_M3);
        t.log_likelihood[i] -= most;
        double w = x * exp(t.log_likelihood[i]);
        sum += w;
        mean += w * v;
        square += w * v * v;
    }
    t.mid_log = mean / sum;
    t.sd_log = sqrt(fmax(1e-6, square / sum - t.mid_log * t.mid_log));
    *out = t;
    return OK;
}
