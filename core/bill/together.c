/* Several fuels of one house: one date for all, or each its own. */
#include <math.h>

#include "core/base/status.h"
#include "tufa/bill.h"

static const double SAME_PRIOR = 0.3; /* people come and go, in both fuels: judgement */
static const double SIDE_95 = 3.92;

/* Odds by the densities of the two dates, each taken as normal, at a common date against any two in the record. */
tufa_status tufa_bill_together(size_t n_fuels, const tufa_bill_result *const *fuel, double *same_date)
{
    double odds = SAME_PRIOR / (1.0 - SAME_PRIOR), chance = 1.0;
    RETURN_IF(in_range("fuels", (double)n_fuels, 2, 8));
    for (size_t i = 0; i < n_fuels; i++) {
        chance *= 1.0 - fuel[i]->probability[TUFA_BILL_NONE];
        if (fuel[i]->kind == TUFA_BILL_NONE) {
            *same_date = 0.0;
            return OK;
        }
    }
    for (size_t i = 1; i < n_fuels; i++) {
        double s0 = (fuel[0]->day.hi - fuel[0]->day.lo) / SIDE_95, s1 = (fuel[i]->day.hi - fuel[i]->day.lo) / SIDE_95;
        double s = fmax(hypot(s0, s1), 5.0), z = (fuel[0]->day.mid - fuel[i]->day.mid) / s;
        double record = fmax(fuel[0]->last_day, fuel[i]->last_day) - fmin(fuel[0]->first_day, fuel[i]->first_day);
        odds *= record / (s * sqrt(2.0 * 3.14159265358979)) * exp(-0.5 * z * z);
    }
    *same_date = chance * odds / (1.0 + odds);
    return OK;
}
