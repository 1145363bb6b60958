/* The year plan: street by street, as a table with money. */
#include "core/base/status.h"
#include "edge/desk/letter.h"
#include "edge/desk/words.h"
#include "edge/web/page.h"

/* Why, and of a new heater: is it large enough, and what to ask of the house. */
static void put_why(page *p, const year_row *r, text *w)
{
    text_add(w, r->why);
    if (fits_to_say(r) || r->other != TUFA_CHOICE_LEAVE) text_add(w, ". ");
    say_fits(w, r, p->d->units);
    if (fits_to_say(r)) text_add(w, " ");
    say_other_kind(w, r);
    cell_words(p->out, w);
}

static void put_row(page *p, const year_row *r, text *w)
{
    text *t = p->out;
    row_begin(t);
    RAW(t, "<th scope=\"row\">");
    put_heater_link(t, r->heater, label_on_street(r));
    RAW(t, "</th>");
    cell(t, tufa_choice_at(r->choice)->what);
    put_why(p, r, w);
    say_due(w, r, p->d->today);
    cell_words(t, w);
    say_usd_band(w, &r->done_usd);
    cell_figure_words(t, w);
    say_usd_band(w, &r->left_usd);
    cell_figure_words(t, w);
    row_end(t);
}

static void put_street(page *p, const year_answer *y, const year_street *s, text *w)
{
    static const char *const heads[] = {"Heater", "This year", "Why", "At the latest", "=If done", "=If left", NULL};
    char about[STORE_LABEL + 16];
    const char *name = s->name[0] ? s->name : "No street given";
    snprintf(about, sizeof about, "Plan for %s", name);
    put_heading(p->out, name);
    RAW(p->out, "<div class=\"plan\">");
    table_begin(p->out, about, false, heads);
    for (size_t i = 0; i < s->n; i++) put_row(p, &y->row[s->first + i], w);
    table_end(p->out);
    RAW(p->out, "</div>");
}

tufa_status page_year_plan(page *p)
{
    const year_answer *y;
    page_keep(p);
    RETURN_IF(page_year(p, &y));
    text w = {0};
    say_how_counted(&w, y);
    put_paragraph_words(p->out, &w);
    say_houses_to_ask(&w, y);
    if (w.len) put_paragraph_words(p->out, &w);
    for (size_t i = 0; i < y->streets; i++) put_street(p, y, &y->street[i], &w);
    RAW(p->out, "<p>");
    put_document_link(p->out, "year paper", NULL, 0, "This plan on paper");
    RAW(p->out, "</p>");
    put_heading(p->out, "What is not considered");
    say_not_considered(&w);
    put_paragraph_words(p->out, &w);
    say_law(&w);
    put_paragraph_words(p->out, &w);
    text_free(&w);
    return OK;
}
