#include "tufa/base.h"

#include <string.h>

enum { ALIGN = 64 };

void *tufa_arena_take(tufa_arena *a, size_t n, size_t size)
{
    if (size != 0 && n > (SIZE_MAX - ALIGN) / size) return NULL;
    uintptr_t at = (uintptr_t)a->base + a->used;
    size_t pad = (size_t)((ALIGN - at % ALIGN) % ALIGN);
    if (pad > a->size - a->used || n * size > a->size - a->used - pad) return NULL;
    unsigned char *p = a->base + a->used + pad;
    a->used += pad + n * size;
    if (a->used > a->peak) a->peak = a->used;
    memset(p, 0, n * size);
    return p;
}
