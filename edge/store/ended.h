/* What came to an end, and lives of heaters. */
#ifndef EDGE_STORE_ENDED_H
#define EDGE_STORE_ENDED_H

#include "edge/store/store.h"

typedef enum ended_part {
#define X(id, names) ENDED_##id,
#include "edge/store/ended_parts.def"
#undef X
    ENDED_PART_COUNT
} ended_part;
typedef enum ended_how {
#define X(id, names, failed) ENDED_HOW_##id,
#include "edge/store/ended_hows.def"
#undef X
    ENDED_HOW_COUNT
} ended_how;

int ended_part_find(const char *word); /* by id or name; -1 when there is none */
int ended_how_find(const char *word);
bool ended_how_failed(ended_how how);
void ended_part_word(text *out, ended_part part);
void ended_how_word(text *out, ended_how how);
void ended_part_words(text *out); /* all, for a message */
void ended_how_words(text *out);

typedef struct ended_rec {
    int64_t id, heater, day;
    ended_part part;
    ended_how how;
    tufa_value put_in_day; /* basis NONE: with the heater */
    char note[STORE_WORD], source[STORE_SOURCE];
} ended_rec;

TUFA_MUST_CHECK tufa_status store_ended_add(store *s, const ended_rec *r, int64_t replaces, int64_t *id);
typedef tufa_status (*store_ended_fn)(void *ctx, const ended_rec *r);
TUFA_MUST_CHECK tufa_status store_ended_each(store *s, int64_t heater, store_ended_fn fn, void *ctx); /* by day; 0: all heaters */

/* A heater's life in a few columns, fast for many: when it came into the book, was put in, was taken out and why. */
typedef struct life_rec {
    int64_t heater, entered_day;
    int fuel;              /* fuel_choice, -1 not said */
    bool installed, out;
    double installed_day, out_day, flux_W_m2; /* flux 0: not said */
    char out_why[STORE_WORD];
} life_rec;
typedef tufa_status (*store_life_fn)(void *ctx, const life_rec *r);
TUFA_MUST_CHECK tufa_status store_life_each(store *s, store_life_fn fn, void *ctx);

/* Heaters in which something was found, the newest finding first; `more` set to false ends it. */
typedef tufa_status (*store_found_fn)(void *ctx, int64_t heater, bool *more);
TUFA_MUST_CHECK tufa_status store_found_each(store *s, store_found_fn fn, void *ctx);

/* Room for what is kept as long as the book is open; `end` frees it when the book closes. */
typedef enum store_slot_of { STORE_SLOT_LEARNED, STORE_SLOT_WATERS, STORE_SLOTS } store_slot_of;
void **store_slot(store *s, store_slot_of what, void (*end)(void *));

#endif
