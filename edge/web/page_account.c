/* The account of a year, and what is added to it. */
#include <stdio.h>
#include <string.h>

#include "edge/desk/account.h"
#include "edge/say/day.h"
#include "edge/web/page.h"

static void this_year(const page *p, char out[16])
{
    int y, m, d;
    ymd_from_day(p->d->today, &y, &m, &d);
    snprintf(out, 16, "%d", y);
}

static void put_sum_cells(page *p, const account_sum *s, text *w)
{
    say_cents(w, s->cents);
    cell_figure_words(p->out, w);
    say_hours_minutes(w, s->minutes);
    cell_figure_words(p->out, w);
    say_tenth_miles(w, s->tenth_miles);
    cell_figure_words(p->out, w);
}

static void put_row(page *p, const account_row *r, text *w)
{
    row_begin(p->out);
    say_day(w, r->day);
    cell_head(p->out, text_str(w));
    text_clear(w);
    if (r->heater_label[0] && strcmp(r->heater_label, r->label) != 0) text_addf(w, "%s: ", r->heater_label);
    text_add(w, r->what);
    if (r->who[0]) text_addf(w, "; paid to %s", r->who);
    if (r->about) text_add(w, "; said only roughly");
    cell_words(p->out, w);
    if (r->visit) text_addf(w, "visit %lld", (long long)r->id);
    else text_addf(w, "%s, row %lld", expense_kind_words(r->kind), (long long)r->id);
    cell_words(p->out, w);
    cell(p->out, expense_mark_id(r->mark));
    if (r->has_cents) say_cents(w, r->cents);
    cell_figure_words(p->out, w);
    if (r->has_time) say_hours_minutes(w, r->minutes);
    cell_figure_words(p->out, w);
    if (r->has_road) say_tenth_miles(w, r->tenth_miles);
    cell_figure_words(p->out, w);
    cell(p->out, r->receipt);
    row_end(p->out);
}

static void put_house(page *p, const account_answer *a, const account_house *h, text *w)
{
    static const char *const heads[] = {"Day", "What", "", "Marked", "=Paid", "=Hours", "=Miles", "Receipt or picture", NULL};
    const char *name = h->house ? h->label : "For all houses";
    put_heading(p->out, name);
    table_begin(p->out, name, false, heads);
    for (size_t k = 0; k < h->n; k++) put_row(p, &a->row[h->first + k], w);
    row_begin(p->out);
    cell_head(p->out, "Together");
    cell(p->out, "");
    cell(p->out, "");
    cell(p->out, "");
    put_sum_cells(p, &h->sum, w);
    cell(p->out, "");
    row_end(p->out);
    table_end(p->out);
}

static void put_all_sums(page *p, const account_answer *a, text *w)
{
    facts_begin(p->out);
    say_cents(w, a->sum.cents);
    put_fact_words(p->out, "Paid in all", w);
    for (int m = 0; m < MARK_COUNT; m++) {
        char name[40];
        snprintf(name, sizeof name, "of it %s", expense_mark_id((expense_mark)m));
        say_cents(w, a->sum.mark_cents[m]);
        put_fact_words(p->out, name, w);
    }
    say_hours_minutes(w, a->sum.minutes);
    put_fact_words(p->out, "Own hours", w);
    say_tenth_miles(w, a->sum.tenth_miles);
    put_fact_words(p->out, "Miles", w);
    facts_end(p->out);
}

