#include "edge/desk/thing_facts.h"

#include <string.h>

#include "core/base/status.h"
#include "edge/desk/kind.h"
#include "edge/say/day.h"

static bool says_the_same(const fact_rec *a, const fact_rec *b)
{
    switch (a->field->type) {
    case FIELD_VALUE: return value_same(a->value, b->value);
    case FIELD_CHOICE: return a->choice == b->choice;
    case FIELD_REF: return a->ref == b->ref;
    case FIELD_WORD: return strcmp(a->word, b->word) == 0;
    }
    return false;
}

tufa_status fact_keep(store *s, thing_kind kind, const fact_rec *f, bool is_new, fact_rec *before, bool *same)
{
    *before = (fact_rec){.field = f->field, .choice = -1};
    *same = false;
    tufa_status st = is_new ? OK : store_fact_now(s, kind, f->thing, f->field, before);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    *same = says_the_same(f, before);
    return *same ? OK : store_fact_add(s, kind, f);
}

void fact_say(desk *d, const fact_rec *f, const field_row *field, text *out)
{
    char label[STORE_LABEL];
    switch (field->type) {
    case FIELD_VALUE:
        if (f->value.basis != TUFA_BASIS_NONE) say_value(out, d->units, field->q, f->value);
        break;
    case FIELD_CHOICE:
        if (f->choice >= 0) choice_word(out, field->choices, f->choice);
        break;
    case FIELD_REF:
        if (f->ref && store_thing_label(d->s, THING_WATER, f->ref, label).code == TUFA_OK) text_add(out, label);
        break;
    case FIELD_WORD: text_add(out, f->word); break;
    }
}

void heater_out_label(const char *label, int64_t day, char out[STORE_LABEL + 32])
{
    text t = {0};
    text_add(&t, " (out ");
    write_day(&t, day);
    text_add(&t, ")");
    int room = STORE_LABEL - 1 - (int)t.len, n = (int)strlen(label) < room ? (int)strlen(label) : room;
    while (n > 0 && n < (int)strlen(label) && ((unsigned char)label[n] & 0xC0) == 0x80) n--; /* no cut within a character */
    snprintf(out, STORE_LABEL + 32, "%.*s%s", n, label, text_str(&t));
    text_free(&t);
}

tufa_status heater_out_rename(store *s, int64_t heater, int64_t day, const char *source)
{
    heater_rec r;
    RETURN_IF(store_heater_get(s, heater, &r));
    if (r.out_day.basis == TUFA_BASIS_NONE || strstr(r.label, " (out ")) return OK;
    char label[STORE_LABEL + 32];
    heater_out_label(r.label, (int64_t)r.out_day.mid, label);
    return store_thing_rename(s, THING_HEATER, heater, label, day, source);
}
