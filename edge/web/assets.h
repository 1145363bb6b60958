/* What pages load besides themselves: style and script, built into the program. */
#ifndef EDGE_WEB_ASSETS_H
#define EDGE_WEB_ASSETS_H

#include "edge/say/embedded.h"

extern const embedded_file WEB_ASSETS[];
extern const size_t WEB_ASSETS_COUNT;

#endif
