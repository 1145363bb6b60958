#include "edge/import/bills.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/units.h"
#include "edge/say/day.h"
#include "edge/say/units.h"

const bill_unit_row bill_units[BILL_UNIT_COUNT] = {
#define X(id, name, gas, joules, lo, hi, names, print) [BILL_UNIT_##id] = {name, gas, joules, lo, hi, names, print},
#include "edge/import/bill_units.def"
#undef X
};

enum { NAME = 64, COLUMNS = CSV_MOST_COLUMNS };

/* ---- columns ---- */

typedef enum role {
    UNUSED, DATE, START, END, YEAR, MONTH, DAY, DAYS, MEAN, HIGH, LOW, COST, ESTIMATED, VACANT, NEW_PEOPLE, NEW_METER, METER, NOTE, USE
} role;

typedef struct column {
    role role;
    int unit;       /* of USE */
    int gas;        /* of COST: 1 gas, 0 electricity, -1 whichever it is */
    int fahrenheit; /* of temperatures: 1, 0, -1 not said */
    char plain[NAME];
} column;

static const struct {
    role role;
    const char *names;
} ROLES[] = {
    {DATE, "date|read_date|reading_date|bill_date|billing_date|meter_read_date|statement_date"},
    {START, "start|start_date|from|from_date|period_start|begin|begin_date|service_from"},
    {END, "end|end_date|to|to_date|period_end|service_to|thru|through"},
    {YEAR, "year|yr"},
    {MONTH, "month|mo|bill_month"},
    {DAY, "day|day_of_month"},
    {DAYS, "days|billing_days|days_billed|number_of_days|num_days|period_days|length_days|bill_days"},
    {COST, "cost|cost_usd|bill|bill_usd|amount|amount_due|charge|charges|total|total_bill|dollars|usd|price_paid"},
    {ESTIMATED, "estimated|estimate|est|is_estimated|read_type|reading_type|read_code"},
    {VACANT, "vacant|empty|vacancy|house_empty"},
    {NEW_PEOPLE, "new_household|new_tenant|new_tenants|tenant_change|household_change|moved_in"},
    {NEW_METER, "new_meter|meter_change|meter_changed"},
    {METER, "meter|meter_number|meter_no|meter_id"},
    {NOTE, "note|notes|owner_note|remark|remarks|comment|comments"},
};

static bool ends_with(const char *s, const char *end, size_t n)
{
    size_t len = strlen(s);
    return len >= n && strncmp(s + len - n, end, n) == 0 && (len == n || s[len - n - 1] == '_');
}

int bill_unit_of_header(const char *plain)
{
    if (strstr(plain, "per_day") || strstr(plain, "per_month")) return -1; /* a rate, not what the period used */
    for (int whole = 1; whole >= 0; whole--)
        for (int u = 0; u < BILL_UNIT_COUNT; u++)
            for (const char *p = bill_units[u].names; *p;) {
                size_t n = strcspn(p, "|");
                if (whole ? strlen(plain) == n && strncmp(plain, p, n) == 0 : ends_with(plain, p, n)) return u;
                p += n + (p[n] == '|');
            }
    return -1;
}

static int temperature_unit(const char *plain)
{
    static const char *const F[] = {"f", "degf", "deg_f", "fahrenheit"}, *const C[] = {"c", "degc", "deg_c", "celsius"};
    for (size_t i = 0; i < 4; i++) {
        if (ends_with(plain, F[i], strlen(F[i]))) return 1;
        if (ends_with(plain, C[i], strlen(C[i]))) return 0;
    }
    return -1;
}

