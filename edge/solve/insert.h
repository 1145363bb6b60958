/* A quick plan of many trips: each stop in turn goes where it costs least. */
#ifndef EDGE_SOLVE_INSERT_H
#define EDGE_SOLVE_INSERT_H

#include "edge/solve/solve.h"

/* As solve_rounds, for any number of places; nothing is proven of it: `bound` is 0. */
TUFA_MUST_CHECK tufa_status insert_rounds(const solve_rounds_in *in, solve_rounds_out *out);

#endif
