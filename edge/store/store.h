/* The book: one SQLite file. Facts are added, never overwritten; each has a day and a source. Statements are bound. */
#ifndef EDGE_STORE_STORE_H
#define EDGE_STORE_STORE_H

#include <stdbool.h>
#include <stddef.h>

#include "edge/say/text.h"
#include "edge/store/records.h"
#include "tufa/base.h"

typedef struct store store;
typedef enum store_mode { STORE_READ, STORE_WRITE } store_mode;

/* A new, empty book; refused when something is at `path` already. */
TUFA_MUST_CHECK tufa_status store_create(const char *path, store **out);
/* An existing book. STORE_WRITE brings an older one up to date first (in one transaction); STORE_READ works in a
 * read-only folder. Refused with the reason: no file, no database, another program's, a newer version. */
TUFA_MUST_CHECK tufa_status store_open(const char *path, store_mode mode, store **out);
/* A book without a file: for a question that is asked without one. */
TUFA_MUST_CHECK tufa_status store_in_memory(store **out);
void store_close(store *s); /* NULL is fine */
int store_version_newest(void);
/* A number that changes whenever the book has, by this connection or by another. */
TUFA_MUST_CHECK tufa_status store_version(store *s, int64_t *version);

/* Everything between begin and commit is kept whole or not at all. */
TUFA_MUST_CHECK tufa_status store_begin(store *s);
TUFA_MUST_CHECK tufa_status store_commit(store *s);
void store_rollback(store *s);

/* A copy that opens by itself, taken while the book may be in use; refused when something is at `path` already. */
TUFA_MUST_CHECK tufa_status store_backup(store *s, const char *path);
/* File whole, links between records whole, values in their order. What is wrong goes to `report`, a line each. */
TUFA_MUST_CHECK tufa_status store_check(store *s, text *report, int *wrong);

/* ---- things and facts ---- */

/* A new thing. `house` is asked for a heater only. CONFLICT when a thing of this kind has the label. */
TUFA_MUST_CHECK tufa_status store_thing_add(store *s, thing_kind kind, const char *label, int64_t house, int64_t day,
                                            const char *source, int64_t *id);
/* By label (case and double spaces do not count); MISSING when there is none. The second also takes a number. */
TUFA_MUST_CHECK tufa_status store_thing_labelled(store *s, thing_kind kind, const char *label, int64_t *id);
TUFA_MUST_CHECK tufa_status store_thing_find(store *s, thing_kind kind, const char *name, int64_t *id);
/* Labels that begin with or contain `part`, each with its number on a line of `out`; at most `most`. */
TUFA_MUST_CHECK tufa_status store_thing_like(store *s, thing_kind kind, const char *part, int most, text *out, int *found);
TUFA_MUST_CHECK tufa_status store_thing_label(store *s, thing_kind kind, int64_t id, char label[STORE_LABEL]);
TUFA_MUST_CHECK tufa_status store_thing_rename(store *s, thing_kind kind, int64_t id, const char *label, int64_t day,
                                               const char *source);
TUFA_MUST_CHECK tufa_status store_thing_count(store *s, thing_kind kind, size_t *n);

TUFA_MUST_CHECK tufa_status store_fact_add(store *s, thing_kind kind, const fact_rec *f);
/* The fact that counts now; MISSING when nobody said anything. */
TUFA_MUST_CHECK tufa_status store_fact_now(store *s, thing_kind kind, int64_t thing, const field_row *field, fact_rec *out);
/* The fact that held on a day, by what is known now. */
TUFA_MUST_CHECK tufa_status store_fact_on(store *s, thing_kind kind, int64_t thing, const field_row *field, int64_t day, fact_rec *out);
/* All that was ever said of a field (all fields when NULL), by its day; replaced facts too. */
typedef tufa_status (*store_fact_fn)(void *ctx, const fact_rec *f);
TUFA_MUST_CHECK tufa_status store_fact_each(store *s, thing_kind kind, int64_t thing, const field_row *field,
                                            store_fact_fn fn, void *ctx);

