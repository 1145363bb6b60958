/* From raw periods to the answer: prepare, search, set wild readings and unmarked estimates aside, fit what is left. */
#include <math.h>
#include <string.h>

#include "core/base/status.h"
#include "core/bill/series.h"

enum { LEAST_PERIODS = 6, MOST_SEARCHES = 24 };

static const double WILD_PRIOR = 0.01;     /* share of readings that are wrong: judgement, one in eight years of bills */
static const double CATCH_UP_PRIOR = 0.02; /* share of readings that are unmarked estimates: judgement */
static const double SUSPECT = 3.0;         /* studentised residual from which a reading is looked at */
static const double WILD_SHARE = 0.33;     /* off by less than a third it is an odd month, not a wrong reading: judgement */

static const char *const FORM_NAME[TUFA_BILL_FORM_COUNT] = {"1P", "2P", "3PH", "3PC", "4P", "5P"};
static const char *const KIND_NAME[TUFA_BILL_KIND_COUNT] = {"none", "step", "pulse", "ramp", "step_and_back"};

const char *tufa_bill_form_name(tufa_bill_form form)
{
    return (unsigned)form < TUFA_BILL_FORM_COUNT ? FORM_NAME[form] : "";
}

const char *tufa_bill_kind_name(tufa_bill_change_kind kind)
{
    return (unsigned)kind < TUFA_BILL_KIND_COUNT ? KIND_NAME[kind] : "";
}

typedef struct fit {
    bill_design design;
    bill_candidate change;
    int k; /* columns with the change */
    double coef[BILL_MAX_COLUMNS + 1], se[BILL_MAX_COLUMNS + 1], rss, rss_plain;
    double *residual, *studentised, *leverage;
} fit;

typedef struct work {
    bill_series s;
    tufa_bill_period *p, *spare;
    double *y, *sd, *x;
    const tufa_bill_options *opt;
    tufa_arena *scratch;
    tufa_bill_result *out;
    bill_odds odds;
    fit f;
    double level_power;
    int searches;
} work;

/* ---- series ---- */

static double median_days(const work *w, size_t n, const tufa_bill_period *p)
{
    for (size_t i = 0; i < n; i++) w->x[i] = p[i].days;
    return tufa_quantile(n, w->x, 0.5);
}

/* Half of the spread of a period's daily use is taken to shrink with its length, half not (judgement); where the
 * readings say so, the spread grows with the level. */
static void set_spread(work *w)
{
    bill_series *s = &w->s;
    double usual = median_days(w, s->n, s->p), mean = 0.0;
    for (size_t i = 0; i < s->n; i++) mean += s->y[i] / (double)s->n;
    for (size_t i = 0; i < s->n; i++) {
        double level = s->y[i] - w->f.residual[i];
        s->sd[i] = w->opt->equal_weights ? 1.0 : sqrt(0.5 + 0.5 * fmin(usual / s->p[i].days, 20.0));
        if (w->level_power > 0.0 && mean > 0.0) s->sd[i] *= pow(fmax(level, 0.15 * mean) / mean, w->level_power);
    }
}

static void set_series(work *w, size_t n)
{
    bill_series *s = &w->s;
    double first = 1e300, last = -1e300;
    s->n = n;
    s->p = w->p;
    s->y = w->y;
    s->sd = w->sd;
    s->weather = 1;
    int monthly = 1;
    for (size_t i = 0; i < n; i++) {
        const tufa_bill_period *p = &w->p[i];
        int by_day = s->day_K && p->start_day >= s->first_day && bill_end(p) <= s->first_day + (double)s->n_days + 1e-9;
        s->weather &= by_day || (p->flags & TUFA_BILL_HAS_MEAN);
        monthly &= p->days <= 62.0;
        s->y[i] = p->use / p->days;
        first = fmin(first, p->start_day);
        last = fmax(last, bill_end(p));
    }
    const double LEAST_SEASON_DAYS = 330.0;
    s->season = !s->weather && monthly && last - first >= LEAST_SEASON_DAYS;
}

/* ---- the least-squares fit that is shown ---- */

