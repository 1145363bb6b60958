/* From the day the heater was put in to today. Before eps is known the mass of a draw is from_eps x eps + given, so
 * that one pass serves the whole grid: what a finding says of eps is then worked out draw by draw, and the draws
 * are taken again by how well they tell what was found. */
#include "core/ahead/inner.h"
#include "core/base/status.h"

#include <math.h>

static const double HEIGHT_KG_LO = 0.02, HEIGHT_KG_HI = 200.0;
static const double WIDE = 8.0;             /* a wrong finding lies anywhere within some 8 of its errors; judgement */
static const double INV_SQRT_2_PI = 0.39894228040143267794, TWO_OVER_PI = 0.63661977236758134308;
static const double LEAST_KG = 1e-6;        /* a bed of less is nothing */
static const double WARM_COST_LO = 0.23;    /* heat that a warm bed lacks against water, by volume; all of it where it stays cold */
static const double ELEMENT_SHAPE = 2.0, ELEMENT_YEARS = 14.0; /* prior of the rate under usual scale: one in some 7 years, SRC_ELEMENT_LIFE */
static const double LEAST_TAKEN = 0.02;     /* something was taken out, or there would be nothing to weigh */

static double kg_at(const mass *m, double eps) { return m->from_eps * eps + m->given + m->grit; }

static void scale_mass(mass *m, double share)
{
    m->from_eps *= share;
    m->most *= share;
    m->given *= share;
    m->grit *= share;
}

/* What settles between two days, by the stretches that they touch. */
static void settle(const question *q, size_t i, double from_day, double to_day, mass *m)
{
    for (size_t k = stretch_on(q, from_day); k < q->stretches && from_day < to_day; k++) {
        const stretch *s = &q->stretch[k];
        double until = k + 1 < q->stretches ? fmin(to_day, (double)q->stretch[k + 1].day) : to_day;
        double days = fmax(0.0, until - from_day);
        m->from_eps += s->kg_day[i] * days;
        m->most += s->most_kg_day[i] * days;
        m->grit += KG_PER_MG_L_M3 * (q->x.sand_mg_L[i] + q->x.rust_mg_L[i]) * s->m3_day[i] * days;
        from_day = fmax(from_day, until);
    }
}

static double left_share_of(const question *q, const tufa_finding *f, size_t i)
{
    tufa_value v = f->left_share.basis != TUFA_BASIS_NONE ? f->left_share : tufa_left_share_default();
    return fmin(1.0, fmax(0.0, tufa_value_at(v, q->x.left_u[i])));
}

static double kg_of_depth(const question *q, size_t i)
{
    const double PI = 3.14159265358979323846;
    double r = q->x.radius_m[i], flue = q->x.flue_m[i];
    return PI * (r * r - flue * flue) * q->bulk_kg_m3[i];
}

/* What a cleaning left, where it is known as a mass or as a depth; negative where it is not. */
static double left_kg_of(const question *q, const tufa_finding *f, size_t i)
{
    if (f->left_kg.basis != TUFA_BASIS_NONE) return fmax(0.0, tufa_value_at(f->left_kg, q->x.left_u[i]));
    if (f->left_depth_m.basis == TUFA_BASIS_NONE) return -1.0;
    return fmax(0.0, tufa_value_at(f->left_depth_m, q->x.left_u[i])) * kg_of_depth(q, i);
}

static void clean(const question *q, const tufa_finding *f, size_t i, mass *m)
{
    double left_kg = left_kg_of(q, f, i);
    if (left_kg >= 0.0) *m = (mass){.given = left_kg};
    else scale_mass(m, left_share_of(q, f, i));
}

static int is_taken_out(const tufa_finding *f) { return f->kind == TUFA_FOUND_WEIGHED || f->kind == TUFA_FOUND_SLURRY; }

static int cleans(const tufa_finding *f) { return f->cleaned || f->kind == TUFA_FOUND_CLEANED || is_taken_out(f); }

/* Of all that was said on a day, what says best how much stayed; NULL when the tank was not cleaned. */
static const tufa_finding *best_left(const tufa_finding *f, size_t n)
{
    const tufa_finding *best = NULL;
    int most = -1;
    for (size_t k = 0; k < n; k++) {
        if (!cleans(&f[k])) continue;
        int says = f[k].left_kg.basis != TUFA_BASIS_NONE ? 3 : f[k].left_depth_m.basis != TUFA_BASIS_NONE ? 2 : f[k].left_share.basis != TUFA_BASIS_NONE;
        if (says > most) most = says, best = &f[k];
    }
    return best;
}

