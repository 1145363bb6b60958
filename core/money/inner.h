/* One heater's money while it is worked out, draw by draw. */
#ifndef CORE_MONEY_INNER_H
#define CORE_MONEY_INNER_H

#include "tufa/money.h"

enum { MOST_YEARS = 30 };

/* Everything of one draw that its costs follow from. Dollars, years, kg. */
typedef struct world {
    tufa_weibull tank;
    double age, new_life, discount;
    double own_hour, trip, outage_day, element, anode, unit, damage;
    double kg, kg_year, trouble_kg;                     /* bed now, growth, mass at which trouble begins */
    double loss_per_kg, fuel_year;                      /* gas: share of the fuel for each kg; fuel bill */
    double base_year, per_10K, buried, rise_K, flux_W_m2; /* lower element; base_year 0 in a gas tank */
    double calls_year, bed_on_life;
    double anode_life, anode_age, anode_on_life;
    double damage_chance, leak_days, leak_hours, element_hours, element_days, call_hours, call_days;
    double low_density_W_m2, low_density_price, flush_kg, phone_hours;
    double hours[TUFA_CHOICE_COUNT], left_share[TUFA_CHOICE_COUNT];
    double hazard[MOST_YEARS + 1]; /* of the tank, in each coming year, as published lives have it */
} world;

typedef struct worlds {
    const tufa_money_in *in;
    size_t n;
    int years;
    world *w;
    double spent_usual[MOST_YEARS + 1]; /* share of tanks whose first anode is spent, each year from now: what published lives hold */
} worlds;

/* draws.c: fills n worlds. */
TUFA_MUST_CHECK tufa_status draw_worlds(worlds *ws, tufa_arena *arena);

/* What is done now, as the years that follow see it. */
typedef struct deed {
    double left_share, rise_K;
    int new_anode;
} deed;

typedef struct first_year {
    double p_tank, p_element; /* chance of a leak, of a burnt lower element */
} first_year;

/* path.c. Present dollars from now to the end of the years, with a planned replacement at the beginning of year k:
 * stop_usd[k], k = 0 (now) to ws->years (never). */
first_year run_path(const worlds *ws, const world *w, const deed *d, double *stop_usd);

/* reading.c */
typedef struct ledger {
    double *cost[TUFA_CHOICE_COUNT]; /* by draw; NULL where it does not apply */
    double *scratch, *signal;
    double *stop_usd;                /* [draw * (years + 1) + stop year], of one choice at a time */
    uint32_t *order;
} ledger;
void consider_reading(const worlds *ws, ledger *l, double best_usd, tufa_money_year *out);

/* year.c */
double mean_of(size_t n, const double *v);
tufa_band band_at(size_t n, const double *v, double *scratch);

#endif