static void change_column(const bill_series *s, const bill_candidate *c, double *col)
{
    for (size_t i = 0; i < s->n; i++) {
        double after = bill_after(s, i, c->a);
        if (c->kind == TUFA_BILL_PULSE || c->kind == TUFA_BILL_STEP_AND_BACK) after -= bill_after(s, i, c->b);
        if (c->kind == TUFA_BILL_RAMP)
            after = (bill_rise(s, i, c->a) - bill_rise(s, i, c->b)) / ((c->b - c->a) / 365.25);
        col[i] = after;
    }
}

/* Columns of the whole model into w->x, with the roots of the weights where readings weigh differently. */
static int fit_at(work *w, fit *f)
{
    bill_series *s = &w->s;
    size_t n = s->n;
    bill_columns(s, &f->design, w->x);
    f->k = f->design.columns;
    double se[BILL_MAX_COLUMNS + 1], coef[BILL_MAX_COLUMNS + 1];
    if (!bill_least_squares(n, f->k, w->x, s->y, coef, se, &f->rss_plain)) return 0;
    if (f->change.kind != TUFA_BILL_NONE) change_column(s, &f->change, w->x + (size_t)f->k++ * n);
    return bill_least_squares(n, f->k, w->x, s->y, f->coef, f->se, &f->rss);
}

static void set_residuals(work *w, fit *f)
{
    size_t n = w->s.n;
    for (size_t i = 0; i < n; i++) {
        f->residual[i] = w->s.y[i];
        for (int j = 0; j < f->k; j++) f->residual[i] -= f->coef[j] * w->x[(size_t)j * n + i];
    }
    int k = bill_orthonormal(n, f->k, w->x);
    double nu = (double)n - k - 1.0;
    for (size_t i = 0; i < n; i++) {
        double leverage = 0.0, r = f->residual[i];
        for (int j = 0; j < k; j++) leverage += w->x[(size_t)j * n + i] * w->x[(size_t)j * n + i];
        double free = fmax(1.0 - leverage, 1e-6), rest = fmax(f->rss - r * r / free, 1e-12 * f->rss);
        f->leverage[i] = leverage;
        f->studentised[i] = nu > 0.0 ? r / sqrt(rest / nu * free) : 0.0;
    }
}

/* Balance points on a fine grid around the data; the one of least squares. */
static void finest_balance(work *w, fit *f)
{
    const double STEP_K = 0.05, AROUND_K = 2.0;
    double best = 1e300, from_h = f->design.tau_h, from_c = f->design.tau_c;
    int both = f->design.form == TUFA_BILL_5P, heats = f->design.form != TUFA_BILL_3PC, cools = f->design.form != TUFA_BILL_3PH;
    fit trial = *f, top = *f;
    if (f->design.form == TUFA_BILL_1P || f->design.form == TUFA_BILL_2P) {
        if (fit_at(w, f)) set_residuals(w, f);
        return;
    }
    double step = both ? 4.0 * STEP_K : STEP_K;
    for (double dh = -AROUND_K; dh <= AROUND_K + 1e-9; dh += step) {
        for (double dc = both ? -AROUND_K : 0.0; dc <= (both ? AROUND_K : 0.0) + 1e-9; dc += step) {
            if (heats) trial.design.tau_h = from_h + dh;
            if (cools) trial.design.tau_c = both ? from_c + dc : from_c + dh;
            if (both && trial.design.tau_c < trial.design.tau_h) continue;
            if (!bill_slope_rests(&w->s, &trial.design) || !fit_at(w, &trial) || trial.rss >= best) continue;
            best = trial.rss;
            top = trial;
        }
    }
    *f = top;
    if (fit_at(w, f)) set_residuals(w, f);
}

/* Dates of a change to the day, near where the search found them. */
static void finest_dates(work *w, fit *f)
{
    if (f->change.kind == TUFA_BILL_NONE || f->change.kind == TUFA_BILL_STEP) return;
    double reach = 20.0, first = w->s.p[0].start_day, last = bill_end(&w->s.p[w->s.n - 1]);
    for (int round = 0; round < 4; round++) {
        double *end = round % 2 ? &f->change.b : &f->change.a, from = *end, best = 1e300, at = from;
        for (double d = -reach; d <= reach; d += 1.0) {
            *end = fmin(fmax(from + d, first), last);
            if (f->change.b - f->change.a < 30.0 || !fit_at(w, f) || f->rss >= best) continue;
            best = f->rss;
            at = *end;
        }
        *end = at;
    }
}

