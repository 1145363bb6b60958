/* Prices, lives and whatever else is assumed: from where and when, each to be changed and set back. */
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/effect.h"
#include "edge/desk/settings.h"
#include "edge/web/page.h"

/* ---- prices and lives ---- */

static tufa_status put_item(page *p, size_t i, const price_item *it, text *w)
{
    price_rec now;
    text standard = {0};
    tufa_status st = store_price_now(p->d->s, it->key, &now);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    price_say(i, p->d->units, st.code == TUFA_OK ? now.value : it->standard, w);
    price_say(i, p->d->units, it->standard, &standard);
    bool yours = st.code == TUFA_OK && strcmp(text_str(w), text_str(&standard)) != 0;
    row_begin(p->out);
    cell_head(p->out, it->what);
    cell_figure_words(p->out, w);
    if (yours) {
        text_addf(w, "%s, ", now.source);
        say_day(w, now.day);
        text_addf(w, "; the default is %s", text_str(&standard));
    } else {
        text_addf(w, "default: %s%s%s", it->source, it->from[0] ? ", " : "", it->from);
    }
    cell_words(p->out, w);
    RAW(p->out, "<td><a href=\"/assumptions?item=");
    put_query(p->out, it->key);
    RAW(p->out, "#change\">change<span class=\"unseen\"> ");
    put_html(p->out, it->what);
    RAW(p->out, "</span></a></td>");
    row_end(p->out);
    text_free(&standard);
    return OK;
}

/* Prices and lives, or what is usual of heaters, houses and households. */
static tufa_status put_items(page *p, const char *title, bool usual)
{
    static const char *const heads[] = {"What", "=Taken as", "From", "", NULL};
    text w = {0};
    price_item it;
    tufa_status st = OK;
    RAW(p->out, "<div class=\"slim\">");
    table_begin(p->out, title, false, heads);
    for (size_t i = 0; st.code == TUFA_OK && price_item_at(i, &it); i++)
        if (price_item_usual(i) == usual) st = put_item(p, i, &it, &w);
    table_end(p->out);
    RAW(p->out, "</div>");
    text_free(&w);
    return st;
}

static tufa_status put_change_form(page *p)
{
    enum { MOST = 128 };
    pick picks[MOST];
    price_item it;
    size_t n = 0, item;
    char why[200];
    text value = {0}, allowed = {0};
    for (; n < MOST && price_item_at(n, &it); n++) picks[n] = (pick){it.key, it.what};
    const char *chosen = page_field(p, "item");
    if (chosen[0] && price_find(chosen, &item, why, sizeof why)) {
        tufa_value v;
        RETURN_IF(price_get(p->d->s, item, &v));
        price_write(item, v, &value);
        price_allowed(item, &allowed);
    }
    RAW(p->out, "<h3 id=\"change\">Change one of them</h3>");
    put_paragraph(p->out, "A figure, \"about 40\" or a range such as 30..50; dollars where dollars are meant, else the unit in which it is told here. What "
                          "it was before stays in the book.");
    put_form(p, "/assumptions");
    put_select(p, "item", "What", picks, n, "own_hour_usd", NULL);
    put_input(p, "value", "Taken as", text_str(&value), allowed.len ? text_str(&allowed) : NULL);
    put_submit(p, "Keep it");
    put_button(p, "back", "yes", "Set it back to the default");
    put_form_end(p, NULL);
    text_free(&allowed);
    text_free(&value);
    return OK;
}

tufa_status page_assumptions(page *p)
{
    page_keep(p);
    put_paragraph(p->out, "Every figure of this desk rests on what you said and on these. Where one is wrong for your district, change it here: "
                          "every page is worked out anew.");
    put_heading(p->out, "Prices and lives");
    RETURN_IF(put_items(p, "Prices and lives", false));
    put_heading(p->out, "Usual in your houses");
    put_paragraph(p->out, "Taken of a heater, a house or a household as long as nobody says otherwise. What is said of one of them comes first, then what you say "
                          "here of all, then the default. Heights and widths of a tank follow from what it holds.");
    RETURN_IF(put_items(p, "Usual in your houses", true));
    RETURN_IF(put_change_form(p));
    RAW(p->out, "<p>");
    put_link(p->out, "/explain", "Where the numbers come from, one by one");
    RAW(p->out, "</p>");
    return OK;
}

static void say_change(text *t, const set_answer *s, const set_effect *e)
{
    text_addf(t, "%s is now %s; before: %s.", s->label, text_str(&s->after), text_str(&s->before));
    if (s->same) text_add(t, " The book said so already.");
    if (e->compared && e->n == 0 && !s->same) text_add(t, " It changes no proposal of this year.");
    for (size_t i = 0; i < e->n; i++) text_addf(t, "\n%s: %s (before: %s).", e->line[i].what, e->line[i].after, e->line[i].before);
    if (e->more) text_addf(t, "\nAnd for %zu more heaters.", e->more);
}

tufa_status take_assumption(page *p)
{
    set_answer s;
    set_effect e;
    const char *value = page_field(p, "back")[0] ? "?" : page_field(p, "value");
    if (!value[0]) {
        note_set(&p->note, TUFA_MISSING, "value", "", "", "say what it is, or set it back to the default");
        return page_noted(p, TUFA_MISSING);
    }
    tufa_code code = desk_set_told(p->d, "price", page_field(p, "item"), value, &s, &e, NULL, &p->note);
    if (code != TUFA_OK) {
        snprintf(p->note.field, sizeof p->note.field, "%s", strcmp(p->note.field, "price") == 0 ? "item" : "value");
        return page_noted(p, code);
    }
    text words = {0};
    say_change(&words, &s, &e);
    page_go_saying(p, "/assumptions", text_str(&words));
    text_free(&words);
    set_answer_free(&s);
    return OK;
}
