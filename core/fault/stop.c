/* Danger first: rules that stand before any ranking and that no probability outvotes. */
#include "core/fault/stop.h"

typedef enum stop_level { LEAVE, STOP } stop_level;
typedef enum stop_kind { VOICED, UNSEEN, IS, OVER, DEAD_LEG } stop_kind;

typedef struct stop_row {
    const char *id;
    stop_level level;
    stop_then then;
    stop_kind kind;
    int what;
    double limit;
    const char *words;
} stop_row;

static const stop_row STOPS[] = {
#define X(id, level, then, kind, what, limit, words) {#id, level, then, kind, what, limit, words},
#include "core/fault/stops.def"
#undef X
};

static const double LEG_LIVE_V = 100.0, NOTHING_ACROSS_V = 20.0; /* well apart from 120 and 0 */

static int read_over(const tufa_call *c, int test, double limit)
{
    for (int i = 0; i < c->readings; i++)
        if (c->reading[i].test == test && c->reading[i].category < 0 && c->reading[i].value > limit) return 1;
    return 0;
}

static int was_read(const tufa_call *c, int test)
{
    for (int i = 0; i < c->readings; i++)
        if (c->reading[i].test == test) return 1;
    return 0;
}

static int read_as(const tufa_call *c, int test, int category)
{
    for (int i = 0; i < c->readings; i++)
        if (c->reading[i].test == test && c->reading[i].category == category) return 1;
    return 0;
}

static int across_nothing(const tufa_call *c)
{
    for (int i = 0; i < c->readings; i++)
        if (c->reading[i].test == TEST_V_supply && c->reading[i].value < NOTHING_ACROSS_V)
            return read_over(c, TEST_V_leg_min, LEG_LIVE_V);
    return 0;
}

static int holds(const stop_row *row, const tufa_call *c)
{
    switch (row->kind) {
    case VOICED: return c->complaint[row->what] == 1;
    case UNSEEN: return c->complaint[row->what] == 1 && !was_read(c, (int)row->limit);
    case IS: return read_as(c, row->what, (int)row->limit);
    case OVER: return read_over(c, row->what, row->limit);
    case DEAD_LEG: return across_nothing(c);
    }
    return 0;
}

tufa_stop fault_stop(const tufa_call *call, stop_then *then)
{
    for (size_t i = 0; i < sizeof STOPS / sizeof STOPS[0]; i++) {
        const stop_row *row = &STOPS[i];
        if (!holds(row, call)) continue;
        *then = row->then == ALONE && call->made_safe ? OFF : row->then;
        return (tufa_stop){row->id, row->level == LEAVE ? "leave" : "stop", row->words, *then == ALONE};
    }
    *then = GOES_ON;
    return (tufa_stop){0};
}

tufa_stop tufa_fault_stop(const tufa_call *call)
{
    stop_then then;
    return fault_stop(call, &then);
}
