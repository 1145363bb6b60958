#include "edge/import/relation_words.h"

#include "edge/import/unit_key.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

enum { WORD = 48, NAMES = 200 };

const tufa_relation *relation_named(const char *name, trouble_note *note)
{
    const char *names[32];
    size_t n = tufa_relation_count();
    for (size_t i = 0; i < n; i++) {
        names[i] = tufa_relation_at(i)->name;
        if (strcmp(names[i], name) == 0) return tufa_relation_at(i);
    }
    const char *near = nearest_name(name, names, n);
    char why[200], all[200] = "";
    for (size_t i = 0; i < n; i++) {
        strncat(all, i ? ", " : "", sizeof all - strlen(all) - 1);
        strncat(all, names[i], sizeof all - strlen(all) - 1);
    }
    snprintf(why, sizeof why, "there is no such relation%s%s%s", near ? "; did you mean " : "", near ? near : "", near ? "?" : "");
    note_set(note, TUFA_UNKNOWN, "relation", name, all, why);
    return NULL;
}

static const tufa_relation_in *find_input(const tufa_relation *r, const char *key, size_t n, const unit_key **unit)
{
    for (size_t i = 0; i < r->ins; i++)
        if (unit_key_is(r->in[i].name, r->in[i].kind, key, n, unit)) return &r->in[i];
    for (size_t i = 0; i < r->ins; i++) /* a quantity's own name wins over another's second name */
        if (unit_key_is(r->in[i].other_names, r->in[i].kind, key, n, unit)) return &r->in[i];
    return NULL;
}

static tufa_code unknown_key(const tufa_relation *r, const char *key, trouble_note *note)
{
    char room[NAMES][WORD];
    const char *names[NAMES];
    size_t n = 0;
    for (size_t i = 0; i < r->ins; i++)
        for (size_t u = 0; n < NAMES && unit_key_at(r->in[i].name, r->in[i].kind, u, room[n], WORD); u++) {
            names[n] = room[n];
            n++;
        }
    const char *near = nearest_name(key, names, n);
    text allowed = {0};
    for (size_t i = 0; i < r->ins; i++) text_addf(&allowed, "%s%s", i ? ", " : "", r->in[i].name);
    char why[200];
    snprintf(why, sizeof why, "%s does not take this%s%s%s", r->name, near ? "; did you mean " : "", near ? near : "", near ? "?" : "");
    note_set(note, TUFA_UNKNOWN, "input", key, text_str(&allowed), why);
    text_free(&allowed);
    return TUFA_UNKNOWN;
}

static tufa_code take_choice(const tufa_relation_in *in, const char *value, double *out, trouble_note *note)
{
    const char *words = strchr(in->kind, ' ') + 1;
    double at = 0.0;
    for (const char *p = words; *p; p += strspn(p, " "), at += 1.0) {
        size_t len = strcspn(p, " ");
        if (strlen(value) == len && strncmp(p, value, len) == 0) {
            *out = at;
            return TUFA_OK;
        }
        p += len;
    }
    note_set(note, TUFA_UNKNOWN, in->name, value, words, "one of a list of words is asked here");
    return TUFA_UNKNOWN;
}

/* A number, a fraction "5/8" or "1 1/2"; *end behind it. */
static bool number_of(const char *s, double *x, const char **end)
{
    char *e;
    *x = strtod(s, &e);
    if (e == s || !isfinite(*x)) return false;
    char *slash = e;
    double above = *x, whole = 0.0;
    if (*e == ' ') { /* "1 1/2" */
        char *e2;
        double second = strtod(e, &e2);
        if (e2 != e && *e2 == '/') {
            whole = *x;
            above = second;
            slash = e2;
        }
    }
    if (*slash == '/' && slash[1] >= '0' && slash[1] <= '9') {
        double below = strtod(slash + 1, &e);
        if (below == 0.0) return false;
        *x = whole + above / below;
    }
    *end = e;
    return true;
}

tufa_code relation_take(const tufa_relation *r, const char *word, size_t len, double *in, trouble_note *note)
{
    char key[WORD] = "", value[96] = "";
    const char *eq = memchr(word, '=', len);
    if (!eq || eq == word || (size_t)(eq - word) >= sizeof key || len - (size_t)(eq - word) > sizeof value) {
        char shown[80];
        snprintf(shown, sizeof shown, "%.*s", (int)(len < 70 ? len : 70), word);
        note_set(note, TUFA_PARSE, "input", shown, "name=value, as in d_mm=0.5", "this cannot be read as an input");
        return TUFA_PARSE;
    }
    memcpy(key, word, (size_t)(eq - word));
    memcpy(value, eq + 1, len - (size_t)(eq - word) - 1);
    const unit_key *unit;
    const tufa_relation_in *q = find_input(r, key, strlen(key), &unit);
    if (!q) return unknown_key(r, key, note);
    double *to = &in[q - r->in];
    if (!isnan(*to)) {
        note_set(note, TUFA_CONFLICT, key, value, "", "this was given twice");
        return TUFA_CONFLICT;
    }
    if (strncmp(q->kind, "choice ", 7) == 0) return take_choice(q, value, to, note);
    const char *rest;
    double x;
    bool read = number_of(value, &x, &rest);
    if (read) {
        while (*rest == ' ') rest++;
        if (*rest) {
            const unit_key *behind = unit_key_named(q->kind, rest, strlen(rest));
            if (!behind || unit) {
                note_set(note, TUFA_UNIT, key, value, "", unit ? "its name has a unit already" : "this unit is not known here");
                return TUFA_UNIT;
            }
            unit = behind;
        }
    }
    if (!read) {
        note_set(note, TUFA_PARSE, key, value, "a number", "this is not a number");
        return TUFA_PARSE;
    }
    if (strcmp(q->kind, "percent") == 0 && !unit && x >= 1.0) x *= 0.01;
    *to = unit ? x * unit->one + unit->zero : x;
    return TUFA_OK;
}
