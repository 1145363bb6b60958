/* Interval readings from a stream, CSV or open ESPI XML, handed on one by one: memory does not grow with the file. */
#ifndef EDGE_IMPORT_INTERVAL_H
#define EDGE_IMPORT_INTERVAL_H

#include <stdbool.h>
#include <stdio.h>

#include "edge/say/trouble.h"
#include "tufa/bill.h"

typedef enum bill_format { BILL_FORMAT_BILLS, BILL_FORMAT_INTERVAL_CSV, BILL_FORMAT_ESPI, BILL_FORMAT_NONE } bill_format;

/* What the first bytes of a file look like: XML; a table with a clock time in its first row; or a table of bills. */
bill_format bill_format_of(const char *head, size_t n);

/* Where the readings go: local seconds since 1970. A status other than OK ends the reading. */
typedef tufa_status (*interval_fn)(void *ctx, double t_s, double length_s, double energy_J);

typedef struct interval_file {
    size_t readings, empty;      /* empty: rows without a value */
    size_t estimated;            /* ESPI: readings marked estimated or doubtful */
    size_t other_blocks;         /* ESPI: blocks of another kind of reading (power, money, exported energy) */
    bool gas;
    char column[64];             /* CSV: the column that was read */
    char others[160];            /* CSV: columns of power or energy that were not */
} interval_file;

/* `name` stands in messages. `column`: header of the column to read, or NULL for the first that has a unit. */
bool interval_csv_read(FILE *f, const char *name, const char *column, interval_fn fn, void *ctx, interval_file *out, trouble_note *note);
/* Needs a file that can be read twice: reading types may stand behind the readings that they explain. */
bool espi_read(FILE *f, const char *name, interval_fn fn, void *ctx, interval_file *out, trouble_note *note);

#endif
