/* Heaters on one water: a grid for their common mean, each heater's likelihood smeared by the spread between heaters. */
#include "core/base/status.h"
#include "tufa/learn.h"

#include <math.h>

enum { N = TUFA_EPS_POINTS };
static const double WATER_LOG_SD = 0.40, BETWEEN_LOG_SD = 0.38; /* squares sum to 0.55^2; the split is judgement */

/* Kernel of the spread between heaters by distance in cells; sums to 1 over the line. */
typedef struct smear {
    double at[2 * N - 1];
} smear;

tufa_learn_water tufa_learn_water_default(tufa_fuel fuel)
{
    tufa_eps prior = tufa_eps_prior(fuel);
    return (tufa_learn_water){.median = tufa_eps_at(&prior, 0.5), .water_log_sd = WATER_LOG_SD, .between_log_sd = BETWEEN_LOG_SD};
}

static smear smear_of(double log_sd)
{
    smear k;
    double cell = log(tufa_eps_point(1) / tufa_eps_point(0));
    for (int d = -(N - 1); d < N; d++)
        k.at[d + N - 1] = tufa_normal_cdf((d + 0.5) * cell / log_sd) - tufa_normal_cdf((d - 0.5) * cell / log_sd);
    return k;
}

/* to[c] = sum over g of kernel(g - c) from[g]. */
static void spread_out(const smear *k, const double *from, double *to)
{
    for (int c = 0; c < N; c++) {
        double sum = 0.0;
        for (int g = 0; g < N; g++) sum += k->at[g - c + N - 1] * from[g];
        to[c] = sum;
    }
}

static tufa_status normalised(const double *log_weight, tufa_rests_on rests_on, tufa_eps *out)
{
    double most = -HUGE_VAL, sum = 0.0;
    for (int g = 0; g < N; g++) most = fmax(most, log_weight[g]);
    if (most == -HUGE_VAL) return trouble(TUFA_CONFLICT, "own", "no common mean tells what was found in all of them");
    for (int g = 0; g < N; g++) sum += out->weight[g] = exp(log_weight[g] - most);
    for (int g = 0; g < N; g++) out->weight[g] /= sum;
    out->rests_on = rests_on;
    return OK;
}

static void as_prior(const smear *k, const tufa_eps *common, tufa_eps *out)
{
    double sum = 0.0;
    spread_out(k, common->weight, out->weight);
    for (int g = 0; g < N; g++) sum += out->weight[g];
    for (int g = 0; g < N; g++) out->weight[g] /= sum;
    out->rests_on = common->rests_on;
}

/* ln of the chance of heater j's findings for each common mean; 0 everywhere where nothing was read. */
static void tell(const smear *k, const tufa_learn *own, double *log_told)
{
    double likelihood[N], told[N];
    for (int g = 0; g < N; g++)
        likelihood[g] = own->prior.weight[g] > 0.0 ? own->posterior.weight[g] / own->prior.weight[g] : 0.0;
    spread_out(k, likelihood, told);
    for (int g = 0; g < N; g++) log_told[g] = own->used == 0 ? 0.0 : told[g] > 0.0 ? log(told[g]) : -HUGE_VAL;
}

static tufa_status combine(const tufa_learn_water *w, size_t n, const tufa_learn *own, double *told, tufa_eps *common,
                           tufa_eps *fresh, tufa_eps *each)
{
    smear k = smear_of(w->between_log_sd);
    tufa_eps start = tufa_eps_lognormal(w->median, w->water_log_sd), middle;
    double all[N], others[N];
    size_t read = 0;
    for (int g = 0; g < N; g++) all[g] = start.weight[g] > 0.0 ? log(start.weight[g]) : -HUGE_VAL;
    for (size_t j = 0; j < n; j++) {
        tell(&k, &own[j], told + j * N);
        for (int g = 0; g < N; g++) all[g] += told[j * N + (size_t)g];
        read += own[j].used > 0;
    }
    RETURN_IF(normalised(all, read ? TUFA_RESTS_ON_NEIGHBOURS : TUFA_RESTS_ON_PRIOR, common));
    as_prior(&k, common, fresh);
    for (size_t j = 0; each && j < n; j++) {
        for (int g = 0; g < N; g++) {
            double mine = told[j * N + (size_t)g];
            others[g] = mine == -HUGE_VAL ? -HUGE_VAL : all[g] - mine;
        }
        size_t rest = read - (own[j].used > 0);
        RETURN_IF(normalised(others, rest ? TUFA_RESTS_ON_NEIGHBOURS : TUFA_RESTS_ON_PRIOR, &middle));
        as_prior(&k, &middle, &each[j]);
    }
    return OK;
}

tufa_status tufa_learn_neighbours(const tufa_learn_water *w, size_t n, const tufa_learn *own, tufa_arena *arena,
                                  tufa_eps *common, tufa_eps *fresh, tufa_eps *each)
{
    RETURN_IF(in_range("median", w->median, TUFA_EPS_LO, TUFA_EPS_HI));
    RETURN_IF(in_range("water_log_sd", w->water_log_sd, 0.03, 5.0));
    RETURN_IF(in_range("between_log_sd", w->between_log_sd, 0.03, 5.0));
    size_t used = arena->used;
    double *told = tufa_arena_take(arena, (n ? n : 1) * N, sizeof *told);
    tufa_status st = told ? combine(w, n, own, told, common, fresh, each) : trouble(TUFA_MEMORY, "arena", NULL);
    arena->used = used;
    return st;
}
