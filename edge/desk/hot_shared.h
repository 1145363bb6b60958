/* As hot.h, for a whole book: like heaters share simulated days. */
#ifndef EDGE_DESK_HOT_SHARED_H
#define EDGE_DESK_HOT_SHARED_H

#include "edge/desk/hot.h"

/* What the year plan keeps of one heater. */
typedef struct hot_row {
    float setpoint_K;
    float first_draw_m3, first_draw_lost_m3; /* in one draw at 3 gpm, with the bed; what the bed takes of it */
    float recovery_s;                        /* from all cold, with the bed; -1: not within a day */
    float in_J_year, in_J_year_clean;        /* bought */
    float hottest_K, scald_adult_s;          /* at the tap through the year; -1: cooler than the tables of burns begin */
    float growth_bottom_s, growth_mean_s;    /* a day between 25 and 45 C */
} hot_row;

/* For one thread; what it answers does not depend on what it was asked before. */
typedef struct hot_table {
    tufa_tank_cache days;
    void *days_memory, *recoveries;
} hot_table;

/* Call hot_table_free whether it is OK or not. */
TUFA_MUST_CHECK tufa_status hot_table_init(hot_table *t);
void hot_table_free(hot_table *t);

/* Beside desk_hot_look, as measured on the demo: within 2 % in energy, 4 L, 3 % in recovery, 2 K. */
TUFA_MUST_CHECK tufa_status desk_hot_shared(hot_table *table, const tufa_heater *heater, const tufa_site *site, double setpoint_K,
                                            double draw_m3_day, double bed_m3, hot_row *out);

#endif
