#include "edge/desk/tools.h"

#include <stddef.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/import/value.h"

#define T(id, name, q, unit, lo, hi, member, one, what) {name, what, Q_##q, UNIT_##unit, lo, hi, offsetof(tufa_clean_case, member), one},
const tool_row tool_rows[TOOL_COUNT] = {
#include "edge/desk/tools.def"
};
#undef T

int tool_find(const char *setting)
{
    for (int i = 0; i < TOOL_COUNT; i++)
        if (strcmp(tool_rows[i].name, setting) == 0) return i;
    return -1;
}

tufa_code tool_value(const tool_row *row, const char *s, tufa_value *out, trouble_note *note)
{
    const unit_row *u = &units[row->unit];
    value_rule rule = {.field = row->name, .q = row->q, .unit = u, .lo = unit_to_si(u, row->lo), .hi = unit_to_si(u, row->hi)};
    return value_parse(s, &rule, out, note);
}

static tufa_status setting_of(desk *d, const char *name, char value[STORE_WORD])
{
    setting_rec r = {0};
    tufa_status st = store_setting_now(d->s, name, &r);
    memcpy(value, r.value, STORE_WORD);
    return st.code == TUFA_MISSING ? OK : st;
}

tufa_status tools_read(desk *d, tool_set *out)
{
    char said[STORE_WORD];
    *out = (tool_set){0};
    RETURN_IF(setting_of(d, "stirrer", said));
    if (strcmp(said, "yes") == 0) out->stirrer = TUFA_YES;
    if (strcmp(said, "no") == 0) out->stirrer = TUFA_NO;
    for (int i = 0; i < TOOL_COUNT; i++) {
        const tool_row *row = &tool_rows[i];
        tufa_value v;
        trouble_note note = {0};
        RETURN_IF(setting_of(d, row->name, said));
        if (!said[0] || tool_value(row, said, &v, &note) != TUFA_OK || v.basis == TUFA_BASIS_NONE) continue;
        out->said[i] = (tufa_value){v.mid * row->one, v.lo * row->one, v.hi * row->one, v.basis};
    }
    return OK;
}

void tools_lay(const tool_set *t, tufa_clean_case *c)
{
    if (t->stirrer != TUFA_UNSAID) c->stirrer.present = t->stirrer;
    for (int i = 0; i < TOOL_COUNT; i++)
        if (t->said[i].basis != TUFA_BASIS_NONE) *(tufa_value *)((char *)c + tool_rows[i].offset) = t->said[i];
}

tufa_status tools_take(desk *d, tufa_clean_case *c)
{
    tool_set t;
    RETURN_IF(tools_read(d, &t));
    tools_lay(&t, c);
    return OK;
}