static void put_add_form(page *p)
{
    static const pick KINDS[] = {{"", "as the rest tells"}, {"contractor", "contractor's bill"}, {"parts", "parts and materials"}, {"fee", "permit or fee"},
                                 {"own", "own hours and miles"}, {"other", "other"}};
    static const pick MARKS[] = {{"upkeep", "upkeep"}, {"repaired", "repaired"}, {"replaced", "replaced"}};
    put_heading(p->out, "Add to it");
    put_form(p, "/account");
    put_hidden(p, "year", page_field(p, "year"));
    put_input(p, "house", "House", "", "Its name or number; empty for what is for all of them (stock for the van)");
    put_input(p, "day", "Day", "", "2026-03-14; empty: today");
    put_input(p, "for", "What for", "", "new relief valve");
    put_input(p, "paid", "Paid, dollars", "", NULL);
    put_input(p, "to", "Paid to", "", NULL);
    put_input(p, "hours", "Own hours", "", "1.5; visits bring theirs with them");
    put_input(p, "miles", "Miles", "", NULL);
    put_input(p, "receipt", "Receipt or picture", "", "Where it is: a file, a number, a folder");
    put_select(p, "kind", "What it was", KINDS, 6, "", NULL);
    put_select(p, "mark", "Marked as", MARKS, 3, "repaired", NULL);
    put_input(p, "corrects", "Takes the place of row", "", "The number of a row that was wrong; it stays in the book. Empty for a new one.");
    put_form_end(p, "Keep it");
}

static void put_years(page *p, int year)
{
    char to[80], words[16];
    RAW(p->out, "<p>");
    for (int y = year - 1; y <= year + 1; y += 2) {
        snprintf(to, sizeof to, "/account?year=%d", y);
        snprintf(words, sizeof words, "%d", y);
        put_link(p->out, to, words);
        RAW(p->out, ", ");
    }
    snprintf(to, sizeof to, "/account?year=%d&csv=1", year);
    put_link(p->out, to, "as a table for spreadsheets (CSV)");
    RAW(p->out, ", ");
    snprintf(to, sizeof to, "/paper?document=account%%20paper&year=%d", year);
    put_link(p->out, to, "on paper (PDF)");
    RAW(p->out, "</p>");
}

static void put_account(page *p, const account_answer *a)
{
    char title[40];
    text w = {0};
    snprintf(title, sizeof title, "Account of %d", a->year);
    page_title(p, title);
    put_years(p, a->year);
    if (a->rows == 0) put_paragraph(p->out, "Nothing stands in the book for this year.");
    put_all_sums(p, a, &w);
    say_account_remarks(&w, a);
    if (w.len) put_paragraph_words(p->out, &w);
    for (size_t i = 0; i < a->houses; i++) put_house(p, a, &a->house[i], &w);
    say_account_foot(&w);
    put_paragraph_words(p->out, &w);
    text_free(&w);
}

tufa_status page_account(page *p)
{
    char year[16];
    account_answer a;
    trouble_note note = {0};
    page_keep(p);
    this_year(p, year);
    const char *asked = page_field(p, "year")[0] ? page_field(p, "year") : year;
    tufa_code code = desk_account(p->d, asked, &a, &note);
    if (code != TUFA_OK) {
        p->note = note;
        return (tufa_status){.code = code};
    }
    if (page_field(p, "csv")[0]) {
        char file[40];
        text csv = {0};
        snprintf(file, sizeof file, "account-%d.csv", a.year);
        account_csv(&csv, &a);
        page_send(p, "text/csv; charset=utf-8", file, &csv);
    } else {
        put_account(p, &a);
        put_add_form(p);
    }
    account_free(&a);
    return (tufa_status){.code = TUFA_OK};
}

tufa_status take_expense(page *p)
{
    static const char *const KEYS[] = {"day", "for", "paid", "to", "hours", "miles", "receipt", "kind", "mark", "corrects"};
    enum { MOST = sizeof KEYS / sizeof KEYS[0], ROOM = 400 };
    char word[MOST][ROOM], to[64];
    const char *words[MOST];
    int n = 0;
    for (size_t k = 0; k < MOST; k++) {
        const char *value = page_field(p, KEYS[k]);
        if (!value[0]) continue;
        snprintf(word[n], ROOM, "%s=%s", KEYS[k], value);
        words[n] = word[n];
        n++;
    }
    text kept = {0};
    tufa_code code = desk_account_add(p->d, page_field(p, "house"), words, n, &kept, &p->note);
    if (code == TUFA_OK) {
        const char *day = page_field(p, "day");
        snprintf(to, sizeof to, "/account%s%.4s", strlen(day) == 10 ? "?year=" : "", strlen(day) == 10 ? day : "");
        page_go_saying(p, to, text_str(&kept));
    }
    text_free(&kept);
    return page_noted(p, code);
}
