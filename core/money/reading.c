/* What one reading is worth before choosing: the expected saving of a choice that may differ by what it shows. */
#include "core/money/inner.h"

#include <math.h>

/* Worth is worked out from some hundred draws; a reading must be worth its cost and this share more to be named. */
static const double WORTH_MARGIN = 0.3;
static const double BEYOND_CHANCE = 2.0; /* standard errors that a saving must come to, to be told from the luck of the draws */
static const double METAL_USED = 0.85;   /* share of its metal that is gone when an anode is called used up, as in draws.c */
static const double CLEAN_KNOWN_LOG_SD = 0.05; /* of a heating-up against this tank's own clean time: the finding's error */
static const double LEAST_CCPP_MG_L = 10.0;    /* a sheet does not tell less than this from none; judgement */
enum { STREAM_READING = 2300, LEAST_DRAWS = 20 };

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

/* ---- what is paid ---- */

/* A choice, and where it is to leave the heater: for a year, or for good. */
typedef struct made {
    tufa_choice now;
    int waits;
} made;

static made choose_from(const ledger *l, const account *a)
{
    return (made){choose_now(l, a, 0), a->wait < a->now[TUFA_CHOICE_LEAVE]};
}

static double paid(const ledger *l, made m, size_t i)
{
    return m.now == TUFA_CHOICE_LEAVE && m.waits ? l->wait[i] : l->now[m.now][i];
}

/* What whoever knew the draw would pay: that, or for any other thing done this year. */
static double least_of(const ledger *l, made without, size_t i)
{
    double least = paid(l, without, i);
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++)
        if (c != (int)without.now && l->now[c] && l->allowed[c]) least = fmin(least, l->now[c][i]);
    return without.now == TUFA_CHOICE_LEAVE ? least : fmin(least, l->wait[i]);
}

/* ---- what it is worth ---- */

enum { TERMS = 3, HALVES = 2, COLUMNS = TUFA_CHOICE_COUNT + 1 };

/* What the reading leads one to expect of each choice: a curve of second degree in the rank of what it shows, for each half of the
 * draws. */
typedef struct curves {
    double of[HALVES][COLUMNS][TERMS]; /* the last column: waiting */
} curves;

static void powers(size_t rank, size_t n, double x[TERMS])
{
    double u = (2.0 * (double)rank + 1.0) / (double)n - 1.0;
    x[0] = 1.0;
    x[1] = u;
    x[2] = u * u;
}

static const double *column_of(const ledger *l, int c)
{
    if (c == TUFA_CHOICE_COUNT) return l->wait;
    return l->allowed[c] ? l->now[c] : NULL;
}

/* Solves the normal equations in place, no pivots: the sums are those of even ranks and far from singular. */
static void least_squares(double gram[TERMS][TERMS], double right[COLUMNS][TERMS], double out[COLUMNS][TERMS])
{
    for (int k = 0; k < TERMS; k++)
        for (int r = k + 1; r < TERMS; r++) {
            double f = gram[r][k] / gram[k][k];
            for (int c = k; c < TERMS; c++) gram[r][c] -= f * gram[k][c];
            for (int col = 0; col < COLUMNS; col++) right[col][r] -= f * right[col][k];
        }
    for (int col = 0; col < COLUMNS; col++)
        for (int r = TERMS - 1; r >= 0; r--) {
            double v = right[col][r];
            for (int c = r + 1; c < TERMS; c++) v -= gram[r][c] * out[col][c];
            out[col][r] = v / gram[r][r];
        }
}

static void fit(size_t n, const ledger *l, curves *f)
{
    for (int h = 0; h < HALVES; h++) {
        double gram[TERMS][TERMS] = {{0.0}}, right[COLUMNS][TERMS] = {{0.0}};
        for (size_t k = 0; k < n; k++) {
            size_t i = l->order[k];
            double x[TERMS];
            if ((int)(i & 1u) != h) continue;
            powers(k, n, x);
            for (int r = 0; r < TERMS; r++)
                for (int c = 0; c < TERMS; c++) gram[r][c] += x[r] * x[c];
            for (int col = 0; col < COLUMNS; col++) {
                const double *usd = column_of(l, col);
                for (int r = 0; r < TERMS && usd; r++) right[col][r] += usd[i] * x[r];
            }
        }
        least_squares(gram, right, f->of[h]);
    }
}

