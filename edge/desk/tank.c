#include "edge/desk/tank.h"

#include <math.h>
#include <stdlib.h>

#include "core/base/status.h"

static const double MINUTE_S = 60.0;

static tufa_status simulate(const tank_case *c, tank_ask ask, tank_answer *a)
{
    tufa_tank_state s;
    tufa_tank_run run = {.duration_s = 3600.0 * c->hours};
    if (ask.series) {
        run.series_every_s = MINUTE_S;
        run.series_room = (size_t)(run.duration_s / MINUTE_S) + 2;
        a->series = run.series = calloc(run.series_room, sizeof *run.series);
        if (!a->series) return trouble(TUFA_MEMORY, "series", NULL);
    }
    RETURN_IF(tufa_tank_build(&c->tank, c->change, c->changes, &a->model));
    RETURN_IF(tufa_tank_start(&a->model, c->start_K, &s));
    RETURN_IF(tufa_tank_simulate(&a->model, &c->use, &run, &s, &a->result));
    for (int i = 0; i < a->model.n; i++) a->layer_K[i] = tufa_tank_layer_K(&a->model, &s, i);
    return OK;
}

tufa_status desk_tank(const tank_case *c, tank_ask ask, tank_answer *out)
{
    *out = (tank_answer){0};
    RETURN_IF(simulate(c, ask, out));
    if (out->result.drawn_m3 > 0.0) {
        out->adult = tufa_tank_burn_time(out->result.max_outlet_K, TUFA_PERSON_ADULT);
        out->infant = tufa_tank_burn_time(out->result.max_outlet_K, TUFA_PERSON_INFANT);
    }
    out->rated = ask.rating;
    if (ask.rating) RETURN_IF(tufa_tank_rate(&c->tank, c->change, c->changes, &out->rating));
    return OK;
}

void tank_free(tank_answer *a)
{
    free(a->series);
    a->series = NULL;
}
