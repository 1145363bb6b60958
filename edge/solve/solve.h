/* The general solver library (CBC and Clp, EPL) behind three questions. The core states a problem and checks the
 * answer; what comes back always says how far from the best it may still be: `bound` is proven, `total` is reached. */
#ifndef EDGE_SOLVE_SOLVE_H
#define EDGE_SOLVE_SOLVE_H

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

/* Within about `seconds` and a relative gap of `gap`. REFUSED when nothing is possible; SOLVE when time ran out first.
 * `guess`, if not NULL, is a possible choice to begin from. */
TUFA_MUST_CHECK tufa_status solve_choose(const solve_problem *p, double seconds, double gap, const double *guess,
                                         solve_answer *out);

/* Shortest round trip through up to 200 places, symmetric costs. order[0] is 0. */
TUFA_MUST_CHECK tufa_status solve_tour(int n, const double *cost, double seconds, int *order, double *total, double *bound);

/* Several round trips from place 0 that together visit every other place once, each within its times and `capacity`:
 * least total cost with any number of trips. Up to 60 places. route[k] is the trip of place k, position in it at[k]. */
TUFA_MUST_CHECK tufa_status solve_routes(int n, const double *cost, const double *travel_s, const tufa_plan_stop *stop,
                                         double capacity, double seconds, int *route, int *at, double *total,
                                         double *bound);

#endif
