/* The methods by many draws, and which one to take before money is asked. */
#include <string.h>

#include "core/base/sources.h"
#include "core/base/status.h"
#include "core/base/units.h"
#include "core/clean/draw.h"

static const tufa_method_row ROWS[TUFA_METHOD_COUNT] = {
#define X(name, src, compute, judge, ...) [TUFA_METHOD_##name] = {.source = src, __VA_ARGS__},
#include "core/clean/methods.def"
#undef X
};
static const method_fn COMPUTE[TUFA_METHOD_COUNT] = {
#define X(name, src, compute, judge, ...) [TUFA_METHOD_##name] = compute,
#include "core/clean/methods.def"
#undef X
};
static const judge_fn JUDGE[TUFA_METHOD_COUNT] = {
#define X(name, src, compute, judge, ...) [TUFA_METHOD_##name] = judge,
#include "core/clean/methods.def"
#undef X
};

const tufa_method_row *tufa_method_at(tufa_method_id m) { return (unsigned)m < TUFA_METHOD_COUNT ? &ROWS[m] : NULL; }

tufa_method_id tufa_method_find(const char *name)
{
    for (int m = 0; m < TUFA_METHOD_COUNT; m++)
        if (strcmp(ROWS[m].id, name) == 0 || strcmp(ROWS[m].code, name) == 0) return (tufa_method_id)m;
    return TUFA_METHOD_COUNT;
}

/* ---- draws into medians with ranges ---- */

/* Puts the k-th smallest of v[lo..hi] at place k, no larger one before it (Hoare's selection). */
static void place_kth(double *v, size_t lo, size_t hi, size_t k)
{
    while (lo < hi) {
        double pivot = v[lo + (hi - lo) / 2];
        size_t i = lo, j = hi;
        for (;;) {
            while (v[i] < pivot) i++;
            while (v[j] > pivot) j--;
            if (i >= j) break;
            double t = v[i];
            v[i++] = v[j];
            v[j--] = t;
        }
        if (k <= j) hi = j;
        else lo = j + 1;
    }
}

/* Those of v[lo..hi] that come at p of all n, nothing there being out of its side. Answers between the two nearest. */
static double order_quantile(double *v, size_t n, size_t lo, size_t hi, double p, size_t *place)
{
    double at = p * (double)(n - 1);
    size_t k = *place = (size_t)at;
    place_kth(v, lo, hi, k);
    if (k + 1 >= n) return v[k];
    double next = v[k + 1];
    for (size_t i = k + 2; i <= hi; i++)
        if (v[i] < next) next = v[i];
    return v[k] + (at - (double)k) * (next - v[k]);
}

/* The middle parts the draws, so that each end is looked for on its own side alone. */
static tufa_value value_of(double *v, size_t n)
{
    size_t middle, end;
    double mid = order_quantile(v, n, 0, n - 1, 0.5, &middle), hi = order_quantile(v, n, middle, n - 1, 0.9, &end);
    double lo = order_quantile(v, n, 0, middle, 0.1, &end);
    return (tufa_value){mid, lo, hi, TUFA_BASIS_DEFAULT};
}

/* The columns of method_out and what is made of them, each with its place in the answer. */
typedef struct column {
    size_t from, to;
} column;
#define COLUMN(in, out) {offsetof(method_out, in), offsetof(tufa_method_answer, out)}
static const column PLAIN[] = {
    COLUMN(plugs, plugs), COLUMN(onsite_s, onsite_s), COLUMN(labour_s, labour_s), COLUMN(water_m3, water_m3),
    COLUMN(flow_m3_s, flow_m3_s), COLUMN(hose_m_s, hose_m_s), COLUMN(deposit_m_s, deposit_m_s),
    COLUMN(design_m_s, design_m_s), COLUMN(reach_level_m, reach_level_m), COLUMN(reach_rise_m, reach_rise_m),
    COLUMN(gas_m3, gas_m3), COLUMN(cycles, cycles)};
enum { PLAIN_COLUMNS = sizeof PLAIN / sizeof PLAIN[0] };

/* A draw's own figures, kept beside the method's. */
typedef struct draw_sum {
    double out_kg, left_kg, share, slurry_share;
} draw_sum;

size_t tufa_clean_scratch_bytes(size_t draws)
{
    enum { ALIGN = 64, TABLES = 8 };
    return draws * (sizeof(tank_draw) + sizeof(method_out) + sizeof(draw_sum) + sizeof(double)) + sizeof(tank_draw) + ALIGN * TABLES;
}

