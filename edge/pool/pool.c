#include "edge/pool/pool.h"

#include <pthread.h>
#include <stdatomic.h>
#include <unistd.h>

typedef struct job {
    pool_fn fn;
    void *ctx;
    size_t n;
    atomic_size_t next;
} job;

typedef struct hand {
    job *j;
    size_t worker;
    pthread_t thread;
} hand;

size_t pool_processors(void)
{
    long n = sysconf(_SC_NPROCESSORS_ONLN);
    return n < 1 ? 1 : n > POOL_MOST ? POOL_MOST : (size_t)n;
}

static void *work(void *arg)
{
    hand *h = arg;
    for (size_t i; (i = atomic_fetch_add(&h->j->next, 1)) < h->j->n;) h->j->fn(h->j->ctx, h->worker, i);
    return NULL;
}

void pool_run(size_t workers, size_t n, pool_fn fn, void *ctx)
{
    job j = {.fn = fn, .ctx = ctx, .n = n};
    hand hands[POOL_MOST];
    size_t started = 0;
    if (workers > POOL_MOST) workers = POOL_MOST;
    if (workers > n) workers = n;
    for (size_t i = 1; i < workers; i++) {
        hands[started] = (hand){.j = &j, .worker = i};
        if (pthread_create(&hands[started].thread, NULL, work, &hands[started]) != 0) break;
        started++;
    }
    work(&(hand){.j = &j});
    for (size_t i = 0; i < started; i++) pthread_join(hands[i].thread, NULL);
}
