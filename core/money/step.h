/* What one half-year costs in one draw: for the means of the decision problem and for walks alike. */
#ifndef CORE_MONEY_STEP_H
#define CORE_MONEY_STEP_H

#include "core/base/quick.h"
#include "core/money/inner.h"

/* Share of the step in which the bed is at the element, or the floor boils. */
static inline double share_in_trouble(double kg, double grown, double trouble_kg)
{
    double over = kg + grown - trouble_kg;
    if (kg >= trouble_kg) return 1.0;
    return over <= 0.0 ? 0.0 : over / grown;
}

static inline double lost_share(double loss_per_kg, double kg)
{
    return loss_per_kg > 0.0 ? 1.0 - quick_exp(-loss_per_kg * kg) : 0.0;
}

static inline double chance_of(double hazard) { return 1.0 - quick_exp(-hazard); }

#endif
