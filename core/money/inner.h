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
    double anode_life, anode_age, anode_on_life, anode_worn_share;
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

/* What is done at the beginning of year `when`, as the years that follow see it. */
typedef struct deed {
    int when;
    double left_share, rise_K, spend_usd;
    int new_anode; /* the anode is spent by then, and changed */
} deed;

typedef struct first_year {
    double p_tank, p_element; /* chance of a leak, of a burnt lower element */
} first_year;

/* path.c. Present dollars from now to the end of the years, with a planned replacement at the beginning of year k, before
 * anything else is done in it: stop_usd[k], k = 0 (now) to ws->years (never). */
double next_tank_year(const world *w); /* rent of the next tank a year */
first_year run_path(const worlds *ws, const world *w, const deed *d, double *stop_usd);

/* Costs by draw. `now`: doing it this year; `wait`: doing it next year. NULL where it does not apply. Leaving has `now` alone:
 * nothing is done but a planned replacement when that pays. */
typedef struct ledger {
    double *now[TUFA_CHOICE_COUNT], *wait[TUFA_CHOICE_COUNT];
    double margin_usd[TUFA_CHOICE_COUNT]; /* what a deed of this year must save beyond paying for itself */
    double *scratch, *signal;
    double *stop_usd; /* [draw * (years + 1) + stop year], of one choice at a time */
    uint32_t *order;
} ledger;

/* choose.c. Sums or means over some draws of each choice, now and next year. */
typedef struct account {
    double now[TUFA_CHOICE_COUNT], wait[TUFA_CHOICE_COUNT], draws;
} account;
void add_draw(const ledger *l, size_t draw, account *a);
/* The choice of this year, with margins or by cost alone. When that is to leave it: `later` is what follows next year, LEAVE
 * for nothing. */
tufa_choice choose_now(const ledger *l, const account *a, int with_margin, tufa_choice *later);
/* What the choice costs in an account; the least of the rest. */
double cost_of(const account *a, tufa_choice now, tufa_choice later);
double second_best(const ledger *l, const account *a, tufa_choice now);

/* reading.c */
void consider_reading(const worlds *ws, ledger *l, tufa_money_year *out);

/* year.c */
double mean_of(size_t n, const double *v);
tufa_band band_at(size_t n, const double *v, double *scratch);

#endif
