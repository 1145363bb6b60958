/* What stands around every page: menu, title, what was just kept, what went wrong. */
#include <string.h>

#include "core/base/status.h"
#include "edge/web/site_inner.h"

static void put_menu(text *t, const char *path)
{
    RAW(t, "<nav aria-label=\"Pages\"><ul>");
    for (size_t i = 0; i < site_page_count; i++) {
        if (!site_pages[i].menu) continue;
        RAW(t, "<li><a href=\"");
        put_html(t, site_pages[i].path);
        RAW(t, "\"");
        if (strcmp(path, site_pages[i].path) == 0) RAW(t, " aria-current=\"page\"");
        RAW(t, ">");
        put_html(t, site_pages[i].menu);
        RAW(t, "</a></li>");
    }
    RAW(t, "</ul></nav>");
}

/* What was said on the way here; the number in the query fetches it once. */
static void put_saying(text *t, const page *p)
{
    site *s = p->site;
    long n = page_number(p, "said", 1, 1000000000, 0);
    saying *said = &s->sayings[(unsigned long)n % MOST_SAYINGS];
    if (n == 0 || said->number != (unsigned)n) return;
    RAW(t, "<div class=\"said\" role=\"status\">");
    for (char *line = said->words; line; ) { /* a paragraph each */
        char *end = strchr(line, '\n');
        if (end) *end = 0;
        RAW(t, "<p>");
        put_html(t, line);
        RAW(t, "</p>");
        line = end ? end + 1 : NULL;
    }
    RAW(t, "</div>");
    said->number = 0;
}

void put_frame(text *t, const page *p, text *inside, bool menu)
{
    RAW(t, "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" "
           "content=\"width=device-width, initial-scale=1\"><meta name=\"color-scheme\" content=\"light dark\"><title>");
    put_html(t, p->title);
    RAW(t, " - tufa</title><link rel=\"icon\" href=\"/icon.svg\"><link rel=\"stylesheet\" href=\"/style.css\"><script src=\"/read.js\" defer></script></head><body>"
           "<a class=\"skip\" href=\"#main\">To the page</a><header>");
    if (menu) put_menu(t, p->r->path);
    RAW(t, "</header><main id=\"main\" tabindex=\"-1\"><h1>");
    put_html(t, p->title);
    RAW(t, "</h1>");
    if (menu) put_saying(t, p);
    if (p->behind && p->box)
        RAW(t, "<p class=\"soft\" role=\"status\" id=\"again\">The book has changed; the plan is being worked out anew. Figures of the plan on this page "
               "are those of before.</p>");
    text_addn(t, text_str(inside), inside->len);
    RAW(t, "</main><footer><p>tufa forecasts and advises; it does not see the heater. Local codes and licensed practice come "
           "first.</p></footer></body></html>");
}

/* On top of the page; where a field is to blame, with the way to it. */
void put_trouble(page *p, const trouble_note *n)
{
    text words = {0};
    say_trouble(&words, n);
    RAW(p->out, "<p class=\"error\" role=\"alert\" id=\"problem\">");
    put_html_text(p->out, &words);
    RAW(p->out, "</p>");
    text_free(&words);
}