static made choose_at(const ledger *l, double of[COLUMNS][TERMS], const double x[TERMS])
{
    account a = {.draws = 1.0};
    for (int col = 0; col < COLUMNS; col++) {
        double usd = 0.0;
        for (int r = 0; r < TERMS; r++) usd += of[col][r] * x[r];
        if (col == TUFA_CHOICE_COUNT) a.wait = usd;
        else a.now[col] = usd;
    }
    return choose_from(l, &a);
}

/* One half of the draws says what to choose by what the reading shows, the other half pays for it, and the other way round: choosing
 * and paying with the same draws would find worth in mere chance. Where the choice stays as it was nothing is saved; what is
 * saved must stand out from the luck of the draws. */
static void worth_of(const worlds *ws, ledger *l, made without, tufa_money_reading *out)
{
    size_t n = ws->n;
    double saved = 0.0, square = 0.0, changed = 0.0;
    curves f = {{{{0.0}}}};
    if (n < LEAST_DRAWS) return;
    order_by(n, l->signal, l->order);
    fit(n, l, &f);
    for (size_t k = 0; k < n; k++) {
        size_t i = l->order[k];
        double x[TERMS];
        powers(k, n, x);
        made m = choose_at(l, f.of[1 - (int)(i & 1u)], x);
        if (m.now == without.now) continue;
        double d = paid(l, without, i) - paid(l, m, i);
        saved += d;
        square += d * d;
        changed += 1.0;
    }
    double mean = saved / (double)n, error = sqrt(fmax(0.0, square / (double)n - mean * mean) / (double)n);
    if (mean <= BEYOND_CHANCE * error) return;
    out->worth_usd = mean;
    out->changes_share = changed / (double)n;
}

/* ---- what it shows ---- */

/* Looking in shows how far the bed has come towards the element or, over a burner, towards the depth at which it boils. */
static double bed_signal(const tufa_ahead *a, size_t i)
{
    return log(fmax(1e-3, a->draw_kg[i]) / fmax(1e-3, a->draw_trouble_kg[i]));
}

static double metal_left(const world *w) { return fmax(0.0, 1.0 - METAL_USED * w->anode_age / w->anode_life); }

static double truth_of(const worlds *ws, tufa_sharpen s, size_t i)
{
    const tufa_ahead *a = ws->in->ahead;
    switch (s) {
    case TUFA_SHARPEN_AGE: return log(fmax(0.1, a->draw_age_years[i]));
    case TUFA_SHARPEN_METER: return log(fmax(1.0, a->draw_litres_day[i]));
    case TUFA_SHARPEN_ELEMENT: return log(fmax(1e-3, a->draw_element_m[i]));
    case TUFA_SHARPEN_LAB: return log(LEAST_CCPP_MG_L + fmax(0.0, a->draw_ccpp_mg_L[i]));
    case TUFA_SHARPEN_ANODE: return metal_left(&ws->w[i]);
    case TUFA_SHARPEN_HEAT_UP: return a->draw_heat_up_log[i];
    default: return bed_signal(a, i);
    }
}

static double error_of(const tufa_money_in *in, tufa_sharpen s)
{
    const tufa_sharpen_row *row = tufa_sharpen_at(s);
    if (s == TUFA_SHARPEN_HEAT_UP && in->clean_heat_up) return CLEAN_KNOWN_LOG_SD;
    return row->share_sd > 0.0 ? row->share_sd : row->log_sd;
}

static int applies(const tufa_money_in *in, tufa_sharpen s)
{
    int electric = in->ahead->heater.fuel == TUFA_ELECTRIC;
    return !in->taken[s] && !(s == TUFA_SHARPEN_ELEMENT && !electric) && !(s == TUFA_SHARPEN_HEAT_UP && electric);
}

/* Mean of a skewed quantity by its 10, 50 and 90 % points (Swanson's rule; common practice). */
static double mean_about(tufa_value v) { return 0.3 * v.lo + 0.4 * v.mid + 0.3 * v.hi; }

