/* The odds of a change. Each way to explain the weather, each likeness of neighbouring residuals, each kind of change
 * and each of its possible dates is one model with its share of the prior; the evidence of each is that of a linear
 * model with flat nuisance coefficients and one coefficient under a Cauchy prior in units of the noise (Jeffreys;
 * Laplace's approximation around the least-squares value). Averaging over dates is what makes a long search cost
 * what it should: of 60 possible dates each starts with one sixtieth. */
#include <math.h>
#include <string.h>

#include "core/base/status.h"
#include "core/bill/series.h"

enum {
    MAX_DESIGNS = 280,
    MOST_DATES = 64,   /* candidates for both ends of a change */
    KEPT = 20,         /* designs looked at for changes with two dates */
    FINE_DATES = 400,  /* of a step, once the kind is known */
    RHOS = 4,
    PI_PARTS = 8000    /* parts of a posterior kept for its quantiles */
};

/* Prior shares: judgement, set so that steady houses stay unflagged (tests/property/test_bill.c measures it). */
static const double KIND_PRIOR[TUFA_BILL_KIND_COUNT] = {0.60, 0.20, 0.08, 0.04, 0.08};
static const double FORM_PRIOR[TUFA_BILL_FORM_COUNT] = {0.20, 0.15, 0.25, 0.15, 0.10, 0.15};
static const double RHO[RHOS] = {0.0, 0.25, 0.5, 0.75}, RHO_PRIOR[RHOS] = {0.42, 0.26, 0.19, 0.13};
static const double TYPICAL_CHANGE_SD = 3.0; /* scale of the Cauchy prior of a change, in noise of one reading */
static const double LEAST_NOISE = 0.01;      /* of the mean use: whole units on bills, and the model is a model; judgement */
static const double LEAST_READINGS = 1.6;    /* on either side of a change: one odd reading is wild, not a change */
static const double LEAST_RAMP_READINGS = 5.0; /* a shorter ramp is a step whose date is unsure */
static const double FORM_IN_THE_RUNNING = 25.0; /* e^-25: a form may yet win when one wild reading is set aside */
static const double TOO_FAR = 9.0; /* e^-9: parts that would not move a quantile */
static const double LEAST_INFORMATION = 1e-3; /* of a column once the weather is taken out of it, in readings */
static const double SHORT_PULSE_DAYS = 75.0; /* a rise that ends sooner is a pulse, not something mended */

typedef struct part {
    double log_w, a, b, size, sd;
    int kind;
} part;

typedef struct search {
    const bill_series *s;
    const tufa_bill_options *opt;
    size_t n, dates;
    double *date;         /* candidates, both ends of the record included */
    double after[MOST_DATES + 2]; /* readings, in whole ones, after each */
    double *step[RHOS];   /* whitened columns, dates x n */
    double step_square[RHOS][MOST_DATES + 2];
    double *rise[RHOS];
    double *y[RHOS];
    double least_rss;      /* no model is truer than this: LEAST_NOISE */
    double *shrink, *gain; /* whitening: v_i = (u_i - shrink_i u_{i-1}) gain_i, for the current likeness */
    double *x, *col, *col2, *gram, *proj;
    bill_design design[MAX_DESIGNS];
    size_t designs;
    struct {
        size_t design;
        int rho;
        double log_none, log_best, log_stands_for;
    } *scored;
    size_t scores;
} search;

/* ---- designs ---- */

static void add_design(search *w, tufa_bill_form form, double tau_h, double tau_c, int columns)
{
    bill_design d = {.form = form, .tau_h = tau_h, .tau_c = tau_c, .columns = columns};
    if (w->designs < MAX_DESIGNS && (size_t)columns + 3 < w->n && bill_slope_rests(w->s, &d)) w->design[w->designs++] = d;
}

static int wanted(unsigned set, int i) { return set == 0 || (set >> i & 1u); }

static void list_designs(search *w)
{
    const double LOWEST_K = 273.15 + 4.0, HIGHEST_K = 273.15 + 26.0, STEP_K = 1.0, WIDE_K = 2.0;
    unsigned forms = w->opt->forms;
    if (wanted(forms, TUFA_BILL_1P)) {
        add_design(w, TUFA_BILL_1P, 0.0, 0.0, 1);
        if (w->s->season) add_design(w, TUFA_BILL_1P, 0.0, 0.0, 3);
    }
    if (!w->s->weather) return;
    if (wanted(forms, TUFA_BILL_2P)) add_design(w, TUFA_BILL_2P, 0.0, 0.0, 2);
    for (double t = LOWEST_K; t <= HIGHEST_K; t += STEP_K) {
        if (wanted(forms, TUFA_BILL_3PH)) add_design(w, TUFA_BILL_3PH, t, 0.0, 2);
        if (wanted(forms, TUFA_BILL_3PC)) add_design(w, TUFA_BILL_3PC, 0.0, t, 2);
        if (wanted(forms, TUFA_BILL_4P)) add_design(w, TUFA_BILL_4P, t, t, 3);
    }
    for (double h = LOWEST_K; h <= HIGHEST_K && wanted(forms, TUFA_BILL_5P); h += WIDE_K)
        for (double c = h + WIDE_K; c <= HIGHEST_K; c += WIDE_K) add_design(w, TUFA_BILL_5P, h, c, 3);
}

