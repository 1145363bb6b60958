/* Invented houses with bills of known truth, for the tests of the bill stage and for the table of its power. */
#ifndef TOOLS_BILL_HOUSES_H
#define TOOLS_BILL_HOUSES_H

#include <math.h>

#include "tufa/bill.h"

enum { HOUSE_MOST = 96 };

/* What makes a house's bills stray. */
typedef enum house_noise {
    NOISE_EVEN,       /* alike in all months */
    NOISE_WITH_LEVEL, /* in proportion to the use */
    NOISE_LASTING,    /* a month is like the one before: correlation 0.4 */
    NOISE_TAILED,     /* now and then a large one: Student's t with 4 degrees of freedom */
    NOISE_COUNT
} house_noise;

typedef struct house {
    uint64_t key;
    int months;
    house_noise noise;
    double noise_share;        /* standard deviation of a month over the mean use */
    int cools, weatherless;    /* also a cooling slope; no temperatures in the bills */
    /* the change: of `size` times the noise of a month */
    tufa_bill_change_kind kind;
    double size, at, until;    /* as shares of the record */
    /* filled: */
    double base, heating, cooling, heating_K, cooling_K, mean, change_per_day, change_day, end_day;
    tufa_bill_period p[HOUSE_MOST];
} house;

static double house_uniform(const house *h, uint64_t i) { return tufa_uniform(h->key, 101, i); }
static double house_normal(const house *h, uint64_t i) { return tufa_normal(h->key, 102, i); }

/* Mean outdoor temperature of a day: mid-latitude, coldest about 20 January. */
static double house_climate_K(double day) { return 283.15 - 14.0 * cos(6.283185307 * (day - 20.0) / 365.25); }

static double house_noise_of(const house *h, int i, double *last)
{
    double z = house_normal(h, 400 + (uint64_t)i);
    if (h->noise == NOISE_LASTING) z = *last = 0.4 * *last + sqrt(1.0 - 0.16) * z;
    if (h->noise == NOISE_TAILED) {
        double sum = 0.0;
        for (uint64_t k = 0; k < 4; k++) sum += pow(house_normal(h, 1000 + 10 * (uint64_t)i + k), 2.0);
        z /= sqrt(sum / 4.0) * 1.41421356; /* variance 2 */
    }
    return z;
}

/* Share of the change that a period holds. */
static double house_changed(const house *h, const tufa_bill_period *p)
{
    double a = (p->start_day + p->days - h->change_day) / p->days, b = (p->start_day + p->days - h->end_day) / p->days;
    a = fmin(fmax(a, 0.0), 1.0);
    b = fmin(fmax(b, 0.0), 1.0);
    double middle = p->start_day + 0.5 * p->days;
    switch (h->kind) {
    case TUFA_BILL_STEP: return a;
    case TUFA_BILL_PULSE:
    case TUFA_BILL_STEP_AND_BACK: return a - b;
    case TUFA_BILL_RAMP: return fmin(fmax((middle - h->change_day) / (h->end_day - h->change_day), 0.0), 1.0);
    default: return 0.0;
    }
}

static void house_fill(house *h)
{
    double day = 19000.0 + floor(700.0 * house_uniform(h, 1)), last = 0.0;
    h->base = 8.0 + 20.0 * house_uniform(h, 2);
    h->heating = 0.4 + 2.0 * house_uniform(h, 3);
    h->cooling = h->cools ? 0.4 + 1.6 * house_uniform(h, 4) : 0.0;
    h->heating_K = 273.15 + 13.0 + 6.0 * house_uniform(h, 5);
    h->cooling_K = h->heating_K + 2.0 + 3.0 * house_uniform(h, 6);
    h->mean = 0.0;
    for (int i = 0; i < h->months; i++) {
        tufa_bill_period *p = &h->p[i];
        *p = (tufa_bill_period){.start_day = day, .days = 28.0 + floor(6.0 * house_uniform(h, 20 + (uint64_t)i))};
        p->mean_K = house_climate_K(day + 0.5 * p->days) + 2.0 * house_normal(h, 200 + (uint64_t)i);
        p->flags = h->weatherless ? 0 : TUFA_BILL_HAS_MEAN;
        p->use = h->base + h->heating * fmax(h->heating_K - p->mean_K, 0.0) + h->cooling * fmax(p->mean_K - h->cooling_K, 0.0);
        if (h->weatherless) p->use = h->base * (1.0 + 0.25 * cos(6.283185307 * (day - 20.0) / 365.25));
        h->mean += p->use / h->months;
        day += p->days;
    }
    double length = day - h->p[0].start_day;
    h->change_day = h->p[0].start_day + h->at * length;
    h->end_day = h->p[0].start_day + h->until * length;
    h->change_per_day = h->size * h->noise_share * h->mean;
    for (int i = 0; i < h->months; i++) {
        tufa_bill_period *p = &h->p[i];
        double noise = house_noise_of(h, i, &last) * h->noise_share * (h->noise == NOISE_WITH_LEVEL ? p->use : h->mean);
        p->use = fmax(p->use + noise + h->change_per_day * house_changed(h, p), 0.0) * p->days;
    }
}

#endif