static double cost_usd(const worlds *ws, tufa_sharpen s)
{
    static const double MINUTES_HOUR = 60.0;
    const tufa_sharpen_row *row = tufa_sharpen_at(s);
    double hours = mean_about(row->minutes) / MINUTES_HOUR, usd = 0.0;
    for (size_t i = 0; i < ws->n; i++) usd += hours * ws->w[i].own_hour + row->trips * ws->w[i].trip;
    return usd / (double)ws->n + (s == TUFA_SHARPEN_LAB ? mean_about(ws->in->prices.usd[TUFA_PRICE_LAB_SHEET]) : 0.0);
}

static void weigh_reading(const worlds *ws, ledger *l, tufa_sharpen s, made without, tufa_money_reading *out)
{
    double error = error_of(ws->in, s), lo = HUGE_VAL, hi = -HUGE_VAL;
    out->applies = 1;
    out->cost_usd = cost_usd(ws, s);
    for (size_t i = 0; i < ws->n; i++) {
        double truth = truth_of(ws, s, i);
        lo = fmin(lo, truth);
        hi = fmax(hi, truth);
        l->signal[i] = truth + error * tufa_normal_quick(tufa_uniform(ws->in->key, (uint64_t)(STREAM_READING + (int)s), i));
    }
    if (hi - lo > 1e-9) worth_of(ws, l, without, out); /* else it is known already */
}

/* Whoever looks first and then does the best pays the look and saves what it is worth. */
static void note_look(tufa_money_year *out)
{
    tufa_money_option *look = &out->option[TUFA_CHOICE_LOOK];
    const tufa_money_option *best = &out->option[out->propose_without_look];
    tufa_sharpen s = out->reading == TUFA_SHARPEN_COUNT ? TUFA_SHARPEN_HEIGHT : out->reading;
    tufa_value minutes = tufa_sharpen_at(s)->minutes;
    look->possible = look->allowed = 1;
    look->reason = TUFA_REASON_NO_SURE_DATE;
    look->spend_now_usd = out->of_reading[s].cost_usd;
    look->hours = (tufa_band){minutes.lo / 60.0, minutes.mid / 60.0, minutes.hi / 60.0};
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

/* Which of them saves most beyond its cost, if any does so clearly. */
static void name_best(tufa_money_year *out)
{
    double most = 0.0;
    out->reading = TUFA_SHARPEN_COUNT;
    for (int s = 0; s < TUFA_SHARPEN_COUNT; s++) {
        const tufa_money_reading *r = &out->of_reading[s];
        if (!r->applies || r->worth_usd - r->cost_usd <= fmax(most, WORTH_MARGIN * r->cost_usd)) continue;
        most = r->worth_usd - r->cost_usd;
        out->reading = (tufa_sharpen)s;
        out->reading_worth_usd = r->worth_usd;
        out->reading_changes_share = r->changes_share;
    }
}

void consider_reading(const worlds *ws, ledger *l, tufa_money_year *out)
{
    /* a weighing and a pail's slurry come out of the work itself; a tap's temperature is read on any visit */
    static const tufa_sharpen READINGS[] = {TUFA_SHARPEN_HEIGHT, TUFA_SHARPEN_AGE, TUFA_SHARPEN_ELEMENT, TUFA_SHARPEN_METER,
                                            TUFA_SHARPEN_LAB, TUFA_SHARPEN_ANODE, TUFA_SHARPEN_HEAT_UP};
    account a = {0};
    for (size_t i = 0; i < ws->n; i++) add_draw(l, i, &a);
    made without = choose_from(l, &a);
    for (size_t i = 0; i < ws->n; i++) out->perfect_worth_usd += (paid(l, without, i) - least_of(l, without, i)) / (double)ws->n;
    for (size_t k = 0; k < sizeof READINGS / sizeof READINGS[0]; k++)
        if (applies(ws->in, READINGS[k])) weigh_reading(ws, l, READINGS[k], without, &out->of_reading[READINGS[k]]);
    out->of_reading[TUFA_SHARPEN_HEIGHT].cost_usd = cost_usd(ws, TUFA_SHARPEN_HEIGHT); /* of a look whatever it is for */
    name_best(out);
    note_look(out);
}
