/* What lies ahead of one heater, in sentences; a paragraph each, for command line, pages and paper. */
#ifndef EDGE_DESK_AHEAD_WORDS_H
#define EDGE_DESK_AHEAD_WORDS_H

#include "edge/desk/answers.h"

void say_heater_line(text *w, const ahead_answer *a); /* "Linden Row 5: electric, 50 gal, 7 years old, basement; water: North main." */
void say_bed_now(text *w, const ahead_answer *a);
void say_chances(text *w, const ahead_answer *a);
void say_energy_year(text *w, const ahead_answer *a);
void say_what_it_gives(text *w, const ahead_answer *a); /* out of the simulated tank */
void say_proposal(text *w, const ahead_answer *a);      /* what to do this year, why, and what it costs */
void say_timing(text *w, const ahead_answer *a);        /* how flat the best time is, what a reading is worth, what ten years cost */
size_t readings_weighed(const tufa_money_year *m, tufa_sharpen order[TUFA_SHARPEN_COUNT]); /* the one worth most first; answers how many */
void say_reading_value(text *w, const tufa_money_reading *r); /* dollars, or "nothing" */
void say_perfect(text *w, const tufa_money_year *m);    /* what knowing everything would be worth */
void say_other_setpoint(text *w, const ahead_answer *a);
void say_other_kinds(text *w, const ahead_answer *a);   /* which the house rules out, and what to ask before the rest is proposed */
void say_sizes(text *w, const ahead_answer *a);         /* new heaters against the household's busiest hour */
void say_cleaning(text *w, const ahead_answer *a); /* how it goes in this tank, or why it is not done there */
void say_bring(text *w, const ahead_answer *a);         /* nothing where there is nothing to bring */
void say_rests_on(text *w, const ahead_answer *a);      /* and what would sharpen it most */

#endif