/* Each form its share, even among its balance points. */
static void share_prior(search *w)
{
    double total = 0.0;
    int alike[TUFA_BILL_FORM_COUNT] = {0};
    for (size_t i = 0; i < w->designs; i++) alike[w->design[i].form]++;
    for (int f = 0; f < TUFA_BILL_FORM_COUNT; f++) total += alike[f] ? FORM_PRIOR[f] : 0.0;
    for (size_t i = 0; i < w->designs; i++) w->design[i].log_prior = log(FORM_PRIOR[w->design[i].form] / total / alike[w->design[i].form]);
}

/* ---- whitening ---- */

static void set_whitening(search *w, double rho)
{
    const bill_series *s = w->s;
    for (size_t i = 0; i < w->n; i++) {
        double apart = i ? (s->p[i].start_day + 0.5 * s->p[i].days - s->p[i - 1].start_day - 0.5 * s->p[i - 1].days) /
                               (0.5 * (s->p[i].days + s->p[i - 1].days))
                         : 0.0;
        double r = i && rho > 0.0 ? pow(rho, fmax(apart, 1.0)) : 0.0;
        w->shrink[i] = r;
        w->gain[i] = 1.0 / sqrt(1.0 - r * r);
    }
}

static double log_gain(const search *w)
{
    double sum = 0.0;
    for (size_t i = 0; i < w->n; i++) sum += log(w->gain[i]);
    return sum;
}

static void whiten(const search *w, const double *u, double *v)
{
    double before = 0.0;
    for (size_t i = 0; i < w->n; i++) {
        double now = u[i] / w->s->sd[i];
        v[i] = (now - w->shrink[i] * before) * w->gain[i];
        before = now;
    }
}

/* ---- evidence ---- */

/* log of the evidence of k columns over that of the constant alone, the noise integrated out. Each slope pays
 * for itself like a single coefficient with unit information (see the head of this file). */
static double log_none(const search *w, int k, double rss_constant, double rss)
{
    double n = (double)w->n, gone = fmax(rss, 1e-12 * rss_constant);
    double ks = k - 1;
    return -0.5 * ks * log(n) - 0.23 * ks - 0.5 * (n - 1.0) * log(rss_constant) -
           0.5 * (n - 2.0 - ks) * (log(gone) - log(rss_constant));
}

/* log of the factor that one more column brings, with a = |w|^2 and b = w.y after the nuisance is projected out. */
static double log_factor(const search *w, int k, double rss, double a, double b, double *size, double *sd)
{
    double nu = (double)w->n - k - 1.0, gained = b * b / a;
    double left = fmax(rss - gained, 1e-10 * rss);
    double s2 = left / nu, delta = b / a, scale2 = TYPICAL_CHANGE_SD * TYPICAL_CHANGE_SD;
    *size = delta;
    *sd = sqrt(s2 / a);
    return 0.5 * log(2.0 / (3.14159265358979 * a * scale2)) - log(1.0 + delta * delta / (s2 * scale2)) +
           0.5 * (nu + 1.0) * log(rss / left);
}

/* Readings, in whole ones, after day a; between a and b. */
static double readings_after(const search *w, double a)
{
    double sum = 0.0;
    for (size_t i = 0; i < w->n; i++) sum += bill_after(w->s, i, a);
    return sum;
}

static double add_logs(double a, double b)
{
    double hi = fmax(a, b), lo = fmin(a, b);
    return lo < hi - 700.0 ? hi : hi + log1p(exp(lo - hi));
}

