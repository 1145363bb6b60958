/* Everything the book holds of one heater, in words, each with its day and source; what was corrected or taken back too. */
#ifndef EDGE_DESK_RECORD_H
#define EDGE_DESK_RECORD_H

#include "edge/desk/desk.h"
#include "edge/say/trouble.h"

typedef enum record_part { RECORD_HEATER, RECORD_HOUSE, RECORD_PEOPLE, RECORD_FOUND, RECORD_DONE, RECORD_CALLS, RECORD_PARTS } record_part;

typedef struct record_line {
    record_part part;
    int64_t day, entered;      /* entered: seconds since 1970; 0 where it is not kept beside the day */
    bool stands;               /* false: a later line took its place, or it was taken back */
    size_t order;              /* of lines of one part and day */
    char *what, *said, *source;
} record_line;

typedef struct record_answer {
    char label[STORE_LABEL], house[STORE_LABEL];
    record_line *line;         /* by part, then by day */
    size_t n;
} record_answer;

TUFA_MUST_CHECK tufa_code desk_record(desk *d, const char *heater, record_answer *out, text *near, trouble_note *note);
void record_free(record_answer *a);
const char *record_part_words(record_part part); /* "Found in the tank" */

#endif
