/* Speed and memory, measured and printed as JSON; never a test. */
#ifndef TOOLS_BENCH_H
#define TOOLS_BENCH_H

#include <stdbool.h>

/* One figure: `measure` answers it, or a negative number where it cannot be measured here. */
typedef struct bench_row {
    const char *key; /* with its unit: water_single_per_s, ahead_ms */
    double (*measure)(void);
} bench_row;

/* Each stage's figures, ended by a row without key. */
extern const bench_row bench_tank[], bench_base[], bench_water[], bench_ahead[], bench_year[];
extern const bench_row bench_bill[];
extern const bench_row bench_clean[];
extern const bench_row bench_fault[];

double bench_now_s(void); /* monotonic */

#endif
