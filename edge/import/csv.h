/* Reading CSV strictly: every field where the header says it is, or a message that names the line.
 * Comma, semicolon or tab, told from the header line; quotes as in RFC 4180; a byte-order mark and CRLF are
 * taken off; blank lines are skipped; everything must be UTF-8. Spaces around a field are dropped. */
#ifndef EDGE_IMPORT_CSV_H
#define EDGE_IMPORT_CSV_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "edge/say/trouble.h"

enum {
    CSV_MOST_COLUMNS = 400,
    CSV_LONGEST_LINE = 1000000,  /* bytes of one record */
    CSV_MOST_ROWS = 1000000,
    CSV_MOST_BYTES = 256000000
};

/* The records below the header. Texts live in `text` until csv_free. */
typedef struct csv {
    char *text;
    char delimiter;
    size_t columns, rows;
    char **header; /* `columns` names as they were written */
    char **cell;   /* rows x columns */
    size_t *line;  /* of each row in the file, from 1 */
} csv;

/* All of `f`. `name` stands in messages. False with the reason in `note`; nothing to free then. */
bool csv_read(FILE *f, const char *name, csv *out, trouble_note *note);
/* The same from memory; the bytes are copied. */
bool csv_parse(const char *given, size_t len, const char *name, csv *out, trouble_note *note);
void csv_free(csv *t);

static inline const char *csv_at(const csv *t, size_t row, size_t column) { return t->cell[row * t->columns + column]; }

/* Puts "FILE line N" into note->where. */
void csv_where(trouble_note *note, const char *name, size_t line);

/* A header made plain: lower case, every run of other signs one underline, none at the ends; `mg/L` and `Ca (mg/L)`
 * become `mg_l` and `ca_mg_l`; the degree sign and the micro sign become `deg` and `u`. Always ends with 0. */
void csv_plain_name(const char *header, char *out, size_t room);

#endif