/* Orthonormal basis of a design for one likeness into w->x, the residual of y into `y`; its sums of squares. */
static int basis(search *w, size_t d, int rho, double *y, double *rss_constant, double *rss)
{
    size_t n = w->n;
    int k = w->design[d].columns;
    set_whitening(w, RHO[rho]);
    bill_columns(w->s, &w->design[d], w->x);
    for (int j = 0; j < k; j++) {
        memcpy(w->col, w->x + (size_t)j * n, n * sizeof(double));
        whiten(w, w->col, w->x + (size_t)j * n);
    }
    if (bill_orthonormal(n, k, w->x) < k) return 0;
    memcpy(y, w->y[rho], n * sizeof(double));
    bill_project_out(n, 1, w->x, y);
    *rss_constant = bill_dot(n, y, y) + w->least_rss;
    bill_project_out(n, k, w->x, y);
    *rss = bill_dot(n, y, y) + w->least_rss;
    return *rss_constant > 0.0;
}

/* Slopes of the wrong sign are no heating or cooling. */
static int signs_hold(search *w, size_t d)
{
    double coef[BILL_MAX_COLUMNS], se[BILL_MAX_COLUMNS], rss;
    bill_design *g = &w->design[d];
    if (g->form == TUFA_BILL_1P || g->form == TUFA_BILL_2P) return 1;
    bill_columns(w->s, g, w->x);
    if (!bill_least_squares(w->n, g->columns, w->x, w->s->y, coef, se, &rss)) return 0;
    for (int j = 1; j < g->columns; j++)
        if (coef[j] < -se[j]) return 0;
    return 1;
}

static int step_allowed(const search *w, double after)
{
    return after >= LEAST_READINGS && (double)w->n - after >= LEAST_READINGS;
}

/* One design without a change and with the best single step, for each likeness of neighbours. */
static void score_design(search *w, size_t d, unsigned likenesses)
{
    double *y = w->col2;
    int k = w->design[d].columns;
    for (int r = 0; r < RHOS; r++) {
        if (!(likenesses >> r & 1u)) continue;
        double rss0, rss, size, sd, best = -1e300;
        if (!basis(w, d, r, y, &rss0, &rss)) continue;
        double none = w->design[d].log_prior + log(RHO_PRIOR[r]) + log_gain(w) + log_none(w, k, rss0, rss);
        for (size_t c = 0; c < w->dates; c++) {
            if (!step_allowed(w, w->after[c])) continue;
            const double *step = w->step[r] + c * w->n;
            double a = w->step_square[r][c];
            for (int j = 0; j < k; j++) {
                double in = bill_dot(w->n, step, w->x + (size_t)j * w->n);
                a -= in * in;
            }
            if (a < LEAST_INFORMATION) continue;
            best = fmax(best, log_factor(w, k, rss, a, bill_dot(w->n, step, y), &size, &sd));
        }
        w->scored[w->scores].design = d;
        w->scored[w->scores].rho = r;
        w->scored[w->scores].log_none = none;
        w->scored[w->scores++].log_best = fmax(none, none + best - log((double)w->dates));
    }
}

/* The best design of a form so far, and the set of likenesses with which the form is in the running: not more than
 * `behind` below the best of all. 0 when there is none. */
static unsigned best_of_form(const search *w, tufa_bill_form form, double behind, size_t *design)
{
    double best = -1e300, top = -1e300;
    unsigned set = 0;
    for (size_t i = 0; i < w->scores; i++) top = fmax(top, w->scored[i].log_best);
    for (size_t i = 0; i < w->scores; i++) {
        double log_best = w->scored[i].log_best;
        if (w->design[w->scored[i].design].form != form || log_best < top - behind) continue;
        set |= 1u << w->scored[i].rho;
        if (log_best <= best) continue;
        best = log_best;
        *design = w->scored[i].design;
    }
    return set;
}

/* Balance points between those of the coarse grid, around the best of each form that is in the running: with little
 * noise a balance point off by half a degree would look like a pattern in time. A finer point has a smaller share. */
static void refine_balances(search *w)
{
    const double IN_THE_RUNNING[] = {60.0, 15.0}, FIRST_STEP_K = 0.25, FIRST_STEP_BOTH_K = 0.5, FINER = 0.25;
    double step = FIRST_STEP_K, step_both = FIRST_STEP_BOTH_K, share = log(FINER);
    for (int level = 0; level < 2; level++, step *= FINER, step_both *= FINER) {
        for (int f = TUFA_BILL_3PH; f <= TUFA_BILL_5P; f++) {
            size_t at = 0;
            unsigned set = best_of_form(w, (tufa_bill_form)f, IN_THE_RUNNING[level], &at);
            if (set == 0) continue;
            bill_design around = w->design[at];
            int both = f == TUFA_BILL_5P, reach = both ? 2 : 3;
            for (int i = -reach; i <= reach; i++)
                for (int j = both ? -reach : 0; j <= (both ? reach : 0); j++) {
                    if (i == 0 && j == 0) continue;
                    double h = around.tau_h + i * (both ? step_both : step), c = around.tau_c + (both ? j * step_both : i * step);
                    if (both && c < h) continue;
                    size_t d = w->designs;
                    add_design(w, around.form, around.tau_h > 0.0 ? h : 0.0, around.tau_c > 0.0 ? c : 0.0, around.columns);
                    if (w->designs == d) continue;
                    w->design[d].log_prior = around.log_prior + (both ? 2.0 : 1.0) * share;
                    if (signs_hold(w, d)) score_design(w, d, set);
                }
        }
    }
}

