/* The year plan's head as a short letter, and what stands at its foot; for command line, pages and paper. */
#ifndef EDGE_DESK_LETTER_H
#define EDGE_DESK_LETTER_H

#include "edge/desk/answers.h"

void say_year_letter(text *t, const year_answer *a);
/* How costs are counted; what is not considered; each a paragraph. */
void say_how_counted(text *t, const year_answer *a);
/* What the book lacks that would sharpen the plan; nothing where nothing is lacking. */
void say_what_is_missing(text *t, const year_answer *a);
void say_houses_to_ask(text *t, const year_answer *a); /* before another kind of heater is proposed; may be empty */
void say_not_considered(text *t);
/* "Local codes and licensed practice come first ..." */
void say_law(text *t);
/* "Orchard Bend 1" on the street "Orchard Bend": "1"; else the whole label. */
const char *label_on_street(const year_row *r);

#endif
