/* Which single reading would narrow the forecast most. What is forecast is how much of the way to trouble the bed has
 * gone five years on. A reading sees one of the things that the draws differ in, with an error of its own; the spread that
 * is left is that around the straight line through the draws, in logarithms (exact where both are log-normal). */
#include "core/ahead/inner.h"
#include "core/base/sources.h"

#include <math.h>

static const double WORTH = 0.97;          /* a reading that leaves more of the log spread than this is not named */
static const double P90_WIDTH = 2.5631031310892009; /* 10 to 90 % in standard deviations */

static const tufa_sharpen_row ROWS[TUFA_SHARPEN_COUNT] = {
#define X(id, src, ...) [TUFA_SHARPEN_##id] = {.source = src, __VA_ARGS__},
#include "tufa/sharpen.def"
#undef X
};

const tufa_sharpen_row *tufa_sharpen_at(tufa_sharpen s)
{
    return (unsigned)s < TUFA_SHARPEN_COUNT ? &ROWS[s] : NULL;
}

static double seen(const question *q, const outlook_draws *d, tufa_sharpen s, const stretch *now, size_t i)
{
    switch (s) {
    case TUFA_SHARPEN_WEIGH: return d->kg[i];
    case TUFA_SHARPEN_SLURRY: return d->bed_m3[i];
    case TUFA_SHARPEN_HEIGHT: return d->depth_m[i];
    case TUFA_SHARPEN_LAB: return tufa_ccpp_at(&q->in->ccpp, (size_t)q->x.ccpp[i], now->setpoint_K.mid);
    case TUFA_SHARPEN_METER: return now->m3_day[i];
    case TUFA_SHARPEN_AGE: return q->x.age_years[i];
    case TUFA_SHARPEN_ELEMENT: return q->heater.fuel == TUFA_ELECTRIC ? q->x.element_m[i] : 1.0;
    case TUFA_SHARPEN_SETPOINT: return now->set_K[i];
    case TUFA_SHARPEN_ANODE:   /* neither says much of a bed: an anode nothing, a burner's time little (gain and loss nearly cancel) */
    case TUFA_SHARPEN_HEAT_UP:
    case TUFA_SHARPEN_COUNT: break;
    }
    return 1.0;
}

/* A bed that is not there cannot be read: less than a tenth of a litre or of a kilogram counts as so much. */
static double least_seen(tufa_sharpen s)
{
    switch (s) {
    case TUFA_SHARPEN_WEIGH: return 0.1;
    case TUFA_SHARPEN_SLURRY: return 1e-4;
    case TUFA_SHARPEN_HEIGHT: return 2e-3;
    case TUFA_SHARPEN_AGE: return 0.1;
    default: return 1e-6;
    }
}

void sharpen(const question *q, const outlook_draws *d, tufa_ahead *out)
{
    const stretch *now = &q->stretch[stretch_on(q, (double)q->in->today_day)];
    size_t n = q->n;
    double y_mean = 0.0, y_square = 0.0, best = WORTH;
    for (size_t i = 0; i < n; i++) {
        double y = log(fmax(1e-6, d->way[i]));
        d->way[i] = y;
        y_mean += y / (double)n;
        y_square += y * y / (double)n;
    }
    double y_var = fmax(0.0, y_square - y_mean * y_mean), y_sd = sqrt(y_var);
    out->spread_now = exp(P90_WIDTH * y_sd);
    out->best = TUFA_SHARPEN_COUNT;
    for (int s = 0; s < TUFA_SHARPEN_COUNT; s++) {
        double mean = 0.0, square = 0.0, cross = 0.0;
        for (size_t i = 0; i < n; i++) {
            double g = log(fmax(least_seen((tufa_sharpen)s), seen(q, d, (tufa_sharpen)s, now, i)));
            mean += g / (double)n;
            square += g * g / (double)n;
            cross += g * (d->way[i] - y_mean) / (double)n;
        }
        double noise = ROWS[s].log_sd * ROWS[s].log_sd, var = fmax(0.0, square - mean * mean);
        double told = y_var > 0.0 && var > 1e-12 ? cross * cross / ((var + noise) * y_var) : 0.0;
        double left = sqrt(fmax(0.0, 1.0 - told));
        out->spread_after[s] = exp(P90_WIDTH * y_sd * left);
        if (left >= best) continue;
        best = left;
        out->best = (tufa_sharpen)s;
    }
}
