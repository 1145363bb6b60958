/* What planning and recording a visit share. */
#ifndef EDGE_DESK_VISIT_PARTS_H
#define EDGE_DESK_VISIT_PARTS_H

#include "edge/desk/visit_desk.h"

/* COUNT where no method is said. */
tufa_code desk_visit_kind(const char *kind, const char *method, tufa_visit_kind *k, tufa_method_id *m, trouble_note *note);

#endif