static void shown_fit(work *w)
{
    w->f.design = w->odds.design;
    w->f.change = w->odds.best;
    finest_dates(w, &w->f);
    finest_balance(w, &w->f);
}

static tufa_status search_now(work *w)
{
    w->searches++;
    set_spread(w);
    RETURN_IF(bill_search(&w->s, w->opt, w->scratch, &w->odds));
    shown_fit(w);
    return OK;
}

/* ---- spread that grows with the level ---- */

static double log_likelihood(const work *w, double power)
{
    const bill_series *s = &w->s;
    double mean = 0.0, sum = 0.0, logs = 0.0;
    for (size_t i = 0; i < s->n; i++) mean += s->y[i] / (double)s->n;
    for (size_t i = 0; i < s->n; i++) {
        double v = pow(fmax(s->y[i] - w->f.residual[i], 0.15 * mean) / mean, power), r = w->f.residual[i] / v;
        sum += r * r;
        logs += log(v);
    }
    return -logs - 0.5 * (double)s->n * log(sum / (double)s->n);
}

static tufa_status choose_spread(work *w)
{
    const double POWERS[] = {0.5, 1.0}, CLEARLY = 1.5;
    if (w->opt->equal_weights) return OK;
    double plain = log_likelihood(w, 0.0), best = plain + CLEARLY, power = 0.0;
    for (size_t i = 0; i < sizeof POWERS / sizeof POWERS[0]; i++) {
        double l = log_likelihood(w, POWERS[i]);
        if (l > best) best = l, power = POWERS[i];
    }
    if (power == w->level_power) return OK;
    w->level_power = power;
    return search_now(w);
}

/* ---- wild readings and unmarked estimates ---- */

/* log of the gamma function, x >= 0.5: Stirling's series after a shift. */
static double log_gamma(double x)
{
    double shift = 0.0;
    for (; x < 10.0; x += 1.0) shift -= log(x);
    double x2 = x * x;
    return shift + (x - 0.5) * log(x) - x + 0.91893853320467274 + (1.0 / 12.0 - (1.0 / 360.0 - 1.0 / (1260.0 * x2)) / x2) / x;
}

/* Evidence that can be compared between series of different length. */
static double comparable(const work *w)
{
    double n = (double)w->s.n, logs = 0.0;
    for (size_t i = 0; i < w->s.n; i++) logs += log(w->s.sd[i]);
    return w->odds.log_all + log_gamma(0.5 * (n - 1.0)) - 0.5 * (n - 1.0) * log(3.14159265358979) - 0.5 * log(n) - logs;
}

/* Tries the series with `gone` periods from i on replaced by `instead` (or nothing); `gain` is what the evidence says for
 * it, with the prior odds of such a mistake. Keeps it when that is above `bar`; the periods as they were stay in w->spare. */
static tufa_status try_without(work *w, size_t i, size_t gone, const tufa_bill_period *instead, double log_bonus, double bar, double *gain)
{
    size_t n = w->s.n, m = 0;
    double before = comparable(w), *old_residual = w->sd + TUFA_BILL_MAX_PERIODS;
    bill_odds odds = w->odds;
    fit f = w->f;
    memcpy(w->spare, w->p, n * sizeof *w->p);
    memcpy(old_residual, w->f.residual, n * sizeof(double));
    for (size_t j = 0; j < n; j++) {
        int put = instead && j == i;
        if (j >= i && j < i + gone && !put) continue;
        w->f.residual[m] = old_residual[j];
        w->p[m++] = put ? *instead : w->spare[j];
    }
    set_series(w, m);
    tufa_status st = search_now(w);
    *gain = st.code == TUFA_OK ? comparable(w) + log_bonus - before : -HUGE_VAL;
    if (*gain > bar) return OK;
    memcpy(w->p, w->spare, n * sizeof *w->p);
    memcpy(w->f.residual, old_residual, n * sizeof(double));
    set_series(w, n);
    set_spread(w);
    w->odds = odds;
    w->f = f;
    if (fit_at(w, &w->f)) set_residuals(w, &w->f);
    return OK;
}

