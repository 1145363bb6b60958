/* The first page: what matters today and why, as a short letter. */
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/call.h"
#include "edge/desk/letter.h"
#include "edge/desk/words.h"
#include "edge/say/day.h"
#include "edge/web/page.h"

enum { MOST_CALLS = 8, MOST_DUE = 5, SOON_DAYS = 31 };

/* ---- calls ---- */

static void put_call_link(text *t, const call_view *v) { put_id_link(t, "/call", "id", v->rec.id, v->heater); }

static const char *how_soon(const call_view *v)
{
    switch (call_how_soon(v)) {
    case CALL_NOW: return "Now";
    case CALL_TODAY: return "Today";
    case CALL_DAYS: return "Within three days";
    case CALL_ROUND: break;
    }
    return "With the next round";
}

static void put_danger(page *p, const call_view *v)
{
    RAW(p->out, "<div class=\"caution\"><p><strong>");
    put_call_link(p->out, v);
    RAW(p->out, "</strong>. ");
    put_html(p->out, v->answer.stop.words);
    RAW(p->out, "</p></div>");
}

static void put_call(page *p, const call_view *v, text *w)
{
    RAW(p->out, "<p>");
    put_html(p->out, how_soon(v));
    RAW(p->out, ": ");
    put_call_link(p->out, v);
    RAW(p->out, ", where the tenant says \"");
    put_html(p->out, v->rec.words);
    RAW(p->out, "\"");
    if (v->answer.faults > 0) {
        text_addf(w, ". It is most likely this: %s (", tufa_fault_for((size_t)v->answer.odds[0].fault, v->plate.single_element)->title);
        say_chance(w, v->answer.odds[0].probability);
        text_add(w, ")");
        put_html_text(p->out, w);
    }
    if (v->at_risk == 1) RAW(p->out, ". People at risk live there");
    RAW(p->out, ".</p>");
}

static tufa_status put_calls(page *p, text *w, size_t *open)
{
    call_day day = {0};
    desk_finder finder = {0};
    tufa_code code = desk_call_today(p->d, &finder, &day, &p->note);
    desk_finder_free(&finder);
    if (code != TUFA_OK) return page_noted(p, code);
    *open = day.n;
    for (size_t i = 0; i < day.n; i++)
        if (call_danger(&day.view[i])) put_danger(p, &day.view[i]);
    for (size_t i = 0, shown = 0; i < day.n && shown < MOST_CALLS; i++)
        if (!call_danger(&day.view[i])) put_call(p, &day.view[i], w), shown++;
    if (day.n > MOST_CALLS) RAW(p->out, "<p>More calls are open than these.</p>");
    call_day_free(&day);
    return OK;
}

/* ---- the plan ---- */

static void put_leaks(page *p, const year_answer *y)
{
    for (size_t i = 0; i < y->n; i++) {
        if (y->row[i].reason != TUFA_REASON_TANK_LEAKS || y->row[i].choice == TUFA_CHOICE_LEAVE) continue;
        RAW(p->out, "<div class=\"caution\"><p>Water was seen at the shell of <strong>");
        put_heater_link(p->out, y->row[i].heater, y->row[i].label);
        RAW(p->out, "</strong>. A tank that leaks ends in a flood, and nobody can say on which day: shut its water off where nobody can "
                    "watch it, and replace it before anything else here.</p></div>");
    }
}

/* Worth work this year, and the prudent date is here. */
static bool is_due(const page *p, const year_row *r)
{
    return r->choice != TUFA_CHOICE_LEAVE && r->reason != TUFA_REASON_TANK_LEAKS && r->date_sure && r->due_day &&
           r->due_day <= p->d->today + SOON_DAYS;
}

/* The next of what is due, the one with most to save first; `after` is the one before it, or NULL. */
static const year_row *next_due(const page *p, const year_answer *y, const year_row *after)
{
    const year_row *best = NULL;
    for (size_t i = 0; i < y->n; i++) {
        const year_row *r = &y->row[i];
        bool later = !after || r->mean_gain_usd < after->mean_gain_usd || (r->mean_gain_usd == after->mean_gain_usd && r > after);
        if (is_due(p, r) && later && (!best || r->mean_gain_usd > best->mean_gain_usd)) best = r;
    }
    return best;
}

static void put_reason(page *p, const year_row *r, text *w)
{
    RAW(p->out, "<p>");
    put_heater_link(p->out, r->heater, r->label);
    text_addf(w, ": %s, ", tufa_choice_at(r->choice)->what);
    say_due(w, r, p->d->today);
    text_addf(w, ", because %s.", r->why);
    put_html_text(p->out, w);
    RAW(p->out, "</p>");
}

static void put_due(page *p, const year_answer *y, text *w)
{
    size_t all = 0, shown = 0;
    for (size_t i = 0; i < y->n; i++) all += is_due(p, &y->row[i]);
    if (all) put_heading(p->out, "Due, most to save first");
    for (const year_row *r = NULL; shown < MOST_DUE && (r = next_due(p, y, r)) != NULL; shown++) put_reason(p, r, w);
    RAW(p->out, "<p>");
    if (all > shown) {
        text_addf(w, "%zu more are due; ", all - shown);
        put_html_text(p->out, w);
    }
    put_link(p->out, "/year", "The whole year plan");
    RAW(p->out, "</p>");
}

/* What saves most although its date is open. */
static void put_first(page *p, const year_answer *y, text *w)
{
    bool begun = false;
    for (size_t i = 0; i < y->firsts; i++) {
        const year_row *r = &y->row[y->first[i]];
        if (r->reason == TUFA_REASON_TANK_LEAKS || is_due(p, r)) continue; /* told above */
        if (!begun) put_heading(p->out, "Not due yet, and much to save");
        begun = true;
        put_reason(p, r, w);
    }
}

static void put_empty(page *p)
{
    RAW(p->out, "<p>There is no heater in this book yet. <a href=\"/houses#new\">Put one down</a>: a street, a fuel and a rough age are enough. Or "
                "<a href=\"/import\">take a table</a> of them.</p>");
}

static void say_today(text *w, int64_t day)
{
    static const char *const DAYS[] = {"Thursday", "Friday", "Saturday", "Sunday", "Monday", "Tuesday", "Wednesday"}; /* 1970-01-01 was a Thursday */
    text_addf(w, "It is %s, ", DAYS[day % 7]);
    say_day(w, day);
    text_add(w, ".");
}

tufa_status page_today(page *p)
{
    const year_answer *y;
    text w = {0};
    size_t open = 0;
    RAW(p->out, "<div class=\"letter\">");
    tufa_status st = put_calls(p, &w, &open);
    if (st.code == TUFA_OK) st = page_year(p, &y);
    if (st.code != TUFA_OK) {
        text_free(&w);
        return st;
    }
    if (open) page_keep_a_minute(p); /* how long a caller waits goes on */
    else page_keep(p);
    put_leaks(p, y);
    say_today(&w, p->d->today);
    if (open == 0) text_add(&w, " No call is open.");
    put_paragraph_words(p->out, &w);
    if (y->n == 0) {
        put_empty(p);
    } else {
        say_year_letter(&w, y);
        put_paragraph_words(p->out, &w);
        put_due(p, y, &w);
        put_first(p, y, &w);
        say_what_is_missing(&w, y);
        if (w.len) put_heading(p->out, "What would make this surer");
        put_paragraph_words(p->out, &w);
    }
    RAW(p->out, "</div>");
    text_free(&w);
    return OK;
}
