/* tufa-docs PAGE: prints a page of docs/ that is made from a table. The tests compare, tools/docs.sh writes. */
#include <stdio.h>
#include <string.h>

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

static const struct {
    const char *name;
    void (*print)(void);
} PAGES[] = {{"sources", sources}};

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
