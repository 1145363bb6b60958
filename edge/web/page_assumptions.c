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
    price_say(i, st.code == TUFA_OK ? now.value : it->standard, w);
    price_say(i, it->standard, &standard);
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

static tufa_status put_items(page *p)
{
    static const char *const heads[] = {"What", "=Taken as", "From", "", NULL};
    text w = {0};
    price_item it;
    tufa_status st = OK;
    put_heading(p->out, "Prices and lives");
    table_begin(p->out, "Prices and lives", false, heads);
    for (size_t i = 0; st.code == TUFA_OK && price_item_at(i, &it); i++) st = put_item(p, i, &it, &w);
    table_end(p->out);
    text_free(&w);
    return st;
}

static tufa_status put_change_form(page *p)
{
    enum { MOST = 64 };
    pick picks[MOST];
    price_item it;
    size_t n = 0, item;
    char why[200];
    text value = {0};
    for (; n < MOST && price_item_at(n, &it); n++) picks[n] = (pick){it.key, it.what};
    const char *chosen = page_field(p, "item");
    if (chosen[0] && price_find(chosen, &item, why, sizeof why)) {
        tufa_value v;
        RETURN_IF(price_get(p->d->s, item, &v));
        price_write(item, v, &value);
    }
    RAW(p->out, "<h3 id=\"change\">Change one of them</h3>");
    put_paragraph(p->out, "A figure, \"about 40\" or a range such as 30..50; dollars where dollars are meant. What it was before stays in the book.");
    put_form(p, "/assumptions");
    put_select(p, "item", "What", picks, n, "own_hour_usd", NULL);
    put_input(p, "value", "Taken as", text_str(&value), NULL);
    put_submit(p, "Keep it");
    put_button(p, "back", "yes", "Set it back to the default");
    put_form_end(p, NULL);
    text_free(&value);
    return OK;
}

/* ---- what is assumed of a heater ---- */

static void put_default(page *p, const tufa_value *v, const char *key, text *w)
{
    if (v->mid == 0.0 && v->lo == 0.0 && v->hi == 0.0) text_add(w, "-");
    else {
        quantity q = Q_NUMBER;
        static const struct {
            const char *end;
            quantity q;
        } BY_UNIT[] = {{"_W_K", Q_LOSS}, {"_W_m2", Q_HEAT_FLUX}, {"_m3", Q_VOLUME}, {"_K", Q_TEMPERATURE}, {"_m", Q_LENGTH}, {"_W", Q_POWER}, {"_share", Q_SHARE}};
        for (size_t i = 0; q == Q_NUMBER && i < sizeof BY_UNIT / sizeof BY_UNIT[0]; i++) {
            size_t n = strlen(key), m = strlen(BY_UNIT[i].end);
            if (n > m && strcmp(key + n - m, BY_UNIT[i].end) == 0) q = BY_UNIT[i].q;
        }
        if (q == Q_POWER && strncmp(key, "burner", 6) == 0) q = Q_BURNER;
        say_value(w, p->d->units, q, (tufa_value){v->mid, v->lo, v->hi, TUFA_BASIS_LEARNED});
    }
    cell_figure_words(p->out, w);
}

static void put_heater_defaults(page *p)
{
    static const char *const heads[] = {"What", "=Electric", "=Gas", "Why", "Source", NULL};
    text w = {0};
    put_heading(p->out, "Assumed of a heater as long as nobody says otherwise");
    put_paragraph(p->out, "Corrected for one heater at a time, on its own page.");
    table_begin(p->out, "Assumed of a heater", false, heads);
    for (int f = 0; f < TUFA_HEATER_FIELD_COUNT; f++) {
        const tufa_heater_field_row *r = tufa_heater_field_at((tufa_heater_field)f);
        row_begin(p->out);
        cell_head(p->out, r->what);
        put_default(p, &r->electric, r->key, &w);
        put_default(p, &r->gas, r->key, &w);
        cell(p->out, r->why);
        cell(p->out, tufa_source_at((size_t)r->source)->what);
        row_end(p->out);
    }
    table_end(p->out);
    text_free(&w);
}

tufa_status page_assumptions(page *p)
{
    page_keep(p);
    put_paragraph(p->out, "Every figure of this desk rests on what you said and on these. Where one is wrong for your district, change it here: "
                          "every page is worked out anew.");
    RETURN_IF(put_items(p));
    RETURN_IF(put_change_form(p));
    put_heater_defaults(p);
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
