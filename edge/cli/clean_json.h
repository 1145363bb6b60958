/* Answers of the cleaning stage as JSON; every key carries its unit. */
#ifndef EDGE_CLI_CLEAN_JSON_H
#define EDGE_CLI_CLEAN_JSON_H

#include <jansson.h>

#include "edge/say/text.h"
#include "tufa/clean.h"

json_t *clean_value_json(tufa_value v, double one); /* {"p10", "p50", "p90"}, times `one`; null where nothing is known */
json_t *clean_answer_json(const char *id, const tufa_clean_case *c, const tufa_clean_answer *a);
json_t *clean_steps_json(tufa_visit_kind kind, tufa_method_id method, tufa_fuel fuel, int one_element);
json_t *clean_kit_json(tufa_visit_kind kind, tufa_method_id method, tufa_fuel fuel);
/* Cautions of the works (ends with NULL), with those of every visit. */
json_t *clean_cautions_json(const char *const *works, tufa_fuel fuel);
json_t *clean_proof_json(const tufa_proof *p, const char *sentence);
void clean_json_line(text *t, json_t *j); /* one line; takes j */

#endif
