#include "edge/web/html.h"

#include <ctype.h>

void put_html(text *t, const char *s)
{
    for (; *s; s++) {
        switch (*s) {
        case '&': text_add(t, "&amp;"); break;
        case '<': text_add(t, "&lt;"); break;
        case '>': text_add(t, "&gt;"); break;
        case '"': text_add(t, "&quot;"); break;
        case '\'': text_add(t, "&#39;"); break;
        default:
            if ((unsigned char)*s >= 0x20 || *s == '\n' || *s == '\t') text_addn(t, s, 1);
        }
    }
}

void put_html_text(text *t, text *from)
{
    put_html(t, text_str(from));
    text_clear(from);
}

void put_int(text *t, long long n) { text_addf(t, "%lld", n); }

void put_query(text *t, const char *s)
{
    for (; *s; s++) {
        unsigned char c = (unsigned char)*s;
        if (c < 0x80 && (isalnum(c) || c == '-' || c == '.' || c == '_' || c == '~')) text_addn(t, s, 1);
        else text_addf(t, "%%%02X", c);
    }
}
