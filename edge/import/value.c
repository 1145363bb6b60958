#include "edge/import/value.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "edge/import/day_value.h"
#include "edge/import/words.h"

/* Widths of "about", 10 to 90 %: judgement, no source. */
static const double ABOUT_SHARE = 0.2, ABOUT_K = 5.0;
static const double OVER_TIMES = 2.0, UNDER_TIMES = 0.25;

void value_allowed(text *out, const value_rule *r)
{
    if (quantities[r->q].family == Q_DAY) {
        say_day(out, (int64_t)r->lo);
        text_add(out, " to ");
        say_day(out, (int64_t)r->hi);
        return;
    }
    say_number(out, unit_from_si(r->unit, r->lo), 4);
    text_add(out, " to ");
    say_number(out, unit_from_si(r->unit, r->hi), 4);
    text_add(out, r->unit == &units[UNIT_DOLLAR] ? " dollars" : r->unit->print);
}

static tufa_code refuse(const value_rule *r, const char *s, tufa_code code, const char *why, trouble_note *note)
{
    text allowed = {0};
    if (code == TUFA_RANGE) {
        value_allowed(&allowed, r);
    } else if (code == TUFA_UNIT) {
        unit_list(&allowed, r->q);
    } else {
        text_add(&allowed, "a number such as 12, \"about 12\", \"8..14\" or \"?\"");
    }
    note_set(note, code, r->field, s, text_str(&allowed), why);
    text_free(&allowed);
    return code;
}

/* ---- one number with its unit ---- */

typedef struct piece {
    double x;
    const unit_row *unit; /* NULL when none was written */
} piece;

/* The digits before the point, with or without thousands commas, copied without them. */
static bool take_whole(const char **p, char *digits, size_t *n, size_t most)
{
    size_t since_comma = 0;
    bool commas = false;
    for (; isdigit((unsigned char)**p) || (**p == ',' && isdigit((unsigned char)(*p)[1])); (*p)++) {
        if (**p == ',') {
            if (*n == 0 || since_comma > 3 || (commas && since_comma != 3)) return false;
            commas = true;
            since_comma = 0;
        } else {
            if (*n == most) return false;
            digits[(*n)++] = **p;
            since_comma++;
        }
    }
    return !commas || since_comma == 3;
}

static bool take_digits(const char **p, char *digits, size_t *n, size_t most)
{
    for (; isdigit((unsigned char)**p); (*p)++) {
        if (*n == most) return false;
        digits[(*n)++] = **p;
    }
    return true;
}

/* 1,200 or 0.5 or 1e-3; *end is behind it. */
static bool take_plain(const char *s, const char **end, double *x)
{
    enum { MANTISSA = 40, EXPONENT = 48 };
    char digits[EXPONENT + 1];
    size_t n = 0;
    if (!take_whole(&s, digits, &n, MANTISSA)) return false;
    size_t whole = n;
    if (*s == '.' && (isdigit((unsigned char)s[1]) || n > 0)) {
        digits[n++] = *s++;
        if (!take_digits(&s, digits, &n, MANTISSA + 1)) return false;
    }
    if (n == 0 || (whole == 0 && n == 1)) return false;
    const char *e = s + 1 + (*s == 'e' && (s[1] == '-' || s[1] == '+'));
    if (*s == 'e' && isdigit((unsigned char)*e)) {
        while (s < e) digits[n++] = *s++;
        if (!take_digits(&s, digits, &n, EXPONENT)) return false;
    }
    digits[n] = 0;
    *x = strtod(digits, NULL);
    *end = s;
    return true;
}

static bool take_fraction(const char *s, const char **end, double *x)
{
    char *over, *under;
    if (!isdigit((unsigned char)*s)) return false;
    long a = strtol(s, &over, 10);
    if (*over != '/' || !isdigit((unsigned char)over[1])) return false;
    long b = strtol(over + 1, &under, 10);
    if (a < 0 || a >= 1000 || b < 1 || b > 1000) return false;
    *x = (double)a / (double)b;
    *end = under;
    return true;
}

static bool take_number(const char *s, const char **end, double *x)
{
    bool minus = *s == '-';
    if (*s == '-' || *s == '+') s++;
    if (*s == '$') s++;
    while (*s == ' ') s++;
    double whole, part;
    if (take_fraction(s, end, x)) {
        *x = minus ? -*x : *x;
        return true;
    }
    if (!take_plain(s, end, &whole)) return false;
    if ((**end == ' ' || **end == '-') && take_fraction(*end + 1, end, &part)) whole += part;
    *x = minus ? -whole : whole;
    return true;
}

static tufa_code take_piece(const char *s, const value_rule *r, piece *out, const char **why)
{
    const char *end;
    bool dollar = strchr(s, '$') != NULL;
    if (!take_number(s, &end, &out->x)) {
        *why = strchr(s, ',') ? "this is no number; write a point before the decimals" : "this is no number";
        return TUFA_PARSE;
    }
    while (*end == ' ') end++;
    out->unit = NULL;
    if (*end == 0) {
        if (!dollar) return TUFA_OK;
        out->unit = unit_find(r->q, "$", 1);
    } else {
        out->unit = unit_find(r->q, end, strlen(end));
    }
    *why = "this unit does not fit here";
    return out->unit ? TUFA_OK : TUFA_UNIT;
}