typedef struct workspace {
    tank_draw *tank, *mid;
    method_out *out;
    draw_sum *sum;
    double *one, drain_s; /* of the line by gravity at the medians; 0 until a method asks */
    size_t n;
} workspace;

static tufa_status take_workspace(tufa_arena *a, size_t n, workspace *w)
{
    *w = (workspace){.tank = tufa_arena_take(a, n, sizeof *w->tank), .mid = tufa_arena_take(a, 1, sizeof *w->mid),
                     .out = tufa_arena_take(a, n, sizeof *w->out), .sum = tufa_arena_take(a, n, sizeof *w->sum),
                     .one = tufa_arena_take(a, n, sizeof *w->one), .n = n};
    return w->tank && w->mid && w->out && w->sum && w->one ? OK : trouble(TUFA_MEMORY, "scratch", "the arena is too small: tufa_clean_scratch_bytes");
}

static tufa_value column_value(workspace *w, size_t stride, const void *first)
{
    const char *p = first;
    double least, most;
    memcpy(&least, p, sizeof least);
    most = least;
    for (size_t i = 0; i < w->n; i++, p += stride) {
        memcpy(&w->one[i], p, sizeof w->one[i]);
        if (w->one[i] < least) least = w->one[i];
        if (w->one[i] > most) most = w->one[i];
    }
    if (!(most > least)) return (tufa_value){least, least, least, TUFA_BASIS_DEFAULT};
    return value_of(w->one, w->n);
}

static void sum_draws(workspace *w)
{
    for (size_t i = 0; i < w->n; i++) {
        draw_sum *s = &w->sum[i];
        s->out_kg = 0.0;
        for (int k = 0; k < TUFA_CLEAN_CLASSES; k++) s->out_kg += w->out[i].class_kg[k];
        double bed = w->tank[i].bed_kg, wet = s->out_kg + w->out[i].water_m3 * w->tank[i].rho;
        s->left_kg = fmax(0.0, bed - s->out_kg);
        s->share = bed > 0.0 ? s->out_kg / bed : 0.0;
        s->slurry_share = wet > 0.0 ? s->out_kg / wet : 0.0;
    }
}

static void fill_answer(workspace *w, tufa_method_answer *a)
{
    for (int k = 0; k < TUFA_CLEAN_CLASSES; k++) a->class_kg[k] = column_value(w, sizeof *w->out, &w->out[0].class_kg[k]);
    for (int k = 0; k < PLAIN_COLUMNS; k++) {
        tufa_value v = column_value(w, sizeof *w->out, (const char *)&w->out[0] + PLAIN[k].from);
        memcpy((char *)a + PLAIN[k].to, &v, sizeof v);
    }
    a->out_kg = column_value(w, sizeof *w->sum, &w->sum[0].out_kg);
    a->left_kg = column_value(w, sizeof *w->sum, &w->sum[0].left_kg);
    a->out_share = column_value(w, sizeof *w->sum, &w->sum[0].share);
    a->waste_share = column_value(w, sizeof *w->sum, &w->sum[0].slurry_share);
    a->waste_kg = a->out_kg;
}

/* ---- one method ---- */

static const double COMMON_BORE_M[] = {0.0127, 0.015875, 0.01905, 0.0254}; /* 1/2, 5/8, 3/4, 1 in */

/* The widest common hose that the flow still keeps clear, where the present one does not. */
static double better_bore(const tank_draw *t, tufa_method_id method, const tufa_method_answer *a)
{
    if (a->hose_m_s.mid >= a->design_m_s.mid) return 0.0;
    tufa_line line = method == TUFA_METHOD_STIR ? clean_stir_line(t) : t->line;
    double d = method == TUFA_METHOD_STIR ? fmin(t->d85_m, t->clearance_m) : t->d50_m, best = 0.0;
    for (size_t i = 0; i < sizeof COMMON_BORE_M / sizeof COMMON_BORE_M[0]; i++) {
        line.hose_bore_m = COMMON_BORE_M[i];
        tufa_line_flow flow;
        method_out m = {0};
        clean_line_flow(&line, &flow);
        clean_hose_judge(t, &line, &flow, d, method == TUFA_METHOD_STIR ? TUFA_GRADED_COARSE : TUFA_GRADED_CLOSE, &m);
        if (m.hose_m_s >= m.design_m_s && line.hose_length_m <= m.reach_rise_m) best = COMMON_BORE_M[i];
    }
    return best == t->line.hose_bore_m ? 0.0 : best;
}

