/* The first page: what matters today and why, as a short letter. */
#include "edge/desk/letter.h"
#include "edge/desk/words.h"
#include "edge/web/page.h"

static void put_first(page *p, const year_row *r, text *w)
{
    RAW(p->out, "<p>");
    put_heater_link(p->out, r->heater, r->label);
    RAW(p->out, ": ");
    put_html(p->out, tufa_choice_at(r->choice)->what);
    RAW(p->out, ", ");
    say_due(w, r, p->d->today);
    put_html_text(p->out, w);
    RAW(p->out, ", because ");
    put_html(p->out, r->why);
    RAW(p->out, ".</p>");
}

tufa_status page_today(page *p)
{
    const year_answer *y;
    tufa_status st = page_year(p, &y);
    if (st.code != TUFA_OK) return st;
    text w = {0};
    RAW(p->out, "<div class=\"letter\">");
    RAW(p->out, "<p>");
    say_year_letter(&w, y);
    put_html_text(p->out, &w);
    RAW(p->out, "</p>");
    if (y->firsts) RAW(p->out, "<h2>First of all</h2>");
    for (size_t i = 0; i < y->firsts; i++) put_first(p, &y->row[y->first[i]], &w);
    RAW(p->out, "<p><a href=\"/year\">The whole year plan</a></p></div>");
    text_free(&w);
    return st;
}
