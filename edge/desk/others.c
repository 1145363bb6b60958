#include "edge/desk/others.h"

#include <string.h>

#include "core/base/status.h"
#include "core/base/units.h"

enum { OTHERS = 4 };

size_t others_bytes(unsigned months, unsigned draws) { return OTHERS * (tufa_ahead_bytes(months, draws, TUFA_AHEAD_MAX_FINDINGS) + sizeof(tufa_ahead) + 64); }

static tufa_status look(const tufa_ahead_in *in, tufa_choice c, tufa_arena *arena, tufa_money_in *money)
{
    tufa_ahead *a = tufa_arena_take(arena, 1, sizeof *a);
    if (!a) return trouble(TUFA_MEMORY, "view ahead", NULL);
    RETURN_IF(tufa_ahead_look(in, arena, a));
    money->other[c].ahead = a;
    return OK;
}

/* From today on the heater is used so. */
static tufa_status look_used(const tufa_ahead_in *in, tufa_use from_now, tufa_choice c, tufa_arena *arena, tufa_money_in *money)
{
    tufa_use use[TUFA_AHEAD_MAX_USES];
    tufa_ahead_in other = *in;
    size_t skip = in->uses == TUFA_AHEAD_MAX_USES, n = in->uses - skip; /* the oldest makes room */
    for (size_t i = 0; i < n; i++) use[i] = in->use[i + skip];
    from_now.day = n > 0 && use[n - 1].day > in->today_day ? use[n - 1].day : in->today_day;
    if (n == 0) use[n++] = (tufa_use){.day = in->today_day - 1}; /* what held before is kept */
    if (n == TUFA_AHEAD_MAX_USES) return OK;
    use[n++] = from_now;
    other.use = use;
    other.uses = n;
    return look(&other, c, arena, money);
}

static tufa_value exactly(double x) { return (tufa_value){x, x, x, TUFA_BASIS_GIVEN}; }

/* A new heater of another fuel, as large and set as this one. */
static tufa_status look_kind(const tufa_ahead_in *in, tufa_fuel fuel, tufa_choice c, tufa_arena *arena, tufa_money_in *money)
{
    tufa_ahead_in other = *in;
    other.heater = (tufa_heater){.fuel = fuel};
    other.heater.field[TUFA_HEATER_VOLUME] = in->heater.field[TUFA_HEATER_VOLUME];
    other.heater.field[TUFA_HEATER_SETPOINT] = in->heater.field[TUFA_HEATER_SETPOINT];
    other.heater.field[TUFA_HEATER_AGE] = exactly(0.0);
    other.findings = other.tolds = 0;
    if (fuel != in->heater.fuel) other.eps = tufa_eps_prior(fuel);
    return look(&other, c, arena, money);
}

/* Ten degrees F down where it stands hot enough for that to save much, else up to where germs die. */
static double other_setpoint_K(double now_K)
{
    static const double HOT_F = 130.0, STEP_F = 10.0, KILLS_F = 140.0;
    return now_K > K_from_F(HOT_F) ? now_K - STEP_F * 5.0 / 9.0 : K_from_F(KILLS_F);
}

tufa_status others_kind(const desk_case *c, const tufa_ahead_in *in, tufa_choice kind, tufa_arena *arena, tufa_money_in *money)
{
    tufa_ahead_in plain = *in;
    plain.band_step = in->months;
    money->other[kind].allowed = house_allows(&c->house, in->heater.fuel, kind) == ALLOWS_YES;
    return look_kind(&plain, fuel_after(in->heater.fuel, kind), kind, arena, money);
}

tufa_status others_kinds(const desk_case *c, const tufa_ahead_in *in, allows says, tufa_arena *arena, tufa_money_in *money, size_t *n)
{
    tufa_fuel now = in->heater.fuel;
    *n = 0;
    for (tufa_choice k = TUFA_CHOICE_TO_GAS; k <= TUFA_CHOICE_TO_HEAT_PUMP; k++) {
        if (!kind_fits(now, k) || house_allows(&c->house, now, k) != says) continue;
        RETURN_IF(others_kind(c, in, k, arena, money));
        ++*n;
    }
    return OK;
}

tufa_status others_look(const desk_case *c, const tufa_ahead_in *in, const tufa_ahead *now, tufa_arena *arena, tufa_money_in *money,
                        desk_hot *setpoint)
{
    tufa_ahead_in plain = *in;
    plain.band_step = in->months; /* today alone is read of them */
    double to_K = other_setpoint_K(now->heater.field[TUFA_HEATER_SETPOINT].mid);
    size_t n;
    if (c->water->softened.basis == TUFA_BASIS_NONE)
        RETURN_IF(look_used(&plain, (tufa_use){.softened = tufa_softened_default()}, TUFA_CHOICE_SOFTEN, arena, money));
    RETURN_IF(look_used(&plain, (tufa_use){.setpoint_K = exactly(to_K), .mixed_as_before = 1}, TUFA_CHOICE_SETPOINT, arena, money));
    RETURN_IF(others_kinds(c, &plain, ALLOWS_YES, arena, money, &n));
    RETURN_IF(others_kinds(c, &plain, ALLOWS_NOT_KNOWN, arena, money, &n));
    double from_K = now->heater.field[TUFA_HEATER_SETPOINT].mid, cold_K = c->site.inlet_mean_K.basis != TUFA_BASIS_NONE ? c->site.inlet_mean_K.mid : tufa_site_default().inlet_mean_K.mid;
    double litres_day = now->litres_day.p50 * tufa_mixed_litres(from_K, to_K, cold_K);
    return desk_hot_look(&now->heater, &c->site, to_K, 1e-3 * litres_day, now->now_bed_m3.p50, setpoint);
}