static double error_of(const tufa_finding *f)
{
    const tufa_finding_row *row = tufa_finding_at(f->kind);
    return f->log_sd > 0.0 ? f->log_sd : hypot(row->log_sd, row->abs_sd / f->value);
}

/* Height of the bed, or the share of the lower element that it covers, by mass. */
static void tabulate(const question *q, size_t i, double grit_kg, sight *s)
{
    vessel v = vessel_of(q, i);
    for (int k = 0; k < HEIGHT_POINTS; k++) {
        double kg = HEIGHT_KG_LO * pow(HEIGHT_KG_HI / HEIGHT_KG_LO, (double)k / (HEIGHT_POINTS - 1));
        lying l = lie_down(q, &v, i, fmax(0.0, kg - grit_kg), fmin(kg, grit_kg));
        s->table[k] = s->law == TUFA_LAW_HEIGHT ? log(fmax(l.depth_m, 1e-6)) : l.covered;
    }
}

static double by_mass(const sight *s, double kg_log)
{
    double at = (kg_log - log(HEIGHT_KG_LO)) / log(HEIGHT_KG_HI / HEIGHT_KG_LO) * (HEIGHT_POINTS - 1);
    at = fmin(HEIGHT_POINTS - 1.0, fmax(0.0, at));
    int k = at >= HEIGHT_POINTS - 1.0 ? HEIGHT_POINTS - 2 : (int)at;
    return s->table[k] + (at - k) * (s->table[k + 1] - s->table[k]);
}

/* Gas: the bed takes room from the water and keeps heat from it; volume and loss nearly cancel, which is why this says more of the
 * loss for each kg than of the bed. */
double heat_up_log(double warm_cost, double bulk_kg_m3, double volume_m3, double loss_per_kg, double kg)
{
    double water = fmax(0.2, 1.0 - warm_cost * kg / bulk_kg_m3 / volume_m3);
    return log(water) + fmin(2.0, loss_per_kg * kg);
}

double warm_cost(const question *q, size_t draw) { return WARM_COST_LO + (1.0 - WARM_COST_LO) * q->x.warm_u[draw]; }

double expected_log(const sight *s, double eps)
{
    double kg = fmax(LEAST_KG, kg_at(&s->before, eps) * s->share);
    switch (s->law) {
    case TUFA_LAW_MASS: return log(kg);
    case TUFA_LAW_HEIGHT: return by_mass(s, log(kg));
    case TUFA_LAW_TOLD: return log(kg / s->bulk_kg_m3 + TUFA_TOLD_FLOOR_M3);
    case TUFA_LAW_RECOVERY: return heat_up_log(s->warm_cost, s->bulk_kg_m3, s->volume_m3, s->loss_per_kg, kg);
    case TUFA_LAW_ELEMENT:
    case TUFA_LAW_DONE: break;
    }
    return 0.0;
}

/* kg for each unit of the finding. */
static double unit_of(const question *q, const tufa_finding *f, size_t i)
{
    switch (f->kind) {
    case TUFA_FOUND_SLURRY:
    case TUFA_FOUND_REFILL: return q->bulk_kg_m3[i];
    case TUFA_FOUND_DEPTH: return kg_of_depth(q, i);
    case TUFA_FOUND_WEIGHED:
    case TUFA_FOUND_HEIGHT:
    case TUFA_FOUND_CLEANED:
    case TUFA_FOUND_TOLD:
    case TUFA_FOUND_RECOVERY:
    case TUFA_FOUND_ELEMENT:
    case TUFA_FOUND_COUNT: break;
    }
    return 1.0;
}

/* Since when a bed has been growing without a cleaning between, and from what. */
typedef struct growing {
    mass from;
    double day;
} growing;

static void compare(const question *q, const tufa_finding *f, size_t i, sight *s)
{
    switch (s->law) {
    case TUFA_LAW_HEIGHT: tabulate(q, i, s->before.grit, s); /* fall through */
    case TUFA_LAW_MASS:
    case TUFA_LAW_RECOVERY:
        s->seen_log = log(f->value * s->unit + s->left_kg);
        s->sd = error_of(f);
        break;
    case TUFA_LAW_TOLD:
        s->seen_log = s->told->mid_log;
        s->sd = s->told->sd_log;
        break;
    case TUFA_LAW_ELEMENT:
        tabulate(q, i, s->before.grit, s);
        s->sd = 1.0;
        break;
    case TUFA_LAW_DONE: break;
    }
}

