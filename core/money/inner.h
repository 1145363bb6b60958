/* One heater's decision problem while it is worked out. Time runs in half-year steps; dollars, years, kg. */
#ifndef CORE_MONEY_INNER_H
#define CORE_MONEY_INNER_H

#include "tufa/money.h"

enum { MOST_YEARS = 30, STEPS_YEAR = 2, STEPS = STEPS_YEAR * MOST_YEARS, KINDS = 2 };
enum { BEDS = 15, MOST_BEDS = 96, ANODES = 11 };
#define STEP_YEARS 0.5

/* Everything of one draw that its costs follow from. */
typedef struct world {
    tufa_weibull tank, fresh;                           /* life of this tank, and of a new one */
    tufa_weibull control;
    double log_scale[2];                                /* of the two, [fresh] */
    double age, anode_age, control_age;
    double own_hour, trip, outage_day;
    double element_usd, call_usd, leak_usd, damage_usd, damage_chance, control_usd[2]; /* of one failure; leak_usd without the damage */
    double base_year, per_10K, buried, flux_W_m2, calls_year[2], bed_on_life[2]; /* [electric] */
    double anode_life, anode_usual, anode_softened, anode_on_life, fuel_usd_J, electricity_usd_J, gas_usd_J, heat_pump_cop;
    double low_density_W_m2, flush_kg, full_port;
    double softener_year;
    double hours[TUFA_CHOICE_COUNT], left_share[TUFA_CHOICE_COUNT], spend[TUFA_CHOICE_COUNT];
    double like_usd[3];                                 /* a new gas, electric or heat pump heater where one stood */
} world;

typedef struct worlds {
    const tufa_money_in *in;
    size_t n;
    double back;                                        /* discount of one step, of its half */
    double back_half;
    double *tank_u, *damage_u, *element_u;              /* luck of each draw: [step * n + draw] */
    int luck_steps;
    world *w;
} worlds;

/* draws.c: fills n worlds. */
TUFA_MUST_CHECK tufa_status draw_worlds(worlds *ws, tufa_arena *arena);

/* stand.c: one heater in its place, all draws: what stands there now, or a new one. Arrays by draw. */
typedef struct stand {
    const worlds *ws;
    size_t n;
    int electric, fresh;
    double *kg, *growth, *trouble_kg, *anode_age, *anode_life; /* at step 0; growth a year */
    double *loss_per_kg, *fuel_year, *extra_year;       /* gas: share lost, bill; whatever else it costs a year */
    double *element[KINDS];                             /* failures a year: as it is, low density */
    double *hazard;                                     /* [step * n + draw]: of the tank within the step, before bed and anode */
    double *control, *new_control;                      /* the same: failures of thermostats or gas control; of new ones */
} stand;
/* `other` COUNT: what stands there, fresh or not; else what that choice would make of it. */
TUFA_MUST_CHECK tufa_status make_stand(const worlds *ws, tufa_choice other, int fresh, tufa_arena *arena, stand *s);
double deed_usd(const stand *s, size_t draw, tufa_choice a);
double flush_leaves(const world *w, double kg);

/* chain.c: the averaged decision problem of one stand. States of a step: bed never touched since now, or so many years of
 * growth after a cleaning; anode never touched, or so old; element as it is, or of low density. */
typedef struct cell {
    int at;                                             /* place of a grid, and how far on to the next */
    double up;
} cell;

typedef struct chain {
    const worlds *ws;
    int kinds;                                          /* of elements: 1 over a burner */
    int beds;
    size_t layer;                                       /* states of one step */
    double bed_y[MOST_BEDS];
    cell bed_next[MOST_BEDS], anode_next[ANODES];
    double leak_usd;                                    /* of a leak, damage expected, without the new tank */
    double hazard[2][2][STEPS];                         /* [bed touched][anode touched]: of the draws that still stand */
    double bed_on_leak[STEPS_YEAR][MOST_BEDS], anode_on_leak[STEPS][ANODES];
    double running0[KINDS][STEPS], running[STEPS_YEAR][KINDS][MOST_BEDS], control[STEPS], spent0[STEPS];
    double spend[TUFA_CHOICE_COUNT];
    double clean_y0[STEPS], flush_y0[STEPS], flush_y[MOST_BEDS], left_share; /* years of growth that stay */
    cell clean0[STEPS], clean[MOST_BEDS], flush0[STEPS], flush[MOST_BEDS];
    unsigned char may[TUFA_CHOICE_COUNT][STEPS];
    double *leak;                                       /* [(step * (beds + 1) + bed) * (ANODES + 1) + anode]: chance within the step */
    double *kept;                                       /* [step * layer + state]: cost to come when nothing is done in it now */
    double *value[2], *slope[2], *kept_slope;           /* of a layer and the next; slope: by dollars of renewal */
} chain;

