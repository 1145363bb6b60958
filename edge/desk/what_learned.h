/* What did we learn: of one heater, with every finding and what it did; of the whole book. */
#ifndef EDGE_DESK_WHAT_LEARNED_H
#define EDGE_DESK_WHAT_LEARNED_H

#include "edge/desk/answers.h"
#include "edge/desk/learned.h"

/* One finding that was held against the rest. Amounts in SI by `q`; ratio: times what such heaters usually lay down. */
typedef struct found_line {
    int64_t day;
    char what[120];
    quantity q;
    tufa_value said, expected;       /* of a burnt element: how long it lasted; expected is then the share of it in the bed */
    tufa_finding_law law;
    double surprise;                 /* how many times its usual error it lies off the rest */
    bool set_aside, contradicts;
    double ratio_without, ratio_with;
} found_line;
enum { FOUND_LINES = TUFA_AHEAD_MAX_FINDINGS };

typedef struct learned_heater {
    int64_t today, id, water_id;
    unit_system units;
    char label[STORE_LABEL], water[STORE_LABEL];
    tufa_fuel fuel;
    tufa_value usual, ratio_before, ratio; /* share of the scale that the water can drop which stays; ratios over the usual middle */
    tufa_value kept;                       /* that share for this heater */
    tufa_eps before, after;                /* the whole of it: what the others lead to; with its own findings */
    size_t neighbours, used, aside, skipped, cleanings, blind;
    tufa_rests_on rests_on;
    found_line line[FOUND_LINES];
    size_t lines;
    tufa_value loss_per_kg, loss_per_kg_before; /* gas: share of the fuel lost to each kg of bed; NONE: electric */
    size_t loss_used, loss_neighbours;     /* its own heat-up times; other gas heaters whose times led to what was held before */
    tufa_band kg, kg_year;                 /* what follows: bed today, growth */
    tufa_risks risks;
    tufa_value element_year;               /* failures of its lower element a year under usual scale; NONE: gas */
    tufa_value anode_years;                /* life of its anode as its metal went; NONE: by the water */
} learned_heater;
TUFA_MUST_CHECK tufa_code desk_learned_heater(desk *d, const char *name, learned_heater *out, text *near, trouble_note *note);

double learned_density(tufa_eps e, double usual, double ratio); /* how likely so many times the usual is */

/* One water and fuel. Ratios over the usual middle of the fuel. */
typedef struct learned_water {
    int64_t water;
    char label[STORE_LABEL];
    tufa_fuel fuel;
    size_t heaters, found;           /* in service; with findings that count */
    tufa_value ratio, fresh;         /* of the water's middle; of a heater there of which nothing is known */
    struct {
        int64_t heater;
        char label[STORE_LABEL];
        tufa_value ratio;
        size_t used, aside;
    } *member;                       /* `found` of them, by label */
} learned_water;

/* A gas heater with heat-up times, and what they say of the share of the fuel that each kg of bed costs. */
typedef struct learned_timed {
    int64_t heater;
    char label[STORE_LABEL];
    tufa_value share_kg;
    size_t used;
} learned_timed;

typedef struct learned_book {
    int64_t today;
    unit_system units;
    learned_water *water;
    size_t waters, unknown;          /* unknown: heaters whose water nobody named */
    const learned_lives *lives;      /* the book's */
    const learned_losses *losses;    /* the same */
    learned_timed *timed;            /* losses->n of them, by label */
    size_t gas_heaters;              /* in service */
    size_t aside;
} learned_book;
TUFA_MUST_CHECK tufa_status desk_learned_book(desk *d, learned_book *out);
void learned_book_free(learned_book *a);

/* ---- in words ---- */

void say_times(text *t, tufa_value ratio);                       /* "1.3 times (likely 0.9 to 1.8)" */
void say_learned_head(text *t, const learned_heater *a);         /* what comes out, one paragraph */
void say_learned_before(text *t, const learned_heater *a);       /* what was held before its own findings */
void say_found_said(text *t, unit_system u, const found_line *l);
void say_found_expected(text *t, unit_system u, const found_line *l);
void say_found_did(text *t, const found_line *l);
void say_learned_gas(text *t, const learned_heater *a);          /* nothing in an electric tank */
void say_per_mass(text *t, unit_system u, tufa_value share_kg);  /* "0.41 % (likely 0.12 to 1.3)", for each pound or kilogram */
void say_losses(text *t, const learned_book *a);                 /* what gas heaters taught each other of what a bed costs */
void say_learned_lacks(text *t, const learned_heater *a);        /* what would teach more; limits */
void say_life(text *t, const learned_lives *l, int kind);        /* a paragraph about one kind of life */
void say_elements(text *t, const learned_lives *l);
void say_records_since(text *t, const learned_lives *l);
void say_bed_on_life(text *t, const learned_lives *l);                                   /* what nobody has published */

#endif