static double drain_s(const tank_draw *mid)
{
    static const double BY_PAIL_S = 3600.0; /* carried out: judgement */
    tufa_line line = mid->line;
    double s;
    return tufa_clean_drain_time_line(&line, mid->floor_m2, mid->volume_m3 / mid->floor_m2, &s).code == TUFA_OK ? s : BY_PAIL_S;
}

static tufa_status prepare(const tufa_clean_case *c, tufa_method_id method, workspace *w, method_once *once)
{
    const tank_draw *mid = w->mid;
    *once = (method_once){.c = c, .method = method};
    const tufa_method_row *row = &ROWS[method];
    if (COMPUTE[method] == method_acid) {
        tufa_acid_capacity k;
        RETURN_IF(in_range("acid_percent", c->acid_percent.mid, 0.1, 10.0));
        double T_K = fmin(fmax(mid->work_K, TUFA_WATER_LO_K), K_from_C(60.0)); /* range of the soak */
        RETURN_IF(tufa_clean_acid_capacity(row->acid, c->acid_percent.mid, T_K, 1.0, 1.0, &k));
        once->acid_kg_m3 = k.caco3_kg_m3;
        once->acid_gas_m3_m3 = k.co2_m3_m3;
    }
    if (row->opens_hole && w->drain_s <= 0.0) w->drain_s = drain_s(mid);
    once->drain_s = w->drain_s;
    return OK;
}

static tufa_status run_method(const tufa_clean_case *c, tufa_method_id method, workspace *w, tufa_method_answer *a)
{
    method_once once;
    *a = (tufa_method_answer){.method = method};
    RETURN_IF(prepare(c, method, w, &once));
    a->verdict = JUDGE[method](&once, w->mid, 0, a);
    memset(w->out, 0, w->n * sizeof *w->out);
    if (a->verdict == TUFA_VERDICT_WORKS)
        for (size_t i = 0; i < w->n; i++) COMPUTE[method](&once, &w->tank[i], &w->out[i]);
    sum_draws(w);
    fill_answer(w, a);
    if (a->verdict != TUFA_VERDICT_WORKS) return OK;
    if (ROWS[method].uses_hose && a->hose_m_s.mid > 0.0) a->better_bore_m = better_bore(w->mid, method, a);
    a->verdict = JUDGE[method](&once, w->mid, 1, a);
    if (a->verdict < TUFA_VERDICT_CANNOT) return OK;
    tufa_method_answer refused = *a; /* nothing is promised of a method that is refused; what the hose does is told */
    memset(w->out, 0, w->n * sizeof *w->out);
    sum_draws(w);
    fill_answer(w, a);
    a->flow_m3_s = refused.flow_m3_s;
    a->hose_m_s = refused.hose_m_s;
    a->deposit_m_s = refused.deposit_m_s;
    a->design_m_s = refused.design_m_s;
    a->reach_level_m = refused.reach_level_m;
    a->reach_rise_m = refused.reach_rise_m;
    return OK;
}

/* ---- the case ---- */

static tufa_status value_ok(const char *field, tufa_value v, double lo, double hi)
{
    RETURN_IF(in_range(field, v.mid, lo, hi));
    RETURN_IF(in_range(field, v.lo, lo, v.mid));
    return in_range(field, v.hi, v.mid, hi);
}

