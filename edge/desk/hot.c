#include "edge/desk/hot.h"

#include <math.h>
#include <stdlib.h>

#include "core/base/status.h"

enum { DAYS = 128 }; /* twelve months, clean and with a bed between two bands, twice over */
static const double COLDEST_DAY = 45.0;    /* middle of February, as in tufa_inlet_K */

static double said_or(tufa_value said, tufa_value other) { return said.basis == TUFA_BASIS_NONE ? other.mid : said.mid; }

tufa_tank_ask hot_ask_of(const tufa_heater *heater, const tufa_site *site, double setpoint_K, double draw_m3_day,
                         tufa_tank_season *season)
{
    tufa_site usual = tufa_site_default();
    *season = (tufa_tank_season){.inlet_mean_K = said_or(site->inlet_mean_K, usual.inlet_mean_K),
                                 .inlet_swing_K = said_or(site->inlet_swing_K, usual.inlet_swing_K),
                                 .ambient_mean_K = said_or(site->room_K, usual.room_K), .coldest_day = COLDEST_DAY};
    return (tufa_tank_ask){.heater = heater, .setpoint_K = setpoint_K, .draw_m3_day = draw_m3_day,
                           .inlet_K = season->inlet_mean_K, .room_K = season->ambient_mean_K};
}

static tufa_status look(tufa_tank_cache *cache, const tufa_tank_ask *ask, const tufa_tank_season *season, double bed_m3, desk_hot *out)
{
    tufa_tank tank = tufa_ahead_as_tank(ask);
    tufa_tank_draw draws[TUFA_TANK_MAX_DRAWS];
    tufa_tank_use use = {.draws = draws, .n = tufa_tank_draws_for(ask->draw_m3_day, draws), .tempered_K = ask->setpoint_K};
    tufa_tank_day clean, now;
    tufa_tank_rating rating;
    bed_m3 = fmin(fmax(bed_m3, 0.0), HOT_MOST_BED_SHARE * tank.volume_m3);
    RETURN_IF(tufa_tank_cached_year(cache, &tank, 0.0, &use, season, &clean));
    RETURN_IF(tufa_tank_cached_year(cache, &tank, bed_m3, &use, season, &now));
    tank.bed_m3 = bed_m3;
    RETURN_IF(tufa_tank_rate(&tank, NULL, 0, &rating));
    *out = (desk_hot){.setpoint_K = ask->setpoint_K, .first_draw_m3 = now.first_draw_m3, .first_draw_clean_m3 = clean.first_draw_m3,
                      .recovery_s = rating.recovery_s, .in_J_year = now.in_J, .in_J_year_clean = clean.in_J,
                      .hottest_K = now.max_outlet_K, .adult = tufa_tank_burn_time(now.max_outlet_K, TUFA_PERSON_ADULT),
                      .infant = tufa_tank_burn_time(now.max_outlet_K, TUFA_PERSON_INFANT),
                      .growth_bottom_s = now.growth_bottom_s / 365.0, .growth_mean_s = now.growth_mean_s / 365.0,
                      .skin_K = now.skin_K, .noise_margin_K = now.noise_margin_K};
    return OK;
}

tufa_status desk_hot_look(const tufa_heater *heater, const tufa_site *site, double setpoint_K, double draw_m3_day, double bed_m3,
                          desk_hot *out)
{
    tufa_tank_season season;
    tufa_tank_ask ask = hot_ask_of(heater, site, setpoint_K, draw_m3_day, &season);
    tufa_tank_cache cache;
    void *memory = calloc(1, tufa_tank_cache_bytes(DAYS));
    if (!memory) return trouble(TUFA_MEMORY, "simulated days", NULL);
    tufa_status st = tufa_tank_cache_init(memory, tufa_tank_cache_bytes(DAYS), &cache);
    if (st.code == TUFA_OK) st = look(&cache, &ask, &season, bed_m3, out);
    free(memory);
    return st;
}

void desk_hot_case(const tufa_heater *heater, const tufa_site *site, double setpoint_K, double draw_m3_day, double bed_m3,
                   int month, tank_case *out)
{
    tufa_tank_season season;
    tufa_tank_ask ask = hot_ask_of(heater, site, setpoint_K, draw_m3_day, &season);
    double day = (month + 0.5) * 365.0 / 12.0;
    ask.inlet_K = tufa_tank_season_inlet_K(&season, day);
    ask.room_K = tufa_tank_season_ambient_K(&season, day);
    *out = (tank_case){.tank = tufa_ahead_as_tank(&ask), .start_K = setpoint_K, .hours = 24.0};
    out->tank.bed_m3 = fmin(fmax(bed_m3, 0.0), HOT_MOST_BED_SHARE * out->tank.volume_m3);
    out->tank.layers = tufa_tank_layers_for(&out->tank, 100, TUFA_TANK_MAX_LAYERS);
    out->use.n = tufa_tank_draws_for(draw_m3_day, out->draw);
    tank_case_moved(out);
}