static column read_header(const char *header)
{
    column c = {.unit = -1, .gas = -1, .fahrenheit = -1};
    csv_plain_name(header, c.plain, sizeof c.plain);
    for (size_t i = 0; i < sizeof ROLES / sizeof ROLES[0]; i++)
        if (name_is_one_of(c.plain, strlen(c.plain), ROLES[i].names)) {
            c.role = ROLES[i].role;
            return c;
        }
    bool money = strstr(c.plain, "bill") || strstr(c.plain, "cost") || strstr(c.plain, "amount");
    if (money && (strstr(c.plain, "gas") || strstr(c.plain, "elec"))) {
        c.role = COST;
        c.gas = strstr(c.plain, "gas") != NULL;
        return c;
    }
    if (strstr(c.plain, "temp")) {
        bool high = strstr(c.plain, "max") || strstr(c.plain, "high"), low = strstr(c.plain, "min") || strstr(c.plain, "low");
        c.role = high ? HIGH : low ? LOW : MEAN;
        c.fahrenheit = temperature_unit(c.plain);
        return c;
    }
    c.unit = bill_unit_of_header(c.plain);
    if (c.unit >= 0) c.role = USE;
    return c;
}

typedef struct table {
    const csv *t;
    const char *name;
    trouble_note *note;
    column col[COLUMNS];
    int at[USE + 1]; /* first column of a role, -1 when there is none */
    const char *value; /* of the cell being read */
} table;

static bool refuse(table *b, size_t row, int col, tufa_code code, const char *allowed, const char *why)
{
    bool has_row = row < b->t->rows;
    note_set(b->note, code, col >= 0 ? b->t->header[col] : "", has_row && col >= 0 ? csv_at(b->t, row, (size_t)col) : "", allowed, why);
    csv_where(b->note, b->name, has_row ? b->t->line[row] : 0);
    return false;
}

static bool read_headers(table *b)
{
    for (int r = 0; r <= USE; r++) b->at[r] = -1;
    for (size_t i = 0; i < b->t->columns; i++) {
        b->col[i] = read_header(b->t->header[i]);
        role r = b->col[i].role;
        if (r == UNUSED) continue;
        if (b->at[r] >= 0 && r != USE && r != COST && r != NOTE)
            return refuse(b, SIZE_MAX, (int)i, TUFA_CONFLICT, "", "two columns say the same thing; keep one");
        if (b->at[r] < 0) b->at[r] = (int)i;
    }
    return true;
}

/* ---- cells ---- */

/* A number with thousands commas and a dollar sign, nothing behind it. */
static bool number(const char *s, double *x)
{
    char digits[64];
    size_t n = 0;
    while (isspace((unsigned char)*s) || *s == '$') s++;
    for (; *s && n + 1 < sizeof digits; s++)
        if (*s != ',') digits[n++] = *s;
    digits[n] = 0;
    if (n == 0 || *s || strpbrk(digits, "xXnNpP")) return false;
    char *end;
    *x = strtod(digits, &end);
    while (isspace((unsigned char)*end)) end++;
    return *end == 0 && isfinite(*x);
}

static bool is_blank(const char *s) { return s[0] == 0 || !strcmp(s, "-") || !strcmp(s, "NA") || !strcmp(s, "n/a") || !strcmp(s, "?"); }

/* 1 yes, 0 no, -1 neither. */
static int yes_no(const char *s)
{
    if (is_blank(s) || name_is_one_of(s, strlen(s), "no|n|0|false|a|act|actual|read|f|regular|c|customer")) return 0;
    return name_is_one_of(s, strlen(s), "yes|y|1|true|t|x|e|est|estimate|estimated|vacant|empty|new") ? 1 : -1;
}

static int month_number(const char *s)
{
    static const char *const MONTHS[] = {"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"};
    for (int m = 0; m < 12; m++)
        if (tolower((unsigned char)s[0]) == MONTHS[m][0] && s[0] && tolower((unsigned char)s[1]) == MONTHS[m][1] && s[1] &&
            tolower((unsigned char)s[2]) == MONTHS[m][2])
            return m + 1;
    return 0;
}

