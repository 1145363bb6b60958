/* Houses and heaters by name: all of them, or those that a few words fit. */
#ifndef EDGE_DESK_ROLL_H
#define EDGE_DESK_ROLL_H

#include "edge/desk/desk.h"

typedef struct roll_heater {
    int64_t id;
    char label[STORE_LABEL];
    char words[200]; /* "electric, 50 gal, put in 2019, basement" */
    bool leaking;
} roll_heater;

typedef struct roll_house {
    int64_t id;
    char label[STORE_LABEL], street[STORE_LABEL], water[STORE_LABEL];
    size_t first, n; /* of roll.heater; heaters that were taken out are not among them */
} roll_house;

typedef struct roll {
    roll_house *house; /* by street, then by name, "7" before "12" */
    size_t houses, all_houses;
    roll_heater *heater;
    size_t heaters, all_heaters;
} roll;

/* `words`: each must be found in the house's or a heater's name, street, water, fuel or place; "" fits everything. */
TUFA_MUST_CHECK tufa_status desk_roll(desk *d, const char *words, roll *out);
void roll_free(roll *r);

/* One house with its heaters; MISSING when there is none. */
TUFA_MUST_CHECK tufa_status desk_house(desk *d, int64_t id, roll *out, house_rec *house);

#endif