static double highest(const work *w, size_t but)
{
    double top = 0.0;
    for (size_t i = 0; i < w->s.n; i++)
        if (i != but) top = fmax(top, w->s.y[i]);
    return top;
}

/* Against what the other readings let expect. */
static int off_enough(const work *w, const fit *f, size_t i)
{
    double mean = 0.0, off = f->residual[i] / fmax(1.0 - f->leverage[i], 0.02);
    for (size_t j = 0; j < w->s.n; j++) mean += w->s.y[j] / (double)w->s.n;
    return fabs(off) > WILD_SHARE * fmax(w->s.y[i] - off, 0.5 * mean);
}

/* Far from the fit, or holding it by itself. */
static int suspect(const work *w, const fit *f, size_t i)
{
    const double HOLDS_IT = 0.6;
    return (fabs(f->studentised[i]) > SUSPECT || f->leverage[i] > HOLDS_IT) && off_enough(w, f, i);
}

/* Adds the two most suspect readings of a fit to the list. */
static size_t add_suspects(const work *w, const fit *f, size_t m, size_t room, size_t *at)
{
    for (size_t found = 0; found < 2 && m < room; found++) {
        size_t best = w->s.n;
        for (size_t i = 0; i < w->s.n; i++) {
            int known = 0;
            for (size_t j = 0; j < m; j++) known |= at[j] == i;
            if (!known && suspect(w, f, i) && (best == w->s.n || fabs(f->studentised[i]) > fabs(f->studentised[best]))) best = i;
        }
        if (best == w->s.n) break;
        at[m++] = best;
    }
    return m;
}

/* The suspects: what strays from the favoured fit, and from the fit without a change of each form in the running. */
static size_t suspects(work *w, size_t room, size_t *at)
{
    size_t m = add_suspects(w, &w->f, 0, room, at);
    for (int form = 0; form < TUFA_BILL_FORM_COUNT && m < room; form++) {
        fit f = {.design = w->odds.form_design[form], .change = {.kind = TUFA_BILL_NONE}};
        f.residual = w->sd + TUFA_BILL_MAX_PERIODS; /* scratch */
        f.studentised = w->y + TUFA_BILL_MAX_PERIODS;
        f.leverage = w->y + 2 * TUFA_BILL_MAX_PERIODS;
        if (!w->odds.form_seen[form] || (form == (int)w->f.design.form && w->f.change.kind == TUFA_BILL_NONE) || !fit_at(w, &f)) continue;
        set_residuals(w, &f);
        m = add_suspects(w, &f, m, room, at);
    }
    return m;
}

static double typical_residual(work *w)
{
    for (size_t i = 0; i < w->s.n; i++) w->x[i] = fabs(w->f.residual[i]);
    return 1.4826 * tufa_quantile(w->s.n, w->x, 0.5); /* median to standard deviation of a normal */
}

/* Readings i and j off in opposite ways, and right together with what lies between. */
static int makes_up(work *w, size_t i, size_t j)
{
    double s = typical_residual(w), a = w->f.residual[i], b = w->f.residual[j], sum = 0.0, days = 0.0;
    if (!(a * b < 0.0 && fmin(fabs(a), fabs(b)) > SUSPECT * s)) return 0;
    if (!off_enough(w, &w->f, i) && !off_enough(w, &w->f, j)) return 0;
    for (size_t m = i; m <= j; m++) {
        sum += w->f.residual[m] * w->p[m].days;
        days += w->p[m].days;
    }
    return fabs(sum) < s * days;
}

/* An estimate that nobody marked, and the reading that corrects it, up to two bills later. */
static tufa_status join_catch_ups(work *w)
{
    enum { LATER = 3 };
    for (size_t i = 0; i + 1 < w->s.n; i++)
        for (size_t j = i + 1; j < w->s.n && j <= i + LATER && w->searches < MOST_SEARCHES; j++) {
            if (!makes_up(w, i, j)) continue;
            tufa_bill_period one = w->p[i];
            for (size_t m = i + 1; m <= j; m++) one = bill_join(&one, &w->p[m]);
            double was = w->s.y[i], expected = was - w->f.residual[i], start = w->p[i].start_day, end = bill_end(&w->p[i]);
            double chance = CATCH_UP_PRIOR / pow(2.0 * fmax(one.use / one.days, 1e-9), (double)(j - i));
            double gain;
            RETURN_IF(try_without(w, i, j - i + 1, &one, log(chance), 0.0, &gain));
            if (gain > 0.0) bill_remark(&w->out->remarks, TUFA_BILL_REMARK_CATCH_UP, start, end, was, expected);
        }
    return OK;
}

