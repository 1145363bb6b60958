/* Readings that prove a tank, as JSON: the tank, what was there before, this tank's own clean readings, and the readings. */
#ifndef EDGE_IMPORT_PROOF_CASE_H
#define EDGE_IMPORT_PROOF_CASE_H

#include "edge/import/json_case.h"
#include "tufa/clean.h"

typedef struct proof_case {
    char id[96];
    tufa_proof_in in;
} proof_case;

/* False with the reason in c->note. */
bool proof_case_read(json_case *c, proof_case *out);

#endif
