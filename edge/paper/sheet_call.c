/* The sheet of an open call: what the tenant says, the next readings as branches, what may have to be mended. */
#include <stdlib.h>
#include <string.h>

#include "edge/desk/ahead_words.h"
#include "edge/paper/sheet.h"
#include "edge/say/call.h"
#include "edge/say/fault.h"

static void call_words(paper *p, const call_view *v)
{
    text w = {0};
    text_addf(&w, "\"%s\"", v->rec.words);
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++)
        if (v->call.complaint[i]) text_addf(&w, "; %s: %s", v->call.complaint[i] == 1 ? "says" : "asked, no", tufa_fault_complaint_at(i)->title);
    paper_words(p, paper_para, &w);
    for (int i = 0; i < v->advices; i++) {
        text_addf(&w, "Told the tenant: %s", v->advice[i].words);
        paper_words(p, paper_para, &w);
    }
}

static void likely(paper *p, unit_system s, const call_view *v)
{
    static const double WORTH_TELLING = 0.02;
    enum { MOST = 4 };
    text w = {0};
    for (int i = 0; i < v->answer.faults && i < MOST && (i < 3 || v->answer.odds[i].probability >= WORTH_TELLING); i++) {
        text_addf(&w, "%s%s, ", i ? "; " : "It may be: ", tufa_fault_for((size_t)v->answer.odds[i].fault, v->plate.single_element)->title);
        say_odds(&w, v->answer.odds[i].probability);
    }
    if (w.len) text_add(&w, ".");
    for (int i = 0; i < v->call.readings; i++) {
        text_addf(&w, "%s%s ", i ? "; " : "\nRead so far: ", tufa_fault_test_for((size_t)v->call.reading[i].test, v->plate.single_element)->title);
        say_reading(&w, s, &v->call.reading[i]);
    }
    paper_words(p, paper_para, &w);
}

enum { MENDED = 2 }; /* repairs whose steps are printed */

/* What is worth bringing may have to be mended. */
static void mending(paper *p, const call_view *v)
{
    text head = {0}, w = {0};
    if (v->answer.parts) paper_heading(p, "To bring, should it be mended");
    for (int i = 0; i < v->answer.parts; i++) {
        const tufa_repair *r = tufa_fault_repair_for((size_t)v->answer.part[i].repair, v->plate.single_element);
        text_clear(&head);
        text_clear(&w);
        text_addf(&head, "%s (odds that it is needed: ", r->title);
        say_odds(&head, v->answer.part[i].probability);
        text_addf(&head, "; who: %s).", r->who);
        text_addf(&w, "Parts: %s. Tools: %s.", r->parts, r->tools);
        if (i < MENDED) {
            text_add(&w, " Work: ");
            say_without_ids(&w, r->steps);
            text_addf(&w, " Sizes: %s. Afterwards check: ", r->sizes);
            say_without_ids(&w, r->verify);
            text_add(&w, ".");
        }
        paper_led_tick(p, text_str(&head), text_str(&w));
    }
    text_free(&head);
    text_free(&w);
}

static void tonight(paper *p, desk_finder *f, const call_view *v, const desk *d, bool told)
{
    tufa_tonight n;
    text w = {0};
    if (v->answer.faults == 0 || v->answer.stop.silent) return;
    int fault = v->answer.odds[0].fault;
    if (tufa_fault_tonight(f->finder, fault, &n).code != TUFA_OK) return;
    paper_heading(p, "Hot water tonight");
    text_addf(&w, "Should it be this: %s. %s", tufa_fault_for((size_t)fault, v->plate.single_element)->title, n.what);
    if (n.possible) {
        text_add(&w, " That gives about ");
        say_volume(&w, d->units, n.litres * 1e-3);
        text_addf(&w, ", again after about %.0f minutes. Put right by ", n.minutes_again);
        say_day(&w, d->today + n.days);
        text_add(&w, ".");
    }
    if (!told || strcmp(n.never, tufa_caution_find("C_TONIGHT")->words) != 0) text_addf(&w, "\nNever: %s", n.never);
    paper_words(p, paper_para, &w);
}

static void call_works(works *w, const call_view *v, const branch *b, int n)
{
    for (int i = 0; i < n; i++) {
        works_add(w, tufa_fault_test_at((size_t)b[i].next.test)->id);
        for (int o = 0; o < b[i].next.outcomes; o++) {
            if (b[i].end[o].test >= 0) works_add(w, tufa_fault_test_at((size_t)b[i].end[o].test)->id);
            if (b[i].end[o].repair >= 0) works_add(w, tufa_fault_repair_at((size_t)b[i].end[o].repair)->id);
        }
    }
    for (int i = 0; i < v->answer.parts && i < MENDED; i++) works_add(w, tufa_fault_repair_at((size_t)v->answer.part[i].repair)->id);
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++)
        if (v->call.complaint[i] == 1) works_add(w, tufa_fault_complaint_at(i)->id);
}