/* "25 Mar 2024", "Mar 25, 2024", "25-Mar-24", "2024/03/25", "3/25/24" */
static bool loose_day(const char *s, int64_t *day)
{
    int n[3], count = 0, month = 0, year, dom, first = 0;
    for (const char *p = s; *p && count < 3;) {
        if (isdigit((unsigned char)*p)) {
            char *end;
            long v = strtol(p, &end, 10);
            if (v > 9999 || end - p > 4) return false;
            if (count == 0) first = (int)(end - p);
            n[count++] = (int)v;
            p = end;
        } else if (isalpha((unsigned char)*p)) {
            if (month || !(month = month_number(p))) return false;
            while (isalpha((unsigned char)*p)) p++;
        } else if (strchr(" ,./-", *p)) {
            p++;
        } else {
            return false;
        }
    }
    if (count != (month ? 2 : 3)) return false;
    if (month) year = first == 4 ? n[0] : n[1], dom = first == 4 ? n[1] : n[0];
    else if (first == 4) year = n[0], month = n[1], dom = n[2];
    else month = n[0], dom = n[1], year = n[2]; /* as in the US */
    if (year < 100) year += year < 70 ? 2000 : 1900;
    if (!ymd_exists(year, month, dom)) return false;
    *day = day_from_ymd(year, month, dom);
    return true;
}

bool bill_day(const char *s, int64_t *day)
{
    char head[40];
    size_t n = strcspn(s, "T");
    const char *colon = strchr(s, ':');
    if (colon && s + n > colon) { /* "3/25/2024 0:00": the time begins behind the last space before its colon */
        n = (size_t)(colon - s);
        while (n > 0 && s[n - 1] != ' ') n--;
    }
    if (n >= sizeof head) return false;
    memcpy(head, s, n);
    while (n > 0 && head[n - 1] == ' ') n--;
    head[n] = 0;
    return day_parse(head, day) || loose_day(head, day);
}

static const char *cell(const table *b, size_t row, role r) { return b->at[r] < 0 ? "" : csv_at(b->t, row, (size_t)b->at[r]); }

static bool cell_number(table *b, size_t row, int col, double lo, double hi, double *x)
{
    char allowed[64];
    snprintf(allowed, sizeof allowed, "%g to %g", lo, hi);
    if (!number(csv_at(b->t, row, (size_t)col), x)) return refuse(b, row, col, TUFA_PARSE, "", "this is not a number");
    if (*x < lo || *x > hi)
        return refuse(b, row, col, TUFA_RANGE, allowed,
                      *x < 0.0 && lo == 0.0 ? "use below nothing: a credit, or power sold back? tufa takes what the house used" : "");
    return true;
}

static bool cell_day(table *b, size_t row, role r, int64_t *day)
{
    if (bill_day(cell(b, row, r), day)) return true;
    return refuse(b, row, b->at[r], TUFA_PARSE, "2024-03-25 or 3/25/2024", "this is not a day that exists");
}

static bool cell_K(table *b, size_t row, int col, double *K)
{
    double x;
    int f = b->col[col].fahrenheit;
    if (f < 0)
        return refuse(b, SIZE_MAX, col, TUFA_UNIT, "mean_temp_f or mean_temp_c", "say in the header whether this is Fahrenheit or Celsius");
    if (!f && number(csv_at(b->t, row, (size_t)col), &x) && x > 55.0 && x <= 130.0)
        return refuse(b, row, col, TUFA_UNIT, "-62 to 55", "this looks like Fahrenheit under a header that says Celsius");
    if (!cell_number(b, row, col, f ? -80.0 : -62.0, f ? 130.0 : 55.0, &x)) return false;
    *K = f ? K_from_F(x) : K_from_C(x);
    return true;
}

/* ---- rows ---- */

typedef struct row_days {
    double start, end; /* NAN where not said */
    double days;       /* NAN where not said */
    double mark;       /* the one date that a row may have */
} row_days;

static void whole_month(int y, int m, row_days *d)
{
    d->start = (double)day_from_ymd(y, m, 1);
    d->end = (double)day_from_ymd(m == 12 ? y + 1 : y, m == 12 ? 1 : m + 1, 1);
}