static double wild_bonus(const work *w, size_t i) { return log(WILD_PRIOR / (3.0 * highest(w, i))); }

/* Which suspect the evidence would rather do without; n where it would keep them all. */
static tufa_status worst_suspect(work *w, size_t *worst)
{
    size_t at[4], n = suspects(w, 4, at);
    double best = 0.0, gain;
    *worst = w->s.n;
    for (size_t j = 0; j < n && w->searches < MOST_SEARCHES; j++) {
        RETURN_IF(try_without(w, at[j], 1, NULL, wild_bonus(w, at[j]), HUGE_VAL, &gain)); /* only asked: no gain is above that bar */
        if (gain <= best) continue;
        best = gain;
        *worst = at[j];
    }
    return OK;
}

/* What the fit expects of a period, a day. */
static double expected_of(const work *w, const tufa_bill_period *p)
{
    double x[BILL_MAX_COLUMNS + 1], y = 0.0;
    bill_series one = w->s;
    one.p = p;
    one.n = 1;
    bill_columns(&one, &w->f.design, x);
    if (w->f.change.kind != TUFA_BILL_NONE) change_column(&one, &w->f.change, x + w->f.design.columns);
    for (int q = 0; q < w->f.k; q++) y += w->f.coef[q] * x[q];
    return y;
}

static tufa_status set_wild_aside(work *w)
{
    size_t most = w->s.n / 8 + 1;
    while (w->out->n_wild < most && w->s.n > LEAST_PERIODS) {
        size_t i, last = w->s.n - 1;
        double gain;
        RETURN_IF(worst_suspect(w, &i));
        if (i > last) break;
        RETURN_IF(try_without(w, i, 1, NULL, wild_bonus(w, i), 0.0, &gain));
        if (gain <= 0.0) break;
        const tufa_bill_period *gone = &w->spare[i];
        bill_remark(&w->out->remarks, i == last ? TUFA_BILL_REMARK_LAST_ODD : TUFA_BILL_REMARK_WILD, gone->start_day, bill_end(gone),
                    gone->use / gone->days, expected_of(w, gone));
        w->out->n_wild++;
    }
    return OK;
}

/* ---- the answer ---- */

static tufa_bill_span around(tufa_bill_span s, double mid)
{
    return (tufa_bill_span){.mid = mid, .lo = fmin(s.lo, mid), .hi = fmax(s.hi, mid)};
}

/* Where the balance point may lie: sums of squares within the 95 % bound of one parameter. */
static tufa_bill_span balance_span(work *w, double balance)
{
    const double CHI2_95 = 3.84, STEP_K = 0.1, REACH_K = 12.0;
    fit f = w->f;
    tufa_bill_span span = {balance, balance, balance};
    double nu = fmax((double)w->s.n - f.k - 1.0, 1.0), bound = w->f.rss * (1.0 + CHI2_95 / nu);
    int heating = f.design.form != TUFA_BILL_3PC;
    for (int side = -1; side <= 1; side += 2)
        for (double d = STEP_K; d <= REACH_K; d += STEP_K) {
            double tau = balance + side * d;
            if (heating) f.design.tau_h = tau;
            if (!heating || f.design.form == TUFA_BILL_4P) f.design.tau_c = tau;
            if (!fit_at(w, &f) || f.rss > bound) break;
            if (side < 0) span.lo = tau;
            else span.hi = tau;
        }
    return span;
}

/* The step in the middle of the record that would be noticed 8 times in 10 (half of the odds needed at the best date,
 * a third of the dates nearly as good; TENTH: 0.84 is the 80 % point of a normal). */