/* Records as they stand now. `.._each` runs through all in the order of their numbers and holds one at a time, so
 * that a large book needs no large memory; it stops at the first status that is not OK and answers it. The function
 * may ask the book for more, but not change it. Heaters taken
 * out of service come too: look at out_day. */
typedef tufa_status (*store_water_fn)(void *ctx, const water_rec *r);
typedef tufa_status (*store_house_fn)(void *ctx, const house_rec *r);
typedef tufa_status (*store_heater_fn)(void *ctx, const heater_rec *r);
TUFA_MUST_CHECK tufa_status store_water_get(store *s, int64_t id, water_rec *out);
TUFA_MUST_CHECK tufa_status store_water_each(store *s, store_water_fn fn, void *ctx);
TUFA_MUST_CHECK tufa_status store_house_get(store *s, int64_t id, house_rec *out);
TUFA_MUST_CHECK tufa_status store_house_each(store *s, store_house_fn fn, void *ctx);
TUFA_MUST_CHECK tufa_status store_heater_get(store *s, int64_t id, heater_rec *out);
TUFA_MUST_CHECK tufa_status store_heater_each(store *s, store_heater_fn fn, void *ctx);

/* ---- lab sheets ---- */

TUFA_MUST_CHECK tufa_status store_sheet_add(store *s, const sheet_rec *r, int64_t *id);
/* The newest sheet of a water (latest day, then latest entered); MISSING when there is none. */
TUFA_MUST_CHECK tufa_status store_sheet_now(store *s, int64_t water, sheet_rec *out);
TUFA_MUST_CHECK tufa_status store_sheet_on(store *s, int64_t water, int64_t day, sheet_rec *out); /* as it stood on a day */

/* ---- households, findings, visits: `replaces` is the id that a correction takes the place of, 0 for none ---- */

TUFA_MUST_CHECK tufa_status store_household_add(store *s, const household_rec *r, int64_t replaces, int64_t *id);
/* Who is behind a heater on a day: a line for the heater itself before one for its house. MISSING when nobody said. */
TUFA_MUST_CHECK tufa_status store_household_on(store *s, int64_t house, int64_t heater, int64_t day, household_rec *out);
typedef tufa_status (*store_household_fn)(void *ctx, const household_rec *r);
TUFA_MUST_CHECK tufa_status store_household_each(store *s, int64_t house, store_household_fn fn, void *ctx); /* by day */
TUFA_MUST_CHECK tufa_status store_household_replaced(store *s, int64_t house, store_household_fn fn, void *ctx); /* what a correction took the place of */

TUFA_MUST_CHECK tufa_status store_finding_add(store *s, const finding_rec *r, int64_t replaces, int64_t *id);
typedef tufa_status (*store_finding_fn)(void *ctx, const finding_rec *r);
TUFA_MUST_CHECK tufa_status store_finding_each(store *s, int64_t heater, store_finding_fn fn, void *ctx); /* by day */
TUFA_MUST_CHECK tufa_status store_finding_replaced(store *s, int64_t heater, store_finding_fn fn, void *ctx); /* what a correction took the place of */

TUFA_MUST_CHECK tufa_status store_visit_add(store *s, const visit_rec *r, int64_t replaces, int64_t *id);
typedef tufa_status (*store_visit_fn)(void *ctx, const visit_rec *r);
TUFA_MUST_CHECK tufa_status store_visit_each(store *s, int64_t heater, store_visit_fn fn, void *ctx); /* by day */
TUFA_MUST_CHECK tufa_status store_visit_replaced(store *s, int64_t heater, store_visit_fn fn, void *ctx); /* what a correction took the place of */