/* "2024-03" */
static bool month_alone(const char *s, int *y, int *m)
{
    int n = 0;
    return sscanf(s, "%4d-%2d%n", y, m, &n) == 2 && s[n] == 0 && n >= 6 && ymd_exists(*y, *m, 1);
}

static bool month_days(table *b, size_t row, row_days *d)
{
    double year, month, dom = 0.0;
    if (!cell_number(b, row, b->at[YEAR], 1900.0, 2199.0, &year)) return false;
    month = month_number(cell(b, row, MONTH));
    if (month == 0.0 && !cell_number(b, row, b->at[MONTH], 1.0, 12.0, &month)) return false;
    if (b->at[DAY] >= 0) {
        if (!cell_number(b, row, b->at[DAY], 1.0, 31.0, &dom)) return false;
        if (!ymd_exists((int)year, (int)month, (int)dom)) return refuse(b, row, b->at[DAY], TUFA_RANGE, "", "there is no such day in this month");
        d->mark = (double)day_from_ymd((int)year, (int)month, (int)dom);
        return true;
    }
    whole_month((int)year, (int)month, d);
    return true;
}

static bool row_dates(table *b, size_t row, row_days *d)
{
    int64_t day;
    *d = (row_days){NAN, NAN, NAN, NAN};
    if (b->at[DAYS] >= 0 && !is_blank(cell(b, row, DAYS)) && !cell_number(b, row, b->at[DAYS], 0.5, 20000.0, &d->days)) return false;
    if (b->at[START] >= 0) {
        if (!cell_day(b, row, START, &day)) return false;
        d->start = (double)day;
    }
    if (b->at[END] >= 0) {
        if (!cell_day(b, row, END, &day)) return false;
        d->end = (double)day;
    }
    int y, m;
    if (b->at[DATE] >= 0 && month_alone(cell(b, row, DATE), &y, &m)) {
        whole_month(y, m, d);
    } else if (b->at[DATE] >= 0) {
        if (!cell_day(b, row, DATE, &day)) return false;
        d->mark = (double)day;
    } else if (b->at[YEAR] >= 0) {
        return month_days(b, row, d);
    }
    return true;
}

/* Whether the dates of the rows are the first days of their periods: whichever makes the periods meet better. */
static bool dates_start(const row_days *d, size_t n)
{
    double as_end = 0.0, as_start = 0.0;
    for (size_t i = 1; i < n; i++) {
        double gap = d[i].mark - d[i - 1].mark;
        if (isnan(gap) || isnan(d[i].days) || isnan(d[i - 1].days) || gap <= 0.0 || gap > 45.0) continue;
        as_end += fabs(gap - d[i].days);
        as_start += fabs(gap - d[i - 1].days);
    }
    return as_start + 0.5 < as_end;
}

static int by_mark(const void *a, const void *b)
{
    double x = ((const row_days *)a)->mark, y = ((const row_days *)b)->mark;
    return (x > y) - (x < y);
}

/* The end of the reading before this one, for rows that have a date alone. */
static double mark_before(const row_days *sorted, size_t n, double mark)
{
    double before = NAN;
    for (size_t i = 0; i < n && sorted[i].mark < mark; i++) before = sorted[i].mark;
    return before;
}

