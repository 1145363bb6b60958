/* The decision problem of one heater, averaged over what is not known, and its exact solution.
 *
 * Every step makes a heater older, and only a new tank brings it back to the beginning: so the problem has no loops but the
 * one through the renewal. With a price on the renewal one backward sweep solves it exactly; the price follows by Newton's
 * method on the value of a new heater, which is concave in it and piecewise straight: that is Howard's policy iteration
 * (1960) on this structure, and ends after a few sweeps with the exact answer. */
#include "core/base/status.h"
#include "core/money/step.h"

#include <math.h>
#include <string.h>

/* Years of growth after a cleaning, years of an anode: whole ones, so that a clock that runs does not smear; what is upkeep is
 * decided once a year, and a half-year between stands half a year further on. */
static const double BED_Y[BEDS] = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 15, 20, 30}, LONGEST_Y = 30.0;
static const double ANODE_Z[ANODES] = {0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 13};
static const double WORN_YEARS = 15.0;  /* from then on the cleaning stage leaves a tank alone: it may open leaks */
static const double HARM_STAYS = 0.5;   /* of the harm of a spent anode, what a new one cannot undo; judgement */
static const double RENEW_TOL = 1e-10, LEAST_GROWTH = 1e-9;
enum { RENEW_CAP = 60 };

/* ---- grids ---- */

static cell cell_of(int n, const double *grid, double x)
{
    int i = 0;
    while (i + 2 < n && x >= grid[i + 1]) i++;
    double up = (x - grid[i]) / (grid[i + 1] - grid[i]);
    return (cell){i, fmin(1.0, fmax(0.0, up))};
}

static int phase_of(int step) { return step % STEPS_YEAR; }

static void lay_grids(chain *c, unsigned grid)
{
    c->beds = grid ? (int)grid : BEDS;
    for (int j = 0; j < c->beds; j++) c->bed_y[j] = grid ? LONGEST_Y * j / (c->beds - 1) : BED_Y[j];
    for (int j = 0; j < c->beds; j++) c->bed_next[j] = cell_of(c->beds, c->bed_y, c->bed_y[j] + 1.0);
    for (int a = 0; a < ANODES; a++) c->anode_next[a] = cell_of(ANODES, ANODE_Z, ANODE_Z[a] + 1.0);
}

static size_t state(const chain *c, int bed, int anode, int kind)
{
    return ((size_t)bed * (ANODES + 1) + (size_t)anode) * (size_t)c->kinds + (size_t)kind;
}

/* ---- means ---- */

typedef struct run {
    double in_trouble, usd[KINDS];
} run;

/* What half a year costs with a bed that begins at kg, thermostats apart. */
static run run_of(const stand *s, size_t i, double kg)
{
    const world *w = &s->ws->w[i];
    double grown = STEP_YEARS * s->growth[i], t = share_in_trouble(kg, grown, s->trouble_kg[i]);
    double base = t * w->calls_year[s->electric] * w->call_usd + s->extra_year[i] +
                  lost_share(s->loss_per_kg[i], kg + 0.5 * grown) * s->fuel_year[i];
    run r = {.in_trouble = t};
    for (int e = 0; e < KINDS; e++)
        r.usd[e] = STEP_YEARS * (base + s->element[e][i] * (1.0 + (w->buried - 1.0) * t) * w->element_usd);
    return r;
}

