/* A new file appears whole or not at all: written beside its place, linked there when it is complete. */
#ifndef EDGE_STORE_PLACE_H
#define EDGE_STORE_PLACE_H

#include <stdbool.h>

#include "tufa/base.h"

enum { PLACE_LONGEST = 4096 };

/* Makes an empty file beside `path` and tells its name; refused when something is at `path`. */
TUFA_MUST_CHECK tufa_status place_claim(const char *path, char beside[PLACE_LONGEST]);
/* With `st` OK moves the file to `path` without replacing anything; otherwise, or when that fails, removes it. */
TUFA_MUST_CHECK tufa_status place_settle(tufa_status st, const char *beside, const char *path);
/* The folder of `path` takes new files. */
bool place_may_be_written(const char *path);
/* A write-ahead log with something in it lies beside the book. */
bool place_has_open_changes(const char *path);

#endif