static void swap_scored(search *w, size_t i, size_t j)
{
    unsigned char t[sizeof *w->scored];
    memcpy(t, &w->scored[i], sizeof t);
    memcpy(&w->scored[i], &w->scored[j], sizeof t);
    memcpy(&w->scored[j], t, sizeof t);
}

/* The most promising ones to the front, where changes with two dates are looked for: the best of each form and each
 * likeness of neighbours, since a change that is there makes unlike months look alike until it is allowed for. Each that
 * is kept stands for its group: `log_stands_for` is what the group weighs over what is kept of it. */
static size_t keep_best(search *w)
{
    enum { OF_A_GROUP = 2 };
    const double TOO_POOR = 40.0;
    size_t keep = 0;
    int count[RHOS][TUFA_BILL_FORM_COUNT] = {{0}};
    double all[RHOS][TUFA_BILL_FORM_COUNT], kept[RHOS][TUFA_BILL_FORM_COUNT], top = -1e300;
    for (int r = 0; r < RHOS; r++)
        for (int f = 0; f < TUFA_BILL_FORM_COUNT; f++) all[r][f] = kept[r][f] = -1e300;
    for (size_t i = 0; i < w->scores; i++) {
        double *group = &all[w->scored[i].rho][w->design[w->scored[i].design].form];
        *group = add_logs(*group, w->scored[i].log_best);
        top = fmax(top, w->scored[i].log_best);
    }
    while (keep < KEPT && keep < w->scores) {
        size_t best = w->scores;
        for (size_t j = keep; j < w->scores; j++)
            if (count[w->scored[j].rho][w->design[w->scored[j].design].form] < OF_A_GROUP && w->scored[j].log_best > top - TOO_POOR &&
                (best == w->scores || w->scored[j].log_best > w->scored[best].log_best))
                best = j;
        if (best == w->scores) break;
        int r = w->scored[best].rho, f = (int)w->design[w->scored[best].design].form;
        count[r][f]++;
        kept[r][f] = add_logs(kept[r][f], w->scored[best].log_best);
        swap_scored(w, best, keep++);
    }
    for (size_t i = 0; i < keep; i++) {
        int r = w->scored[i].rho, f = (int)w->design[w->scored[i].design].form;
        w->scored[i].log_stands_for = all[r][f] - kept[r][f];
    }
    return keep;
}

/* Where the largest share of the odds lies. */
typedef struct best_part {
    double log_w;
    size_t design;
    double a, b;
} best_part;

typedef struct running {
    double top, sum;
} running;

typedef struct collector {
    part *at;
    size_t n, room;
    double log_kind[TUFA_BILL_KIND_COUNT];
    double log_form[TUFA_BILL_KIND_COUNT][TUFA_BILL_FORM_COUNT];
    double log_rho[TUFA_BILL_KIND_COUNT][RHOS];
    best_part best[TUFA_BILL_KIND_COUNT], of_form[TUFA_BILL_FORM_COUNT]; /* of_form: of the kind that is described */
    running run[TUFA_BILL_KIND_COUNT]; /* of the design at hand */
    int keep_kind; /* whose parts are kept for quantiles in a second look; NONE in the first */
} collector;

static void note_best(best_part *b, size_t design, const part *p)
{
    *b = (best_part){.log_w = p->log_w, .design = design, .a = p->a, .b = p->b};
}

/* One candidate of the design at hand. Sums run in plain numbers beside the largest so far, so that a candidate costs
 * at most one exponential; settle() brings them to the odds. */
static void collect(collector *c, const search *w, size_t design, part p)
{
    const double NEGLIGIBLE = 34.0; /* e^-34 is below the last digit of a sum */
    if (c->keep_kind != TUFA_BILL_NONE) {
        best_part *own = &c->of_form[w->design[design].form];
        if (p.kind != c->keep_kind) return;
        if (p.log_w > own->log_w) note_best(own, design, &p);
        if (p.log_w > c->best[p.kind].log_w - TOO_FAR && c->n < c->room) c->at[c->n++] = p;
        return;
    }
    running *s = &c->run[p.kind];
    if (p.log_w > s->top) {
        s->sum = s->sum * (s->top > -1e299 ? exp(s->top - p.log_w) : 0.0) + 1.0;
        s->top = p.log_w;
        if (p.log_w > c->best[p.kind].log_w) note_best(&c->best[p.kind], design, &p);
    } else if (p.log_w > s->top - NEGLIGIBLE) {
        s->sum += exp(p.log_w - s->top);
    }
}

