/* A visit planned, recorded and proved. */
#ifndef EDGE_DESK_VISIT_DESK_H
#define EDGE_DESK_VISIT_DESK_H

#include "edge/desk/clean_desk.h"

/* What a meter, pail or rod should read before the work and after it; basis NONE where there is nothing to expect. */
typedef struct visit_expect {
    const char *what;
    quantity q;
    tufa_value before, after;
    bool at_most;                 /* only the upper end means something: "under 120 F" */
} visit_expect;
enum { VISIT_EXPECTS = 12, VISIT_NOTICE = 6001 };

/* The plan of one visit. For a cleaning the method's figures are in `figures` (has_figures 1). */
typedef struct visit_plan {
    clean_heater heater;
    tufa_visit_kind kind;
    tufa_method_id method;
    int has_figures;
    tufa_method_answer figures;
    const char *against;          /* why no cleaning is advised here, where none is and nobody named a method; else NULL */
    double minutes;               /* all of it */
    double work_minutes;          /* of a cleaning: isolating, coupling, the work, closing; the rest are readings before and after */
    int64_t day;                  /* of the visit; 0: not said */
    int from_min, until_min;      /* within that day, minutes after midnight; -1: not said */
    char owner[STORE_WORD], phone[STORE_WORD]; /* of the book's settings; "" where they are not said */
    char notice[VISIT_NOTICE];    /* the owner's own text of the notice; "" for the usual one */
    char work[STORE_WORD];        /* what is done, in own words; "" for those of kind and method */
    int64_t today;
    visit_expect expect[VISIT_EXPECTS];
    int expects;
} visit_plan;

/* `method` NULL: the first choice, or a plain flush where none is advised. `kind`: clean, turnover, standing; NULL: clean. */
TUFA_MUST_CHECK tufa_code desk_visit_plan(desk *d, const char *heater, const char *kind, const char *method, visit_plan *out,
                                          trouble_note *note);

/* Puts day and hours into a plan: "2026-03-12" (or as the units have it), "9:00", "1 pm"; NULL or "" for what is not
 * said. Where only the beginning is said, the end follows from the minutes of the work. */
TUFA_MUST_CHECK tufa_code desk_visit_when(desk *d, const char *day, const char *from, const char *until, visit_plan *plan, trouble_note *note);

/* A visit that was, with what was found on its day and what lies with it. */
enum { VISIT_PAST_FOUND = 48, VISIT_PAST_PHOTOS = 24, VISIT_PAST_PARTS = 24 };
typedef struct visit_past {
    visit_rec visit;
    finding_rec found[VISIT_PAST_FOUND];
    stock_rec part[VISIT_PAST_PARTS];      /* pieces below 0: used */
    char photo[VISIT_PAST_PHOTOS][STORE_WORD];
    int founds, parts, photos;
} visit_past;
typedef struct visit_history {
    int64_t heater;
    char label[STORE_LABEL], house[STORE_LABEL];
    visit_past *visit; /* newest first */
    int n;
} visit_history;
/* Every visit of a heater; findings of a day without a visit are a visit without id. Free with desk_visits_free. */
TUFA_MUST_CHECK tufa_code desk_visits(desk *d, const char *heater, visit_history *out, trouble_note *note);
void desk_visits_free(visit_history *h);

/* Takes "key=value" words into the book, all or nothing; what was kept goes to `kept`, a line each. Keys: every kind of
 * finding by its name, probe (five depths parted by commas), heat_kwh with start, end and heat_minutes, kind, method, day,
 * minutes, cost, parts (item:pieces, parted by commas), photo, note, by, baseline; and
 * fields of heater and house that a visit measures (drain_bore, pressure ...), which become facts of that day. */
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
