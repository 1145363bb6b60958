#include "edge/import/json_case.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

void json_cases_open(json_cases *r, FILE *file, const char *name)
{
    *r = (json_cases){.file = file, .name = name, .line = 1};
}

void json_cases_close(json_cases *r)
{
    json_decref(r->held);
    free(r->text);
    *r = (json_cases){0};
}

static bool keep(json_cases *r, int ch)
{
    if (r->len == r->room) {
        size_t room = r->room ? 2 * r->room : 4096;
        char *grown = room <= 2 * (size_t)JSON_CASE_MOST_BYTES ? realloc(r->text, room) : NULL;
        if (!grown) return false;
        r->text = grown;
        r->room = room;
    }
    r->text[r->len++] = (char)ch;
    return true;
}

static json_case_result broken(json_cases *r, trouble_note *note, tufa_code code, size_t line, const char *why)
{
    note_set(note, code, "", "", "", why);
    snprintf(note->where, sizeof note->where, "%.60s line %zu", r->name, line);
    return JSON_CASE_BROKEN;
}

/* Takes the characters of the next value: up to the bracket that closes it, or to the end of a line outside of
 * any. Brackets inside texts do not count. *first is the line on which it begins. */
static json_case_result take_value(json_cases *r, trouble_note *note, size_t *first)
{
    size_t depth = 0;
    bool in_text = false, escaped = false;
    int ch;
    r->len = 0;
    *first = r->line;
    while ((ch = getc(r->file)) != EOF) {
        if (ch == '\n') r->line++;
        if (r->len == 0 && isspace(ch)) {
            *first = r->line;
            continue;
        }
        if (ch == '\n' && depth == 0) return JSON_CASE_GIVEN;
        if (!keep(r, ch) || r->len > JSON_CASE_MOST_BYTES)
            return broken(r, note, TUFA_REFUSED, *first, "this case is larger than 64 MB, or there is no memory for it");
        if (in_text) {
            if (!escaped && ch == '"') in_text = false;
            escaped = !escaped && ch == '\\';
        } else if (ch == '"') {
            in_text = true;
        } else if (ch == '{' || ch == '[') {
            depth++;
        } else if ((ch == '}' || ch == ']') && (depth == 0 || --depth == 0)) {
            return JSON_CASE_GIVEN;
        }
    }
    if (ferror(r->file)) return broken(r, note, TUFA_IO, r->line, "it cannot be read");
    if (r->len == 0) return JSON_CASE_END;
    return depth == 0 ? JSON_CASE_GIVEN : broken(r, note, TUFA_PARSE, *first, "the JSON that begins here is never closed");
}

static json_case_result give(json_cases *r, json_case *c, trouble_note *note, const json_t *object, size_t line)
{
    *c = (json_case){.object = object, .note = note};
    r->number++;
    if (json_is_array(r->held)) snprintf(c->where, sizeof c->where, "%.60s case %zu", r->name, r->number);
    else snprintf(c->where, sizeof c->where, "%.60s line %zu", r->name, line);
    if (json_is_object(object)) return JSON_CASE_GIVEN;
    json_case_refuse(c, TUFA_PARSE, "", NULL, "", "a case is a JSON object in braces");
    return JSON_CASE_BAD;
}

/* Parses what take_value took into `held`. */
static json_case_result parse_value(json_cases *r, trouble_note *note, size_t line)
{
    json_error_t error;
    r->held = json_loadb(r->text, r->len, JSON_REJECT_DUPLICATES | JSON_DECODE_ANY, &error);
    r->at = 0;
    if (r->held) return JSON_CASE_GIVEN;
    broken(r, note, TUFA_PARSE, line + (size_t)(error.line > 0 ? error.line - 1 : 0), error.text);
    r->number++;
    return JSON_CASE_BAD;
}

json_case_result json_cases_next(json_cases *r, json_case *c, trouble_note *note)
{
    *note = (trouble_note){0};
    for (;;) { /* more than once only past an empty array */
        if (json_is_array(r->held) && r->at < json_array_size(r->held))
            return give(r, c, note, json_array_get(r->held, r->at++), 0);
        json_decref(r->held);
        r->held = NULL;
        size_t line;
        json_case_result got = take_value(r, note, &line);
        if (got == JSON_CASE_GIVEN) got = parse_value(r, note, line);
        if (got != JSON_CASE_GIVEN) return got;
        if (!json_is_array(r->held)) return give(r, c, note, r->held, line);
    }
}

bool json_case_refuse(json_case *c, tufa_code code, const char *key, const char *value, const char *allowed,
                      const char *why)
{
    if (c->note->code != TUFA_OK) return false;
    note_set(c->note, code, key, value, allowed, why);
    snprintf(c->note->where, sizeof c->note->where, "%s", c->where);
    return false;
}

bool json_case_refuse_status(json_case *c, tufa_status st)
{
    if (c->note->code != TUFA_OK) return false;
    note_from_status(c->note, st);
    snprintf(c->note->where, sizeof c->note->where, "%s", c->where);
    return false;
}

/* The value as it was written, shortened by the note. */
static bool refuse_value(json_case *c, tufa_code code, const char *key, const json_t *v, const char *allowed,
                         const char *why)
{
    char *shown = json_dumps(v, JSON_ENCODE_ANY | JSON_COMPACT);
    bool quoted = json_is_string(v);
    json_case_refuse(c, code, key, quoted ? json_string_value(v) : shown, allowed, why);
    free(shown);
    return false;
}

/* The value of a key, or NULL when it is left out or an earlier key was trouble. */
static const json_t *value_of(const json_case *c, const char *key)
{
    if (c->note->code != TUFA_OK || !c->object) return NULL;
    const json_t *v = json_object_get(c->object, key);
    return json_is_null(v) ? NULL : v;
}

