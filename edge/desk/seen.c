/* Which keys a file had already, and where. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "edge/desk/import_job.h"

/* FNV-1a, 64 bits (Fowler, Noll, Vo; constants from memory). Any spread of the bits would do. */
static uint64_t hash(const char *s)
{
    uint64_t h = 14695981039346656037u;
    for (; *s; s++) h = (h ^ (unsigned char)*s) * 1099511628211u;
    return h;
}

static size_t place_of(const seen_keys *s, const char *key)
{
    size_t at = (size_t)hash(key) & (s->room - 1);
    while (s->slot[at].key && strcmp(s->slot[at].key, key) != 0) at = (at + 1) & (s->room - 1);
    return at;
}

static bool grow(seen_keys *s)
{
    seen_keys more = {.room = s->room ? s->room * 2 : 64, .n = s->n};
    more.slot = calloc(more.room, sizeof *more.slot);
    if (!more.slot) return false;
    for (size_t i = 0; i < s->room; i++)
        if (s->slot[i].key) more.slot[place_of(&more, s->slot[i].key)] = s->slot[i];
    free(s->slot);
    *s = more;
    return true;
}

size_t seen_before(seen_keys *s, const char *key, size_t line)
{
    if (s->n * 2 >= s->room && !grow(s)) return SIZE_MAX;
    size_t at = place_of(s, key);
    if (s->slot[at].key) return s->slot[at].line;
    char *copy = strdup(key);
    if (!copy) return SIZE_MAX;
    s->slot[at].key = copy;
    s->slot[at].line = line;
    s->n++;
    return 0;
}

void seen_free(seen_keys *s)
{
    for (size_t i = 0; i < s->room; i++) free(s->slot[i].key);
    free(s->slot);
    *s = (seen_keys){0};
}
