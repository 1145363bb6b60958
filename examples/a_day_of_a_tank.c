/* One day of a common electric heater, as it is and with its lower element burnt out. */
#include <stdio.h>

#include "tufa.h"

static tufa_status say_day(const char *name, const tufa_tank_change *changes, size_t n)
{
    tufa_tank tank = tufa_tank_default(TUFA_TANK_ELECTRIC);
    tufa_tank_use use = {0};
    tufa_tank_day day;
    tufa_tank_draw draws[TUFA_TANK_MAX_DRAWS];
    use.n = tufa_tank_pattern_draws(TUFA_PATTERN_MEDIUM, draws);
    use.draws = draws;
    tufa_status st = tufa_tank_typical_day(&tank, changes, n, &use, tank.inlet_K, tank.ambient_K, &day);
    if (st.code == TUFA_OK)
        printf("%s: %.2f kWh a day, the coldest draw %.1f C\n", name, day.in_J / 3.6e6, day.min_outlet_K - 273.15);
    return st;
}

int main(void)
{
    tufa_tank_change open = tufa_tank_change_usual(TUFA_CHANGE_LOWER_ELEMENT_OPEN);
    tufa_status st = say_day("as it is", NULL, 0);
    if (st.code == TUFA_OK) st = say_day("lower element burnt out", &open, 1);
    return tufa_code_exit(st.code);
}
