/* tufa-docs PAGE: prints a page of docs/ that is made from a table. The tests compare, tools/docs.sh writes. */
#include <stdio.h>
#include <string.h>

#include "edge/desk/book.h"
#include "edge/desk/settings.h"
#include "edge/import/sheet.h"
#include "tufa.h"

static void sources(void)
{
    printf("# Sources\n\nEvery number of the core names one of these. Made from core/base/sources.def by tools/docs.sh.\n\n"
           "| id | source | how far it was checked |\n|---|---|---|\n");
    for (size_t i = 0; i < tufa_source_count(); i++) {
        const tufa_source *s = tufa_source_at(i);
        printf("| %s | %s | %s |\n", s->id, s->what, s->verified);
    }
}

/* The tables that the book takes and gives. */
static void columns(void)
{
    text t = {0};
    text_add(&t, "# Columns\n\nThe tables that `tufa book import` takes and `tufa book export` gives, in the order in which they are taken. Made from\n"
                 "the tables of the program by tools/docs.sh. Another unit than the one shown may stand in the header (`volume_l`) or in a\n"
                 "cell (`190 L`). How values may be written: docs/book.md.\n");
    for (size_t i = 0; i < kind_count(); i++) {
        text_addf(&t, "\n## %s\n\nA row is %s.\n\n", kind_name(kind_at(i)), kind_what(kind_at(i)));
        kind_columns(kind_at(i), &t);
        if (kind_at(i) != kind_find("waters")) continue;
        text_add(&t, "\n");
        sheet_columns(&t);
    }
    text_add(&t, "\n## What may be priced\n\n| item | default | what it is |\n|---|---|---|\n");
    price_item p;
    for (size_t i = 0; price_item_at(i, &p); i++) {
        text_addf(&t, "| `%s` | ", p.key);
        price_say(i, p.standard, &t);
        text_addf(&t, "%s%s | %s |\n", p.from[0] ? ", " : "", p.from, p.what);
    }
    text_print(&t, stdout);
    text_free(&t);
}

static const struct {
    const char *name;
    void (*print)(void);
} PAGES[] = {{"sources", sources}, {"columns", columns}};

int main(int argc, char **argv)
{
    for (size_t i = 0; argc == 2 && i < sizeof PAGES / sizeof PAGES[0]; i++) {
        if (strcmp(argv[1], PAGES[i].name) != 0) continue;
        PAGES[i].print();
        return 0;
    }
    fprintf(stderr, "tufa-docs: which page? one of:");
    for (size_t i = 0; i < sizeof PAGES / sizeof PAGES[0]; i++) fprintf(stderr, " %s", PAGES[i].name);
    fprintf(stderr, "\n");
    return 2;
}
