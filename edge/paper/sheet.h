/* Parts of the job sheet. */
#ifndef EDGE_PAPER_SHEET_H
#define EDGE_PAPER_SHEET_H

#include "edge/paper/parts.h"

/* Title, heater, who and when, whether notice was given. */
void sheet_head(const document_ask *ask, paper *p, const char *title, const ahead_answer *a, const char *what);
/* What its readings should show, from the tank stage and the book. */
void sheet_expect(expected *e, unit_system s, const ahead_answer *a);
/* Room for what was found and done. */
void sheet_foot(paper *p);

/* The sheet of an open call. */
TUFA_MUST_CHECK tufa_code sheet_of_call(const document_ask *ask, paper *p, const ahead_answer *a, int64_t call, trouble_note *note);
/* The sheet of a visit: clean, turnover or standing; NULL is clean. */
TUFA_MUST_CHECK tufa_code sheet_of_visit(const document_ask *ask, paper *p, const ahead_answer *a, const char *kind, const char *method,
                                         trouble_note *note);

#endif
