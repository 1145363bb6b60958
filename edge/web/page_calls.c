/* The open calls in the order to go to them, with the reasons; and a new call taken down. */
#include <ctype.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/call_list.h"
#include "edge/desk/call_words.h"
#include "edge/desk/find.h"
#include "edge/say/day.h"
#include "edge/say/fault.h"
#include "edge/web/page.h"

enum { BRING_FOR = 2, BRING_MOST = 4 };

static void put_call_link(text *t, int64_t id, const char *words) { put_id_link(t, "/call", "id", (long long)id, words); }

static void put_voiced(text *t, const call_view *v)
{
    text w = {0};
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++)
        if (v->call.complaint[i] == 1) text_addf(&w, "%s%s", w.len ? "; " : "", tufa_fault_complaint_at(i)->title);
    put_fact_words(t, "Says", &w);
    text_free(&w);
}

static void put_questions(text *t, const call_view *v)
{
    text w = {0};
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++)
        if (v->call.complaint[i] == 1) text_addf(&w, "%s%s", w.len ? " " : "", tufa_fault_complaint_at(i)->ask);
    if (w.len) put_fact_words(t, "Ask by telephone", &w);
    text_free(&w);
}

static void put_bring(text *t, const call_view *v)
{
    text w = {0};
    for (int i = 0; i < v->answer.parts && i < BRING_MOST; i++) {
        const tufa_repair *r = tufa_fault_repair_for((size_t)v->answer.part[i].repair, v->plate.single_element);
        text_addf(&w, "%s%s (to %c%s, ", i ? "; " : "", r->parts, tolower((unsigned char)r->title[0]), r->title + 1);
        say_odds(&w, v->answer.part[i].probability);
        text_add(&w, ")");
    }
    if (w.len) put_fact_words(t, "Bring", &w);
    text_free(&w);
}

static void put_call(page *p, const call_view *v, size_t place)
{
    text *t = p->out, w = {0};
    text_addf(t, "<h2>%zu. ", place + 1);
    put_call_link(t, v->rec.id, v->heater);
    RAW(t, "</h2><p>\"");
    put_html(t, v->rec.words);
    RAW(t, "\", ");
    say_day(&w, v->rec.day);
    put_html_text(t, &w);
    RAW(t, "</p>");
    facts_begin(t);
    put_voiced(t, v);
    say_call_when(&w, v, p->d->today);
    put_fact_words(t, "Go", &w);
    say_call_tell(&w, v, place);
    put_fact_words(t, "Tell the tenant", &w);
    if (!v->answer.stop.silent) {
        if (v->answer.faults) {
            text_addf(&w, "%s, ", tufa_fault_for((size_t)v->answer.odds[0].fault, v->plate.single_element)->title);
            say_odds(&w, v->answer.odds[0].probability);
            put_fact_words(t, "Likeliest", &w);
        }
        put_questions(t, v);
        if (v->answer.next.test >= 0) put_fact(t, "First reading", tufa_fault_test_for((size_t)v->answer.next.test, v->plate.single_element)->title);
        if (place < BRING_FOR) put_bring(t, v);
    }
    facts_end(t);
    text_free(&w);
}

static tufa_status put_closed(page *p)
{
    static const char *const heads[] = {"Call", "Day", "The tenant said", "Found", NULL};
    enum { MOST = 30 };
    call_list l;
    text w = {0};
    RETURN_IF(desk_call_list(p->d, true, &l));
    if (l.n) {
        details_begin(p->out, "Closed calls");
        table_begin(p->out, "Closed calls, the newest first", false, heads);
        for (size_t i = 0; i < l.n && i < MOST; i++) {
            const call_line *c = &l.line[i];
            row_begin(p->out);
            RAW(p->out, "<th scope=\"row\">");
            put_call_link(p->out, c->rec.id, c->label);
            RAW(p->out, "</th>");
            say_day(&w, c->rec.day);
            cell_words(p->out, &w);
            cell(p->out, c->rec.words);
            for (int k = 0; k < c->founds; k++) text_addf(&w, "%s%s", k ? "; " : "", tufa_fault_for((size_t)c->found[k], c->one_element)->title);
            cell_words(p->out, &w);
            row_end(p->out);
        }
        table_end(p->out);
        if (l.n > MOST) {
            text_addf(&w, "%zu older ones are in the book.", l.n - MOST);
            put_paragraph_words(p->out, &w);
        }
        details_end(p->out);
    }
    text_free(&w);
    call_list_free(&l);
    return OK;
}

tufa_status page_calls(page *p)
{
    desk_finder f = {0};
    call_day day;
    text w = {0};
    tufa_code code = desk_call_today(p->d, &f, &day, &p->note);
    desk_finder_free(&f);
    if (code != TUFA_OK) return page_noted(p, code);
    page_keep(p);
    RAW(p->out, "<p><a href=\"/call/new\">Take a call down</a></p>");
    if (day.n == 0) {
        put_paragraph(p->out, "No call is open.");
    } else {
        text_addf(&w, day.n == 1 ? "One call is open." : "%zu calls are open, in the order to go to them.", day.n);
        if (day.n > 1) {
            text_add(&w, " ");
            say_call_order(&w);
        }
        put_paragraph_words(p->out, &w);
    }
    for (size_t i = 0; i < day.n; i++) put_call(p, &day.view[i], i);
    call_day_free(&day);
    text_free(&w);
    return put_closed(p);
}

