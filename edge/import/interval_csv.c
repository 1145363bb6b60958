#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "edge/import/csv.h"
#include "edge/import/interval.h"
#include "edge/say/day.h"
#include "edge/say/units.h"

enum { LINE = 8192, MOST_COLUMNS = 64 };

/* ---- lines and cells ---- */

typedef struct scan {
    FILE *f;
    const char *name;
    trouble_note *note;
    char line[LINE];
    size_t number;
    char delimiter;
    char *cell[MOST_COLUMNS];
    size_t cells;
    int time, time_of_day, end, length, value; /* columns, -1 when there is none */
    double unit_J;  /* joules of one unit of energy; 0 for power */
    double unit_W;
    char header[64];
} scan;

static bool refuse(scan *s, tufa_code code, const char *field, const char *value, const char *allowed, const char *why)
{
    note_set(s->note, code, field, value, allowed, why);
    csv_where(s->note, s->name, s->number);
    return false;
}

/* Next line with something in it; 0 at the end, -1 with a note. */
static int next_line(scan *s)
{
    while (fgets(s->line, sizeof s->line, s->f)) {
        s->number++;
        size_t n = strlen(s->line);
        if (n + 1 == sizeof s->line && s->line[n - 1] != '\n') return refuse(s, TUFA_RANGE, "", "", "at most 8,000 bytes", "this line is too long"), -1;
        while (n > 0 && isspace((unsigned char)s->line[n - 1])) s->line[--n] = 0;
        if (n > 0) return 1;
    }
    if (ferror(s->f)) return refuse(s, TUFA_IO, "", "", "", "the file cannot be read to its end"), -1;
    return 0;
}

/* Cells in place; a quoted cell may hold the separator. */
static void split(scan *s)
{
    char *p = s->line;
    s->cells = 0;
    while (s->cells < MOST_COLUMNS) {
        while (*p == ' ') p++;
        char quote = *p == '"' ? '"' : 0;
        if (quote) p++;
        char *start = p, *end;
        while (*p && (quote ? *p != quote : *p != s->delimiter)) p++;
        end = p;
        while (quote && *p && *p != s->delimiter) p++;
        bool more = *p == s->delimiter && *p;
        while (!quote && end > start && end[-1] == ' ') end--;
        *end = 0;
        s->cell[s->cells++] = start;
        if (!more) break;
        p++;
    }
}

/* ---- headers ---- */

static const struct {
    const char *names;
    double J, W;
} UNITS[] = {{"kwh", 3.6e6, 0.0}, {"wh", 3600.0, 0.0}, {"kw", 0.0, 1e3}, {"w", 0.0, 1.0}, {"watts", 0.0, 1.0}, {"watt", 0.0, 1.0},
             {"therm", 105505585.262, 0.0}, {"therms", 105505585.262, 0.0}, {"btu", 1055.05585262, 0.0}, {"btu_h", 0.0, 1055.05585262 / 3600.0}};

static int unit_of(const char *plain)
{
    for (size_t i = 0; i < sizeof UNITS / sizeof UNITS[0]; i++) {
        size_t n = strlen(UNITS[i].names), len = strlen(plain);
        if (len >= n && strcmp(plain + len - n, UNITS[i].names) == 0 && (len == n || plain[len - n - 1] == '_')) return (int)i;
        if (len > n && strncmp(plain, UNITS[i].names, n) == 0 && plain[n] == '_') return (int)i;
    }
    return -1;
}

static bool read_header(scan *s, const char *wanted, interval_file *out)
{
    s->time = s->time_of_day = s->end = s->length = s->value = -1;
    int unit = -1;
    for (size_t i = 0; i < s->cells; i++) {
        char plain[64];
        csv_plain_name(s->cell[i], plain, sizeof plain);
        size_t n = strlen(plain);
        int u = unit_of(plain);
        bool is_time = name_is_one_of(plain, n, "time|timestamp|timestamp_local|datetime|date_time|date|start|start_time|interval_start|from|local_time|time_local");
        if (is_time && s->time < 0) s->time = (int)i;
        else if (name_is_one_of(plain, n, "time|hour|clock|start_time|time_of_day")) s->time_of_day = (int)i;
        else if (name_is_one_of(plain, n, "end|end_time|interval_end|to")) s->end = (int)i;
        else if (name_is_one_of(plain, n, "seconds|duration|duration_s|length_s|interval_s")) s->length = (int)i;
        else if (u >= 0 && (wanted ? strcmp(wanted, s->cell[i]) == 0 || strcmp(wanted, plain) == 0 : s->value < 0)) {
            s->value = (int)i;
            unit = u;
            snprintf(out->column, sizeof out->column, "%s", plain);
            snprintf(s->header, sizeof s->header, "%s", plain);
        } else if (u >= 0) {
            size_t used = strlen(out->others);
            snprintf(out->others + used, sizeof out->others - used, "%s%s", used ? ", " : "", plain);
        }
    }
    if (s->time < 0) return refuse(s, TUFA_MISSING, "", "", "time, timestamp, start", "no column holds the time of a reading");
    if (s->value < 0)
        return refuse(s, TUFA_MISSING, wanted ? wanted : "", "", "w, wh, kw, kwh, therm", "no column of power or energy with its unit in the header");
    s->unit_J = UNITS[unit].J;
    s->unit_W = UNITS[unit].W;
    out->gas = strncmp(UNITS[unit].names, "therm", 5) == 0 || strncmp(UNITS[unit].names, "btu", 3) == 0;
    return true;
}

