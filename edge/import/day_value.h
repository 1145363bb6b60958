/* Days, months, years and ages as a person gives them. Used by value_parse alone. */
#ifndef EDGE_IMPORT_DAY_VALUE_H
#define EDGE_IMPORT_DAY_VALUE_H

#include "edge/import/value.h"
#include "edge/import/words.h"
#include "edge/say/day.h"

/* `plain` without its mood. *why is set to static text when the answer is not OK. */
tufa_code day_value(const char *plain, words_mood mood, const value_rule *r, tufa_value *v, const char **why);
/* "2019-06" */
void day_write_month(text *out, int64_t day);

#endif
