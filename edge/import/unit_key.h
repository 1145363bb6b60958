/* Keys that carry their unit: "d_mm" is the quantity d in millimetres. One table of units for relations and cases. */
#ifndef EDGE_IMPORT_UNIT_KEY_H
#define EDGE_IMPORT_UNIT_KEY_H

#include <stdbool.h>
#include <stddef.h>

typedef struct unit_key {
    const char *kind, *unit;
    double one, zero; /* SI = x one + zero */
} unit_key;

/* The unit of a kind of quantity, or NULL. */
const unit_key *unit_key_named(const char *kind, const char *unit, size_t n);
/* Does `key` (n bytes) mean the quantity that goes by one of `names` (parted by spaces)? *unit is NULL when it names none. */
bool unit_key_is(const char *names, const char *kind, const char *key, size_t n, const unit_key **unit);
/* The i-th key that would be taken for this quantity, into `out`; false when there are no more. */
bool unit_key_at(const char *names, const char *kind, size_t i, char *out, size_t room);

#endif
