/* The first book: four plain answers become houses and heaters, everything else is assumed and marked so. */
#ifndef EDGE_DESK_FIRST_H
#define EDGE_DESK_FIRST_H

#include "edge/desk/answers.h"
#include "edge/say/trouble.h"

enum { FIRST_MOST_HOUSES = 2000, FIRST_MOST_HEATERS = 5000, FIRST_FUELS = 8 };

typedef struct first_ask {
    size_t houses, heaters;
    bool houses_assumed;
    struct {
        int fuel; /* fuel_choice; -1 not said */
        size_t heaters;
    } part[FIRST_FUELS];
    size_t parts;
    tufa_value *installed_day; /* one for all, or one for each heater in order */
    size_t ages;
    char hardness[STORE_CELL];
} first_ask;

/* One answer each, as typed. On anything but OK the note says what would be understood, and nothing was taken. Asked in
 * this order: houses, fuels (and how many heaters), ages, hardness. */
TUFA_MUST_CHECK tufa_code first_houses(const char *s, first_ask *a, trouble_note *note);
TUFA_MUST_CHECK tufa_code first_fuels(const char *s, first_ask *a, trouble_note *note);
TUFA_MUST_CHECK tufa_code first_ages(const char *s, int64_t today, first_ask *a, trouble_note *note);
TUFA_MUST_CHECK tufa_code first_hardness(const char *s, first_ask *a, trouble_note *note);
void first_free(first_ask *a);

/* These answers into an empty book, whole or not at all. */
TUFA_MUST_CHECK tufa_status first_fill(store *s, int64_t today, const first_ask *a);
/* A new book at `path` that holds these answers; removed again where something goes wrong. */
TUFA_MUST_CHECK tufa_status desk_first(const char *path, int64_t today, const first_ask *a);

#endif
