/* What is worked out behind the pages, on a thread of its own with its own connection to the book: the year plan, then
 * the pages that take longest, before anybody asks for them; and pages that take so long that whoever asks for one is told to
 * wait. */
#ifndef EDGE_WEB_BEHIND_H
#define EDGE_WEB_BEHIND_H

#include "edge/desk/answers.h"
#include "edge/desk/rounds.h"
#include "edge/web/server.h"

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

/* A page to be written on the thread. `d` is open for reading; `stopped` tells whether something newer is wanted. */
typedef struct behind_page {
    desk *d;
    const web_request *r;
    year_box *box;             /* the plan it is written after; NULL where it needs none */
    int64_t version;
    bool (*stopped)(void *stopped_ctx);
    void *stopped_ctx;
} behind_page;

/* What the thread calls. `ahead` is called for the number `at` = 0, 1 ... of a new plan until it answers false. */
typedef struct behind_calls {
    bool (*ahead)(void *ctx, const behind_page *page, size_t at);
    void (*write)(void *ctx, const behind_page *page);
    void *ctx;
} behind_calls;

TUFA_MUST_CHECK tufa_status behind_start(const char *book, const behind_calls *calls, behind **out);
void behind_stop(behind *b);

/* Asks for this page, without waiting. One is worked at and one waits; an older one that waits is forgotten. */
void behind_ask(behind *b, const web_request *r, int64_t version, int64_t today);

/* Asks for the plan of this state of the book, without waiting. */
void behind_want(behind *b, int64_t version, int64_t today);
/* The newest plan there is, after waiting a little for the one of this state; NULL: none yet. `current` tells whether it
 * is of this state. */
year_box *behind_year(behind *b, int64_t version, int64_t today, bool *current);
/* Waits a little until the rounds of this plan are worked out; false: not yet. */
bool behind_rounds(behind *b, year_box *box);
void behind_drop(behind *b, year_box *box);

#endif
