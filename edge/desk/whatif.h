/* What if: the book's cost over ten years as it is planned, and with one thing done otherwise, side by side. */
#ifndef EDGE_DESK_WHATIF_H
#define EDGE_DESK_WHATIF_H

#include "edge/desk/rounds.h"

typedef enum whatif_kind { WHATIF_AS_PLANNED, WHATIF_SECOND_CREW, WHATIF_SOFTENED, WHATIF_SETPOINTS, WHATIF_NO_CLEANING, WHATIF_COUNT } whatif_kind;
const char *whatif_key(whatif_kind k); /* "second crew" */

/* Present dollars over MONEY_YEARS. */
typedef struct whatif_case {
    bool possible;
    tufa_band heaters_usd;    /* of all heaters, each with what is proposed for it; p50 is what can be expected */
    double endless_usd;       /* the same without end: no choice that is taken away can make it less */
    double standby_usd;       /* heat lost to the room, against as planned */
    double rounds_usd;        /* notices and setting out this year; waiting and work that finds no room, each year like this one */
    tufa_band change_usd;     /* the change itself: softeners with salt, water and upkeep; the crew's wages, van and tools */
    double total_usd;         /* of the four before it, each as it can be expected */
    double saves_usd;         /* against as planned; below 0: it costs more */
    double worth_usd_year;    /* what the change itself may cost a year at most, to save just nothing */
    double own_hours;         /* a year: of rounds that the second crew drives */
    size_t houses;            /* that get a softener */
    size_t visits, no_room, heaters; /* heaters: that it touches */
} whatif_case;

typedef struct whatif_answer {
    int64_t today;
    unit_system units;
    whatif_case of[WHATIF_COUNT];
    char water[STORE_LABEL];  /* that is softened; "": there is none to soften */
    double setpoint_K, discount;
    size_t heaters;
} whatif_answer;

typedef struct whatif_ask {
    const char *water;        /* NULL: the one with most heaters */
    double setpoint_K;        /* 0: 120 F */
    void (*progress)(void *ctx, size_t done, size_t all);
    bool (*cancelled)(void *ctx);
    void *ctx;
} whatif_ask;

/* On anything but OK the note says why; `near` gets the labels that come close. */
TUFA_MUST_CHECK tufa_code desk_whatif(desk *d, const whatif_ask *ask, whatif_answer *out, text *near, trouble_note *note);

/* In words, for command and page. */
void say_whatif_case(text *t, const whatif_answer *a, whatif_kind k);    /* "all dials at 120 F" */
void say_whatif_verdict(text *t, const whatif_answer *a, whatif_kind k); /* what it saves, or what it may cost at most */
void say_whatif_basis(text *t, const whatif_answer *a);

#endif