/* The heater as nobody touched it, step by step, over the draws that still stand. */
static void mean_untouched(const stand *s, chain *c, double *weight, int k)
{
    size_t n = s->n;
    double sum = 0.0, fails[2][2] = {{0.0, 0.0}, {0.0, 0.0}}, usd[KINDS] = {0.0, 0.0}, control = 0.0, spent = 0.0, clean = 0.0, flush = 0.0, growth = 0.0;
    for (size_t i = 0; i < n; i++) {
        const world *w = &s->ws->w[i];
        double later = STEP_YEARS * k, kg = s->kg[i] + s->growth[i] * later, h = s->hazard[(size_t)k * n + i], m = weight[i];
        int gone = s->anode_age[i] + later > s->anode_life[i];
        run r = run_of(s, i, kg);
        double bed = 1.0 + (w->bed_on_life[s->electric] - 1.0) * r.in_trouble, anode = gone ? w->anode_on_life : 1.0;
        double p = chance_of(h * bed * anode);
        sum += m;
        fails[0][0] += m * p;
        fails[0][1] += m * chance_of(h * bed);
        fails[1][0] += m * chance_of(h * anode);
        fails[1][1] += m * chance_of(h);
        for (int e = 0; e < KINDS; e++) usd[e] += m * r.usd[e];
        control += m * s->control[(size_t)k * n + i] * w->control_usd[s->electric];
        spent += gone ? m : 0.0;
        clean += m * w->left_share[TUFA_CHOICE_CLEAN] * kg;
        flush += m * flush_leaves(w, kg);
        growth += m * s->growth[i];
        weight[i] = m * (1.0 - p);
    }
    for (int b = 0; b < 2; b++)
        for (int a = 0; a < 2; a++) c->hazard[b][a][k] = -log1p(-fmin(1.0 - 1e-12, fails[b][a] / sum));
    for (int e = 0; e < KINDS; e++) c->running0[e][k] = usd[e] / sum;
    c->control[k] = control / sum;
    c->spent0[k] = spent / sum;
    c->clean_y0[k] = growth > LEAST_GROWTH * sum ? clean / growth : 0.0;
    c->flush_y0[k] = growth > LEAST_GROWTH * sum ? flush / growth : 0.0;
}

static void mean_bed(const stand *s, chain *c, int j, int phase)
{
    double n = (double)s->n, flush = 0.0, growth = 0.0, leak = 0.0, usd[KINDS] = {0.0, 0.0};
    for (size_t i = 0; i < s->n; i++) {
        const world *w = &s->ws->w[i];
        double kg = s->growth[i] * (c->bed_y[j] + STEP_YEARS * phase);
        run r = run_of(s, i, kg);
        leak += (1.0 + (w->bed_on_life[s->electric] - 1.0) * r.in_trouble) / n;
        for (int e = 0; e < KINDS; e++) usd[e] += r.usd[e] / n;
        flush += flush_leaves(w, kg);
        growth += s->growth[i];
    }
    c->bed_on_leak[phase][j] = leak;
    for (int e = 0; e < KINDS; e++) c->running[phase][e][j] = usd[e];
    if (phase == 0) c->flush_y[j] = growth > LEAST_GROWTH * n ? flush / growth : c->bed_y[j];
}

static void mean_anode(const stand *s, chain *c, int a)
{
    double n = (double)s->n, spent[STEPS_YEAR] = {0.0}, scar[STEPS_YEAR] = {0.0};
    for (size_t i = 0; i < s->n; i++)
        for (int phase = 0; phase < STEPS_YEAR; phase++) {
            double m = s->ws->w[i].anode_on_life;
            if (ANODE_Z[a] + STEP_YEARS * phase > s->anode_life[i]) spent[phase] += m / n;
            else spent[phase] += 1.0 / n, scar[phase] += HARM_STAYS * (m - 1.0) / n;
        }
    for (int k = 0; k < STEPS; k++) { /* the old one was spent by then, or not */
        int phase = phase_of(k), changed = k - phase - (int)(ANODE_Z[a] / STEP_YEARS);
        c->anode_on_leak[k][a] = spent[phase] + scar[phase] * c->spent0[changed > 0 ? changed : 0];
    }
}

static void mean_spend(const stand *s, chain *c)
{
    double n = (double)s->n;
    for (size_t i = 0; i < s->n; i++) {
        const world *w = &s->ws->w[i];
        c->leak_usd += (w->leak_usd + w->damage_chance * w->damage_usd) / n;
        c->left_share += w->left_share[TUFA_CHOICE_CLEAN] / n;
        for (int a = 0; a < TUFA_CHOICE_COUNT; a++) c->spend[a] += deed_usd(s, i, (tufa_choice)a) / n;
    }
}

static const tufa_choice UPKEEP[] = {TUFA_CHOICE_FLUSH, TUFA_CHOICE_CLEAN, TUFA_CHOICE_ELEMENTS, TUFA_CHOICE_ANODE, TUFA_CHOICE_CLEAN_ANODE};
enum { UPKEEPS = sizeof UPKEEP / sizeof UPKEEP[0] };