/* Where a heater is between the places of the grids. */
typedef struct place {
    int bed_touched, anode_touched, kind;
    double y, z;
} place;

size_t chain_bytes(int beds);
TUFA_MUST_CHECK tufa_status make_chain(const stand *s, tufa_arena *arena, chain *c);
/* One backward sweep, each later heater costing next_usd: fills `kept`; answers the value today, and its slope by next_usd. */
double sweep(chain *c, double next_usd, double *slope);
/* Policy iteration: until the next heater is one of this kind, or what costs outside_usd, whichever is less. */
TUFA_MUST_CHECK tufa_status renew(chain *c, double price_usd, double outside_usd, double *next_usd, double *new_usd);
/* Cost to come of an action at a step, HUGE_VAL where it may not be done; `after` gets the place that it leads to. */
double act_usd(const chain *c, int step, const place *p, tufa_choice a, double next_usd, place *after);
tufa_choice best_act(const chain *c, int step, const place *p, double next_usd, double *usd, place *after);
/* Left alone but for a planned replacement: usd[k] of step k, replaced[k]: that is to replace then. */
void left_alone(const chain *c, double next_usd, double *usd, unsigned char *replaced);
/* Left alone to step `until`, and then `then_usd`. */
double left_until(const chain *c, double next_usd, int until, double then_usd);

/* walk.c: a course in every draw. act[k]: done at the beginning of step k. */
typedef struct course {
    unsigned char act[STEPS];
} course;
/* Left alone to step `from`, there `first` (COUNT: as the policy has it), and then the policy. */
void course_of(const chain *c, double next_usd, int from, tufa_choice first, course *out);
/* Left alone but for the planned replacement. */
void course_left(const unsigned char *replaced, course *out);

/* Arrays by draw; NULL: not wanted. Costs are present dollars, expected over luck but for the lucky ones. */
typedef struct walk {
    double *usd, *slope;                                /* cost = usd + slope x cost of the next heater */
    double *step_usd, *step_fails;                      /* [step * n + draw], the first `steps`: cost, and weight of a renewal */
    int steps;
    const double *next_usd, *within;                    /* of the next heater: price and all to come; [m * n + draw]: in its first m steps */
    double *years_usd, *lucky_usd, *lucky_years_usd;    /* within in->years; with luck */
    double *p_year, *p_element;                         /* within the first year */
} walk;
size_t walk_bytes(size_t n);
TUFA_MUST_CHECK tufa_status walk_course(const stand *s, const course *c, const walk *w, tufa_arena *arena);
/* within[m * n + draw] for m = 0 to steps, out of a walk of the new heater; price_usd by draw. */
void renew_within(size_t n, int steps, const double *step_usd, const double *step_fails, const double *price_usd, double *within);

/* Costs by draw of each choice; NULL where it does not apply. wait: nothing for a year, then the policy. */
typedef struct ledger {
    double *now[TUFA_CHOICE_COUNT], *wait;
    double margin_usd[TUFA_CHOICE_COUNT]; /* what a deed of this year must save beyond paying for itself */
    int allowed[TUFA_CHOICE_COUNT];
    double *scratch, *signal;
    uint32_t *order;
} ledger;

/* choose.c. Sums or means over some draws of each choice. */
typedef struct account {
    double now[TUFA_CHOICE_COUNT], wait, draws;
} account;
void add_draw(const ledger *l, size_t draw, account *a);
/* The choice of this year, with margins or by cost alone. */
tufa_choice choose_now(const ledger *l, const account *a, int with_margin);
/* What the choice costs in an account, left alone being the cheaper of for good and for a year; the next best. */
double cost_of(const account *a, tufa_choice now);
tufa_choice second_best(const ledger *l, const account *a, tufa_choice now);

/* reading.c */
void consider_reading(const worlds *ws, ledger *l, tufa_money_year *out);

/* year.c */
double mean_of(size_t n, const double *v);
tufa_band band_at(size_t n, const double *v, double *scratch);

#endif
