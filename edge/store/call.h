/* Calls in the book: one row each, and all that happened in it behind it. */
#ifndef EDGE_STORE_CALL_H
#define EDGE_STORE_CALL_H

#include "edge/store/store.h"

enum { STORE_CALL_WORDS = 400 };

typedef enum call_event_kind {
    CALL_VOICED, CALL_DENIED, CALL_KNOWN, CALL_READ, CALL_ADVISED, CALL_MADE_SAFE, CALL_FOUND, CALL_CLOSED, CALL_UNDONE, CALL_KINDS
} call_event_kind;

typedef struct call_rec {
    int64_t id, heater, day, entered; /* entered: seconds since 1970 */
    char words[STORE_CALL_WORDS], source[STORE_SOURCE];
    bool closed;
} call_rec;

/* `name`: a complaint, a test, something known, a fault, or who advised; a reading has a number or a word. */
typedef struct call_event_rec {
    int64_t id, call, day, undoes, entered;
    call_event_kind kind;
    char name[STORE_WORD], word[STORE_CALL_WORDS];
    bool has_value;
    double value;
} call_event_rec;

TUFA_MUST_CHECK tufa_status store_call_add(store *s, const call_rec *r, int64_t *id);
TUFA_MUST_CHECK tufa_status store_call_get(store *s, int64_t id, call_rec *out); /* MISSING when there is none */
typedef tufa_status (*store_call_fn)(void *ctx, const call_rec *r);
TUFA_MUST_CHECK tufa_status store_call_each(store *s, store_call_fn fn, void *ctx); /* by number */

TUFA_MUST_CHECK tufa_status store_call_event_add(store *s, const call_event_rec *r, int64_t *id);
/* What still stands, in order: neither undone events nor the undoing of them. call 0: of all calls. */
typedef tufa_status (*store_call_event_fn)(void *ctx, const call_event_rec *r);
TUFA_MUST_CHECK tufa_status store_call_event_each(store *s, int64_t call, store_call_event_fn fn, void *ctx);
TUFA_MUST_CHECK tufa_status store_call_event_undone(store *s, int64_t call, store_call_event_fn fn, void *ctx); /* what was taken back */

#endif
