/* The visit of an open call: before anything is touched, the next readings as branches, the mending, what to bring, how to close. */
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/branches.h"
#include "edge/say/fault.h"
#include "edge/web/page.h"

enum { MOST_STEPS = 96, MOST_REPAIRS = 3, MOST_CAUTIONS = 128 };

typedef bool (*step_kind)(const tufa_step *s);

/* ---- cautions of everything that may come, once each ---- */

static void mark(unsigned char seen[MOST_CAUTIONS], const call_view *v, const char *about)
{
    tufa_caution_fuel fuel = v->plate.tank.fuel == TUFA_TANK_GAS ? TUFA_CAUTION_GAS : TUFA_CAUTION_ELECTRIC;
    for (size_t i = 0; i < tufa_caution_count() && i < MOST_CAUTIONS; i++)
        if (tufa_caution_applies(tufa_caution_at(i), about, fuel)) seen[i] = 1;
}

static void put_cautions(page *p, const call_view *v, const branch *b, int n)
{
    unsigned char seen[MOST_CAUTIONS] = {0};
    for (size_t i = 0; i < tufa_fault_complaint_count(); i++)
        if (v->call.complaint[i] == 1) mark(seen, v, tufa_fault_complaint_at(i)->id);
    for (int i = 0; i < n; i++) {
        mark(seen, v, tufa_fault_test_at((size_t)b[i].next.test)->id);
        for (int o = 0; o < b[i].next.outcomes; o++) {
            if (b[i].end[o].test >= 0) mark(seen, v, tufa_fault_test_at((size_t)b[i].end[o].test)->id);
            if (b[i].end[o].repair >= 0) mark(seen, v, tufa_fault_repair_at((size_t)b[i].end[o].repair)->id);
        }
    }
    for (int i = 0; i < v->answer.parts && i < MOST_REPAIRS; i++) mark(seen, v, tufa_fault_repair_at((size_t)v->answer.part[i].repair)->id);
    RAW(p->out, "<h2 id=\"cautions\">Before anything is touched</h2><div class=\"caution\">");
    for (size_t i = 0; i < tufa_caution_count() && i < MOST_CAUTIONS; i++) {
        if (!seen[i]) continue;
        RAW(p->out, "<p><strong>");
        put_html(p->out, tufa_caution_at(i)->title);
        RAW(p->out, ".</strong> ");
        put_html(p->out, tufa_caution_at(i)->words);
        RAW(p->out, "</p>");
    }
    RAW(p->out, "</div>");
}

static size_t put_steps(page *p, const call_view *v, step_kind kind, size_t from)
{
    tufa_step step[MOST_STEPS];
    tufa_fuel fuel = v->plate.tank.fuel == TUFA_TANK_GAS ? TUFA_GAS : TUFA_ELECTRIC;
    size_t n = tufa_visit_steps(TUFA_VISIT_CLEAN, TUFA_METHOD_FLUSH, fuel, v->plate.single_element, MOST_STEPS, step), at = from;
    text_addf(p->out, "<ol start=\"%zu\">", from);
    for (size_t i = 0; i < n && i < MOST_STEPS; i++) {
        if (!kind(&step[i])) continue;
        RAW(p->out, "<li>");
        put_html(p->out, step[i].words);
        RAW(p->out, "</li>");
        at++;
    }
    RAW(p->out, "</ol>");
    return at;
}

/* ---- readings ---- */

static void put_branch(page *p, const branch *b, int number)
{
    static const char *const heads[] = {"It shows", "=Likely", "Then", NULL};
    const tufa_test *test = tufa_fault_test_for((size_t)b->next.test, b->next.single_element);
    text w = {0};
    text_addf(p->out, "<h3>Reading %d: ", number);
    put_html(p->out, test->title);
    text_addf(p->out, " (%.0f minutes)</h3>", b->next.minutes);
    put_paragraph(p->out, test->how);
    facts_begin(p->out);
    if (test->isolation[0]) put_fact(p->out, "First", test->isolation);
    if (test->hazard[0]) put_fact(p->out, "Mind", test->hazard);
    if (test->stops[0]) put_fact(p->out, "Stop at", test->stops);
    facts_end(p->out);
    table_begin(p->out, test->title, false, heads);
    for (int i = 0; i < b->next.outcomes; i++) {
        row_begin(p->out);
        say_outcome(&w, p->d->units, b->next.test, &b->next.outcome[i]);
        cell_head(p->out, text_str(&w));
        text_clear(&w);
        cell_odds(p->out, b->next.outcome[i].probability);
        say_branch_end(&w, b, i, number);
        cell_words(p->out, &w);
        row_end(p->out);
    }
    table_end(p->out);
    text_free(&w);
}

