/* Exact round trips: Held, Karp, "A dynamic programming approach to sequencing problems", J. SIAM 10:196-210 (1962).
 * best[set][last] is the least cost from place 0 through `set`, ending in `last`; stops are places 1 .. n-1. */
#include <math.h>

#include "core/base/status.h"
#include "tufa/plan.h"

size_t tufa_plan_tour_bytes(size_t n)
{
    size_t stops = n > 0 ? n - 1 : 0, states = stops * ((size_t)1 << stops);
    return states * (sizeof(double) + 1) + 256;
}

static void extend(size_t stops, size_t n, const double *cost, size_t set, double *best, unsigned char *from)
{
    for (size_t last = 0; last < stops; last++) {
        double so_far = best[set * stops + last];
        if (!(set >> last & 1) || so_far == INFINITY) continue;
        for (size_t next = 0; next < stops; next++) {
            if (set >> next & 1) continue;
            size_t at = (set | (size_t)1 << next) * stops + next;
            double c = so_far + cost[(last + 1) * n + next + 1];
            if (c >= best[at]) continue;
            best[at] = c;
            from[at] = (unsigned char)last;
        }
    }
}

tufa_status tufa_plan_tour(size_t n, const double *cost, tufa_arena *scratch, int *order, double *total)
{
    RETURN_IF(in_range("n", (double)n, 1, TUFA_PLAN_MAX_STOPS + 1));
    for (size_t i = 0; i < n * n; i++) RETURN_IF(in_range("cost", cost[i], 0.0, 1e15));
    size_t stops = n - 1, full = ((size_t)1 << stops) - 1, mark = scratch->used;
    order[0] = 0;
    *total = 0.0;
    if (stops == 0) return OK;
    double *best = tufa_arena_take(scratch, (full + 1) * stops, sizeof *best);
    unsigned char *from = tufa_arena_take(scratch, (full + 1) * stops, 1);
    if (!best || !from) return trouble(TUFA_MEMORY, "scratch", "tufa_plan_tour_bytes says how much is needed");
    for (size_t i = 0; i < (full + 1) * stops; i++) best[i] = INFINITY;
    for (size_t first = 0; first < stops; first++) best[((size_t)1 << first) * stops + first] = cost[first + 1];
    for (size_t set = 1; set < full; set++) extend(stops, n, cost, set, best, from);
    size_t last = 0;
    double least = INFINITY;
    for (size_t i = 0; i < stops; i++) {
        double c = best[full * stops + i] + cost[(i + 1) * n];
        if (c < least) least = c, last = i;
    }
    *total = least;
    for (size_t k = stops, set = full; k > 0; k--) {
        order[k] = (int)last + 1;
        size_t before = from[set * stops + last];
        set &= ~((size_t)1 << last);
        last = before;
    }
    scratch->used = mark;
    return OK;
}