static void settle(collector *c, int form, int rho)
{
    for (int k = 0; k < TUFA_BILL_KIND_COUNT; k++) {
        if (c->run[k].top <= -1e299) continue;
        double log_sum = c->run[k].top + log(c->run[k].sum);
        c->log_kind[k] = add_logs(c->log_kind[k], log_sum);
        c->log_form[k][form] = add_logs(c->log_form[k][form], log_sum);
        c->log_rho[k][rho] = add_logs(c->log_rho[k][rho], log_sum);
        c->run[k] = (running){.top = -1e300};
    }
}

/* Projected columns and their products, for one design: gram[c][e] = col_c . col_e, proj[c] = col_c . y. */
static void products(search *w, int k, const double *columns, const double *y, double *at)
{
    size_t n = w->n, D = w->dates;
    for (size_t c = 0; c < D; c++) {
        memcpy(at + c * n, columns + c * n, n * sizeof(double));
        bill_project_out(n, k, w->x, at + c * n);
        w->proj[c] = bill_dot(n, at + c * n, y);
        for (size_t e = 0; e <= c; e++) w->gram[c * D + e] = w->gram[e * D + c] = bill_dot(n, at + c * n, at + e * n);
    }
}

static int kind_of_box(double size, double length_days)
{
    return size < 0.0 || length_days < SHORT_PULSE_DAYS ? TUFA_BILL_PULSE : TUFA_BILL_STEP_AND_BACK;
}

/* How many candidates each kind has: its prior is shared among them. */
typedef struct counts {
    double step, box, ramp;
} counts;

static int box_allowed(const search *w, size_t i, size_t j)
{
    const double *after = w->after;
    double inside = after[i] - after[j];
    return inside >= LEAST_READINGS && after[j] >= LEAST_READINGS && (double)w->n - after[i] >= LEAST_READINGS;
}

static int ramp_allowed(const search *w, size_t i, size_t j)
{
    return w->after[i] - w->after[j] >= LEAST_RAMP_READINGS;
}

static counts count_candidates(const search *w)
{
    counts c = {0};
    for (size_t i = 0; i < w->dates; i++) {
        c.step += step_allowed(w, w->after[i]);
        for (size_t j = i + 1; j < w->dates; j++) {
            c.box += box_allowed(w, i, j);
            c.ramp += ramp_allowed(w, i, j);
        }
    }
    return c;
}

static double kind_prior(const search *w, int kind)
{
    unsigned kinds = w->opt->kinds;
    return kinds == 0 || kind == TUFA_BILL_NONE || (kinds >> kind & 1u) ? KIND_PRIOR[kind] : 0.0;
}

static void search_steps_and_boxes(search *w, collector *c, size_t design, double none, double rss,
                                   const counts *total)
{
    size_t D = w->dates;
    int k = w->design[design].columns;
    for (size_t i = 0; i < D; i++) {
        double g = w->gram[i * D + i], size, sd;
        if (step_allowed(w, w->after[i]) && g > LEAST_INFORMATION && kind_prior(w, TUFA_BILL_STEP) > 0.0) {
            double f = log_factor(w, k, rss, g, w->proj[i], &size, &sd);
            double prior = log(kind_prior(w, TUFA_BILL_STEP) / total->step);
            collect(c, w, design, (part){none + prior + f, w->date[i], w->date[i], size, sd, TUFA_BILL_STEP});
        }
        for (size_t j = i + 1; j < D; j++) {
            if (!box_allowed(w, i, j)) continue;
            double a = g - 2.0 * w->gram[i * D + j] + w->gram[j * D + j], b = w->proj[i] - w->proj[j];
            if (a < LEAST_INFORMATION) continue;
            double f = log_factor(w, k, rss, a, b, &size, &sd);
            int kind = kind_of_box(size, w->date[j] - w->date[i]);
            double prior = kind_prior(w, kind);
            if (prior > 0.0)
                collect(c, w, design, (part){none + log(prior / total->box) + f, w->date[i], w->date[j], size, sd, kind});
        }
    }
}

