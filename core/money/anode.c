/* The anode's metal against its current. */
#include "core/base/status.h"
#include "tufa/money.h"

#include <math.h>

static const double MG_AH_KG = 2205.0;  /* 2 x 96485 / (0.024305 x 3600): Faraday's law for magnesium */
static const double HOURS_YEAR = 8766.0;

tufa_status tufa_anode_years(double kg, double current_A, double efficiency, double usable, double *years)
{
    RETURN_IF(in_range("kg", kg, 0.0, 100.0));
    RETURN_IF(in_range("current_A", current_A, 1e-6, 10.0));
    RETURN_IF(in_range("efficiency", efficiency, 0.0, 1.0));
    RETURN_IF(in_range("usable", usable, 0.0, 1.0));
    *years = kg * MG_AH_KG * efficiency * usable / (current_A * HOURS_YEAR);
    return OK;
}

double tufa_anode_current_A(double conductivity_S_m, double ref_A, double power)
{
    return ref_A * pow(fmax(1e-6, conductivity_S_m) / TUFA_ANODE_REF_S_M, power);
}
