#include "edge/desk/find.h"

#include "core/base/status.h"

enum { NEAR_MOST = 12 };

typedef struct house_heaters {
    int64_t house, first;
    size_t n;
    text *near;
} house_heaters;

static tufa_status note_heater(void *ctx, const heater_rec *r)
{
    house_heaters *h = ctx;
    if (r->house != h->house || r->out_day.basis != TUFA_BASIS_NONE) return OK;
    if (h->n++ == 0) h->first = r->id;
    if (h->near && h->n <= NEAR_MOST) text_addf(h->near, "  %4lld  %s\n", (long long)r->id, r->label);
    return OK;
}

static tufa_code fail(trouble_note *note, tufa_status st, thing_kind kind, const char *name)
{
    note_from_status(note, st);
    note_set(note, st.code, thing_word(kind), name, "", st.why ? st.why : "");
    return st.code;
}

/* A part of the label; the only one that has it is meant. */
static tufa_code by_part(desk *d, thing_kind kind, const char *name, int64_t *id, text *near, trouble_note *note)
{
    text list = {0};
    int found = 0;
    long long only = 0;
    tufa_status st = store_thing_like(d->s, kind, name, NEAR_MOST, &list, &found);
    if (st.code == TUFA_OK && found == 1 && sscanf(text_str(&list), "%lld", &only) == 1) {
        *id = only;
        text_free(&list);
        return TUFA_OK;
    }
    if (near) text_add(near, text_str(&list));
    text_free(&list);
    if (st.code) return fail(note, st, kind, name);
    char why[120];
    snprintf(why, sizeof why, found ? "several in the book have this in their name; write more of it, or the number" : "the book has no %s of this name or number", thing_word(kind));
    note_set(note, TUFA_UNKNOWN, thing_word(kind), name, "", why);
    return TUFA_UNKNOWN;
}

tufa_code desk_find(desk *d, thing_kind kind, const char *name, int64_t *id, text *near, trouble_note *note)
{
    tufa_status st = store_thing_find(d->s, kind, name, id);
    if (st.code == TUFA_OK) return TUFA_OK;
    if (st.code != TUFA_MISSING) return fail(note, st, kind, name);
    house_heaters h = {.near = near};
    if (kind == THING_HEATER && store_thing_labelled(d->s, THING_HOUSE, name, &h.house).code == TUFA_OK) {
        st = store_heater_each(d->s, note_heater, &h);
        if (st.code) return fail(note, st, kind, name);
        *id = h.first;
        if (h.n == 1) return TUFA_OK;
        note_set(note, TUFA_UNKNOWN, thing_word(kind), name, "", h.n ? "several heaters are in this house; say which" : "no heater is in this house");
        return TUFA_UNKNOWN;
    }
    return by_part(d, kind, name, id, near, note);
}
