/* Every index is done once, whatever the number of workers, and two workers never use the same memory. */
#include "edge/pool/pool.h"
#include "tests/check.h"

enum { N = 5000, WORKERS = 5 };
typedef struct tally {
    unsigned char done[N];
    size_t by[POOL_MOST];
} tally;

static void note(void *ctx, size_t worker, size_t i)
{
    tally *t = ctx;
    t->done[i]++;
    t->by[worker]++;
}

static void every_index_is_done_once(void **state)
{
    (void)state;
    static const size_t SIZES[] = {0, 1, 2, 63, N};
    for (size_t workers = 0; workers <= WORKERS; workers++)
        for (size_t k = 0; k < sizeof SIZES / sizeof SIZES[0]; k++) {
            tally t = {0};
            size_t n = SIZES[k], sum = 0;
            pool_run(workers, n, note, &t);
            for (size_t i = 0; i < N; i++) CHECK_TRUE(t.done[i] == (i < n), i);
            for (size_t w = 0; w < POOL_MOST; w++) sum += t.by[w];
            CHECK_TRUE(sum == n, n);
        }
}

static void there_is_a_processor(void **state)
{
    (void)state;
    CHECK_TRUE(pool_processors() >= 1 && pool_processors() <= POOL_MOST, 0);
}

RUN(cmocka_unit_test(every_index_is_done_once), cmocka_unit_test(there_is_a_processor))