static bool complete_dates(table *b, row_days *d, bool *starts)
{
    size_t n = b->t->rows, same = 0;
    *starts = dates_start(d, n);
    row_days *sorted = malloc((n ? n : 1) * sizeof *sorted);
    if (!sorted) return refuse(b, SIZE_MAX, -1, TUFA_MEMORY, "", "");
    memcpy(sorted, d, n * sizeof *d);
    qsort(sorted, n, sizeof *sorted, by_mark);
    bool ok = true;
    for (size_t i = 0; i < n && ok; i++) {
        if (i && !isnan(d[i].mark) && d[i].mark == d[i - 1].mark) same++;
        if (!isnan(d[i].start) && !isnan(d[i].end)) {
            if (d[i].end <= d[i].start) ok = refuse(b, i, b->at[END], TUFA_CONFLICT, "", "the period ends before it begins");
        } else if (!isnan(d[i].start) && !isnan(d[i].days)) {
            d[i].end = d[i].start + d[i].days;
        } else {
            double end = !isnan(d[i].end) ? d[i].end : d[i].mark, length = d[i].days;
            if (isnan(end)) ok = refuse(b, i, -1, TUFA_MISSING, "", "this row has no date");
            if (isnan(length)) length = end - mark_before(sorted, n, end); /* since the reading before */
            d[i].start = *starts ? end : end - length;
            d[i].end = *starts ? end + length : end;
        }
    }
    free(sorted);
    if (ok && n > 2 && same + 1 == n) return refuse(b, 0, b->at[DATE], TUFA_CONFLICT, "", "every row has this one date");
    return ok;
}

/* ---- sense of the figures ---- */

static double column_median(const table *b, int col, bool *ok)
{
    size_t n = 0;
    double *v = malloc((b->t->rows + 1) * sizeof *v), m = 0.0;
    *ok = v != NULL;
    for (size_t i = 0; v && i < b->t->rows; i++) n += number(csv_at(b->t, i, (size_t)col), &v[n]) ? 1 : 0;
    if (v && n) m = tufa_quantile(n, v, 0.5);
    else *ok = false;
    free(v);
    return m;
}

/* Days in the hundreds and a use that looks like days. */
static bool not_swapped(table *b)
{
    bool ok_days, ok_use;
    if (b->at[DAYS] < 0) return true;
    double days = column_median(b, b->at[DAYS], &ok_days), use = column_median(b, b->at[USE], &ok_use);
    if (!ok_days || !ok_use || !(days > 100.0 && use >= 20.0 && use <= 66.0)) return true;
    char given[64];
    snprintf(given, sizeof given, "%s of %.4g, days of %.4g", b->t->header[b->at[USE]], use, days);
    note_set(b->note, TUFA_CONFLICT, b->t->header[b->at[DAYS]], given, "", "the columns of days and of use look swapped; check their headers");
    csv_where(b->note, b->name, b->t->line[0]);
    return false;
}

static bool size_of_a_house(table *b, const bill_fuel *f, int col)
{
    const bill_unit_row *u = &bill_units[f->unit];
    double use = 0.0, days = 0.0;
    for (size_t i = 0; i < f->n; i++) {
        use += f->p[i].use;
        days += f->p[i].days;
    }
    if (f->n < 3 || days <= 0.0 || use == 0.0 || (use / days >= u->lo && use / days <= u->hi)) return true;
    char given[64], allowed[64], why[200];
    snprintf(given, sizeof given, "%.3g %s a day", use / days, u->print);
    snprintf(allowed, sizeof allowed, "%g to %g %s a day", u->lo, u->hi, u->print);
    snprintf(why, sizeof why, "no house uses %s; is the unit another one than the header says (%s)?", use / days > u->hi ? "so much" : "so little",
             f->unit == BILL_UNIT_KWH ? (use / days > u->hi ? "Wh, or the reading of the meter itself" : "MWh") : "cubic feet, ccf, therms, kWh");
    note_set(b->note, TUFA_UNIT, b->t->header[col], given, allowed, why);
    csv_where(b->note, b->name, 0);
    return false;
}