static void search_ramps(search *w, collector *c, size_t design, double none, double rss,
                         const counts *total)
{
    const double YEAR = 365.25;
    size_t D = w->dates;
    int k = w->design[design].columns;
    double prior = kind_prior(w, TUFA_BILL_RAMP);
    if (!(prior > 0.0)) return;
    for (size_t i = 0; i < D; i++)
        for (size_t j = i + 1; j < D; j++) {
            if (!ramp_allowed(w, i, j)) continue;
            double length = (w->date[j] - w->date[i]) / YEAR, size, sd;
            double a = (w->gram[i * D + i] - 2.0 * w->gram[i * D + j] + w->gram[j * D + j]) / (length * length);
            double b = (w->proj[i] - w->proj[j]) / length;
            if (a < LEAST_INFORMATION) continue;
            double f = log_factor(w, k, rss, a, b, &size, &sd);
            collect(c, w, design,
                    (part){none + log(prior / total->ramp) + f, w->date[i], w->date[j], size, sd, TUFA_BILL_RAMP});
        }
}

/* A step again, by days: its date and size deserve more than the coarse dates. */
static void refine_step(search *w, collector *c, size_t keep)
{
    double from = w->date[0], to = w->date[w->dates - 1];
    double *y = w->col2, *raw = w->proj; /* both are free by now */
    size_t fine = (size_t)fmin(FINE_DATES, fmax(to - from, 1.0));
    c->n = 0;
    c->best[TUFA_BILL_STEP].log_w = -1e300;
    for (size_t s = 0; s < keep; s++) {
        size_t d = w->scored[s].design;
        int r = w->scored[s].rho, k = w->design[d].columns;
        double rss0, rss, size, sd;
        if (!basis(w, d, r, y, &rss0, &rss)) continue;
        for (size_t i = 0; i <= fine; i++) {
            double day = from + (to - from) * (double)i / (double)fine;
            if (!step_allowed(w, readings_after(w, day))) continue;
            for (size_t m = 0; m < w->n; m++) raw[m] = bill_after(w->s, m, day);
            whiten(w, raw, w->col);
            bill_project_out(w->n, k, w->x, w->col);
            double a = bill_dot(w->n, w->col, w->col);
            if (a < LEAST_INFORMATION) continue;
            double f = log_factor(w, k, rss, a, bill_dot(w->n, w->col, y), &size, &sd);
            part p = {w->scored[s].log_none + w->scored[s].log_stands_for + f, day, day, size, sd, TUFA_BILL_STEP};
            best_part *best = &c->best[TUFA_BILL_STEP], *own = &c->of_form[w->design[d].form];
            if (p.log_w > best->log_w) note_best(best, d, &p);
            if (p.log_w > own->log_w) note_best(own, d, &p);
            if (p.log_w > best->log_w - TOO_FAR && c->n < c->room) c->at[c->n++] = p;
        }
    }
}

/* ---- quantiles of the mixture of what is left ---- */

static double mixture_below(const collector *c, int kind, int which, double x)
{
    double below = 0.0, all = 0.0, top = c->best[kind].log_w;
    for (size_t i = 0; i < c->n; i++) {
        const part *p = &c->at[i];
        if (p->kind != kind) continue;
        double weight = exp(p->log_w - top);
        all += weight;
        if (which == 2) below += weight * tufa_normal_cdf((x - p->size) / p->sd);
        else below += weight * ((which ? p->b : p->a) <= x);
    }
    return all > 0.0 ? below / all : 0.5;
}

static double mixture_quantile(const collector *c, int kind, int which, double p)
{
    double lo = 1e300, hi = -1e300;
    for (size_t i = 0; i < c->n; i++) {
        const part *q = &c->at[i];
        if (q->kind != kind) continue;
        double mid = which == 2 ? q->size : which ? q->b : q->a, wide = which == 2 ? 8.0 * q->sd : 0.0;
        lo = fmin(lo, mid - wide);
        hi = fmax(hi, mid + wide);
    }
    for (int i = 0; i < 60 && hi > lo; i++) {
        double m = 0.5 * (lo + hi);
        if (mixture_below(c, kind, which, m) < p) lo = m;
        else hi = m;
    }
    return hi;
}

static tufa_bill_span mixture_span(const collector *c, int kind, int which)
{
    return (tufa_bill_span){.mid = mixture_quantile(c, kind, which, 0.5),
                            .lo = mixture_quantile(c, kind, which, 0.025),
                            .hi = mixture_quantile(c, kind, which, 0.975)};
}

/* ---- the whole search ---- */