/* One finding as this draw sees it: what it had before, what of it could be read. `left`: of its day, or NULL. */
static int look_at(const question *q, const tufa_finding *f, const tufa_finding *left, size_t i, const mass *m, const growing *since, sight *s)
{
    static const double LASTED_DAY_S = 86400.0;
    tufa_finding_law law = tufa_finding_at(f->kind)->law;
    *s = (sight){.law = law, .before = *m, .share = 1.0, .finding = (size_t)(f - q->in->found), .unit = unit_of(q, f, i), .aside = f->set_aside,
                 .told = law == TUFA_LAW_TOLD ? &q->in->told[f->told] : NULL, .bulk_kg_m3 = q->bulk_kg_m3[i], .volume_m3 = q->x.volume_m3[i], .loss_per_kg = q->x.loss_per_kg[i],
                 .warm_cost = warm_cost(q, i), .after = since->from, .since_days = fmax(0.0, (double)f->day - since->day),
                 .lasted_days = f->value / LASTED_DAY_S, .buried = q->x.buried[i]};
    if (is_taken_out(f)) { /* what was taken out, and what is known to have stayed */
        s->left_kg = fmax(0.0, left_kg_of(q, left, i));
        if (left_kg_of(q, left, i) < 0.0) s->share = fmax(LEAST_TAKEN, 1.0 - left_share_of(q, left, i));
    }
    compare(q, f, i, s);
    return law != TUFA_LAW_DONE;
}

/* How many times oftener than above a bed the element burns out, at so much of it. */
static double harm(const sight *s, double kg) { return 1.0 + (s->buried - 1.0) * by_mass(s, log(fmax(LEAST_KG, kg))); }

double expected_value(const sight *s, double eps)
{
    double seen = exp(expected_log(s, eps));
    switch (s->law) {
    case TUFA_LAW_HEIGHT:
    case TUFA_LAW_RECOVERY: return seen;
    case TUFA_LAW_TOLD: return seen - TUFA_TOLD_FLOOR_M3;
    case TUFA_LAW_ELEMENT: return by_mass(s, log(fmax(LEAST_KG, kg_at(&s->before, eps)))); /* share of the element in the bed */
    case TUFA_LAW_MASS:
    case TUFA_LAW_DONE: break;
    }
    return fmax(0.0, seen - s->left_kg) / s->unit;
}

/* An element that lasted so long and then burnt out: its hazard on that day, and that it had come so far. The bed grew evenly
 * since the last cleaning; what was before that counts as free. The rate itself is not known (gamma): it is averaged over. */
static double burnt_out(const sight *s, double eps)
{
    enum { PARTS = 6 };
    double days = fmin(s->lasted_days, s->since_days), first = kg_at(&s->after, eps), last = kg_at(&s->before, eps), years = 0.0;
    double begin = s->since_days > 0.0 ? 1.0 - days / s->since_days : 1.0;
    for (int k = 0; k < PARTS; k++) years += harm(s, first + (last - first) * (begin + (1.0 - begin) * (k + 0.5) / PARTS)) * days / PARTS / DAYS_YEAR;
    years += fmax(0.0, s->lasted_days - days) / DAYS_YEAR;
    return harm(s, last) * pow((ELEMENT_YEARS + s->lasted_days / DAYS_YEAR) / (ELEMENT_YEARS + years), ELEMENT_SHAPE + 1.0);
}

/* A normal error in the log (or what was told), and a share of findings that are wrong outright. */
double likelihood(const question *q, const sight *s, double eps, double expected_log_)
{
    double wrong = q->in->misread_share, right = (1.0 - wrong) * INV_SQRT_2_PI, far = wrong * TWO_OVER_PI / WIDE;
    double z = (s->seen_log - expected_log_) / s->sd, w = z / WIDE, tail = 1.0 + w * w;
    if (s->law == TUFA_LAW_ELEMENT) return (1.0 - wrong) * burnt_out(s, eps) + wrong;
    double near = s->law == TUFA_LAW_TOLD ? tufa_told_at(s->told, exp(expected_log_) - TUFA_TOLD_FLOOR_M3) : -0.5 * z * z;
    return (right * exp(near) + far / (tail * tail)) / s->sd;
}

