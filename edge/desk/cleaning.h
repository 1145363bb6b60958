/* How a cleaning goes in one tank of the book, by the cleaning stage: what the money is reckoned with. */
#ifndef EDGE_DESK_CLEANING_H
#define EDGE_DESK_CLEANING_H

#include "edge/desk/case.h"
#include "edge/desk/tools.h"
#include "tufa/clean.h"

/* The tank, its house and the owner's tools as the methods want them; what the book does not say is assumed. */
TUFA_MUST_CHECK tufa_status clean_case_of(const desk_case *from, const tufa_ahead *a, const tool_set *tools, tufa_clean_case *c);

typedef struct cleaning {
    double of_kg; /* > 0: today's bed is less, and it is asked how this much comes out */
    tufa_money_how flush, deep;  /* hours and share left NONE where the stage has no answer: the table of choices goes on */
    tufa_method_id method;       /* of `deep`; COUNT: none */
    bool stirrer_first;          /* nobody said whether there is a stirrer, and it would be the method */
    const char *why_not;         /* deep refused: why; else NULL */
} cleaning;

/* A cleaning of this tank as a visit: the method, and all minutes from the door to the door, readings before and after included. */
typedef struct cleaning_visit {
    tufa_method_id method;       /* COUNT: none can be planned */
    double minutes;
} cleaning_visit;

tufa_method_id cleaning_method(const tufa_clean_answer *a);  /* the one advised; a plain flush where none is */
double cleaning_minutes(const tufa_method_answer *figures, tufa_fuel fuel, int one_element);
bool cleaning_is_possible(const tufa_method_answer *m);

size_t cleaning_bytes(void);
/* As cleaning_look. */
TUFA_MUST_CHECK tufa_status cleaning_visit_of(const desk_case *c, const tufa_ahead *a, const tool_set *tools, tufa_arena *arena, cleaning_visit *out);

/* No store is touched: runs on any thread. The arena is rewound. */
TUFA_MUST_CHECK tufa_status cleaning_look(const desk_case *c, const tufa_ahead *a, const tool_set *tools, tufa_arena *arena, cleaning *out);

#endif
