/* tufa-docs PAGE: prints a page of docs/ that is made from a table. The tests compare, tools/docs.sh writes. */
#include <stdio.h>
#include <string.h>

#include "edge/desk/book.h"
#include "edge/desk/settings.h"
#include "edge/import/sheet.h"
#include "edge/desk/notice.h"
#include "edge/paper/document.h"
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
        price_say(i, UNITS_US, p.standard, &t);
        text_addf(&t, "%s%s | %s |\n", p.from[0] ? ", " : "", p.from, p.what);
    }
    text_print(&t, stdout);
    text_free(&t);
}

static const char *source_id(size_t i)
{
    const tufa_source *s = tufa_source_at(i);
    return s ? s->id : "";
}

/* Complaints, faults, readings and repairs of the fault stage. */
static void faults(void)
{
    printf("# Faults\n\nThe tables of `tufa fault` and `tufa call`, made from core/fault/ by tools/docs.sh. Shares, chances and money are judgement;\n"
           "the source is that of the row's reason or method. Local codes and licensed practice come first.\n\n## Complaints\n\n"
           "| id | as the tenant says it | source |\n|---|---|---|\n");
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++) {
        const tufa_complaint *r = tufa_fault_complaint_at(i);
        printf("| `%s` | %s | %s |\n", r->id, r->title, source_id(r->source));
    }
    printf("\n## Faults\n\n| id | fault | share of calls, electric | gas | within a factor of | missed costs | why this share | source |\n|---|---|---|---|---|---|---|---|\n");
    for (size_t i = 0; i < tufa_fault_count(); i++) {
        const tufa_fault_row *r = tufa_fault_at(i);
        printf("| `%s` | %s | %.3g | %.3g | %g | $%g | %s | %s |\n", r->id, r->title, r->share_electric, r->share_gas, r->share_factor,
               r->missed_usd, r->why, source_id(r->source));
    }
    printf("\n## Readings\n\n| id | reading | unit | minutes | hazard class | stops the work | source |\n|---|---|---|---|---|---|---|\n");
    for (size_t i = 0; i < tufa_fault_test_count(); i++) {
        const tufa_test *r = tufa_fault_test_at(i);
        printf("| `%s` | %s | %s | %g | %d | %s | %s |\n", r->id, r->title, r->unit, r->minutes, r->hazard_class, r->stops, source_id(r->source));
    }
    printf("\n## Repairs\n\n| id | repair | mends | minutes | part | closes with | who |\n|---|---|---|---|---|---|---|\n");
    for (size_t i = 0; i < tufa_fault_repair_count(); i++) {
        const tufa_repair *r = tufa_fault_repair_at(i);
        printf("| `%s` | %s | %s | %g to %g | $%g to $%g | %s | %s |\n", r->id, r->title, r->fixes, r->minutes_lo, r->minutes_hi, r->part_usd_lo,
               r->part_usd_hi, r->verify, r->who);
    }
    printf("\n## What may be known\n\n| id | what |\n|---|---|\n");
    for (size_t i = 0; i < tufa_fault_known_count(); i++) printf("| `%s` | %s |\n", tufa_fault_known_at(i)->id, tufa_fault_known_at(i)->title);
}

/* Documents on paper. */
static void papers(void)
{
    printf("# Papers\n\nDocuments as PDF, from the command line and from the page \"Paper\" of the desk. Made from edge/paper/documents.def by\n"
           "tools/docs.sh. Each command writes one file, named by `-o FILE` or after the document; an older PDF gives way, any other file\n"
           "stays, and there is never half a file. The same book on the same day gives the same bytes. Sheets are US Letter, or A4 by\n"
           "`tufa set setting paper A4`; units are those of the book. Nothing is clipped: what does not fit goes to the next page, and type\n"
           "is made a little smaller where that saves one. Letters of any script print for which a font is installed (DejaVu has Latin, Greek,\n"
           "Cyrillic and others, `./start --fonts` adds more); a text with letters that none has is named when the sheet is made. Cautions stand before the work they are about, in brief; `tufa visit plan` and the pages have them in full.\n\n"
           "| document | command | it shows |\n|---|---|---|\n");
    const document_row *d;
    for (size_t i = 0; (d = document_at(i)) != NULL; i++)
        printf("| %s | `tufa %s%s%s` | %s |\n", d->title, d->word, d->operands[0] ? " " : "", d->operands, d->what);
    for (size_t i = 0; (d = document_at(i)) != NULL; i++)
        if (d->more[0]) printf("\n**%s.** %s\n", d->title, d->more);
    printf("\n## The text of the notice\n\nIt is kept in the book and may be your own: `tufa notice text` prints it, `tufa notice text FILE` keeps another,\n"
           "`tufa notice text --usual` goes back. `tufa visit plan` has the same words. It makes no claim about what a law asks; how many days\n"
           "beforehand your town or lease wants is yours to look up and to set (`notice_days`), and tufa only counts them back from the day.\n\n"
           "| place | filled with |\n|---|---|\n");
    for (size_t i = 0; notice_place_at(i); i++) printf("| `{%s}` | %s |\n", notice_place_at(i)->name, notice_place_at(i)->what);
    printf("\n## Readings as branches\n\nThe sheet of a call holds its next reading, each result that can come out of it with its odds, and what that leads to: what it then is\n"
           "likely to be, what would be mended, or the reading after it. The second reading is the one that the call would ask after the\n"
           "likeliest result of the first, worked out by the same fault finder, and so the third. A result that is a range is stood for by what\n"
           "its likeliest fault would show. Whoever gets another result than the likeliest finds its next reading named in its line; entered\n"
           "by telephone (`tufa call read`), the call goes on from there.\n");
}

static const struct {
    const char *name;
    void (*print)(void);
} PAGES[] = {{"sources", sources}, {"columns", columns}, {"faults", faults}, {"papers", papers}};

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
