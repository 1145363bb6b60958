/* A contractor's quote reviewed, to take along to the talk with him. */
#include "edge/desk/quote.h"

#include <string.h>

#include "edge/desk/letter.h"
#include "edge/desk/words.h"
#include "edge/paper/document.h"

enum { COLUMNS = 5, ROOM = 400 };

/* Lines may come one by one, or several parted by ; or line ends. */
typedef struct quote_lines {
    char room[QUOTE_MOST_LINES][ROOM];
} quote_lines;

static tufa_code take_lines(const document_ask *ask, quote_ask *q, quote_lines *l, trouble_note *note)
{
    const char *s;
    for (int i = 0; (s = document_option_again(ask, "line", i)) != NULL; i++)
        for (s += strspn(s, "; \r\n"); *s; s += strspn(s, "; \r\n")) {
            size_t n = strcspn(s, ";\r\n");
            if (q->lines == QUOTE_MOST_LINES || n >= ROOM) {
                note_set(note, TUFA_RANGE, "line", s, "at most 24 lines of 400 letters", "this is more than one quote holds");
                return TUFA_RANGE;
            }
            snprintf(l->room[q->lines], ROOM, "%.*s", (int)n, s);
            q->line[q->lines] = l->room[q->lines];
            q->lines++;
            s += n;
        }
    return TUFA_OK;
}

static tufa_code take_unsafe(const document_ask *ask, quote_ask *q, trouble_note *note)
{
    const char *s;
    for (int i = 0; (s = document_option_again(ask, "unsafe", i)) != NULL; i++) {
        if (strcmp(s, "limit") == 0) q->limit = "yes";
        else if (strcmp(s, "flue") == 0) q->flue = "yes";
        else {
            note_set(note, TUFA_UNKNOWN, "unsafe", s, "limit, flue", "this was not understood");
            return TUFA_UNKNOWN;
        }
    }
    return TUFA_OK;
}

static void put(paper *p, void (*how)(paper *p, const char *s), const quote_answer *a, void (*say)(text *t, const quote_answer *a))
{
    text w = {0};
    say(&w, a);
    paper_words(p, how, &w);
}

static void caution(paper *p, const char *s) { paper_caution(p, "Before the money:", s); }

typedef struct line_cells {
    const quote_answer *a;
    tufa_quote_line line[TUFA_LINE_COUNT];
    size_t n;
    text cell;
} line_cells;

static const char *cell(void *ctx, size_t r, size_t c)
{
    line_cells *x = ctx;
    tufa_quote_line l = x->line[r];
    text_clear(&x->cell);
    switch (c) {
    case 0: text_add(&x->cell, tufa_quote_line_at(l)->what); break;
    case 1:
        if (x->a->in.line_usd[l] >= 0.0) say_usd(&x->cell, x->a->in.line_usd[l]);
        else text_add(&x->cell, "-");
        break;
    case 2: text_add(&x->cell, x->a->q.line_mark[l] == TUFA_MARK_NO_RANGE ? "" : quote_mark_word(x->a->q.line_mark[l])); break;
    case 3: say_quote_line_range(&x->cell, x->a, l); break;
    default: say_quote_line_note(&x->cell, x->a, l); break;
    }
    return text_str(&x->cell);
}

static void lines(paper *p, const quote_answer *a)
{
    static const char *const HEADS[COLUMNS] = {"Line", "Asked", "That is", "Usual", "What to make of it"};
    static const double SHARES[COLUMNS] = {0.30, 0.10, 0.10, 0.18, 0.32};
    line_cells x = {.a = a};
    if (!(a->q.lines_usd > 0.0)) return;
    for (int l = 0; l < TUFA_LINE_COUNT; l++)
        if (quote_line_matters(a, (tufa_quote_line)l)) x.line[x.n++] = (tufa_quote_line)l;
    paper_heading(p, "Line by line");
    paper_table(p, COLUMNS, HEADS, SHARES, x.n, cell, &x);
    text_free(&x.cell);
}

static void questions(paper *p, const quote_answer *a)
{
    text w = {0};
    if (a->q.asks == 0) return;
    paper_heading(p, "To ask, or to read yourself");
    for (size_t k = 0; k < a->q.asks; k++) {
        char number[24];
        snprintf(number, sizeof number, "%zu", k + 1);
        say_quote_ask(&w, a, k);
        paper_step(p, number, NULL, text_str(&w), "");
        text_clear(&w);
    }
    text_free(&w);
}

static void whole(const document_ask *ask, paper *p, const quote_answer *a)
{
    text w = {0};
    document_named(ask, p, "Quote review", a->from_book ? a->label : "");
    paper_type(p, 10.0, 9.0);
    paper_title(p, paper_named(p));
    put(p, caution, a, say_quote_danger);
    put(p, paper_strong, a, say_quote_first);
    put(p, paper_para, a, say_quote_worth);
    put(p, paper_para, a, say_quote_usual);
    put(p, paper_para, a, say_quote_fits);
    put(p, paper_para, a, say_quote_warranty);
    put(p, paper_para, a, say_quote_kind);
    put(p, paper_para, a, say_quote_treatment);
    lines(p, a);
    questions(p, a);
    put(p, paper_para, a, say_quote_rests_on);
    say_law(&w);
    paper_words(p, paper_para, &w);
}

tufa_code document_quote(const document_ask *ask, paper *p, trouble_note *note)
{
    quote_lines l;
    quote_answer a;
    quote_ask q = {.heater = ask->name[0] ? ask->name : NULL, .fuel = document_option(ask, "fuel"), .age = document_option(ask, "age"),
                   .volume = document_option(ask, "volume"), .hardness = document_option(ask, "hardness"), .price = document_option(ask, "price"),
                   .warranty = document_option(ask, "warranty"), .work = document_option(ask, "for"), .part = document_option(ask, "part"),
                   .offered = document_option(ask, "offered"), .offered_volume = document_option(ask, "offered-volume"), .first_hour = document_option(ask, "first-hour"),
                   .leaking = document_option(ask, "leaking"), .myself = document_option(ask, "myself")};
    tufa_code code = take_lines(ask, &q, &l, note);
    if (code == TUFA_OK) code = take_unsafe(ask, &q, note);
    if (code == TUFA_OK) code = desk_quote(ask->d->s ? ask->d : NULL, ask->d->today, &q, &a, ask->near, note);
    if (code == TUFA_OK) whole(ask, p, &a);
    return code;
}
