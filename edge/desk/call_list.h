/* Calls without their odds: quick enough for a list, since only the rules on danger are asked. */
#ifndef EDGE_DESK_CALL_LIST_H
#define EDGE_DESK_CALL_LIST_H

#include "edge/desk/call.h"

typedef struct call_line {
    call_rec rec;
    char label[STORE_LABEL]; /* of the heater */
    int danger;              /* 2 leave at once, 1 stop, 0 none */
    bool one_element;
    int found[CALL_FOUND_MOST], founds;
} call_line;

typedef struct call_list {
    call_line *line; /* open ones by danger and then by number, closed ones by number from the newest */
    size_t n;
} call_list;

/* The open calls, or the closed ones. */
TUFA_MUST_CHECK tufa_status desk_call_list(desk *d, bool closed, call_list *out);
void call_list_free(call_list *l);

#endif
