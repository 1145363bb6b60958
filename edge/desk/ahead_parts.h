/* Parts of the answer about one heater. */
#ifndef EDGE_DESK_AHEAD_PARTS_H
#define EDGE_DESK_AHEAD_PARTS_H

#include "edge/desk/answers.h"

/* What is known of a heater and from what; `line` has room for DESK_KNOWN_LINES. */
TUFA_MUST_CHECK tufa_status desk_known(desk *d, const desk_case *c, const tufa_ahead *a, known_line *line, size_t *n);

#endif
