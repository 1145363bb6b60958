/* How the results of one test scatter: shares of categories, or a mixture of normal and log-normal parts with one part
 * in fifty flat over all that the instrument can show, since dials are misread and ranges swapped. */
#ifndef CORE_FAULT_SPREAD_H
#define CORE_FAULT_SPREAD_H

#include "core/fault/tables.h"

enum { MAX_PARTS = 6, MAX_CELLS = 16 };

typedef struct spread_part {
    int log;                  /* 1: mid is the median, wide the standard deviation of ln */
    double mid, wide, weight;
} spread_part;

typedef struct spread {
    int parts; /* 0: categories */
    spread_part part[MAX_PARTS];
    double share[TUFA_MAX_CATEGORIES];
} spread;

/* A number as the tables take it: not below the least that the instrument can tell. */
double spread_entered(const tufa_test *t, double x);
/* Density at a number, in the test's own variable, or probability of a category. Never 0. */
double spread_density(const spread *s, const tufa_test *t, const tufa_reading *r);
/* The same without the flat part, and the flat part alone: which of them explains a reading. */
double spread_flat(const tufa_test *t, double x);
/* Probability of a result below x, flat part included. */
double spread_below(const spread *s, const tufa_test *t, double x);
/* Quantile by bisection. */
double spread_quantile(const spread *s, const tufa_test *t, double p);
int spread_categories(const tufa_test *t);
/* Two spreads half and half. */
void spread_mix(const spread *a, const spread *b, spread *out);

#endif