/* ---- mending ---- */

static void put_repair(page *p, const tufa_repair *r, double probability)
{
    text w = {0};
    RAW(p->out, "<h3>");
    put_html(p->out, r->title);
    RAW(p->out, "</h3>");
    facts_begin(p->out);
    say_odds(&w, probability);
    put_fact_words(p->out, "Needed in", &w);
    put_fact(p->out, "Who", r->who);
    text_addf(&w, "%.0f to %.0f", r->minutes_lo, r->minutes_hi);
    put_fact_words(p->out, "Minutes", &w);
    if (r->parts[0]) put_fact(p->out, "Parts", r->parts);
    if (r->sizes[0]) put_fact(p->out, "Sizes", r->sizes);
    if (r->tools[0]) put_fact(p->out, "Tools", r->tools);
    put_fact(p->out, "How", r->steps);
    put_fact(p->out, "Afterwards check", r->verify);
    facts_end(p->out);
    text_free(&w);
}

static void put_repairs(page *p, const call_view *v)
{
    unsigned char told[TUFA_MAX_REPAIRS] = {0};
    int n = 0;
    put_heading(p->out, "What may have to be mended");
    for (int i = 0; i < v->answer.parts && n < MOST_REPAIRS; i++, n++) {
        told[v->answer.part[i].repair] = 1;
        put_repair(p, tufa_fault_repair_at((size_t)v->answer.part[i].repair), v->answer.part[i].probability);
    }
    for (int i = 0; i < v->answer.actions && n < MOST_REPAIRS; i++) { /* work that needs no part */
        const tufa_action *a = &v->answer.action[i];
        if (a->repair < 0 || told[a->repair]) continue;
        put_repair(p, tufa_fault_repair_at((size_t)a->repair), a->probability);
        n++;
    }
    if (n == 0) put_paragraph(p->out, "Nothing is likely enough yet: the readings come first.");
}

/* ---- the page ---- */

static void put_links(page *p, const call_view *v)
{
    RAW(p->out, "<p>");
    put_document_link(p->out, "sheet", "heater", (long long)v->rec.heater, "The same as a sheet to take along");
    RAW(p->out, " &middot; ");
    put_id_link(p->out, "/visit/record", "heater", (long long)v->rec.heater, "Write down what was done");
    RAW(p->out, " &middot; ");
    put_id_link(p->out, "/visit", "heater", (long long)v->rec.heater, "A cleaning, and the notice for it");
    RAW(p->out, " &middot; ");
    put_id_link(p->out, "/call", "id", (long long)v->rec.id, "Back to the call");
    RAW(p->out, "</p>");
}

static tufa_status put_visit(page *p, desk_finder *f, const call_view *v)
{
    branch b[BRANCHES_MOST];
    int n = 0;
    char title[STORE_LABEL + 32];
    snprintf(title, sizeof title, "%s: the visit of a call", v->heater);
    page_title(p, title);
    if (v->answer.stop.id) put_caution(p->out, strcmp(v->answer.stop.level, "leave") == 0 ? "Leave the house" : "Stop", v->answer.stop.words);
    if (v->rec.closed) put_paragraph(p->out, "This call is closed.");
    if (v->rec.closed || v->answer.stop.silent) {
        put_links(p, v);
        return OK;
    }
    RETURN_IF(desk_branches(f, v, b, &n));
    put_links(p, v);
    put_cautions(p, v, b, n);
    size_t at = put_steps(p, v, call_step_before, 1);
    put_heading(p->out, n ? "The next readings; isolate and prove dead first where a line says so" : "No further reading is worth its minutes");
    for (int i = 0; i < n; i++) put_branch(p, &b[i], i + 1);
    put_repairs(p, v);
    put_heading(p->out, "Before leaving");
    put_steps(p, v, call_step_after, at);
    return OK;
}

tufa_status page_call_visit(page *p)
{
    int64_t id;
    RETURN_IF(page_id(p, "id", &id));
    desk_finder f = {0};
    call_view *v = malloc(sizeof *v);
    if (!v) return trouble(TUFA_MEMORY, "call", NULL);
    tufa_code code = desk_call_view(p->d, &f, id, v, &p->note);
    tufa_status st = code == TUFA_OK ? put_visit(p, &f, v) : (tufa_status){.code = code};
    if (st.code == TUFA_OK) page_keep(p);
    free(v);
    desk_finder_free(&f);
    return st;
}
