/* A call as one JSON object a line. */
#ifndef EDGE_CLI_CALL_JSON_H
#define EDGE_CLI_CALL_JSON_H

#include <jansson.h>

#include "edge/desk/call.h"

/* The answer of the fault stage with the keys of `tufa fault`; a new reference. */
json_t *fault_json(const char *id, const tufa_call *call, const tufa_fault_answer *a);
void call_json(text *t, const call_view *v);

#endif
