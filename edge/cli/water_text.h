/* The answers of `tufa water` as words and as JSON lines. */
#ifndef EDGE_CLI_WATER_TEXT_H
#define EDGE_CLI_WATER_TEXT_H

#include "edge/desk/water_answer.h"
#include "edge/import/sheet.h"
#include "edge/say/text.h"

void water_put_words(text *out, const char *id, const water_answer *a, const char *remarks);
/* One line for each temperature. */
void water_put_json(text *out, const char *id, const water_answer *a, const char *remarks);

void soak_put_words(text *out, const tufa_soak_in *in, const tufa_soak *s);
void soak_put_json(text *out, const tufa_soak_in *in, const tufa_soak *s);

#endif
