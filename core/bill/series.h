/* What the files of the bill stage share: remarks, the series that is fitted, least squares on a few columns. */
#ifndef CORE_BILL_SERIES_H
#define CORE_BILL_SERIES_H

#include "tufa/bill.h"

void bill_remark(tufa_bill_remarks *r, tufa_bill_remark_kind kind, double day, double end_day, double value, double expected);
void bill_remark_prices(size_t n, const tufa_bill_period *p, tufa_bill_remarks *r);
double bill_end(const tufa_bill_period *p);
tufa_bill_period bill_join(const tufa_bill_period *a, const tufa_bill_period *b);

/* Readings as they are fitted: use a day, with its relative standard deviation. */
typedef struct bill_series {
    size_t n;
    const tufa_bill_period *p;
    double *y;  /* use a day */
    double *sd; /* relative to the others, about 1 */
    int weather; /* every period has a mean temperature */
    int season;  /* no weather, but long enough for a yearly wave */
    size_t n_days;
    double first_day;
    const double *day_K; /* daily temperatures or NULL */
} bill_series;

/* Mean over a period of (tau - T)+ and of (T - tau)+: by day where daily temperatures cover it. */
double bill_heating(const bill_series *s, size_t i, double tau_K);
double bill_cooling(const bill_series *s, size_t i, double tau_K);
/* Share of period i after day a; mean over it of (t - a)+ in years. */
double bill_after(const bill_series *s, size_t i, double a);
double bill_rise(const bill_series *s, size_t i, double a);

/* One way to explain use by weather. */
typedef struct bill_design {
    tufa_bill_form form;
    double tau_h, tau_c;
    int columns;      /* with the constant */
    double log_prior; /* its share */
} bill_design;

enum { BILL_MAX_COLUMNS = 4 };

/* A slope must rest on several readings: three or more (two of a short record) lie half a kelvin or more beyond its balance
 * point, and none has more than four fifths of its column's squares. Else one wild reading would make a slope. */
int bill_slope_rests(const bill_series *s, const bill_design *d);

/* Columns of the design, each of n values, unscaled; the constant stands first. */
void bill_columns(const bill_series *s, const bill_design *d, double *x);

/* Turns k columns of n into an orthonormal basis in place, answers how many were independent. */
int bill_orthonormal(size_t n, int k, double *x);
void bill_project_out(size_t n, int k, const double *q, double *v);
double bill_dot(size_t n, const double *a, const double *b);

/* Ordinary least squares: coefficients and their standard errors, residual sum of squares; 0 when singular. */
int bill_least_squares(size_t n, int k, const double *x, const double *y, double *coef, double *se, double *rss);

/* ---- odds of a change ---- */

typedef struct bill_candidate {
    tufa_bill_change_kind kind;
    double a, b; /* days */
} bill_candidate;

/* Answer of one search over forms, balance points, likeness of neighbours, kinds and dates. */
typedef struct bill_odds {
    double log_all; /* log of the total evidence, for comparing readings left out or kept */
    double kind[TUFA_BILL_KIND_COUNT]; /* probabilities */
    double form[TUFA_BILL_FORM_COUNT]; /* given the kind */
    bill_candidate best;
    bill_design design; /* best of the likeliest form */
    int form_seen[TUFA_BILL_FORM_COUNT]; /* in the running, with its best design */
    bill_design form_design[TUFA_BILL_FORM_COUNT];
    tufa_bill_span a, b, size;
    double correlation;
} bill_odds;

size_t bill_odds_bytes(size_t n);
tufa_status bill_search(const bill_series *s, const tufa_bill_options *opt, tufa_arena *scratch, bill_odds *out);

#endif
