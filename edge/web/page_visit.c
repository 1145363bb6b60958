/* One visit planned: cautions, order of work with isolation first, what to expect, what to bring, the notice, the waste. */
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/say/clean.h"
#include "edge/web/visit_page.h"

enum { MOST_STEPS = 96 };

/* ---- which visit ---- */

static void put_which(page *p, int64_t heater, const visit_plan *v)
{
    static const pick KINDS[] = {{"clean", "a cleaning"}, {"turnover", "between two households"}, {"standing", "after standing empty for weeks"}};
    pick methods[TUFA_METHOD_COUNT + 1] = {{"", "the first choice"}};
    for (int m = 0; m < TUFA_METHOD_COUNT; m++) methods[m + 1] = (pick){tufa_method_at((tufa_method_id)m)->id, tufa_method_at((tufa_method_id)m)->title};
    details_begin(p->out, "Another visit, another method, day and hours");
    put_ask_form(p, "/visit");
    put_hidden_id(p, "heater", heater);
    put_select(p, "kind", "What for", KINDS, sizeof KINDS / sizeof KINDS[0], v ? visit_kind_keys[v->kind] : "clean", NULL);
    put_select(p, "method", "By which method, if it is a cleaning", methods, TUFA_METHOD_COUNT + 1, "", NULL);
    put_input(p, "day", "Day", "", p->d->units == UNITS_US ? "3/12/2026 or 2026-03-12; left empty, the notice has a blank" : "2026-03-12; left empty, the notice has a blank");
    put_input(p, "from", "From", "", "9, 9:30, 1 pm");
    put_input(p, "until", "Until", "", "Left empty, it follows from the minutes of the work");
    put_form_end(p, "Show this plan");
    details_end(p->out);
}

/* ---- the order of work ---- */

static void put_steps(page *p, const visit_plan *v)
{
    tufa_step step[MOST_STEPS];
    size_t n = tufa_visit_steps(v->kind, v->method, v->heater.tank.fuel, v->heater.one_element, MOST_STEPS, step);
    int phase = -1;
    RAW(p->out, "<h2 id=\"order\">Order of work</h2>");
    for (size_t i = 0; i < n && i < MOST_STEPS; i++) {
        if ((int)step[i].phase != phase) {
            if (phase >= 0) RAW(p->out, "</ol>");
            RAW(p->out, "<h3>");
            const char *words = tufa_step_phase_words(step[i].phase);
            text_addf(p->out, "%c%s", words[0] - 'a' + 'A', words + 1);
            text_addf(p->out, "</h3><ol start=\"%zu\">", i + 1);
            phase = (int)step[i].phase;
        }
        RAW(p->out, "<li>");
        put_html(p->out, step[i].words);
        RAW(p->out, "</li>");
    }
    if (phase >= 0) RAW(p->out, "</ol>");
}

static void put_expects(page *p, const visit_plan *v)
{
    text w = {0};
    if (v->expects == 0) return;
    RAW(p->out, "<h2 id=\"expect\">What to expect</h2>");
    facts_begin(p->out);
    for (int i = 0; i < v->expects; i++) {
        say_visit_expect(&w, p->d->units, &v->expect[i]);
        put_fact_words(p->out, v->expect[i].what, &w);
    }
    facts_end(p->out);
    text_free(&w);
}

static void put_van(page *p, const visit_plan *v)
{
    tufa_kit_item kit[MOST_STEPS];
    size_t n = tufa_visit_kit(v->kind, v->method, v->heater.tank.fuel, MOST_STEPS, kit);
    RAW(p->out, "<h2 id=\"van\">In the van</h2>");
    RAW(p->out, "<ul>");
    for (size_t i = 0; i < n && i < MOST_STEPS; i++) {
        RAW(p->out, "<li>");
        put_html(p->out, kit[i].what);
        if (kit[i].size[0]) RAW(p->out, ": ");
        put_html(p->out, kit[i].size);
        if (kit[i].part) RAW(p->out, " (used up)");
        RAW(p->out, "</li>");
    }
    RAW(p->out, "</ul>");
}

static void put_work_ahead(page *p, const visit_plan *v)
{
    if (!v->has_figures) return;
    const tufa_method_answer *m = &v->figures;
    unit_system s = p->d->units;
    text w = {0};
    text_add(&w, "It takes ");
    say_value(&w, s, Q_MASS, m->out_kg);
    text_add(&w, " out of ");
    say_value(&w, s, Q_MASS, v->heater.tank.bed_kg);
    text_add(&w, " with ");
    say_quantity(&w, s, Q_VOLUME, m->water_m3.mid);
    text_addf(&w, " of water. Waste: %s.", tufa_method_at(v->method)->waste_to);
    put_paragraph_words(p->out, &w);
    put_reasons(p->out, m);
    text_free(&w);
}

static const char *const WHEN[] = {"day", "from", "until"};

