/* The house card: the columns of the import as rooms to write in, one heater a side. */
#include <string.h>

#include "edge/desk/card.h"
#include "edge/paper/document.h"

/* "no, yes" -> boxes to tick. */
static void put_choices(text *t, const char *choices)
{
    text_add(t, "\n");
    for (const char *s = choices; *s; s += strspn(s, ", ")) {
        size_t n = strcspn(s, ",");
        text_addf(t, "\xE2\x98\x90 %.*s  ", (int)n, s);
        s += n;
    }
}

/* What the import asks for, its name there, and what the book knows already. */
static void rooms(paper *p, const char *heading, const card_group *g, size_t columns, double height)
{
    text line[CARD_MOST] = {{0}};
    const char *names[CARD_MOST];
    for (size_t i = 0; i < g->n; i++) {
        const card_field *f = &g->field[i];
        text_addf(&line[i], "%s [%s]", f->what, f->header);
        if (f->choices[0]) put_choices(&line[i], f->choices);
        if (f->known[0]) text_addf(&line[i], "\nbook: %s", f->known);
        names[i] = text_str(&line[i]);
    }
    paper_strong(p, heading);
    paper_fields(p, columns, height, g->n, names);
    for (size_t i = 0; i < g->n; i++) text_free(&line[i]);
}

tufa_code document_card(const document_ask *ask, paper *p, trouble_note *note)
{
    card_answer a;
    tufa_code code = desk_card(ask->d, ask->name, &a, ask->near, note);
    if (code != TUFA_OK) return code;
    document_named(ask, p, "House card", a.label);
    paper_type(p, 11.0, 8.5);
    paper_strong(p, a.label[0] ? paper_named(p) : "House card: one heater, filled in standing before it");
    paper_small(p, "Write what you see: 50, \"about 50\", \"40..60\", or ? for not known. An empty room says nothing. No cover comes off for this card. Smell of "
                   "gas, a CO alarm, steam at the relief pipe or a tingle at a tap: leave, and call from outside.");
    rooms(p, "House", &a.house, 4, 23.0);
    rooms(p, "Heater", &a.heater, 4, 23.0);
    rooms(p, "Who lives there", &a.household, 4, 23.0);
    rooms(p, "Read on the same visit, where there is time", &a.finding, 4, 23.0);
    paper_small(p, "Into the book: type a line for each card under the names in [brackets], then `tufa book import FILE.csv`; `tufa book export heaters --blank` prints the line of names.");
    return TUFA_OK;
}
