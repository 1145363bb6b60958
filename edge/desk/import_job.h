/* Inside the import: one file being taken. */
#ifndef EDGE_DESK_IMPORT_JOB_H
#define EDGE_DESK_IMPORT_JOB_H

#include "edge/desk/kind.h"

/* Keys of one file and the lines on which they stand: open addressing. */
typedef struct seen_keys {
    struct {
        char *key;
        size_t line;
    } *slot;
    size_t room, n;
} seen_keys;

struct import_job {
    seen_keys seen;
};

/* 0 when the key is new (and kept), the line of the first one otherwise; SIZE_MAX when memory ran out. */
size_t seen_before(seen_keys *s, const char *key, size_t line);
void seen_free(seen_keys *s);

/* Takes a table that was read; rows go to the report. Only trouble with the book or the columns ends it early. */
TUFA_MUST_CHECK tufa_code import_table(desk *d, const kind_row *k, const csv *t, const char *from, size_t file, import_report *r,
                                       trouble_note *note);
/* The kind that fits the columns best and whose needed columns are all there; NULL when none does. */
const kind_row *kind_by_columns(const csv *t);

#endif