static void set_allowed(const stand *s, chain *c)
{
    const tufa_money_in *in = s->ws->in;
    double age = 0.0;
    for (size_t i = 0; i < s->n && !s->fresh; i++) age += s->ws->w[i].age / (double)s->n;
    for (int k = 0; k < STEPS; k++) {
        int worn = age + STEP_YEARS * k >= WORN_YEARS;
        c->may[TUFA_CHOICE_LEAVE][k] = 1;
        c->may[TUFA_CHOICE_REPLACE][k] = !in->never[TUFA_CHOICE_REPLACE];
        for (int u = 0; u < UPKEEPS; u++) {
            tufa_choice a = UPKEEP[u];
            int flush = a == TUFA_CHOICE_FLUSH, bed = a != TUFA_CHOICE_ANODE;
            int refused = !s->fresh && bed && (flush ? in->flush.refused : in->clean.refused);
            c->may[a][k] = phase_of(k) == 0 && !in->never[a] && !refused && !(bed && worn) && (a != TUFA_CHOICE_ELEMENTS || s->electric);
            if (a == TUFA_CHOICE_CLEAN_ANODE && (in->never[TUFA_CHOICE_CLEAN] || in->never[TUFA_CHOICE_ANODE])) c->may[a][k] = 0;
            if (a == TUFA_CHOICE_ELEMENTS && in->never[TUFA_CHOICE_CLEAN]) c->may[a][k] = 0;
        }
    }
}

static void fill_leak(const chain *c)
{
    double *p = c->leak;
    for (int k = 0; k < STEPS; k++)
        for (int b = 0; b <= c->beds; b++)
            for (int a = 0; a <= ANODES; a++) {
                double by_bed = b ? c->bed_on_leak[phase_of(k)][b - 1] : 1.0, by_anode = a ? c->anode_on_leak[k][a - 1] : 1.0;
                *p++ = chance_of(c->hazard[b > 0][a > 0][k] * by_bed * by_anode);
            }
}

size_t chain_bytes(int beds)
{
    size_t layer = (size_t)(beds + 1) * (ANODES + 1) * KINDS;
    return (STEPS + 5 + STEPS) * (layer * sizeof(double) + 64) + 1024;
}

tufa_status make_chain(const stand *s, tufa_arena *arena, chain *c)
{
    *c = (chain){.ws = s->ws, .kinds = s->electric ? KINDS : 1};
    lay_grids(c, s->ws->in->grid);
    c->layer = state(c, c->beds, ANODES, c->kinds - 1) + 1;
    c->kept = tufa_arena_take(arena, STEPS * c->layer, sizeof(double));
    c->leak = tufa_arena_take(arena, (size_t)(STEPS * (c->beds + 1) * (ANODES + 1)), sizeof(double));
    double **scratch[] = {&c->value[0], &c->value[1], &c->slope[0], &c->slope[1], &c->kept_slope};
    for (size_t k = 0; k < sizeof scratch / sizeof scratch[0]; k++)
        if (!(*scratch[k] = tufa_arena_take(arena, c->layer, sizeof(double)))) return trouble(TUFA_MEMORY, "arena", NULL);
    size_t used = arena->used;
    double *weight = tufa_arena_take(arena, s->n, sizeof *weight);
    if (!c->kept || !c->leak || !weight) return trouble(TUFA_MEMORY, "arena", NULL);
    mean_spend(s, c);
    for (size_t i = 0; i < s->n; i++) weight[i] = 1.0;
    for (int k = 0; k < STEPS; k++) {
        mean_untouched(s, c, weight, k);
        c->clean0[k] = cell_of(c->beds, c->bed_y, c->clean_y0[k]);
        c->flush0[k] = cell_of(c->beds, c->bed_y, c->flush_y0[k]);
    }
    for (int j = 0; j < c->beds; j++) {
        for (int phase = 0; phase < STEPS_YEAR; phase++) mean_bed(s, c, j, phase);
        c->clean[j] = cell_of(c->beds, c->bed_y, c->left_share * c->bed_y[j]);
        c->flush[j] = cell_of(c->beds, c->bed_y, c->flush_y[j]);
    }
    for (int a = 0; a < ANODES; a++) mean_anode(s, c, a);
    fill_leak(c);
    set_allowed(s, c);
    arena->used = used;
    return OK;
}

/* ---- solution ---- */

/* Half a year in which nothing is done, and what follows it. */
static double pass(const chain *c, double p, double running_usd, double next_usd, double then_usd)
{
    return c->ws->back_half * ((1.0 - 0.5 * p) * running_usd + p * (c->leak_usd + next_usd)) + c->ws->back * (1.0 - p) * then_usd;
}

enum { MOST_ROW = (ANODES + 1) * KINDS };

