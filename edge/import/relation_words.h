/* "d_mm=0.5" -> an input of a relation in SI. Names may carry their unit, or the value may ("d=0.5 mm", "hose=5/8 in"). */
#ifndef EDGE_IMPORT_RELATION_WORDS_H
#define EDGE_IMPORT_RELATION_WORDS_H

#include "edge/say/trouble.h"
#include "tufa/clean.h"

/* The relation called `name`; NULL with the nearest name in `note`. */
const tufa_relation *relation_named(const char *name, trouble_note *note);
/* Takes one "key=value" of `len` bytes into in[] (NaN: not given). An unknown key is refused with the nearest. */
tufa_code relation_take(const tufa_relation *r, const char *word, size_t len, double *in, trouble_note *note);

#endif
