/* Work on every processor: the same function for many indices, each done once. */
#ifndef EDGE_POOL_POOL_H
#define EDGE_POOL_POOL_H

#include <stddef.h>

enum { POOL_MOST = 64 };

/* `worker` tells whose memory to use: 0 to workers - 1. */
typedef void (*pool_fn)(void *ctx, size_t worker, size_t index);

size_t pool_processors(void); /* 1 to POOL_MOST */

/* fn(ctx, worker, i) for every i below n, in any order; returns when all are done. Worker 0 is the calling thread; where
 * no more threads can be had it does the rest. */
void pool_run(size_t workers, size_t n, pool_fn fn, void *ctx);

#endif
