/* The house card: which columns of the import a person can fill in standing before a heater, and what the book knows. */
#ifndef EDGE_DESK_CARD_H
#define EDGE_DESK_CARD_H

#include "edge/desk/desk.h"
#include "edge/say/trouble.h"

enum { CARD_MOST = 40 };

typedef struct card_field {
    const char *what;      /* static text of the table */
    char header[48];       /* "volume_gal", as the import reads it */
    char choices[96];      /* words to choose from; "" for free text or a number */
    char known[96];        /* what the book says; "" for nothing */
} card_field;

typedef struct card_group {
    card_field field[CARD_MOST];
    size_t n;
} card_group;

typedef struct card_answer {
    char label[STORE_LABEL]; /* "" for a blank card */
    card_group house, heater, household, finding;
} card_answer;

/* `name` "": a blank card. */
TUFA_MUST_CHECK tufa_code desk_card(desk *d, const char *name, card_answer *out, text *near, trouble_note *note);

#endif