/* v[j] = between two rows of a layer. */
static void blend(int n, const double *restrict lo, const double *restrict hi, double up, double *restrict v)
{
    for (int j = 0; j < n; j++) v[j] = lo[j] + up * (hi[j] - lo[j]);
}

static const double *row_of(const chain *c, const double *layer, int bed) { return layer + state(c, bed, 0, 0); }

/* A row of the next layer as the clocks of bed and anode find it: they move on at the end of a year. v: where it is made. */
static const double *next_row(const chain *c, int k, int bed, const double *then, double *v)
{
    int kinds = c->kinds, n = (ANODES + 1) * kinds;
    if (phase_of(k + 1) != 0) return row_of(c, then, bed);
    double mixed[MOST_ROW];
    const cell *at = bed ? &c->bed_next[bed - 1] : NULL;
    const double *row = row_of(c, then, at ? 1 + at->at + (at->up == 1.0) : 0);
    if (at && at->up > 0.0 && at->up < 1.0) {
        blend(n, row, row_of(c, then, 2 + at->at), at->up, mixed);
        row = mixed;
    }
    for (int e = 0; e < kinds; e++) v[e] = row[e];
    for (int a = 1; a <= ANODES; a++) {
        const cell *z = &c->anode_next[a - 1];
        for (int e = 0; e < kinds; e++) {
            double lo = row[(1 + z->at) * kinds + e], hi = row[(2 + z->at) * kinds + e];
            v[a * kinds + e] = lo + z->up * (hi - lo);
        }
    }
    return v;
}

static void pass_layer(const chain *c, int k, double next_usd, const double *then, const double *then_slope, double *kept,
                       double *kept_slope)
{
    const worlds *ws = c->ws;
    int kinds = c->kinds;
    for (int b = 0; b <= c->beds; b++) {
        double room[MOST_ROW], slope_room[MOST_ROW];
        size_t first = state(c, b, 0, 0);
        const double *after = then ? next_row(c, k, b, then, room) : NULL, *after_slope = then_slope ? next_row(c, k, b, then_slope, slope_room) : NULL;
        const double *leak = c->leak + (size_t)(k * (c->beds + 1) + b) * (ANODES + 1);
        double running[KINDS];
        for (int e = 0; e < kinds; e++) running[e] = (b ? c->running[phase_of(k)][e][b - 1] : c->running0[e][k]) + c->control[k];
        for (int a = 0; a <= ANODES; a++) {
            double p = leak[a], falls = ws->back_half * p, stays = ws->back * (1.0 - p);
            for (int e = 0; e < kinds; e++) {
                int j = a * kinds + e;
                kept[first + (size_t)j] = ws->back_half * (1.0 - 0.5 * p) * running[e] + falls * (c->leak_usd + next_usd) + stays * (after ? after[j] : next_usd);
                if (kept_slope) kept_slope[first + (size_t)j] = falls + stays * (after_slope ? after_slope[j] : 1.0);
            }
        }
    }
}

/* The best of a row of states so far, with its slope. */
typedef struct best_row {
    int n;
    double *usd, *slope; /* slope NULL: not wanted */
} best_row;

static void offer(const best_row *r, double spend, const double *usd, const double *slope)
{
    for (int j = 0; j < r->n; j++) {
        double x = spend + usd[j];
        int better = x < r->usd[j];
        if (r->slope) r->slope[j] = better ? slope[j] : r->slope[j];
        r->usd[j] = better ? x : r->usd[j];
    }
}

/* Every state of a row comes to the same anode (1: a new one; below 0: its own) or kind of element (below 0: its own). */
static void lead_to(const chain *c, const double *row, int anode, int kind, double *v)
{
    for (int a = 0; a <= ANODES; a++)
        for (int e = 0; e < c->kinds; e++) v[a * c->kinds + e] = row[(anode < 0 ? a : anode) * c->kinds + (kind < 0 ? e : kind)];
}

typedef struct rows {
    double usd[MOST_ROW], slope[MOST_ROW];
} rows;

static void row_at(const chain *c, const double *kept, const double *kept_slope, int bed, const cell *to, rows *r)
{
    int n = (ANODES + 1) * c->kinds, lo = to ? 1 + to->at : bed, hi = to ? lo + 1 : bed;
    double up = to ? to->up : 0.0;
    blend(n, row_of(c, kept, lo), row_of(c, kept, hi), up, r->usd);
    if (kept_slope) blend(n, row_of(c, kept_slope, lo), row_of(c, kept_slope, hi), up, r->slope);
}

