/* What one reading is worth before choosing: the expected saving of a choice that may differ by what it shows. */
#include "core/money/inner.h"

#include <math.h>
#include <string.h>

/* Worth is worked out from some hundred draws; a reading must be worth its cost and this share more to be named. */
static const double WORTH_MARGIN = 0.3;
enum { GROUPS = 10, STREAM_READING = 2300, LEAST_GROUP = 5 };

static void order_by(size_t n, const double *v, uint32_t *order)
{
    for (size_t i = 0; i < n; i++) order[i] = (uint32_t)i;
    for (size_t gap = n / 2; gap > 0; gap /= 2) /* Shell's sort: short, in place, no recursion */
        for (size_t i = gap; i < n; i++) {
            uint32_t it = order[i];
            size_t k = i;
            for (; k >= gap && v[order[k - gap]] > v[it]; k -= gap) order[k] = order[k - gap];
            order[k] = it;
        }
}

/* Draws are put in groups by what the reading would show. Half of each group chooses, the other half pays, and the
 * other way round: choosing and paying with the same draws would find worth in mere chance. */
static double worth_of(const worlds *ws, ledger *l, double without_usd)
{
    size_t n = ws->n, groups = GROUPS;
    while (groups > 1 && n / groups < 2 * LEAST_GROUP) groups--;
    order_by(n, l->signal, l->order);
    double paid = 0.0;
    for (size_t g = 0; g < groups; g++) {
        account half[2];
        memset(half, 0, sizeof half);
        for (size_t k = g * n / groups; k < (g + 1) * n / groups; k++) add_draw(l, l->order[k], &half[l->order[k] & 1u]);
        for (int h = 0; h < 2; h++) {
            tufa_choice later, now = choose_now(l, &half[half[1 - h].draws > 0.0 ? 1 - h : h], 0, &later);
            paid += cost_of(&half[h], now, later);
        }
    }
    return without_usd - paid / (double)n;
}

/* Looking in shows how far the bed has come towards the element or, over a burner, towards the depth at which it boils. */
static double bed_signal(const tufa_ahead *a, size_t i)
{
    return log(fmax(1e-3, a->draw_kg[i]) / fmax(1e-3, a->draw_trouble_kg[i]));
}

static double age_signal(const tufa_ahead *a, size_t i) { return log(fmax(0.1, a->draw_age_years[i])); }

static double worth_of_reading(const worlds *ws, ledger *l, tufa_sharpen s, double without_usd)
{
    const tufa_ahead *a = ws->in->ahead;
    double error = tufa_sharpen_at(s)->log_sd;
    for (size_t i = 0; i < ws->n; i++) {
        double truth = s == TUFA_SHARPEN_AGE ? age_signal(a, i) : bed_signal(a, i);
        l->signal[i] = truth + error * tufa_normal_quick(tufa_uniform(ws->in->key, (uint64_t)(STREAM_READING + (int)s), i));
    }
    return worth_of(ws, l, without_usd);
}

static double reading_usd(const worlds *ws, ledger *l, tufa_sharpen s)
{
    for (size_t i = 0; i < ws->n; i++) {
        const world *w = &ws->w[i];
        l->scratch[i] = s == TUFA_SHARPEN_AGE ? w->phone_hours * w->own_hour : w->hours[TUFA_CHOICE_LOOK] * w->own_hour + w->trip;
    }
    return mean_of(ws->n, l->scratch);
}

/* Cost of the choice without any reading, by cost alone. */
static double without_reading(const worlds *ws, const ledger *l)
{
    account a = {0};
    tufa_choice later, now;
    for (size_t i = 0; i < ws->n; i++) add_draw(l, i, &a);
    now = choose_now(l, &a, 0, &later);
    return cost_of(&a, now, later) / a.draws;
}

void consider_reading(const worlds *ws, ledger *l, tufa_money_year *out)
{
    static const tufa_sharpen READINGS[] = {TUFA_SHARPEN_HEIGHT, TUFA_SHARPEN_AGE};
    double most = 0.0, best_usd = without_reading(ws, l);
    out->reading = TUFA_SHARPEN_COUNT;
    for (size_t k = 0; k < sizeof READINGS / sizeof READINGS[0]; k++) {
        double usd = reading_usd(ws, l, READINGS[k]), worth = worth_of_reading(ws, l, READINGS[k], best_usd);
        if (worth - usd <= fmax(most, WORTH_MARGIN * usd)) continue;
        most = worth - usd;
        out->reading = READINGS[k];
        out->reading_worth_usd = worth;
    }
    tufa_money_option *look = &out->option[TUFA_CHOICE_LOOK];
    look->possible = 1;
    look->reason = TUFA_REASON_NO_SURE_DATE;
    int phone = out->reading == TUFA_SHARPEN_AGE;
    look->spend_now_usd = reading_usd(ws, l, phone ? TUFA_SHARPEN_AGE : TUFA_SHARPEN_HEIGHT);
    for (size_t i = 0; i < ws->n; i++) l->signal[i] = phone ? ws->w[i].phone_hours : ws->w[i].hours[TUFA_CHOICE_LOOK];
    look->hours = band_at(ws->n, l->signal, l->scratch);
    /* whoever looks first and then does the best pays the look and saves what it is worth */
    look->mean_gain_usd = out->option[out->propose_without_look].mean_gain_usd + out->reading_worth_usd - look->spend_now_usd;
    look->gain_usd = out->option[out->propose_without_look].gain_usd;
    look->gain_usd.p50 += out->reading_worth_usd - look->spend_now_usd;
    look->gain_usd.p10 = fmin(look->gain_usd.p10, look->gain_usd.p50);
    look->gain_usd.p90 = fmax(look->gain_usd.p90, look->gain_usd.p50);
    look->best_share = out->option[out->propose_without_look].best_share;
    look->mean_done_usd = best_usd + look->spend_now_usd - out->reading_worth_usd;
    double shift = look->spend_now_usd - out->reading_worth_usd;
    tufa_band done = out->option[out->propose_without_look].done_usd;
    look->done_usd = (tufa_band){done.p10 + shift, done.p50 + shift, done.p90 + shift};
}
