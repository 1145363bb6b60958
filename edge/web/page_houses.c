/* Houses and their heaters, all or those that a few words fit; and a new heater put down. */
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/roll.h"
#include "edge/desk/row.h"
#include "edge/web/page.h"

enum { MOST_SHOWN = 200 }; /* more than that are shown street by street */

static void put_heaters(text *t, const roll *r, const roll_house *h)
{
    RAW(t, "<td>");
    for (size_t i = 0; i < h->n; i++) {
        const roll_heater *e = &r->heater[h->first + i];
        RAW(t, "<div>");
        put_heater_link(t, e->id, e->label);
        RAW(t, ", ");
        put_html(t, e->words);
        if (e->leaking) RAW(t, "; <strong>water was seen at its shell</strong>");
        RAW(t, "</div>");
    }
    if (h->n == 0) RAW(t, "<span class=\"soft\">no heater yet</span>");
    RAW(t, "</td>");
}

static void put_houses(page *p, const roll *r)
{
    static const char *const heads[] = {"House", "Its heaters", "Water", NULL};
    for (size_t i = 0; i < r->houses;) {
        const char *street = r->house[i].street;
        put_heading(p->out, street[0] ? street : "No street given");
        table_begin(p->out, street[0] ? street : "Houses without a street", false, heads);
        for (; i < r->houses && strcmp(r->house[i].street, street) == 0; i++) {
            const roll_house *h = &r->house[i];
            row_begin(p->out);
            RAW(p->out, "<th scope=\"row\">");
            put_id_link(p->out, "/house", "id", h->id, h->label);
            RAW(p->out, "</th>");
            put_heaters(p->out, r, h);
            cell(p->out, h->water[0] ? h->water : "not said");
            row_end(p->out);
        }
        table_end(p->out);
    }
}

/* A large book: the streets, each a search of its own. */
static void put_streets(page *p, const roll *r)
{
    static const char *const heads[] = {"Street", "=Houses", "=Heaters", NULL};
    text w = {0};
    put_paragraph(p->out, "Pick a street, or look for a part of a name above.");
    table_begin(p->out, "Streets", false, heads);
    for (size_t i = 0; i < r->houses;) {
        const char *street = r->house[i].street;
        size_t from = i, heaters = 0;
        for (; i < r->houses && strcmp(r->house[i].street, street) == 0; i++) heaters += r->house[i].n;
        row_begin(p->out);
        RAW(p->out, "<th scope=\"row\"><a href=\"/houses?look=");
        put_query(p->out, street);
        RAW(p->out, "\">");
        put_html(p->out, street[0] ? street : "No street given");
        RAW(p->out, "</a></th>");
        text_addf(&w, "%zu", i - from);
        cell_figure_words(p->out, &w);
        text_addf(&w, "%zu", heaters);
        cell_figure_words(p->out, &w);
        row_end(p->out);
    }
    table_end(p->out);
    text_free(&w);
}

static void put_count(page *p, const roll *r, const char *look)
{
    text w = {0};
    if (look[0]) {
        text_addf(&w, "\"%s\" fits ", look);
        say_count(&w, r->heaters, "heater", "heaters");
        text_add(&w, " in ");
        say_count(&w, r->houses, "house", "houses");
        text_addf(&w, ", of %zu in %zu.", r->all_heaters, r->all_houses);
    } else {
        say_count(&w, r->all_heaters, "heater", "heaters");
        text_add(&w, " in ");
        say_count(&w, r->all_houses, "house", "houses");
        text_add(&w, ".");
    }
    put_paragraph_words(p->out, &w);
    text_free(&w);
}

static void put_new_form(page *p)
{
    static const pick FUELS[] = {{"?", "don't know"}, {"electric", "electric"}, {"gas", "gas"}, {"propane", "propane"}};
    RAW(p->out, "<h2 id=\"new\">Put down a heater</h2>");
    put_paragraph(p->out, "A house and a fuel are enough. Everything else may be \"?\", \"about 10\" or \"8..12\"; what nobody knows is assumed, and "
                          "marked so.");
    put_form(p, "/houses");
    put_input(p, "house", "House", "", "As you call it, such as its street and number; a new one is added");
    put_input(p, "heater", "Heater, where the house has several", "", "Without a name it has that of its house");
    put_select(p, "fuel", "Fuel", FUELS, sizeof FUELS / sizeof FUELS[0], "?", NULL);
    put_input(p, "installed", "Age, or the year it was put in", "", "12, about 12, 2014, 2010..2016 or ?");
    put_input(p, "volume", p->d->units == UNITS_US ? "How many gallons it holds" : "How many litres it holds", "", NULL);
    put_input(p, "place", "Where in the house it stands", "", NULL);
    put_form_end(p, "Put it down");
}

tufa_status page_houses(page *p)
{
    const char *look = p->r->post ? "" : page_field(p, "look");
    roll r;
    RETURN_IF(desk_roll(p->d, look, &r));
    page_keep(p);
    put_ask_form(p, "/houses");
    put_input_of(p, "search", "look", "Look for", "", "A part of a name, a street, a fuel, a water, a place: ferry gas");
    put_form_end(p, "Look");
    put_count(p, &r, look);
    if (r.houses == 0 && r.all_houses == 0)
        RAW(p->out, "<p>Nothing is in this book yet. Put down a heater below, or <a href=\"/import\">take a table</a>.</p>");
    if (r.heaters > MOST_SHOWN && !look[0]) put_streets(p, &r);
    else put_houses(p, &r);
    roll_free(&r);
    put_new_form(p);
    return OK;
}

tufa_status take_heater(page *p)
{
    static const char *const FIELDS[] = {"house", "heater", "fuel", "installed", "volume", "place"};
    row_cell cells[sizeof FIELDS / sizeof FIELDS[0]];
    for (size_t i = 0; i < sizeof FIELDS / sizeof FIELDS[0]; i++) cells[i] = (row_cell){FIELDS[i], page_field(p, FIELDS[i])};
    if (!cells[0].value[0]) {
        note_set(&p->note, TUFA_MISSING, "house", "", "", "a heater stands in a house: say which");
        return page_noted(p, TUFA_MISSING);
    }
    const char *label = cells[1].value[0] ? cells[1].value : cells[0].value;
    int64_t id;
    if (desk_has(p->d, THING_HEATER, label)) {
        note_set(&p->note, TUFA_CONFLICT, cells[1].value[0] ? "heater" : "house", label, "", "the book has a heater of this name; give this one another");
        return page_noted(p, TUFA_CONFLICT);
    }
    tufa_code code = desk_row_take(p->d, "heaters", cells, sizeof cells / sizeof cells[0], "put down at the desk", &p->note);
    if (code != TUFA_OK) return page_noted(p, code);
    RETURN_IF(desk_named(p->d, THING_HEATER, label, &id));
    char to[64];
    snprintf(to, sizeof to, "/heater?id=%lld", (long long)id);
    page_go_saying(p, to, "Put down. What is not known yet is assumed; below stands what, and how to correct it.");
    return OK;
}