/* Fahrenheit under a Celsius header, or the reverse, shows over a year. */
static bool sensible_temperatures(table *b, const bill_fuel *f)
{
    double hottest = -1e9, coldest = 1e9;
    int col = b->at[MEAN];
    if (col < 0 || f->n < 9) return true;
    for (size_t i = 0; i < f->n; i++) {
        if (!(f->p[i].flags & TUFA_BILL_HAS_MEAN)) continue;
        hottest = fmax(hottest, f->p[i].mean_K);
        coldest = fmin(coldest, f->p[i].mean_K);
    }
    bool f_header = b->col[col].fahrenheit == 1;
    bool too_hot = !f_header && hottest > K_from_C(43.0);
    bool too_cold = f_header && f->n >= 11 && hottest < K_from_F(38.0) && coldest < hottest - 3.0;
    if (!too_hot && !too_cold) return true;
    char given[64];
    snprintf(given, sizeof given, "%.0f to %.0f", f_header ? F_from_K(coldest) : C_from_K(coldest), f_header ? F_from_K(hottest) : C_from_K(hottest));
    note_set(b->note, TUFA_UNIT, b->t->header[col], given, "", too_hot ? "this looks like Fahrenheit under a header that says Celsius"
                                                                     : "this looks like Celsius under a header that says Fahrenheit");
    csv_where(b->note, b->name, 0);
    return false;
}

/* ---- the whole file ---- */

static int cost_column(const table *b, bill_unit unit, size_t fuels)
{
    for (int any = 0; any < 2; any++)
        for (size_t i = 0; i < b->t->columns; i++) {
            const column *c = &b->col[i];
            if (c->role != COST) continue;
            if (any ? c->gas < 0 && fuels == 1 : c->gas == bill_units[unit].gas) return (int)i;
        }
    return -1;
}

static bool flag_of(table *b, size_t row, role r, unsigned flag, unsigned *flags)
{
    if (b->at[r] < 0) return true;
    int yes = yes_no(cell(b, row, r));
    if (yes < 0) return refuse(b, row, b->at[r], TUFA_PARSE, "yes or no", "this is neither yes nor no");
    if (yes) *flags |= flag;
    return true;
}

static bool row_flags(table *b, size_t row, tufa_bill_period *p)
{
    if (!flag_of(b, row, ESTIMATED, TUFA_BILL_ESTIMATED, &p->flags) || !flag_of(b, row, VACANT, TUFA_BILL_VACANT, &p->flags) ||
        !flag_of(b, row, NEW_PEOPLE, TUFA_BILL_NEW_HOUSEHOLD, &p->flags) ||
        !flag_of(b, row, NEW_METER, TUFA_BILL_METER_CHANGED, &p->flags))
        return false;
    if (b->at[METER] >= 0 && row > 0) {
        const char *now = cell(b, row, METER), *was = cell(b, row - 1, METER);
        if (!is_blank(now) && !is_blank(was) && strcmp(now, was) != 0) p->flags |= TUFA_BILL_METER_CHANGED;
    }
    return true;
}

static bool read_fuel(table *b, const row_days *d, int col, size_t fuels, bill_fuel *f)
{
    int money = cost_column(b, f->unit, fuels);
    for (size_t i = 0; i < b->t->rows; i++) {
        if (is_blank(csv_at(b->t, i, (size_t)col))) {
            f->empty++;
            continue;
        }
        tufa_bill_period p = {.start_day = d[i].start, .days = d[i].end - d[i].start};
        if (!cell_number(b, i, col, 0.0, 1e9, &p.use)) return false;
        if (isnan(p.days)) { /* the first date alone only begins the first period */
            f->empty++;
            continue;
        }
        if (p.days > 400.0) return refuse(b, i, b->at[DAYS] >= 0 ? b->at[DAYS] : b->at[DATE], TUFA_RANGE, "at most 400 days", "one period cannot be that long");
        if (b->at[MEAN] >= 0 && !is_blank(cell(b, i, MEAN))) {
            if (!cell_K(b, i, b->at[MEAN], &p.mean_K)) return false;
            p.flags |= TUFA_BILL_HAS_MEAN;
        }
        if (money >= 0 && !is_blank(csv_at(b->t, i, (size_t)money))) {
            if (!cell_number(b, i, money, -1e7, 1e7, &p.cost)) return false;
            p.flags |= TUFA_BILL_HAS_COST;
        }
        if (!row_flags(b, i, &p)) return false;
        f->p[f->n++] = p;
    }
    return size_of_a_house(b, f, col) && sensible_temperatures(b, f);
}

