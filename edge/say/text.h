/* Text that grows. Every sentence of the program is written into one of these and printed once. */
#ifndef EDGE_SAY_TEXT_H
#define EDGE_SAY_TEXT_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

typedef struct text {
    char *s; /* always ends with 0 once something was added; NULL before */
    size_t len, room;
    bool failed; /* memory ran out: what follows is dropped and text_print says so */
} text;

void text_add(text *t, const char *s);
void text_addn(text *t, const char *s, size_t n);
void text_addf(text *t, const char *fmt, ...) __attribute__((format(printf, 2, 3)));
void text_pad_to(text *t, size_t column); /* spaces until the current line has `column` characters (UTF-8 counted) */
const char *text_str(const text *t);      /* "" for an empty text */
bool text_print(const text *t, FILE *f);  /* false when writing or memory failed */
void text_clear(text *t);
void text_free(text *t);

/* `s` broken between words at `width` characters, each line after the first behind `indent` spaces. */
void text_add_wrapped(text *t, const char *s, size_t width, size_t indent);

#endif
