/* The year's rounds in sentences, for the command, the pages, paper and the calendar. */
#ifndef EDGE_DESK_ROUNDS_WORDS_H
#define EDGE_DESK_ROUNDS_WORDS_H

#include "edge/desk/rounds.h"

/* What is planned, what it takes and costs, how near the best it is. */
void say_rounds_letter(text *t, const rounds_answer *a);
/* "No plan for these visits can cost less." or how far it may be. */
void say_rounds_proof(text *t, const rounds_answer *a);
/* Days, hours, notice, drives: each with where it comes from and how to correct it. */
void say_rounds_terms(text *t, const rounds_answer *a);
void say_rounds_reserve(text *t, const rounds_answer *a);
void say_rounds_empty(text *t, const rounds_answer *a); /* nothing where no visit uses empty days */
void say_rounds_costs(text *t, const rounds_answer *a);

/* "8:45" of a moment of a round's day. */
void say_round_clock(text *t, const rounds_answer *a, double from_begin_s);
/* "4 visits, 5.2 hours, 18 mi; leave 8:00, back about 13:15" */
void say_round_head(text *t, const rounds_answer *a, const rounds_day *r);
/* What is done there: "clean, by vacuum through the element hole". */
void say_round_work(text *t, const rounds_visit *v);
/* "tell the tenants by 2026-11-29", "nobody lives there that day", "agree on the day with who called" */
void say_round_tell(text *t, const rounds_visit *v);
/* "2 anode rod (...), needed 1.6 times on average" */
void say_round_item(text *t, const rounds_item *i);
/* Parts, or tools, in one list parted by semicolons. */
void say_round_kit(text *t, const rounds_day *r, bool parts);
/* Why it is in no round, with the days that it has. */
void say_round_out(text *t, const rounds_visit *v);

#endif
