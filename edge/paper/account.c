/* The account of a year. */
#include "edge/desk/account.h"

#include <string.h>

#include "edge/paper/document.h"
#include "edge/say/day.h"

enum { COLUMNS = 6 };

typedef struct house_cells {
    const account_answer *a;
    const account_house *h;
    text cell;
} house_cells;

static void what(text *t, const account_row *r)
{
    if (r->heater_label[0] && strcmp(r->heater_label, r->label) != 0) text_addf(t, "%s: ", r->heater_label);
    text_add(t, r->what);
    if (r->who[0]) text_addf(t, "; paid to %s", r->who);
    if (r->about) text_add(t, "; said only roughly");
    if (r->receipt[0]) text_addf(t, "; receipt: %s", r->receipt);
}

/* The row behind the last is the sum of the house. */
static const char *cell(void *ctx, size_t r, size_t c)
{
    house_cells *x = ctx;
    text *t = &x->cell;
    text_clear(t);
    bool sum = r == x->h->n;
    const account_row *row = sum ? NULL : &x->a->row[x->h->first + r];
    switch (c) {
    case 0:
        if (row) say_day(t, row->day);
        break;
    case 1: text_add(t, sum ? "" : row->visit ? "visit" : expense_kind_words(row->kind)); break;
    case 2:
        if (row) what(t, row);
        else text_add(t, "together");
        break;
    case 3:
        if (sum || row->has_cents) say_cents(t, sum ? x->h->sum.cents : row->cents);
        break;
    case 4:
        if (sum || row->has_time) say_hours_minutes(t, sum ? x->h->sum.minutes : row->minutes);
        if (sum || row->has_road) text_add(t, t->len ? " h, " : ""), say_tenth_miles(t, sum ? x->h->sum.tenth_miles : row->tenth_miles), text_add(t, " mi");
        else if (t->len) text_add(t, " h");
        break;
    default:
        if (row) text_addf(t, "%s, %s %lld", expense_mark_id(row->mark), row->visit ? "visit" : "row", (long long)row->id);
        break;
    }
    return text_str(t);
}

static void house(paper *p, const account_answer *a, const account_house *h)
{
    static const char *const HEADS[COLUMNS] = {"Day", "Kind", "What", "Paid", "Own time, road", "Marked, number"};
    static const double SHARES[COLUMNS] = {0.13, 0.14, 0.33, 0.11, 0.14, 0.15};
    house_cells x = {.a = a, .h = h};
    paper_heading(p, h->house ? h->label : "For all houses");
    paper_table(p, COLUMNS, HEADS, SHARES, h->n + 1, cell, &x);
    text_free(&x.cell);
}

typedef struct sum_cells {
    struct {
        const char *name;
        text value;
    } row[EXPENSE_COUNT + MARK_COUNT + 3];
    size_t n;
} sum_cells;

static text *sum_row(sum_cells *s, const char *name)
{
    s->row[s->n].name = name;
    return &s->row[s->n++].value;
}

static const char *sum_cell(void *ctx, size_t r, size_t c)
{
    const sum_cells *s = ctx;
    return c == 0 ? s->row[r].name : text_str(&s->row[r].value);
}

static void sums(paper *p, const account_sum *s)
{
    static const double SHARES[] = {0.5, 0.5};
    sum_cells x = {0};
    say_cents(sum_row(&x, "Paid"), s->cents);
    say_hours_minutes(sum_row(&x, "Own time, hours and minutes"), s->minutes);
    say_tenth_miles(sum_row(&x, "Miles"), s->tenth_miles);
    for (int m = 0; m < MARK_COUNT; m++) say_cents(sum_row(&x, expense_mark_id((expense_mark)m)), s->mark_cents[m]);
    for (int k = 0; k < EXPENSE_COUNT; k++)
        if (s->kind_cents[k]) say_cents(sum_row(&x, expense_kind_words((expense_kind)k)), s->kind_cents[k]);
    paper_table(p, 2, NULL, SHARES, x.n, sum_cell, &x);
    for (size_t i = 0; i < x.n; i++) text_free(&x.row[i].value);
}

tufa_code document_account(const document_ask *ask, paper *p, trouble_note *note)
{
    account_answer a;
    char year[16];
    int y, m, d;
    text w = {0};
    ymd_from_day(ask->d->today, &y, &m, &d);
    snprintf(year, sizeof year, "%d", y);
    tufa_code code = desk_account(ask->d, ask->name[0] ? ask->name : year, &a, note);
    if (code != TUFA_OK) return code;
    snprintf(year, sizeof year, "%d", a.year);
    document_named(ask, p, "Account", year);
    paper_type(p, 9.5, 8.5);
    text_addf(&w, "Account of %d", a.year);
    paper_words(p, paper_title, &w);
    if (a.rows == 0) {
        text_addf(&w, "Nothing stands in the book for %d.", a.year);
        paper_words(p, paper_para, &w);
    }
    for (size_t i = 0; i < a.houses; i++) house(p, &a, &a.house[i]);
    text_addf(&w, "All of %d", a.year);
    paper_words(p, paper_heading, &w);
    sums(p, &a.sum);
    say_account_remarks(&w, &a);
    paper_words(p, paper_para, &w);
    say_account_foot(&w);
    paper_words(p, paper_para, &w);
    account_free(&a);
    return TUFA_OK;
}
