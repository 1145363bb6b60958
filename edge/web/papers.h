/* Links to what can be printed. */
#ifndef EDGE_WEB_PAPERS_H
#define EDGE_WEB_PAPERS_H

#include <stdint.h>

#include "edge/say/text.h"

/* Every document about one heater, under a heading of their own. */
void put_papers(text *t, int64_t heater);

#endif
