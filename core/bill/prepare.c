/* From raw bill readings to periods that a fit may use: order, estimates joined with their correction, overlaps cut. */
#include <math.h>
#include <string.h>

#include "core/bill/series.h"
#include "core/base/status.h"

static const struct {
    const char *name, *words;
} REMARK[TUFA_BILL_REMARK_COUNT] = {
#define X(id, name, words) [TUFA_BILL_REMARK_##id] = {name, words},
#include "tufa/bill_remarks.def"
#undef X
};

const char *tufa_bill_remark_name(tufa_bill_remark_kind kind)
{
    return (unsigned)kind < TUFA_BILL_REMARK_COUNT ? REMARK[kind].name : "";
}

const char *tufa_bill_remark_words(tufa_bill_remark_kind kind)
{
    return (unsigned)kind < TUFA_BILL_REMARK_COUNT ? REMARK[kind].words : "";
}

void bill_remark(tufa_bill_remarks *r, tufa_bill_remark_kind kind, double day, double end_day, double value, double expected)
{
    if (r->n == TUFA_BILL_MAX_REMARKS) {
        r->lost++;
        return;
    }
    r->at[r->n++] = (tufa_bill_remark){.kind = kind, .day = day, .end_day = end_day, .value = value, .expected = expected};
}

double bill_end(const tufa_bill_period *p) { return p->start_day + p->days; }

/* Insertion sort: files come in order, or nearly so; equal starts keep their order in the file. */
static void sort_by_start(size_t n, tufa_bill_period *p)
{
    for (size_t i = 1; i < n; i++) {
        tufa_bill_period x = p[i];
        size_t j = i;
        for (; j > 0 && p[j - 1].start_day > x.start_day; j--) p[j] = p[j - 1];
        p[j] = x;
    }
}

/* The period that both make together; temperatures weighted by days. */
static tufa_bill_period join(const tufa_bill_period *a, const tufa_bill_period *b)
{
    double end = fmax(bill_end(a), bill_end(b));
    unsigned both = a->flags & b->flags & (TUFA_BILL_HAS_MEAN | TUFA_BILL_HAS_COST);
    unsigned either = (a->flags | b->flags) & (TUFA_BILL_METER_CHANGED | TUFA_BILL_VACANT | TUFA_BILL_NEW_HOUSEHOLD);
    return (tufa_bill_period){.start_day = a->start_day,
                              .days = end - a->start_day,
                              .use = a->use + b->use,
                              .cost = a->cost + b->cost,
                              .mean_K = (a->mean_K * a->days + b->mean_K * b->days) / (a->days + b->days),
                              .flags = both | either};
}

tufa_bill_period bill_join(const tufa_bill_period *a, const tufa_bill_period *b) { return join(a, b); }

static tufa_status check_period(const tufa_bill_period *p)
{
    enum { LONGEST_DAYS = 400, FIRST_DAY = -200000, LAST_DAY = 200000 }; /* years 1422 to 2517: a river's record, too */
    RETURN_IF(in_range("use", p->use, 0.0, 1e12));
    RETURN_IF(in_range("days", p->days, 1e-3, LONGEST_DAYS));
    RETURN_IF(in_range("start_day", p->start_day, FIRST_DAY, LAST_DAY));
    if (p->flags & TUFA_BILL_HAS_MEAN) RETURN_IF(in_range("mean_K", p->mean_K, 200.0, 330.0));
    return OK;
}

