/* Cases as JSON, for every command that can be asked alone: one object a line, objects over several lines, or one
 * array of objects. Read one at a time, so that a million cases need no more memory than one (an array counts as one).
 * Duplicate keys, unknown keys, wrong types and numbers out of range are refused with the key, the value and what
 * is allowed. null is the same as leaving the key out: not known. */
#ifndef EDGE_IMPORT_JSON_CASE_H
#define EDGE_IMPORT_JSON_CASE_H

#include <jansson.h>
#include <stdbool.h>
#include <stdio.h>

#include "edge/say/trouble.h"

enum { JSON_CASE_MOST_BYTES = 64000000 }; /* of one case, or of an array of cases */

typedef struct json_cases {
    FILE *file;
    const char *name;   /* in messages */
    size_t line, number; /* line being read, cases given so far */
    json_t *held;       /* array or object that the case just given belongs to */
    size_t at;          /* next element of a held array */
    char *text;         /* of one value */
    size_t len, room;
} json_cases;

/* One object being read. The first trouble stays in `note`, and every reading after it does nothing, so a caller
 * reads all its keys and looks at note->code once. */
typedef struct json_case {
    const json_t *object;
    char where[96];
    trouble_note *note;
} json_case;

typedef enum json_case_result { JSON_CASE_END, JSON_CASE_GIVEN, JSON_CASE_BAD, JSON_CASE_BROKEN } json_case_result;

/* `file` stays the caller's. `name` is kept, not copied. */
void json_cases_open(json_cases *r, FILE *file, const char *name);
/* The next case; it lives until the next call. BAD: this one cannot be read (note says why), the next may. BROKEN:
 * nothing after it can be read either. `note` is cleared first and stays with the case. */
json_case_result json_cases_next(json_cases *r, json_case *c, trouble_note *note);
void json_cases_close(json_cases *r);

/* Is the key there with something in it? */
bool json_case_has(const json_case *c, const char *key);
/* Refuses any key that is not in `keys`, offering the nearest. */
bool json_case_only(json_case *c, const char *const *keys, size_t n);

/* Each writes `out` only when the key is there and its value allowed; false on trouble (also an earlier one). */
bool json_case_number(json_case *c, const char *key, double lo, double hi, double *out);
bool json_case_int(json_case *c, const char *key, long long lo, long long hi, long long *out);
bool json_case_bool(json_case *c, const char *key, bool *out);
/* Text of at most room - 1 bytes, without control characters. */
bool json_case_text(json_case *c, const char *key, char *out, size_t room);
/* One of `names`; `out` gets its place. */
bool json_case_choice(json_case *c, const char *key, const char *const *names, size_t n, size_t *out);
/* An array, or an object as a case of its own ("heater" in a fault case). *out is NULL when left out. */
bool json_case_array(json_case *c, const char *key, size_t most, const json_t **out);
bool json_case_object(json_case *c, const char *key, json_case *out); /* out->object NULL when left out */
/* Element i of an array of objects, as a case named "KEY i" in messages. */
bool json_case_element(json_case *c, const char *key, const json_t *array, size_t i, json_case *out);
/* Fails when a key is not there. */
bool json_case_needs(json_case *c, const char *key);

/* Sets the note, with this case's place in it; always false. `value` may be NULL. */
bool json_case_refuse(json_case *c, tufa_code code, const char *key, const char *value, const char *allowed,
                      const char *why);
/* The same from a status of the core. */
bool json_case_refuse_status(json_case *c, tufa_status st);

#endif
