/* Keeping a fact unless the book says the same already, and saying one. */
#ifndef EDGE_DESK_THING_FACTS_H
#define EDGE_DESK_THING_FACTS_H

#include "edge/desk/desk.h"

/* What adding a fact met. */
typedef struct fact_met {
    fact_rec before; /* what held on its day; nothing of a new field */
    bool same;       /* that said so already */
    bool past;       /* something of a later day stands; the fact is kept for its own time */
    fact_rec now;    /* then: that */
} fact_met;

/* Adds `f` for its own day, unless what held then says the same; `confirmed`: also then, so that an older one that is written down
 * later does not take its place. Nothing is asked for a thing that is new. */
TUFA_MUST_CHECK tufa_status fact_keep(store *s, thing_kind kind, const fact_rec *f, bool is_new, bool confirmed, fact_met *met);
/* Adds `f` so that it counts from now on: what bears a later day was wrong and is replaced. `before` gets what counted until now. */
TUFA_MUST_CHECK tufa_status fact_correct(store *s, thing_kind kind, const fact_rec *f, fact_rec *before, bool *same);
/* In the book's units; nothing for what is not known. */
void fact_say(desk *d, const fact_rec *f, const field_row *field, text *out);

/* What the book holds of one field now, in words; `from` is "" and `value` too where nobody told. */
typedef struct thing_line {
    const field_row *field;
    char value[STORE_WORD + 40], from[STORE_SOURCE + 24];
} thing_line;
enum { THING_LINES = 48 };
/* All fields of a thing, in the order of their table. */
TUFA_MUST_CHECK tufa_status desk_thing_lines(desk *d, thing_kind kind, int64_t thing, thing_line out[THING_LINES], size_t *n);

/* A heater that was taken out gives its name free: "Linden Row 14 (out 2026-05-01)". */
void heater_out_label(const char *label, int64_t day, char out[STORE_LABEL + 32]);
TUFA_MUST_CHECK tufa_status heater_out_rename(store *s, int64_t heater, int64_t day, const char *source);

#endif
