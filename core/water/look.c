#include <math.h>

#include "core/base/status.h"
#include "core/water/index.h"

/* What could be asked on the telephone, and how well the answer would be known (log-sd; pH: sd). Judgement: a works'
 * yearly mean differs from the day's water by about this much. */
static const struct {
    tufa_water_field field;
    double error;
} ASKABLE[] = {{TUFA_WATER_ALKALINITY, 0.05}, {TUFA_WATER_HARDNESS, 0.05}, {TUFA_WATER_CA, 0.05},
               {TUFA_WATER_PH, 0.08},         {TUFA_WATER_SO4, 0.10}};
enum { ASKABLE_COUNT = sizeof ASKABLE / sizeof ASKABLE[0], BINS = 8, LEAST_DRAWS = 64, MOST_DRAWS = 100000 };
static const double WORTH_ASKING = 0.85; /* a figure that leaves more than this share of the range is not worth a call */
static const double NARROW_MG_L = 5.0; /* a range that no decision hangs on */
static const double EXACT_ENOUGH = 0.12; /* (hi - lo) / mid of a value that asking would hardly improve; for pH 0.25 */

size_t tufa_water_scratch_bytes(size_t draws)
{
    return draws * (sizeof(tufa_analysis) + 4 * sizeof(double)) + 8 * 64;
}

tufa_status tufa_water_ccpp_draws(const tufa_water_known *w, tufa_constants set, uint64_t key, uint64_t stream, size_t draws,
                                  size_t temps, const double *T_K, tufa_arena *scratch, double *ccpp_mg_L)
{
    size_t mark = scratch->used;
    tufa_analysis *a = tufa_arena_take(scratch, draws, sizeof *a);
    if (!a) return trouble(TUFA_MEMORY, "scratch", "tufa_water_scratch_bytes tells the room that is needed");
    tufa_status st = tufa_water_draws(w, key, stream, 0, draws, a);
    if (st.code == TUFA_OK) st = tufa_water_ccpp_of(draws, a, set, temps, T_K, ccpp_mg_L);
    scratch->used = mark;
    return st;
}

/* Sorts y by x (gaps of Ciura's sequence). */
static void sort_by(size_t n, double *x, double *y)
{
    static const size_t GAPS[] = {701, 301, 132, 57, 23, 10, 4, 1};
    for (size_t g = 0; g < sizeof GAPS / sizeof GAPS[0]; g++)
        for (size_t i = GAPS[g]; i < n; i++) {
            double xi = x[i], yi = y[i];
            size_t k = i;
            for (; k >= GAPS[g] && x[k - GAPS[g]] > xi; k -= GAPS[g]) {
                x[k] = x[k - GAPS[g]];
                y[k] = y[k - GAPS[g]];
            }
            x[k] = xi;
            y[k] = yi;
        }
}

static double width(size_t n, double *v) { return tufa_quantile(n, v, 0.9) - tufa_quantile(n, v, 0.1); }

static int asking_helps(const tufa_water_known *w, tufa_water_field f)
{
    tufa_value v = w->field[f];
    if (f == TUFA_WATER_HARDNESS && w->field[TUFA_WATER_CA].basis != TUFA_BASIS_NONE && w->field[TUFA_WATER_MG].basis != TUFA_BASIS_NONE)
        return 0;
    if (v.basis == TUFA_BASIS_NONE) return 1;
    return f == TUFA_WATER_PH ? v.hi - v.lo > 0.25 : v.hi - v.lo > EXACT_ENOUGH * v.mid;
}

/* Mean width of CCPP once field f is known: within eighths of the draws sorted by it. x and y are scratch. */
static double width_when_known(const tufa_analysis *a, size_t n, const double *ccpp, tufa_water_field f, double error,
                               uint64_t key, uint64_t stream, double *x, double *y)
{
    for (size_t i = 0; i < n; i++) {
        double v = water_get(&a[i], f), off = error * tufa_normal(key, stream ^ 0xA5Cu, i * ASKABLE_COUNT + (size_t)f);
        x[i] = f == TUFA_WATER_PH ? v + off : log(fmax(v, 1e-9)) + off;
        y[i] = ccpp[i];
    }
    sort_by(n, x, y);
    double sum = 0.0;
    for (size_t b = 0; b < BINS; b++) {
        size_t from = b * n / BINS, to = (b + 1) * n / BINS;
        sum += width(to - from, y + from) / BINS;
    }
    return sum;
}

tufa_status tufa_water_look(const tufa_water_known *w, tufa_constants set, double T_K, uint64_t key, uint64_t stream,
                            size_t draws, tufa_arena *scratch, tufa_water_outlook *out)
{
    RETURN_IF(in_range("draws", (double)draws, LEAST_DRAWS, MOST_DRAWS));
    size_t mark = scratch->used;
    tufa_analysis *a = tufa_arena_take(scratch, draws, sizeof *a);
    double *ccpp = tufa_arena_take(scratch, draws, sizeof *ccpp), *x = tufa_arena_take(scratch, draws, sizeof *x),
           *y = tufa_arena_take(scratch, draws, sizeof *y);
    tufa_status st = a && ccpp && x && y ? OK : trouble(TUFA_MEMORY, "scratch", "tufa_water_scratch_bytes tells the room that is needed");
    if (st.code == TUFA_OK) st = tufa_water_draws(w, key, stream, 0, draws, a);
    tufa_constants other = set == TUFA_CONSTANTS_2025 ? TUFA_CONSTANTS_1982 : TUFA_CONSTANTS_2025;
    if (st.code == TUFA_OK) st = tufa_water_ccpp_of(draws, a, other, 1, &T_K, y);
    if (st.code == TUFA_OK) st = tufa_water_ccpp_of(draws, a, set, 1, &T_K, ccpp);
    if (st.code != TUFA_OK) {
        scratch->used = mark;
        return st;
    }
    for (size_t i = 0; i < draws; i++) x[i] = ccpp[i];
    tufa_water_outlook o = {.ccpp_mg_L = {.basis = TUFA_BASIS_DEFAULT}, .ask = TUFA_WATER_FIELD_COUNT};
    o.ccpp_mg_L.mid = tufa_quantile(draws, x, 0.5);
    o.ccpp_mg_L.lo = tufa_quantile(draws, x, 0.1);
    o.ccpp_mg_L.hi = tufa_quantile(draws, x, 0.9);
    o.other_set_mg_L = tufa_quantile(draws, y, 0.5) - o.ccpp_mg_L.mid;
    o.width_mg_L = o.width_after_mg_L = o.ccpp_mg_L.hi - o.ccpp_mg_L.lo;
    double best = WORTH_ASKING * o.width_mg_L;
    for (size_t k = 0; k < ASKABLE_COUNT && o.width_mg_L > NARROW_MG_L; k++) {
        if (!asking_helps(w, ASKABLE[k].field)) continue;
        double left = width_when_known(a, draws, ccpp, ASKABLE[k].field, ASKABLE[k].error, key, stream, x, y);
        if (left >= best) continue;
        best = o.width_after_mg_L = left;
        o.ask = ASKABLE[k].field;
    }
    *out = o;
    scratch->used = mark;
    return OK;
}
