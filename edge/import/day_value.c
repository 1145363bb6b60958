#include "edge/import/day_value.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* "About 2015" and "about 10 years old": judgement, no source. */
static const double ABOUT_DAYS = 365.0, ABOUT_AGE_SHARE = 0.2, TENTH = 0.1;
enum { OLDEST_AGE = 200 }; /* a plain number below is an age, above a year */

/* First and last day that a text may mean; equal for a day. `age_days` is set when it was an age. */
typedef struct span {
    double first, last, age_days;
} span;

static bool span_of(int y, int m, int d, span *out)
{
    int m0 = m ? m : 1, d0 = d ? d : 1;
    if (!ymd_exists(y, m0, d0)) return false;
    out->first = out->last = (double)day_from_ymd(y, m0, d0);
    if (!d) out->last = (double)(m == 0 || m == 12 ? day_from_ymd(y + 1, 1, 1) : day_from_ymd(y, m + 1, 1)) - 1.0;
    out->age_days = -1.0;
    return true;
}

static int month_called(const char *s, size_t n)
{
    static const char *const NAMES[] = {"january", "february", "march", "april", "may", "june", "july",
                                        "august", "september", "october", "november", "december"};
    for (int i = 0; n >= 3 && i < 12; i++)
        if (n <= strlen(NAMES[i]) && strncmp(s, NAMES[i], n) == 0) return i + 1;
    return n == 4 && strncmp(s, "sept", 4) == 0 ? 9 : 0;
}

/* "june 2019", "june 30, 2019", "30 june 2019". 0: it is no such text, -1: it is, but no day that exists. */
static int take_named(const char *s, span *out)
{
    int month = 0, number[2] = {0}, numbers = 0;
    while (*s) {
        size_t n = 0;
        if (isdigit((unsigned char)*s)) {
            while (isdigit((unsigned char)s[n])) n++;
            if (numbers == 2 || n > 4) return 0;
            number[numbers++] = atoi(s);
        } else if (isalpha((unsigned char)*s)) {
            while (isalpha((unsigned char)s[n])) n++;
            if (month || !(month = month_called(s, n))) return 0;
        } else if (strchr(" ,.", *s)) {
            n = 1;
        } else {
            return 0;
        }
        s += n;
    }
    if (!month || !numbers) return 0;
    return span_of(number[numbers - 1], month, numbers == 2 ? number[0] : 0, out) ? 1 : -1;
}

/* 2019-06-30, 6/30/2019, 2019-06, 6/2019, 2019. Answers as take_named. */
static int take_numeric(const char *s, span *out)
{
    int y = 0, m = 0, d = 0, used = 0;
    size_t n = strlen(s);
    if (strspn(s, "0123456789-/") != n) return 0;
#define WHOLE(format, count, ...) (used = 0, sscanf(s, format "%n", __VA_ARGS__, &used) == (count) && (size_t)used == n)
    if (WHOLE("%4d-%2d-%2d", 3, &y, &m, &d) || WHOLE("%2d/%2d/%4d", 3, &m, &d, &y))
        return m > 0 && d > 0 && span_of(y, m, d, out) ? 1 : -1;
    d = 0;
    if (WHOLE("%4d-%2d", 2, &y, &m) || WHOLE("%2d/%4d", 2, &m, &y)) return m > 0 && span_of(y, m, 0, out) ? 1 : -1;
    if (n == 4 && WHOLE("%4d", 1, &y) && y >= OLDEST_AGE) return span_of(y, 0, 0, out) ? 1 : -1;
#undef WHOLE
    return 0;
}

/* "10", "10 years", "18 months old" as days before today. */
static bool take_age(const char *s, const value_rule *r, span *out)
{
    char *end;
    if (!isdigit((unsigned char)*s)) return false;
    double x = strtod(s, &end);
    if (strspn(s, "0123456789.") != (size_t)(end - s)) return false;
    while (*end == ' ') end++;
    const unit_row *u = *end ? unit_find(Q_YEARS, end, strlen(end)) : &units[UNIT_YEAR];
    size_t n = strlen(end);
    if (!u && n > 4 && strcmp(end + n - 4, " old") == 0) u = unit_find(Q_YEARS, end, n - 4);
    if (!u || !(x < OLDEST_AGE * 12)) return false;
    out->age_days = unit_to_si(u, x) / 86400.0;
    out->first = out->last = floor((double)r->today - out->age_days + 0.5);
    return true;
}

static tufa_code take_span(const char *s, const value_rule *r, span *out, const char **why)
{
    int got = take_numeric(s, out);
    if (got == 0) got = take_named(s, out);
    if (got == 0 && r->q == Q_INSTALLED && take_age(s, r, out)) got = 1;
    *why = got < 0 ? "this day does not exist (years 1900 to 2199 are taken)"
           : r->q == Q_INSTALLED ? "write a year, a day such as 2019-06-30, or an age in years"
                                 : "write a day such as 2019-06-30, or a year";
    return got > 0 ? TUFA_OK : TUFA_PARSE;
}

