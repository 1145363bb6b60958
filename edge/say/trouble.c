#include "edge/say/trouble.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

static void copy(char *to, size_t room, const char *from)
{
    size_t i = 0;
    for (; from && from[i] && i + 1 < room; i++) to[i] = iscntrl((unsigned char)from[i]) ? '?' : from[i];
    if (from && from[i]) { /* cut at a whole character, and show the cut */
        while (i > 3 && ((unsigned char)to[i - 3] & 0xC0) == 0x80) i--;
        if (i > 3) memcpy(to + i - 3, "...", 3);
    }
    to[i] = 0;
}

void note_set(trouble_note *n, tufa_code code, const char *field, const char *value, const char *allowed,
              const char *why)
{
    n->code = code;
    copy(n->field, sizeof n->field, field);
    copy(n->value, sizeof n->value, value);
    copy(n->allowed, sizeof n->allowed, allowed);
    copy(n->why, sizeof n->why, why);
}

void note_from_status(trouble_note *n, tufa_status st)
{
    char value[48] = "", allowed[96] = "";
    if (st.code == TUFA_RANGE || st.code == TUFA_SOLVE) {
        snprintf(value, sizeof value, "%g", st.got);
        snprintf(allowed, sizeof allowed, "%g to %g", st.lo, st.hi);
    }
    note_set(n, st.code, st.field, value, allowed, st.why);
}

void say_trouble(text *out, const trouble_note *n)
{
    if (n->where[0]) text_addf(out, "%s: ", n->where);
    if (n->field[0]) text_addf(out, "%s", n->field);
    if (n->value[0]) text_addf(out, "%s\"%s\"", n->field[0] ? " " : "", n->value);
    if (n->field[0] || n->value[0]) text_add(out, ": ");
    text_add(out, n->why[0] ? n->why : tufa_code_words(n->code));
    if (n->allowed[0]) text_addf(out, " (allowed: %s)", n->allowed);
    text_add(out, "\n");
}

static size_t distance(const char *a, const char *b)
{
    enum { MOST = 64 };
    size_t n = strlen(b), row[MOST + 1];
    if (n > MOST || strlen(a) > MOST) return MOST;
    for (size_t j = 0; j <= n; j++) row[j] = j;
    for (size_t i = 1; a[i - 1]; i++) {
        size_t diagonal = row[0];
        row[0] = i;
        for (size_t j = 1; j <= n; j++) {
            size_t best = diagonal + (tolower((unsigned char)a[i - 1]) != tolower((unsigned char)b[j - 1]));
            if (row[j] + 1 < best) best = row[j] + 1;
            if (row[j - 1] + 1 < best) best = row[j - 1] + 1;
            diagonal = row[j];
            row[j] = best;
        }
    }
    return row[n];
}

const char *nearest_name(const char *given, const char *const *names, size_t n)
{
    const char *best = NULL;
    size_t least = strlen(given) / 3 + 2;
    for (size_t i = 0; i < n; i++) {
        size_t d = distance(given, names[i]);
        if (d < least) {
            least = d;
            best = names[i];
        }
    }
    return best;
}
