#include "edge/say/fault.h"
#include "edge/web/page.h"

#include <string.h>

enum { PLOT_W = 430, PLOT_H = 250, TANK_W = 370, TANK_H = 330 };

/* ---- tables ---- */

void table_begin(text *t, const char *about, bool caption, const char *const *heads)
{
    RAW(t, "<div class=\"wide\" tabindex=\"0\" role=\"group\" aria-label=\"");
    put_html(t, about);
    RAW(t, "\"><table>");
    if (caption) {
        RAW(t, "<caption>");
        put_html(t, about);
        RAW(t, "</caption>");
    }
    RAW(t, "<thead><tr>");
    for (; *heads; heads++) {
        bool figures = **heads == '=';
        if (!**heads) { /* a column of links needs no head */
            RAW(t, "<td></td>");
            continue;
        }
        text_add(t, figures ? "<th scope=\"col\" class=\"n\">" : "<th scope=\"col\">");
        put_html(t, *heads + figures);
        RAW(t, "</th>");
    }
    RAW(t, "</tr></thead><tbody>");
}

void table_end(text *t) { RAW(t, "</tbody></table></div>"); }
void row_begin(text *t) { RAW(t, "<tr>"); }
void row_end(text *t) { RAW(t, "</tr>"); }

void cell_head(text *t, const char *s)
{
    RAW(t, "<th scope=\"row\">");
    put_html(t, s);
    RAW(t, "</th>");
}

void cell(text *t, const char *s)
{
    RAW(t, "<td>");
    put_html(t, s);
    RAW(t, "</td>");
}

void cell_words(text *t, text *words)
{
    cell(t, text_str(words));
    text_clear(words);
}

void cell_figure(text *t, const char *s)
{
    RAW(t, "<td class=\"n\">");
    put_html(t, s);
    RAW(t, "</td>");
}

void cell_figure_words(text *t, text *words)
{
    cell_figure(t, text_str(words));
    text_clear(words);
}

void cell_odds(text *t, double p)
{
    text w = {0};
    say_odds(&w, p);
    RAW(t, "<td class=\"n\">");
    for (const char *c = text_str(&w); *c; c++)
        if (*c == ' ') RAW(t, "&nbsp;");
        else text_addn(t, c, 1);
    RAW(t, "</td>");
    text_free(&w);
}

/* ---- words ---- */

static void put_piece(text *t, const char *s, size_t n)
{
    text piece = {0};
    text_addn(&piece, s, n);
    put_html_text(t, &piece);
    text_free(&piece);
}

/* Sentences are those of the commands; a page that answers the same question stands for the command it names. */
static const struct {
    const char *command, *path, *page;
} PAGES[] = {{"tufa call today", "/calls", "Calls"},       {"tufa learned", "/learned", "Learned"},  {"tufa rounds", "/rounds", "Rounds"},
             {"tufa year", "/year", "Year plan"},          {"tufa set price", "/assumptions", "Assumptions"}, {"tufa set usual", "/assumptions", "Assumptions"},
             {"tufa book import", "/import", "Import"},    {"tufa water", "/waters", "Waters"},       {"tufa account", "/account", "Account"},
             {"tufa treatments", "/treatments", "Sold against scale"}};

/* A command, `n` letters long: its page, else as it is typed. */
static void put_command(text *t, const char *s, size_t n)
{
    for (size_t i = 0; i < sizeof PAGES / sizeof PAGES[0]; i++) {
        size_t m = strlen(PAGES[i].command);
        if (n < m || strncmp(s, PAGES[i].command, m) != 0 || (n > m && s[m] != ' ')) continue;
        put_link(t, PAGES[i].path, PAGES[i].page);
        return;
    }
    RAW(t, "<code>");
    put_piece(t, s, n);
    RAW(t, "</code>");
}

void put_sentence(text *t, const char *s)
{
    for (const char *open, *close; (open = strchr(s, '`')) != NULL && (close = strchr(open + 1, '`')) != NULL; s = close + 1) {
        put_piece(t, s, (size_t)(open - s));
        put_command(t, open + 1, (size_t)(close - open - 1));
    }
    put_html(t, s);
}

void put_paragraph(text *t, const char *s)
{
    RAW(t, "<p>");
    put_sentence(t, s);
    RAW(t, "</p>");
}

void put_paragraph_words(text *t, text *words)
{
    if (words->len) put_paragraph(t, text_str(words));
    text_clear(words);
}

