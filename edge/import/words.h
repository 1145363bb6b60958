/* The words around a number: "about", "between", "don't know". */
#ifndef EDGE_IMPORT_WORDS_H
#define EDGE_IMPORT_WORDS_H

#include <stdbool.h>
#include <stddef.h>

enum { WORDS_LONGEST = 120 };

typedef enum words_mood { WORDS_PLAIN, WORDS_ABOUT, WORDS_BETWEEN, WORDS_OVER, WORDS_UNDER } words_mood;

/* Lower case, plain hyphens and apostrophes, single spaces, none at the ends. False when it is too long. */
bool words_plain(const char *s, char out[WORDS_LONGEST + 1]);
/* The first n bytes of s without spaces at the ends. */
void words_trimmed(const char *s, size_t n, char out[WORDS_LONGEST + 1]);
/* "", "?", "don't know" and their like, in plain form. */
bool words_unknown(const char *plain);
/* Takes "about", "between", "over" ... off the plain text, in place. */
words_mood words_take_mood(char plain[WORDS_LONGEST + 1]);

#endif
