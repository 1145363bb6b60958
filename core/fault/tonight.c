#include <string.h>

#include "core/base/status.h"
#include "core/base/units.h"
#include "core/fault/finder.h"

typedef enum tonight_gives { NONE, TOP, ALL } tonight_gives;
static const struct tonight_row { fault_id fault; tonight_gives gives; int days; const char *what, *one_element; } ROWS[] = {
#define X(fault, gives, days, ...) {FAULT_##fault, gives, days, .what = __VA_ARGS__},
#include "core/fault/tonight.def"
#undef X
};
static const double SHOWER_C = 40.0;

tufa_status tufa_fault_tonight(const tufa_finder *f, int fault, tufa_tonight *t)
{
    if (!f->ready) return trouble(TUFA_MISSING, "finder", "it has to be prepared for a heater first");
    if (fault < 0 || fault >= FAULT_COUNT) return trouble(TUFA_UNKNOWN, "fault", "there is no such fault");
    const tufa_caution *never = tufa_caution_find("C_TONIGHT");
    *t = (tufa_tonight){.what = "No answer for tonight stands in the table: off until the fault is mended.", .never = never ? never->words : "", .single_element = f->heater.single_element};
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        if ((int)ROWS[i].fault != fault) continue;
        int top = ROWS[i].gives == TOP, single = f->heater.single_element;
        t->what = top && single ? "A heater with one element has no upper half to fall back on: off until mended." : single && ROWS[i].one_element ? ROWS[i].one_element : ROWS[i].what;
        if (ROWS[i].gives == NONE || (top && single)) return OK;
        t->possible = 1;
        t->days = ROWS[i].days;
        int c = top ? f->heat_of[FAULT_lower_open] : f->heat_of[fault] > 0 ? f->heat_of[fault] : 0;
        t->litres = f->heated[c][c][HEAT_litres_to_40];
        t->minutes_again = f->heated[c][c][HEAT_recover_min];
        double set_C = C_from_K(f->heater.tank.setpoint_K), inlet_C = C_from_K(f->heater.tank.inlet_K);
        tufa_tank_day day;
        RETURN_IF(fault_day_of(&f->heater, fault_effect_of(top ? (int)FAULT_lower_open : fault), NULL, 0.0, &day));
        t->growth_s = day.growth_mean_s;
        t->growth_sound_s = f->growth_s;
        t->shower_litres = t->litres * (set_C - inlet_C) / (SHOWER_C - inlet_C);
    }
    return OK;
}
