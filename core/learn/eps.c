/* eps_ref of one heater from what was found in it. Draw by draw the history of the heater says what each point of the
 * grid would have shown; the likelihoods are averaged over the draws, as they are, without linearising. */
#include "core/ahead/inner.h"
#include "core/base/status.h"
#include "tufa/learn.h"

#include <math.h>

/* Likelihoods and expectations of one draw: [sight][point]. */
typedef struct table {
    double *likelihood, *expected;
} table;

/* Sums over draws and points of what all other findings lead a finding to expect. */
typedef struct others {
    double weight, mean, square;
    double eps[TUFA_EPS_POINTS]; /* what they leave of the grid */
} others;

size_t tufa_learn_bytes(unsigned draws, size_t findings)
{
    return tufa_ahead_bytes(1, draws, findings) + (findings + 1) * (3 * TUFA_EPS_POINTS + 24 + (size_t)draws) * sizeof(double) + 8192;
}

static void fill_table(const question *q, const sight *s, size_t sights, table *t)
{
    for (size_t k = 0; k < sights; k++)
        for (size_t g = 0; g < TUFA_EPS_POINTS; g++) {
            double e = expected_log(&s[k], q->eps_point[g]);
            t->expected[k * TUFA_EPS_POINTS + g] = e;
            t->likelihood[k * TUFA_EPS_POINTS + g] = likelihood(q, &s[k], q->eps_point[g], e);
        }
}

/* Adds one draw to the posterior, and to what each finding would be expected to show if only the others were known. Answers how
 * likely the draw is. */
static double add_draw(const question *q, const sight *s, size_t sights, const table *t, double *posterior, others *o)
{
    double sum = 0.0;
    for (size_t g = 0; g < TUFA_EPS_POINTS; g++) {
        double weight = q->in->eps.weight[g];
        for (size_t k = 0; k < sights; k++)
            if (!s[k].aside) weight *= t->likelihood[k * TUFA_EPS_POINTS + g];
        posterior[g] += weight;
        sum += weight;
        for (size_t k = 0; k < sights; k++) {
            double own = s[k].aside ? 1.0 : t->likelihood[k * TUFA_EPS_POINTS + g];
            if (!(own > 0.0)) continue;
            double off = s[k].seen_log - t->expected[k * TUFA_EPS_POINTS + g], without = weight / own;
            o[k].weight += without;
            o[k].mean += without * off;
            o[k].square += without * (off * off + s[k].sd * s[k].sd);
            o[k].eps[g] += without;
        }
    }
    return sum;
}

static tufa_value without(const question *q, const others *o)
{
    tufa_eps e = {.rests_on = q->in->eps.rests_on};
    for (size_t g = 0; g < TUFA_EPS_POINTS; g++) e.weight[g] = o->weight > 0.0 ? o->eps[g] / o->weight : 0.0;
    return tufa_eps_value(&e);
}

static void judge(const question *q, const sight *s, size_t sights, const others *o, double *value, tufa_learn *out,
                  tufa_learn_finding *each)
{
    double worst = TUFA_CONTRADICTS;
    out->contradicting = -1;
    for (size_t k = 0; k < sights; k++) {
        double mean = o[k].mean / o[k].weight, sd = sqrt(fmax(1e-12, o[k].square / o[k].weight - mean * mean));
        double surprise = fabs(mean) / sd, *v = value + k * q->n;
        size_t index = s[k].finding + q->skipped;
        out->used += !s[k].aside;
        out->aside += s[k].aside != 0;
        if (surprise > worst && !s[k].aside) {
            worst = surprise;
            out->contradicting = (int)index;
        }
        if (!each) continue;
        each[index] = (tufa_learn_finding){.reads = 1, .surprise = surprise, .contradicts = surprise > TUFA_CONTRADICTS,
                                           .set_aside = s[k].aside, .without = without(q, &o[k])};
        each[index].expected_lo = tufa_quantile(q->n, v, 0.1);
        each[index].expected = tufa_quantile(q->n, v, 0.5);
        each[index].expected_hi = tufa_quantile(q->n, v, 0.9);
    }
}

