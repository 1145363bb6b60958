/* Columns of the model and least squares on a few of them. */
#include <math.h>
#include <string.h>

#include "core/bill/series.h"

static int days_cover(const bill_series *s, const tufa_bill_period *p)
{
    return s->day_K && p->start_day >= s->first_day && bill_end(p) <= s->first_day + (double)s->n_days + 1e-9;
}

/* Mean over the period of (sign (T - tau))+. */
static double hinge(const bill_series *s, size_t i, double tau_K, double sign)
{
    const tufa_bill_period *p = &s->p[i];
    if (!days_cover(s, p)) return fmax(sign * (p->mean_K - tau_K), 0.0);
    size_t from = (size_t)(p->start_day - s->first_day), to = (size_t)ceil(bill_end(p) - s->first_day - 1e-9);
    double sum = 0.0;
    for (size_t d = from; d < to; d++) sum += fmax(sign * (s->day_K[d] - tau_K), 0.0);
    return sum / (double)(to - from);
}

double bill_heating(const bill_series *s, size_t i, double tau_K) { return hinge(s, i, tau_K, -1.0); }
double bill_cooling(const bill_series *s, size_t i, double tau_K) { return hinge(s, i, tau_K, 1.0); }

double bill_after(const bill_series *s, size_t i, double a)
{
    double share = (bill_end(&s->p[i]) - a) / s->p[i].days;
    return fmin(fmax(share, 0.0), 1.0);
}

double bill_rise(const bill_series *s, size_t i, double a)
{
    double start = s->p[i].start_day, end = bill_end(&s->p[i]), year = 365.25;
    if (end <= a) return 0.0;
    if (start >= a) return (0.5 * (start + end) - a) / year;
    return (end - a) * (end - a) / (2.0 * s->p[i].days * year);
}

static int rests(const bill_series *s, double tau, double sign)
{
    const double MOST_SHARE = 0.8, BEYOND_K = 0.5;
    double sum = 0.0, most = 0.0;
    int beyond = 0;
    for (size_t i = 0; i < s->n; i++) {
        double x = hinge(s, i, tau, sign);
        beyond += x > BEYOND_K;
        sum += x * x;
        most = fmax(most, x * x);
    }
    return beyond >= (s->n < 9 ? 2 : 3) && most <= MOST_SHARE * sum;
}

int bill_slope_rests(const bill_series *s, const bill_design *d)
{
    int both = d->form == TUFA_BILL_4P || d->form == TUFA_BILL_5P;
    if (d->form == TUFA_BILL_3PH) return rests(s, d->tau_h, -1.0) && rests(s, d->tau_h, 1.0);
    if (d->form == TUFA_BILL_3PC) return rests(s, d->tau_c, -1.0) && rests(s, d->tau_c, 1.0);
    return !both || (rests(s, d->tau_h, -1.0) && rests(s, d->tau_c, 1.0));
}

void bill_columns(const bill_series *s, const bill_design *d, double *x)
{
    const double PER_DAY = 2.0 * 3.14159265358979 / 365.25;
    size_t n = s->n;
    for (size_t i = 0; i < n; i++) {
        double mid = PER_DAY * (s->p[i].start_day + 0.5 * s->p[i].days);
        x[i] = 1.0;
        switch (d->form) {
        case TUFA_BILL_1P:
            if (d->columns == 3) x[n + i] = cos(mid), x[2 * n + i] = sin(mid);
            break;
        case TUFA_BILL_2P: x[n + i] = 273.15 - s->p[i].mean_K; break;
        case TUFA_BILL_3PH: x[n + i] = bill_heating(s, i, d->tau_h); break;
        case TUFA_BILL_3PC: x[n + i] = bill_cooling(s, i, d->tau_c); break;
        default:
            x[n + i] = bill_heating(s, i, d->tau_h);
            x[2 * n + i] = bill_cooling(s, i, d->tau_c);
        }
    }
}

double bill_dot(size_t n, const double *a, const double *b)
{
    double sum = 0.0;
    for (size_t i = 0; i < n; i++) sum += a[i] * b[i];
    return sum;
}

void bill_project_out(size_t n, int k, const double *q, double *v)
{
    for (int j = 0; j < k; j++) {
        double c = bill_dot(n, q + (size_t)j * n, v);
        for (size_t i = 0; i < n; i++) v[i] -= c * q[(size_t)j * n + i];
    }
}

int bill_orthonormal(size_t n, int k, double *x)
{
    const double DEPENDENT = 1e-5; /* what is left of a column, relative */
    int m = 0;
    for (int j = 0; j < k; j++) {
        double *v = x + (size_t)m * n, *from = x + (size_t)j * n;
        if (v != from) memmove(v, from, n * sizeof *v);
        double before = sqrt(bill_dot(n, v, v));
        bill_project_out(n, m, x, v);
        bill_project_out(n, m, x, v); /* twice is enough for full precision (Kahan, Parlett) */
        double after = sqrt(bill_dot(n, v, v));
        if (!(after > DEPENDENT * before)) continue;
        for (size_t i = 0; i < n; i++) v[i] /= after;
        m++;
    }
    return m;
}

int bill_least_squares(size_t n, int k, const double *x, const double *y, double *coef, double *se, double *rss)
{
    enum { MOST = BILL_MAX_COLUMNS + 2 };
    double a[MOST][2 * MOST] = {{0}};
    double scale[MOST];
    for (int j = 0; j < k; j++) scale[j] = sqrt(bill_dot(n, x + (size_t)j * n, x + (size_t)j * n));
    for (int j = 0; j < k; j++) {
        if (!(scale[j] > 0.0)) return 0;
        for (int l = 0; l < k; l++) a[j][l] = bill_dot(n, x + (size_t)j * n, x + (size_t)l * n) / (scale[j] * scale[l]);
        a[j][k + j] = 1.0;
    }
    for (int j = 0; j < k; j++) { /* Gauss-Jordan with pivoting on a scaled, small, positive matrix */
        int best = j;
        for (int l = j + 1; l < k; l++)
            if (fabs(a[l][j]) > fabs(a[best][j])) best = l;
        if (fabs(a[best][j]) < 1e-11) return 0;
        for (int c = 0; c < 2 * k; c++) {
            double t = a[j][c];
            a[j][c] = a[best][c];
            a[best][c] = t;
        }
        double pivot = a[j][j];
        for (int c = 0; c < 2 * k; c++) a[j][c] /= pivot;
        for (int l = 0; l < k; l++) {
            if (l == j) continue;
            double f = a[l][j];
            for (int c = 0; c < 2 * k; c++) a[l][c] -= f * a[j][c];
        }
    }
    for (int j = 0; j < k; j++) {
        coef[j] = 0.0;
        for (int l = 0; l < k; l++) coef[j] += a[j][k + l] * bill_dot(n, x + (size_t)l * n, y) / (scale[j] * scale[l]);
    }
    *rss = 0.0;
    for (size_t i = 0; i < n; i++) {
        double r = y[i];
        for (int j = 0; j < k; j++) r -= coef[j] * x[(size_t)j * n + i];
        *rss += r * r;
    }
    double s2 = n > (size_t)k ? *rss / (double)(n - (size_t)k) : 0.0;
    for (int j = 0; j < k; j++) se[j] = sqrt(s2 * fabs(a[j][k + j])) / scale[j];
    return 1;
}
