#include "core/base/sources.h"
#include "core/base/status.h"
#include "tufa/tank.h"

#include <assert.h>
#include <string.h>

static const tufa_tank_change_row ROWS[TUFA_CHANGE_COUNT] = {
#define X(id, src, ...) [TUFA_CHANGE_##id] = {.source = src, __VA_ARGS__},
#include "core/tank/changes.def"
#undef X
};
static_assert(TUFA_CHANGE_COUNT <= 32, "the bits of `changes` in a model are 32");

const tufa_tank_change_row *tufa_tank_change_at(tufa_tank_change_id id)
{
    return (unsigned)id < TUFA_CHANGE_COUNT ? &ROWS[id] : NULL;
}

tufa_tank_change tufa_tank_change_usual(tufa_tank_change_id id)
{
    const tufa_tank_change_row *row = tufa_tank_change_at(id);
    return (tufa_tank_change){.id = id, .size = row ? row->usual : 0.0};
}

tufa_status tufa_tank_change_named(const char *name, tufa_tank_change *out)
{
    for (int id = 0; id < TUFA_CHANGE_COUNT; id++)
        if (strcmp(name, ROWS[id].name) == 0) {
            *out = tufa_tank_change_usual((tufa_tank_change_id)id);
            return OK;
        }
    return trouble(TUFA_UNKNOWN, "change", "there is no such change to a tank");
}
