/* A value with a spread made ready for many draws: the distribution of tufa_value_at, its logarithms taken once. */
#ifndef CORE_BASE_SPREAD_H
#define CORE_BASE_SPREAD_H

#include <math.h>

#include "tufa/base.h"

typedef struct spread {
    double mid, below, above; /* per standard deviation under and over the middle: of the log, or of the value itself */
    int wide, in_log;
} spread;

static inline spread spread_of(tufa_value v)
{
    static const double Z_90 = 1.2815515655446004; /* standard normal quantile at 0.9 */
    spread s = {.mid = v.mid, .wide = v.hi > v.lo, .in_log = v.lo > 0.0};
    if (!s.wide) return s;
    s.below = (s.in_log ? log(v.mid / v.lo) : v.mid - v.lo) / Z_90;
    s.above = (s.in_log ? log(v.hi / v.mid) : v.hi - v.mid) / Z_90;
    return s;
}

static inline double spread_at(const spread *s, double u)
{
    if (!s->wide) return s->mid;
    double z = tufa_normal_quick(u), by = z * (z < 0.0 ? s->below : s->above);
    return s->in_log ? s->mid * exp(by) : s->mid + by;
}

static inline double spread_draw(const spread *s, uint64_t key, uint64_t stream, uint64_t index)
{
    return s->wide ? spread_at(s, tufa_uniform(key, stream, index)) : s->mid;
}

#endif
