/* The year plan: street by street, as a table with money. */
#include "edge/desk/letter.h"
#include "edge/desk/words.h"
#include "edge/web/page.h"

/* Words of desk/words.h written into `words`, then escaped into the page. */
static void put_words(page *p, text *words) { put_html_text(p->out, words); }

static void put_row(page *p, const year_row *r, text *w)
{
    RAW(p->out, "<tr><th scope=\"row\">");
    put_heater_link(p->out, r->heater, label_on_street(r));
    RAW(p->out, "</th><td>");
    put_html(p->out, tufa_choice_at(r->choice)->what);
    RAW(p->out, "</td><td>");
    put_html(p->out, r->why);
    RAW(p->out, "</td><td>");
    say_due(w, r, p->d->today);
    put_words(p, w);
    RAW(p->out, "</td><td class=\"n\">");
    say_usd_band(w, &r->done_usd);
    put_words(p, w);
    RAW(p->out, "</td><td class=\"n\">");
    say_usd_band(w, &r->left_usd);
    put_words(p, w);
    RAW(p->out, "</td></tr>");
}

static void put_street(page *p, const year_answer *y, const year_street *s, text *w)
{
    RAW(p->out, "<h2>");
    put_html(p->out, s->name[0] ? s->name : "No street given");
    RAW(p->out, "</h2><div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Plan for ");
    put_html(p->out, s->name);
    RAW(p->out, "\"><table><thead><tr><th scope=\"col\">Heater</th><th scope=\"col\">This year</th><th scope=\"col\">Why</th>"
                "<th scope=\"col\">At the latest</th><th scope=\"col\" class=\"n\">If done</th>"
                "<th scope=\"col\" class=\"n\">If left</th></tr></thead><tbody>");
    for (size_t i = 0; i < s->n; i++) put_row(p, &y->row[s->first + i], w);
    RAW(p->out, "</tbody></table></div>");
}

static void put_paragraph(page *p, text *w, void (*say)(text *, const year_answer *), const year_answer *y)
{
    RAW(p->out, "<p>");
    say(w, y);
    put_words(p, w);
    RAW(p->out, "</p>");
}

tufa_status page_year_plan(page *p)
{
    const year_answer *y;
    tufa_status st = page_year(p, &y);
    if (st.code != TUFA_OK) return st;
    text w = {0};
    put_paragraph(p, &w, say_how_counted, y);
    for (size_t i = 0; i < y->streets; i++) put_street(p, y, &y->street[i], &w);
    RAW(p->out, "<h2>What is not considered</h2><p>");
    say_not_considered(&w);
    put_words(p, &w);
    RAW(p->out, "</p><p>");
    say_law(&w);
    put_words(p, &w);
    RAW(p->out, "</p>");
    text_free(&w);
    return st;
}
