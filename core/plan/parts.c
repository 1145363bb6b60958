/* How many of a part to carry, and the money to keep for what fails all the same. */
#include <math.h>

#include "core/base/status.h"
#include "tufa/plan.h"

tufa_status tufa_plan_need(size_t n, const double *odds, double enough, tufa_arena *scratch, tufa_plan_count *out)
{
    RETURN_IF(in_range("enough", enough, 0.0, 1.0));
    size_t mark = scratch->used;
    double *p = tufa_arena_take(scratch, n + 1, sizeof *p), mean = 0.0; /* p[k]: chance that k are needed */
    if (!p) return trouble(TUFA_MEMORY, "scratch", NULL);
    p[0] = 1.0;
    for (size_t i = 0; i < n; i++) {
        tufa_status st = in_range("odds", odds[i], 0.0, 1.0);
        if (st.code != TUFA_OK) {
            scratch->used = mark;
            return st;
        }
        mean += odds[i];
        p[i + 1] = 0.0;
        for (size_t k = i + 1; k > 0; k--) p[k] = p[k] * (1.0 - odds[i]) + p[k - 1] * odds[i];
        p[0] *= 1.0 - odds[i];
    }
    tufa_plan_count c = {.mean = mean};
    double sum = p[0];
    while (c.carry < n && sum < enough * (1.0 - 1e-12)) sum += p[++c.carry];
    c.short_chance = fmax(0.0, 1.0 - sum);
    scratch->used = mark;
    *out = c;
    return OK;
}
