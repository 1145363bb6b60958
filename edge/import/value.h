/* What a person says about a number: "12", "about 12", "8..14", "don't know"; with or without a unit. */
#ifndef EDGE_IMPORT_VALUE_H
#define EDGE_IMPORT_VALUE_H

#include "edge/say/trouble.h"
#include "edge/say/units.h"
#include "tufa/base.h"

/* What is asked for. `unit` is taken where none is written; lo and hi bound what is allowed, in SI. */
typedef struct value_rule {
    const char *field; /* for messages */
    quantity q;
    const unit_row *unit;
    double lo, hi;
    int64_t today; /* for ages: days since 1970-01-01 */
} value_rule;

/* Reads `s` into a median with a 10 to 90 % range in SI:
 *   "12"                          exact as said (lo = mid = hi), basis GIVEN
 *   "about 12", "~12", "12ish"    12 give or take 20 %, basis ABOUT; a temperature 5 C (9 F); a year of installing one
 *                                 year; an age 20 %, at least one year (widths: judgement, no source)
 *   "8..14", "8-14", "8 to 14",   the middle, with the two ends as the 10 and 90 % points, basis RANGE
 *   "between 8 and 14", "11+-3"
 *   "over 12", "under 12"         12 to 24 with 17 in the middle; 3 to 12 with 6 in the middle, basis RANGE
 *                                 (judgement, no source)
 *   "8..9..14"                    10 % point, middle, 90 % point, basis RANGE; "about" before a range: basis ABOUT
 *   "?", "don't know", ""         basis NONE, all zero
 * Each number may carry a unit ("40 gal", "8 in .. 10 in") or a dollar sign, be a fraction ("3/4", "1 1/2") or have
 * thousands commas. Days are 2019, 2019-06, 2019-06-30, 6/30/2019, June 2019; of a year or month alone the middle is
 * taken, with the 10 and 90 % points of its days.
 * Q_INSTALLED takes a day or, below 200, an age in years before `today`; it gives the day of installing.
 * The code is also in `note`, which says field, value and what is allowed; *v is written on success only. */
TUFA_MUST_CHECK tufa_code value_parse(const char *s, const value_rule *rule, tufa_value *v, trouble_note *note);

/* "2 to 500 gal": what the rule allows. */
void value_allowed(text *out, const value_rule *rule);

/* The shortest text that value_parse reads back as v, in the rule's unit, without naming the unit. */
void value_write(text *out, const value_rule *rule, tufa_value v);

#endif
