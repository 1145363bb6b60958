/* Columns of a table that is imported: one row each, shared by the importer, the export, the docs and blank cards. */
#ifndef EDGE_IMPORT_COLUMNS_H
#define EDGE_IMPORT_COLUMNS_H

#include "edge/import/csv.h"
#include "edge/import/value.h"
#include "edge/store/records.h"

typedef enum cell_type { CELL_TEXT, CELL_VALUE, CELL_CHOICE } cell_type;

typedef struct column_row {
    const char *id, *names; /* names divided by '|'; the first is the one that is shown */
    cell_type type;
    quantity q;             /* of CELL_VALUE */
    unit_id unit;           /* taken where neither header nor cell name one */
    double lo, hi;          /* allowed, in `unit` */
    choice_list choices;    /* of CELL_CHOICE */
    bool needed;
    const char *what;
} column_row;

enum { COLUMNS_MOST = 64 };
typedef struct column_set {
    column_row row[COLUMNS_MOST];
    size_t n;
} column_set;

void columns_text(column_set *c, const char *id, const char *names, bool needed, const char *what);
void columns_value(column_set *c, const char *id, const char *names, quantity q, unit_id unit, double lo, double hi, bool needed,
                   const char *what);
/* The fields of a thing; those of finding_kinds.def. */
void columns_fields(column_set *c, thing_kind kind);
void columns_findings(column_set *c);

/* Which column of the set stands in which column of a file, and in what unit. */
typedef struct column_place {
    int at;               /* index in the file, -1 when it is not there */
    const unit_row *unit; /* written in the header, else the default */
} column_place;

typedef struct header_map {
    column_place place[COLUMNS_MOST];
    bool other[CSV_MOST_COLUMNS]; /* columns of the file that are none of the set */
} header_map;

/* The unit of a bare number in a book that speaks `system`. */
const unit_row *column_unit(const column_row *c, unit_system system);
/* `takes_other`: whether a header that is none of the set has a meaning all the same; NULL for never. A header that is
 * none but looks like one is refused; others are marked. Also refused: a unit that does not fit, two headers of one
 * meaning, a needed column that is not there. */
TUFA_MUST_CHECK tufa_code columns_map(const column_set *c, const csv *t, unit_system system, bool (*takes_other)(const char *header),
                                      header_map *out, trouble_note *note);
/* How many headers are understood; for telling what kind of table this is. */
size_t columns_understood(const column_set *c, const csv *t, bool (*takes_other)(const char *header));
bool columns_needed_are_there(const column_set *c, const csv *t);

/* "volume_gal": the header that the export writes. */
void column_header(text *out, const column_row *c, unit_system system);

#endif
