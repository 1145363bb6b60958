/* The notice to whoever lives behind a heater: a text that the owner may write himself, with places that are filled in. */
#ifndef EDGE_DESK_NOTICE_H
#define EDGE_DESK_NOTICE_H

#include "edge/desk/visit_desk.h"

enum { NOTICE_LONGEST = 6000 };

/* The usual text; paragraphs are parted by an empty line. */
extern const char notice_usual[];
/* Names that may stand in braces, with what they become; NULL past the end. */
typedef struct notice_place {
    const char *name, *what;
} notice_place;
const notice_place *notice_place_at(size_t i);

/* The text that counts, as it was written; `own`: the owner's. Day and source are those of his. */
typedef struct notice_text {
    text words;
    bool own;
    int64_t day;
    char source[STORE_SOURCE];
} notice_text;
TUFA_MUST_CHECK tufa_status desk_notice_text(desk *d, notice_text *out); /* free `words` */
/* Keeps `words` as the text from now on; empty goes back to the usual one. Refused: too long, or a place that nothing fills. */
TUFA_MUST_CHECK tufa_code desk_notice_keep(desk *d, const char *words, const char *source, trouble_note *note);
tufa_code notice_check(const char *words, trouble_note *note);

/* The text with its places filled from the plan; what is not known becomes a line to write on. */
void notice_fill(text *t, unit_system s, const visit_plan *p, int64_t today, const char *words);

/* Days beforehand by the house, else by the setting; `said`: somebody said so. */
TUFA_MUST_CHECK tufa_status desk_notice_days(desk *d, int64_t heater, double *days, bool *said);

#endif
