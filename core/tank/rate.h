/* Draws that watch the outlet, and waits that watch the thermostats: shared by rating and typical day. */
#ifndef CORE_TANK_RATE_H
#define CORE_TANK_RATE_H

#include "core/tank/sim.h"

typedef struct one_draw {
    double drawn_m3, mean_K, max_K, end_K;
} one_draw;

/* Time of the first moment at which nothing (or, if so asked, only the upper thermostat) wants heat; -1 by until_s. */
double run_to_cutout(sim *x, bool only_upper, double until_s);
/* Draws so much, whatever the outlet. */
void draw_off(sim *x, double flow_m3_s, double m3);
/* Draws until the outlet has come down to to_K, half a minute at least, or (to_K 0) is 15 F below the hottest of this draw.
 * From off_at_s on no power or fuel is on. */
one_draw draw_down(sim *x, double flow_m3_s, double to_K, double off_at_s);
double test_flow_m3_s(const tufa_tank *t);

#endif
