/* What a heater gives and what it costs, at its setpoint and with its bed: out of the simulated tank. */
#ifndef EDGE_DESK_HOT_H
#define EDGE_DESK_HOT_H

#include "edge/import/tank_case.h"
#include "tufa.h"

#define HOT_MOST_BED_SHARE 0.55 /* of the tank; the table of days ends a little above */

typedef struct desk_hot {
    double setpoint_K;
    double first_draw_m3, first_draw_clean_m3; /* in one draw at 3 gpm; with the bed, and without */
    double recovery_s;                         /* from all cold, with the bed */
    double in_J_year, in_J_year_clean;         /* bought */
    double hottest_K;                          /* at the tap through the year */
    tufa_tank_burn adult, infant;
    double growth_bottom_s, growth_mean_s;     /* a day between 25 and 45 C */
    double skin_K, noise_margin_K;
} desk_hot;

/* `heater` is filled, fields of `site` may be NONE. */
TUFA_MUST_CHECK tufa_status desk_hot_look(const tufa_heater *heater, const tufa_site *site, double setpoint_K,
                                          double draw_m3_day, double bed_m3, desk_hot *out);
/* The same heater as a case of `tufa tank`: today's bed, one day at the inlet of `month` (0..11). */
void desk_hot_case(const tufa_heater *heater, const tufa_site *site, double setpoint_K, double draw_m3_day, double bed_m3,
                   int month, tank_case *out);

/* The heater as the tank stage wants it, and its season. */
tufa_tank_ask hot_ask_of(const tufa_heater *heater, const tufa_site *site, double setpoint_K, double draw_m3_day,
                         tufa_tank_season *season);

#endif