void put_heading(text *t, const char *s)
{
    RAW(t, "<h2>");
    put_html(t, s);
    RAW(t, "</h2>");
}

void put_caution(text *t, const char *heading, const char *s)
{
    RAW(t, "<div class=\"caution\">");
    if (heading) {
        RAW(t, "<p><strong>");
        put_html(t, heading);
        RAW(t, "</strong></p>");
    }
    put_paragraph(t, s);
    RAW(t, "</div>");
}

void facts_begin(text *t) { RAW(t, "<dl class=\"facts\">"); }
void facts_end(text *t) { RAW(t, "</dl>"); }

void put_fact(text *t, const char *name, const char *value)
{
    RAW(t, "<div><dt>");
    put_html(t, name);
    RAW(t, "</dt><dd>");
    put_html(t, value);
    RAW(t, "</dd></div>");
}

void put_fact_words(text *t, const char *name, text *words)
{
    put_fact(t, name, text_str(words));
    text_clear(words);
}

void details_begin(text *t, const char *summary)
{
    RAW(t, "<details><summary>");
    put_html(t, summary);
    RAW(t, "</summary>");
}

void details_end(text *t) { RAW(t, "</details>"); }

/* ---- drawings ---- */

static void cell_value(text *t, text *w, void (*say)(text *, double), double v)
{
    if (say) say(w, v);
    else text_addf(w, "%.4g", v);
    cell_figure_words(t, w);
}

static void series_table(text *t, const plot *pl, const plot_series *s)
{
    const char *heads[] = {pl->x_name, "=Value", s->lo ? "=Likely from" : NULL, "=To", NULL};
    text w = {0};
    table_begin(t, s->name ? s->name : pl->title, true, heads);
    for (size_t i = 0; i < s->n; i++) {
        row_begin(t);
        if (pl->say_x) pl->say_x(&w, s->x[i]);
        else text_addf(&w, "%.4g", s->x[i]);
        cell_head(t, text_str(&w));
        text_clear(&w);
        cell_value(t, &w, pl->say_y, s->y[i]);
        if (s->lo && s->hi) {
            cell_value(t, &w, pl->say_y, s->lo[i]);
            cell_value(t, &w, pl->say_y, s->hi[i]);
        }
        row_end(t);
    }
    table_end(t);
    text_free(&w);
}

void put_plot(text *t, const plot *pl)
{
    size_t points = 0;
    for (int i = 0; i < pl->series_count; i++) points += pl->series[i].n;
    RAW(t, "<figure>");
    plot_svg(pl, t, PLOT_W, PLOT_H);
    RAW(t, "<figcaption>");
    put_html(t, pl->title);
    RAW(t, "</figcaption>");
    if (points) {
        details_begin(t, "The figures");
        for (int i = 0; i < pl->series_count; i++)
            if (pl->series[i].n) series_table(t, pl, &pl->series[i]);
        details_end(t);
    }
    RAW(t, "</figure>");
}

void put_tank(text *t, const tank_picture *picture)
{
    RAW(t, "<figure class=\"tank\">");
    tank_picture_svg(picture, t, TANK_W, TANK_H);
    RAW(t, "<figcaption>");
    put_html(t, picture->title);
    RAW(t, "</figcaption></figure>");
}

/* ---- links ---- */

static void link_begin(text *t, const char *to)
{
    RAW(t, "<a href=\"");
    put_html(t, to);
}

static void link_end(text *t, const char *words)
{
    RAW(t, "\">");
    put_html(t, words);
    RAW(t, "</a>");
}

void put_link(text *t, const char *to, const char *words)
{
    link_begin(t, to);
    link_end(t, words);
}

void put_id_link(text *t, const char *path, const char *name, long long id, const char *words)
{
    link_begin(t, path);
    text_addf(t, "?%s=%lld", name, id);
    link_end(t, words);
}

void put_heater_link(text *t, int64_t id, const char *label) { put_id_link(t, "/heater", "id", id, label); }

void put_why_link(text *t, const char *key, const char *words)
{
    link_begin(t, "/explain?what=");
    put_query(t, key);
    link_end(t, words);
}

void put_document_link(text *t, const char *document, const char *name, long long id, const char *words)
{
    link_begin(t, "/paper?document=");
    put_query(t, document);
    if (name) text_addf(t, "&amp;%s=%lld", name, id);
    link_end(t, words);
}
