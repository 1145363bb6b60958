/* `tufa account`: the year's money, hours and miles by house and date. */
#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "edge/cli/book_args.h"
#include "edge/cli/plan_text.h"
#include "edge/desk/account.h"
#include "edge/say/day.h"

enum { DAY = 2, KIND = 13, AMOUNT = 33, HOURS = 46, MILES = 54, MARK = 62, WIDTH = 96 };

static void figures(text *t, bool cents, int64_t c, bool time, int64_t minutes, bool road, int64_t tenths)
{
    text w = {0};
    text_pad_to(t, AMOUNT);
    if (cents) say_cents(&w, c);
    text_addf(t, "%11s ", text_str(&w));
    text_clear(&w);
    text_pad_to(t, HOURS);
    if (time) say_hours_minutes(&w, minutes);
    text_addf(t, "%6s ", text_str(&w));
    text_clear(&w);
    text_pad_to(t, MILES);
    if (road) say_tenth_miles(&w, tenths);
    text_addf(t, "%6s ", text_str(&w));
    text_free(&w);
}

static void one_row(text *t, const account_answer *a, const account_row *r)
{
    text w = {0};
    text_pad_to(t, DAY);
    say_day(t, r->day);
    text_pad_to(t, KIND);
    text_addf(t, "%s", r->visit ? "visit" : expense_kind_words(r->kind));
    figures(t, r->has_cents, r->cents, r->has_time, r->minutes, r->has_road, r->tenth_miles);
    text_pad_to(t, MARK);
    text_addf(t, "%-9s%s %lld\n", expense_mark_id(r->mark), r->visit ? "visit" : "row", (long long)r->id);
    text_pad_to(t, KIND);
    if (r->heater_label[0] && strcmp(r->heater_label, r->label) != 0) text_addf(&w, "%s: ", r->heater_label);
    text_add(&w, r->what);
    if (r->who[0]) text_addf(&w, "; paid to %s", r->who);
    if (r->about) text_add(&w, "; said only roughly");
    if (r->receipt[0]) text_addf(&w, "; receipt: %s", r->receipt);
    text_add_wrapped(t, text_str(&w), WIDTH, KIND);
    text_add(t, "\n");
    text_free(&w);
    (void)a;
}

static void sums(text *t, const char *head, const account_sum *s)
{
    text_pad_to(t, DAY);
    text_add(t, head);
    figures(t, true, s->cents, true, s->minutes, true, s->tenth_miles);
    text_add(t, "\n");
}

static void by_kind_and_mark(text *t, const account_sum *s)
{
    for (int m = 0; m < MARK_COUNT; m++) {
        text_pad_to(t, DAY + 2);
        text_addf(t, "%s ", expense_mark_id((expense_mark)m));
        figures(t, true, s->mark_cents[m], false, 0, false, 0);
        text_add(t, "\n");
    }
    for (int k = 0; k < EXPENSE_COUNT; k++) {
        if (s->kind_cents[k] == 0) continue;
        text_pad_to(t, DAY + 2);
        text_addf(t, "%s ", expense_kind_words((expense_kind)k));
        figures(t, true, s->kind_cents[k], false, 0, false, 0);
        text_add(t, "\n");
    }
}

static void words(text *t, const account_answer *a)
{
    text w = {0};
    text_addf(t, "Account of %d\n\n", a->year);
    text_pad_to(t, AMOUNT);
    text_addf(t, "%11s ", "paid");
    text_pad_to(t, HOURS);
    text_addf(t, "%6s ", "hours");
    text_pad_to(t, MILES);
    text_addf(t, "%6s  marked\n", "miles");
    for (size_t i = 0; i < a->houses; i++) {
        const account_house *h = &a->house[i];
        text_addf(t, "%s\n", h->house ? h->label : "For all houses");
        for (size_t k = 0; k < h->n; k++) one_row(t, a, &a->row[h->first + k]);
        sums(t, "together", &h->sum);
        text_add(t, "\n");
    }
    if (a->rows == 0) text_addf(t, "Nothing stands in the book for %d.\n\n", a->year);
    text_addf(t, "All of %d\n", a->year);
    sums(t, "together", &a->sum);
    by_kind_and_mark(t, &a->sum);
    text_add(t, "\n");
    say_account_remarks(&w, a);
    if (w.len) paragraph(t, &w, 0);
    say_account_foot(&w);
    paragraph(t, &w, 0);
    text_add(t, "To add: tufa account add HOUSE paid=240 to=\"a plumber\" for=\"relief valve\" receipt=FILE\n");
    text_free(&w);
}