static double smallest_seen(const work *w, double sd)
{
    double n = (double)w->s.n, rho = w->odds.correlation, a = 0.25 * n * (1.0 - rho) / (1.0 + rho), nu = n - w->f.k - 1.0;
    if (nu < 1.0) return 0.0;
    double need = log(0.70 / 0.13) + log(n) + 0.5 * log(3.14159265358979 * a * 9.0 / 2.0), t = 0.0;
    while (t < 50.0 && 0.5 * (nu + 1.0) * log(1.0 + t * t / nu) - log(1.0 + t * t / (9.0 * a)) < need) t += 0.05;
    return (t + 0.84) * sd / sqrt(a);
}

static void fill_model(work *w, tufa_bill_result *r)
{
    const fit *f = &w->f;
    double mean = 0.0, tss = 0.0;
    size_t n = w->s.n;
    for (size_t i = 0; i < n; i++) mean += w->s.y[i] / (double)n;
    for (size_t i = 0; i < n; i++) tss += (w->s.y[i] - mean) * (w->s.y[i] - mean);
    r->form = f->design.form;
    memcpy(r->form_probability, w->odds.form, sizeof r->form_probability);
    r->mean_per_day = mean;
    r->base_per_day = f->coef[0];
    r->base_se = f->se[0];
    int cools = f->design.form == TUFA_BILL_3PC || (f->design.form == TUFA_BILL_2P && f->coef[1] < 0.0);
    double sign = f->design.form == TUFA_BILL_2P && cools ? -1.0 : 1.0;
    if (f->design.form != TUFA_BILL_1P) {
        *(cools ? &r->cooling_per_day_K : &r->heating_per_day_K) = sign * f->coef[1];
        *(cools ? &r->cooling_se : &r->heating_se) = f->se[1];
    }
    if (f->design.form == TUFA_BILL_4P || f->design.form == TUFA_BILL_5P) {
        r->cooling_per_day_K = f->coef[2];
        r->cooling_se = f->se[2];
    }
    if (f->design.form == TUFA_BILL_1P && f->design.columns == 3) {
        r->season_cos = f->coef[1];
        r->season_sin = f->coef[2];
    }
    r->heating_balance_K = f->design.tau_h;
    r->cooling_balance_K = f->design.tau_c;
    double balance = f->design.tau_h > 0.0 ? f->design.tau_h : f->design.tau_c;
    r->sum_squares = f->rss;
    r->sum_squares_no_change = f->rss_plain;
    r->r2 = tss > 0.0 ? 1.0 - f->rss / tss : 0.0;
    r->residual_sd = n > (size_t)f->k ? sqrt(f->rss / (double)(n - (size_t)f->k)) : 0.0;
    r->lag_correlation = w->odds.correlation;
    r->n_used = n;
    r->smallest_seen_per_day = smallest_seen(w, r->residual_sd);
    if (balance > 0.0) r->balance_K = balance_span(w, balance);
}

static void fill_change(work *w, tufa_bill_result *r)
{
    const fit *f = &w->f;
    const double HALF_CANDIDATE_DAYS = 5.0; /* dates were tried every third of a period */
    memcpy(r->probability, w->odds.kind, sizeof r->probability);
    r->kind = f->change.kind;
    if (r->kind == TUFA_BILL_NONE) return;
    tufa_bill_span a = w->odds.a, b = w->odds.b;
    double wide = r->kind == TUFA_BILL_STEP ? 0.5 : HALF_CANDIDATE_DAYS;
    a.lo -= wide, a.hi += wide, b.lo -= wide, b.hi += wide;
    r->day = around(a, f->change.a);
    if (r->kind != TUFA_BILL_STEP) r->end_day = around(b, f->change.b);
    r->per_day = around(w->odds.size, f->coef[f->k - 1]);
}

