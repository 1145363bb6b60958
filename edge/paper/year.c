/* The year plan: a letter, then street by street. */
#include "edge/desk/letter.h"
#include "edge/desk/words.h"
#include "edge/paper/document.h"

enum { COLUMNS = 6 };

typedef struct street_cells {
    const year_answer *y;
    const year_street *s;
    text cell;
} street_cells;

static const char *cell(void *ctx, size_t r, size_t c)
{
    street_cells *x = ctx;
    const year_row *row = &x->y->row[x->s->first + r];
    text_clear(&x->cell);
    switch (c) {
    case 0:
        text_addf(&x->cell, "%s\n%s, ", label_on_street(row), fuel_word(row->fuel));
        say_age(&x->cell, row);
        break;
    case 1: text_add(&x->cell, tufa_choice_at(row->choice)->what); break;
    case 2:
        text_add(&x->cell, row->why);
        if (fits_to_say(row) || row->other != TUFA_CHOICE_LEAVE) text_add(&x->cell, ". ");
        say_fits(&x->cell, row, x->y->units);
        if (fits_to_say(row)) text_add(&x->cell, " ");
        say_other_kind(&x->cell, row);
        break;
    case 3: say_due(&x->cell, row, x->y->today); break;
    case 4: say_usd_band(&x->cell, &row->done_usd); break;
    default: say_usd_band(&x->cell, &row->left_usd); break;
    }
    return text_str(&x->cell);
}

static void street(paper *p, const year_answer *y, const year_street *s)
{
    static const char *const HEADS[COLUMNS] = {"Heater", "This year", "Why", "At the latest", "If done", "If left"};
    static const double SHARES[COLUMNS] = {0.13, 0.15, 0.39, 0.11, 0.11, 0.11};
    street_cells x = {.y = y, .s = s};
    text w = {0};
    text_add(&w, s->name[0] ? s->name : "No street given");
    if (s->visits) {
        text_add(&w, ": ");
        say_count(&w, s->visits, "visit", "visits");
        text_add(&w, " on one drive, ");
        say_number(&w, s->hours, 2);
        text_add(&w, " h of work, ");
        say_usd(&w, s->spend_usd);
    }
    paper_words(p, paper_heading, &w);
    paper_table(p, COLUMNS, HEADS, SHARES, s->n, cell, &x);
    text_free(&x.cell);
}

static void words(paper *p, void (*say)(text *t, const year_answer *a), const year_answer *y)
{
    text w = {0};
    say(&w, y);
    paper_words(p, paper_para, &w);
}

tufa_code document_year(const document_ask *ask, paper *p, trouble_note *note)
{
    year_answer own;
    const year_answer *y = &own;
    year_ask how = {0};
    text w = {0};
    bool kept = ask->year && ask->year(ask->ctx, &y).code == TUFA_OK;
    if (!kept) y = &own;
    tufa_status st = kept ? (tufa_status){.code = TUFA_OK} : desk_year(ask->d, &how, &own);
    if (st.code != TUFA_OK) return document_fail(note, st);
    document_named(ask, p, "Year plan", "");
    paper_type(p, 9.5, 8.5);
    text_add(&w, "Year plan, made on ");
    say_day(&w, y->today);
    paper_words(p, paper_title, &w);
    words(p, say_year_letter, y);
    for (size_t i = 0; i < y->streets; i++) street(p, y, &y->street[i]);
    words(p, say_how_counted, y);
    words(p, say_what_is_missing, y);
    words(p, say_houses_to_ask, y);
    say_not_considered(&w);
    paper_words(p, paper_para, &w);
    say_law(&w);
    paper_words(p, paper_para, &w);
    if (!kept) year_free(&own);
    return TUFA_OK;
}