static void offer_deed(const chain *c, int k, tufa_choice d, const rows *from, const best_row *best)
{
    int anode = d == TUFA_CHOICE_ANODE || d == TUFA_CHOICE_CLEAN_ANODE ? 1 : -1, kind = d == TUFA_CHOICE_ELEMENTS ? 1 : -1;
    rows to;
    if (!c->may[d][k]) return;
    lead_to(c, from->usd, anode, kind, to.usd);
    if (best->slope) lead_to(c, from->slope, anode, kind, to.slope);
    offer(best, c->spend[d], to.usd, to.slope);
}

static void offer_renewal(const chain *c, int k, double next_usd, const best_row *best)
{
    if (!c->may[TUFA_CHOICE_REPLACE][k]) return;
    for (int j = 0; j < best->n; j++) {
        int better = next_usd < best->usd[j];
        if (best->slope) best->slope[j] = better ? 1.0 : best->slope[j];
        best->usd[j] = better ? next_usd : best->usd[j];
    }
}

/* Upkeep is decided at the beginning of a year, a planned replacement at every step. */
static void choose_layer(const chain *c, int k, double next_usd, const double *kept, const double *kept_slope, double *value,
                         double *slope)
{
    int n = (ANODES + 1) * c->kinds;
    for (int b = 0; b <= c->beds; b++) {
        size_t first = state(c, b, 0, 0);
        best_row best = {n, value + first, slope ? slope + first : NULL};
        memcpy(best.usd, kept + first, (size_t)n * sizeof *kept);
        if (slope) memcpy(best.slope, kept_slope + first, (size_t)n * sizeof *kept);
        if (phase_of(k) == 0) {
            rows here, flushed, cleaned;
            row_at(c, kept, kept_slope, b, NULL, &here);
            row_at(c, kept, kept_slope, b, b ? &c->flush[b - 1] : &c->flush0[k], &flushed);
            row_at(c, kept, kept_slope, b, b ? &c->clean[b - 1] : &c->clean0[k], &cleaned);
            offer_deed(c, k, TUFA_CHOICE_FLUSH, &flushed, &best);
            offer_deed(c, k, TUFA_CHOICE_CLEAN, &cleaned, &best);
            offer_deed(c, k, TUFA_CHOICE_ELEMENTS, &cleaned, &best);
            offer_deed(c, k, TUFA_CHOICE_ANODE, &here, &best);
            offer_deed(c, k, TUFA_CHOICE_CLEAN_ANODE, &cleaned, &best);
        }
        offer_renewal(c, k, next_usd, &best);
    }
}

double sweep(chain *c, double next_usd, double *slope)
{
    const double *then = NULL, *then_slope = NULL;
    for (int k = STEPS - 1; k >= 0; k--) {
        double *kept = c->kept + (size_t)k * c->layer, *kept_slope = slope ? c->kept_slope : NULL;
        double *value = c->value[k & 1], *value_slope = slope ? c->slope[k & 1] : NULL;
        pass_layer(c, k, next_usd, then, then_slope, kept, kept_slope);
        choose_layer(c, k, next_usd, kept, kept_slope, value, value_slope);
        then = value;
        then_slope = value_slope;
    }
    if (slope) *slope = then_slope[0];
    return then[0];
}

static double pass_untouched(const chain *c, int k, double next_usd, double then_usd)
{
    return pass(c, c->leak[(size_t)(k * (c->beds + 1)) * (ANODES + 1)], c->running0[0][k] + c->control[k], next_usd, then_usd);
}

/* What the next heater costs when nothing is ever done but to replace what leaks: the first policy. */
static double never_planned(const chain *c, double price)
{
    double usd = 0.0, slope = 1.0;
    for (int k = STEPS; k-- > 0;) {
        double p = c->leak[(size_t)(k * (c->beds + 1)) * (ANODES + 1)];
        usd = pass_untouched(c, k, 0.0, usd);
        slope = c->ws->back_half * p + c->ws->back * (1.0 - p) * slope;
    }
    return (price + usd) / (1.0 - slope);
}

tufa_status renew(chain *c, double price, double outside, double *next_usd, double *new_usd)
{
    double next = fmin(outside, never_planned(c, price)); /* from there every step comes down */
    for (int k = 0; k < RENEW_CAP; k++) {
        double slope, fresh = sweep(c, next, &slope);
        double better = price + fresh <= outside ? (price + fresh - slope * next) / (1.0 - slope) : outside;
        better = fmin(better, outside);
        if (fabs(better - next) <= RENEW_TOL * fmax(1.0, fabs(next))) {
            *next_usd = next;
            *new_usd = fresh;
            return OK;
        }
        next = better;
    }
    return trouble(TUFA_SOLVE, "renewal", NULL);
}

