/* The record of one heater: facts with day and source, nothing advised. */
#include "edge/desk/record.h"

#include "edge/paper/document.h"
#include "edge/say/call.h"

enum { COLUMNS = 4 };

typedef struct part_cells {
    const record_line *line;
    text cell;
} part_cells;

static const char *cell(void *ctx, size_t r, size_t c)
{
    part_cells *x = ctx;
    const record_line *l = &x->line[r];
    text_clear(&x->cell);
    switch (c) {
    case 0:
        say_day(&x->cell, l->day);
        if (!l->entered) break;
        text_add(&x->cell, "\nwritten ");
        say_clock(&x->cell, l->entered);
        break;
    case 1: text_add(&x->cell, l->what); break;
    case 2:
        text_add(&x->cell, l->said);
        if (!l->stands) text_addf(&x->cell, "%s(%s)", l->said[0] ? " " : "", l->part == RECORD_CALLS ? "taken back later" : "corrected by a later line");
        break;
    default: text_add(&x->cell, l->source); break;
    }
    return text_str(&x->cell);
}

tufa_code document_record(const document_ask *ask, paper *p, trouble_note *note)
{
    static const char *const HEADS[COLUMNS] = {"Day", "What", "Said, read or done", "Source"};
    static const double SHARES[COLUMNS] = {0.16, 0.26, 0.38, 0.20};
    record_answer a;
    text w = {0};
    tufa_code code = desk_record(ask->d, ask->name, &a, ask->near, note);
    if (code != TUFA_OK) return code;
    document_named(ask, p, "Heater record", a.label);
    text_addf(&w, "%s. Taken from the book of the owner on ", paper_named(p));
    say_day(&w, ask->d->today);
    text_add(&w, " by tufa.");
    paper_name(p, paper_named(p), text_str(&w));
    text_clear(&w);
    paper_type(p, 9.5, 8.5);
    paper_title(p, paper_named(p));
    text_addf(&w, "What the book holds of this heater in the house %s, taken from it on ", a.house);
    say_day(&w, ask->d->today);
    text_add(&w, ". Each line has the day it is about and who or what it comes from; lines that were corrected or taken back stay and say so. "
                 "Calls show when their lines were written down. Values may be a middle with a likely range (8 times in 10). Nothing here is advice or judgement.");
    paper_words(p, paper_para, &w);
    for (size_t i = 0, end; i < a.n; i = end) {
        for (end = i; end < a.n && a.line[end].part == a.line[i].part; end++) {}
        part_cells x = {.line = &a.line[i]};
        paper_heading(p, record_part_words(a.line[i].part));
        paper_table(p, COLUMNS, HEADS, SHARES, end - i, cell, &x);
        text_free(&x.cell);
    }
    paper_space(p, 18.0);
    paper_blank(p, "Day, name and signature of the one who kept the book", 1.0);
    record_free(&a);
    return TUFA_OK;
}
