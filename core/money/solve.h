/* A heater and those that follow it, solved: the averaged problem, and what each draw makes of its policy. */
#ifndef CORE_MONEY_SOLVE_H
#define CORE_MONEY_SOLVE_H

#include "core/money/inner.h"

enum { OTHER_KINDS = TUFA_CHOICE_TO_HEAT_PUMP - TUFA_CHOICE_TO_GAS + 1 };

typedef struct other_kind {
    double present_usd;       /* bought, and followed by its like */
    double *draw_usd;         /* by draw; NULL: not weighed */
    double *within;           /* [m * n + draw]: its price and first m steps, its like after it; NULL: it may not come after this one */
} other_kind;

typedef struct solved {
    stand now;
    chain now_chain;
    other_kind kind[OTHER_KINDS];
    double next_usd, new_usd, today_usd; /* the next heater with its price; a new one like this; this one */
    double *next_draw, *new_draw;        /* the same by draw, under the policy */
    double *within;                      /* [m * n + draw]: the next heater, price and first m steps */
    double new_control[STEPS];           /* what thermostats cost that are new today */
} solved;

/* `other` COUNT: as it is; else SETPOINT or SOFTEN, with the other kinds of heater as `base` has them. */
TUFA_MUST_CHECK tufa_status solve_heater(const worlds *ws, tufa_choice other, const solved *base, tufa_arena *arena, solved *out);

TUFA_MUST_CHECK tufa_status check_money(const tufa_money_in *in);

#endif
