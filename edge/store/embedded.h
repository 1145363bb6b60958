/* The schema files, in the order of their numbers, built into the program. */
#ifndef EDGE_STORE_EMBEDDED_H
#define EDGE_STORE_EMBEDDED_H

#include "edge/say/embedded.h"

extern const embedded_file EMBEDDED[];
extern const size_t EMBEDDED_COUNT;

#endif
