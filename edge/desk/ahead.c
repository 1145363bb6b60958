#include <stdlib.h>

#include "core/base/status.h"
#include "edge/desk/ahead_parts.h"
#include "edge/desk/choose.h"

static tufa_status find_heater(desk *d, const char *name, text *near, int64_t *id)
{
    tufa_status st = store_thing_find(d->s, THING_HEATER, name, id);
    int found = 0;
    if (st.code == TUFA_MISSING && near) RETURN_IF(store_thing_like(d->s, THING_HEATER, name, 5, near, &found));
    return st;
}

static tufa_status water_outlook(const desk_case *c, const tufa_ahead *a, tufa_water_outlook *out)
{
    enum { DRAWS = 400 };
    size_t bytes = tufa_water_scratch_bytes(DRAWS);
    tufa_arena scratch = {.base = malloc(bytes), .size = bytes};
    if (!scratch.base) return trouble(TUFA_MEMORY, "water", NULL);
    tufa_status st = tufa_water_look(&c->water->known, TUFA_CONSTANTS_2025, a->heater.field[TUFA_HEATER_SETPOINT].mid,
                                     DESK_WATER_KEY, (uint64_t)c->water->id, DRAWS, &scratch, out);
    free(scratch.base);
    return st;
}

static tufa_status answer(desk *d, const char *name, text *near, ahead_answer *out)
{
    int64_t id;
    heater_rec heater;
    desk_rates rates;
    RETURN_IF(find_heater(d, name, near, &id));
    RETURN_IF(store_heater_get(d->s, id, &heater));
    RETURN_IF(desk_rates_get(d, &rates));
    waters_start(&out->waters, d->s, YEAR_DRAWS);
    RETURN_IF(case_load(d->s, &out->waters, &heater, d->today, &out->c));
    bool shared;
    RETURN_IF(case_street_has_another(d->s, &out->c, d->today, &shared));
    tufa_arena arena = {.size = choose_bytes(YEAR_MONTHS, YEAR_DRAWS)};
    arena.base = out->memory = malloc(arena.size);
    if (!arena.base) return trouble(TUFA_MEMORY, "view ahead", NULL);
    RETURN_IF(choose(&out->c, &rates, d->today, d->units, YEAR_MONTHS, YEAR_DRAWS, case_trip_share(shared), &arena,
                     &out->ahead, &out->money, &out->plan));
    RETURN_IF(water_outlook(&out->c, &out->ahead, &out->water));
    return desk_known(d, &out->c, &out->ahead, out->known, &out->knowns);
}

tufa_status desk_ahead(desk *d, const char *name, text *near, ahead_answer *out)
{
    *out = (ahead_answer){.today = d->today, .units = d->units};
    tufa_status st = answer(d, name, near, out);
    if (st.code != TUFA_OK) ahead_free(out);
    return st;
}

void ahead_free(ahead_answer *a)
{
    waters_end(&a->waters);
    free(a->memory);
    *a = (ahead_answer){0};
}
