/* The heater of a call as it stands in the book: its plate, what the view ahead expects in it today, what else is known. */
#include <math.h>
#include <stdlib.h>

#include "core/base/status.h"
#include "core/base/units.h"
#include "edge/desk/answers.h"
#include "edge/desk/call_parts.h"
#include "edge/say/day.h"

static double mid_or(tufa_value v, double other) { return v.basis == TUFA_BASIS_NONE ? other : v.mid; }

/* Cold water comes in as cold as it is on this day of the year. */
static double inlet_today_K(const house_rec *house, int64_t today)
{
    static const double DAYS_A_MONTH = 365.0 / 12.0;
    tufa_tank_season s = tufa_tank_season_default();
    s.inlet_mean_K = mid_or(house->inlet_K, s.inlet_mean_K);
    s.inlet_swing_K = mid_or(house->inlet_swing_K, s.inlet_swing_K);
    int year, month, day;
    ymd_from_day(today, &year, &month, &day);
    return fmax(tufa_tank_season_inlet_K(&s, (month - 1) * DAYS_A_MONTH + day - 0.5), K_from_C(0.5));
}

/* Scale that the view ahead expects on the lower element: its heat there, over what a metre of it would make. */
static double scale_m(const tufa_ahead *a, const tufa_tank *t)
{
    double rise_K = 0.0;
    for (unsigned i = 0; i < a->draws; i++) rise_K += a->draw_scale_rise_K[i] / a->draws;
    return t->element_W_m2 > 0.0 ? fmin(rise_K * t->scale_W_m_K / t->element_W_m2, 0.02) : 0.0;
}

static void plate_of(const desk_case *c, const tufa_ahead *a, tufa_fault_heater *h)
{
    const heater_rec *r = &c->heater;
    const tufa_value *f = a->heater.field;
    int gas = r->fuel == FUEL_GAS || r->fuel == FUEL_PROPANE;
    tufa_fault_heater plate = tufa_fault_heater_default(gas ? TUFA_TANK_GAS : TUFA_TANK_ELECTRIC);
    double power = gas ? f[TUFA_HEATER_BURNER].mid : f[TUFA_HEATER_ELEMENT_POWER].mid;
    plate.tank = tufa_tank_like(plate.tank.fuel, f[TUFA_HEATER_VOLUME].mid, power, f[TUFA_HEATER_SETPOINT].mid);
    plate.tank.loss_W_K = mid_or(r->loss_W_K, plate.tank.loss_W_K);
    plate.tank.inlet_K = inlet_today_K(&c->house, c->today);
    plate.tank.ambient_K = mid_or(c->house.room_K, plate.tank.ambient_K);
    plate.tank.bed_m3 = fmin(a->now_bed_m3.p50, 0.4 * plate.tank.volume_m3);
    plate.tank.line_Pa = mid_or(c->house.static_Pa, plate.tank.line_Pa);
    plate.drain_bore_m = mid_or(r->drain_bore_m, 0.0);
    plate.hose_bore_m = mid_or(c->house.hose_bore_m, 0.0);
    plate.hose_length_m = mid_or(c->house.hose_run_m, 0.0);
    plate.propane = r->fuel == FUEL_PROPANE;
    if (!gas) {
        plate.tank.element_W_m2 = f[TUFA_HEATER_ELEMENT_FLUX].mid;
        plate.tank.scale_m = scale_m(a, &plate.tank);
        plate.tank.upper_W = mid_or(r->upper_W, plate.tank.lower_W);
        double volts = mid_or(r->volts, plate.supply_V);
        plate.supply_V = volts;
        if (volts < 150.0) plate.plate_V = volts;
        plate.single_element = case_one_element(r);
    }
    *h = plate;
}

static const double NITRATE_G_MOL = 62.005, SULFATE_G_MOL = 96.06; /* sums of the atomic weights */

static tufa_value in_mg_l(tufa_value mol_kgw, double g_mol)
{
    double k = 1e3 * g_mol;
    return (tufa_value){mol_kgw.mid * k, mol_kgw.lo * k, mol_kgw.hi * k, mol_kgw.basis};
}

/* What the book knows of house and heater beyond what was ticked in the call. */
static void knowledge_of(const desk_case *c, int64_t today, tufa_call *call)
{
    static const int64_t LATELY_DAYS = 90, LONG_DAYS = 3 * 365;
    call->age_years = c->known.field[TUFA_HEATER_AGE];
    if (c->uses) call->people = c->use[c->uses - 1].people;
    int year, month, day;
    ymd_from_day(today, &year, &month, &day);
    call->month = month;
    call->nitrate_mg_l = in_mg_l(c->water->known.field[TUFA_WATER_NO3], NITRATE_G_MOL);
    call->sulfate_mg_l = in_mg_l(c->water->known.field[TUFA_WATER_SO4], SULFATE_G_MOL);
    call->known[tufa_fault_known_find("softened")] |= c->water->softened.basis != TUFA_BASIS_NONE;
    call->known[tufa_fault_known_find("not_cleaned")] |= c->cleaned_day == 0 || today - c->cleaned_day > LONG_DAYS;
    call->known[tufa_fault_known_find("flushed")] |= c->cleaned_day != 0 && today - c->cleaned_day < LATELY_DAYS;
}

static tufa_status look(desk *d, desk_waters *w, call_view *v, int64_t *house)
{
    enum { TODAY_MONTHS = 12 }; /* today's bed is the same however far one looks */
    heater_rec heater;
    desk_rates rates;
    desk_case c;
    tufa_ahead ahead;
    RETURN_IF(store_heater_get(d->s, v->rec.heater, &heater));
    RETURN_IF(desk_rates_get(d, &rates));
    RETURN_IF(case_load(d->s, w, &heater, d->today, &c));
    tufa_ahead_in in = case_ahead_in(&c, TODAY_MONTHS, YEAR_DRAWS, true);
    tufa_arena arena = {.size = tufa_ahead_bytes(in.months, in.draws, in.findings)};
    arena.base = malloc(arena.size);
    if (!arena.base) return trouble(TUFA_MEMORY, "view ahead", NULL);
    tufa_status st = tufa_ahead_look(&in, &arena, &ahead);
    if (st.code == TUFA_OK) {
        snprintf(v->heater, sizeof v->heater, "%s", c.heater.label);
        snprintf(v->house, sizeof v->house, "%s", c.house.label);
        v->at_risk = c.house.at_risk;
        *house = c.house.id;
        plate_of(&c, &ahead, &v->plate);
        knowledge_of(&c, d->today, &v->call);
        v->call.own_hour_usd = rates.prices.usd[TUFA_PRICE_OWN_HOUR].mid;
        v->call.second_trip_usd = tufa_fault_trip_usd(&rates.prices);
        v->outage_usd_day = rates.prices.usd[TUFA_PRICE_OUTAGE_DAY].mid;
    }
    free(arena.base);
    return st;
}

tufa_status call_heater(desk *d, call_view *v, int64_t *house)
{
    desk_waters w;
    waters_start(&w, d->s, YEAR_DRAWS);
    tufa_status st = look(d, &w, v, house);
    waters_end(&w);
    return st;
}