/* Candidate dates: the ends of periods, and points between them while there is room. */
static void list_dates(search *w)
{
    const tufa_bill_period *p = w->s->p;
    size_t n = w->n, parts = n * 3 <= MOST_DATES ? 3 : n * 2 <= MOST_DATES ? 2 : 1, every = n / MOST_DATES + 1;
    w->dates = 0;
    for (size_t i = 0; i < n; i += every)
        for (size_t q = 0; q < (every > 1 ? 1 : parts) && w->dates < MOST_DATES; q++)
            w->date[w->dates++] = p[i].start_day + p[i].days * (double)q / (double)parts;
    w->date[w->dates++] = bill_end(&p[n - 1]);
}

static tufa_status prepare(search *w, tufa_arena *a)
{
    size_t n = w->n, D = MOST_DATES + 2;
    double **arrays[] = {&w->date, &w->shrink, &w->gain, &w->x, &w->col, &w->col2, &w->gram, &w->proj};
    size_t sizes[] = {D, n, n, BILL_MAX_COLUMNS * n, n, n, D * D, D > n ? D : n};
    for (size_t i = 0; i < sizeof arrays / sizeof arrays[0]; i++)
        if (!(*arrays[i] = tufa_arena_take(a, sizes[i], sizeof(double)))) return trouble(TUFA_MEMORY, "scratch", NULL);
    for (int r = 0; r < RHOS; r++) {
        w->step[r] = tufa_arena_take(a, D * n, sizeof(double));
        w->rise[r] = tufa_arena_take(a, D * n, sizeof(double));
        w->y[r] = tufa_arena_take(a, n, sizeof(double));
        if (!w->step[r] || !w->rise[r] || !w->y[r]) return trouble(TUFA_MEMORY, "scratch", NULL);
    }
    w->scored = tufa_arena_take(a, MAX_DESIGNS * RHOS, sizeof *w->scored);
    if (!w->scored) return trouble(TUFA_MEMORY, "scratch", NULL);
    return OK;
}

static void whiten_columns(search *w)
{
    for (int r = 0; r < RHOS; r++) {
        set_whitening(w, RHO[r]);
        whiten(w, w->s->y, w->y[r]);
        for (size_t c = 0; c < w->dates; c++) {
            for (size_t i = 0; i < w->n; i++) w->col[i] = bill_after(w->s, i, w->date[c]);
            whiten(w, w->col, w->step[r] + c * w->n);
            w->step_square[r][c] = bill_dot(w->n, w->step[r] + c * w->n, w->step[r] + c * w->n);
            for (size_t i = 0; i < w->n; i++) w->col[i] = bill_rise(w->s, i, w->date[c]);
            whiten(w, w->col, w->rise[r] + c * w->n);
        }
    }
}

static void look_at_changes(search *w, collector *c, size_t keep, const counts *total, double *projected)
{
    for (size_t i = 0; i < keep; i++) {
        size_t d = w->scored[i].design;
        int r = w->scored[i].rho, k = w->design[d].columns;
        double rss0, rss, none = w->scored[i].log_none + w->scored[i].log_stands_for;
        if (!basis(w, d, r, w->col2, &rss0, &rss)) continue;
        products(w, k, w->step[r], w->col2, projected);
        search_steps_and_boxes(w, c, d, none, rss, total);
        products(w, k, w->rise[r], w->col2, projected);
        search_ramps(w, c, d, none, rss, total);
        settle(c, (int)w->design[d].form, r);
    }
}

/* Steady unless a change is more likely than not; then the likeliest kind. */
static int choose_kind(const collector *c, bill_odds *out)
{
    double all = -1e300;
    for (int k = 0; k < TUFA_BILL_KIND_COUNT; k++) all = add_logs(all, c->log_kind[k]);
    int kind = TUFA_BILL_STEP;
    for (int k = 0; k < TUFA_BILL_KIND_COUNT; k++) {
        out->kind[k] = exp(c->log_kind[k] - all);
        if (k > TUFA_BILL_STEP && out->kind[k] > out->kind[kind]) kind = k;
    }
    out->log_all = all;
    return out->kind[TUFA_BILL_NONE] >= 0.5 ? TUFA_BILL_NONE : kind;
}

