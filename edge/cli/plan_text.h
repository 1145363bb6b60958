/* The year plan as text, 96 columns wide. */
#ifndef EDGE_CLI_PLAN_TEXT_H
#define EDGE_CLI_PLAN_TEXT_H

#include "edge/desk/answers.h"

void plan_text(text *t, const year_answer *a, const char *book);
/* The head of the plan alone: the letter and the few to see first. */
void plan_head_text(text *t, const year_answer *a, const char *book);
/* Cautions that go with one kind of work: by title alone, or with their words. */
void caution_titles(text *t, tufa_choice choice, tufa_fuel fuel, tufa_sharpen reading);
void caution_words(text *t, tufa_choice choice, tufa_fuel fuel, tufa_sharpen reading);
/* A paragraph broken at the usual width, each line behind `indent` spaces. */
void paragraph(text *t, text *words, size_t indent);

#endif
