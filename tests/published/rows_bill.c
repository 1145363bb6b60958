#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "tests/published/bill_data.h"
#include "tests/published/published.h"

#define OK_STATUS ((tufa_status){.code = TUFA_OK})
enum { N_NILE = sizeof NILE / sizeof NILE[0], N_ST_PAUL = sizeof ST_PAUL / sizeof ST_PAUL[0] };

static double day_of(int year, int month, int day)
{
    int y = year - (month <= 2), m = month + (month > 2 ? -3 : 9);
    long era = y / 400, yoe = y - era * 400, doy = (153 * m + 2) / 5 + day - 1;
    return (double)(era * 146097 + yoe * 365 + yoe / 4 - yoe / 100 + doy - 719468);
}

static double year_of(double day)
{
    int y = 1970 + (int)floor(day / 365.2425);
    while (day_of(y + 1, 1, 1) <= day + 0.5) y++;
    while (day_of(y, 1, 1) > day + 0.5) y--;
    return y;
}

/* ---- the series as periods ---- */

static size_t nile(tufa_bill_period *p)
{
    for (int i = 0; i < N_NILE; i++) {
        double start = day_of(1871 + i, 1, 1), days = day_of(1872 + i, 1, 1) - start;
        p[i] = (tufa_bill_period){.start_day = start, .days = days, .use = NILE[i] * days};
    }
    return N_NILE;
}

static size_t weeks(const week *w, size_t n, tufa_bill_period *p)
{
    for (size_t i = 0; i < n; i++)
        p[i] = (tufa_bill_period){.start_day = 7.0 * (double)i, .days = 7.0, .use = 7.0 * w[i].gas, .mean_K = w[i].C + 273.15,
                                  .flags = TUFA_BILL_HAS_MEAN};
    return n;
}

static size_t st_paul(tufa_bill_period *p, int electric, int without_bad)
{
    size_t n = 0;
    for (int i = 0; i < N_ST_PAUL; i++) {
        const house_bill *b = &ST_PAUL[i];
        if (without_bad && b->year == 2000 && b->month == 3) continue;
        p[n++] = (tufa_bill_period){.start_day = day_of(b->year, b->month, b->day) - b->days, .days = b->days,
                                    .use = electric ? b->kwh : b->ccf, .mean_K = (b->F + 459.67) / 1.8, .flags = TUFA_BILL_HAS_MEAN};
    }
    return n;
}

/* ---- what a row may ask ---- */

static double asked(const tufa_bill_result *r, const char *what)
{
    const struct {
        const char *name;
        double value;
    } all[] = {
        {"last_year_before", year_of(r->day.mid) - 1.0}, {"mean_before", r->base_per_day}, {"mean_after", r->base_per_day + r->per_day.mid},
        {"squares_before", r->sum_squares_no_change}, {"squares_after", r->sum_squares}, {"probability_of_step", r->probability[TUFA_BILL_STEP]},
        {"base", r->base_per_day}, {"base_se", r->base_se}, {"per_C", r->heating_per_day_K}, {"per_C_se", r->heating_se},
        {"per_F", r->heating_per_day_K / 1.8}, {"balance_F", r->heating_balance_K * 1.8 - 459.67}, {"r2", r->r2},
        {"n", (double)r->n_used}, {"changed", r->kind != TUFA_BILL_NONE}};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++)
        if (strcmp(all[i].name, what) == 0) return all[i].value;
    return (double)NAN;
}

/* Day of the reading that the stage names as wrong, as yyyymmdd; 0 when it names none. */
static double bad_reading(const tufa_bill_result *r)
{
    for (size_t i = 0; i < r->remarks.n; i++) {
        tufa_bill_remark_kind k = r->remarks.at[i].kind;
        if (k != TUFA_BILL_REMARK_WILD && k != TUFA_BILL_REMARK_CATCH_UP) continue;
        for (int b = 0; b < N_ST_PAUL; b++)
            if (fabs(day_of(ST_PAUL[b].year, ST_PAUL[b].month, ST_PAUL[b].day) - r->remarks.at[i].end_day) < 0.5)
                return ST_PAUL[b].year * 1e4 + ST_PAUL[b].month * 100.0 + ST_PAUL[b].day;
    }
    return 0.0;
}

static tufa_status read_series(row_inputs *in, tufa_bill_result *r)
{
    tufa_bill_period p[160];
    const char *series = row_text(in, "series");
    tufa_bill_options opt = {0};
    size_t n = 0;
    if (strcmp(series, "nile") == 0) n = nile(p);
    else if (strcmp(series, "weeks_before") == 0) n = weeks(WEEKS_BEFORE, sizeof WEEKS_BEFORE / sizeof WEEKS_BEFORE[0], p);
    else if (strcmp(series, "weeks_after") == 0) n = weeks(WEEKS_AFTER, sizeof WEEKS_AFTER / sizeof WEEKS_AFTER[0], p);
    else n = st_paul(p, strcmp(series, "st_paul_electric") == 0, row_has(in, "without_bad"));
    if (row_has(in, "plain")) /* ordinary least squares without any search for a change or a wild reading */
        opt = (tufa_bill_options){.kinds = 1u << TUFA_BILL_NONE, .keep_wild = 1, .equal_weights = 1};
    if (strncmp(series, "weeks", 5) == 0) opt.forms = 1u << TUFA_BILL_2P;
    if (row_has(in, "plain") && strncmp(series, "st_paul", 7) == 0) opt.forms = 1u << TUFA_BILL_3PH;
    size_t bytes = tufa_bill_bytes(n);
    tufa_arena a = {.base = malloc(bytes), .size = bytes};
    tufa_status st = tufa_bill_read(n, p, 0, 0.0, NULL, &opt, &a, r);
    free(a.base);
    return st;
}

static tufa_status bill_series_row(row_inputs *in, double *value)
{
    tufa_bill_result *r = calloc(1, sizeof *r);
    tufa_status st = read_series(in, r);
    const char *what = row_text(in, "asked");
    if (st.code == TUFA_OK) *value = strcmp(what, "bad_reading") == 0 ? bad_reading(r) : asked(r, what);
    free(r);
    return st;
}

static tufa_status trace_row(row_inputs *in, double *value)
{
    void *memory = malloc(tufa_bill_stream_bytes());
    tufa_bill_stream *s = NULL;
    tufa_bill_interval_result r;
    double t = 86400.0 * day_of(2006, 12, 16) + 17.0 * 3600.0 + 24.0 * 60.0;
    tufa_status st = tufa_bill_interval_start(memory, tufa_bill_stream_bytes(), NULL, &s);
    for (size_t i = 0; i < sizeof TRACE / sizeof TRACE[0] && st.code == TUFA_OK; i++)
        for (const char *c = TRACE[i]; *c && st.code == TUFA_OK; c++, t += 60.0)
            if (*c != '-') st = tufa_bill_interval_add(s, t, 60.0, 3600.0 * (*c - 'A'));
    if (st.code == TUFA_OK) st = tufa_bill_interval_finish(s, &r);
    free(memory);
    if (st.code != TUFA_OK) return st;
    const char *what = row_text(in, "asked");
    *value = strcmp(what, "kWh") == 0 ? r.energy_J / 3.6e6 : strcmp(what, "level_W") == 0 ? r.heater_W : strcmp(what, "on_share") == 0 ? r.heater_duty
           : strcmp(what, "alone") == 0 ? (double)r.heater_alone : (double)NAN;
    return OK_STATUS;
}

const row_kind bill_rows[] = {{"series", bill_series_row}, {"trace", trace_row}, {0}};
