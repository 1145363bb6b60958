#include <stdio.h>
#include <stdlib.h>

#include "core/base/status.h"
#include "edge/desk/ahead_parts.h"
#include "edge/desk/choose.h"
#include "edge/desk/find.h"
#include "edge/desk/others.h"
#include "edge/import/sheet.h"
#include "edge/say/day.h"

static tufa_status fits(ahead_answer *out)
{
    for (tufa_choice k = TUFA_CHOICE_REPLACE; k <= TUFA_CHOICE_TO_HEAT_PUMP; k++)
        if (out->money.option[k].possible) RETURN_IF(enough_look(&out->c, &out->ahead.heater, &(new_heater){.kind = k}, &out->fits[k]));
    return OK;
}

static tufa_status answer(desk *d, int64_t id, ahead_answer *out)
{
    heater_rec heater;
    desk_rates rates;
    RETURN_IF(store_heater_get(d->s, id, &heater));
    RETURN_IF(desk_rates_get(d, &rates));
    waters_start(&out->waters, d->s, YEAR_DRAWS);
    RETURN_IF(case_load(d->s, &out->waters, &heater, d->today, &out->c));
    bool shared;
    RETURN_IF(case_street_has_another(d->s, &out->c, &shared));
    tufa_arena arena = {.size = choose_bytes(YEAR_MONTHS, YEAR_DRAWS) + 2 * others_bytes(YEAR_MONTHS, YEAR_DRAWS) + cleaning_bytes()};
    arena.base = out->memory = malloc(arena.size);
    if (!arena.base) return trouble(TUFA_MEMORY, "view ahead", NULL);
    RETURN_IF(choose(&out->c, &rates, d->units, YEAR_MONTHS, YEAR_DRAWS, case_trip_share(shared), &arena,
                     NULL, &out->ahead, &out->money, &out->setpoint, &out->plan));
    RETURN_IF(cleaning_look(&out->c, &out->ahead, &rates.tools, &arena, &out->cleaning));
    RETURN_IF(desk_hot_look(&out->ahead.heater, &out->c.site, out->ahead.heater.field[TUFA_HEATER_SETPOINT].mid,
                            1e-3 * out->ahead.litres_day.p50, out->ahead.now_bed_m3.p50, &out->hot));
    RETURN_IF(water_look(out->c.water, out->ahead.heater.field[TUFA_HEATER_SETPOINT].mid, &out->water));
    RETURN_IF(fits(out));
    text ask = {0};
    sheet_ask(&ask, out->water.ask);
    snprintf(out->water_ask, sizeof out->water_ask, "%s", text_str(&ask));
    text_free(&ask);
    return desk_known(d, &out->c, &out->ahead, out->known, &out->knowns);
}

tufa_code desk_ahead(desk *d, const char *name, ahead_answer *out, text *near, trouble_note *note)
{
    int64_t id;
    tufa_code code = desk_find(d, THING_HEATER, name, &id, near, note);
    if (code != TUFA_OK) return code;
    *out = (ahead_answer){.today = d->today, .units = d->units};
    tufa_status st = answer(d, id, out);
    if (st.code == TUFA_OK) return TUFA_OK;
    ahead_free(out);
    note_from_status(note, st);
    return st.code;
}

void ahead_free(ahead_answer *a)
{
    waters_end(&a->waters);
    free(a->memory);
    *a = (ahead_answer){0};
}

tufa_code desk_heater_day(desk *d, const char *name, tank_case *out, text *near, trouble_note *note)
{
    ahead_answer a;
    int year, month, day;
    tufa_code code = desk_ahead(d, name, &a, near, note);
    if (code != TUFA_OK) return code;
    ymd_from_day(d->today, &year, &month, &day);
    desk_hot_case(&a.ahead.heater, &a.c.site, a.ahead.heater.field[TUFA_HEATER_SETPOINT].mid, 1e-3 * a.ahead.litres_day.p50,
                  a.ahead.now_bed_m3.p50, month - 1, out);
    snprintf(out->id, sizeof out->id, "%s", a.c.heater.label);
    tank_case_moved(out);
    ahead_free(&a);
    return TUFA_OK;
}