/* ---- ranges ---- */

typedef struct pieces {
    char text[3][WORDS_LONGEST + 1];
    int n;
    bool plus_minus;
} pieces;

/* A hyphen that stands between two amounts, and not in front of one, in an exponent or in "1-1/2". */
static const char *range_hyphen(const char *s)
{
    for (const char *p = s; (p = strchr(p, '-')) != NULL; p++) {
        const char *before = p, *end;
        double x;
        while (before > s && before[-1] == ' ') before--;
        if (before == s) continue;
        if (p - s >= 2 && p[-1] == 'e' && isdigit((unsigned char)p[-2])) continue;
        if (take_number(s, &end, &x) && end > p) continue;
        return p;
    }
    return NULL;
}

static const char *find_split(const char *s, bool between, size_t *len)
{
    static const char *const MARKS[] = {"...", "..", " to ", "+-", "+/-"};
    for (size_t i = 0; i < sizeof MARKS / sizeof MARKS[0]; i++) {
        const char *at = strstr(s, MARKS[i]);
        *len = strlen(MARKS[i]);
        if (at) return at;
    }
    const char *and = between ? strstr(s, " and ") : NULL;
    *len = and ? 5 : 1;
    return and ? and : range_hyphen(s);
}

static bool split(const char *s, bool between, pieces *out)
{
    size_t len = 0;
    const char *at;
    *out = (pieces){0};
    while (out->n < 2 && (at = find_split(s, between, &len)) != NULL) {
        out->plus_minus = out->plus_minus || *at == '+';
        words_trimmed(s, (size_t)(at - s), out->text[out->n++]);
        s = at + len;
    }
    words_trimmed(s, strlen(s), out->text[out->n++]);
    return !(out->plus_minus && out->n != 2);
}

/* A unit written once counts for the whole range. */
static void share_units(piece *p, int n, const value_rule *r)
{
    for (int i = n - 1; i-- > 0;)
        if (!p[i].unit) p[i].unit = p[i + 1].unit;
    for (int i = 0; i < n; i++)
        if (!p[i].unit) p[i].unit = i ? p[i - 1].unit : r->unit;
}

static tufa_value about(const value_rule *r, double si)
{
    double half = r->q == Q_TEMPERATURE ? ABOUT_K : ABOUT_SHARE * fabs(si);
    return (tufa_value){si, fmax(si - half, fmin(r->lo, si)), fmin(si + half, fmax(r->hi, si)), TUFA_BASIS_ABOUT};
}

/* "Over 12" goes up to twice that, "under 12" down to a quarter; the middle is the geometric one. */
static tufa_code from_bound(double si, words_mood mood, const value_rule *r, tufa_value *v, const char **why)
{
    *why = "\"over\" and \"under\" leave too much open here; give a range such as 8..14";
    if (!(si > 0.0) || r->q == Q_TEMPERATURE) return TUFA_PARSE;
    double hi = mood == WORDS_OVER ? fmin(OVER_TIMES * si, fmax(r->hi, si)) : si;
    double lo = mood == WORDS_OVER ? si : fmax(UNDER_TIMES * si, fmin(r->lo, si));
    *v = (tufa_value){sqrt(lo * hi), lo, hi, TUFA_BASIS_RANGE};
    return TUFA_OK;
}

static tufa_code from_range(const pieces *given, const piece *p, const double *si, bool roughly, tufa_value *v, const char **why)
{
    *why = "a range runs from the smaller to the larger";
    tufa_basis basis = roughly ? TUFA_BASIS_ABOUT : TUFA_BASIS_RANGE;
    double lo = si[0], hi = si[given->n - 1], mid = given->n == 3 ? si[1] : 0.5 * (lo + hi);
    if (given->plus_minus) {
        double half = p[1].x * p[0].unit->one; /* a difference has no zero point */
        mid = si[0];
        lo = mid - half;
        hi = mid + half;
    }
    *v = (tufa_value){mid, lo, hi, basis};
    return lo <= mid && mid <= hi ? TUFA_OK : TUFA_CONFLICT;
}

static tufa_code from_pieces(const pieces *given, words_mood mood, const value_rule *r, tufa_value *v, const char **why)
{
    piece p[3] = {0};
    double si[3];
    for (int i = 0; i < given->n; i++) {
        tufa_code code = take_piece(given->text[i], r, &p[i], why);
        if (code) return code;
    }
    share_units(p, given->n, r);
    for (int i = 0; i < given->n; i++) si[i] = unit_to_si(p[i].unit, p[i].x);
    bool bound = mood == WORDS_OVER || mood == WORDS_UNDER;
    if (given->n > 1) {
        *why = "this is a range and a bound at once";
        return bound ? TUFA_PARSE : from_range(given, p, si, mood == WORDS_ABOUT, v, why);
    }
    if (bound) return from_bound(si[0], mood, r, v, why);
    *v = mood == WORDS_ABOUT ? about(r, si[0]) : (tufa_value){si[0], si[0], si[0], TUFA_BASIS_GIVEN};
    return TUFA_OK;
}