static json_t *sum_json(const account_sum *s)
{
    json_t *j = json_pack("{s:I,s:I,s:I,s:I}", "cents", (json_int_t)s->cents, "minutes", (json_int_t)s->minutes, "tenth_miles", (json_int_t)s->tenth_miles,
                          "rows", (json_int_t)s->rows);
    for (int m = 0; m < MARK_COUNT; m++) {
        char key[40];
        snprintf(key, sizeof key, "%s_cents", expense_mark_id((expense_mark)m));
        json_object_set_new(j, key, json_integer(s->mark_cents[m]));
    }
    return j;
}

static json_t *row_json(const account_row *r)
{
    text day = {0};
    say_day(&day, r->day);
    json_t *j = json_pack("{s:s,s:s,s:s,s:s,s:s,s:s,s:s,s:s}", "house", r->label, "heater", r->heater_label, "day", text_str(&day), "kind", expense_kind_id(r->kind),
                          "mark", expense_mark_id(r->mark), "what", r->what, "paid_to", r->who, "receipt", r->receipt);
    json_object_set_new(j, "cents", r->has_cents ? json_integer(r->cents) : json_null());
    json_object_set_new(j, "minutes", r->has_time ? json_integer(r->minutes) : json_null());
    json_object_set_new(j, "tenth_miles", r->has_road ? json_integer(r->tenth_miles) : json_null());
    json_object_set_new(j, r->visit ? "visit" : "row", json_integer(r->id));
    text_free(&day);
    return j;
}

static void print_json(text *t, const account_answer *a)
{
    json_t *j = json_pack("{s:i,s:o}", "year", a->year, "all", sum_json(&a->sum));
    json_t *houses = json_array(), *rows = json_array();
    for (size_t i = 0; i < a->houses; i++) {
        json_t *h = sum_json(&a->house[i].sum);
        json_object_set_new(h, "house", a->house[i].house ? json_string(a->house[i].label) : json_null());
        json_array_append_new(houses, h);
    }
    for (size_t i = 0; i < a->rows; i++) json_array_append_new(rows, row_json(&a->row[i]));
    json_object_set_new(j, "houses", houses);
    json_object_set_new(j, "rows", rows);
    char *s = json_dumps(j, JSON_COMPACT);
    if (s) text_addf(t, "%s\n", s);
    free(s);
    json_decref(j);
}

int cmd_account(cli *c)
{
    desk d;
    account_answer a;
    trouble_note note = {0};
    int64_t today;
    int code = cli_today(c, &today);
    if (code) return code;
    if (c->operands > 1) {
        note_set(&note, TUFA_PARSE, "YEAR", c->operand[1], "one year; `tufa account add` keeps something", "this is one word too many");
        return cli_fail(c, &note);
    }
    char year[16];
    int y, m, day;
    ymd_from_day(today, &y, &m, &day);
    snprintf(year, sizeof year, "%d", y);
    if ((code = cli_open(c, false, &d)) != 0) return code;
    tufa_code said = desk_account(&d, c->operands ? c->operand[0] : year, &a, &note);
    desk_close(&d);
    if (said != TUFA_OK) return cli_fail(c, &note);
    text t = {0};
    if (cli_opt(c, OPT_JSON)) print_json(&t, &a);
    else if (cli_opt(c, OPT_CSV)) account_csv(&t, &a);
    else words(&t, &a);
    account_free(&a);
    return cli_finish(c, &t, 0);
}

int cmd_account_add(cli *c)
{
    desk d;
    trouble_note note = {0};
    if (c->operands < 1) {
        note_set(&note, TUFA_MISSING, "HOUSE", "", "a house, or stock for what is for all of them", "say for which house");
        return cli_fail(c, &note);
    }
    int code = cli_open(c, true, &d);
    if (code) return code;
    bool house = strchr(c->operand[0], '=') == NULL; /* a correction need not say the house again */
    text t = {0};
    tufa_code kept = desk_account_add(&d, house ? c->operand[0] : "", c->operand + house, c->operands - house, &t, &note);
    desk_close(&d);
    if (kept == TUFA_OK) return cli_finish(c, &t, 0);
    text_free(&t);
    return cli_fail(c, &note);
}
