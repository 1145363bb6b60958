/* Skin and bottom without range checks, for models whose numbers were checked when they were built. */
#ifndef CORE_TANK_SKIN_H
#define CORE_TANK_SKIN_H

#include "tufa/tank.h"

static const double BOTTOM_SHARE = 0.40; /* of the heat taken up, through the bottom head; the rest through the flue: own estimate */

tufa_tank_skin skin_of(const tufa_tank_skin_in *in);
tufa_tank_bottom bottom_of(double clean_efficiency, double burner_W, double bed_depth_m, double bed_W_m_K,
                           double water_K, double line_Pa);
double scale_rise_K(double flux_W_m2, double scale_m, double scale_W_m_K);

#endif