static void read_notes(const table *b, const row_days *d, bill_file *out)
{
    if (b->at[NOTE] < 0) return;
    out->note = calloc(b->t->rows ? b->t->rows : 1, sizeof *out->note);
    for (size_t i = 0; out->note && i < b->t->rows; i++) {
        const char *s = cell(b, i, NOTE);
        if (!s[0]) continue;
        out->note[out->notes].end_day = d[i].end;
        trouble_note cut = {0};
        note_set(&cut, TUFA_OK, "", s, "", ""); /* shortened, control signs replaced */
        snprintf(out->note[out->notes++].words, BILLS_NOTE, "%.*s", BILLS_NOTE - 1, cut.value);
    }
}

static bool has_what_it_takes(table *b)
{
    const char *why = NULL;
    if (b->at[USE] < 0) why = "no column holds what was used; its header names the unit: kwh, therm, ccf or m3";
    else if (b->at[DATE] < 0 && b->at[END] < 0 && b->at[START] < 0 && (b->at[YEAR] < 0 || b->at[MONTH] < 0))
        why = "no column holds the date of the reading: date, or year and month, or start and end";
    else if (b->t->rows == 0) why = "there is a header but no bill reading";
    else if (b->t->rows > TUFA_BILL_MAX_PERIODS) why = "there are more than 480 bill readings; is this a file of interval readings?";
    return !why || refuse(b, SIZE_MAX, -1, TUFA_MISSING, "", why);
}

static bool read_fuels(table *b, const row_days *d, bill_file *out)
{
    size_t fuels = 0;
    for (size_t i = 0; i < b->t->columns; i++) fuels += b->col[i].role == USE;
    for (size_t i = 0; i < b->t->columns; i++) {
        if (b->col[i].role == UNUSED) text_addf(&out->unused, "%s%s", out->unused.len ? ", " : "", b->t->header[i]);
        if (b->col[i].role != USE) continue;
        if (out->fuels == BILLS_MOST_FUELS) return refuse(b, SIZE_MAX, (int)i, TUFA_RANGE, "four", "too many columns of use");
        for (size_t k = 0; k < out->fuels; k++)
            if (out->fuel[k].unit == (bill_unit)b->col[i].unit) return refuse(b, SIZE_MAX, (int)i, TUFA_CONFLICT, "", "two columns hold the same use; keep one");
        bill_fuel *f = &out->fuel[out->fuels++];
        f->unit = (bill_unit)b->col[i].unit;
        f->p = calloc(b->t->rows, sizeof *f->p);
        if (!f->p) return refuse(b, SIZE_MAX, -1, TUFA_MEMORY, "", "");
        if (!read_fuel(b, d, (int)i, fuels, f)) return false;
    }
    return true;
}

bool bills_read(const csv *t, const char *name, bill_file *out, trouble_note *note)
{
    table *b = calloc(1, sizeof *b);
    row_days *d = calloc(t->rows ? t->rows : 1, sizeof *d);
    *out = (bill_file){0};
    bool ok = b && d;
    if (!ok) note_set(note, TUFA_MEMORY, "", "", "", "");
    if (ok) *b = (table){.t = t, .name = name, .note = note};
    ok = ok && read_headers(b) && has_what_it_takes(b) && not_swapped(b);
    for (size_t i = 0; ok && i < t->rows; i++) ok = row_dates(b, i, &d[i]);
    ok = ok && complete_dates(b, d, &out->dates_are_starts) && read_fuels(b, d, out);
    if (ok) {
        out->weather = b->at[MEAN] >= 0;
        out->fahrenheit = out->weather && b->col[b->at[MEAN]].fahrenheit == 1;
        read_notes(b, d, out);
    } else {
        bills_free(out);
    }
    free(d);
    free(b);
    return ok;
}

