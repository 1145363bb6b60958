/* What is sold against scale, what is known of it, and what a fair trial in two of his houses could show. */
#ifndef EDGE_DESK_TREATMENTS_H
#define EDGE_DESK_TREATMENTS_H

#include "edge/desk/answers.h"

enum { TRIAL_ROWS = 6 };

typedef struct trial_answer {
    bool from_book;                /* two heaters of the book are named */
    char label[2][STORE_LABEL];
    tufa_fuel fuel;
    bool learned;                  /* their rates are known from what was found in them */
    double kg_year[2];             /* what settles in each */
    int months;                    /* for a kilogram in the slower one */
    tufa_fair_trial base;          /* one pair, no swap */
    struct {
        int pairs, swap;
        double least, half;        /* least share that is seen; chance to see a treatment that keeps out half */
    } row[TRIAL_ROWS];
    unit_system units;
} trial_answer;

/* `d` NULL: the spread of published rates, no houses named. */
TUFA_MUST_CHECK tufa_status desk_trial(desk *d, trial_answer *out);

const char *evidence_words(tufa_evidence e);
void say_trial_how(text *t, const trial_answer *a);   /* what to do, in order */
void say_trial_spread(text *t, const trial_answer *a); /* why one look is not enough */
void say_trial_row(text *t, const trial_answer *a, size_t row); /* "one pair of houses, once" */
void say_trial_foot(text *t, const trial_answer *a);

#endif
