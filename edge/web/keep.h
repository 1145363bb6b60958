/* Pages kept as they were written, packed, until the book or the day changes. For any thread. */
#ifndef EDGE_WEB_KEEP_H
#define EDGE_WEB_KEEP_H

#include <stdint.h>

#include "edge/say/text.h"

typedef struct keep keep;

keep *keep_new(void); /* NULL without memory */
void keep_free(keep *k);
/* Forgets everything that was written for another state of the book. */
void keep_state(keep *k, int64_t version, int64_t day);
/* What was kept under `key`: title and inside appended to `title`, `inside`. */
bool keep_get(keep *k, const char *key, text *title, text *inside);
bool keep_has(keep *k, const char *key);
/* Kept only if the state is still the one that it was written for, and there is room. */
void keep_put(keep *k, const char *key, int64_t version, int64_t day, const char *title, const text *inside);

#endif
