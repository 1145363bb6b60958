#include "edge/desk/desk.h"

#include <string.h>

#include "core/base/status.h"

tufa_status desk_speak(desk *d)
{
    setting_rec r;
    RETURN_IF(store_units(d->s, &d->units));
    tufa_status st = store_setting_now(d->s, "dates", &r);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    say_days_us(st.code == TUFA_OK && strcmp(r.value, "us") == 0);
    return OK;
}

tufa_status desk_open(const char *path, bool write, int64_t today, desk *out)
{
    desk d = {.today = today};
    RETURN_IF(store_open(path, write ? STORE_WRITE : STORE_READ, &d.s));
    tufa_status st = desk_speak(&d);
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
