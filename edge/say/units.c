#include "edge/say/units.h"

#include <ctype.h>
#include <math.h>
#include <stdatomic.h>
#include <string.h>

#include "edge/say/day.h"

const unit_row units[UNIT_COUNT] = {
#define X(id, family, one, zero, print, names) [UNIT_##id] = {Q_##family, one, zero, print, names},
#include "edge/say/units.def"
#undef X
};

const quantity_row quantities[QUANTITY_COUNT] = {
#define X(id, family, word, us, metric) [Q_##id] = {Q_##family, word, {UNIT_##us, UNIT_##metric}},
#include "edge/say/quantities.def"
#undef X
};

static bool is_filler(char c) { return c != 0 && strchr(" ._/", c) != NULL; }

static bool same_letters(const char *a, size_t na, const char *b, size_t nb)
{
    size_t i = 0, j = 0;
    for (;;) {
        while (i < na && is_filler(a[i])) i++;
        while (j < nb && is_filler(b[j])) j++;
        if (i == na || j == nb) return i == na && j == nb;
        if (tolower((unsigned char)a[i++]) != tolower((unsigned char)b[j++])) return false;
    }
}

bool name_is_one_of(const char *name, size_t n, const char *names)
{
    for (;;) {
        size_t len = strcspn(names, "|");
        if (same_letters(name, n, names, len)) return true;
        if (names[len] == 0) return false;
        names += len + 1;
    }
}

const unit_row *unit_find(quantity q, const char *name, size_t n)
{
    for (size_t i = 0; i < UNIT_COUNT; i++)
        if (units[i].family == quantities[q].family && name_is_one_of(name, n, units[i].names)) return &units[i];
    return NULL;
}

const unit_row *unit_said(quantity q, unit_system s) { return &units[quantities[q].unit[s]]; }

const char *unit_suffix(const unit_row *u, size_t *n)
{
    *n = strcspn(u->names, "|");
    return u->names;
}

void unit_list(text *out, quantity q)
{
    bool first = true;
    for (size_t i = 0; i < UNIT_COUNT; i++) {
        size_t n;
        const char *name = unit_suffix(&units[i], &n);
        if (units[i].family != quantities[q].family || n == 0) continue;
        if (!first) text_add(out, ", ");
        text_addn(out, name, n);
        first = false;
    }
}

/* `x` with `decimals` places, trailing zeros dropped unless `fixed`, commas from `commas_from` on. */
static void put_number(text *out, double x, int decimals, bool fixed, double commas_from)
{
    enum { DIGITS = 360 }; /* the largest double has 309 before the point */
    char s[DIGITS];
    int n = snprintf(s, sizeof s, "%.*f", decimals < 30 ? decimals : 30, fabs(x));
    if (n < 0) return;
    if (!fixed && strchr(s, '.')) {
        while (s[n - 1] == '0') s[--n] = 0;
        if (s[n - 1] == '.') s[--n] = 0;
    }
    bool zero = strspn(s, "0.") == (size_t)n;
    if (x < 0.0 && !zero) text_add(out, "-");
    size_t whole = strcspn(s, ".");
    for (size_t i = 0; i < whole; i++) {
        text_addn(out, s + i, 1);
        if (fabs(x) >= commas_from && i + 1 < whole && (whole - i - 1) % 3 == 0) text_add(out, ",");
    }
    text_add(out, s + whole);
}

static const double COMMAS = 10000.0, MONEY_COMMAS = 1000.0;

static int decimals_for(double x, int digits)
{
    if (!(fabs(x) > 0.0) || !isfinite(x)) return 0;
    int d = digits - 1 - (int)floor(log10(fabs(x)) + 1e-12);
    return d > 0 ? d : 0;
}

void say_number(text *out, double x, int digits)
{
    if (!isfinite(x)) text_add(out, isnan(x) ? "no number" : x > 0 ? "without bound" : "-without bound");
    else put_number(out, x, decimals_for(x, digits), false, COMMAS);
}

void say_money(text *out, double cents)
{
    double dollars = cents / 100.0;
    if (!isfinite(dollars)) {
        say_number(out, dollars, 2);
        return;
    }
    bool whole = fabs(dollars) >= 100.0 || fabs(cents - 100.0 * round(dollars)) < 0.5;
    double shown = whole ? round(dollars) : dollars;
    if (shown < 0.0) text_add(out, "-");
    text_add(out, "$");
    put_number(out, fabs(shown), whole ? 0 : 2, true, MONEY_COMMAS);
}

/* Rounds so that a spread is told in about ten steps; a single number to three digits. */
static double step_for(double spread) { return spread > 0.0 ? pow(10.0, floor(log10(spread / 10.0))) : 0.0; }

static double to_step(double x, double step) { return step > 0.0 ? round(x / step) * step : x; }

void say_money_range(text *out, double lo_cents, double hi_cents)
{
    double step = fmax(step_for(hi_cents - lo_cents), 1.0); /* a cent */
    say_money(out, to_step(lo_cents, step));
    text_add(out, " to ");
    say_money(out, to_step(hi_cents, step));
}

/* How days are said: a setting of the book that is open, the same for every thread. */
static atomic_bool us_days;

void say_days_us(bool us) { atomic_store(&us_days, us); }

void say_day(text *out, int64_t day)
{
    int y, m, d;
    ymd_from_day(day, &y, &m, &d);
    if (atomic_load(&us_days)) text_addf(out, "%d/%d/%04d", m, d, y);
    else text_addf(out, "%04d-%02d-%02d", y, m, d);
}

void write_day(text *out, int64_t day)
{
    int y, m, d;
    ymd_from_day(day, &y, &m, &d);
    text_addf(out, "%04d-%02d-%02d", y, m, d);
}

