#include "edge/web/keep.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <zlib.h>

enum { SLOTS = 8192, MOST_ENTRIES = 6000, MOST_BYTES = 12 << 20, QUICK = 1 };

typedef struct kept {
    char *key, *title;
    unsigned char *packed;
    uLong packed_len, len;
} kept;

struct keep {
    pthread_mutex_t lock;
    int64_t version, day;
    kept slot[SLOTS]; /* open addressing */
    size_t entries, bytes;
};

/* FNV-1a, 64 bits (Fowler, Noll, Vo; constants from memory). Any spread of the bits would do. */
static size_t place_of(const keep *k, const char *key)
{
    uint64_t h = 14695981039346656037u;
    for (const char *s = key; *s; s++) h = (h ^ (unsigned char)*s) * 1099511628211u;
    size_t i = (size_t)(h ^ h >> 32) % SLOTS;
    while (k->slot[i].key && strcmp(k->slot[i].key, key) != 0) i = (i + 1) % SLOTS;
    return i;
}

static void clear(keep *k)
{
    for (size_t i = 0; i < SLOTS; i++) {
        if (!k->slot[i].key) continue;
        free(k->slot[i].key);
        free(k->slot[i].title);
        free(k->slot[i].packed);
        k->slot[i] = (kept){0};
    }
    k->entries = k->bytes = 0;
}

keep *keep_new(void)
{
    keep *k = calloc(1, sizeof *k);
    if (k && pthread_mutex_init(&k->lock, NULL) != 0) {
        free(k);
        return NULL;
    }
    return k;
}

void keep_free(keep *k)
{
    if (!k) return;
    clear(k);
    pthread_mutex_destroy(&k->lock);
    free(k);
}

void keep_state(keep *k, int64_t version, int64_t day)
{
    pthread_mutex_lock(&k->lock);
    if (k->version != version || k->day != day) clear(k);
    k->version = version;
    k->day = day;
    pthread_mutex_unlock(&k->lock);
}

static bool unpack(const kept *e, text *inside)
{
    char *room = malloc(e->len + 1);
    uLong n = e->len;
    bool fine = room && uncompress((Bytef *)room, &n, e->packed, e->packed_len) == Z_OK;
    if (fine) text_addn(inside, room, n);
    free(room);
    return fine;
}

bool keep_get(keep *k, const char *key, text *title, text *inside)
{
    pthread_mutex_lock(&k->lock);
    const kept *e = &k->slot[place_of(k, key)];
    bool there = e->key && unpack(e, inside);
    if (there) text_add(title, e->title);
    pthread_mutex_unlock(&k->lock);
    return there;
}

bool keep_has(keep *k, const char *key)
{
    pthread_mutex_lock(&k->lock);
    bool there = k->slot[place_of(k, key)].key != NULL;
    pthread_mutex_unlock(&k->lock);
    return there;
}

static bool pack(const text *inside, kept *e)
{
    e->len = inside->len;
    e->packed_len = compressBound(e->len);
    e->packed = malloc(e->packed_len);
    if (!e->packed || compress2(e->packed, &e->packed_len, (const Bytef *)text_str(inside), e->len, QUICK) != Z_OK) return false;
    unsigned char *less = realloc(e->packed, e->packed_len ? e->packed_len : 1);
    if (less) e->packed = less;
    return true;
}

static void put_new(keep *k, const char *key, kept *e)
{
    kept *slot = &k->slot[place_of(k, key)];
    if (slot->key || k->entries == MOST_ENTRIES || k->bytes + e->packed_len > MOST_BYTES) return;
    k->entries++;
    k->bytes += e->packed_len;
    *slot = *e;
    *e = (kept){0};
}

void keep_put(keep *k, const char *key, int64_t version, int64_t day, const char *title, const text *inside)
{
    kept e = {.key = strdup(key), .title = strdup(title)};
    if (e.key && e.title && pack(inside, &e)) {
        pthread_mutex_lock(&k->lock);
        if (k->version == version && k->day == day) put_new(k, key, &e);
        pthread_mutex_unlock(&k->lock);
    }
    free(e.key);
    free(e.title);
    free(e.packed);
}
