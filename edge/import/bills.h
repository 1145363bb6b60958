/* Bill readings of a house from a CSV file, and daily temperatures from another. Headers are forgiving, units stand in
 * them; what is not understood is refused with its line, or named as not used. */
#ifndef EDGE_IMPORT_BILLS_H
#define EDGE_IMPORT_BILLS_H

#include <stdbool.h>
#include <stdio.h>

#include "edge/import/csv.h"
#include "tufa/bill.h"

typedef enum bill_unit {
#define X(id, name, gas, joules, lo, hi, names, print) BILL_UNIT_##id,
#include "edge/import/bill_units.def"
#undef X
    BILL_UNIT_COUNT
} bill_unit;

typedef struct bill_unit_row {
    const char *name;
    int gas;
    double joules, lo, hi; /* in one unit; least and most that a house uses a day */
    const char *names, *print;
} bill_unit_row;
extern const bill_unit_row bill_units[BILL_UNIT_COUNT];
/* -1 when a header names no unit. */
int bill_unit_of_header(const char *plain);

enum { BILLS_MOST_FUELS = 4, BILLS_NOTE = 80 };

typedef struct bill_fuel {
    bill_unit unit;
    size_t n, empty; /* periods; cells that were empty */
    tufa_bill_period *p;
} bill_fuel;

typedef struct bill_file {
    size_t fuels;
    bill_fuel fuel[BILLS_MOST_FUELS];
    bool dates_are_starts;  /* the date of a row is the first day of its period, not the day of the reading */
    bool fahrenheit, weather;
    text unused;            /* names of columns that were not used, with commas */
    size_t notes;           /* what somebody wrote beside a row, by the day its period ends */
    struct {
        double end_day;
        char words[BILLS_NOTE];
    } *note;
} bill_file;

/* False with the reason in `note`; nothing to free then. */
bool bills_read(const csv *t, const char *name, bill_file *out, trouble_note *note);
void bills_free(bill_file *f);

/* A day that a bill bears: 2024-03-25, 3/25/2024, 25 Mar 2024 and the like; a time of day behind it is dropped. */
bool bill_day(const char *s, int64_t *day);

/* Daily mean temperatures: columns date and mean_temp_f or mean_temp_c (or a highest and a lowest). */
typedef struct daily_temps {
    double first_day, *K;
    size_t n, filled; /* filled: days without a reading, put between their neighbours */
} daily_temps;
bool temps_read(const csv *t, const char *name, daily_temps *out, trouble_note *note);
void temps_free(daily_temps *t);

#endif