/* A step that is larger in the cold is heating, not a leak: one more column, the step times how cold it is. */
static void remark_with_cold(work *w, tufa_bill_result *r)
{
    const double CLEARLY = 3.0; /* standard errors */
    size_t n = w->s.n;
    fit f = w->f;
    double coef[BILL_MAX_COLUMNS + 2], se[BILL_MAX_COLUMNS + 2], rss, mean = 0.0, cold = 0.0, most = 0.0;
    if (r->kind != TUFA_BILL_STEP || f.k < 3 || !(r->heating_per_day_K > 0.0) || n < (size_t)f.k + 4 || !fit_at(w, &f)) return;
    double *heat = w->x + n, *step = w->x + (size_t)(f.k - 1) * n, *both = w->x + (size_t)f.k * n;
    for (size_t i = 0; i < n; i++) {
        mean += step[i] * heat[i];
        cold += step[i];
        most = fmax(most, step[i] * heat[i]);
    }
    if (cold <= 0.0) return;
    mean /= cold;
    for (size_t i = 0; i < n; i++) both[i] = step[i] * (heat[i] - mean);
    if (!bill_least_squares(n, f.k + 1, w->x, w->s.y, coef, se, &rss) || coef[f.k] < CLEARLY * se[f.k]) return;
    bill_remark(&r->remarks, TUFA_BILL_REMARK_WITH_COLD, r->day.mid, r->last_day, coef[f.k - 1] + coef[f.k] * (most - mean),
                coef[f.k - 1] - coef[f.k] * mean);
}

static void remark_answer(work *w, tufa_bill_result *r)
{
    const double DAILY_SPREAD_K = 4.5; /* of daily means within a month: common in mid-latitudes, judgement */
    double record = r->last_day - r->first_day;
    if (w->s.n < 12) bill_remark(&r->remarks, TUFA_BILL_REMARK_FEW, r->first_day, r->last_day, (double)w->s.n, 12.0);
    if (!w->s.weather) bill_remark(&r->remarks, TUFA_BILL_REMARK_NO_WEATHER, r->first_day, r->last_day, 0.0, 0.0);
    if (record < 330.0) bill_remark(&r->remarks, TUFA_BILL_REMARK_SEASON_SHORT, r->first_day, r->last_day, record, 365.0);
    if (w->s.weather && !w->s.day_K && r->heating_balance_K > 0.0) {
        r->hidden_cold_per_day = 0.39894228 * DAILY_SPREAD_K * r->heating_per_day_K; /* mean of (T)+ of a centred normal */
        bill_remark(&r->remarks, TUFA_BILL_REMARK_HIDDEN_COLD, r->first_day, r->last_day, r->hidden_cold_per_day, 0.0);
    }
    if (r->kind == TUFA_BILL_NONE) return;
    remark_with_cold(w, r);
    for (size_t i = 0, n = r->remarks.n; i < n; i++) {
        const tufa_bill_remark *m = &r->remarks.at[i];
        if (m->day < r->day.lo - 16.0 || m->day > r->day.hi + 16.0) continue;
        if (m->kind == TUFA_BILL_REMARK_METER_CHANGED) bill_remark(&r->remarks, TUFA_BILL_REMARK_METER_AT_STEP, m->day, m->end_day, 0.0, 0.0);
        if (m->kind == TUFA_BILL_REMARK_NEW_HOUSEHOLD || m->kind == TUFA_BILL_REMARK_VACANT)
            bill_remark(&r->remarks, TUFA_BILL_REMARK_PEOPLE_AT_STEP, m->day, m->end_day, 0.0, 0.0);
    }
}

/* Periods that cannot be fitted: the empty house, and those without a temperature where most have one. */
static size_t leave_out(size_t n, tufa_bill_period *p)
{
    size_t with = 0, m = 0;
    for (size_t i = 0; i < n; i++) with += (p[i].flags & TUFA_BILL_HAS_MEAN) != 0;
    int weather = with > 0 && 10 * with >= 7 * n;
    for (size_t i = 0; i < n; i++)
        if (!(p[i].flags & TUFA_BILL_VACANT) && (!weather || (p[i].flags & TUFA_BILL_HAS_MEAN))) p[m++] = p[i];
    return m;
}

