/* Where a number comes from. */
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/ahead_words.h"
#include "edge/desk/explain.h"
#include "edge/web/page.h"

static void put_index(page *p, int64_t heater)
{
    put_heading(p->out, "All of them");
    RAW(p->out, "<ul>");
    for (size_t i = 0; explain_at(i); i++) {
        RAW(p->out, "<li><a href=\"/explain?what=");
        put_query(p->out, explain_at(i)->key);
        if (heater) text_addf(p->out, "&amp;id=%lld", (long long)heater);
        RAW(p->out, "\">");
        put_html(p->out, explain_at(i)->title);
        RAW(p->out, "</a></li>");
    }
    RAW(p->out, "</ul>");
}

static void put_inputs(page *p, const explain_input *in, size_t n)
{
    static const char *const heads[] = {"What", "Now", "From", "", NULL};
    put_heading(p->out, "What goes in");
    RAW(p->out, "<div class=\"slim\">");
    table_begin(p->out, "What goes in", false, heads);
    for (size_t i = 0; i < n; i++) {
        row_begin(p->out);
        cell_head(p->out, in[i].what);
        cell(p->out, in[i].value);
        cell(p->out, in[i].from);
        RAW(p->out, "<td>");
        if (in[i].correct[0]) {
            RAW(p->out, "<a href=\"");
            put_html(p->out, in[i].correct);
            RAW(p->out, "\">correct<span class=\"unseen\"> ");
            put_html(p->out, in[i].what);
            RAW(p->out, "</span></a>");
        }
        RAW(p->out, "</td>");
        row_end(p->out);
    }
    table_end(p->out);
    RAW(p->out, "</div>");
}

static void put_sources(page *p, const explain_row *r)
{
    static const char *const heads[] = {"Source", "How far it was checked", NULL};
    const char *at = r->sources, *word;
    put_heading(p->out, "Sources");
    table_begin(p->out, "Sources", false, heads);
    for (size_t len; (len = explain_word(&at, &word)) > 0;) {
        const tufa_source *s = explain_source(word, len);
        if (!s) continue;
        row_begin(p->out);
        cell_head(p->out, s->what);
        cell(p->out, s->verified);
        row_end(p->out);
    }
    table_end(p->out);
    RAW(p->out, "<p>The method in full, with its accuracy and what is not known: <code>docs/methods/");
    put_html(p->out, r->method);
    RAW(p->out, ".md</code></p>");
}

/* The sentence that tells the number, of this heater. */
static void put_now(page *p, const explain_row *r, const ahead_answer *a)
{
    static const struct {
        const char *key;
        void (*say)(text *w, const ahead_answer *a);
    } SAYS[] = {{"bed", say_bed_now}, {"growth", say_bed_now}, {"element", say_bed_now}, {"rumble", say_bed_now}, {"leak", say_chances},
                {"burn-out", say_chances}, {"money", say_proposal}, {"waiting", say_proposal}, {"reading", say_rests_on}, {"learned", say_rests_on},
                {"hot", say_what_it_gives}, {"burns", say_what_it_gives}, {"growth-hours", say_what_it_gives}, {"energy", say_energy_year}};
    text w = {0};
    RAW(p->out, "<p>For ");
    put_heater_link(p->out, a->c.heater.id, a->c.heater.label);
    RAW(p->out, ", today:</p>");
    for (size_t i = 0; i < sizeof SAYS / sizeof SAYS[0]; i++)
        if (strcmp(SAYS[i].key, r->key) == 0) SAYS[i].say(&w, a);
    if (w.len) {
        RAW(p->out, "<blockquote>");
        put_paragraph_words(p->out, &w);
        RAW(p->out, "</blockquote>");
    }
    text_free(&w);
}

static tufa_status put_row(page *p, const explain_row *r, const ahead_answer *a)
{
    explain_input *in = malloc(EXPLAIN_INPUTS * sizeof *in);
    size_t n = 0;
    if (!in) return trouble(TUFA_MEMORY, "explanation", NULL);
    tufa_status st = explain_inputs(p->d, r, a, in, &n);
    if (st.code == TUFA_OK) {
        page_title(p, r->title);
        if (a) put_now(p, r, a);
        put_heading(p->out, "How it is worked out");
        put_paragraph(p->out, r->how);
        put_inputs(p, in, n);
        put_sources(p, r);
        put_index(p, a ? a->c.heater.id : 0);
    }
    free(in);
    return st;
}

tufa_status page_explain(page *p)
{
    const explain_row *r = explain_find(page_field(p, "what"));
    long id = page_number(p, "id", 1, 2000000000, 0);
    page_keep(p);
    if (!r) {
        if (page_field(p, "what")[0]) put_paragraph(p->out, "There is no number of that name here; these are.");
        put_index(p, 0);
        return OK;
    }
    if (id == 0) return put_row(p, r, NULL);
    ahead_answer *a = malloc(sizeof *a);
    if (!a) return trouble(TUFA_MEMORY, "view ahead", NULL);
    char name[24];
    trouble_note note = {0};
    snprintf(name, sizeof name, "#%ld", id);
    tufa_code code = desk_ahead(p->d, name, a, NULL, &note);
    tufa_status st = code == TUFA_OK ? put_row(p, r, a) : put_row(p, r, NULL);
    if (code == TUFA_OK) ahead_free(a);
    free(a);
    return st;
}
