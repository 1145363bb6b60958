/* What the bills that the book keeps of a house say about a call: one reading, taken down like any other. */
#include <stdio.h>

#include "edge/desk/bill.h"
#include "edge/desk/call.h"

enum { RECENT_DAYS = 75 }; /* older bills say nothing of today: two monthly bills and some; common practice, no source */

static bool recent(const bill_part *b, int64_t today)
{
    double end = 0.0;
    for (size_t i = 0; i < b->n; i++)
        if (b->p[i].start_day + b->p[i].days > end) end = b->p[i].start_day + b->p[i].days;
    return (double)today - end <= RECENT_DAYS;
}

static const bill_part *of_fuel(const bill_answer *a, int gas, int64_t today)
{
    for (size_t i = 0; i < a->parts; i++)
        if (a->part[i].ok && bill_units[a->part[i].unit].gas == gas && recent(&a->part[i], today)) return &a->part[i];
    return NULL;
}

tufa_code desk_call_take_bills(desk *d, desk_finder *f, int64_t id, bool *taken, trouble_note *note)
{
    call_view v;
    bill_home home;
    bill_file file;
    bill_answer a;
    text near = {0};
    *taken = false;
    tufa_code code = desk_call_view(d, f, id, &v, note);
    if (code != TUFA_OK) return code;
    tufa_status st = desk_bill_home(d, v.heater, &near, &home, &file);
    text_free(&near);
    if (st.code == TUFA_MISSING) return TUFA_OK; /* no bills kept: nothing to say */
    if (st.code != TUFA_OK) return note_from_status(note, st), st.code;
    bill_ask ask = {.home = &home};
    if (!desk_bill_file(&file, &ask, &a, note)) return note->code;
    const bill_part *b = of_fuel(&a, v.plate.tank.fuel == TUFA_TANK_GAS, d->today);
    tufa_reading r;
    if (b) st = tufa_bill_as_reading(&b->result, &r);
    if (b && st.code == TUFA_OK) {
        const tufa_test *t = tufa_fault_test_at((size_t)r.test);
        code = desk_call_read(d, f, id, t->id, t->categories[r.category], note);
        *taken = code == TUFA_OK;
    }
    bill_free(&a);
    return code;
}