static bool fine(const json_case *c) { return c->note->code == TUFA_OK; }

bool json_case_has(const json_case *c, const char *key)
{
    const json_t *v = c->object ? json_object_get(c->object, key) : NULL;
    return v && !json_is_null(v);
}

bool json_case_needs(json_case *c, const char *key)
{
    if (!fine(c)) return false;
    return json_case_has(c, key) || json_case_refuse(c, TUFA_MISSING, key, NULL, "", "this is needed");
}

bool json_case_only(json_case *c, const char *const *keys, size_t n)
{
    if (!fine(c)) return false;
    const char *key;
    json_t *v;
    json_object_foreach((json_t *)c->object, key, v)
    {
        bool known = false;
        for (size_t i = 0; i < n && !known; i++) known = strcmp(key, keys[i]) == 0;
        if (known) continue;
        const char *near = nearest_name(key, keys, n);
        char why[120];
        snprintf(why, sizeof why, "there is no such key%s%s%s", near ? "; did you mean \"" : "", near ? near : "",
                 near ? "\"?" : "");
        return json_case_refuse(c, TUFA_UNKNOWN, key, NULL, "", why);
    }
    return true;
}

bool json_case_number(json_case *c, const char *key, double lo, double hi, double *out)
{
    const json_t *v = value_of(c, key);
    if (!v) return fine(c);
    char allowed[80];
    snprintf(allowed, sizeof allowed, "%g to %g", lo, hi);
    if (!json_is_number(v)) return refuse_value(c, TUFA_PARSE, key, v, allowed, "this should be a number");
    double x = json_number_value(v);
    if (!(x >= lo && x <= hi)) return refuse_value(c, TUFA_RANGE, key, v, allowed, "this is outside what is allowed");
    *out = x;
    return true;
}

bool json_case_int(json_case *c, const char *key, long long lo, long long hi, long long *out)
{
    double x = 0.0;
    const json_t *v = value_of(c, key);
    if (!v) return fine(c);
    if (!json_case_number(c, key, (double)lo, (double)hi, &x)) return false;
    if (x != floor(x)) return refuse_value(c, TUFA_PARSE, key, v, "", "this should be a whole number");
    *out = (long long)x;
    return true;
}

bool json_case_bool(json_case *c, const char *key, bool *out)
{
    const json_t *v = value_of(c, key);
    if (!v) return fine(c);
    if (!json_is_boolean(v)) return refuse_value(c, TUFA_PARSE, key, v, "true, false", "this should be true or false");
    *out = json_is_true(v);
    return true;
}

bool json_case_text(json_case *c, const char *key, char *out, size_t room)
{
    const json_t *v = value_of(c, key);
    if (!v) return fine(c);
    if (!json_is_string(v)) return refuse_value(c, TUFA_PARSE, key, v, "", "this should be a text in quotes");
    const char *s = json_string_value(v);
    size_t n = json_string_length(v);
    if (n >= room) return refuse_value(c, TUFA_RANGE, key, v, "", "this text is too long");
    for (size_t i = 0; i < n; i++)
        if (iscntrl((unsigned char)s[i])) return refuse_value(c, TUFA_PARSE, key, v, "", "a text may hold no control characters");
    memcpy(out, s, n + 1);
    return true;
}

bool json_case_choice(json_case *c, const char *key, const char *const *names, size_t n, size_t *out)
{
    const json_t *v = value_of(c, key);
    if (!v) return fine(c);
    const char *s = json_is_string(v) ? json_string_value(v) : "";
    for (size_t i = 0; i < n; i++)
        if (strcmp(s, names[i]) == 0) {
            *out = i;
            return true;
        }
    text allowed = {0};
    for (size_t i = 0; i < n; i++) text_addf(&allowed, "%s%s", i ? ", " : "", names[i]);
    const char *near = nearest_name(s, names, n);
    char why[120];
    snprintf(why, sizeof why, "this is none of the names known here%s%s%s", near ? "; did you mean \"" : "",
             near ? near : "", near ? "\"?" : "");
    refuse_value(c, TUFA_UNKNOWN, key, v, text_str(&allowed), why);
    text_free(&allowed);
    return false;
}

bool json_case_array(json_case *c, const char *key, size_t most, const json_t **out)
{
    *out = NULL;
    const json_t *v = value_of(c, key);
    if (!v) return fine(c);
    if (!json_is_array(v)) return refuse_value(c, TUFA_PARSE, key, v, "", "this should be a list in square brackets");
    char allowed[48], got[48];
    snprintf(allowed, sizeof allowed, "at most %zu", most);
    snprintf(got, sizeof got, "%zu entries", json_array_size(v));
    if (json_array_size(v) > most) return json_case_refuse(c, TUFA_RANGE, key, got, allowed, "this list is too long");
    *out = v;
    return true;
}

bool json_case_object(json_case *c, const char *key, json_case *out)
{
    *out = (json_case){.note = c->note};
    snprintf(out->where, sizeof out->where, "%.60s %.30s", c->where, key);
    const json_t *v = value_of(c, key);
    if (!v) return fine(c);
    if (!json_is_object(v)) return refuse_value(c, TUFA_PARSE, key, v, "", "this should be an object in braces");
    out->object = v;
    return true;
}

bool json_case_element(json_case *c, const char *key, const json_t *array, size_t i, json_case *out)
{
    *out = (json_case){.note = c->note};
    snprintf(out->where, sizeof out->where, "%.50s %.24s %zu", c->where, key, i + 1);
    if (!fine(c)) return false;
    const json_t *v = json_array_get(array, i);
    if (!json_is_object(v)) return refuse_value(c, TUFA_PARSE, key, v, "", "each entry should be an object in braces");
    out->object = v;
    return true;
}
