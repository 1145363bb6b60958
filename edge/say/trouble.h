/* What went wrong, with what a person typed: field, value, what is allowed, where. One wording for all edges. */
#ifndef EDGE_SAY_TROUBLE_H
#define EDGE_SAY_TROUBLE_H

#include "edge/say/text.h"
#include "tufa/base.h"

typedef struct trouble_note {
    tufa_code code;
    char field[64];    /* as the person wrote it */
    char value[96];    /* what was given, shortened and with control characters replaced */
    char allowed[200]; /* range, unit or nearest names */
    char why[240];
    char where[96]; /* file, row or line; empty when there is none */
} trouble_note;

/* A note from a status; `scale`-free: numbers are printed in the unit of the field's name. */
void note_from_status(trouble_note *n, tufa_status st);
void note_set(trouble_note *n, tufa_code code, const char *field, const char *value, const char *allowed,
              const char *why);

/* One sentence ending with a newline. */
void say_trouble(text *out, const trouble_note *n);

/* The name in `names` nearest to `given` by edit distance, or NULL when none is near. */
const char *nearest_name(const char *given, const char *const *names, size_t n);

#endif