void say_month(text *out, int64_t day)
{
    static const char *const MONTHS[] = {"January", "February", "March", "April", "May", "June", "July",
                                         "August", "September", "October", "November", "December"};
    int y, m, d;
    ymd_from_day(day, &y, &m, &d);
    text_addf(out, "%s %d", MONTHS[m - 1], y);
}

void say_year(text *out, int64_t day)
{
    int y, m, d;
    ymd_from_day(day, &y, &m, &d);
    text_addf(out, "%d", y);
}

void say_short_time(text *out, double s)
{
    bool minutes = s >= 120.0;
    double n = minutes ? s / 60.0 : s;
    if (n < 0.95) {
        text_add(out, "1 second");
        return;
    }
    say_number(out, n, n < 9.5 ? 1 : 2);
    text_add(out, minutes ? " minutes" : n < 1.5 ? " second" : " seconds");
}

void say_count(text *out, size_t n, const char *one, const char *many)
{
    put_number(out, (double)n, 0, false, COMMAS);
    text_addf(out, " %s", n == 1 ? one : many);
}

static int64_t day_of(double si) { return isfinite(si) && fabs(si) < 4e6 ? (int64_t)floor(si) : 0; }

/* A time is told in the unit in which it is a handy number. */
static const unit_row *handy_time(double s)
{
    if (fabs(s) < 120.0) return &units[UNIT_SECOND];
    if (fabs(s) < 120.0 * 60.0) return &units[UNIT_MINUTE];
    if (fabs(s) < 48.0 * 3600.0) return &units[UNIT_HOUR];
    return &units[UNIT_DAYS];
}

static const unit_row *unit_for(unit_system s, quantity q, double si)
{
    return q == Q_TIME ? handy_time(si) : unit_said(q, s);
}

enum { GLOBE_DIGITS = 7 }; /* a metre */

void say_quantity(text *out, unit_system s, quantity q, double si)
{
    if (quantities[q].family == Q_DAY) {
        say_day(out, day_of(si));
    } else if (q == Q_MONEY) {
        say_money(out, si);
    } else {
        const unit_row *u = unit_for(s, q, si);
        say_number(out, unit_from_si(u, si), q == Q_DEGREES ? GLOBE_DIGITS : 3);
        text_add(out, u->print);
    }
}

/* A day known within months is told by month, within years by year. */
static void say_rough_day(text *out, double si, double spread_days)
{
    if (spread_days <= 45.0) say_day(out, day_of(si));
    else if (spread_days <= 300.0) say_month(out, day_of(si));
    else say_year(out, day_of(si));
}

static void say_bounds(text *out, const unit_row *u, double lo, double hi, double step)
{
    int digits = step > 0.0 ? 4 : 3;
    say_number(out, to_step(lo, step), digits);
    text_add(out, " to ");
    say_number(out, to_step(hi, step), digits);
    text_add(out, u->print);
}

/* A small lower end keeps a digit of its own, so that 0.04 to 1.6 does not become 0 to 1.6. */
static double step_of_range(double lo, double hi)
{
    double step = step_for(hi - lo), small = fmin(fabs(lo), fabs(hi));
    if (small > 0.0 && small < step && small > (hi - lo) / 1000.0) step = step_for(10.0 * small);
    return step;
}

void say_range(text *out, unit_system s, quantity q, double lo, double hi)
{
    if (!(hi > lo)) {
        say_quantity(out, s, q, lo);
    } else if (quantities[q].family == Q_DAY) {
        say_rough_day(out, lo, hi - lo);
        text_add(out, " to ");
        say_rough_day(out, hi, hi - lo);
    } else if (q == Q_MONEY) {
        say_money_range(out, lo, hi);
    } else {
        const unit_row *u = unit_for(s, q, hi);
        double a = unit_from_si(u, lo), b = unit_from_si(u, hi);
        say_bounds(out, u, a, b, step_of_range(a, b));
    }
}

void say_value(text *out, unit_system s, quantity q, tufa_value v)
{
    if (v.basis == TUFA_BASIS_NONE) {
        text_add(out, "not known");
        return;
    }
    if (!(v.hi > v.lo)) {
        say_quantity(out, s, q, v.mid);
        return;
    }
    if (q == Q_SPAN) { /* both ends are meant, and nothing between them is likelier */
        say_day(out, day_of(v.lo));
        text_add(out, " to ");
        say_day(out, day_of(v.hi));
        return;
    }
    /* What was worked out or assumed is rounded by its spread; what a person said keeps its digits. */
    bool worked_out = v.basis != TUFA_BASIS_GIVEN && v.basis != TUFA_BASIS_ABOUT && v.basis != TUFA_BASIS_RANGE;
    if (quantities[q].family == Q_DAY) {
        say_rough_day(out, v.mid, v.hi - v.lo);
        text_add(out, " (likely ");
        say_range(out, s, q, v.lo, v.hi);
    } else if (q == Q_MONEY) {
        say_money(out, worked_out ? to_step(v.mid, fmax(step_for(v.hi - v.lo), 1.0)) : v.mid);
        text_add(out, " (likely ");
        if (worked_out) {
            say_money_range(out, v.lo, v.hi);
        } else {
            say_money(out, v.lo);
            text_add(out, " to ");
            say_money(out, v.hi);
        }
    } else {
        const unit_row *u = unit_for(s, q, v.hi), bare = {.print = ""};
        double lo = unit_from_si(u, v.lo), mid = unit_from_si(u, v.mid), hi = unit_from_si(u, v.hi);
        double step = worked_out ? step_of_range(lo, hi) : 0.0;
        say_number(out, to_step(mid, step), worked_out ? 4 : 3);
        text_addf(out, "%s (likely ", u->print);
        say_bounds(out, &bare, lo, hi, step);
    }
    text_add(out, ")");
}
