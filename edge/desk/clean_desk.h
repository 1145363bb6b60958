/* What the cleaning stage is asked: one relation, the methods compared, a visit planned and recorded, the proof. */
#ifndef EDGE_DESK_CLEAN_DESK_H
#define EDGE_DESK_CLEAN_DESK_H

#include "edge/desk/desk.h"
#include "edge/say/text.h"
#include "edge/say/trouble.h"
#include "tufa/ahead.h"
#include "tufa/clean.h"

/* One relation from "key=value" words (each may hold several, parted by ';'); the answer as one JSON object. */
tufa_code desk_clean_relation(const char *name, const char *const *words, int n, text *json, trouble_note *note);

/* Flow that the open drain's hose gives on this heater with nothing in the way; 0 where that cannot be worked out. */
double desk_clear_flow(const heater_rec *r, const house_rec *h, const tufa_heater *filled);
/* All methods for one tank. */
/* Draws for a heater of the book, whose number is their key: the decisions, the plan of its visit and its page then tell the same figures.
 * Few, since a book of thousands is decided in seconds; a middle is good to a few percent. */
enum { CLEAN_DRAWS = 64 };
TUFA_MUST_CHECK tufa_status desk_clean(const tufa_clean_case *c, size_t draws, uint64_t key, tufa_clean_answer *out);

/* A heater of the book as the methods and the proof want it; what the book does not say is assumed. */
typedef struct clean_heater {
    int64_t id;
    char label[STORE_LABEL], house[STORE_LABEL];
    tufa_clean_case tank;
    int one_element; /* electric: no upper one */
    tufa_value bed_m3_kg, setpoint_K;
    double below_element_m3, loss_W_K, air_K, element_W, element_V;
    double clean_refill_m3, clean_heated_m3, clean_draw_m3, clean_flow_m3_s; /* its own clean readings; NaN: not kept */
} clean_heater;
/* On anything but OK the note says why, with labels that come close. */
TUFA_MUST_CHECK tufa_code desk_clean_heater(desk *d, const char *name, clean_heater *out, trouble_note *note);

#endif
