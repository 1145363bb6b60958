#include "tools/bench.h"

#include <stdlib.h>

#include "tufa.h"

/* All methods for one heater with 500 draws. */
static double clean_ms(void)
{
    enum { DRAWS = 500, TIMES = 40 };
    tufa_clean_case c;
    tufa_clean_answer a;
    tufa_clean_case_default(TUFA_ELECTRIC, 8.0, &c);
    c.plate_read = c.relief_works = c.top_open = TUFA_YES; /* nothing is refused, everything is computed */
    c.acid_m3 = (tufa_value){0.1, 0.1, 0.1, TUFA_BASIS_GIVEN};
    tufa_arena scratch = {.size = tufa_clean_scratch_bytes(DRAWS)};
    scratch.base = malloc(scratch.size);
    if (!scratch.base) return -1.0;
    double start = bench_now_s();
    int good = 1;
    for (uint64_t i = 0; i < TIMES; i++) good &= tufa_clean_compare(&c, i, DRAWS, &scratch, &a).code == TUFA_OK;
    double ms = 1e3 * (bench_now_s() - start) / TIMES;
    free(scratch.base);
    return good ? ms : -1.0;
}

const bench_row bench_clean[] = {{"clean_ms", clean_ms}, {0}};
