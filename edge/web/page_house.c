/* One house: its heaters, its water, and what is known of it. */
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/roll.h"
#include "edge/desk/set.h"
#include "edge/desk/thing_facts.h"
#include "edge/web/page.h"

static void put_house_heaters(page *p, const roll *r)
{
    put_heading(p->out, "Its heaters");
    if (r->heaters == 0) put_paragraph(p->out, "None in service.");
    RAW(p->out, "<ul>");
    for (size_t i = 0; i < r->heaters; i++) {
        RAW(p->out, "<li>");
        put_heater_link(p->out, r->heater[i].id, r->heater[i].label);
        RAW(p->out, ", ");
        put_html(p->out, r->heater[i].words);
        RAW(p->out, "</li>");
    }
    RAW(p->out, "</ul>");
}

static tufa_status put_fields(page *p, int64_t id)
{
    static const char *const heads[] = {"What", "Known as", "From", NULL};
    thing_line line[THING_LINES];
    size_t n;
    RETURN_IF(desk_thing_lines(p->d, THING_HOUSE, id, line, &n));
    put_heading(p->out, "What is known of it");
    table_begin(p->out, "Known of this house", false, heads);
    for (size_t i = 0; i < n; i++) {
        row_begin(p->out);
        cell_head(p->out, line[i].field->what);
        cell(p->out, line[i].value[0] ? line[i].value : "not known");
        cell(p->out, line[i].from);
        row_end(p->out);
    }
    table_end(p->out);
    return OK;
}

static void put_house_form(page *p, int64_t id)
{
    enum { MOST = 40 };
    pick picks[MOST];
    static char names[MOST][48]; /* the same every time: names of the table of fields */
    size_t n, k = 0;
    const field_row *f = thing_fields(THING_HOUSE, &n);
    picks[k++] = (pick){"people", "how many people live there, from today on"};
    for (size_t i = 0; i < n && k < MOST; i++, k++) {
        snprintf(names[k], sizeof names[k], "%.*s", (int)strcspn(f[i].names, "|"), f[i].names);
        picks[k] = (pick){names[k], f[i].what};
    }
    RAW(p->out, "<h3 id=\"correct\">Correct one thing</h3>");
    put_form(p, "/house");
    put_hidden_id(p, "id", id);
    put_select(p, "field", "What", picks, k, "people", NULL);
    put_input(p, "value", "As it is", "", "A figure with or without its unit, \"about 10\", \"8..12\", a name, or ? where nobody knows");
    put_form_end(p, "Keep it");
}

tufa_status page_house(page *p)
{
    int64_t id;
    roll r;
    house_rec house;
    RETURN_IF(page_id(p, "id", &id));
    RETURN_IF(desk_house(p->d, id, &r, &house));
    page_keep(p);
    page_title(p, house.label);
    text w = {0};
    if (r.houses) {
        text_addf(&w, "On the street %s; its water is %s.", r.house[0].street[0] ? r.house[0].street : "that nobody gave",
                  r.house[0].water[0] ? r.house[0].water : "not said");
        put_paragraph_words(p->out, &w);
    }
    text_free(&w);
    put_house_heaters(p, &r);
    roll_free(&r);
    RETURN_IF(put_fields(p, id));
    put_house_form(p, id);
    return OK;
}

tufa_status take_house(page *p)
{
    int64_t id;
    set_answer s;
    char to[64], label[STORE_LABEL];
    RETURN_IF(page_id(p, "id", &id));
    RETURN_IF(store_thing_label(p->d->s, THING_HOUSE, id, label));
    if (!page_field(p, "value")[0]) {
        note_set(&p->note, TUFA_MISSING, "value", "", "", "say what it is; ? where nobody knows");
        return page_noted(p, TUFA_MISSING);
    }
    tufa_code code = desk_set_house(p->d, id, page_field(p, "field"), page_field(p, "value"), &s, &p->note);
    if (code != TUFA_OK) {
        snprintf(p->note.field, sizeof p->note.field, "value");
        return page_noted(p, code);
    }
    text words = {0};
    text_addf(&words, "Kept: %s of %s is %s.", s.field, label, s.after.len ? text_str(&s.after) : "not known");
    snprintf(to, sizeof to, "/house?id=%lld", (long long)id);
    page_go_saying(p, to, text_str(&words));
    text_free(&words);
    set_answer_free(&s);
    return OK;
}