static tufa_status case_ok(const tufa_clean_case *c)
{
    RETURN_IF(value_ok("volume_m3", c->volume_m3, 0.005, 5.0));
    RETURN_IF(value_ok("across_m", c->across_m, 0.1, 3.0));
    RETURN_IF(value_ok("bed_kg", c->bed_kg, 0.0, 2000.0));
    RETURN_IF(value_ok("cemented_share", c->cemented_share, 0.0, 1.0));
    RETURN_IF(value_ok("size_tilt", c->size_tilt, -3.0, 3.0));
    double sum = 0.0;
    for (int i = 0; i < TUFA_CLEAN_SIZES; i++) {
        RETURN_IF(in_range("size_share", c->size_share[i], 0.0, 1e6));
        sum += c->size_share[i];
    }
    if (!(sum > 0.0)) return trouble(TUFA_RANGE, "size_share", "the shares add up to nothing");
    RETURN_IF(value_ok("grain_porosity", c->grain_porosity, 0.0, 0.8));
    RETURN_IF(value_ok("voidage", c->voidage, 0.1, 0.9));
    RETURN_IF(value_ok("static_Pa", c->static_Pa, 0.0, 3e6));
    RETURN_IF(value_ok("house_k_Pa_s2_m6", c->house_k_Pa_s2_m6, 0.0, 1e16));
    RETURN_IF(value_ok("drain_bore_m", c->drain_bore_m, 1e-3, 0.1));
    RETURN_IF(value_ok("hose_bore_m", c->hose_bore_m, 3e-3, 0.1));
    RETURN_IF(value_ok("hose_length_m", c->hose_length_m, 0.0, 1000.0));
    RETURN_IF(value_ok("coupling_bore_m", c->coupling_bore_m, 1e-3, 0.1));
    RETURN_IF(value_ok("rise_m", c->rise_m, -100.0, 100.0));
    RETURN_IF(value_ok("dip_bore_m", c->dip_bore_m, 1e-3, 0.1));
    RETURN_IF(value_ok("dip_gap_m", c->dip_gap_m, 0.005, 3.0));
    RETURN_IF(value_ok("work_K", c->work_K, 273.15, 373.15));
    RETURN_IF(value_ok("acid_m3", c->acid_m3, 0.0, 5.0));
    RETURN_IF(value_ok("soak_s", c->soak_s, 0.0, 864e3));
    RETURN_IF(value_ok("air_cycles", c->air_cycles, 0.0, 1000.0));
    RETURN_IF(value_ok("air_Pa", c->air_Pa, 0.0, 2e6));
    RETURN_IF(value_ok("tube_bore_m", c->tube_bore_m, 3e-3, 0.2));
    RETURN_IF(value_ok("vacuum_kg_s", c->vacuum_kg_s, 1e-5, 1.0));
    RETURN_IF(value_ok("vacuum_floor_share", c->vacuum_floor_share, 0.0, 1.0));
    RETURN_IF(value_ok("clear_s", c->clear_s, 0.0, 3600.0));
    RETURN_IF(value_ok("rev_per_s", c->stirrer.rev_per_s, 0.0, 500.0));
    RETURN_IF(value_ok("swept_share", c->stirrer.swept_share, 0.0, 1.0));
    RETURN_IF(value_ok("feed_kg_s", c->stirrer.feed_kg_s, 0.0, 1.0));
    RETURN_IF(value_ok("port_bore_m", c->stirrer.port_bore_m, 1e-3, 0.2));
    return value_ok("across_m", c->stirrer.across_m, 5e-3, 2.0);
}

static tufa_status draw_all(const tufa_clean_case *c, uint64_t key, size_t draws, tufa_arena *scratch, workspace *w)
{
    RETURN_IF(case_ok(c));
    RETURN_IF(in_range("draws", (double)draws, 1.0, 1e6));
    RETURN_IF(take_workspace(scratch, draws, w));
    clean_spreads known = {0};
    for (size_t i = 0; i < draws; i++) clean_draw(c, key, i, draws, &known, &w->tank[i]);
    clean_draw(c, key, 0, 1, &known, w->mid);
    return OK;
}

tufa_status tufa_clean_method(const tufa_clean_case *c, tufa_method_id method, uint64_t key, size_t draws, tufa_arena *scratch,
                              tufa_method_answer *out)
{
    workspace w;
    size_t mark = scratch->used;
    if ((unsigned)method >= TUFA_METHOD_COUNT) return trouble(TUFA_UNKNOWN, "method", "there is no such method");
    RETURN_IF(draw_all(c, key, draws, scratch, &w));
    tufa_status st = run_method(c, method, &w, out);
    scratch->used = mark;
    return st;
}

/* ---- advice before money ---- */

#define FINE_M 0.25e-3     /* a bed whose 85 % size is below it leaves with the water */
#define LITTLE_BED_KG 0.3  /* less is not worth opening a tank for: judgement */
#define WORN_YEARS 15.0
#define HALF 0.5

/* The most out for an hour of labour among those that take at least half of what the best takes. Opening is the last
 * resort: taken where nothing else works. */
static tufa_method_id best_paced(const tufa_clean_answer *a, int stirrer)
{
    int open = 1;
    for (int m = 0; m < TUFA_METHOD_COUNT; m++)
        if (m != TUFA_METHOD_OPEN && (stirrer || m != TUFA_METHOD_STIR) && a->method[m].verdict == TUFA_VERDICT_WORKS) open = 0;
    double most = 0.0, best = 0.0;
    tufa_method_id chosen = TUFA_METHOD_COUNT;
    for (int m = 0; m < TUFA_METHOD_COUNT; m++)
        if (a->method[m].verdict == TUFA_VERDICT_WORKS && (stirrer || m != TUFA_METHOD_STIR) && (open || m != TUFA_METHOD_OPEN))
            most = fmax(most, a->method[m].out_share.mid);
    for (int m = 0; m < TUFA_METHOD_COUNT; m++) {
        const tufa_method_answer *x = &a->method[m];
        if (x->verdict != TUFA_VERDICT_WORKS || x->out_share.mid < HALF * most || !(x->labour_s.mid > 0.0)) continue;
        if ((m == TUFA_METHOD_STIR && !stirrer) || (m == TUFA_METHOD_OPEN && !open)) continue;
        double pace = x->out_kg.mid / x->labour_s.mid;
        if (pace > best) {
            best = pace;
            chosen = (tufa_method_id)m;
        }
    }
    return chosen;
}

