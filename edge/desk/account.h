/* The account of a year: what was paid, worked and driven, by house and date, as the book has it. No tax advice. */
#ifndef EDGE_DESK_ACCOUNT_H
#define EDGE_DESK_ACCOUNT_H

#include "edge/desk/desk.h"
#include "edge/say/trouble.h"

/* Whole cents, minutes and tenths of a mile, so that sums are those of the rows as they are shown. */
typedef struct account_sum {
    int64_t cents, minutes, tenth_miles;
    int64_t kind_cents[EXPENSE_COUNT], mark_cents[MARK_COUNT];
    size_t rows;
} account_sum;

typedef struct account_row {
    int64_t day, house, heater, id; /* id: of the visit or the expense */
    bool visit;
    char label[STORE_LABEL], heater_label[STORE_LABEL];
    expense_kind kind;              /* of a visit: what was laid out on it are parts */
    expense_mark mark;
    bool has_cents, has_time, has_road, about; /* about: the amount was not given exactly */
    int64_t cents, minutes, tenth_miles;
    char *what, *receipt;           /* receipt: every receipt and picture, parted by "; " */
    char who[STORE_SOURCE];
} account_row;

typedef struct account_house {
    int64_t house;                  /* 0: for all houses */
    char label[STORE_LABEL];
    size_t first, n;
    account_sum sum;
} account_house;

typedef struct account_answer {
    int year;
    unit_system units;
    account_row *row;               /* by house and day */
    size_t rows, room;
    account_house *house;
    size_t houses;
    account_sum sum;
    size_t without_receipt;         /* rows with money and neither receipt nor picture */
} account_answer;

/* `year` as typed: "2026". */
TUFA_MUST_CHECK tufa_code desk_account(desk *d, const char *year, account_answer *out, trouble_note *note);
void account_free(account_answer *a);

/* "paid=240" "to=a plumber" "for=relief valve": keys paid, to, for, kind, mark, miles, hours, receipt, heater, day, note, by and
 * corrects (the number of a row that this takes the place of). `house` "" or "stock": for all houses. What was kept goes to `kept`. */
TUFA_MUST_CHECK tufa_code desk_account_add(desk *d, const char *house, const char *const *words, int n, text *kept, trouble_note *note);

/* ---- words ---- */

void say_cents(text *t, int64_t cents);          /* "$1,240.00" */
void say_hours_minutes(text *t, int64_t minutes); /* "3:45" */
void say_tenth_miles(text *t, int64_t tenths);   /* "12.4" */
void account_csv(text *t, const account_answer *a);
void say_account_remarks(text *t, const account_answer *a);
/* What it is and is not. */
void say_account_foot(text *t);

#endif
