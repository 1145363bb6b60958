#include "edge/desk/fault.h"

#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"

tufa_status desk_finder_for(desk_finder *d, const tufa_fault_heater *heater)
{
    enum { ALIGN = 64 };
    if (!d->finder) {
        d->finder = aligned_alloc(ALIGN, (tufa_fault_finder_bytes() + ALIGN - 1) / ALIGN * ALIGN);
        if (!d->finder) return trouble(TUFA_MEMORY, "finder", NULL);
        memset(d->finder, 0, tufa_fault_finder_bytes());
    }
    if (d->ready && memcmp(&d->heater, heater, sizeof *heater) == 0) return OK;
    d->ready = false;
    RETURN_IF(tufa_fault_prepare(heater, d->finder));
    d->heater = *heater;
    d->ready = true;
    return OK;
}

tufa_status desk_fault(desk_finder *d, const tufa_fault_heater *heater, const tufa_call *call, tufa_fault_answer *answer)
{
    RETURN_IF(desk_finder_for(d, heater));
    return tufa_fault_rank(d->finder, call, answer);
}

void desk_finder_free(desk_finder *d)
{
    free(d->finder);
    *d = (desk_finder){0};
}