static tufa_method_id advise(const tufa_clean_case *c, const tank_draw *mid, const tufa_clean_answer *a, const char **why)
{
    if (c->rusted == TUFA_YES || (c->age_year.basis != TUFA_BASIS_NONE && c->age_year.mid >= WORN_YEARS)) {
        *why = "This tank is worn: disturbing the bed may open leaks. Leave it alone, or replace it.";
        return TUFA_METHOD_COUNT;
    }
    if (mid->bed_kg < LITTLE_BED_KG) {
        *why = "There is little in this tank: look at the element instead.";
        return TUFA_METHOD_COUNT;
    }
    if (mid->d85_m < FINE_M && a->method[TUFA_METHOD_FLUSH].verdict == TUFA_VERDICT_WORKS) {
        *why = "The bed is fine: a plain flush takes it, and is the cheapest.";
        return TUFA_METHOD_FLUSH;
    }
    tufa_method_id chosen = best_paced(a, c->stirrer.present == TUFA_YES);
    *why = chosen == TUFA_METHOD_COUNT ? "No method takes much of this bed out. Money decides between leaving it and replacing the heater."
        : chosen == TUFA_METHOD_OPEN           ? "The last resort, and the only one that takes much of this bed out. Whether it pays is a question of money."
                                               : "Takes the most out for the time it needs. Whether it pays is a question of money.";
    return chosen;
}

/* Among those that take a bed out (a flush takes what is loose): the best paced, else the one that takes most. */
static tufa_method_id deep_method(const tufa_clean_case *c, const tufa_clean_answer *a, const char **why)
{
    *why = NULL;
    if (c->rusted == TUFA_YES) {
        *why = "This tank is worn: disturbing the bed may open leaks. Leave it alone, or replace it.";
        return TUFA_METHOD_COUNT;
    }
    tufa_clean_answer others = *a;
    int stirrer = c->stirrer.present == TUFA_YES;
    others.method[TUFA_METHOD_FLUSH].verdict = TUFA_VERDICT_CANNOT;
    tufa_method_id chosen = best_paced(&others, stirrer);
    if (chosen != TUFA_METHOD_COUNT) return chosen;
    double most = 0.0;
    for (int m = 0; m < TUFA_METHOD_COUNT; m++) {
        if ((m == TUFA_METHOD_STIR && !stirrer) || others.method[m].verdict > TUFA_VERDICT_LITTLE) continue;
        if (others.method[m].out_share.mid <= most) continue;
        most = others.method[m].out_share.mid;
        chosen = (tufa_method_id)m;
    }
    if (chosen == TUFA_METHOD_COUNT) /* the last resort says why not even it */
        *why = a->method[TUFA_METHOD_OPEN].reasons ? a->method[TUFA_METHOD_OPEN].reason[0] : "No method takes this bed out.";
    return chosen;
}

tufa_status tufa_clean_compare(const tufa_clean_case *c, uint64_t key, size_t draws, tufa_arena *scratch, tufa_clean_answer *out)
{
    workspace w;
    size_t mark = scratch->used;
    RETURN_IF(draw_all(c, key, draws, scratch, &w));
    tufa_status st = OK;
    for (int m = 0; m < TUFA_METHOD_COUNT && st.code == TUFA_OK; m++) st = run_method(c, (tufa_method_id)m, &w, &out->method[m]);
    if (st.code == TUFA_OK) out->advice = advise(c, w.mid, out, &out->why), out->deep = deep_method(c, out, &out->deep_why);
    out->with_a_stirrer = TUFA_METHOD_COUNT;
    if (st.code == TUFA_OK && c->stirrer.present == TUFA_UNSAID && out->advice != TUFA_METHOD_COUNT && out->advice != TUFA_METHOD_FLUSH)
        out->with_a_stirrer = best_paced(out, 1) == TUFA_METHOD_STIR ? TUFA_METHOD_STIR : TUFA_METHOD_COUNT;
    scratch->used = mark;
    return st;
}
