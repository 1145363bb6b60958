/* Treatments sold against scale: what is known of each, and a fair trial. */
#include <math.h>

#include "edge/desk/treatments.h"
#include "edge/web/page.h"

static void put_say(page *p, const trial_answer *a, void (*say)(text *, const trial_answer *))
{
    text w = {0};
    say(&w, a);
    put_paragraph_words(p->out, &w);
    text_free(&w);
}

static void put_trial_table(page *p, const trial_answer *a)
{
    static const char *const heads[] = {"The trial", "=Seen in 8 of 10 from this share kept out", "=Half kept out is seen in", NULL};
    text w = {0};
    table_begin(p->out, "What a trial could show", false, heads);
    for (size_t i = 0; i < TRIAL_ROWS; i++) {
        row_begin(p->out);
        say_trial_row(&w, a, i);
        cell_head(p->out, text_str(&w));
        text_clear(&w);
        text_addf(&w, "%.0f %%", 100.0 * a->row[i].least);
        cell_figure_words(p->out, &w);
        text_addf(&w, "%.0f of 10", round(10.0 * a->row[i].half));
        cell_figure_words(p->out, &w);
        row_end(p->out);
    }
    table_end(p->out);
    text_free(&w);
}

static void put_one(page *p, const tufa_treatment_row *r)
{
    text w = {0};
    const tufa_source *s = tufa_source_at((size_t)r->source);
    RAW(p->out, "<h3>");
    put_html(p->out, r->what);
    RAW(p->out, "</h3>");
    text_addf(&w, "Evidence: %s. %s", evidence_words(r->evidence), r->known);
    put_paragraph_words(p->out, &w);
    if (r->also[0]) put_paragraph(p->out, r->also);
    text_addf(&w, "Source: %s (%s).", s->what, s->verified);
    put_paragraph_words(p->out, &w);
    text_add(&w, "/quote?for=treatment&part=");
    put_query(&w, r->key);
    RAW(p->out, "<p>");
    put_link(p->out, text_str(&w), "A price for it, judged");
    RAW(p->out, "</p>");
    text_free(&w);
}

tufa_status page_treatments(page *p)
{
    trial_answer a;
    tufa_status st = desk_trial(p->d, &a);
    if (st.code != TUFA_OK) return st;
    page_keep(p);
    put_heading(p->out, "What is known");
    for (int i = 0; i < TUFA_TREATMENT_COUNT; i++) put_one(p, tufa_treatment_at((tufa_treatment)i));
    put_heading(p->out, a.from_book ? "A fair trial in two of your houses" : "A fair trial in two houses");
    put_say(p, &a, say_trial_how);
    put_say(p, &a, say_trial_spread);
    put_trial_table(p, &a);
    put_say(p, &a, say_trial_foot);
    return st;
}
