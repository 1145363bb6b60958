/* Ends kept: a tank's end also takes its heater out of service. */
#ifndef EDGE_DESK_ENDS_H
#define EDGE_DESK_ENDS_H

#include "edge/store/ended.h"

TUFA_MUST_CHECK tufa_status ends_keep(store *s, const ended_rec *e, int64_t replaces);

#endif
