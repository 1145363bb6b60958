#include "edge/desk/places.h"

#include <ctype.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>
#include <strings.h>

#define P(words, mid, lo, hi, what) {words, what, {mid, lo, hi, TUFA_BASIS_DEFAULT}},
static const place_row ROWS[] = {
#include "edge/desk/places.def"
};
#undef P

static bool has_word(const char *said, const char *word, size_t n)
{
    for (const char *s = said; *s; s++) {
        if (s != said && isalpha((unsigned char)s[-1])) continue;
        if (strncasecmp(s, word, n) == 0 && !isalpha((unsigned char)s[n])) return true;
    }
    return false;
}

const place_row *place_find(const char *said)
{
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++)
        for (const char *w = ROWS[i].words; *w;) {
            size_t n = strcspn(w, "|");
            if (has_word(said, w, n)) return &ROWS[i];
            w += n + (w[n] == '|');
        }
    return NULL;
}
