/* What one water does at one or several temperatures: the answer of `tufa water`, without a book. */
#ifndef EDGE_DESK_WATER_ANSWER_H
#define EDGE_DESK_WATER_ANSWER_H

#include "tufa.h"

enum { WATER_MOST_TEMPS = 16 };

typedef struct water_heated {
    tufa_water_state state;   /* of the middle of what is known */
    tufa_value ccpp_mg_L;     /* 10 to 90 % range from the input error and from what had to be filled in */
    double model_mg_L;        /* the other set of constants less this one */
} water_heated;

typedef struct water_answer {
    tufa_constants set;
    tufa_water_known known;   /* as told, with the laboratory's error where none was given */
    tufa_water_filled filled;
    double charge_error_pct;
    int charge_told;          /* every main ion was told, so that the balance means something */
    size_t temps;
    water_heated at[WATER_MOST_TEMPS];
    tufa_water_outlook look;  /* at the first temperature: which figure is worth asking for */
} water_answer;

/* *at: index of the temperature that was refused, or `temps` when it was the water itself. */
TUFA_MUST_CHECK tufa_status desk_water_heated(const tufa_water_known *told, tufa_constants set, size_t temps, const double *T_K,
                                       water_answer *out, size_t *at);

#endif