tufa_code value_parse(const char *s, const value_rule *r, tufa_value *v, trouble_note *note)
{
    char plain[WORDS_LONGEST + 1];
    const char *why = "this cannot be read";
    tufa_value got = {0};
    if (!words_plain(s, plain)) return refuse(r, s, TUFA_PARSE, "this is too long for a number", note);
    if (words_unknown(plain)) {
        *v = got;
        return TUFA_OK;
    }
    words_mood mood = words_take_mood(plain);
    pieces given;
    tufa_code code;
    if (quantities[r->q].family == Q_DAY) {
        code = day_value(plain, mood, r, &got, &why);
    } else {
        code = split(plain, mood == WORDS_BETWEEN, &given) ? from_pieces(&given, mood, r, &got, &why) : TUFA_PARSE;
    }
    if (code) return refuse(r, s, code, why, note);
    bool inside = got.lo >= r->lo && got.hi <= r->hi && isfinite(got.mid);
    if (!inside) return refuse(r, s, TUFA_RANGE, "this is outside what is allowed", note);
    *v = got;
    return TUFA_OK;
}

/* ---- back into text ---- */

/* The fewest digits that read back as the same; without an exponent where a person would write none. */
static void write_number(text *out, const value_rule *r, double si)
{
    static const double PLAIN_FROM = 1e-6, PLAIN_TO = 1e15;
    double x = unit_from_si(r->unit, si), tolerance = 1e-12 * fmax(fabs(si), fabs(r->unit->zero));
    bool plain = x == 0.0 || (fabs(x) >= PLAIN_FROM && fabs(x) < PLAIN_TO);
    char s[48];
    for (int digits = plain ? 0 : 1; digits <= 20; digits++) {
        snprintf(s, sizeof s, plain ? "%.*f" : "%.*g", digits, x);
        if (fabs(unit_to_si(r->unit, strtod(s, NULL)) - si) <= tolerance) break;
    }
    text_add(out, s);
}

static void write_piece(text *out, const value_rule *r, double si)
{
    if (quantities[r->q].family == Q_DAY) write_day(out, (int64_t)floor(si + 0.5));
    else write_number(out, r, si);
}

static bool close_to(double a, double b) { return fabs(a - b) <= 1e-9 * fmax(fabs(a), fabs(b)); }

static bool numbers_read_back(const text *t, const value_rule *r, tufa_value v, tufa_basis *basis)
{
    tufa_value back;
    trouble_note note;
    if (value_parse(text_str(t), r, &back, &note) != TUFA_OK) return false;
    *basis = back.basis;
    return close_to(back.lo, v.lo) && close_to(back.mid, v.mid) && close_to(back.hi, v.hi);
}

static bool reads_back(const text *t, const value_rule *r, tufa_value v)
{
    tufa_basis basis;
    return numbers_read_back(t, r, v, &basis) && basis == v.basis;
}

/* A year or a month alone, as it was given. */
static bool write_whole_month(text *out, const value_rule *r, tufa_value v)
{
    text t = {0};
    say_year(&t, (int64_t)v.mid);
    bool found = reads_back(&t, r, v);
    if (!found) {
        text_clear(&t);
        day_write_month(&t, (int64_t)v.mid);
        found = reads_back(&t, r, v);
    }
    if (found) text_add(out, text_str(&t));
    text_free(&t);
    return found;
}

/* The two ends, and the middle where it does not follow from them: a small one between large ends would lose its digits. */
static void write_range(text *out, const value_rule *r, tufa_value v)
{
    size_t start = out->len;
    tufa_basis basis;
    for (int middle = 0; middle < 2; middle++) {
        out->len = start;
        write_piece(out, r, v.lo);
        text_add(out, "..");
        if (middle) {
            write_piece(out, r, v.mid);
            text_add(out, "..");
        }
        write_piece(out, r, v.hi);
        if (numbers_read_back(out, r, v, &basis)) return;
    }
}

void value_write(text *out, const value_rule *r, tufa_value v)
{
    if (v.basis == TUFA_BASIS_NONE) return;
    text t = {0};
    if (quantities[r->q].family == Q_DAY && v.basis == TUFA_BASIS_GIVEN && v.hi > v.lo && write_whole_month(out, r, v)) return;
    if (v.basis == TUFA_BASIS_ABOUT) text_add(&t, "about ");
    size_t start = t.len;
    write_piece(&t, r, v.mid);
    bool short_form = v.basis == TUFA_BASIS_ABOUT ? reads_back(&t, r, v) : !(v.hi > v.lo);
    if (!short_form) {
        t.len = start;
        write_range(&t, r, v);
    }
    text_add(out, text_str(&t));
    text_free(&t);
}
