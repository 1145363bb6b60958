/* Pages kept as they were written, packed, until the book or the day changes. For any thread. */
#ifndef EDGE_WEB_KEEP_H
#define EDGE_WEB_KEEP_H

#include <stdint.h>

#include "edge/say/text.h"

typedef struct keep keep;

/* A page as it was written: the state of the book and the day that it was written for, and its HTTP code. */
typedef struct keep_page {
    int64_t version, day;
    int code;
    const char *title;
    const text *inside;
} keep_page;

keep *keep_new(void); /* NULL without memory */
void keep_free(keep *k);
/* Forgets everything that was written for another state of the book. */
void keep_state(keep *k, int64_t version, int64_t day);
/* What was kept under `key`: title and inside appended to `title`, `inside`. */
bool keep_get(keep *k, const char *key, text *title, text *inside, int *code);
/* Kept only if the state is still the one that it was written for. Where there is no room the others make it. */
void keep_put(keep *k, const char *key, const keep_page *page);
/* Whether there is room to write pages before they are asked for: a quarter is left to those that are. */
bool keep_room(keep *k);

#endif
