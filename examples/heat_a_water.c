/* What can a water drop when it is heated? One analysis, three temperatures. Build: cc heat_a_water.c libtufa_core.a -lm */
#include <stdio.h>

#include "tufa.h"

int main(void)
{
    /* An invented hard well water: 20 deg C, pH 7.4, alkalinity 5.2 meq, Ca 2.4, Mg 1.0, Na 0.8, Cl 0.9, SO4 0.7 mmol for each kg. */
    tufa_analysis a = {.T_K = 293.15, .ph = 7.4, .alkalinity_eq_kgw = 5.2e-3, .ca_mol_kgw = 2.4e-3, .mg_mol_kgw = 1.0e-3,
                       .na_mol_kgw = 0.8e-3, .cl_mol_kgw = 0.9e-3, .so4_mol_kgw = 0.7e-3};
    for (double T_K = 323.15; T_K < 345.0; T_K += 10.0) {
        tufa_water_state w;
        tufa_status st = tufa_water_heat(&a, TUFA_CONSTANTS_2025, T_K, &w);
        if (st.code != TUFA_OK) {
            fprintf(stderr, "%s: %s\n", st.field, tufa_code_words(st.code));
            return tufa_code_exit(st.code);
        }
        printf("%.0f C: pH %.2f, %.0f mg/L of calcium carbonate can come out\n", T_K - 273.15, w.ph, w.ccpp_mg_L);
    }
    return 0;
}
