/* The bills of a house: did use change, since when, by how much, and what is able to do that. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/bill_words.h"
#include "edge/desk/row.h"
#include "edge/web/page.h"

enum { MOST_PERIODS = 240 };
static const double HARDLY = 0.05; /* a cause that fits worse is out, as in the words of the command */

static double seconds_to_units(const bill_part *b, double W) { return W * 86400.0 / bill_units[b->unit].joules; }

/* ---- the chart ---- */

static void say_day_of_year(text *t, double year)
{
    static const char *const MONTHS[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    int month = (int)fmin(11.0, floor(12.0 * (year - floor(year)) + 1e-6));
    text_addf(t, "%s %.0f", MONTHS[month], floor(year + 1e-9));
}

static double year_of_day(double day) { return 1970.0 + day / 365.2425; }

static void put_bills_plot(page *p, const bill_part *b, const char *id, const char *label)
{
    double *x = calloc(MOST_PERIODS, sizeof *x), *used = calloc(MOST_PERIODS, sizeof *used), *expected = calloc(MOST_PERIODS, sizeof *expected);
    size_t n = b->n < MOST_PERIODS ? b->n : MOST_PERIODS;
    char title[160], y_name[60];
    if (x && used && expected) {
        for (size_t i = 0; i < n; i++) {
            const tufa_bill_period *q = &b->p[b->n - n + i];
            x[i] = year_of_day(q->start_day + 0.5 * q->days);
            used[i] = q->use / q->days;
            expected[i] = tufa_bill_expected(&b->result, q, 0, 0.0, NULL, 1);
        }
        snprintf(title, sizeof title, "What %s used a day, bill by bill", label);
        snprintf(y_name, sizeof y_name, "%s a day", bill_units[b->unit].print);
        plot pl = {.id = id, .title = title, .description = "Points are the bills; the line is what weather and season let expect without the change.",
                   .x_name = "Middle of the bill's time", .y_name = y_name, .y_from_zero = 1, .say_x = say_day_of_year};
        pl.series[pl.series_count++] = (plot_series){PLOT_LINE, "Expected without the change", n, x, expected, NULL, NULL, NULL};
        pl.series[pl.series_count++] = (plot_series){PLOT_POINTS, "Used", n, x, used, NULL, NULL, NULL};
        put_plot(p->out, &pl);
    }
    free(x);
    free(used);
    free(expected);
}

/* ---- causes ---- */

static bool names_it(const char *ids, const char *id)
{
    size_t n = strlen(id);
    for (const char *at = ids; at && (at = strstr(at, id)) != NULL; at += n)
        if ((at == ids || at[-1] == ' ') && (at[n] == 0 || at[n] == ' ')) return true;
    return false;
}

static void put_bill_cautions(page *p, const bill_part *b)
{
    for (size_t i = 0; i < tufa_caution_count(); i++) {
        const tufa_caution *c = tufa_caution_at(i);
        bool goes = false;
        for (size_t k = 0; k < b->causes.n && !goes; k++)
            goes = b->causes.at[k].fits >= HARDLY && names_it(b->causes.at[k].cause->cautions, c->id);
        if (goes) put_caution(p->out, c->title, c->words);
    }
}

static void put_causes(page *p, const bill_part *b, text *w)
{
    static const char *const heads[] = {"What it may be", "=Makes at most", "Could it be this much?", "Look first", NULL};
    if (!b->has_causes) return;
    put_bill_cautions(p, b);
    table_begin(p->out, "What is able to change the bill by so much", true, heads);
    for (size_t i = 0; i < b->causes.n; i++) {
        const tufa_bill_cause_fit *f = &b->causes.at[i];
        row_begin(p->out);
        cell_head(p->out, f->cause->title);
        say_number(w, seconds_to_units(b, f->bound_W), 2);
        text_addf(w, " %s a day", bill_units[b->unit].print);
        cell_figure_words(p->out, w);
        cell(p->out, f->fits < HARDLY ? "no" : f->fits < 0.5 ? "hardly" : "yes");
        cell(p->out, f->cause->look);
        row_end(p->out);
    }
    table_end(p->out);
    if (b->causes.heater_fits < HARDLY) put_paragraph(p->out, "This cannot be the heater: nothing that goes wrong with one changes the bill by so much.");
}

static void put_part(page *p, const bill_part *b, size_t i, const char *label)
{
    text w = {0};
    char id[40];
    snprintf(id, sizeof id, "bills-%zu", i);
    put_heading(p->out, bill_units[b->unit].gas ? "Gas" : "Electricity");
    if (!b->ok) {
        text_addf(&w, "There is no answer yet: %s.", b->trouble.why ? b->trouble.why : tufa_code_words(b->trouble.code));
        put_paragraph_words(p->out, &w);
    } else {
        say_bill_change(&w, b);
        put_paragraph_words(p->out, &w);
        put_bills_plot(p, b, id, label);
        put_causes(p, b, &w);
    }
    text_free(&w);
}

/* ---- a reading typed in ---- */

static void put_reading_form(page *p, int64_t heater)
{
    pick units_of[BILL_UNIT_COUNT];
    for (int u = 0; u < BILL_UNIT_COUNT; u++) units_of[u] = (pick){bill_units[u].name, bill_units[u].print};
    put_heading(p->out, "Put down a bill reading");
    put_form(p, "/bill");
    put_hidden_id(p, "heater", heater);
    put_input(p, "date", "Day of the reading", "", "The period ends with it");
    put_select(p, "unit", "Unit", units_of, BILL_UNIT_COUNT, "kwh", NULL);
    put_input(p, "used", "Used in the period", "", "As the bill says");
    put_input(p, "days", "Days of the period", "", "Empty: since the reading before");
    put_input(p, "cost_usd", "Cost", "", "Dollars; may stay empty");
    put_checkbox(p, "estimated", "yes", "The utility only guessed this reading", false);
    put_form_end(p, "Keep it");
    RAW(p->out, "<p>A year of bills is quicker as a table: <a href=\"/import\">Import</a>.</p>");
}

static tufa_status put_answer(page *p, bill_home *home, bill_file *file)
{
    bill_answer a;
    bill_ask ask = {.home = home};
    trouble_note note = {0};
    if (!desk_bill_file(file, &ask, &a, &note)) {
        text w = {0};
        say_trouble(&w, &note);
        put_paragraph_words(p->out, &w);
        text_free(&w);
        return OK;
    }
    for (size_t i = 0; i < a.parts; i++) put_part(p, &a.part[i], i, home->label);
    if (a.same_date > 0.5)
        put_paragraph(p->out, "All fuels changed at the same time. That points to the people in the house rather than to one appliance.");
    bill_free(&a);
    return OK;
}

tufa_status page_bill(page *p)
{
    int64_t id;
    char name[24], title[120];
    bill_home home;
    bill_file file;
    text near = {0};
    RETURN_IF(page_id(p, "heater", &id));
    snprintf(name, sizeof name, "#%lld", (long long)id);
    tufa_status st = desk_bill_home(p->d, name, &near, &home, &file);
    text_free(&near);
    if (st.code != TUFA_OK && !(st.code == TUFA_MISSING && home.known)) return st;
    page_keep(p);
    snprintf(title, sizeof title, "Bills of %s", home.label);
    page_title(p, title);
    RAW(p->out, "<p>Is something at ");
    put_heater_link(p->out, id, home.label);
    RAW(p->out, " leaking power, gas or hot water? The bills tell whether use changed, since when and by how much; the simulated heater tells what is able to "
                "do that. ");
    put_why_link(p->out, "bill", "How");
    RAW(p->out, "</p>");
    if (st.code == TUFA_OK) st = put_answer(p, &home, &file);
    else put_paragraph(p->out, "The book keeps no bill readings of this house yet."), st = OK;
    put_reading_form(p, id);
    return st;
}

tufa_status take_bill(page *p)
{
    int64_t id;
    char house[STORE_LABEL], to[64];
    RETURN_IF(page_id(p, "heater", &id));
    RETURN_IF(desk_house_label_of(p->d, id, house));
    if (!page_field(p, "used")[0]) {
        note_set(&p->note, TUFA_MISSING, "used", "", "", "say how much was used");
        return page_noted(p, TUFA_MISSING);
    }
    row_cell cells[] = {{"house", house}, {"date", page_field(p, "date")}, {page_field(p, "unit"), page_field(p, "used")},
                        {"days", page_field(p, "days")}, {"cost_usd", page_field(p, "cost_usd")}, {"estimated", page_field(p, "estimated")}};
    bool unit = false;
    for (int u = 0; u < BILL_UNIT_COUNT; u++) unit = unit || strcmp(bill_units[u].name, cells[2].column) == 0;
    if (!unit) {
        note_set(&p->note, TUFA_UNKNOWN, "unit", cells[2].column, "", "this unit is not known here");
        return page_noted(p, TUFA_UNKNOWN);
    }
    tufa_code code = desk_row_take(p->d, "bills", cells, sizeof cells / sizeof cells[0], "read off the bill at the desk", &p->note);
    if (code != TUFA_OK) {
        if (strcmp(p->note.field, cells[2].column) == 0) snprintf(p->note.field, sizeof p->note.field, "used");
        return page_noted(p, code);
    }
    snprintf(to, sizeof to, "/bill?heater=%lld", (long long)id);
    page_go_saying(p, to, "Kept. The answer below counts it.");
    return OK;
}
