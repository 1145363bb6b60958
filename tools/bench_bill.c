/* A month of one-minute readings: followed reading by reading, its days and its change asked for. */
#include "tools/bench.h"

#include <math.h>
#include <stdlib.h>

#include "tools/bill_houses.h"

static double month_of_minutes(void)
{
    enum { MINUTES = 43200 };
    void *memory = malloc(tufa_bill_stream_bytes());
    size_t bytes = tufa_bill_bytes(TUFA_BILL_MAX_PERIODS), n = 0;
    tufa_arena scratch = {.base = malloc(bytes), .size = bytes};
    tufa_bill_stream *s = NULL;
    tufa_bill_interval_result r;
    tufa_bill_period p[100];
    tufa_bill_result answer;
    double start = bench_now_s();
    bool ok = memory && scratch.base && tufa_bill_interval_start(memory, tufa_bill_stream_bytes(), NULL, &s).code == TUFA_OK;
    for (uint64_t i = 0; i < MINUTES && ok; i++) {
        double heater = i % 180 < 25 ? 4500.0 : 0.0, W = 200.0 + (i % 50 < 18 ? 140.0 : 0.0) + heater + (double)(i % 17);
        ok = tufa_bill_interval_add(s, 1.6e9 + 60.0 * (double)i, 60.0, 60.0 * W).code == TUFA_OK;
    }
    ok = ok && tufa_bill_interval_finish(s, &r).code == TUFA_OK && tufa_bill_interval_periods(s, 0, 0, 100, p, &n).code == TUFA_OK;
    ok = ok && tufa_bill_read(n, p, 0, 0.0, NULL, NULL, &scratch, &answer).code == TUFA_OK;
    double took = bench_now_s() - start;
    free(scratch.base);
    free(memory);
    return ok ? took : -1.0;
}

static double two_years_of_bills(void)
{
    enum { RUNS = 50 };
    size_t bytes = tufa_bill_bytes(24);
    tufa_arena scratch = {.base = malloc(bytes), .size = bytes};
    tufa_bill_result answer;
    double took = 0.0;
    for (uint64_t i = 0; i < RUNS && scratch.base; i++) {
        house h = {.key = i, .months = 24, .noise_share = 0.05, .kind = i % 2 ? TUFA_BILL_STEP : TUFA_BILL_NONE, .size = 4.0, .at = 0.5, .until = 1.0};
        house_fill(&h);
        double start = bench_now_s();
        if (tufa_bill_read(24, h.p, 0, 0.0, NULL, NULL, &scratch, &answer).code != TUFA_OK) return -1.0;
        took += bench_now_s() - start;
    }
    free(scratch.base);
    return 1e3 * took / RUNS;
}

const bench_row bench_bill[] = {{"bill_month_1min_s", month_of_minutes}, {"bill_two_years_ms", two_years_of_bills}, {0}};
