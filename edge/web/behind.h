/* What is worked out behind the pages, on a thread of its own with its own connection to the book: the year plan, and
 * then the pages that take longest, before anybody asks for them. */
#ifndef EDGE_WEB_BEHIND_H
#define EDGE_WEB_BEHIND_H

#include "edge/desk/answers.h"
#include "edge/desk/rounds.h"

/* One year plan, shared: let go of it with behind_drop. */
typedef struct year_box {
    year_answer year;
    tufa_status status; /* not OK: there is no plan, and why */
    int64_t version, today;
    int holders;
    bool rounds_there;         /* worked out after the year plan: ask behind_rounds */
    rounds_answer rounds;
    tufa_status rounds_status;
} year_box;

typedef struct behind behind;

/* Called on the thread for every heater of a new plan. `d` is open for reading. */
typedef void (*behind_page)(void *ctx, desk *d, year_box *box, int64_t heater);

TUFA_MUST_CHECK tufa_status behind_start(const char *book, behind_page page, void *ctx, behind **out);
void behind_stop(behind *b);

/* Asks for the plan of this state of the book, without waiting. */
void behind_want(behind *b, int64_t version, int64_t today);
/* The newest plan there is, after waiting a little for the one of this state; NULL: none yet. `current` tells whether it
 * is of this state. */
year_box *behind_year(behind *b, int64_t version, int64_t today, bool *current);
/* Waits a little until the rounds of this plan are worked out; false: not yet. */
bool behind_rounds(behind *b, year_box *box);
void behind_drop(behind *b, year_box *box);

#endif