static tufa_value from_span(const span *a, words_mood mood)
{
    double mid = floor(0.5 * (a->first + a->last)), inset = floor(TENTH * (a->last - a->first));
    if (mood != WORDS_ABOUT) return (tufa_value){mid, a->first + inset, a->last - inset, TUFA_BASIS_GIVEN};
    if (a->age_days < 0.0) return (tufa_value){mid, mid - ABOUT_DAYS, mid + ABOUT_DAYS, TUFA_BASIS_ABOUT};
    double half = floor(fmax(ABOUT_AGE_SHARE * a->age_days, ABOUT_DAYS));
    return (tufa_value){mid, mid - half, mid + fmin(half, floor(a->age_days)), TUFA_BASIS_ABOUT}; /* not after today */
}

/* "over 10 years" goes up to twice that age; "under 10 years" down to a quarter. Of a calendar day too much is open. */
static tufa_code from_bound(const span *a, words_mood mood, const value_rule *r, tufa_value *v, const char **why)
{
    *why = "\"over\" and \"under\" are taken for an age; give a range such as 2015..2019";
    if (a->age_days <= 0.0) return TUFA_PARSE;
    double other = a->age_days * (mood == WORDS_OVER ? 2.0 : 0.25), today = (double)r->today;
    *v = (tufa_value){floor(today - sqrt(other * a->age_days)), floor(today - fmax(other, a->age_days)),
                      floor(today - fmin(other, a->age_days)), TUFA_BASIS_RANGE};
    return TUFA_OK;
}

/* The text up to a mark between two days; a hyphen counts with spaces around it, or between two ages or two years. */
static const char *find_mark(const char *s, words_mood mood, size_t *len)
{
    static const char *const MARKS[] = {"...", "..", " to ", " - ", " and "};
    for (size_t i = 0; i < sizeof MARKS / sizeof MARKS[0] - (mood != WORDS_BETWEEN); i++) {
        const char *at = strstr(s, MARKS[i]);
        *len = strlen(MARKS[i]);
        if (at) return at;
    }
    size_t digits = strspn(s, "0123456789."), second = s[digits] == '-' ? strspn(s + digits + 1, "0123456789.") : 0;
    *len = 1;
    bool years = digits == 4 && second == 4, ages = digits > 0 && digits < 4 && second > 0 && second < 4;
    return (years || ages) && !strchr(s + digits + 1, '-') ? s + digits : NULL;
}

static tufa_code from_range(const char *s, words_mood mood, const value_rule *r, tufa_value *v, const char **why)
{
    span part[3];
    int n = 0;
    size_t len;
    char one[WORDS_LONGEST + 1];
    for (const char *at = s; at && n < 3; n++) {
        at = n < 2 ? find_mark(s, mood, &len) : NULL;
        words_trimmed(s, at ? (size_t)(at - s) : strlen(s), one);
        tufa_code code = take_span(one, r, &part[n], why);
        if (code) return code;
        if (at) s = at + len;
    }
    if (part[0].age_days >= 0.0 || part[n - 1].age_days >= 0.0) { /* "8..14" years: the older is the earlier day */
        span swap = part[0];
        part[0] = part[n - 1];
        part[n - 1] = swap;
    }
    double lo = part[0].first, hi = part[n - 1].last;
    double mid = floor(n == 3 ? 0.5 * (part[1].first + part[1].last) : 0.5 * (lo + hi));
    *v = (tufa_value){mid, lo, hi, mood == WORDS_ABOUT ? TUFA_BASIS_ABOUT : TUFA_BASIS_RANGE};
    *why = "a range runs from the smaller to the larger";
    return lo <= mid && mid <= hi ? TUFA_OK : TUFA_CONFLICT;
}

tufa_code day_value(const char *plain, words_mood mood, const value_rule *r, tufa_value *v, const char **why)
{
    size_t len;
    span a;
    if (find_mark(plain, mood, &len)) {
        if (mood == WORDS_OVER || mood == WORDS_UNDER) mood = WORDS_PLAIN;
        return from_range(plain, mood, r, v, why);
    }
    tufa_code code = take_span(plain, r, &a, why);
    if (code) return code;
    *why = "this lies after today";
    if (r->q == Q_INSTALLED && a.first > (double)r->today) return TUFA_RANGE;
    if (mood == WORDS_OVER || mood == WORDS_UNDER) return from_bound(&a, mood, r, v, why);
    *v = from_span(&a, mood);
    return TUFA_OK;
}

void day_write_month(text *out, int64_t day)
{
    int y, m, d;
    ymd_from_day(day, &y, &m, &d);
    text_addf(out, "%04d-%02d", y, m);
}