/* ---- times ---- */

static int two_digits(const char *p) { return isdigit((unsigned char)p[0]) && isdigit((unsigned char)p[1]) ? (p[0] - '0') * 10 + p[1] - '0' : -1; }

/* "17:24", "17:24:30", "5:24 PM", "17:24:00Z", "17:24-06:00" (local as written) in seconds; false when it is no time. */
static bool clock_s(const char *p, double *out)
{
    while (*p == ' ' || *p == 'T') p++;
    int h = isdigit((unsigned char)p[0]) ? p[0] - '0' : -1, minute, second = 0;
    if (h < 0) return false;
    p++;
    if (isdigit((unsigned char)*p)) h = h * 10 + *p++ - '0';
    if (*p != ':' || (minute = two_digits(p + 1)) < 0) return false;
    p += 3;
    if (*p == ':') {
        if ((second = two_digits(p + 1)) < 0) return false;
        p += 3;
        if (*p == '.') while (isdigit((unsigned char)*++p)) {}
    }
    while (*p == ' ') p++;
    if ((p[0] == 'P' || p[0] == 'p') && h < 12) h += 12;
    else if ((p[0] == 'A' || p[0] == 'a') && h == 12) h = 0;
    if (h > 24 || minute > 59 || second > 60) return false;
    *out = 3600.0 * h + 60.0 * minute + second;
    return true;
}

/* "2006-12-16T17:24", by far the commonest, without detours. */
static bool iso_time(const char *p, double *t)
{
    int a = two_digits(p), b = a < 0 ? -1 : two_digits(p + 2);
    if (b < 0 || p[4] != '-') return false;
    int m = two_digits(p + 5), d = m < 0 || p[7] != '-' ? -1 : two_digits(p + 8);
    if (d < 0 || !ymd_exists(100 * a + b, m, d)) return false;
    double s = 0.0;
    if (p[10] && !clock_s(p + 10, &s)) return false;
    *t = 86400.0 * (double)day_from_ymd(100 * a + b, m, d) + s;
    return true;
}

static bool us_time(const char *p, double *t)
{
    int month, day, year, n = 0;
    double s = 0.0;
    if (sscanf(p, "%2d/%2d/%4d%n", &month, &day, &year, &n) != 3) return false;
    if (year < 100) year += 2000;
    if (!ymd_exists(year, month, day) || (p[n] && !clock_s(p + n, &s))) return false;
    *t = 86400.0 * (double)day_from_ymd(year, month, day) + s;
    return true;
}

static bool epoch_time(const char *p, double *t)
{
    char *end;
    double x = strtod(p, &end);
    if (*end || end == p || !(x > 1e8 && x < 1e13)) return false;
    *t = x > 1e11 ? x / 1e3 : x; /* milliseconds */
    return true;
}

static bool cell_time(scan *s, int column, bool with_clock, double *t)
{
    const char *p = (size_t)column < s->cells ? s->cell[column] : "";
    double clock;
    if (!iso_time(p, t) && !us_time(p, t) && !epoch_time(p, t)) return refuse(s, TUFA_PARSE, "time", p, "2024-03-25 17:45", "this is not a time");
    if (!with_clock || s->time_of_day < 0) return true;
    p = (size_t)s->time_of_day < s->cells ? s->cell[s->time_of_day] : "";
    if (!clock_s(p, &clock)) return refuse(s, TUFA_PARSE, "time", p, "17:45", "this is not a time of day");
    *t += clock;
    return true;
}

/* ---- readings ---- */

/* A reading waits for the next one, which tells how long it lasted. */
typedef struct waiting {
    bool there;
    double t, value, length; /* length 0: not said */
    double usual;            /* between one reading and the next, the shortest that repeats */
    double last_gap;
} waiting;

static tufa_status hand_on(const scan *s, waiting *w, double length, interval_fn fn, void *ctx, interval_file *out)
{
    w->there = false;
    out->readings++;
    return fn(ctx, w->t, length, s->unit_J > 0.0 ? w->value * s->unit_J : w->value * s->unit_W * length);
}

static tufa_status flush(const scan *s, waiting *w, double next, interval_fn fn, void *ctx, interval_file *out)
{
    double length = w->length, gap = next - w->t;
    if (!w->there) return (tufa_status){.code = TUFA_OK};
    if (length <= 0.0) {
        if (gap > 0.0 && (w->usual == 0.0 || fabs(gap - w->last_gap) < 0.5)) w->usual = w->usual == 0.0 ? gap : fmin(w->usual, gap);
        w->last_gap = gap;
        length = gap > 0.0 && gap < 1.5 * w->usual ? gap : w->usual;
    }
    if (length <= 0.0) {
        w->there = false;
        return (tufa_status){.code = TUFA_OK};
    }
    return hand_on(s, w, length, fn, ctx, out);
}

