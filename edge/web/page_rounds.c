/* The year's rounds: month by month, as a table with money, and one page for each round. */
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/rounds_calendar.h"
#include "edge/desk/rounds_words.h"
#include "edge/desk/visit_words.h"
#include "edge/desk/words.h"
#include "edge/say/day.h"
#include "edge/web/page.h"

enum { WEEK = 7 };

static int weekday(int64_t day) { return (int)(((day - 4) % WEEK + WEEK) % WEEK); } /* 0 Monday */

static void put_said(page *p, void (*say)(text *, const rounds_answer *), const rounds_answer *a)
{
    text w = {0};
    say(&w, a);
    if (w.len) put_paragraph_words(p->out, &w);
    text_free(&w);
}

/* Rounds of one day are told apart by a number from 1. */
static int number_on_day(const rounds_answer *a, size_t r)
{
    int n = 1;
    for (size_t i = r; i-- > 0 && a->round[i].day == a->round[r].day;) n++;
    return n;
}

static void put_round_link(text *t, const rounds_answer *a, size_t r, const char *words)
{
    text to = {0};
    text_add(&to, "/round?day=");
    int y, m, d;
    ymd_from_day(a->round[r].day, &y, &m, &d);
    text_addf(&to, "%04d-%02d-%02d&number=%d", y, m, d, number_on_day(a, r));
    put_link(t, text_str(&to), words);
    text_free(&to);
}

/* ---- month by month ---- */

static size_t told_on(const rounds_answer *a, int64_t day)
{
    size_t n = 0;
    for (size_t i = 0; i < a->placed; i++) n += a->visit[i].tell_day == day;
    return n;
}

static void put_streets(text *w, const rounds_answer *a, const rounds_day *r)
{
    for (size_t i = 0; i < r->n; i++) {
        const rounds_visit *v = &a->visit[r->first + i];
        bool before = false;
        for (size_t k = 0; k < i; k++) before = before || strcmp(a->visit[r->first + k].street, v->street) == 0;
        if (!before) text_addf(w, "%s%s", w->len ? ", " : "", v->street);
    }
}

static void put_day(page *p, const rounds_answer *a, int64_t day, int dom)
{
    text *t = p->out, w = {0};
    if (day == a->today) RAW(t, "<td aria-current=\"date\"><b>");
    else RAW(t, "<td><b>");
    put_int(t, dom);
    RAW(t, "</b>");
    for (size_t r = 0; r < a->rounds; r++) {
        if (a->round[r].day != day) continue;
        put_streets(&w, a, &a->round[r]);
        text link = {0};
        say_count(&link, a->round[r].n, "visit", "visits");
        text_addf(&link, ": %s", text_str(&w));
        RAW(t, " ");
        put_round_link(t, a, r, text_str(&link));
        text_free(&link);
        text_clear(&w);
    }
    size_t told = told_on(a, day);
    if (told) {
        RAW(t, " <i>tell ");
        say_count(&w, told, "household", "households");
        put_html_text(t, &w);
        RAW(t, "</i>");
    }
    RAW(t, "</td>");
    text_free(&w);
}

