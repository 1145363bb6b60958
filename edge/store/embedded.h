/* The schema files, in the order of their numbers, built into the program. */
#ifndef EDGE_STORE_EMBEDDED_H
#define EDGE_STORE_EMBEDDED_H

#include <stddef.h>

typedef struct embedded_file {
    const char *name, *text;
} embedded_file;

extern const embedded_file EMBEDDED[];
extern const size_t EMBEDDED_COUNT;

#endif