double tufa_bill_expected(const tufa_bill_result *r, const tufa_bill_period *p, size_t n_days, double first_day,
                          const double *day_K, int steady)
{
    bill_series one = {.n = 1, .p = p, .n_days = n_days, .first_day = first_day, .day_K = n_days ? day_K : NULL};
    bill_design d = {.form = r->form, .tau_h = r->heating_balance_K, .tau_c = r->cooling_balance_K,
                     .columns = r->season_cos != 0.0 || r->season_sin != 0.0 ? 3 : 1};
    double x[BILL_MAX_COLUMNS + 1] = {0}, y = r->base_per_day, change;
    bill_columns(&one, &d, x);
    switch (r->form) {
    case TUFA_BILL_1P: y += d.columns == 3 ? r->season_cos * x[1] + r->season_sin * x[2] : 0.0; break;
    case TUFA_BILL_2P: y += (r->heating_per_day_K - r->cooling_per_day_K) * x[1]; break;
    case TUFA_BILL_3PH: y += r->heating_per_day_K * x[1]; break;
    case TUFA_BILL_3PC: y += r->cooling_per_day_K * x[1]; break;
    default: y += r->heating_per_day_K * x[1] + r->cooling_per_day_K * x[2];
    }
    if (steady || r->kind == TUFA_BILL_NONE) return y;
    bill_candidate c = {.kind = r->kind, .a = r->day.mid, .b = r->end_day.mid};
    change_column(&one, &c, &change);
    return y + r->per_day.mid * change;
}

size_t tufa_bill_bytes(size_t n)
{
    size_t most = TUFA_BILL_MAX_PERIODS;
    return bill_odds_bytes(n) + 2 * most * sizeof(tufa_bill_period) + (5 + 3 + BILL_MAX_COLUMNS + 2) * most * sizeof(double) + 64 * 32;
}

static tufa_status take_memory(work *w, tufa_arena *a)
{
    size_t most = TUFA_BILL_MAX_PERIODS;
    w->p = tufa_arena_take(a, most, sizeof *w->p);
    w->spare = tufa_arena_take(a, most, sizeof *w->spare);
    w->y = tufa_arena_take(a, 3 * most, sizeof(double));
    w->sd = tufa_arena_take(a, 2 * most, sizeof(double));
    w->x = tufa_arena_take(a, (BILL_MAX_COLUMNS + 2) * most, sizeof(double));
    w->f.residual = tufa_arena_take(a, most, sizeof(double));
    w->f.studentised = tufa_arena_take(a, most, sizeof(double));
    w->f.leverage = tufa_arena_take(a, most, sizeof(double));
    if (!w->p || !w->spare || !w->y || !w->sd || !w->x || !w->f.residual || !w->f.studentised || !w->f.leverage)
        return trouble(TUFA_MEMORY, "scratch", NULL);
    return OK;
}

static tufa_status run(work *w, size_t n, const tufa_bill_period *periods, tufa_bill_result *r)
{
    size_t m = 0;
    RETURN_IF(tufa_bill_prepare(n, periods, w->p, &m, &r->remarks));
    bill_remark_prices(m, w->p, &r->remarks);
    m = leave_out(m, w->p);
    if (m < LEAST_PERIODS)
        return (tufa_status){.code = TUFA_MISSING, .field = "periods", .got = (double)m, .lo = LEAST_PERIODS,
                             .hi = TUFA_BILL_MAX_PERIODS, .why = "at least 6 usable bill readings are needed"};
    r->first_day = w->p[0].start_day;
    r->last_day = bill_end(&w->p[m - 1]);
    set_series(w, m);
    RETURN_IF(search_now(w));
    RETURN_IF(choose_spread(w));
    if (!w->opt->keep_wild) {
        RETURN_IF(join_catch_ups(w));
        RETURN_IF(set_wild_aside(w));
        if (r->n_wild) RETURN_IF(choose_spread(w));
    }
    fill_model(w, r);
    fill_change(w, r);
    remark_answer(w, r);
    return OK;
}

tufa_status tufa_bill_read(size_t n, const tufa_bill_period *periods, size_t n_days, double first_day, const double *day_K,
                           const tufa_bill_options *opt, tufa_arena *scratch, tufa_bill_result *out)
{
    static const tufa_bill_options PLAIN = {0};
    size_t mark = scratch->used;
    tufa_bill_result *r = tufa_arena_take(scratch, 1, sizeof *r);
    if (!r) return trouble(TUFA_MEMORY, "scratch", NULL);
    work w = {.opt = opt ? opt : &PLAIN, .scratch = scratch, .out = r};
    w.s.n_days = n_days;
    w.s.first_day = first_day;
    w.s.day_K = n_days ? day_K : NULL;
    tufa_status st = take_memory(&w, scratch);
    if (st.code == TUFA_OK) st = run(&w, n, periods, r);
    if (st.code == TUFA_OK) *out = *r;
    scratch->used = mark;
    return st;
}