static void put_month(page *p, const rounds_answer *a, int year, int month)
{
    text *t = p->out, w = {0};
    int64_t first = day_from_ymd(year, month, 1), next = month == 12 ? day_from_ymd(year + 1, 1, 1) : day_from_ymd(year, month + 1, 1);
    RAW(t, "<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"");
    say_month(&w, first);
    put_html(t, text_str(&w));
    RAW(t, "\"><table class=\"month\"><caption>");
    put_html_text(t, &w);
    RAW(t, "</caption><thead><tr><th scope=\"col\">Monday</th><th scope=\"col\">Tuesday</th><th scope=\"col\">Wednesday</th><th scope=\"col\">Thursday</th>"
           "<th scope=\"col\">Friday</th><th scope=\"col\">Saturday</th><th scope=\"col\">Sunday</th></tr></thead><tbody>");
    for (int64_t monday = first - weekday(first); monday < next; monday += WEEK) {
        RAW(t, "<tr>");
        for (int64_t day = monday; day < monday + WEEK; day++) {
            if (day < first || day >= next) RAW(t, "<td></td>");
            else put_day(p, a, day, (int)(day - first) + 1);
        }
        RAW(t, "</tr>");
    }
    RAW(t, "</tbody></table></div>");
    text_free(&w);
}

static bool month_has_work(const rounds_answer *a, int64_t first, int64_t next)
{
    for (size_t i = 0; i < a->placed; i++) {
        const rounds_visit *v = &a->visit[i];
        if ((v->day >= first && v->day < next) || (v->tell_day >= first && v->tell_day < next)) return true;
    }
    return false;
}

static void put_months(page *p, const rounds_answer *a)
{
    int y, m, d;
    if (a->rounds == 0) return;
    ymd_from_day(a->today, &y, &m, &d);
    for (int64_t first = day_from_ymd(y, m, 1), last = a->round[a->rounds - 1].day; first <= last; first = day_from_ymd(y, m, 1)) {
        int64_t next = m == 12 ? day_from_ymd(y + 1, 1, 1) : day_from_ymd(y, m + 1, 1);
        if (month_has_work(a, first, next)) put_month(p, a, y, m);
        y += m == 12;
        m = m % 12 + 1;
    }
}

/* ---- as a table with money ---- */

static void put_table(page *p, const rounds_answer *a)
{
    static const char *const heads[] = {"Round", "Where", "=Visits", "=Hours", "=Road", "=Drive costs", "=Waiting costs", "=Parts and heaters", "=Saves in ten years", NULL};
    text *t = p->out, w = {0};
    table_begin(t, "Rounds", false, heads);
    for (size_t r = 0; r < a->rounds; r++) {
        const rounds_day *x = &a->round[r];
        row_begin(t);
        RAW(t, "<th scope=\"row\">");
        say_weekday(&w, a->units, x->day);
        put_round_link(t, a, r, text_str(&w));
        RAW(t, "</th>");
        text_clear(&w);
        put_streets(&w, a, x);
        cell_words(t, &w);
        text_addf(&w, "%zu", x->n);
        cell_figure_words(t, &w);
        say_number(&w, x->end_s / 3600.0, 2);
        cell_figure_words(t, &w);
        say_quantity(&w, a->units, Q_ROAD, x->road_m);
        cell_figure_words(t, &w);
        say_usd(&w, x->drive_usd);
        cell_figure_words(t, &w);
        say_usd(&w, x->wait_usd);
        cell_figure_words(t, &w);
        say_usd(&w, x->spend_usd);
        cell_figure_words(t, &w);
        say_usd(&w, x->gain_usd);
        cell_figure_words(t, &w);
        row_end(t);
    }
    table_end(t);
    text_free(&w);
}

/* ---- what goes with all of them ---- */

static void put_outs(page *p, const rounds_answer *a)
{
    static const char *const heads[] = {"Heater", "Work", "Why it is in no round", NULL};
    text *t = p->out, w = {0};
    if (a->placed == a->visits) return;
    put_heading(t, "In no round");
    table_begin(t, "Visits in no round", false, heads);
    for (size_t i = a->placed; i < a->visits; i++) {
        const rounds_visit *v = &a->visit[i];
        row_begin(t);
        RAW(t, "<th scope=\"row\">");
        put_heater_link(t, v->heater, v->label);
        RAW(t, "</th>");
        say_round_work(&w, v);
        cell_words(t, &w);
        say_round_out(&w, v);
        RAW(t, "<td>");
        put_sentence(t, text_str(&w));
        RAW(t, "</td>");
        text_clear(&w);
        row_end(t);
    }
    table_end(t);
    text_free(&w);
}

static void put_stock(page *p, const rounds_answer *a)
{
    static const char *const heads[] = {"Part", "=Used on average", "=To have", "=In the van", "=To buy", "=For", NULL};
    text *t = p->out, w = {0};
    if (a->stocks == 0) return;
    put_heading(t, "Parts for the year");
    put_paragraph(t, "For these rounds, and for elements that burn out all the same. To have: enough in nine years of ten. ? was never counted: "
                     "`tufa visit stock gasket=4` counts what is in the van.");
    table_begin(t, "Parts for the year", false, heads);
    for (size_t i = 0; i < a->stocks; i++) {
        const rounds_item *x = &a->stock[i];
        if (x->need.carry == 0) continue;
        row_begin(t);
        cell_head(t, x->what);
        say_number(&w, x->need.mean, 2);
        cell_figure_words(t, &w);
        text_addf(&w, "%zu", x->need.carry);
        cell_figure_words(t, &w);
        if (x->in_van < 0.0) text_add(&w, "?");
        else text_addf(&w, "%g", x->in_van);
        cell_figure_words(t, &w);
        text_addf(&w, "%g", x->buy);
        cell_figure_words(t, &w);
        if (x->each_usd > 0.0 && x->buy > 0.0) say_usd(&w, x->buy * x->each_usd);
        cell_figure_words(t, &w);
        row_end(t);
    }
    table_end(t);
    text_free(&w);
}

tufa_status page_rounds(page *p)
{
    const rounds_answer *a;
    page_keep(p);
    RETURN_IF(page_rounds_of(p, &a));
    bool table = page_has(p, "show", "table");
    put_said(p, say_rounds_letter, a);
    if (a->rounds) {
        RAW(p->out, "<p>");
        if (table) put_link(p->out, "/rounds", "Month by month");
        else put_link(p->out, "/rounds?show=table", "As a table with money");
        RAW(p->out, " | ");
        put_link(p->out, "/rounds/calendar", "As a calendar file for your telephone or computer");
        RAW(p->out, " | ");
        put_link(p->out, "/settings", "Days, hours and notice");
        RAW(p->out, " | ");
        put_link(p->out, "/whatif", "What if");
        RAW(p->out, "</p>");
    }
    if (table) put_table(p, a);
    else put_months(p, a);
    put_outs(p, a);
    if (a->visits) {
        put_heading(p->out, "What it costs to wait, to drive and to set out");
        put_said(p, say_rounds_costs, a);
        put_said(p, say_rounds_empty, a);
    }
    put_stock(p, a);
    if (a->at_risk) put_heading(p->out, "To keep in hand");
    put_said(p, say_rounds_reserve, a);
    if (a->visits) {
        put_heading(p->out, "What it was planned with");
        put_said(p, say_rounds_terms, a);
    }
    return OK;
}

tufa_status page_rounds_file(page *p)
{
    const rounds_answer *a;
    RETURN_IF(page_rounds_of(p, &a));
    text t = {0};
    rounds_calendar(&t, a, "tufa");
    if (t.failed) {
        text_free(&t);
        return trouble(TUFA_MEMORY, "calendar", NULL);
    }
    page_send(p, "text/calendar; charset=utf-8", "rounds.ics", &t);
    return OK;
}

/* ---- one round ---- */

static tufa_status find_round(page *p, const rounds_answer *a, size_t *r)
{
    int64_t day;
    long number = page_number(p, "number", 1, 99, 1);
    if (!day_parse(page_field(p, "day"), &day)) return trouble(TUFA_PARSE, "day", "a round is found by its day, such as 2026-12-01");
    for (*r = 0; *r < a->rounds; ++*r)
        if (a->round[*r].day == day && number_on_day(a, *r) == (int)number) return OK;
    return trouble(TUFA_MISSING, "round", "there is no round on this day any more; the plan may have changed with the book");
}

static void put_visits(page *p, const rounds_answer *a, const rounds_day *r)
{
    static const char *const heads[] = {"Heater", "Arrive", "Work", "Why", "Tenants", "=Minutes", "=Money laid out", NULL};
    text *t = p->out, w = {0};
    table_begin(t, "Visits of this round, in order", false, heads);
    for (size_t i = 0; i < r->n; i++) {
        const rounds_visit *v = &a->visit[r->first + i];
        row_begin(t);
        RAW(t, "<th scope=\"row\">");
        put_heater_link(t, v->heater, v->label);
        RAW(t, "</th>");
        say_round_clock(&w, a, v->begin_s);
        cell_words(t, &w);
        RAW(t, "<td>");
        say_round_work(&w, v);
        if (v->call) put_id_link(t, "/call", "id", v->call, text_str(&w));
        else put_html(t, text_str(&w));
        text_clear(&w);
        if (choice_is_cleaning(v->choice)) {
            RAW(t, "<br>");
            put_id_link(t, "/visit", "heater", v->heater, "order of work");
        }
        RAW(t, "</td>");
        cell(t, v->why);
        say_round_tell(&w, v);
        cell_words(t, &w);
        text_addf(&w, "%.0f", v->work_s / 60.0);
        cell_figure_words(t, &w);
        say_usd(&w, v->spend_usd);
        cell_figure_words(t, &w);
        row_end(t);
    }
    table_end(t);
    text_free(&w);
}

static void put_kit(page *p, const rounds_day *r, bool parts)
{
    text *t = p->out, w = {0};
    RAW(t, "<ul>");
    for (size_t i = 0; i < r->items; i++) {
        if (r->item[i].part != parts || r->item[i].need.carry == 0) continue;
        RAW(t, "<li>");
        say_round_item(&w, &r->item[i]);
        put_html_text(t, &w);
        RAW(t, "</li>");
    }
    RAW(t, "</ul>");
    text_free(&w);
}

static bool caution_fits(const tufa_caution *c, const rounds_visit *v)
{
    return !v->call && caution_goes(c, v->choice, v->fuel, v->reading);
}

static void put_cautions(page *p, const rounds_answer *a, const rounds_day *r)
{
    for (size_t c = 0; c < tufa_caution_count(); c++) {
        const tufa_caution *x = tufa_caution_at(c);
        bool fits = false;
        for (size_t i = 0; i < r->n && !fits; i++) fits = caution_fits(x, &a->visit[r->first + i]);
        if (fits) put_caution(p->out, x->title, x->words);
    }
}

tufa_status page_round(page *p)
{
    const rounds_answer *a;
    size_t r;
    page_keep(p);
    RETURN_IF(page_rounds_of(p, &a));
    RETURN_IF(find_round(p, a, &r));
    const rounds_day *x = &a->round[r];
    text w = {0};
    text_add(&w, "Round of ");
    say_weekday(&w, a->units, x->day);
    page_title(p, text_str(&w));
    text_clear(&w);
    say_round_head(&w, a, x);
    text_add(&w, ". Driving ");
    say_usd(&w, x->drive_usd);
    text_add(&w, ", parts and heaters ");
    say_usd(&w, x->spend_usd);
    text_add(&w, ".");
    put_paragraph_words(p->out, &w);
    text_add(&w, "/paper?document=rounds%20sheet&day=");
    say_day(&w, x->day);
    RAW(p->out, "<p>");
    put_link(p->out, text_str(&w), "This day on paper");
    RAW(p->out, "</p>");
    text_clear(&w);
    put_visits(p, a, x);
    put_heading(p->out, "Parts to bring");
    put_kit(p, x, true);
    put_heading(p->out, "Tools to bring");
    put_kit(p, x, false);
    put_heading(p->out, "Before the work");
    put_cautions(p, a, x);
    RAW(p->out, "<p>");
    if (r > 0) put_round_link(p->out, a, r - 1, "The round before");
    if (r > 0) RAW(p->out, " | ");
    put_link(p->out, "/rounds", "All rounds");
    if (r + 1 < a->rounds) RAW(p->out, " | ");
    if (r + 1 < a->rounds) put_round_link(p->out, a, r + 1, "The next round");
    RAW(p->out, "</p>");
    text_free(&w);
    return OK;
}
