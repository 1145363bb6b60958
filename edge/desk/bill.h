/* The question "is something leaking power, gas or hot water": bill readings or interval readings in, one answer out. */
#ifndef EDGE_DESK_BILL_H
#define EDGE_DESK_BILL_H

#include <stdbool.h>
#include <stdio.h>

#include "edge/desk/desk.h"
#include "edge/import/bills.h"
#include "edge/import/interval.h"
#include "edge/say/trouble.h"
#include "tufa/bill.h"

enum { BILL_MOST_ARRIVALS = 16 };

/* The house that the bills belong to, as far as it is known. */
typedef struct bill_home {
    bool known;              /* a heater was named */
    char label[STORE_LABEL]; /* of the heater */
    tufa_tank tank;
    double daily_m3;         /* 0: the usual household */
    size_t arrivals;         /* days on which other people came to live there */
    double arrival_day[BILL_MOST_ARRIVALS];
} bill_home;

typedef struct bill_ask {
    const bill_home *home;   /* NULL: nothing is known of the house */
    FILE *temps;             /* daily temperatures, or NULL */
    const char *temps_name;
    const char *column;      /* of an interval file, or NULL */
} bill_ask;

/* One series that was read for a change. */
typedef struct bill_part {
    bill_unit unit;
    const tufa_bill_period *p; /* as given, n of them */
    size_t n, empty;
    bool ok;                 /* false: `trouble` says why there is no answer */
    tufa_status trouble;
    tufa_bill_result result;
    bool has_causes;
    tufa_bill_causes causes;
    double heater_share_of_use; /* the tank stage's use of the heater over the mean use; 0 unknown */
} bill_part;

typedef struct bill_answer {
    bill_format format;
    size_t parts, first;     /* first: the part with most to tell */
    bill_part part[BILLS_MOST_FUELS];
    double same_date;        /* all fuels changed together: probability */
    bill_file file;          /* where format is BILLS */
    daily_temps temps;       /* n 0: none */
    bool has_interval;
    interval_file interval_file;
    tufa_bill_interval_result interval;
    bill_part resting;       /* interval readings: the power that each day never went below, as kWh a day */
    void *memory, *periods;
} bill_answer;

/* Reads `f` (named `name` in messages) to its end and answers. False with the reason in `note`; nothing to free then. */
bool desk_bill(FILE *f, const char *name, const bill_ask *ask, bill_answer *out, trouble_note *note);
/* The same for bills that the book keeps: `file` is taken over by the answer. */
bool desk_bill_file(bill_file *file, const bill_ask *ask, bill_answer *out, trouble_note *note);
void bill_free(bill_answer *a);

/* What the book knows of the house of a heater (label or number), and the bills that it keeps of it (`file` may be NULL).
 * MISSING names what is not there; labels that come close go to `near`. Give `file` to desk_bill_file or bills_free. */
TUFA_MUST_CHECK tufa_status desk_bill_home(desk *d, const char *heater, text *near, bill_home *home, bill_file *file);

#endif
