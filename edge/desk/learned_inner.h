/* What is kept with an open book. */
#ifndef EDGE_DESK_LEARNED_INNER_H
#define EDGE_DESK_LEARNED_INNER_H

#include "edge/desk/learned.h"

/* Failures of the lower elements of one heater, and the years that they were watched. */
typedef struct element_seen {
    int64_t heater;
    double failed, years;         /* while everything was noted */
    double own_failed, own_years; /* with what is known of it from before */
    double factor;                /* of its scale on the rate */
} element_seen;

typedef struct learned {
    int64_t version, today;
    bool used;
    learned_group **group;
    size_t groups, group_room;
    learned_losses losses;
    bool losses_ready;
    learned_lives lives;
    element_seen *element;
    size_t elements;
    bool lives_ready;
} learned;

TUFA_MUST_CHECK tufa_status learned_at(store *s, int64_t today, learned **out);
TUFA_MUST_CHECK tufa_status lives_ready(store *s, learned *l);
void lives_free(learned *l);
void element_of(const learned *l, int64_t heater, tufa_element_life *out);

#endif
