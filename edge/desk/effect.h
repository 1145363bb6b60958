/* What a correction changed: the forecast of one heater before and after, or the plan of all. */
#ifndef EDGE_DESK_EFFECT_H
#define EDGE_DESK_EFFECT_H

#include "edge/desk/set.h"

enum { EFFECT_LINES = 12, EFFECT_MOST_HEATERS = 300 };

typedef struct effect_line {
    char what[96], before[120], after[120]; /* "bed today", "2.4 in (likely 1.5 to 4.4)", ... */
} effect_line;

typedef struct set_effect {
    effect_line line[EFFECT_LINES]; /* only what differs as it is told */
    size_t n, more;                 /* more: heaters beyond those lines whose proposal changed */
    size_t heaters;                 /* 0: one heater's forecast was compared; else how many heaters' proposals */
    bool compared;                  /* false: nothing to compare (a large book, or a heater without a forecast) */
} set_effect;

/* desk_set, and what follows from it. */
TUFA_MUST_CHECK tufa_code desk_set_told(desk *d, const char *name, const char *field, const char *value, set_answer *out,
                                        set_effect *effect, text *near, trouble_note *note);

#endif