static void put_notice(page *p, const visit_plan *v)
{
    text w = {0};
    RAW(p->out, "<h2 id=\"notice\">Notice to the household</h2>");
    say_visit_notice(&w, p->d->units, v);
    RAW(p->out, "<blockquote>");
    put_paragraph_words(p->out, &w);
    RAW(p->out, "</blockquote>");
    if (!v->owner[0] || !v->phone[0])
        put_paragraph(p->out, "Your name and telephone number stand here once they are among the settings (owner, phone); until then write them in.");
    put_paragraph(p->out, "How many days beforehand it must reach them, and how, is a matter of your town's rule and the lease.");
    text_addf(&w, "/paper?document=notice&heater=%lld&kind=%s", (long long)v->heater.id, visit_kind_keys[v->kind]);
    if (v->has_figures) text_addf(&w, "&method=%s", tufa_method_at(v->method)->id);
    for (size_t i = 0; i < sizeof WHEN / sizeof WHEN[0]; i++) {
        if (!page_field(p, WHEN[i])[0]) continue;
        text_addf(&w, "&%s=", WHEN[i]);
        put_query(&w, page_field(p, WHEN[i]));
    }
    RAW(p->out, "<p>");
    put_link(p->out, text_str(&w), "The notice to print");
    RAW(p->out, " &middot; ");
    put_link(p->out, "/notice", "Change its text");
    RAW(p->out, "</p>");
    text_free(&w);
}

static void put_links(page *p, int64_t id, const visit_plan *v)
{
    text to = {0};
    RAW(p->out, "<p>");
    if (v) {
        text_addf(&to, "/paper?document=sheet&heater=%lld&kind=%s", (long long)id, visit_kind_keys[v->kind]);
        if (v->has_figures) text_addf(&to, "&method=%s", tufa_method_at(v->method)->id);
        put_link(p->out, text_str(&to), "The sheet to print");
        RAW(p->out, " &middot; ");
    }
    text_free(&to);
    put_heater_page_link(p, "/visit/record", id, "Write down what was found and done");
    RAW(p->out, " &middot; ");
    put_heater_page_link(p, "/clean", id, "The methods compared");
    RAW(p->out, " &middot; ");
    put_id_link(p->out, "/heater", "id", id, "This heater");
    RAW(p->out, "</p>");
}

static const char *field_or_null(const page *p, const char *name) { return page_field(p, name)[0] ? page_field(p, name) : NULL; }

/* A question that cannot be answered keeps what was typed and shows its message beside the field. */
static tufa_status ask_again(page *p, int64_t id, const trouble_note *note)
{
    if (strcmp(note->field, "heater") == 0 || note->code == TUFA_MISSING) return page_desk(p, note->code, note);
    p->note = *note;
    p->a->code = 422;
    if (note->code == TUFA_REFUSED) {
        RAW(p->out, "<p class=\"error\" role=\"alert\">");
        put_html(p->out, note->value);
        RAW(p->out, ": ");
        put_html(p->out, note->why);
        RAW(p->out, "</p>");
    }
    put_which(p, id, NULL);
    put_links(p, id, NULL);
    return OK;
}

tufa_status page_visit(page *p)
{
    int64_t id;
    char name[24];
    trouble_note note = {0};
    RETURN_IF(page_heater_name(p, &id, name));
    visit_plan *v = malloc(sizeof *v);
    if (!v) return trouble(TUFA_MEMORY, "visit", NULL);
    tufa_code code = desk_visit_plan(p->d, name, field_or_null(p, "kind"), field_or_null(p, "method"), v, &note);
    if (code == TUFA_OK) code = desk_visit_when(p->d, page_field(p, "day"), page_field(p, "from"), page_field(p, "until"), v, &note);
    if (code != TUFA_OK) {
        free(v);
        return ask_again(p, id, &note);
    }
    page_keep(p);
    text w = {0};
    if (v->against) {
        text_addf(&w, "%s What follows is a plain flush, should you want it all the same.", v->against);
        put_caution(p->out, "No cleaning is advised here", text_str(&w));
        text_clear(&w);
    }
    text_addf(&w, "%s: %s", v->heater.label, v->kind == TUFA_VISIT_CLEAN ? tufa_method_at(v->method)->title : visit_kind_words(v->kind));
    page_title(p, text_str(&w));
    text_clear(&w);
    say_visit_head(&w, p->d->units, v);
    text_add(&w, ".");
    put_paragraph_words(p->out, &w);
    text_free(&w);
    put_work_ahead(p, v);
    put_which(p, id, v);
    put_links(p, id, v);
    RAW(p->out, "<p>On this page: cautions, ");
    put_link(p->out, "#order", "order of work");
    RAW(p->out, ", ");
    put_link(p->out, "#expect", "what to expect");
    RAW(p->out, ", ");
    put_link(p->out, "#van", "what goes in the van");
    RAW(p->out, ", ");
    put_link(p->out, "#notice", "notice");
    RAW(p->out, ".</p>");
    const char *works[4];
    visit_works(v, works);
    put_heading(p->out, "Before you touch it");
    put_paragraph(p->out, "Local codes and licensed practice come first.");
    put_work_cautions(p, works, v->heater.tank.fuel, true);
    put_steps(p, v);
    put_expects(p, v);
    put_van(p, v);
    put_notice(p, v);
    free(v);
    return OK;
}
