/* Weekdays as a person writes them: "tue thu", "mon-fri", "Saturdays". Bit 0 is Monday. */
#ifndef EDGE_IMPORT_WEEKDAYS_H
#define EDGE_IMPORT_WEEKDAYS_H

#include <stdbool.h>
#include <stddef.h>

bool weekdays_parse(const char *s, unsigned *days); /* false when nothing or something else is said */
void weekdays_write(unsigned days, char *out, size_t room); /* "tue thu" */

#endif