/* ---- the fuel that a gas tank loses to each kg ---- */

/* Quantile of the draws of a heater by their weight; bins even in the log between the ends of the draws. */
static double loss_at(const question *q, const double *weight, double u)
{
    enum { BINS = 200 };
    double bin[BINS] = {0}, lo = HUGE_VAL, hi = 0.0, sum = 0.0, below = 0.0;
    for (size_t i = 0; i < q->n; i++) lo = fmin(lo, q->x.loss_per_kg[i]), hi = fmax(hi, q->x.loss_per_kg[i]);
    double wide = log(hi / lo) + 1e-12;
    for (size_t i = 0; i < q->n; i++) {
        int b = (int)(BINS * log(q->x.loss_per_kg[i] / lo) / wide);
        double w = weight ? weight[i] : 1.0;
        bin[b < BINS ? b : BINS - 1] += w;
        sum += w;
    }
    for (int b = 0; b < BINS; b++) {
        if (bin[b] > 0.0 && below + bin[b] >= u * sum) return lo * exp(wide * (b + (u * sum - below) / bin[b]) / BINS);
        below += bin[b];
    }
    return hi;
}

static tufa_value loss_value(const question *q, const double *weight, tufa_basis basis)
{
    return (tufa_value){loss_at(q, weight, 0.5), loss_at(q, weight, 0.1), loss_at(q, weight, 0.9), basis};
}

/* What this draw's heat-up times say of each cell of the grid, whatever the draw itself lost: likelihoods of all else as they are, averaged
 * over every fourth point of eps, which bends little between them. */
static void tell_loss(const question *q, const sight *s, size_t sights, const table *t, double *told)
{
    enum { STRIDE = 4 };
    for (size_t g = STRIDE / 2; g < TUFA_EPS_POINTS; g += STRIDE) {
        double rest = q->in->eps.weight[g];
        for (size_t k = 0; k < sights; k++)
            if (!s[k].aside && s[k].law != TUFA_LAW_RECOVERY) rest *= t->likelihood[k * TUFA_EPS_POINTS + g];
        if (!(rest > 0.0)) continue;
        for (size_t c = 0; c < TUFA_LOSS_CELLS; c++) {
            double times = rest;
            for (size_t k = 0; k < sights; k++) {
                if (s[k].aside || s[k].law != TUFA_LAW_RECOVERY) continue;
                sight other = s[k];
                other.loss_per_kg = tufa_loss_cell(c);
                times *= likelihood(q, &other, q->eps_point[g], expected_log(&other, q->eps_point[g]));
            }
            told[c] += times;
        }
    }
}

static int times_are_told(const sight *s, size_t sights)
{
    int told = 0;
    for (size_t k = 0; k < sights; k++) told += s[k].law == TUFA_LAW_RECOVERY && !s[k].aside;
    return told;
}

static void close_told(tufa_learn *out)
{
    double most = 0.0;
    for (size_t c = 0; c < TUFA_LOSS_CELLS; c++) most = fmax(most, out->loss_told[c]);
    for (size_t c = 0; c < TUFA_LOSS_CELLS && most > 0.0; c++) out->loss_told[c] /= most;
}

static void say_loss(const question *q, const sight *s, size_t sights, const double *weight, tufa_learn *out)
{
    int told = times_are_told(s, sights);
    if (q->heater.fuel == TUFA_ELECTRIC) return;
    out->prior_loss_per_kg = loss_value(q, NULL, q->in->loss.rests_on == TUFA_RESTS_ON_PRIOR ? TUFA_BASIS_DEFAULT : TUFA_BASIS_LEARNED);
    out->loss_per_kg = told ? loss_value(q, weight, TUFA_BASIS_LEARNED) : out->prior_loss_per_kg;
    out->loss_used = (size_t)told;
    close_told(out);
}