void bills_free(bill_file *f)
{
    for (size_t i = 0; i < f->fuels; i++) free(f->fuel[i].p);
    text_free(&f->unused);
    free(f->note);
    *f = (bill_file){0};
}

/* ---- daily temperatures ---- */

typedef struct day_temp {
    int64_t day;
    double K;
} day_temp;

static int by_day(const void *a, const void *b)
{
    int64_t x = ((const day_temp *)a)->day, y = ((const day_temp *)b)->day;
    return (x > y) - (x < y);
}

static bool read_day_temps(table *b, day_temp *d)
{
    for (size_t i = 0; i < b->t->rows; i++) {
        double high, low;
        if (!cell_day(b, i, DATE, &d[i].day)) return false;
        if (b->at[MEAN] >= 0) {
            if (!cell_K(b, i, b->at[MEAN], &d[i].K)) return false;
        } else {
            if (!cell_K(b, i, b->at[HIGH], &high) || !cell_K(b, i, b->at[LOW], &low)) return false;
            d[i].K = 0.5 * (high + low);
        }
    }
    return true;
}

static bool fill_days(table *b, const day_temp *d, size_t n, daily_temps *out)
{
    enum { LONGEST_HOLE = 14, MOST_DAYS = 40000 };
    int64_t days = d[n - 1].day - d[0].day + 1;
    if (days > MOST_DAYS) return refuse(b, SIZE_MAX, b->at[DATE], TUFA_RANGE, "at most 40000 days", "the days lie too far apart");
    *out = (daily_temps){.first_day = (double)d[0].day, .n = (size_t)days, .K = malloc((size_t)days * sizeof(double))};
    if (!out->K) return refuse(b, SIZE_MAX, -1, TUFA_MEMORY, "", "");
    for (size_t i = 0; i < n; i++) {
        int64_t at = d[i].day - d[0].day, next = i + 1 < n ? d[i + 1].day - d[0].day : at + 1;
        if (next - at > LONGEST_HOLE) {
            char day[32];
            int y, m, dom;
            ymd_from_day(d[i].day, &y, &m, &dom);
            snprintf(day, sizeof day, "%04d-%02d-%02d", y, m, dom);
            note_set(b->note, TUFA_MISSING, b->t->header[b->at[DATE]], day, "", "after this day more than two weeks of temperatures are missing");
            csv_where(b->note, b->name, 0);
            temps_free(out);
            return false;
        }
        for (int64_t k = at; k < next; k++) {
            double share = (double)(k - at) / (double)(next - at);
            out->K[k] = i + 1 < n ? d[i].K + share * (d[i + 1].K - d[i].K) : d[i].K;
        }
        if (next > at) out->filled += (size_t)(next - at - 1);
    }
    return true;
}

bool temps_read(const csv *t, const char *name, daily_temps *out, trouble_note *note)
{
    table *b = calloc(1, sizeof *b);
    day_temp *d = calloc(t->rows ? t->rows : 1, sizeof *d);
    bool ok = b && d;
    if (!ok) note_set(note, TUFA_MEMORY, "", "", "", "");
    if (ok) *b = (table){.t = t, .name = name, .note = note};
    ok = ok && read_headers(b);
    if (ok && (b->at[DATE] < 0 || t->rows == 0 || (b->at[MEAN] < 0 && (b->at[HIGH] < 0 || b->at[LOW] < 0))))
        ok = refuse(b, SIZE_MAX, -1, TUFA_MISSING, "date, mean_temp_f", "daily temperatures need a date and a mean (or highest and lowest) temperature");
    ok = ok && read_day_temps(b, d);
    if (ok) {
        qsort(d, t->rows, sizeof *d, by_day);
        ok = fill_days(b, d, t->rows, out);
    }
    free(d);
    free(b);
    return ok;
}

void temps_free(daily_temps *t)
{
    free(t->K);
    *t = (daily_temps){0};
}
