/* What a leak does where the heater stands. */
#ifndef EDGE_DESK_PLACES_H
#define EDGE_DESK_PLACES_H

#include "tufa/base.h"

typedef struct place_row {
    const char *words, *what;
    tufa_value damage_chance;
} place_row;

/* By whole words of what was said, whatever their case; NULL: nothing said, or none of them known. */
const place_row *place_find(const char *said);

#endif
