/* The waters of a book, each worked out once: what can come out of it when it is heated, in many possible versions. What
 * was worked out stays with the open book until the book changes, so that the next question finds it. */
#ifndef EDGE_DESK_WATERS_H
#define EDGE_DESK_WATERS_H

#include "edge/desk/usual.h"
#include "edge/store/store.h"
#include "tufa.h"

enum { DESK_TEMPS = 7 };
#define DESK_WATER_KEY 0x7461706DULL /* one key for all waters: heaters on one water share its draws */

/* One water, ready for the deposit stage. */
typedef struct desk_water {
    int64_t id;                 /* 0: nobody said which water */
    char label[STORE_LABEL];
    bool has_sheet;
    int64_t sheet_day;
    char sheet_source[STORE_SOURCE];
    tufa_water_known known;
    tufa_value softened;        /* share taken out by a softener behind the sheet's water; NONE without one */
    tufa_value S_m;             /* conductivity at 25 deg C; NONE where nobody said which water */
    size_t draws;
    double *ccpp_mg_L;          /* draws x DESK_TEMPS */
    int holders;                /* the questions that use it, and the open book */
} desk_water;

typedef struct desk_waters {
    store *s;
    size_t draws, n, room;
    desk_water **water;
    bool usual_read; /* what the owner says is usual in his houses, read once as well */
    usual_set usual;
} desk_waters;

extern const double desk_temps_K[DESK_TEMPS];

void waters_start(desk_waters *w, store *s, size_t draws);
void waters_end(desk_waters *w);
/* The water with this id, 0 for one of which nothing is known; it lives until waters_end. */
TUFA_MUST_CHECK tufa_status waters_get(desk_waters *w, int64_t id, const desk_water **out);
TUFA_MUST_CHECK tufa_status waters_usual(desk_waters *w, const usual_set **out);
tufa_ccpp waters_ccpp(const desk_water *w);
/* What one more figure of this water would do for its forecast at T_K. */
TUFA_MUST_CHECK tufa_status water_look(const desk_water *w, double T_K, tufa_water_outlook *out);

#endif