static tufa_status close_grid(tufa_learn *out)
{
    double sum = 0.0;
    for (size_t g = 0; g < TUFA_EPS_POINTS; g++) sum += out->posterior.weight[g];
    if (!(sum > 0.0)) return trouble(TUFA_CONFLICT, "found", "no draw tells what was found");
    for (size_t g = 0; g < TUFA_EPS_POINTS; g++) out->posterior.weight[g] /= sum;
    out->prior_eps = tufa_eps_value(&out->prior);
    out->posterior_eps = tufa_eps_value(&out->posterior);
    out->ratio = out->posterior_eps.mid / out->prior_eps.mid;
    out->ratio_lo = out->posterior_eps.lo / out->prior_eps.mid;
    out->ratio_hi = out->posterior_eps.hi / out->prior_eps.mid;
    return OK;
}

static tufa_status learn(const tufa_ahead_in *in, tufa_arena *arena, tufa_learn *out, tufa_learn_finding *each)
{
    question q;
    RETURN_IF(pose(in, arena, &q));
    size_t room = in->findings + 1, sights = 0;
    sight *s = TAKE(&q, room, sight);
    others *o = TAKE(&q, room, others);
    double *value = TAKE(&q, room * q.n, double), *weight = TAKE(&q, q.n, double);
    table t = {TAKE(&q, room * TUFA_EPS_POINTS, double), TAKE(&q, room * TUFA_EPS_POINTS, double)};
    if (!s || !o || !value || !weight || !t.likelihood || !t.expected) return trouble(TUFA_MEMORY, "arena", NULL);
    for (size_t k = 0; each && k < in->findings; k++) each[k] = (tufa_learn_finding){0};
    *out = (tufa_learn){.prior = in->eps, .posterior = {.rests_on = in->eps.rests_on}, .skipped = q.skipped};
    for (size_t i = 0; i < q.n; i++) {
        mass today;
        sights = walk(&q, i, s, &today);
        fill_table(&q, s, sights, &t);
        for (size_t k = 0; k < sights; k++) value[k * q.n + i] = expected_value(&s[k], q.x.eps[i]);
        weight[i] = add_draw(&q, s, sights, &t, out->posterior.weight, o);
        if (times_are_told(s, sights)) tell_loss(&q, s, sights, &t, out->loss_told);
    }
    judge(&q, s, sights, o, value, out, each);
    if (out->used) out->posterior.rests_on = TUFA_RESTS_ON_FINDINGS;
    RETURN_IF(close_grid(out));
    say_loss(&q, s, sights, weight, out);
    return OK;
}

tufa_status tufa_learn_eps(const tufa_ahead_in *in, tufa_arena *arena, tufa_learn *out, tufa_learn_finding *each)
{
    size_t used = arena->used;
    tufa_learn answer;
    tufa_status st = learn(in, arena, &answer, each);
    arena->used = used;
    if (st.code == TUFA_OK) *out = answer;
    return st;
}

tufa_status tufa_learn_settle(const tufa_ahead_in *in, tufa_finding *found, tufa_arena *arena, tufa_learn *out, tufa_learn_finding *each)
{
    tufa_ahead_in own = *in;
    own.found = found;
    for (size_t round = 0;; round++) {
        RETURN_IF(tufa_learn_eps(&own, arena, out, each));
        if (out->contradicting < 0 || out->used < 2 || round > in->findings) return OK;
        found[out->contradicting].set_aside = 1;
    }
}

void tufa_learn_conjugate(double prior_log_mean, double prior_log_sd, double reading_log, double reading_log_sd,
                          double *log_mean, double *log_sd)
{
    double prior = 1.0 / (prior_log_sd * prior_log_sd), reading = 1.0 / (reading_log_sd * reading_log_sd);
    *log_mean = (prior * prior_log_mean + reading * reading_log) / (prior + reading);
    *log_sd = 1.0 / sqrt(prior + reading);
}
