/* A new price of a unit moves the bill without the use: money = fixed a day + price x use, the price changing once. */
#include <math.h>

#include "core/bill/series.h"

/* Sums of squares of money a day on (1, use a day) and, from `split` on, use a day again. */
static double price_fit(size_t n, const tufa_bill_period *p, size_t split, double *coef)
{
    double x[3 * TUFA_BILL_MAX_PERIODS], y[TUFA_BILL_MAX_PERIODS], se[3], rss = -1.0;
    for (size_t i = 0; i < n; i++) {
        x[i] = 1.0;
        x[n + i] = p[i].use / p[i].days;
        x[2 * n + i] = i >= split ? x[n + i] : 0.0;
        y[i] = p[i].cost / p[i].days;
    }
    return bill_least_squares(n, split < n ? 3 : 2, x, y, coef, se, &rss) ? rss : -1.0;
}

void bill_remark_prices(size_t n, const tufa_bill_period *p, tufa_bill_remarks *r)
{
    enum { LEAST = 3 };
    const double LEAST_RATIO = 0.04; /* a smaller change of price explains no jump */
    double coef[3], best = -1.0, ratio = 0.0;
    size_t at = 0;
    for (size_t i = 0; i < n; i++)
        if (!(p[i].flags & TUFA_BILL_HAS_COST)) return;
    if (n < 4 * LEAST) return;
    double plain = price_fit(n, p, n, coef);
    for (size_t i = LEAST; i + LEAST <= n && plain > 0.0; i++) {
        double rss = price_fit(n, p, i, coef);
        if (rss < 0.0 || (best >= 0.0 && rss >= best)) continue;
        best = rss;
        at = i;
        ratio = coef[1] > 0.0 ? (coef[1] + coef[2]) / coef[1] : 0.0;
    }
    /* Schwarz's criterion with the date as a further parameter, and four more for the search */
    if (best < 0.0 || (double)n * log(plain / fmax(best, 1e-9 * plain)) < 2.0 * log((double)n) + 8.0) return;
    if (ratio > 0.0 && fabs(ratio - 1.0) >= LEAST_RATIO) bill_remark(r, TUFA_BILL_REMARK_PRICE, p[at].start_day, bill_end(&p[at]), ratio, 0.0);
}
