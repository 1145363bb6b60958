/* What an acid soak can dissolve, from the equilibrium of the water stage. */
#include "core/base/status.h"
#include "core/clean/physics.h"

#define CACO3_KG_MOL 0.1000869
#define GAS_J_MOL_K 8.314462618
#define ATM_PA 101325.0

tufa_status tufa_clean_acid_capacity(tufa_acid acid, double percent, double T_K, double co2_atm, double acid_m3,
                                     tufa_acid_capacity *out)
{
    RETURN_IF(in_range("acid_m3", acid_m3, 0.0, 10.0));
    tufa_soak_in in = {.acid = acid, .acid_percent = percent, .T_K = T_K, .co2_atm = co2_atm};
    tufa_soak s;
    RETURN_IF(tufa_water_soak(&in, &s));
    tufa_acid_capacity c = {.caco3_kg_m3 = s.caco3_g_per_L_acid, .share_used = s.share_of_stoichiometric, .ph = s.ph};
    c.full_kg_m3 = c.caco3_kg_m3 / c.share_used;
    c.co2_m3_m3 = c.caco3_kg_m3 / CACO3_KG_MOL * GAS_J_MOL_K * T_K / ATM_PA;
    c.caco3_kg = c.caco3_kg_m3 * acid_m3;
    c.co2_m3 = c.co2_m3_m3 * acid_m3;
    *out = c;
    return OK;
}
