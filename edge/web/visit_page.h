/* What the pages of cleaning, visit and proof share. */
#ifndef EDGE_WEB_VISIT_PAGE_H
#define EDGE_WEB_VISIT_PAGE_H

#include "edge/desk/visit_words.h"
#include "edge/web/page.h"

/* The heater that the page is asked about, as the desk's functions take a name: "#3". */
TUFA_MUST_CHECK tufa_status page_heater_name(page *p, int64_t *id, char name[24]);
/* A desk function's code as the page's status: its note is kept, what is not in the book becomes "not found". */
TUFA_MUST_CHECK tufa_status page_desk(page *p, tufa_code code, const trouble_note *note);
void put_one_caution(page *p, const tufa_caution *c);
/* Every caution of these works, each in full. */
void put_work_cautions(page *p, const char *const *works, tufa_fuel fuel, bool visit);
void put_reasons(text *t, const tufa_method_answer *m); /* as a list; nothing where there are none */
void put_heater_page_link(page *p, const char *path, int64_t heater, const char *words);

#endif
