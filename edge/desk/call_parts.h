/* Parts of the answer about one call. */
#ifndef EDGE_DESK_CALL_PARTS_H
#define EDGE_DESK_CALL_PARTS_H

#include "edge/desk/call.h"

/* Names, plate and what the book knows of the heater of v->rec, into `v`. */
TUFA_MUST_CHECK tufa_status call_heater(desk *d, call_view *v, int64_t *house);

#endif
