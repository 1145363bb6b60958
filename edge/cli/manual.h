/* The man page (roff) and the completion (bash), made from the same tables as dispatch and --help. */
#ifndef EDGE_CLI_MANUAL_H
#define EDGE_CLI_MANUAL_H

#include "edge/cli/cli.h"

void manual_page(text *t);
void manual_completion(text *t);

#endif