/* Parts in the van: bought and counted in (pieces > 0), used out (< 0, with the visit); `.._each` gives what is there. */
TUFA_MUST_CHECK tufa_status store_stock_move(store *s, const stock_rec *r);
typedef tufa_status (*store_stock_fn)(void *ctx, const stock_rec *r);
TUFA_MUST_CHECK tufa_status store_stock_each(store *s, store_stock_fn fn, void *ctx);
TUFA_MUST_CHECK tufa_status store_part_each(store *s, int64_t visit, store_stock_fn fn, void *ctx); /* what one visit used */
/* Pictures of a visit and of those that it corrects, by where they lie. */
TUFA_MUST_CHECK tufa_status store_photo_add(store *s, int64_t visit, const char *file);
typedef tufa_status (*store_photo_fn)(void *ctx, const char *file);
TUFA_MUST_CHECK tufa_status store_photo_each(store *s, int64_t visit, store_photo_fn fn, void *ctx);

/* Parts that a visit, or one that it corrects, took out of the van: pieces > 0. */
TUFA_MUST_CHECK tufa_status store_stock_used(store *s, int64_t visit, store_stock_fn fn, void *ctx);

/* ---- expenses: `replaces` is the id that a correction takes the place of, 0 for none ---- */

TUFA_MUST_CHECK tufa_status store_expense_add(store *s, const expense_rec *r, int64_t replaces, int64_t *id);
typedef tufa_status (*store_expense_fn)(void *ctx, const expense_rec *r);
/* Those of the days from..to as they stand now, by house (none first) and day. */
TUFA_MUST_CHECK tufa_status store_expense_each(store *s, int64_t from, int64_t to, store_expense_fn fn, void *ctx);
/* One, and whether another has taken its place. */
TUFA_MUST_CHECK tufa_status store_expense_get(store *s, int64_t id, expense_rec *out, bool *replaced);

/* ---- bill readings ---- */

TUFA_MUST_CHECK tufa_status store_bill_add(store *s, const bill_rec *r, int64_t replaces, int64_t *id);
typedef tufa_status (*store_bill_fn)(void *ctx, const bill_rec *r);
TUFA_MUST_CHECK tufa_status store_bill_each(store *s, int64_t house, store_bill_fn fn, void *ctx); /* by unit and day; 0: all houses */

/* ---- drives ---- */

TUFA_MUST_CHECK tufa_status store_travel_add(store *s, const travel_rec *r);
typedef tufa_status (*store_travel_fn)(void *ctx, const travel_rec *r);
TUFA_MUST_CHECK tufa_status store_travel_each(store *s, int64_t day, store_travel_fn fn, void *ctx); /* as they stood on a day; INT64_MAX: now */

/* ---- prices and settings ---- */

TUFA_MUST_CHECK tufa_status store_price_add(store *s, const price_rec *r);
TUFA_MUST_CHECK tufa_status store_price_now(store *s, const char *item, price_rec *out);
TUFA_MUST_CHECK tufa_status store_price_on(store *s, const char *item, int64_t day, price_rec *out);
typedef tufa_status (*store_price_fn)(void *ctx, const price_rec *r);
TUFA_MUST_CHECK tufa_status store_price_each(store *s, bool all, store_price_fn fn, void *ctx); /* all: superseded too */

TUFA_MUST_CHECK tufa_status store_setting_add(store *s, const setting_rec *r);
TUFA_MUST_CHECK tufa_status store_setting_now(store *s, const char *name, setting_rec *out);
TUFA_MUST_CHECK tufa_status store_setting_on(store *s, const char *name, int64_t day, setting_rec *out);
typedef tufa_status (*store_setting_fn)(void *ctx, const setting_rec *r);
TUFA_MUST_CHECK tufa_status store_setting_each(store *s, bool all, store_setting_fn fn, void *ctx);
/* The units to speak in: the setting `units`, US customary without one. */
TUFA_MUST_CHECK tufa_status store_units(store *s, unit_system *out);

/* ---- own words: "notice"; appended to `words`, MISSING when there are none ---- */

TUFA_MUST_CHECK tufa_status store_wording_add(store *s, const char *name, const char *words, int64_t day, const char *source);
TUFA_MUST_CHECK tufa_status store_wording_now(store *s, const char *name, text *words, int64_t *day, char source[STORE_SOURCE]);

#endif
