/* What the whole book teaches: the heaters on one water and fuel each other, and the ends in it how long things last. Worked out when it
 * is first asked for, and kept with the open book until that changes. */
#ifndef EDGE_DESK_LEARNED_H
#define EDGE_DESK_LEARNED_H

#include "edge/desk/case.h"
#include "edge/desk/desk.h"

/* Prior from its water's others, findings to be set aside, lives and rates; called by case_load. */
TUFA_MUST_CHECK tufa_status learned_fill(store *s, desk_case *c);

/* From hold to release, however often the book changes, whatever was learned stays in memory: a plan that takes seconds points to it.
 * Released as often as held. */
TUFA_MUST_CHECK tufa_status learned_hold(store *s);
void learned_release(store *s);

/* ---- heaters on one water ---- */

enum { LEARN_DRAWS = 64, LEARN_MOST = 240 }; /* of more heaters those with the newest findings: the mean is then known to 3 % */

typedef struct learned_member {
    int64_t heater;
    uint64_t aside;          /* its findings that are set aside, by place */
    size_t used;             /* findings that count */
    tufa_value own;          /* eps of this heater, its own findings and the others' */
    tufa_eps prior;          /* from the others alone */
} learned_member;

typedef struct learned_group {
    int64_t water;
    tufa_fuel fuel;          /* ELECTRIC, or GAS for gas and propane */
    size_t n;                /* heaters with findings */
    learned_member *member;
    tufa_value common, between; /* of the water's middle; of a heater there of which nothing is known */
    tufa_value usual;        /* our prior of the fuel */
    tufa_eps fresh;
} learned_group;

/* The heaters of one water and fuel; with none of them read, n is 0 and everything is the prior. Stays until the book changes. */
TUFA_MUST_CHECK tufa_status learned_group_of(store *s, int64_t today, int64_t water, tufa_fuel fuel, const learned_group **out);

/* ---- what a bed costs, over all gas heaters of the book ---- */

typedef struct learned_loss {
    int64_t heater;
    size_t used;             /* heat-up times that count */
    tufa_value own;          /* share of the fuel a kg, its own times and the others' */
    tufa_loss prior;         /* from the others alone */
} learned_loss;

typedef struct learned_losses {
    size_t n;                /* gas heaters with heat-up times */
    learned_loss *member;
    tufa_value usual, common, between; /* published; of the middle; of a heater of which nothing is known */
    tufa_loss fresh;
} learned_losses;

/* With no time from cold to the burner's stop in the book n is 0 and everything is the prior. Stays until the book changes. */
TUFA_MUST_CHECK tufa_status learned_losses_of(store *s, int64_t today, const learned_losses **out);

/* ---- lives ---- */

enum { LIFE_ELECTRIC, LIFE_BURNER, LIFE_CONTROL_ELECTRIC, LIFE_CONTROL_BURNER, LIFE_KINDS };

typedef struct learned_life {
    size_t lives, failed, sound;     /* counted: seen for some time, ended by failing, taken out while they worked */
    size_t silent, before, ageless;  /* taken out without a word why; ended before the records begin; of no known age */
    bool counted;                    /* own records say something: an end is written down, or since when they are whole */
    tufa_life prior, life;
    tufa_value bed_on_life;          /* of tanks: the danger with the bed in trouble over that without; NONE: too few leaks to say */
    const tufa_life_grid *grid;      /* NULL where nothing is counted */
    tufa_limit_step *curve;
    size_t steps;
} learned_life;

typedef struct learned_lives {
    int64_t since_day;               /* from which the records are whole; 0: each heater from the day it came into the book */
    learned_life kind[LIFE_KINDS];
    size_t elements_failed;
    double element_years, element_effective_years; /* years in service; times what scale does to the rate */
    bool elements_counted;
    tufa_value element_year;         /* failures a year and element under the usual scale, of the whole book */
} learned_lives;

const char *learned_life_words(int kind); /* "electric tanks" */
TUFA_MUST_CHECK tufa_status learned_lives_of(store *s, int64_t today, const learned_lives **out);

#endif
