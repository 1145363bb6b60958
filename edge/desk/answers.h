/* The questions of the main job and their answers: what lies ahead of one heater, and what to do this year. */
#ifndef EDGE_DESK_ANSWERS_H
#define EDGE_DESK_ANSWERS_H

#include "edge/desk/case.h"
#include "edge/desk/cleaning.h"
#include "edge/desk/desk.h"
#include "edge/desk/enough.h"
#include "edge/desk/hot_shared.h"
#include "edge/say/trouble.h"

/* One run for the year plan and for one heater, so that both tell the same figures. */
enum { YEAR_DRAWS = 200, YEAR_HORIZON = 20, YEAR_MONTHS = 12 * YEAR_HORIZON, MONEY_YEARS = 10 };

/* ---- money that the book may change ---- */

typedef struct desk_rates {
    tufa_prices prices;
    tufa_life life[TUFA_FUEL_COUNT];
    tool_set tools;                  /* own tools, which say how a cleaning goes */
} desk_rates;
TUFA_MUST_CHECK tufa_status desk_rates_get(desk *d, desk_rates *out);  /* lives as own records have them; grids stay those of the book */
TUFA_MUST_CHECK tufa_status desk_rates_said(desk *d, desk_rates *out); /* lives as published, or as the owner said */

/* ---- one heater in the year plan ---- */

/* Compact: a book of 20,000 heaters keeps one for each. Text is whole sentences or parts, ready to print. */
typedef struct year_row {
    int64_t heater;
    char label[STORE_LABEL], street[STORE_LABEL], why[200];
    tufa_fuel fuel;
    bool one_element;
    float age_years, age_lo_years, age_hi_years;
    tufa_basis age_basis;
    tufa_choice choice;
    tufa_choice next;                /* of a heater left alone: what would come first, and why it waits (below); LEAVE: nothing */
    bool flat;                       /* next saves too little to be worth its cost this year; else it is not due yet */
    tufa_reason reason;
    tufa_sharpen reading;            /* the one that would sharpen most; COUNT: none */
    tufa_rests_on rests_on;
    bool date_sure;
    int64_t due_day;                 /* at the latest; of a heater left alone: when to look again. 0: not within 20 years */
    tufa_band done_usd, left_usd, gain_usd, hours; /* over the coming MONEY_YEARS; hours of this visit */
    tufa_band policy_usd;            /* whole cost over MONEY_YEARS, each thing done when it pays; p50 is what can be expected */
    double endless_usd;              /* the same without end */
    double mean_gain_usd;            /* what the choice is made by */
    cleaning_visit cleaning;         /* of a cleaning, in the year plan alone: its method and minutes; method COUNT else */
    double spend_usd;                /* money laid out for this visit: parts, heater, miles; own hours not counted */
    double wait_usd_year;            /* what leaving this visit undone for a year costs; 0: it may as well wait */
    double best_share;               /* of the runs in which the choice is the cheapest */
    float loss_W_K, litres_day;      /* heat lost to the room for each degree; hot water drawn */
    tufa_band depth_m, kg;           /* of the bed today */
    tufa_band p_tank, p_element;     /* chance to leak, to burn out, within a year */
    float mean_p_tank, mean_p_element, mean_p_control; /* the same expected, and of a thermostat or gas control: what adds up over a fleet */
    tufa_when trouble;               /* element reached, or the gas floor boils */
    tufa_choice other;               /* of a heater that is replaced, or near it: another kind that would save more, were it known that the
                                        house allows it; LEAVE: none */
    double other_usd_year;           /* by how much a year, for good, over what sets a heater otherwise */
    const char *other_ask, *other_field; /* the question, and the field of the house that takes its answer */
    enough fits;                     /* the new heater, where one is set now or next; else kind is LEAVE */
    hot_row hot;                     /* what it gives and costs with the bed of today; in the year plan alone */
} year_row;

