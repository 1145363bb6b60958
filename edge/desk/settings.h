/* Settings, prices and lives of the book by name. */
#ifndef EDGE_DESK_SETTINGS_H
#define EDGE_DESK_SETTINGS_H

#include "edge/desk/desk.h"
#include "edge/say/trouble.h"

/* A setting's name and value made plain; refused with what is allowed. */
typedef struct setting_item {
    const char *name, *values, *standard, *what; /* values divided by '|'; "": any text */
} setting_item;
bool setting_item_at(size_t i, setting_item *out); /* false beyond the table */

TUFA_MUST_CHECK tufa_code setting_read(const char *name, const char *value, setting_rec *out, trouble_note *note);

/* As the book has it, else its default; `said`: the book has it. */
TUFA_MUST_CHECK tufa_status setting_now(store *s, const char *name, char *out, size_t room, bool *said);
TUFA_MUST_CHECK tufa_status setting_number(store *s, const char *name, double *out, bool *said);
/* "39.96, -83.0" */
bool place_parse(const char *s, double *lat_deg, double *lon_deg);

/* What the book may price: the rows of tufa_price_at, lives, and what is usual in the owner's houses (usual.h). */
typedef struct price_item {
    const char *key, *what, *from; /* from: where the default comes from, with its date */
    tufa_value standard;           /* the default, in the unit that the key names */
    const char *source;            /* of the default, in words */
} price_item;
size_t price_item_count(void);
bool price_item_at(size_t i, price_item *out);
bool price_item_usual(size_t i); /* of a heater, house or household, not a price or a life */
/* By key, by key without its unit, or by a beginning that only one item has. False with a reason in `why`. */
bool price_find(const char *name, size_t *item, char *why, size_t room);

/* "about 0.16", "16 cents", "$1,100", "4 %" in the unit that the item's key names. */
TUFA_MUST_CHECK tufa_code price_value(size_t item, const char *s, const char *field, tufa_value *out, trouble_note *note);
void price_allowed(size_t item, text *out);              /* "2 to 500 gal" */
void price_write(size_t item, tufa_value v, text *out); /* as price_value reads it */
void price_say(size_t item, unit_system s, tufa_value v, text *out); /* money, years and miles are told alike in both */

/* The item's value as the book has it, else its default. */
TUFA_MUST_CHECK tufa_status price_get(store *s, size_t item, tufa_value *out);

#endif
