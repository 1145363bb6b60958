#include "tools/bench.h"

#include "tufa.h"

static double normals_per_s(void)
{
    enum { N = 2000000 };
    volatile double sink = 0.0;
    double start = bench_now_s(), sum = 0.0;
    for (uint64_t i = 0; i < N; i++) sum += tufa_normal(1, 2, i);
    sink = sum;
    (void)sink;
    return N / (bench_now_s() - start);
}

const bench_row bench_base[] = {{"normal_draws_per_s", normals_per_s}, {0}};
