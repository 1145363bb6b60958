/* What a person means by a name. */
#ifndef EDGE_DESK_FIND_H
#define EDGE_DESK_FIND_H

#include "edge/desk/desk.h"
#include "edge/say/trouble.h"

/* A thing by label or number, or by a part of its label that only one has. A house's name stands for its only heater.
 * Otherwise the note says so, and `near` (may be NULL) gets the labels that come close, with their numbers. */
TUFA_MUST_CHECK tufa_code desk_find(desk *d, thing_kind kind, const char *name, int64_t *id, text *near, trouble_note *note);

#endif
