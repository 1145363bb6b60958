/* A visit planned, recorded and proved. */
#ifndef EDGE_DESK_VISIT_DESK_H
#define EDGE_DESK_VISIT_DESK_H

#include "edge/desk/clean_desk.h"

/* The plan of one visit. For a cleaning the method's figures are in `figures` (has_figures 1). */
typedef struct visit_plan {
    clean_heater heater;
    tufa_visit_kind kind;
    tufa_method_id method;
    int has_figures;
    tufa_method_answer figures;
    double minutes;               /* of the steps, and of the method where there is one */
} visit_plan;

/* `method` NULL: the first choice, or a plain flush where none is advised. `kind`: clean, turnover, standing; NULL: clean. */
TUFA_MUST_CHECK tufa_code desk_visit_plan(desk *d, const char *heater, const char *kind, const char *method, visit_plan *out,
                                          trouble_note *note);

/* Takes "key=value" words into the book, all or nothing; what was kept goes to `kept`, a line each. Keys: every kind of
 * finding by its name, probe (five depths parted by commas), heat_kwh with start, end and heat_minutes, kind, method,
 * minutes, cost, parts (item:pieces, parted by commas), photo, note, by, baseline. */
TUFA_MUST_CHECK tufa_code desk_visit_record(desk *d, const char *heater, const char *const *words, int n, text *kept, trouble_note *note);

/* What is in the van; "item=count" words set it by one more move. */
TUFA_MUST_CHECK tufa_code desk_stock(desk *d, const char *const *words, int n, text *out, bool json, trouble_note *note);

/* The proof from the newest day of the book that has readings for it. */
typedef struct prove_answer {
    clean_heater heater;
    int64_t day;                  /* of the readings; 0: there are none */
    tufa_proof_in in;
    tufa_proof proof;
} prove_answer;
TUFA_MUST_CHECK tufa_code desk_prove(desk *d, const char *heater, prove_answer *out, trouble_note *note);
/* The same arithmetic for readings that are handed in. */
TUFA_MUST_CHECK tufa_status desk_prove_in(const tufa_proof_in *in, tufa_proof *out);

#endif
