/* The one runner for tables of checks. A stage gives a list of names with functions that compute what a row asks. */
#ifndef TESTS_PUBLISHED_H
#define TESTS_PUBLISHED_H

#include <stdio.h>

#include "tufa.h"

/* The inputs of a row, "T_K=298.15;ca_mol_kgw=1e-3", read by name. */
typedef struct row_inputs row_inputs;
double row_number(row_inputs *in, const char *name);                /* fails the row when it is not there */
double row_number_or(row_inputs *in, const char *name, double other);
const char *row_text(row_inputs *in, const char *name);            /* "" when it is not there */
int row_has(row_inputs *in, const char *name);

FILE *row_open(const char *name); /* a file beside the table; NULL when it is not there */

/* Answers the value in the row's unit. A status other than OK fails the row. */
typedef tufa_status (*row_fn)(row_inputs *in, double *value);
typedef struct row_kind {
    const char *name; /* the row's `what` */
    row_fn compute;
} row_kind;

/* Each stage's list, ended by a row without name. */
extern const row_kind base_rows[], water_rows[], deposit_rows[], tank_rows[], ahead_rows[], clean_rows[], fault_rows[],
    bill_rows[], learn_rows[], money_rows[], plan_rows[];

#endif
