/* One problem = an analysis speciated at its own temperature, heated, pH and calcite index there, and the potential. The
 * waters are random tap waters; every one is different, and so is every temperature. */
#include "tools/bench.h"

#include <math.h>
#include <stdlib.h>

#include "core/base/units.h"
#include "tufa.h"

enum { WATERS = 1024, REPEATS = 40 }; /* short blocks: the best one was not disturbed by a neighbor */
enum { KEY = 20, STREAM = 1 };

static double uniform(uint64_t i, uint64_t k, double lo, double hi)
{
    return lo + (hi - lo) * tufa_uniform(KEY, STREAM, 16 * i + k);
}

static tufa_analysis random_water(uint64_t i)
{
    tufa_analysis a = {.T_K = K_from_C(uniform(i, 0, 6.0, 25.0)), .ph = uniform(i, 1, 6.9, 8.4)};
    a.ca_mol_kgw = 1e-3 * exp(uniform(i, 2, log(0.3), log(4.0)));
    a.mg_mol_kgw = a.ca_mol_kgw * uniform(i, 3, 0.1, 0.8);
    a.alkalinity_eq_kgw = 2.0 * (a.ca_mol_kgw + a.mg_mol_kgw) * uniform(i, 4, 0.3, 1.0);
    a.so4_mol_kgw = 1e-3 * exp(uniform(i, 5, log(0.05), log(3.0)));
    a.cl_mol_kgw = 1e-3 * exp(uniform(i, 6, log(0.1), log(4.0)));
    a.na_mol_kgw = fmax(1e-4, a.alkalinity_eq_kgw + 2.0 * a.so4_mol_kgw + a.cl_mol_kgw - 2.0 * (a.ca_mol_kgw + a.mg_mol_kgw));
    a.k_mol_kgw = 5e-5;
    a.no3_mol_kgw = 5e-5;
    return a;
}

typedef struct load {
    tufa_analysis *a;
    double *T_K;
    tufa_water_brief *out;
} load;

static load make(void)
{
    load l = {malloc(WATERS * sizeof *l.a), malloc(WATERS * sizeof *l.T_K), malloc(WATERS * sizeof *l.out)};
    for (uint64_t i = 0; l.a && l.T_K && i < WATERS; i++) {
        l.a[i] = random_water(i);
        l.T_K[i] = K_from_C(uniform(i, 7, 40.0, 90.0));
    }
    return l;
}

static double measure(bool batch)
{
    load l = make();
    double best = -1.0;
    for (int r = 0; l.out && l.a && l.T_K && r < REPEATS; r++) {
        double start = bench_now_s();
        size_t bad;
        tufa_status st = {.code = TUFA_OK};
        if (batch) st = tufa_water_batch(WATERS, l.a, TUFA_CONSTANTS_2025, l.T_K, l.out, &bad);
        for (size_t i = 0; !batch && i < WATERS && st.code == TUFA_OK; i++)
            st = tufa_water_brief_at(&l.a[i], TUFA_CONSTANTS_2025, l.T_K[i], &l.out[i]);
        double rate = WATERS / (bench_now_s() - start);
        if (st.code != TUFA_OK) break;
        best = fmax(best, rate);
    }
    free(l.a);
    free(l.T_K);
    free(l.out);
    return best;
}

static double single(void) { return measure(false); }
static double batch(void) { return measure(true); }

const bench_row bench_water[] = {{"water_single_per_s", single}, {"water_batch_per_s", batch}, {0}};
