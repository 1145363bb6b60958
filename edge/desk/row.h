/* One row of a table, filled in on a page: taken as the import takes it, with the same checks. */
#ifndef EDGE_DESK_ROW_H
#define EDGE_DESK_ROW_H

#include "edge/desk/desk.h"
#include "edge/say/trouble.h"

typedef struct row_cell {
    const char *column, *value; /* a name of the column; what was typed ("": nothing is said) */
} row_cell;

/* `kind`: "heaters", "findings" ...; `source`: who says so. The note's field is the column as it was named. */
TUFA_MUST_CHECK tufa_code desk_row_take(desk *d, const char *kind, const row_cell *cells, size_t n, const char *source, trouble_note *note);

/* The label of the house of a heater. */
TUFA_MUST_CHECK tufa_status desk_house_label_of(desk *d, int64_t heater, char label[STORE_LABEL]);
bool desk_has(desk *d, thing_kind kind, const char *label);
TUFA_MUST_CHECK tufa_status desk_named(desk *d, thing_kind kind, const char *label, int64_t *id);

#endif
