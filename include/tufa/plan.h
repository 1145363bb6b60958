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
    double entry_usd;        /* of coming while somebody lives there: notice, hours without hot water */
    int64_t empty_from, empty_to; /* nobody lives there: no notice, no entry_usd; empty_to < empty_from: always lived in */
} tufa_plan_visit;

typedef struct tufa_plan_terms {
    int64_t first_day;       /* of the plan */
    int days;                /* that it reaches; 1 to 3660 */
    unsigned weekdays;       /* worked: bit 0 Monday to bit 6 Sunday */
    double day_s;            /* from leaving to being back */
    int crews;               /* rounds that a day has room for */
} tufa_plan_terms;

/* May the visit be on that day: after its notice, or while nobody lives there, and not after it is due? 1 or 0. */
int tufa_plan_allows(const tufa_plan_visit *v, int64_t day);

/* The working days of the plan, in order. */
TUFA_MUST_CHECK tufa_status tufa_plan_days(const tufa_plan_terms *terms, size_t room, int64_t *day, size_t *days);

/* For solve: what each visit costs on each of these days by waiting and entry (INFINITY: not then), n x days by rows. RANGE
 * for a window without any of the days; its index in *bad. */
TUFA_MUST_CHECK tufa_status tufa_plan_wait(size_t n, const tufa_plan_visit *visit, const tufa_plan_terms *terms, size_t days,
                                           const int64_t *day, double *wait, size_t *bad);

/* Does a plan hold: windows, working days, crews, hours of each round driven in the order `at` (0, 1, ..)? round -1: the visit
 * is in none. `travel_s` m x m. */
TUFA_MUST_CHECK tufa_status tufa_plan_check(size_t n, const tufa_plan_visit *visit, const tufa_plan_terms *terms, size_t m,
                                            const double *travel_s, const int *round, const int *at, const int64_t *day);

/* ---- what to take along, what to keep in hand ---- */

/* Of n jobs that each need one piece with these odds, independent of one another: how many pieces are needed on average, and the
 * fewest that suffice with probability `enough`. Exact (the distribution is built up job by job). Scratch: n + 1 doubles. */
typedef struct tufa_plan_count {
    double mean, short_chance; /* chance that `carry` do not suffice */
    size_t carry;
} tufa_plan_count;
TUFA_MUST_CHECK tufa_status tufa_plan_need(size_t n, const double *odds, double enough, tufa_arena *scratch, tufa_plan_count *out);

/* Something that may happen once in the year, and what it costs then. Risks of one thing stand side by side and compete: each comes by
 * an even hazard, and what would come after one that ends the thing does not come. */
typedef struct tufa_plan_risk {
    double chance;                     /* within the year, were it alone; 0 to 1 */
    tufa_value usd;
    size_t thing;
    int ends;
} tufa_plan_risk;
typedef struct tufa_plan_money {
    double mean_usd, p50_usd, p90_usd; /* the last: enough in nine years of ten */
} tufa_plan_money;
/* Sum of what happens, from `draws` years of chance (10 to 1e6); the same for the same key. Error of the mean: its spread
 * over the square root of draws. */
TUFA_MUST_CHECK tufa_status tufa_plan_reserve(size_t n, const tufa_plan_risk *risk, size_t draws, uint64_t key,
                                              tufa_arena *scratch, tufa_plan_money *out);
size_t tufa_plan_reserve_bytes(size_t draws);

#ifdef __cplusplus
}
#endif
#endif