/* ---- between the places of the grids ---- */

typedef struct target {
    size_t at[4];
    double share[4];
    int n;
} target;

/* States around a place. bed, anode: NULL untouched, else a cell of the grid. */
static target target_of(const chain *c, const cell *bed, const cell *anode, int kind)
{
    target t = {.n = 0};
    for (int b = 0; b < (bed ? 2 : 1); b++)
        for (int a = 0; a < (anode ? 2 : 1); a++) {
            double share = (bed ? b ? bed->up : 1.0 - bed->up : 1.0) * (anode ? a ? anode->up : 1.0 - anode->up : 1.0);
            if (share == 0.0) continue;
            t.at[t.n] = state(c, bed ? 1 + bed->at + b : 0, anode ? 1 + anode->at + a : 0, kind);
            t.share[t.n++] = share;
        }
    return t;
}

static double mix(const double *v, const target *t)
{
    double sum = 0.0;
    for (int k = 0; k < t->n; k++) sum += t->share[k] * v[t->at[k]];
    return sum;
}

static double kept_at(const chain *c, int k, const place *p)
{
    double since = STEP_YEARS * phase_of(k);
    cell bed = cell_of(c->beds, c->bed_y, p->y - since), anode = cell_of(ANODES, ANODE_Z, p->z - since);
    target t = target_of(c, p->bed_touched ? &bed : NULL, p->anode_touched ? &anode : NULL, p->kind);
    return mix(c->kept + (size_t)k * c->layer, &t);
}

static double cell_value(const double *v, const cell *at) { return v[at->at] + at->up * (v[at->at + 1] - v[at->at]); }

double act_usd(const chain *c, int k, const place *p, tufa_choice a, double next_usd, place *after)
{
    place q = *p;
    if (!c->may[a][k]) return HUGE_VAL;
    if (a == TUFA_CHOICE_REPLACE) return next_usd;
    if (a == TUFA_CHOICE_FLUSH) {
        cell at = cell_of(c->beds, c->bed_y, p->y);
        q.y = p->bed_touched ? cell_value(c->flush_y, &at) : c->flush_y0[k];
        q.bed_touched = 1;
    } else if (a == TUFA_CHOICE_CLEAN || a == TUFA_CHOICE_ELEMENTS || a == TUFA_CHOICE_CLEAN_ANODE) {
        q.y = p->bed_touched ? c->left_share * p->y : c->clean_y0[k];
        q.bed_touched = 1;
    }
    if (a == TUFA_CHOICE_ELEMENTS) q.kind = 1;
    if (a == TUFA_CHOICE_ANODE || a == TUFA_CHOICE_CLEAN_ANODE) q.z = 0.0, q.anode_touched = 1;
    *after = q;
    return c->spend[a] + kept_at(c, k, &q);
}

tufa_choice best_act(const chain *c, int k, const place *p, double next_usd, double *usd, place *after)
{
    tufa_choice best = TUFA_CHOICE_LEAVE;
    *usd = act_usd(c, k, p, TUFA_CHOICE_LEAVE, next_usd, after);
    for (int a = TUFA_CHOICE_LEAVE + 1; a <= TUFA_CHOICE_REPLACE; a++) {
        place q = *p;
        double x = act_usd(c, k, p, (tufa_choice)a, next_usd, &q);
        if (!(x < *usd)) continue;
        *usd = x;
        best = (tufa_choice)a;
        *after = q;
    }
    return best;
}

/* ---- nothing done ---- */

void left_alone(const chain *c, double next_usd, double *usd, unsigned char *replaced)
{
    double then = next_usd;
    for (int k = STEPS - 1; k >= 0; k--) {
        usd[k] = pass_untouched(c, k, next_usd, then);
        replaced[k] = c->may[TUFA_CHOICE_REPLACE][k] && next_usd < usd[k];
        then = replaced[k] ? next_usd : usd[k];
    }
}

double left_until(const chain *c, double next_usd, int until, double then_usd)
{
    for (int k = until; k-- > 0;) then_usd = pass_untouched(c, k, next_usd, then_usd);
    return then_usd;
}
