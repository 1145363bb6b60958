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

/* ---- the year's rounds ---- */

/* Work at one place: how long, when it may be and must be done, what a day of waiting costs. Days since 1970-01-01. */
typedef struct tufa_plan_visit {
    int place;               /* row of the travel matrix; 0 is where rounds begin */
    double work_s;
    int64_t earliest_day;    /* notice given and access agreed: not before */
    int64_t latest_day;      /* due */
    double wait_usd_day;
} tufa_plan_visit;

typedef struct tufa_plan_terms {
    int64_t first_day;       /* of the plan */
    int weeks;               /* Monday to Sunday; the first one holds first_day; 1 to 400 */
    unsigned weekdays;       /* worked: bit 0 Monday to bit 6 Sunday */
    double day_s;            /* from leaving to being back */
    int crews;
    double trip_usd;         /* of a round besides driving and work */
    double drive_usd_s;
} tufa_plan_terms;

/* For solve: what each visit costs in each week (INFINITY: not then), `wait` n x weeks by rows, and how many rounds a week
 * has room for. A week counts for a visit when every working day of it lies in the visit's window; where no week does, those
 * weeks count that hold at least one such day. RANGE for a window without any working day in the plan; its index in *bad. */
TUFA_MUST_CHECK tufa_status tufa_plan_weeks(size_t n, const tufa_plan_visit *visit, const tufa_plan_terms *terms,
                                            double *wait, int *most, size_t *bad);

/* From week and round of each visit to a day for each round: within every visit's window, on working days, no more rounds
 * on a day than there are crews; early rounds first. `day` n, -1 for a visit without a round. A round whose visits share no
 * free day is answered as REFUSED with its number in `got`. */
TUFA_MUST_CHECK tufa_status tufa_plan_days(size_t n, const tufa_plan_visit *visit, const tufa_plan_terms *terms,
                                           const int *week, const int *round, int64_t *day);

/* Does a plan hold: windows, working days, crews, hours of each round driven in the order `at`? `travel_s` m x m. */
TUFA_MUST_CHECK tufa_status tufa_plan_check(size_t n, const tufa_plan_visit *visit, const tufa_plan_terms *terms, size_t m,
                                            const double *travel_s, const int *round, const int *at, const int64_t *day);

/* Parts visits that are too many to be solved at once into areas of at most `most` each, near ones together: area[i] from 0;
 * answers the number of areas. Greedy: the visit farthest from home begins an area and takes its nearest until it is full. */
size_t tufa_plan_areas(size_t n, const tufa_plan_visit *visit, size_t m, const double *travel_s, size_t most, int *area);

#ifdef __cplusplus
}
#endif
#endif
