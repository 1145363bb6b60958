#include "edge/say/text.h"

#include <stdlib.h>
#include <string.h>

static bool grow(text *t, size_t more)
{
    if (t->failed) return false;
    if (t->len + more + 1 <= t->room) return true;
    size_t room = t->room ? t->room : 256;
    while (room < t->len + more + 1) room *= 2;
    char *s = realloc(t->s, room);
    if (!s) {
        t->failed = true;
        return false;
    }
    t->s = s;
    t->room = room;
    return true;
}

void text_addn(text *t, const char *s, size_t n)
{
    if (!grow(t, n)) return;
    memcpy(t->s + t->len, s, n);
    t->len += n;
    t->s[t->len] = 0;
}

void text_add(text *t, const char *s) { text_addn(t, s, strlen(s)); }

void text_addf(text *t, const char *fmt, ...)
{
    va_list ap;
    va_start(ap, fmt);
    int n = vsnprintf(NULL, 0, fmt, ap);
    va_end(ap);
    if (n < 0 || !grow(t, (size_t)n)) return;
    va_start(ap, fmt);
    vsnprintf(t->s + t->len, (size_t)n + 1, fmt, ap);
    va_end(ap);
    t->len += (size_t)n;
}

static size_t columns(const char *s, size_t n)
{
    size_t c = 0;
    for (size_t i = 0; i < n; i++) c += ((unsigned char)s[i] & 0xC0) != 0x80;
    return c;
}

static size_t current_column(const text *t)
{
    size_t start = t->len;
    while (start > 0 && t->s[start - 1] != '\n') start--;
    return t->s ? columns(t->s + start, t->len - start) : 0;
}

void text_pad_to(text *t, size_t column)
{
    for (size_t c = current_column(t); c < column; c++) text_add(t, " ");
}

void text_add_wrapped(text *t, const char *s, size_t width, size_t indent)
{
    size_t at = current_column(t);
    bool first = true;
    for (;;) {
        s += strspn(s, " \n");
        size_t n = strcspn(s, " \n");
        if (n == 0) break;
        size_t w = columns(s, n);
        if (!first && at + 1 + w > width) {
            text_add(t, "\n");
            at = 0;
            text_pad_to(t, indent);
            at = indent;
        } else if (!first) {
            text_add(t, " ");
            at++;
        }
        text_addn(t, s, n);
        at += w;
        s += n;
        first = false;
    }
}

const char *text_str(const text *t) { return t->s ? t->s : ""; }

bool text_print(const text *t, FILE *f)
{
    bool ok = t->len == 0 || fwrite(t->s, 1, t->len, f) == t->len;
    return fflush(f) == 0 && ok && !t->failed;
}

void text_clear(text *t)
{
    t->len = 0;
    if (t->s) t->s[0] = 0;
}

void text_free(text *t)
{
    free(t->s);
    *t = (text){0};
}