/* ---- a new one ---- */

/* The heater that the call is about, where it is known already: what the other fuel alone can do is not offered then. */
typedef struct about {
    int64_t heater; /* 0: not known yet */
    heater_rec rec;
} about;

static tufa_status known_heater(page *p, about *a)
{
    trouble_note note = {0};
    *a = (about){0};
    const char *name = page_field(p, "heater");
    if (!name[0] || desk_find(p->d, THING_HEATER, name, &a->heater, NULL, &note) != TUFA_OK) {
        a->heater = 0;
        return OK;
    }
    return store_heater_get(p->d->s, a->heater, &a->rec);
}

static bool offered(const about *a, const tufa_complaint *c)
{
    int gas = a->rec.fuel == FUEL_GAS || a->rec.fuel == FUEL_PROPANE;
    return !a->heater || (gas ? c->gas : c->electric);
}

static void put_danger(page *p, const about *a)
{
    put_group(p, "First: is it one of these?");
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++) {
        const tufa_complaint *c = tufa_fault_complaint_at(i);
        if (c->urgency == TUFA_STOP_NOW && offered(a, c)) put_checkbox(p, "complaint", c->id, c->title, false);
    }
    put_group_end(p);
    details_begin(p->out, "What to say at once");
    facts_begin(p->out);
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++) {
        tufa_call one = {0};
        one.complaint[i] = 1;
        tufa_stop stop = tufa_fault_stop(&one);
        if (stop.id && offered(a, tufa_fault_complaint_at(i))) put_fact(p->out, tufa_fault_complaint_at(i)->title, stop.words);
    }
    facts_end(p->out);
    details_end(p->out);
}

static void put_others(page *p, const about *a)
{
    pick picks[TUFA_MAX_COMPLAINTS];
    size_t n = 0;
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++) {
        const tufa_complaint *c = tufa_fault_complaint_at(i);
        if (c->urgency != TUFA_STOP_NOW && offered(a, c)) picks[n++] = (pick){c->id, c->title};
    }
    put_picks(p, "complaint", "Which of these does the tenant say?", picks, n, false, NULL);
}

static void put_denied(page *p, const about *a)
{
    details_begin(p->out, "Asked, and the answer was no");
    put_group(p, "Only what was asked: silence says nothing, a no does");
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++) {
        const tufa_complaint *c = tufa_fault_complaint_at(i);
        if (offered(a, c)) put_checkbox(p, "no", c->id, c->title, false);
    }
    put_group_end(p);
    details_end(p->out);
}

static void put_known(page *p)
{
    details_begin(p->out, "What is known of house and heater besides what the book knows");
    put_group(p, "As far as anybody knows");
    for (size_t i = 0; i < tufa_fault_known_count(); i++)
        put_checkbox(p, "known", tufa_fault_known_at(i)->id, tufa_fault_known_at(i)->title, false);
    put_group_end(p);
    details_end(p->out);
}

static void put_heater(page *p, const about *a)
{
    if (!a->heater) {
        put_input(p, "heater", "Heater", "", "Its name or number, or a part of it that fits no other");
        return;
    }
    put_hidden_id(p, "heater", (long long)a->heater);
    RAW(p->out, "<p>About ");
    put_heater_link(p->out, a->heater, a->rec.label);
    RAW(p->out, ". <a href=\"/call/new\">Another heater</a></p>");
}

tufa_status page_call_new(page *p)
{
    about a;
    RETURN_IF(known_heater(p, &a));
    put_form(p, "/call/new");
    put_danger(p, &a);
    put_heater(p, &a);
    put_input(p, "words", "What the tenant says, word for word", "", NULL);
    put_others(p, &a);
    put_denied(p, &a);
    put_known(p);
    put_form_end(p, "Take it down");
    return OK;
}

/* Names that come close stand beside the field they are about. */
static void offer_near(page *p, const char *near)
{
    if (!near[0]) return;
    size_t n = strlen(p->note.allowed);
    snprintf(p->note.allowed + n, sizeof p->note.allowed - n, "%s", near);
    for (char *c = p->note.allowed; *c; c++)
        if (*c == '\n') *c = c[1] ? ',' : 0;
}

tufa_status take_call(page *p)
{
    call_new c = {.heater = page_field(p, "heater"), .words = page_field(p, "words")};
    c.voiced_n = (int)page_values(p, "complaint", c.voiced, CALL_NAMES);
    c.denied_n = (int)page_values(p, "no", c.denied, CALL_NAMES);
    c.known_n = (int)page_values(p, "known", c.known, CALL_NAMES);
    if (!c.heater[0]) {
        note_set(&p->note, TUFA_MISSING, "heater", "", "its name or number", "say which heater it is about");
        return page_noted(p, TUFA_MISSING);
    }
    int64_t id = 0;
    text near = {0};
    desk_finder f = {0};
    bool bills;
    tufa_code code = desk_call_new(p->d, &c, &id, &near, &p->note);
    if (code != TUFA_OK) offer_near(p, text_str(&near));
    else code = desk_call_take_bills(p->d, &f, id, &bills, &p->note);
    text_free(&near);
    desk_finder_free(&f);
    if (code != TUFA_OK) return page_noted(p, code);
    char to[64];
    snprintf(to, sizeof to, "/call?id=%lld", (long long)id);
    page_go_saying(p, to, bills ? "Taken down; what the house's bills say stands below as a reading." : "Taken down.");
    return OK;
}
