/* What the cleaning stage is asked: one relation, the methods compared, a visit, the proof. */
#ifndef EDGE_DESK_CLEAN_DESK_H
#define EDGE_DESK_CLEAN_DESK_H

#include "edge/desk/desk.h"
#include "edge/say/text.h"
#include "edge/say/trouble.h"
#include "tufa/clean.h"

/* One relation from "key=value" words (each may hold several, parted by ';'); the answer as one JSON object. */
tufa_code desk_clean_relation(const char *name, const char *const *words, int n, text *json, trouble_note *note);

#endif