static void describe(const search *w, const collector *c, int kind, bill_odds *out)
{
    for (int f = 0; f < TUFA_BILL_FORM_COUNT; f++) out->form[f] = exp(c->log_form[kind][f] - c->log_kind[kind]);
    out->correlation = 0.0;
    for (int r = 0; r < RHOS; r++) out->correlation += RHO[r] * exp(c->log_rho[kind][r] - c->log_kind[kind]);
    int form = 0;
    for (int f = 1; f < TUFA_BILL_FORM_COUNT; f++)
        if (c->log_form[kind][f] > c->log_form[kind][form]) form = f;
    const best_part *best = &c->of_form[form];
    for (int f = 0; f < TUFA_BILL_FORM_COUNT; f++) {
        out->form_seen[f] = c->log_form[kind][f] > c->log_kind[kind] - FORM_IN_THE_RUNNING;
        if (out->form_seen[f]) out->form_design[f] = w->design[c->of_form[f].design];
    }
    out->design = w->design[best->design];
    out->best = (bill_candidate){.kind = (tufa_bill_change_kind)kind, .a = best->a, .b = best->b};
    out->a = out->b = out->size = (tufa_bill_span){0};
    if (kind == TUFA_BILL_NONE) return;
    out->a = mixture_span(c, kind, 0);
    out->b = mixture_span(c, kind, 1);
    out->size = mixture_span(c, kind, 2);
}

static void start_collector(collector *c)
{
    for (int k = 0; k < TUFA_BILL_KIND_COUNT; k++) {
        c->log_kind[k] = c->best[k].log_w = c->run[k].top = -1e300;
        if (k == 0)
            for (int f = 0; f < TUFA_BILL_FORM_COUNT; f++) c->of_form[f].log_w = -1e300;
        for (int f = 0; f < TUFA_BILL_FORM_COUNT; f++) c->log_form[k][f] = -1e300;
        for (int r = 0; r < RHOS; r++) c->log_rho[k][r] = -1e300;
    }
}

size_t bill_odds_bytes(size_t n)
{
    size_t D = MOST_DATES + 2, doubles = D + 2 * n + BILL_MAX_COLUMNS * n + 2 * n + D * D + D + n + RHOS * (2 * D * n + n) + D * n;
    return doubles * sizeof(double) + PI_PARTS * sizeof(part) + sizeof(search) + sizeof(collector) +
           MAX_DESIGNS * RHOS * sizeof(double) * 6 + 64 * 64;
}

tufa_status bill_search(const bill_series *s, const tufa_bill_options *opt, tufa_arena *scratch, bill_odds *out)
{
    size_t mark = scratch->used;
    search *w = tufa_arena_take(scratch, 1, sizeof *w);
    collector *c = tufa_arena_take(scratch, 1, sizeof *c);
    part *parts = tufa_arena_take(scratch, PI_PARTS, sizeof *parts);
    double *projected = tufa_arena_take(scratch, (MOST_DATES + 2) * s->n, sizeof(double));
    if (!w || !c || !parts || !projected) return trouble(TUFA_MEMORY, "scratch", NULL);
    *w = (search){.s = s, .opt = opt, .n = s->n};
    *c = (collector){.at = parts, .room = PI_PARTS};
    RETURN_IF(prepare(w, scratch));
    start_collector(c);
    list_dates(w);
    for (size_t i = 0; i < w->dates; i++) w->after[i] = readings_after(w, w->date[i]);
    list_designs(w);
    share_prior(w);
    double mean = 0.0;
    for (size_t i = 0; i < w->n; i++) mean += s->y[i] / (double)w->n;
    w->least_rss = (double)w->n * LEAST_NOISE * LEAST_NOISE * mean * mean;
    whiten_columns(w);
    for (size_t d = 0; d < w->designs; d++)
        if (signs_hold(w, d)) score_design(w, d, (1u << RHOS) - 1u);
    refine_balances(w);
    if (w->scores == 0) return trouble(TUFA_SOLVE, "periods", "no form of the model fits these readings");
    for (size_t i = 0; i < w->scores; i++) {
        size_t d = w->scored[i].design;
        part none = {.log_w = w->scored[i].log_none + log(kind_prior(w, TUFA_BILL_NONE)), .kind = TUFA_BILL_NONE};
        if (none.log_w > c->of_form[w->design[d].form].log_w) note_best(&c->of_form[w->design[d].form], d, &none);
        collect(c, w, d, none);
        settle(c, (int)w->design[d].form, w->scored[i].rho);
    }
    counts total = count_candidates(w);
    size_t keep = keep_best(w);
    look_at_changes(w, c, keep, &total, projected);
    int kind = choose_kind(c, out);
    c->keep_kind = kind;
    if (kind != TUFA_BILL_NONE)
        for (int f = 0; f < TUFA_BILL_FORM_COUNT; f++) c->of_form[f].log_w = -1e300;
    if (kind == TUFA_BILL_STEP) refine_step(w, c, keep);
    else if (kind != TUFA_BILL_NONE) look_at_changes(w, c, keep, &total, projected);
    describe(w, c, kind, out);
    scratch->used = mark;
    return OK;
}
