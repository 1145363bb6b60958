/* plan: which visits go in which round, and in what order the stops of a day are driven. Larger problems are solved in
 * edge/solve by a general solver library; the core states the problem and checks the answer. */
#ifndef TUFA_PLAN_H
#define TUFA_PLAN_H

#include "tufa/base.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Stops of one day besides the place where it begins and ends. */
enum { TUFA_PLAN_MAX_STOPS = 16 };

/* Shortest round trip from place 0 through the others and back. `cost` is n x n by rows, n from 1 to
 * TUFA_PLAN_MAX_STOPS + 1, no entry negative; it need not be symmetric. order[0] is 0. Exact (dynamic programming
 * over sets of stops: Held and Karp 1962). `scratch`: tufa_plan_tour_bytes(n). */
TUFA_MUST_CHECK tufa_status tufa_plan_tour(size_t n, const double *cost, tufa_arena *scratch, int *order, double *total);
size_t tufa_plan_tour_bytes(size_t n);

/* A place to be visited: work there begins within [open, close]; who comes early waits. Times from the day's start. */
typedef struct tufa_plan_stop {
    double open_s, close_s, service_s;
    double load; /* of what the van carries; 0 where it does not matter */
} tufa_plan_stop;

/* The same with windows: cheapest order in which every stop is begun in time and the way ends at place 0 before its
 * close. `cost` is what is counted, `travel_s` what is driven (they may be the same). Exact, by keeping for each set of
 * stops and last stop every pair of cost and time that no other beats in both. REFUSED when no order keeps the times;
 * MEMORY when `scratch` is too small. */
TUFA_MUST_CHECK tufa_status tufa_plan_tour_windows(size_t n, const double *cost, const double *travel_s,
                                                   const tufa_plan_stop *stop, tufa_arena *scratch, int *order,
                                                   double *total);

/* Does this way from place 0 through `m` stops and back keep all times and the load? Its cost, and when it ends. */
TUFA_MUST_CHECK tufa_status tufa_plan_route_check(size_t n, const double *cost, const double *travel_s,
                                                  const tufa_plan_stop *stop, double capacity, size_t m,
                                                  const int *order, double *total, double *end_s);

#ifdef __cplusplus
}
#endif
#endif
