/* Money to keep for failures that come in spite of the plan: by repeating the year many times. */
#include <math.h>

#include "core/base/status.h"
#include "tufa/plan.h"

enum { STREAM_FAILS = 1, STREAM_COST = 2 };

static void sort(double *x, size_t n) /* heapsort: no heap memory, no recursion */
{
    for (size_t end = n, top = n / 2; end > 1;) {
        double v;
        if (top > 0) {
            v = x[--top];
        } else {
            v = x[--end];
            x[end] = x[0];
        }
        size_t at = top;
        for (size_t child; (child = 2 * at + 1) < end; at = child) {
            if (child + 1 < end && x[child + 1] > x[child]) child++;
            if (x[child] <= v) break;
            x[at] = x[child];
        }
        x[at] = v;
    }
}

/* One year of the risks from..to of one thing. */
static double year_of(const tufa_plan_risk *risk, size_t from, size_t to, uint64_t key, uint64_t at)
{
    double usd = 0.0, end = HUGE_VAL;
    for (int ending = 1; ending >= 0; ending--) /* what ends it first */
        for (size_t i = from; i < to; i++) {
            if ((risk[i].ends != 0) != ending || !(risk[i].chance > 0.0)) continue;
            double u = tufa_uniform(key, STREAM_FAILS, at + i);
            if (u >= risk[i].chance) continue;
            double when = risk[i].chance < 1.0 ? log1p(-u) / log1p(-risk[i].chance) : u; /* of the year; a sure one may come on any day */
            if (when >= end) continue;
            if (ending) usd = 0.0, end = when; /* of two ends the earlier one */
            usd += tufa_value_at(risk[i].usd, tufa_uniform(key, STREAM_COST, at + i));
        }
    return usd;
}

size_t tufa_plan_reserve_bytes(size_t draws) { return draws * sizeof(double) + 64; }

tufa_status tufa_plan_reserve(size_t n, const tufa_plan_risk *risk, size_t draws, uint64_t key, tufa_arena *scratch,
                              tufa_plan_money *out)
{
    RETURN_IF(in_range("draws", (double)draws, 10, 1e6));
    for (size_t i = 0; i < n; i++) {
        RETURN_IF(in_range("chance", risk[i].chance, 0.0, 1.0));
        RETURN_IF(in_range("usd", risk[i].usd.lo, 0.0, risk[i].usd.hi));
    }
    size_t mark = scratch->used;
    double *sum = tufa_arena_take(scratch, draws, sizeof *sum), mean = 0.0;
    if (!sum) return trouble(TUFA_MEMORY, "scratch", NULL);
    for (size_t d = 0; d < draws; d++) {
        sum[d] = 0.0;
        for (size_t i = 0, next; i < n; i = next) {
            for (next = i + 1; next < n && risk[next].thing == risk[i].thing;) next++;
            sum[d] += year_of(risk, i, next, key, (uint64_t)d * n);
        }
        mean += sum[d] / (double)draws;
    }
    sort(sum, draws);
    *out = (tufa_plan_money){.mean_usd = mean, .p50_usd = sum[(draws - 1) / 2], .p90_usd = sum[(size_t)(0.9 * (double)(draws - 1))]};
    scratch->used = mark;
    return OK;
}
