/* Where a number comes from: how it is worked out, what goes in with its value now, and the sources. */
#ifndef EDGE_DESK_EXPLAIN_H
#define EDGE_DESK_EXPLAIN_H

#include "edge/desk/answers.h"

typedef struct explain_row {
    const char *key, *title, *how, *inputs, *sources, *method;
} explain_row;
const explain_row *explain_at(size_t i); /* NULL beyond the table */
const explain_row *explain_find(const char *key);

/* One thing that goes in. */
typedef struct explain_input {
    char what[200], value[160], from[240];
    char correct[120]; /* a page's address where it can be corrected; "" */
} explain_input;
enum { EXPLAIN_INPUTS = 16 };
/* With the values of a heater as its view ahead has them, or with NULL those that count for any. */
TUFA_MUST_CHECK tufa_status explain_inputs(desk *d, const explain_row *r, const ahead_answer *a, explain_input out[EXPLAIN_INPUTS], size_t *n);

/* The source of an id, NULL when there is none; `sources` of a row one after the other: NULL at the end. */
const tufa_source *explain_source(const char *id, size_t len);

/* The next of words parted by spaces: its length, 0 at the end; *s moves behind it. */
size_t explain_word(const char **s, const char **word);

#endif
