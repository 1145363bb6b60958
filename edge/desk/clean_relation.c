#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "edge/desk/clean_desk.h"
#include "edge/import/relation_words.h"

enum { DIGITS = 10 };

tufa_code desk_clean_relation(const char *name, const char *const *words, int n, text *json, trouble_note *note)
{
    double in[TUFA_RELATION_MAX_IN], out[TUFA_RELATION_MAX_OUT];
    const tufa_relation *r = relation_named(name, note);
    if (!r) return note->code;
    for (size_t i = 0; i < r->ins; i++) in[i] = NAN;
    for (int i = 0; i < n; i++)
        for (const char *p = words[i]; *p; p += strspn(p, "; ")) {
            size_t len = strcspn(p, ";");
            if (relation_take(r, p, len, in, note) != TUFA_OK) return note->code;
            p += len;
        }
    tufa_status st = tufa_relation_run(r, in, out);
    if (st.code != TUFA_OK) {
        note_from_status(note, st);
        return st.code;
    }
    json_t *o = json_object();
    json_object_set_new(o, "relation", json_string(r->name));
    for (size_t i = 0; i < r->outs; i++)
        if (!isnan(out[i])) json_object_set_new(o, r->out[i], isinf(out[i]) ? json_null() : json_real(out[i]));
    char *s = json_dumps(o, JSON_REAL_PRECISION(DIGITS));
    json_decref(o);
    if (!s) return note_set(note, TUFA_MEMORY, "", "", "", ""), TUFA_MEMORY;
    text_add(json, s);
    text_add(json, "\n");
    free(s);
    return TUFA_OK;
}