typedef struct year_street {
    char name[STORE_LABEL];
    size_t first, n, visits;         /* rows of year_answer.row */
    double hours, spend_usd, gain_usd;
    bool leaks;                      /* a tank on it leaks: first */
} year_street;

typedef struct year_answer {
    int64_t today;
    unit_system units;
    year_row *row;                   /* street by street, visits of a street first */
    size_t n;
    year_street *street;             /* the one where most is to be saved first */
    size_t streets;
    size_t count[TUFA_CHOICE_COUNT], visits;
    size_t unknown_age, no_sheet_waters, waters;
    tufa_band spend_usd, hours, gain_usd, left_usd; /* of all visits together; left_usd: of all heaters */
    double mean_gain_usd, drive_hours, own_hour_usd;
    bool own_hour_default;
    size_t first[3], firsts;         /* rows to see first */
} year_answer;

/* Something done to many heaters from today on, to see what it would be worth. */
typedef struct year_change {
    int64_t soften_water;            /* heaters on this water get a softened one; 0: none does */
    double setpoint_K;               /* every dial is turned there; 0: as they are */
    bool no_cleaning;                /* nothing is flushed or cleaned, now or later */
} year_change;

typedef struct year_ask {
    unsigned draws, months;          /* 0: the usual */
    const year_change *change;       /* NULL: as things are */
    void (*progress)(void *ctx, size_t done, size_t all); /* NULL: none */
    bool (*cancelled)(void *ctx);    /* NULL: never */
    void *ctx;
} year_ask;

bool choice_is_cleaning(tufa_choice c); /* the tank is opened and the bed taken out: it has a method */

TUFA_MUST_CHECK tufa_status desk_year(desk *d, const year_ask *ask, year_answer *out);
void year_free(year_answer *a);

/* ---- what lies ahead of one heater ---- */

/* One thing that is known or assumed of a heater, said in one line. */
typedef struct known_line {
    char what[80], value[80];        /* "how much the tank holds", "50 gal (likely 40 to 65)" */
    char from[140];                  /* who said it and when, or why it is assumed */
    char correct[120];               /* what to type to correct it */
    const char *field;               /* the same as a field of desk_set; NULL: it is corrected otherwise */
    bool assumed;
} known_line;
enum { DESK_KNOWN_LINES = 32 };

typedef struct ahead_answer {
    int64_t today;
    unit_system units;
    desk_case c;
    tufa_ahead ahead;                /* arrays lie in `memory` */
    year_row plan;                   /* what the year plan says of it: the same figures */
    tufa_money_year money;
    cleaning cleaning;               /* how one goes in this tank: hours and what it leaves are in `money` */
    tufa_water_outlook water;        /* at the heater's setpoint */
    char water_ask[400];             /* the one figure to ask the water works for, as a sentence; "" for none */
    desk_hot hot;                    /* what it gives and costs now, out of the simulated tank */
    desk_hot setpoint;               /* the same at the other setting that `money` weighs */
    enough fits[TUFA_CHOICE_COUNT];  /* a new heater by its like and of each kind that is not ruled out; else kind is LEAVE */
    known_line known[DESK_KNOWN_LINES];
    size_t knowns;
    void *memory;
    desk_waters waters;
} ahead_answer;

/* `name`: what desk_find takes; on anything but OK the note says why and `near` gets the labels that come close. */
TUFA_MUST_CHECK tufa_code desk_ahead(desk *d, const char *name, ahead_answer *out, text *near, trouble_note *note);
void ahead_free(ahead_answer *a);
/* The heater with today's bed as a case of `tufa tank`, on a day of this month. */
TUFA_MUST_CHECK tufa_code desk_heater_day(desk *d, const char *name, tank_case *out, text *near, trouble_note *note);

/* The one figure to ask the water works for, over all waters of the book, as a sentence to say; nothing where nothing is
 * worth asking. */
TUFA_MUST_CHECK tufa_status desk_water_ask(desk *d, text *out);

#endif
