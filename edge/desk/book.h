/* The book as a whole: tables in and out, copies, checks. */
#ifndef EDGE_DESK_BOOK_H
#define EDGE_DESK_BOOK_H

#include <stdio.h>

#include "edge/desk/desk.h"
#include "edge/import/csv.h"
#include "edge/say/trouble.h"

/* ---- new, backup, check ---- */

/* A new, empty book. */
TUFA_MUST_CHECK tufa_status desk_book_new(const char *path);
TUFA_MUST_CHECK tufa_status desk_book_backup(desk *d, const char *path);

typedef struct book_check {
    size_t waters, houses, heaters;
    int version, wrong; /* wrong: how many things are not as they should be */
    text report;        /* a line each */
} book_check;
TUFA_MUST_CHECK tufa_status desk_book_check(desk *d, book_check *out);
void book_check_free(book_check *c);

/* ---- kinds of tables ---- */

typedef struct kind_row kind_row;
size_t kind_count(void);
const kind_row *kind_at(size_t i);
const kind_row *kind_find(const char *name); /* "heaters", "heater"; NULL when there is none */
const char *kind_name(const kind_row *k);
const char *kind_what(const kind_row *k);
/* The columns of a kind as a table in Markdown; the docs are made of it. */
void kind_columns(const kind_row *k, text *out);
/* Its header line alone, in the units of `system`: a blank form. */
void kind_blank(const kind_row *k, unit_system system, text *out);

/* ---- import ---- */

typedef enum import_outcome { ROW_NEW, ROW_CHANGED, ROW_SAME, ROW_REFUSED } import_outcome;
const char *import_word(import_outcome o); /* "new", "changed", "as before", "refused" */

typedef struct import_line {
    size_t file, line;
    import_outcome outcome;
    char *name, *what;    /* what the row is about; what was taken or changed ("volume 40 gal -> 50 gal") */
    trouble_note *note;   /* of a refused row */
} import_line;

typedef struct import_file {
    const char *path;     /* "-" for standard input */
    const char *text;     /* its bytes, where they were handed in: path is then a name for words alone; NULL: read from path */
    size_t len;
    const kind_row *kind; /* NULL: told from its name or its columns */
    text ignored;         /* names of columns that were not taken */
} import_file;

enum { IMPORT_FILES = 32 };
typedef struct import_report {
    import_file file[IMPORT_FILES];
    size_t files;
    import_line *line;
    size_t lines, room, count[ROW_REFUSED + 1];
    bool kept;            /* false: a dry run, or something was refused; the book is as it was */
    bool out_of_memory;
} import_report;

/* Takes the files of `r` (a folder stands for the tables in it) in the order of the kinds, all or nothing. On
 * anything but OK the note says why and the book is as it was; rows that were refused stand in the report, and the code
 * is that of the first of them. `in` is what "-" reads from. */
TUFA_MUST_CHECK tufa_code desk_book_import(desk *d, import_report *r, FILE *in, bool dry_run, trouble_note *note);
void import_report_free(import_report *r);

/* ---- export ---- */

/* One kind as CSV that desk_book_import takes. */
TUFA_MUST_CHECK tufa_status desk_book_export(desk *d, const kind_row *k, text *out);

#endif
