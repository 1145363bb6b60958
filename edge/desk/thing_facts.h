/* Keeping a fact unless the book says the same already, and saying one. */
#ifndef EDGE_DESK_THING_FACTS_H
#define EDGE_DESK_THING_FACTS_H

#include "edge/desk/desk.h"

/* Adds `f` unless the newest fact says the same. `before` gets what counted until now where anything did; nothing is
 * asked for a thing that is new. */
TUFA_MUST_CHECK tufa_status fact_keep(store *s, thing_kind kind, const fact_rec *f, bool is_new, fact_rec *before, bool *same);
/* In the book's units; nothing for what is not known. */
void fact_say(desk *d, const fact_rec *f, const field_row *field, text *out);

/* A heater that was taken out gives its name free: "Linden Row 14 (out 2026-05-01)". */
void heater_out_label(const char *label, int64_t day, char out[STORE_LABEL + 32]);
TUFA_MUST_CHECK tufa_status heater_out_rename(store *s, int64_t heater, int64_t day, const char *source);

#endif