static bool read_value(scan *s, double *x, bool *empty)
{
    const char *p = (size_t)s->value < s->cells ? s->cell[s->value] : "";
    char *end;
    *empty = *p == 0 || *p == '?' || name_is_one_of(p, strlen(p), "na|null|nan|none");
    if (*empty) return true;
    *x = strtod(p, &end);
    while (*end == ' ') end++;
    if (*end || !isfinite(*x)) return refuse(s, TUFA_PARSE, s->header, p, "", "this is not a number");
    if (*x < 0.0) return refuse(s, TUFA_RANGE, s->header, p, "0 and more", "use below nothing: power sold back? tufa takes what the house used");
    return true;
}

static bool read_row(scan *s, waiting *w, interval_fn fn, void *ctx, interval_file *out)
{
    double t, end, x = 0.0;
    bool empty;
    split(s);
    if (!cell_time(s, s->time, true, &t) || !read_value(s, &x, &empty)) return false;
    tufa_status st = flush(s, w, t, fn, ctx, out);
    if (st.code != TUFA_OK) {
        note_from_status(s->note, st);
        csv_where(s->note, s->name, s->number);
        return false;
    }
    if (empty) {
        out->empty++;
        return true;
    }
    w->there = true;
    w->t = t;
    w->value = x;
    w->length = 0.0;
    if (s->length >= 0 && (size_t)s->length < s->cells) w->length = strtod(s->cell[s->length], NULL);
    if (s->end >= 0) {
        if (!cell_time(s, s->end, false, &end)) return false;
        w->length = end - t;
    }
    return true;
}

bool interval_csv_read(FILE *f, const char *name, const char *column, interval_fn fn, void *ctx, interval_file *out, trouble_note *note)
{
    scan *s = calloc(1, sizeof *s);
    *out = (interval_file){0};
    if (!s) {
        note_set(note, TUFA_MEMORY, "", "", "", "");
        return false;
    }
    *s = (scan){.f = f, .name = name, .note = note};
    int more = next_line(s);
    bool ok = more > 0 || (more == 0 && refuse(s, TUFA_MISSING, "", "", "", "the file is empty"));
    if (ok) {
        if (strncmp(s->line, "\xEF\xBB\xBF", 3) == 0) memmove(s->line, s->line + 3, strlen(s->line + 3) + 1);
        s->delimiter = strchr(s->line, ';') ? ';' : strchr(s->line, '\t') ? '\t' : ',';
        split(s);
        ok = read_header(s, column, out);
    }
    waiting w = {0};
    while (ok && (more = next_line(s)) > 0) ok = read_row(s, &w, fn, ctx, out);
    ok = ok && more == 0;
    if (ok) {
        tufa_status st = flush(s, &w, w.t + w.usual, fn, ctx, out);
        if (st.code != TUFA_OK) {
            note_from_status(note, st);
            csv_where(note, name, s->number);
            ok = false;
        }
    }
    if (ok && out->readings == 0) ok = refuse(s, TUFA_MISSING, "", "", "", "there is a header but no reading");
    free(s);
    return ok;
}

/* ---- which format ---- */

static bool has_clock(const char *line, size_t n)
{
    for (size_t i = 1; i + 2 < n; i++)
        if (line[i] == ':' && isdigit((unsigned char)line[i - 1]) && isdigit((unsigned char)line[i + 1])) return true;
    return false;
}

bill_format bill_format_of(const char *head, size_t n)
{
    size_t i = 0;
    if (n >= 3 && memcmp(head, "\xEF\xBB\xBF", 3) == 0) i = 3;
    while (i < n && isspace((unsigned char)head[i])) i++;
    if (i == n) return BILL_FORMAT_NONE;
    if (head[i] == '<') return BILL_FORMAT_ESPI;
    const char *line_end = memchr(head + i, '\n', n - i);
    if (!line_end) return BILL_FORMAT_BILLS;
    char header[512];
    size_t h = (size_t)(line_end - (head + i)) < sizeof header - 1 ? (size_t)(line_end - (head + i)) : sizeof header - 1;
    for (size_t k = 0; k < h; k++) header[k] = (char)tolower((unsigned char)head[i + k]);
    header[h] = 0;
    const char *row = line_end + 1, *row_end = memchr(row, '\n', n - (size_t)(row - head));
    size_t row_n = row_end ? (size_t)(row_end - row) : n - (size_t)(row - head);
    if (strstr(header, "days") || strstr(header, "billing")) return BILL_FORMAT_BILLS;
    return has_clock(row, row_n) || strstr(header, "timestamp") ? BILL_FORMAT_INTERVAL_CSV : BILL_FORMAT_BILLS;
}
