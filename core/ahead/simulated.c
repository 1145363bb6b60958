/* The tank stage's simulation as ahead's tank: typical days out of its cache. */
#include "core/base/status.h"
#include "tufa/ahead.h"
#include "tufa/tank.h"

#include <math.h>

static const double MOST_BED_SHARE = 0.55; /* of the tank; the table of days ends a little above */

tufa_tank tufa_ahead_as_tank(const tufa_tank_ask *ask)
{
    const tufa_value *f = ask->heater->field;
    int electric = ask->heater->fuel == TUFA_ELECTRIC;
    double power_W = f[electric ? TUFA_HEATER_ELEMENT_POWER : TUFA_HEATER_BURNER].mid;
    tufa_tank t = tufa_tank_like(electric ? TUFA_TANK_ELECTRIC : TUFA_TANK_GAS, f[TUFA_HEATER_VOLUME].mid, power_W, ask->setpoint_K);
    t.loss_W_K = f[TUFA_HEATER_LOSS].mid;
    t.inlet_K = ask->inlet_K;
    t.ambient_K = ask->room_K;
    if (!electric) {
        t.recovery_efficiency = f[TUFA_HEATER_RECOVERY].mid;
        return t;
    }
    t.lower_height_m = f[TUFA_HEATER_ELEMENT_LOW].mid * t.height_m / f[TUFA_HEATER_HEIGHT].mid;
    t.upper_height_m = f[TUFA_HEATER_ELEMENT_HIGH].mid * t.height_m / f[TUFA_HEATER_HEIGHT].mid;
    t.element_W_m2 = f[TUFA_HEATER_ELEMENT_FLUX].mid;
    if (ask->heater->one_element) t.upper_W = 0.0;
    return t;
}

tufa_status tufa_ahead_simulated_tank(void *ctx, const tufa_tank_ask *ask, tufa_tank_month *out)
{
    tufa_tank_cache *cache = ctx;
    if (!cache) return trouble(TUFA_MISSING, "tank_ctx", "a table of simulated days");
    tufa_tank tank = tufa_ahead_as_tank(ask);
    tufa_tank_draw draws[TUFA_TANK_MAX_DRAWS];
    /* people mix at the tap: from a hotter tank they take less, so that the heat they want is kept */
    tufa_tank_use use = {.draws = draws, .n = tufa_tank_draws_for(ask->draw_m3_day, draws), .tempered_K = ask->setpoint_K};
    tufa_tank_day day;
    double bed_m3 = fmin(fmax(0.0, ask->bed_m3), MOST_BED_SHARE * tank.volume_m3);
    RETURN_IF(tufa_tank_cached_day(cache, &tank, bed_m3, &use, ask->inlet_K, ask->room_K, &day));
    *out = (tufa_tank_month){.mean_K = day.mean_K, .skin_K = ask->heater->fuel == TUFA_ELECTRIC ? day.skin_K : day.mean_K,
                             .energy_J_day = day.in_J, .hot_m3_day = day.above_40_m3};
    return OK;
}