/* What overlaps: the same period twice, or a part of one. */
static size_t cut_overlaps(size_t n, tufa_bill_period *p, tufa_bill_remarks *r)
{
    const double SLACK_DAYS = 1.5; /* readings are dated by day: neighbours may share one */
    size_t m = 0;
    for (size_t i = 0; i < n; i++) {
        tufa_bill_period *last = m ? &p[m - 1] : NULL;
        double over = last ? bill_end(last) - p[i].start_day : 0.0;
        if (!last || over <= fmin(SLACK_DAYS, 0.4 * fmin(last->days, p[i].days))) {
            p[m++] = p[i];
            continue;
        }
        if (over > 0.9 * fmax(last->days, p[i].days)) { /* the same period: a real reading wins, else the later row */
            bill_remark(r, TUFA_BILL_REMARK_TWICE, p[i].start_day, bill_end(&p[i]), p[i].use, last->use);
            if (!(p[i].flags & TUFA_BILL_ESTIMATED) || (last->flags & TUFA_BILL_ESTIMATED)) *last = p[i];
            continue;
        }
        bill_remark(r, TUFA_BILL_REMARK_OVERLAP, p[i].start_day, bill_end(last), over, 0.0);
        double left = p[i].days - over;
        if (left < 0.1 * p[i].days) continue; /* lies within the one before */
        tufa_bill_period rest = p[i];
        rest.start_day = bill_end(last);
        rest.use *= left / p[i].days;
        rest.cost *= left / p[i].days;
        rest.days = left;
        p[m++] = rest;
    }
    return m;
}

static size_t join_estimates(size_t n, tufa_bill_period *p, tufa_bill_remarks *r)
{
    size_t m = 0;
    for (size_t i = 0; i < n; i++) {
        tufa_bill_period x = p[i];
        size_t first = i;
        int open = (x.flags & TUFA_BILL_ESTIMATED) != 0;
        while (open && i + 1 < n && p[i + 1].start_day - bill_end(&x) < 2.0) {
            int ends = !(p[i + 1].flags & TUFA_BILL_ESTIMATED);
            x = join(&x, &p[++i]);
            if (ends) open = 0;
        }
        if (open) {
            bill_remark(r, TUFA_BILL_REMARK_ESTIMATE_LEFT, p[first].start_day, bill_end(&x), (double)(i - first + 1), 0.0);
            continue;
        }
        if (i > first) bill_remark(r, TUFA_BILL_REMARK_ESTIMATED, p[first].start_day, bill_end(&x), (double)(i - first), 0.0);
        p[m++] = x;
    }
    return m;
}

static void remark_rows(size_t n, const tufa_bill_period *p, tufa_bill_remarks *r)
{
    for (size_t i = 0; i < n; i++) {
        double gap = i ? p[i].start_day - bill_end(&p[i - 1]) : 0.0;
        if (gap > 3.0) bill_remark(r, TUFA_BILL_REMARK_GAP, bill_end(&p[i - 1]), p[i].start_day, gap, 0.0);
        if (p[i].flags & TUFA_BILL_METER_CHANGED) bill_remark(r, TUFA_BILL_REMARK_METER_CHANGED, p[i].start_day, bill_end(&p[i]), 0.0, 0.0);
        if (p[i].flags & TUFA_BILL_NEW_HOUSEHOLD) bill_remark(r, TUFA_BILL_REMARK_NEW_HOUSEHOLD, p[i].start_day, bill_end(&p[i]), 0.0, 0.0);
        if (p[i].flags & TUFA_BILL_VACANT) bill_remark(r, TUFA_BILL_REMARK_VACANT, p[i].start_day, bill_end(&p[i]), p[i].use / p[i].days, 0.0);
    }
}

tufa_status tufa_bill_prepare(size_t n, const tufa_bill_period *in, tufa_bill_period *out, size_t *n_out,
                              tufa_bill_remarks *remarks)
{
    if (n == 0 || n > TUFA_BILL_MAX_PERIODS) return in_range("periods", (double)n, 1, TUFA_BILL_MAX_PERIODS);
    for (size_t i = 0; i < n; i++) RETURN_IF(check_period(&in[i]));
    tufa_bill_remarks r = {0};
    memmove(out, in, n * sizeof *in);
    sort_by_start(n, out);
    size_t m = cut_overlaps(n, out, &r);
    if (m < 2 && n > 2) return trouble(TUFA_CONFLICT, "start_day", "all periods have one and the same date");
    m = join_estimates(m, out, &r);
    remark_rows(m, out, &r);
    *n_out = m;
    *remarks = r;
    return OK;
}
