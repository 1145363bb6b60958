/* Which trips to make, as a linear problem over all trips of all periods: those that pay are found as the prices of its rows ask
 * for them (Dantzig and Wolfe 1960), at prices kept near those of the best bound so far (Wentges 1997). At any prices of the
 * stops, what they add up to less what the best trip of each period gains is a proven bound (Lasdon 1970). */
#ifndef EDGE_SOLVE_MASTER_H
#define EDGE_SOLVE_MASTER_H

#include "edge/solve/trips.h"

typedef struct master {
    const solve_rounds_in *in;
    reach reach;
    trips trips;
    trip_hunt hunt;
    void *lp;
    int columns, room, *trip, *period; /* trip -1: the stop `period` is left out */
    double left_out;                   /* what that costs: more than any plan */
    double *worth, *price, *day;       /* scratch; prices of stops (n) and periods of the linear problem */
    double *centre, *gain;             /* prices of the best bound, and what the best trip of each period gains at them */
    double *try_gain, *wait;           /* scratch, by period */
    bool *costlier;                    /* period p allows and spares no stop more than p - 1 does */
    double total, bound;               /* of the linear problem; proven. bound -INFINITY: nothing is */
} master;

/* With the trips of a plan to begin with. */
TUFA_MUST_CHECK tufa_status master_begin(master *m, const solve_rounds_in *in, const solve_rounds_out *plan);
void master_free(master *m);
/* Until no trip pays or time is out; REFUSED when cancelled. */
TUFA_MUST_CHECK tufa_status master_run(master *m, double until_s, const solve_watch *watch);
/* The best plan of the trips found so far, if it costs less than `out` has in total; else `out` stays. */
TUFA_MUST_CHECK tufa_status master_choose(master *m, double until_s, solve_rounds_out *out);
/* Settles on one trip after another, solving for the rest in between; the plan that gives, if it costs less. */
TUFA_MUST_CHECK tufa_status master_dive(master *m, double until_s, solve_rounds_out *out);
/* Lists every trip that a better plan than `out` can have, and chooses among them: then nothing is open any more. */
TUFA_MUST_CHECK tufa_status master_prove(master *m, double until_s, solve_rounds_out *out);

#endif
