#include "edge/desk/desk.h"

#include "core/base/status.h"

tufa_status desk_open(const char *path, bool write, int64_t today, desk *out)
{
    desk d = {.today = today};
    RETURN_IF(store_open(path, write ? STORE_WRITE : STORE_READ, &d.s));
    tufa_status st = store_units(d.s, &d.units);
    if (st.code != TUFA_OK) {
        store_close(d.s);
        return st;
    }
    *out = d;
    return OK;
}

void desk_close(desk *d)
{
    store_close(d->s);
    *d = (desk){0};
}

tufa_status desk_version(desk *d, int64_t *version) { return store_version(d->s, version); }
