/* Trips found so far, each once, and the search for those that pay. */
#ifndef EDGE_SOLVE_TRIPS_H
#define EDGE_SOLVE_TRIPS_H

#include "edge/solve/reach.h"

typedef struct trips {
    const solve_rounds_in *in;
    int n, room, room_stops, slots;
    int *start, *stop;  /* stops of trip t in their order: stop[start[t]] .. stop[start[t + 1] - 1] */
    double *way;        /* cost of the way and of setting out */
    int *slot;          /* trip + 1 by the hash of its stops; 0 free */
} trips;

bool trips_begin(trips *t, const solve_rounds_in *in);
void trips_free(trips *t);
/* Number of the trip with these stops in this order, new or not; -1: memory is out. */
int trips_add(trips *t, int n, const int *stop);
/* The trips of a plan. */
bool trips_add_plan(trips *t, const solve_rounds_out *plan, int *first);
/* Does the trip keep times and load? */
bool trip_keeps(const solve_rounds_in *in, int n, const int *stop);
/* Cost in a period; INFINITY where one of its stops may not be visited then. */
double trips_cost(const trips *t, int trip, int period);

/* Looks for the trip that gains most: what its stops are worth, less its cost. Ways are drawn out in the order of what they may
 * still gain, so that the first one that is home is the best. */
typedef struct trip_hunt {
    const reach *reach;
    trips *found;
    const double *worth; /* as reach_fill had them */
    double more_than;    /* gains up to this are of no interest */
    int most, steps;     /* trips wanted; ways drawn out at most */
    double until_s;
    struct hunt_way *way;
    int ways, room, *heap, heaped, *like;
    double limit;        /* answer: no trip gains more than this; `more_than` when there is none of interest */
    int got;             /* answer: trips met, among those wanted */
    bool ended;          /* answer: `most` or all were found before steps and time ran out */
    bool failed;         /* memory ran out */
} trip_hunt;

void trips_hunt(trip_hunt *h);
void trips_hunt_free(trip_hunt *h);

#endif
