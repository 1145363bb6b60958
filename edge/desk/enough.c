#include "edge/desk/enough.h"

#include <math.h>

#include "core/base/status.h"
#include "edge/desk/allows.h"
#include "edge/desk/hot.h"

static bool said(tufa_value v) { return v.basis != TUFA_BASIS_NONE; }

/* Who draws from it today; measured hot water counts as the people who usually draw so much. */
static tufa_value people_now(const desk_case *c, bool *known)
{
    tufa_value people = {0};
    for (size_t i = 0; i < c->uses && c->use[i].day <= c->today; i++) {
        if (said(c->use[i].litres_day)) people = tufa_people_like(c->use[i].litres_day);
        else if (said(c->use[i].people)) people = c->use[i].people;
    }
    *known = said(people);
    return *known ? people : tufa_people_default();
}

/* A new one of its kind, as large as asked and set as the old one; its like keeps what was said of element and burner. */
static tufa_status put_new(const desk_case *c, const tufa_heater *now, const new_heater *n, tufa_heater *out)
{
    tufa_heater h = n->kind == TUFA_CHOICE_REPLACE ? c->known : (tufa_heater){.fuel = fuel_after(now->fuel, n->kind)};
    h.field[TUFA_HEATER_VOLUME] = said(n->volume_m3) ? n->volume_m3 : now->field[TUFA_HEATER_VOLUME];
    h.field[TUFA_HEATER_SETPOINT] = now->field[TUFA_HEATER_SETPOINT];
    if (said(n->volume_m3)) h.field[TUFA_HEATER_HEIGHT] = h.field[TUFA_HEATER_DIAMETER] = h.field[TUFA_HEATER_ELEMENT_LOW] = (tufa_value){0};
    RETURN_IF(tufa_heater_fill(&h));
    *out = h;
    return OK;
}

tufa_status enough_look(const desk_case *c, const tufa_heater *now, const new_heater *n, enough *out)
{
    static const int WINTER = 1; /* February */
    static const double ANY_DRAW_M3 = 0.2;
    tufa_heater h;
    tufa_tank_season season;
    RETURN_IF(put_new(c, now, n, &h));
    enough e = {.kind = n->kind, .volume_known = said(n->volume_m3) || said(c->known.field[TUFA_HEATER_VOLUME])};
    tufa_value label = said(n->first_hour_m3) || n->kind != TUFA_CHOICE_REPLACE || said(n->volume_m3) ? n->first_hour_m3 : c->heater.first_hour_m3;
    e.by_label = said(label);
    tufa_tank_ask ask = hot_ask_of(&h, &c->site, h.field[TUFA_HEATER_SETPOINT].mid, ANY_DRAW_M3, &season);
    ask.inlet_K = tufa_inlet_K(season.inlet_mean_K, season.inlet_swing_K, WINTER);
    tufa_tank tank = tufa_ahead_as_tank(&ask);
    if (n->kind == TUFA_CHOICE_TO_HEAT_PUMP) tank = tufa_tank_as_heat_pump(&tank);
    tufa_value wants, gives;
    RETURN_IF(tufa_peak_hour_m3(people_now(c, &e.people_known), &wants));
    RETURN_IF(tufa_tank_first_hour(&tank, said(label) ? label.mid : 0.0, &gives));
    double drawn = tufa_peak_drawn(ask.setpoint_K, ask.inlet_K);
    wants.lo *= drawn, wants.mid *= drawn, wants.hi *= drawn;
    RETURN_IF(tufa_tank_enough(gives, wants, e.people_known && (e.volume_known || e.by_label), &e.size));
    *out = e;
    return OK;
}

/* ---- words ---- */

/* To whole gallons or litres: it is no finer than that. */
static void about_volume(text *t, unit_system u, double m3)
{
    const unit_row *unit = unit_said(Q_VOLUME, u);
    text_addf(t, "%.0f%s", fmax(1.0, round(unit_from_si(unit, m3))), unit->print);
}

void say_busiest_hour(text *t, unit_system u, const enough *e)
{
    const unit_row *unit = unit_said(Q_VOLUME, u);
    text_add(t, "about ");
    about_volume(t, u, e->size.wants_m3.mid);
    text_addf(t, " of hot water in the busiest hour of a winter day (likely %.0f to %.0f%s)", unit_from_si(unit, e->size.wants_m3.lo),
              unit_from_si(unit, e->size.wants_m3.hi), e->people_known ? "" : "; nobody said how many people live there");
}

void say_enough(text *t, unit_system u, const enough *e)
{
    text_addf(t, "%s gives about ", kind_word(e->kind));
    about_volume(t, u, e->size.gives_m3.mid);
    text_addf(t, " in its first hour%s, ", e->by_label ? " by the label" : "");
    switch (e->size.says) {
    case TUFA_ENOUGH_YES: text_add(t, "which is enough"); return;
    case TUFA_ENOUGH_NO:
        text_add(t, "short by about ");
        about_volume(t, u, e->size.short_m3);
        text_add(t, " in the busiest hour");
        return;
    case TUFA_ENOUGH_NEARLY:
        text_addf(t, "which may be short in the busiest hour, in %.0f of 10 such households", fmax(1.0, round(10.0 * e->size.short_chance)));
        if (e->size.short_m3 > 0.0) text_add(t, ", by up to "), about_volume(t, u, e->size.short_m3);
        return;
    case TUFA_ENOUGH_NOT_KNOWN: break;
    }
    text_addf(t, "and whether that is enough is not known without %s", e->people_known ? "the size of the tank" : "the number of people");
}

const char *enough_key(tufa_enough_says s)
{
    static const char *const KEYS[] = {[TUFA_ENOUGH_NOT_KNOWN] = "not known", [TUFA_ENOUGH_YES] = "enough", [TUFA_ENOUGH_NEARLY] = "nearly", [TUFA_ENOUGH_NO] = "short"};
    return KEYS[s];
}
