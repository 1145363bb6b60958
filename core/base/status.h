/* Shorthands for answering a status; for core and edges alike. */
#ifndef CORE_BASE_STATUS_H
#define CORE_BASE_STATUS_H

#include "tufa/base.h"

#define OK ((tufa_status){.code = TUFA_OK})

#define RETURN_IF(call)                                                                                      \
    do {                                                                                                     \
        tufa_status st_ = (call);                                                                            \
        if (st_.code != TUFA_OK) return st_;                                                                 \
    } while (0)

static inline tufa_status in_range(const char *field, double x, double lo, double hi)
{
    if (x >= lo && x <= hi) return OK; /* NaN is in no range */
    return (tufa_status){.code = TUFA_RANGE, .field = field, .got = x, .lo = lo, .hi = hi};
}

static inline tufa_status trouble(tufa_code code, const char *field, const char *why)
{
    return (tufa_status){.code = code, .field = field, .why = why};
}

#endif
