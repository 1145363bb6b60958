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
typedef struct worth {
    double usd, changes_share;
} worth;

static worth worth_of(const worlds *ws, ledger *l, double without_usd, tufa_choice without)
{
    size_t n = ws->n, groups = GROUPS;
    while (groups > 1 && n / groups < 2 * LEAST_GROUP) groups--;
    order_by(n, l->signal, l->order);
    double paid = 0.0, changed = 0.0;
    for (size_t g = 0; g < groups; g++) {
        account half[2];
        memset(half, 0, sizeof half);
        for (size_t k = g * n / groups; k < (g + 1) * n / groups; k++) add_draw(l, l->order[k], &half[l->order[k] & 1u]);
        for (int h = 0; h < 2; h++) {
            tufa_choice now = choose_now(l, &half[half[1 - h].draws > 0.0 ? 1 - h : h], 0);
            paid += cost_of(&half[h], now);
            changed += now == without ? 0.0 : half[h].draws;
        }
    }
    return (worth){without_usd - paid / (double)n, changed / (double)n};
}

/* Looking in shows how far the bed has come towards the element or, over a burner, towards the depth at which it boils. */
static double bed_signal(const tufa_ahead *a, size_t i)
{
    return log(fmax(1e-3, a->draw_kg[i]) / fmax(1e-3, a->draw_trouble_kg[i]));
}

static double age_signal(const tufa_ahead *a, size_t i) { return log(fmax(0.1, a->draw_age_years[i])); }

static double truth_of(const tufa_ahead *a, tufa_sharpen s, size_t i)
{
    switch (s) {
    case TUFA_SHARPEN_AGE: return age_signal(a, i);
    case TUFA_SHARPEN_METER: return log(fmax(1.0, a->draw_litres_day[i]));
    case TUFA_SHARPEN_ELEMENT: return log(fmax(1e-3, a->draw_trouble_kg[i]));
    default: return bed_signal(a, i);
    }
}

static worth worth_of_reading(const worlds *ws, ledger *l, tufa_sharpen s, double without_usd, tufa_choice without)
{
    double error = tufa_sharpen_at(s)->log_sd;
    for (size_t i = 0; i < ws->n; i++)
        l->signal[i] = truth_of(ws->in->ahead, s, i) + error * tufa_normal_quick(tufa_uniform(ws->in->key, (uint64_t)(STREAM_READING + (int)s), i));
    return worth_of(ws, l, without_usd, without);
}

static double reading_hours(const world *w, tufa_sharpen s) { return s == TUFA_SHARPEN_AGE ? w->phone_hours : w->hours[TUFA_CHOICE_LOOK]; }

static double reading_usd(const worlds *ws, tufa_sharpen s)
{
    double usd = 0.0;
    for (size_t i = 0; i < ws->n; i++) {
        const world *w = &ws->w[i];
        usd += reading_hours(w, s) * w->own_hour + (s == TUFA_SHARPEN_AGE ? 0.0 : w->trip);
    }
    return usd / (double)ws->n;
}

/* Whoever looks first and then does the best pays the look and saves what it is worth. */
static void note_look(const worlds *ws, ledger *l, tufa_money_year *out)
{
    tufa_money_option *look = &out->option[TUFA_CHOICE_LOOK];
    const tufa_money_option *best = &out->option[out->propose_without_look];
    tufa_sharpen s = out->reading == TUFA_SHARPEN_COUNT ? TUFA_SHARPEN_HEIGHT : out->reading;
    look->possible = look->allowed = 1;
    look->reason = TUFA_REASON_NO_SURE_DATE;
    look->spend_now_usd = reading_usd(ws, s);
    for (size_t i = 0; i < ws->n; i++) l->signal[i] = reading_hours(&ws->w[i], s);
    look->hours = band_at(ws->n, l->signal, l->scratch);
    double saves = out->reading_worth_usd - look->spend_now_usd;
    look->mean_gain_usd = best->mean_gain_usd + saves;
    look->gain_usd = best->gain_usd;
    look->gain_usd.p50 += saves;
    look->gain_usd.p10 = fmin(look->gain_usd.p10, look->gain_usd.p50);
    look->gain_usd.p90 = fmax(look->gain_usd.p90, look->gain_usd.p50);
    look->best_share = best->best_share;
    look->present_usd = best->present_usd - saves;
    look->mean_done_usd = best->mean_done_usd - saves;
    look->done_usd = (tufa_band){best->done_usd.p10 - saves, best->done_usd.p50 - saves, best->done_usd.p90 - saves};
}

void consider_reading(const worlds *ws, ledger *l, tufa_money_year *out)
{
    static const tufa_sharpen READINGS[] = {TUFA_SHARPEN_HEIGHT, TUFA_SHARPEN_AGE, TUFA_SHARPEN_ELEMENT, TUFA_SHARPEN_METER};
    account a = {0};
    for (size_t i = 0; i < ws->n; i++) add_draw(l, i, &a);
    tufa_choice without = choose_now(l, &a, 0);
    double most = 0.0, best_usd = cost_of(&a, without) / a.draws;
    out->reading = TUFA_SHARPEN_COUNT;
    for (size_t k = 0; k < sizeof READINGS / sizeof READINGS[0]; k++) {
        if (READINGS[k] == TUFA_SHARPEN_ELEMENT && ws->in->ahead->heater.fuel != TUFA_ELECTRIC) continue;
        double usd = reading_usd(ws, READINGS[k]);
        worth w = worth_of_reading(ws, l, READINGS[k], best_usd, without);
        if (w.usd - usd <= fmax(most, WORTH_MARGIN * usd)) continue;
        most = w.usd - usd;
        out->reading = READINGS[k];
        out->reading_worth_usd = w.usd;
        out->reading_changes_share = w.changes_share;
    }
    note_look(ws, l, out);
}