/* Weight of one draw, and its eps drawn from what the findings leave of the grid. */
static double posterior_of(const question *q, size_t i, const sight *s, size_t sights, double *eps)
{
    tufa_eps post = q->in->eps;
    double sum = 0.0;
    for (size_t g = 0; g < TUFA_EPS_POINTS; g++) {
        for (size_t k = 0; k < sights && post.weight[g] > 0.0; k++)
            if (!s[k].aside) post.weight[g] *= likelihood(q, &s[k], q->eps_point[g], expected_log(&s[k], q->eps_point[g]));
        sum += post.weight[g];
    }
    if (!(sum > 0.0)) return 0.0;
    for (size_t g = 0; g < TUFA_EPS_POINTS; g++) post.weight[g] /= sum;
    *eps = tufa_eps_at(&post, tufa_uniform(q->in->key, 1, i)); /* the stream of eps itself */
    return sum;
}

size_t walk(const question *q, size_t i, sight *s, mass *today)
{
    const tufa_ahead_in *in = q->in;
    double day = (double)in->today_day - q->x.age_years[i] * DAYS_YEAR;
    size_t sights = 0;
    growing since = {.day = day};
    *today = (mass){0};
    for (size_t k = 0, next; k < in->findings; k = next) {
        const tufa_finding *f = &in->found[k];
        for (next = k + 1; next < in->findings && in->found[next].day == f->day;) next++;
        const tufa_finding *left = best_left(f, next - k);
        settle(q, i, day, (double)f->day, today);
        day = fmax(day, (double)f->day);
        for (size_t j = k; j < next; j++) sights += look_at(q, &in->found[j], left, i, today, &since, &s[sights]) ? 1u : 0u;
        if (!left) continue;
        clean(q, left, i, today);
        since = (growing){*today, (double)f->day};
    }
    settle(q, i, day, (double)in->today_day, today);
    return sights;
}

/* Draw j of the new set is the draw at (j + 1/2)/n of the running sum of weights. */
static void resample(const question *q, const double *weight, double sum, size_t *pick)
{
    double run = weight[0];
    size_t i = 0;
    for (size_t j = 0; j < q->n; j++) {
        double at = sum * ((double)j + 0.5) / (double)q->n;
        while (run < at && i + 1 < q->n) run += weight[++i];
        pick[j] = i;
    }
}

static void close_today(question *q, size_t i, const mass *m)
{
    q->grit_kg[i] = m->grit;
    q->scale_kg[i] = fmin(m->from_eps * q->x.eps[i], m->most) + m->given;
}

/* How far each finding lies from what was expected before anything was found: the farthest is kept. */
static void keep_surprise(question *q, size_t sights, const sight *s, const double *mean, const double *square)
{
    q->surprise_index = -1;
    for (size_t k = 0; k < sights; k++) q->used += !s[k].aside;
    for (size_t k = 0; k < sights; k++) {
        double sd = sqrt(fmax(1e-12, square[k] - mean[k] * mean[k])), far = fabs(mean[k] / sd);
        if (far <= q->surprise) continue;
        q->surprise = far;
        q->surprise_index = (int)(s[k].finding + q->skipped);
    }
}

tufa_status run_history(question *q)
{
    size_t room = q->in->findings + 1, sights = 0;
    sight *s = TAKE(q, room, sight);
    double *weight = TAKE(q, q->n, double), *scratch = TAKE(q, q->n, double);
    double *mean = TAKE(q, room, double), *square = TAKE(q, room, double), sum = 0.0, sum_square = 0.0;
    size_t *pick = TAKE(q, q->n, size_t);
    if (!s || !weight || !scratch || !mean || !square || !pick) return trouble(TUFA_MEMORY, "arena", NULL);
    for (size_t i = 0; i < q->n; i++) {
        mass today;
        sights = walk(q, i, s, &today);
        for (size_t k = 0; k < sights; k++) {
            double off = s[k].seen_log - expected_log(&s[k], q->x.eps[i]);
            mean[k] += off / (double)q->n;
            square[k] += (off * off + s[k].sd * s[k].sd) / (double)q->n;
        }
        weight[i] = sights ? posterior_of(q, i, s, sights, &q->x.eps[i]) : 1.0;
        sum += weight[i];
        sum_square += weight[i] * weight[i];
        close_today(q, i, &today);
    }
    keep_surprise(q, sights, s, mean, square);
    if (!(sum > 0.0) || !(sum_square > 0.0)) return trouble(TUFA_CONFLICT, "found", "no draw tells what was found");
    q->effective_draws = sum * sum / sum_square;
    if (sights == 0) return OK;
    resample(q, weight, sum, pick);
    pick_draws(q, pick, scratch);
    return OK;
}
