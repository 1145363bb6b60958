/* What a kilogram of bed costs, shared between gas heaters: a grid for the common middle, each heater's likelihood smeared by the
 * spread between heaters. */
#include "core/base/status.h"
#include "tufa/learn.h"

#include <math.h>

enum { N = TUFA_LOSS_CELLS, IMAGES = 2 };

/* at[c][g]: chance of cell g where the common middle is in cell c; rows and columns sum to 1. */
typedef struct kernel {
    double at[N][N];
} kernel;

static double normal_between(double lo, double hi, double sd) { return tufa_normal_cdf(hi / sd) - tufa_normal_cdf(lo / sd); }

static kernel kernel_of(double log_sd)
{
    double cell = log(tufa_loss_cell(1) / tufa_loss_cell(0));
    kernel k = {{{0.0}}};
    for (int c = 0; c < N; c++)
        for (int g = 0; g < N; g++)
            for (int image = -IMAGES; image <= IMAGES; image++) { /* mirrored at both ends, again and again */
                int straight = 2 * N * image + g - c, mirrored = 2 * N * image - 1 - g - c;
                k.at[c][g] += normal_between((straight - 0.5) * cell, (straight + 0.5) * cell, log_sd) +
                              normal_between((mirrored - 0.5) * cell, (mirrored + 0.5) * cell, log_sd);
            }
    for (int c = 0; c < N; c++) { /* what lies beyond the last image is next to nothing */
        double sum = 0.0;
        for (int g = 0; g < N; g++) sum += k.at[c][g];
        for (int g = 0; g < N; g++) k.at[c][g] /= sum;
    }
    return k;
}

/* ln of the chance of a heater's times, by the common middle. */
static void tell(const kernel *k, const tufa_learn *own, double told[N])
{
    for (int c = 0; c < N; c++) {
        double sum = 0.0;
        for (int g = 0; g < N; g++) sum += k->at[c][g] * own->loss_told[g];
        told[c] = own->loss_used == 0 ? 0.0 : log(fmax(1e-300, sum));
    }
}

static void from_logs(const double log_weight[N], tufa_rests_on rests_on, tufa_loss *out)
{
    double most = -HUGE_VAL, sum = 0.0;
    for (int c = 0; c < N; c++) most = fmax(most, log_weight[c]);
    for (int c = 0; c < N; c++) sum += out->weight[c] = exp(log_weight[c] - most);
    for (int c = 0; c < N; c++) out->weight[c] /= sum;
    out->rests_on = rests_on;
}

static tufa_loss around(const kernel *k, const tufa_loss *common)
{
    tufa_loss l = {.rests_on = common->rests_on};
    for (int c = 0; c < N; c++)
        for (int g = 0; g < N; g++) l.weight[g] += common->weight[c] * k->at[c][g];
    return l;
}

/* Others as prior, its own times as likelihood. */
static tufa_loss both(const tufa_loss *prior, const tufa_learn *own)
{
    tufa_loss l = *prior;
    double sum = 0.0;
    if (own->loss_used == 0) return l;
    for (int g = 0; g < N; g++) sum += l.weight[g] *= own->loss_told[g];
    for (int g = 0; g < N; g++) l.weight[g] /= sum;
    l.rests_on = TUFA_RESTS_ON_FINDINGS;
    return l;
}

tufa_status tufa_learn_losses(size_t n, const tufa_learn *own, tufa_loss *common, tufa_loss *fresh, tufa_loss *each, tufa_loss *with)
{
    kernel k = kernel_of(TUFA_LOSS_BETWEEN_LOG_SD);
    double all[N] = {0.0}, told[N], others[N];
    size_t read = 0;
    for (size_t j = 0; j < n; j++) {
        double most = 0.0;
        for (int g = 0; g < N; g++) most = fmax(most, own[j].loss_told[g]);
        if (own[j].loss_used > 0 && !(most > 0.0)) return trouble(TUFA_CONFLICT, "own", "no cost of a bed tells the times of a heater");
        tell(&k, &own[j], told);
        for (int c = 0; c < N; c++) all[c] += told[c];
        read += own[j].loss_used > 0;
    }
    from_logs(all, read ? TUFA_RESTS_ON_NEIGHBOURS : TUFA_RESTS_ON_PRIOR, common);
    *fresh = around(&k, common);
    for (size_t j = 0; (each || with) && j < n; j++) {
        tufa_loss middle, prior;
        tell(&k, &own[j], told);
        for (int c = 0; c < N; c++) others[c] = all[c] - told[c];
        from_logs(others, read > (own[j].loss_used > 0) ? TUFA_RESTS_ON_NEIGHBOURS : TUFA_RESTS_ON_PRIOR, &middle);
        prior = around(&k, &middle);
        if (each) each[j] = prior;
        if (with) with[j] = both(&prior, &own[j]);
    }
    return OK;
}
