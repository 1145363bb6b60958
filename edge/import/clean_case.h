/* A cleaning case as JSON: the tank, its bed, valve, hose and the owner's tools. Keys carry their unit ("bed_kg": 5,
 * "static_psi": 60); what is left out or "?" is assumed. */
#ifndef EDGE_IMPORT_CLEAN_CASE_H
#define EDGE_IMPORT_CLEAN_CASE_H

#include "edge/import/json_case.h"
#include "tufa/clean.h"

typedef struct clean_case {
    char id[96];
    tufa_clean_case tank;
    size_t draws; /* 500 where nobody said */
    unsigned long long key;
} clean_case;

enum { CLEAN_CASE_DRAWS = 500, CLEAN_CASE_MOST_DRAWS = 100000 };

/* False with the reason in c->note. `start` is what the case's keys are laid over (a heater of the book); NULL: the
 * defaults by the case's own fuel and age. */
bool clean_case_read(json_case *c, const tufa_clean_case *start, clean_case *out);

/* A value of a case: number, [lo, hi], [lo, mid, hi] or text; in SI. */
bool case_value(json_case *c, const char *key, const json_t *j, double one, double zero, tufa_value *out);

#endif
