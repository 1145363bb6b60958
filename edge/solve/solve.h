/* The general solver library (CBC and Clp, EPL) behind three questions. The core states a problem and checks the
 * answer; what comes back always says how far from the best it may still be: `bound` is proven, `total` is reached. */
#ifndef EDGE_SOLVE_SOLVE_H
#define EDGE_SOLVE_SOLVE_H

#include <stdbool.h>

#include "tufa/base.h"
#include "tufa/plan.h"

/* Choose columns so that every row's sum lies within its bounds, at least cost: a linear or 0-1 problem.
 * Column j touches rows index[start[j]] .. index[start[j + 1] - 1] with the coefficients of `value`. */
typedef struct solve_problem {
    int rows, columns;
    const int *start, *index;
    const double *value, *cost, *column_lo, *column_hi, *row_lo, *row_hi;
    const char *is_whole; /* columns that must be whole; NULL: none */
} solve_problem;

typedef struct solve_answer {
    double total, bound; /* equal when the best is proven (to the solver's tolerance of 1e-6) */
    double *x;           /* room for `columns`, the caller's */
    double *price;       /* of the rows, room for `rows`, for problems without whole columns; NULL: not wanted */
} solve_answer;

/* Seconds here and below are of work, not of the clock on the wall. Within about `seconds` and a relative gap of `gap`. REFUSED when nothing is possible; SOLVE when time ran out first.
 * `guess`, if not NULL, is a possible choice to begin from. */
TUFA_MUST_CHECK tufa_status solve_choose(const solve_problem *p, double seconds, double gap, const double *guess,
                                         solve_answer *out);

/* Shortest round trip through up to 200 places, symmetric costs. order[0] is 0. */
TUFA_MUST_CHECK tufa_status solve_tour(int n, const double *cost, double seconds, int *order, double *total, double *bound);

/* Which stop goes in which trip of which period (a week, say), so that all together costs least. */
typedef struct solve_rounds_in {
    int n;                        /* places; 0 is where every trip begins and ends; at most SOLVE_MOST_PLACES */
    const double *cost, *travel_s; /* n x n: what is counted, what is driven */
    const tufa_plan_stop *stop;   /* n: times within the day; stop[0] says when the day begins and must end */
    double capacity;              /* of the loads of one trip */
    double trip_cost;             /* of every trip besides its way */
    int periods;
    const double *wait;           /* n x periods: what it costs to do a stop in a period; INFINITY: not then; row 0 unused */
    const int *most;              /* trips that a period has room for */
} solve_rounds_in;

enum { SOLVE_MOST_PLACES = 60 };

/* For each stop its period (-1: it finds no room), its trip (numbered from 0 over all periods) and its position in it. */
typedef struct solve_rounds_out {
    int *period, *trip, *at;      /* room for n each, the caller's */
    int trips, unplaced;
    double total, bound;          /* without the stops that found no room; bound: no plan can cost less */
} solve_rounds_out;

/* Solved at once, with all trips that matter: up to SOLVE_MOST_PLACES places. When time runs out the best found so far. */
TUFA_MUST_CHECK tufa_status solve_rounds(const solve_rounds_in *in, double seconds, solve_rounds_out *out);

typedef struct solve_watch {
    bool (*cancelled)(void *ctx); /* NULL: never */
    void *ctx;
} solve_watch;

/* As solve_rounds for any number of places: few are solved at once; many by a quick plan whose neighbourhoods are solved anew
 * until nothing is won or time is out. REFUSED when cancelled. `watch` NULL: nobody watches. */
TUFA_MUST_CHECK tufa_status solve_plan(const solve_rounds_in *in, double seconds, const solve_watch *watch, solve_rounds_out *out);

/* What no plan for the stops that have a trip (NULL: for all) can cost less than, quickly and by a wide margin: for any number of
 * places. 0 when time ran out. `price` (room n, or NULL): what each stop adds to it; nothing is written when time ran out. */
TUFA_MUST_CHECK tufa_status solve_rounds_bound(const solve_rounds_in *in, const int *trip, double seconds, double *bound, double *price);

#endif
