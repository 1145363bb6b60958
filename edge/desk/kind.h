/* For whoever adds a kind of table: one row in kinds.def and these functions. */
#ifndef EDGE_DESK_KIND_H
#define EDGE_DESK_KIND_H

#include "edge/desk/book.h"
#include "edge/import/columns.h"

/* ---- a row that comes in ---- */

typedef struct import_job import_job;
typedef struct import_row {
    desk *d;
    import_job *job;
    const column_set *columns;
    const header_map *map;
    const csv *table;
    size_t at;         /* row of the table */
    const char *from;  /* source where the row names none: the file */
    int64_t as_of;     /* ages count back from here; today, until the kind says otherwise */
    text *name, *what; /* for the report */
} import_row;

/* The cell of a column, "" when it is not there; whether anything is said in it ("?" says nothing). */
const char *row_text(const import_row *r, const char *id);
bool row_said(const import_row *r, const char *id);
/* The header of a column as the file has it, for messages. */
const char *row_header(const import_row *r, const char *id);
/* A value in SI within its column's bounds; basis NONE when nothing is said. */
TUFA_MUST_CHECK tufa_code row_value(const import_row *r, const char *id, tufa_value *out, trouble_note *note);
void row_rule(const import_row *r, const char *id, value_rule *rule);
/* A day, not after today; `fallback` when nothing is said. */
TUFA_MUST_CHECK tufa_code row_day(const import_row *r, const char *id, int64_t fallback, int64_t *out, trouble_note *note);
/* Words that fit into `room` bytes. */
TUFA_MUST_CHECK tufa_code row_words(const import_row *r, const char *id, size_t room, char *out, trouble_note *note);
TUFA_MUST_CHECK tufa_code row_choice(const import_row *r, const char *id, int *out, trouble_note *note);
/* The column `source`, else the name of the file. */
TUFA_MUST_CHECK tufa_code row_source(const import_row *r, char out[STORE_SOURCE], trouble_note *note);
/* A thing by its label; UNKNOWN with the nearest labels when the book has none. */
TUFA_MUST_CHECK tufa_code row_thing(const import_row *r, const char *id, thing_kind kind, int64_t *out, trouble_note *note);
/* CONFLICT when a row of this file had the key already. */
TUFA_MUST_CHECK tufa_code row_once(const import_row *r, const char *key, const char *id, trouble_note *note);
/* A refusal that quotes the cell of a column. */
tufa_code row_refuse(const import_row *r, tufa_code code, const char *id, const char *allowed, const char *why, trouble_note *note);
tufa_code row_status(const import_row *r, tufa_status st, const char *id, trouble_note *note);
/* "volume 40 gal -> 50 gal; " into the report. */
void row_change(const import_row *r, const char *id, tufa_value before, tufa_value after);
void row_change_words(const import_row *r, const char *id, const char *before, const char *after);
/* Behind a change that was said of an older day: what stands all the same, and since when. */
void row_past_words(const import_row *r, const char *stands, int64_t day);

/* Values alike to 1e-9 and of one basis. */
bool value_same(tufa_value a, tufa_value b);

/* ---- rows that go out ---- */

typedef struct export_table export_table;
void export_row(export_table *t);                                       /* begins a row */
void export_text(export_table *t, const char *id, const char *s);
void export_value(export_table *t, const char *id, tufa_value v);
void export_day(export_table *t, const char *id, int64_t day);
void export_other(export_table *t, const char *header, const char *s);  /* a column that is none of the set */
desk *export_desk(const export_table *t);

/* ---- a kind ---- */

struct kind_row {
    const char *name, *names, *what;
    void (*columns)(column_set *out);
    bool (*takes_other)(const char *header);
    tufa_code (*take)(import_row *r, import_outcome *outcome, trouble_note *note);
    tufa_status (*give)(desk *d, export_table *t);
};

#define X(id, name, names, columns, other, take, give, what)                    \
    void columns(column_set *out);                                              \
    tufa_code take(import_row *r, import_outcome *outcome, trouble_note *note); \
    tufa_status give(desk *d, export_table *t);
#include "edge/desk/kinds.def"
#undef X

#endif
