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
} others;

size_t tufa_learn_bytes(unsigned draws, size_t findings)
{
    return tufa_ahead_bytes(1, draws, findings) + (findings + 1) * (2 * TUFA_EPS_POINTS + 16 + (size_t)draws) * sizeof(double) + 4096;
}

static void fill_table(const question *q, const sight *s, size_t sights, table *t)
{
    for (size_t k = 0; k < sights; k++)
        for (size_t g = 0; g < TUFA_EPS_POINTS; g++) {
            double e = expected_log(&s[k], q->eps_point[g]);
            t->expected[k * TUFA_EPS_POINTS + g] = e;
            t->likelihood[k * TUFA_EPS_POINTS + g] = likelihood(q, &s[k], e);
        }
}

/* Adds one draw to the posterior, and to what each finding would be expected to show if only the others were known. */
static void add_draw(const question *q, const sight *s, size_t sights, const table *t, double *posterior, others *o)
{
    for (size_t g = 0; g < TUFA_EPS_POINTS; g++) {
        double weight = q->in->eps.weight[g];
        for (size_t k = 0; k < sights; k++) weight *= t->likelihood[k * TUFA_EPS_POINTS + g];
        posterior[g] += weight;
        for (size_t k = 0; k < sights; k++) {
            double own = t->likelihood[k * TUFA_EPS_POINTS + g];
            if (!(own > 0.0)) continue;
            double off = s[k].seen_log - t->expected[k * TUFA_EPS_POINTS + g], without = weight / own;
            o[k].weight += without;
            o[k].mean += without * off;
            o[k].square += without * (off * off + s[k].sd * s[k].sd);
        }
    }
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
        if (surprise > worst) {
            worst = surprise;
            out->contradicting = (int)index;
        }
        if (!each) continue;
        each[index] = (tufa_learn_finding){.reads = 1, .surprise = surprise, .contradicts = surprise > TUFA_CONTRADICTS};
        each[index].expected_lo = tufa_quantile(q->n, v, 0.1);
        each[index].expected = tufa_quantile(q->n, v, 0.5);
        each[index].expected_hi = tufa_quantile(q->n, v, 0.9);
    }
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
    double *value = TAKE(&q, room * q.n, double);
    table t = {TAKE(&q, room * TUFA_EPS_POINTS, double), TAKE(&q, room * TUFA_EPS_POINTS, double)};
    if (!s || !o || !value || !t.likelihood || !t.expected) return trouble(TUFA_MEMORY, "arena", NULL);
    for (size_t k = 0; each && k < in->findings; k++) each[k] = (tufa_learn_finding){0};
    *out = (tufa_learn){.prior = in->eps, .posterior = {.rests_on = in->eps.rests_on}, .skipped = q.skipped};
    for (size_t i = 0; i < q.n; i++) {
        mass today;
        sights = walk(&q, i, s, &today);
        fill_table(&q, s, sights, &t);
        for (size_t k = 0; k < sights; k++) value[k * q.n + i] = expected_value(&s[k], q.x.eps[i]);
        add_draw(&q, s, sights, &t, out->posterior.weight, o);
    }
    out->used = sights;
    if (sights) out->posterior.rests_on = TUFA_RESTS_ON_FINDINGS;
    judge(&q, s, sights, o, value, out, each);
    return close_grid(out);
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

void tufa_learn_conjugate(double prior_log_mean, double prior_log_sd, double reading_log, double reading_log_sd,
                          double *log_mean, double *log_sd)
{
    double prior = 1.0 / (prior_log_sd * prior_log_sd), reading = 1.0 / (reading_log_sd * reading_log_sd);
    *log_mean = (prior * prior_log_mean + reading * reading_log) / (prior + reading);
    *log_sd = 1.0 / sqrt(prior + reading);
}
