/* A text file built into the program by tools/embed.c. */
#ifndef EDGE_SAY_EMBEDDED_H
#define EDGE_SAY_EMBEDDED_H

#include <stddef.h>

typedef struct embedded_file {
    const char *name, *text;
} embedded_file;

#endif
