/* tufa-bench [KEY ...] [--json]: prints the figures named, or all of them, as one JSON object. */
#include "tools/bench.h"

#include <stdio.h>
#include <string.h>
#include <time.h>

static const bench_row *const LISTS[] = {
    bench_base, bench_water, bench_tank,
    bench_ahead, bench_year,
    bench_bill,
    bench_clean, bench_fault,
};

double bench_now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static bool wanted(const char *key, int argc, char **argv)
{
    bool any = false;
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--json") == 0) continue;
        any = true;
        if (strcmp(argv[i], key) == 0) return true;
    }
    return !any;
}

int main(int argc, char **argv)
{
    int shown = 0;
    printf("{");
    for (size_t i = 0; i < sizeof LISTS / sizeof LISTS[0]; i++)
        for (const bench_row *row = LISTS[i]; row->key; row++) {
            if (!wanted(row->key, argc, argv)) continue;
            printf("%s\"%s\": %.6g", shown++ ? ", " : "", row->key, row->measure());
            fflush(stdout);
        }
    printf("}\n");
    return shown ? 0 : 2;
}
