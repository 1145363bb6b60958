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

/* What held on a day; nothing where nobody said anything. */
static tufa_status held(store *s, thing_kind kind, const fact_rec *f, int64_t day, fact_rec *out)
{
    *out = (fact_rec){.field = f->field, .choice = -1};
    tufa_status st = store_fact_on(s, kind, f->thing, f->field, day, out);
    return st.code == TUFA_MISSING ? OK : st;
}

tufa_status fact_keep(store *s, thing_kind kind, const fact_rec *f, bool is_new, bool confirmed, fact_met *met)
{
    *met = (fact_met){.before = {.field = f->field, .choice = -1}};
    if (is_new) return says_the_same(f, &met->before) ? OK : store_fact_add(s, kind, f);
    RETURN_IF(held(s, kind, f, f->day, &met->before));
    RETURN_IF(held(s, kind, f, INT64_MAX, &met->now));
    met->past = met->now.id != 0 && met->now.day > f->day;
    met->same = says_the_same(f, met->past && met->before.id == 0 ? &met->now : &met->before); /* that it was so before: nothing new */
    bool again = confirmed && met->before.id != 0 && met->before.day < f->day;
    return met->same && !again ? OK : store_fact_add(s, kind, f);
}

tufa_status fact_correct(store *s, thing_kind kind, const fact_rec *f, fact_rec *before, bool *same)
{
    fact_rec now, mine = *f;
    RETURN_IF(held(s, kind, f, INT64_MAX, before));
    *same = says_the_same(f, before);
    if (*same && (before->id == 0 || before->day >= f->day)) return OK;
    for (now = *before;; ) { /* each row takes one of a later day away, so this ends */
        mine.replaces = now.day > f->day ? now.id : 0;
        RETURN_IF(store_fact_add(s, kind, &mine));
        RETURN_IF(held(s, kind, f, INT64_MAX, &now));
        if (now.day <= f->day) return OK;
    }
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

static tufa_status thing_line_of(desk *d, thing_kind kind, int64_t thing, const field_row *f, thing_line *out)
{
    fact_rec fact;
    text w = {0};
    *out = (thing_line){.field = f};
    tufa_status st = store_fact_now(d->s, kind, thing, f, &fact);
    if (st.code != TUFA_OK) return st.code == TUFA_MISSING ? OK : st;
    fact_say(d, &fact, f, &w);
    snprintf(out->value, sizeof out->value, "%s", text_str(&w));
    text_clear(&w);
    text_addf(&w, "%s, ", fact.source);
    say_day(&w, fact.day);
    snprintf(out->from, sizeof out->from, "%s", text_str(&w));
    text_free(&w);
    return OK;
}

tufa_status desk_thing_lines(desk *d, thing_kind kind, int64_t thing, thing_line out[THING_LINES], size_t *n)
{
    size_t fields;
    const field_row *f = thing_fields(kind, &fields);
    for (*n = 0; *n < fields && *n < THING_LINES; ++*n) RETURN_IF(thing_line_of(d, kind, thing, &f[*n], &out[*n]));
    return OK;
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
