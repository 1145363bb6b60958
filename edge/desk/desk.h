/* One function for each question: load from the book, compute through the core, answer one struct. Commands, pages and
 * paper call these and nothing below. */
#ifndef EDGE_DESK_DESK_H
#define EDGE_DESK_DESK_H

#include <stdbool.h>
#include <stdint.h>

#include "edge/store/store.h"

/* A book that is open, the day that counts as today, and the units to speak in. */
typedef struct desk {
    store *s;
    int64_t today;
    unit_system units;
} desk;

/* Opens the book at `path`; `write` for whatever changes it. On anything but OK there is nothing to close. */
TUFA_MUST_CHECK tufa_status desk_open(const char *path, bool write, int64_t today, desk *out);
void desk_close(desk *d);
/* Takes the settings `units` and `dates` anew, after they may have changed. */
TUFA_MUST_CHECK tufa_status desk_speak(desk *d);

/* A number that changes whenever the book has: by this program or by another. */
TUFA_MUST_CHECK tufa_status desk_version(desk *d, int64_t *version);

#endif
