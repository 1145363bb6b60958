#include "edge/desk/call.h"

#include "core/base/status.h"

typedef struct open_call {
    int64_t heater, call;
} open_call;

static tufa_status look_at(void *ctx, const call_rec *r)
{
    open_call *o = ctx;
    if (r->heater == o->heater && !r->closed) o->call = r->id;
    return OK;
}

tufa_status desk_call_open(desk *d, int64_t heater, int64_t *call)
{
    open_call o = {.heater = heater};
    RETURN_IF(store_call_each(d->s, look_at, &o));
    *call = o.call;
    return OK;
}
