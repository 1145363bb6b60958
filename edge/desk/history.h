/* What was found in a heater and done to it, newest first, in words. */
#ifndef EDGE_DESK_HISTORY_H
#define EDGE_DESK_HISTORY_H

#include "edge/desk/desk.h"

typedef struct history_line {
    int64_t day;
    char what[80], words[240], source[STORE_SOURCE];
} history_line;

/* Frees with free(). */
TUFA_MUST_CHECK tufa_status desk_history(desk *d, int64_t heater, history_line **out, size_t *n);

#endif
