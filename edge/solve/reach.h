/* What a trip may still gain on its way home: for every stop that it has just left and every time that is left, the most that
 * stops further on can bring, less the ways to them and home. Too high rather than too low: time is counted in whole slots, loads
 * are left out, and a stop may come again later on, though not at once after the next one (Christofides, Mingozzi and Toth 1981). */
#ifndef EDGE_SOLVE_REACH_H
#define EDGE_SOLVE_REACH_H

#include "edge/solve/solve.h"

typedef struct reach {
    const solve_rounds_in *in;
    int n, block;                 /* block: slots of the shortest step from one stop through another */
    double slot_s;
    bool sure;                    /* no step is shorter than a slot; else what may be gained is not always enough */
    int *step, *home, *due, *late; /* n x n and n each, in slots */
    double *best, *other, *next;  /* n x REACH_SLOTS + 1: the most, to which stop, and the most when that one is not to be the next */
} reach;

enum { REACH_SLOTS = 240 };

bool reach_begin(reach *r, const solve_rounds_in *in); /* false: memory is out */
void reach_free(reach *r);
/* worth[k]: what stop k brings, less its waiting; -INFINITY: not to be visited. */
void reach_fill(reach *r, const double *worth);
/* After stop k with `left_s` until the day's end, `from` being the stop before it (0: home). */
double reach_at(const reach *r, int k, int from, double left_s);

#endif
