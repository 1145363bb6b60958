/* The answer about bills in words, and as JSON. */
#ifndef EDGE_DESK_BILL_WORDS_H
#define EDGE_DESK_BILL_WORDS_H

#include <jansson.h>

#include "edge/desk/bill.h"

/* The whole report, a paragraph for each thing. */
void say_bill(text *t, const bill_answer *a, const bill_home *home);
/* One sentence: what changed, since when, by how much. */
void say_bill_change(text *t, const bill_part *b);
/* A line for each bill reading: what was used (o) and what weather and the time before the change let expect (|). */
void say_bill_chart(text *t, const bill_part *b, const daily_temps *temps, size_t indent);

/* The day by which a remark is named: that of the bill, as the file dates its rows; for what lies between two bills and
 * for what happened on a day, that day. */
double bill_remark_day(const bill_answer *a, const tufa_bill_remark *m);

/* Whether bills of the heater's fuel are too small to hold the heater. */
bool bill_size_doubt(const bill_part *b, const bill_home *home);

/* New reference; NULL when memory ran out. */
json_t *bill_json(const bill_answer *a, const bill_home *home);

#endif
