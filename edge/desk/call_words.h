/* What commands and pages say of a call: when to go, what to tell the tenant. */
#ifndef EDGE_DESK_CALL_WORDS_H
#define EDGE_DESK_CALL_WORDS_H

#include "edge/desk/call.h"

/* "Today. People at risk live there. The town allows 24 hours (...); 48 have passed. Waiting costs about $1.5 an hour." */
void say_call_when(text *t, const call_view *v, int64_t today);
/* Words for the tenant, with an honest time; `before`: how many calls come before this one. */
void say_call_tell(text *t, const call_view *v, size_t before);
/* What stands behind the order of the day, in a sentence. */
void say_call_order(text *t);

#endif
