#include "edge/import/unit_key.h"

#include <stdio.h>
#include <string.h>

static const unit_key UNITS[] = {
#define X(kind, unit, one, zero) {#kind, #unit, one, zero},
#include "edge/import/unit_keys.def"
#undef X
};
enum { UNIT_ROWS = sizeof UNITS / sizeof UNITS[0] };

const unit_key *unit_key_named(const char *kind, const char *unit, size_t n)
{
    for (size_t i = 0; i < UNIT_ROWS; i++)
        if (strcmp(UNITS[i].kind, kind) == 0 && strlen(UNITS[i].unit) == n && strncmp(UNITS[i].unit, unit, n) == 0) return &UNITS[i];
    return NULL;
}

bool unit_key_is(const char *names, const char *kind, const char *key, size_t n, const unit_key **unit)
{
    *unit = NULL;
    for (const char *p = names; *p; p += strspn(p, " ")) {
        size_t len = strcspn(p, " ");
        if (n >= len && strncmp(key, p, len) == 0) {
            if (n == len) return true;
            if (key[len] == '_' && (*unit = unit_key_named(kind, key + len + 1, n - len - 1))) return true;
        }
        p += len;
    }
    return false;
}

bool unit_key_at(const char *names, const char *kind, size_t i, char *out, size_t room)
{
    int len = (int)strcspn(names, " ");
    if (i == 0) return snprintf(out, room, "%.*s", len, names) > 0;
    for (size_t k = 0; k < UNIT_ROWS; k++)
        if (strcmp(UNITS[k].kind, kind) == 0 && --i == 0) return snprintf(out, room, "%.*s_%s", len, names, UNITS[k].unit) > 0;
    return false;
}