/* The readings that are written down have their own rooms. */
static void expected_in_a_line(paper *p, const expected *e)
{
    text w = {0};
    for (size_t i = 0; i < e->n; i++) text_addf(&w, "%s%s", i ? "; " : "", e->row[i].what);
    paper_led(p, "A sound heater of this kind shows:", text_str(&w));
    text_free(&w);
}

static const char *stop_word(const call_view *v) { return strcmp(v->answer.stop.level, "leave") == 0 ? "LEAVE:" : "STOP:"; }

/* Nothing that leads a hand to the heater. */
static void only_the_stop(const document_ask *ask, paper *p, const ahead_answer *a, const call_view *v)
{
    text w = {0};
    document_named(ask, p, "Job sheet", a->c.heater.label);
    paper_title(p, paper_named(p));
    paper_caution(p, stop_word(v), v->answer.stop.words);
    say_heater_line(&w, a);
    paper_words(p, paper_para, &w);
    call_words(p, v);
    paper_blank(p, "Called, at what time, and who is on the way", 2.0);
    paper_blank(p, "Released by whom, at what time", 1.0);
    paper_small(p, "When the place is released: `tufa call safe`, or the page of the call; then a sheet with the work can be made.");
}

static bool on_arrival(const tufa_step *s) { return s->phase == TUFA_STEP_ARRIVE && call_step_before(s); }
static bool to_isolate(const tufa_step *s) { return s->phase != TUFA_STEP_ARRIVE && call_step_before(s); }

static tufa_code put(const document_ask *ask, paper *p, const ahead_answer *a, desk_finder *f, const call_view *v, trouble_note *note)
{
    branch b[BRANCHES_MOST];
    int n = 0;
    tufa_step step[PARTS_STEPS];
    works w = {0};
    expected e = {0};
    text head = {0};
    tufa_status st = desk_branches(f, v, b, &n);
    if (st.code != TUFA_OK) return document_fail(note, st);
    tufa_fuel fuel = a->c.known.fuel;
    size_t steps = tufa_visit_steps(TUFA_VISIT_CLEAN, TUFA_METHOD_FLUSH, fuel, v->plate.single_element, PARTS_STEPS, step);
    if (steps > PARTS_STEPS) steps = PARTS_STEPS;
    if (v->answer.stop.silent) {
        only_the_stop(ask, p, a, v);
        return TUFA_OK;
    }
    text_add(&head, "A call, taken ");
    say_day(&head, v->rec.day);
    sheet_head(ask, p, "Job sheet", a, text_str(&head));
    text_clear(&head);
    if (v->answer.stop.id) paper_caution(p, stop_word(v), v->answer.stop.words);
    call_words(p, v);
    call_works(&w, v, b, n);
    paper_columns(p);
    paper_heading(p, "Before anything is touched");
    paper_cautions(p, &w, fuel);
    paper_heading(p, "Order of work");
    size_t at = paper_steps(p, ask->d->units, step, steps, 1, on_arrival), dead = at;
    paper_strong(p, "Not at once: before any cover comes off, and where a reading says breaker off or gas off:");
    at = paper_steps(p, ask->d->units, step, steps, at, to_isolate);
    if (n == 0) text_add(&head, "No further reading is worth its minutes");
    else if (at - 1 > dead) text_addf(&head, "The next readings; steps %zu to %zu before those that say so", dead, at - 1);
    else text_addf(&head, "The next readings; step %zu before those that say so", dead);
    paper_words(p, paper_heading, &head);
    likely(p, ask->d->units, v);
    paper_branches(p, ask->d->units, b, n);
    mending(p, v);
    paper_steps(p, ask->d->units, step, steps, at, call_step_after);
    sheet_expect(&e, ask->d->units, a);
    expected_in_a_line(p, &e);
    paper_kit(p, TUFA_VISIT_TURNOVER, TUFA_METHOD_COUNT, fuel); /* what goes along on every visit */
    tonight(p, f, v, ask->d, works_have(&w, tufa_caution_find("C_TONIGHT"), fuel)); /* it may stand before the work already */
    sheet_foot(p);
    paper_columns_end(p);
    return TUFA_OK;
}

tufa_code sheet_of_call(const document_ask *ask, paper *p, const ahead_answer *a, int64_t call, trouble_note *note)
{
    desk_finder f = {0};
    call_view *v = malloc(sizeof *v);
    if (!v) return document_fail(note, (tufa_status){.code = TUFA_MEMORY, .field = "call"});
    tufa_code code = desk_call_view(ask->d, &f, call, v, note);
    if (code == TUFA_OK) code = put(ask, p, a, &f, v, note);
    desk_finder_free(&f);
    free(v);
    return code;
}
