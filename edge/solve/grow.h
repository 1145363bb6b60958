/* A problem that gains rows or columns while it is solved. Owned by whoever made it; grow_free at the end. */
#ifndef EDGE_SOLVE_GROW_H
#define EDGE_SOLVE_GROW_H

#include <stdbool.h>

#include "edge/solve/solve.h"

typedef struct grow {
    solve_problem p;
    int *start, *index;
    double *value, *cost, *lo, *hi, *row_lo, *row_hi;
    char *whole;
    int room_columns, room_entries;
    double *x, *price; /* of the last answer */
} grow;

/* `rows` rows with their bounds; columns come with grow_column. False when memory is out. */
bool grow_begin(grow *g, int rows, const double *row_lo, const double *row_hi);
bool grow_column(grow *g, double cost, double lo, double hi, bool whole, int n, const int *rows, const double *values);
/* Solves with or without the demand that columns be whole. */
TUFA_MUST_CHECK tufa_status grow_solve(grow *g, bool whole, double seconds, double *total, double *bound);
void grow_free(grow *g);

/* Seconds of work of this thread; limits of time are counted in them, as the solver library counts its own. */
double solve_now_s(void);

#endif
