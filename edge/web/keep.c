#include "edge/web/keep.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <zlib.h>

enum { SLOTS = 16384, MOST_ENTRIES = 12000, MOST_BYTES = 30 << 20, QUICK = 1, MOST_LIKE = 40, RAW_WINDOW = -15, USUAL_MEMORY = 8 };

/* The first page of a path that was kept: the next ones of this path are packed by what they share with it. It stays as long
 * as the keep does, and its end is what zlib's window sees. */
typedef struct like {
    char *path, *inside;
    size_t path_len, len;
} like;

typedef struct kept {
    char *key, *title;
    const like *like; /* NULL: by itself */
    unsigned char *packed;
    size_t packed_len, len;
    int code;
} kept;

struct keep {
    pthread_mutex_t lock;
    int64_t version, day;
    kept slot[SLOTS]; /* open addressing */
    size_t entries, bytes;
    like like[MOST_LIKE];
    size_t likes;
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
    for (size_t i = 0; i < k->likes; i++) {
        free(k->like[i].path);
        free(k->like[i].inside);
    }
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

/* ---- packing: raw deflate (RFC 1951) by zlib ---- */

static const Bytef *end_of(const like *l, uInt *n)
{
    static const size_t WINDOW = 32768;
    *n = (uInt)(l->len < WINDOW ? l->len : WINDOW);
    return (const Bytef *)l->inside + l->len - *n;
}

static bool unpack(const kept *e, text *inside)
{
    z_stream z = {.next_in = e->packed, .avail_in = (uInt)e->packed_len};
    uInt n;
    char *room = malloc(e->len + 1);
    if (!room || inflateInit2(&z, RAW_WINDOW) != Z_OK) {
        free(room);
        return false;
    }
    z.next_out = (Bytef *)room;
    z.avail_out = (uInt)e->len;
    const Bytef *from = e->like ? end_of(e->like, &n) : NULL;
    bool fine = (!from || inflateSetDictionary(&z, from, n) == Z_OK) && inflate(&z, Z_FINISH) == Z_STREAM_END && z.total_out == e->len;
    inflateEnd(&z);
    if (fine) text_addn(inside, room, e->len);
    free(room);
    return fine;
}

static bool pack(const text *inside, kept *e)
{
    z_stream z = {.next_in = (Bytef *)(uintptr_t)text_str(inside), .avail_in = (uInt)inside->len};
    uInt n;
    if (deflateInit2(&z, QUICK, Z_DEFLATED, RAW_WINDOW, USUAL_MEMORY, Z_DEFAULT_STRATEGY) != Z_OK) return false;
    const Bytef *from = e->like ? end_of(e->like, &n) : NULL;
    size_t room = deflateBound(&z, (uLong)inside->len);
    e->len = inside->len;
    e->packed = malloc(room);
    z.next_out = e->packed;
    z.avail_out = (uInt)room;
    bool fine = e->packed && (!from || deflateSetDictionary(&z, from, n) == Z_OK) && deflate(&z, Z_FINISH) == Z_STREAM_END;
    e->packed_len = (size_t)z.total_out;
    deflateEnd(&z);
    if (!fine) return false;
    unsigned char *less = realloc(e->packed, e->packed_len ? e->packed_len : 1);
    if (less) e->packed = less;
    return true;
}

/* The page that those of this path are packed by; the first one becomes it. NULL: there is none. */
static const like *like_of(keep *k, const char *key, const text *inside)
{
    size_t n = strcspn(key, "&");
    for (size_t i = 0; i < k->likes; i++)
        if (k->like[i].path_len == n && memcmp(k->like[i].path, key, n) == 0) return &k->like[i];
    if (k->likes == MOST_LIKE) return NULL;
    like l = {.path = strndup(key, n), .inside = strdup(text_str(inside)), .path_len = n, .len = inside->len};
    if (!l.path || !l.inside) {
        free(l.path);
        free(l.inside);
        return NULL;
    }
    k->like[k->likes] = l;
    return &k->like[k->likes++];
}

/* ---- by key ---- */

bool keep_get(keep *k, const char *key, text *title, text *inside, int *code)
{
    pthread_mutex_lock(&k->lock);
    const kept *e = &k->slot[place_of(k, key)];
    bool there = e->key && unpack(e, inside);
    if (there) {
        text_add(title, e->title);
        *code = e->code;
    }
    pthread_mutex_unlock(&k->lock);
    return there;
}

bool keep_room(keep *k)
{
    pthread_mutex_lock(&k->lock);
    bool room = 4 * k->entries < 3 * MOST_ENTRIES && 4 * k->bytes < 3 * MOST_BYTES;
    pthread_mutex_unlock(&k->lock);
    return room;
}

static void put_new(keep *k, const char *key, kept *e)
{
    if (k->slot[place_of(k, key)].key || e->packed_len > MOST_BYTES) return;
    if (k->entries == MOST_ENTRIES || k->bytes + e->packed_len > MOST_BYTES) clear(k);
    k->slot[place_of(k, key)] = *e;
    k->entries++;
    k->bytes += e->packed_len;
    *e = (kept){0};
}

void keep_put(keep *k, const char *key, const keep_page *page)
{
    kept e = {.key = strdup(key), .title = strdup(page->title), .code = page->code};
    pthread_mutex_lock(&k->lock);
    e.like = like_of(k, key, page->inside);
    pthread_mutex_unlock(&k->lock);
    if (e.key && e.title && pack(page->inside, &e)) {
        pthread_mutex_lock(&k->lock);
        if (k->version == page->version && k->day == page->day) put_new(k, key, &e);
        pthread_mutex_unlock(&k->lock);
    }
    free(e.key);
    free(e.title);
    free(e.packed);
}
