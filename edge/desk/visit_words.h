/* A visit in words, for command, pages and paper alike. */
#ifndef EDGE_DESK_VISIT_WORDS_H
#define EDGE_DESK_VISIT_WORDS_H

#include "edge/desk/visit_desk.h"

extern const char *const visit_kind_keys[TUFA_VISIT_KIND_COUNT]; /* clean, turnover, standing */
const char *visit_kind_words(tufa_visit_kind kind);              /* "cleaning" */

/* "Elm 4 heater, Elm 4: cleaning, plain flush, about 2 h" */
void say_visit_head(text *t, unit_system s, const visit_plan *p);
/* "0 to 60 W", "under 120 F", "1.4 to 2.4 in before, 0.2 to 0.9 in after the work" */
void say_visit_expect(text *t, unit_system s, const visit_expect *e);
void say_visit_work(text *t, const visit_plan *p); /* "clean the water heater (plain flush)" */
/* The notice to whoever lives there (desk/notice.h), as one paragraph. Day, hours, owner and telephone as the plan has them, blanks to
 * fill in by hand where it has none. No claim about what a law asks. */
void say_visit_notice(text *t, unit_system s, const visit_plan *p);
/* "9:00", "1:30 pm"; blanks for -1. */
void say_time_of_day(text *t, unit_system s, int minutes);
/* "Thursday, March 12, 2026"; metric: "Thursday 2026-03-12". */
void say_weekday(text *t, unit_system s, int64_t day);
/* Works of the table of cautions that belong to this visit, ended by NULL. */
void visit_works(const visit_plan *p, const char *works[4]);

/* "flushed" ... of a visit that was: "2026-03-02, cleaned, 95 min, $40". */
void say_visit_past(text *t, unit_system s, const visit_past *v);
/* Finding i with its value; spots of one probe together: "depth of the bed at five spots when leaving: 0.2, 0.3 ... in".
 * Answers how many findings that were. */
int say_found(text *t, unit_system s, const visit_past *v, int i);
/* "5 of gasket" */
void say_part_used(text *t, const stock_rec *part);

#endif
