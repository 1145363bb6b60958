/* The cleaning methods compared for one tank, with what speaks against each, what the figures rest on, and his own tools. */
#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "core/base/units.h"
#include "edge/desk/set.h"
#include "edge/desk/tools.h"
#include "edge/say/clean.h"
#include "edge/web/visit_page.h"

enum { MOST_KIT = 48 };

static bool may_be_done(const tufa_method_answer *m) { return m->verdict <= TUFA_VERDICT_LITTLE; }

/* ---- the chart: takes out, with its range ---- */

static void say_method_at(text *t, double x)
{
    static const char *const SHORT[TUFA_METHOD_COUNT] = {"flush", "vinegar", "citric", "air", "vacuum", "stirrer", "scraping"};
    int i = (int)floor(x + 0.5) - 1;
    if (fabs(x - floor(x + 0.5)) < 1e-6 && i >= 0 && i < TUFA_METHOD_COUNT) text_add(t, SHORT[i]);
}
static void say_lb(text *t, double lb) { say_number(t, lb, 2), text_add(t, " lb"); }
static void say_kg(text *t, double kg) { say_number(t, kg, 2), text_add(t, " kg"); }

static void put_chart(page *p, const clean_heater *h, const tufa_clean_answer *a)
{
    double x[TUFA_METHOD_COUNT], y[TUFA_METHOD_COUNT], lo[TUFA_METHOD_COUNT], hi[TUFA_METHOD_COUNT];
    bool us = p->d->units == UNITS_US;
    double one = us ? 1.0 / units[UNIT_LB].one : 1.0;
    size_t n = 0;
    for (int m = 0; m < TUFA_METHOD_COUNT; m++) {
        const tufa_method_answer *k = &a->method[m];
        if (!may_be_done(k)) continue;
        x[n] = m + 1.0, y[n] = k->out_kg.mid * one, lo[n] = k->out_kg.lo * one, hi[n] = k->out_kg.hi * one;
        n++;
    }
    plot pl = {.id = "methods", .title = "What each method takes out of this tank", .x_name = "", .y_name = us ? "pounds, dry" : "kilograms, dry",
               .description = "For each method that may be used here: the middle as a dot, and as a line the range in which the truth lies eight times in ten. "
                              "The level is the sediment that lies in the tank.",
               .series_count = 1, .level_count = 1, .y_from_zero = 1, .x_lo = 0.5, .x_hi = TUFA_METHOD_COUNT + 0.5, .say_x = say_method_at, .say_y = us ? say_lb : say_kg};
    pl.series[0] = (plot_series){.kind = PLOT_POINTS, .name = "taken out", .n = n, .x = x, .y = y, .lo = lo, .hi = hi};
    pl.level[0] = (plot_level){h->tank.bed_kg.mid * one, "in the tank"};
    put_plot(p->out, &pl);
}

/* ---- the table ---- */

/* The middle, and under it the range: "0.6 lb (likely 0.2 to 1.7)" on two lines. */
static void cell_value_of(page *p, text *w, quantity q, tufa_value v)
{
    static const char LIKELY[] = " (likely ";
    say_value(w, p->d->units, q, v);
    char *range = w->len ? strstr(w->s, LIKELY) : NULL;
    RAW(p->out, "<td class=\"n\">");
    if (range) {
        char *end = strrchr(range, ')');
        if (end) *end = 0;
        *range = 0;
        put_html(p->out, w->s);
        RAW(p->out, "<br><span class=\"soft\">");
        put_html(p->out, range + strlen(LIKELY));
        RAW(p->out, "</span>");
    } else {
        put_html(p->out, text_str(w));
    }
    RAW(p->out, "</td>");
    text_clear(w);
}

static void put_plugs(page *p, const tufa_method_answer *m, text *w)
{
    if (m->plugs.hi < 0.5) {
        cell_figure(p->out, "none");
        return;
    }
    RAW(p->out, "<td class=\"n\">");
    text_addf(w, "%.0f", m->plugs.mid);
    put_html_text(p->out, w);
    RAW(p->out, "<br><span class=\"soft\">");
    text_addf(w, "%.0f to %.0f", m->plugs.lo, m->plugs.hi);
    put_html_text(p->out, w);
    RAW(p->out, "</span></td>");
}

static void put_method_row(page *p, const tufa_method_answer *m, text *w)
{
    const tufa_method_row *row = tufa_method_at(m->method);
    row_begin(p->out);
    RAW(p->out, "<th scope=\"row\"><a href=\"#");
    put_html(p->out, row->id);
    RAW(p->out, "\">");
    put_html(p->out, row->title);
    RAW(p->out, "</a></th>");
    cell_value_of(p, w, Q_MASS, m->out_kg);
    cell_value_of(p, w, Q_MASS, m->left_kg);
    cell_value_of(p, w, Q_TIME, m->onsite_s);
    say_quantity(w, p->d->units, Q_VOLUME, m->water_m3.mid);
    cell_figure_words(p->out, w);
    put_plugs(p, m, w);
    if (m->reach_level_m.mid > 0.0 && m->hose_m_s.mid > 0.0) say_about(w, p->d->units, Q_DISTANCE, m->reach_level_m.mid);
    else text_add(w, m->hose_m_s.mid > 0.0 ? "not at all" : tufa_method_at(m->method)->uses_hose ? "no grains in it" : "no hose");
    cell_figure_words(p->out, w);
    row_end(p->out);
}

static void put_table(page *p, const tufa_clean_answer *a)
{
    static const char *const heads[] = {"Method", "=Takes out", "=Leaves", "=Its time", "=Water", "=Plugs to clear", "=Hose carries it", NULL};
    text w = {0};
    table_begin(p->out, "The methods that may be used here", true, heads);
    for (int m = 0; m < TUFA_METHOD_COUNT; m++)
        if (may_be_done(&a->method[m])) put_method_row(p, &a->method[m], &w);
    table_end(p->out);
    put_paragraph(p->out, "Under each figure the range in which it lies eight times in ten. How far a hose carries the slurry is told for level ground.");
    text_free(&w);
}

static void put_refused(page *p, const clean_heater *h, const tufa_clean_answer *a)
{
    bool any = false;
    text w = {0};
    for (int m = 0; m < TUFA_METHOD_COUNT; m++) {
        const tufa_method_answer *k = &a->method[m];
        if (may_be_done(k)) continue;
        if (!any) RAW(p->out, "<h2>Not here</h2><ul>");
        any = true;
        RAW(p->out, "<li><strong>");
        put_html(p->out, tufa_method_at(k->method)->title);
        RAW(p->out, "</strong> ");
        put_html(p->out, say_verdict(k->verdict));
        RAW(p->out, ".");
        for (size_t i = 0; i < k->reasons; i++) {
            RAW(p->out, " ");
            put_html(p->out, k->reason[i]);
        }
        say_acid_reach(&w, p->d->units, &h->tank, k);
        if (w.len) {
            RAW(p->out, " ");
            put_html_text(p->out, &w);
            RAW(p->out, ".");
        }
        RAW(p->out, "</li>");
    }
    if (any) RAW(p->out, "</ul>");
    text_free(&w);
}

/* ---- one method ---- */

static void put_sizes(page *p, const tufa_method_answer *m)
{
    static const char *const heads[] = {"Grains", "=Taken out", NULL};
    text w = {0};
    details_begin(p->out, "By size of grain");
    table_begin(p->out, "Taken out by size of grain", false, heads);
    for (int i = 0; i < TUFA_CLEAN_CLASSES; i++) {
        row_begin(p->out);
        cell_head(p->out, say_size_class(i));
        cell_value_of(p, &w, Q_MASS, m->class_kg[i]);
        row_end(p->out);
    }
    table_end(p->out);
    details_end(p->out);
    text_free(&w);
}

static void put_kit(page *p, tufa_method_id method, tufa_fuel fuel)
{
    tufa_kit_item kit[MOST_KIT];
    size_t n = tufa_visit_kit(TUFA_VISIT_CLEAN, method, fuel, MOST_KIT, kit);
    text w = {0};
    for (size_t i = 0; i < n && i < MOST_KIT; i++) text_addf(&w, "%s%s%s%s%s", i ? "; " : "", kit[i].what, kit[i].size[0] ? " (" : "", kit[i].size, kit[i].size[0] ? ")" : "");
    details_begin(p->out, "What goes in the van");
    put_paragraph_words(p->out, &w);
    details_end(p->out);
    text_free(&w);
}

static void put_facts(page *p, const clean_heater *h, const tufa_method_answer *m)
{
    unit_system s = p->d->units;
    text w = {0};
    facts_begin(p->out);
    say_value(&w, s, Q_TIME, m->labour_s);
    put_fact_words(p->out, "Your own work", &w);
    text_addf(&w, "%s", tufa_method_at(m->method)->waste_to);
    put_fact_words(p->out, "Where the waste goes", &w);
    say_quantity(&w, s, Q_VOLUME, m->water_m3.mid);
    text_addf(&w, " of water, %.2g %% of it solids by weight", 100.0 * m->waste_share.mid);
    put_fact_words(p->out, "How much of it", &w);
    say_hose_words(&w, s, &h->tank, m);
    if (w.len) put_fact(p->out, "In the hose", text_str(&w) + strlen("hose: "));
    text_clear(&w);
    if (m->gas_m3.mid > 0.0) {
        say_quantity(&w, s, Q_VOLUME, m->gas_m3.mid);
        put_fact_words(p->out, "Carbon dioxide given off", &w);
    }
    say_acid_reach(&w, s, &h->tank, m);
    if (w.len) put_fact_words(p->out, "The acid", &w);
    facts_end(p->out);
    text_free(&w);
}

/* With how many of the methods here it goes; every one where it goes with every visit. */
static int goes_with(const tufa_caution *c, const tufa_clean_answer *a, tufa_caution_fuel fuel, int *here)
{
    int n = 0;
    *here = 0;
    for (int m = 0; m < TUFA_METHOD_COUNT; m++) {
        if (!may_be_done(&a->method[m])) continue;
        ++*here;
        n += tufa_caution_applies(c, tufa_method_at((tufa_method_id)m)->code, fuel) != 0;
    }
    return tufa_caution_applies(c, "all", TUFA_CAUTION_ANY) ? *here : n;
}

/* What makes one leave or stop in a frame and whole, the rest in brief; `also`: said behind its title. */
static void put_brief(page *p, const tufa_caution *c, const char *also)
{
    bool framed = c->level < TUFA_CAUTION_LICENSED;
    RAW(p->out, "<p id=\"");
    put_html(p->out, c->id);
    text_addf(p->out, "\"%s><strong>", framed ? " class=\"caution\"" : "");
    put_html(p->out, say_caution_level(c->level));
    RAW(p->out, ": ");
    put_html(p->out, c->title);
    put_html(p->out, also);
    RAW(p->out, ".</strong> ");
    put_html(p->out, framed ? c->words : c->brief);
    RAW(p->out, "</p>");
}

static tufa_caution_fuel caution_fuel(const clean_heater *h) { return h->tank.fuel == TUFA_ELECTRIC ? TUFA_CAUTION_ELECTRIC : TUFA_CAUTION_GAS; }

/* Once each, before the methods: what goes with every one of them, then what goes with several, which are named. */
static void put_shared_cautions(page *p, const clean_heater *h, const tufa_clean_answer *a)
{
    tufa_caution_fuel fuel = caution_fuel(h);
    for (int every = 1; every >= 0; every--)
        for (size_t i = 0; i < tufa_caution_count(); i++) {
            const tufa_caution *c = tufa_caution_at(i);
            int here, n = goes_with(c, a, fuel, &here);
            if (n == 0 || (every ? n < here : n < 2 || n == here) || strcmp(c->id, "C_CLOSE") == 0) continue;
            text also = {0};
            for (int m = 0; !every && m < TUFA_METHOD_COUNT; m++) {
                const tufa_method_row *row = tufa_method_at((tufa_method_id)m);
                if (may_be_done(&a->method[m]) && tufa_caution_applies(c, row->code, fuel)) text_addf(&also, "%s%s", also.len ? ", " : " (", row->title);
            }
            if (also.len) text_add(&also, ")");
            put_brief(p, c, text_str(&also));
            text_free(&also);
        }
}

/* Beside its method: what goes with it alone; what goes with all or with several by a link up to its words. */
static void put_own_cautions(page *p, const clean_heater *h, const tufa_clean_answer *a, const char *code)
{
    tufa_caution_fuel fuel = caution_fuel(h);
    int here;
    for (size_t i = 0; i < tufa_caution_count(); i++) {
        const tufa_caution *c = tufa_caution_at(i);
        if (tufa_caution_applies(c, code, fuel) && goes_with(c, a, fuel, &here) == 1 && here > 1) put_brief(p, c, "");
    }
    RAW(p->out, "<p>Before it, <a href=\"#before\">all that goes before any of them</a>");
    for (size_t i = 0; i < tufa_caution_count(); i++) {
        const tufa_caution *c = tufa_caution_at(i);
        int n = goes_with(c, a, fuel, &here);
        if (!tufa_caution_applies(c, code, fuel) || n == 1 || n == here) continue;
        RAW(p->out, "; <a href=\"#");
        put_html(p->out, c->id);
        RAW(p->out, "\">");
        put_html(p->out, c->title);
        RAW(p->out, "</a>");
    }
    RAW(p->out, ".</p>");
}

static void put_method(page *p, const clean_heater *h, const tufa_clean_answer *a, const tufa_method_answer *m)
{
    const tufa_method_row *row = tufa_method_at(m->method);
    RAW(p->out, "<h2 id=\"");
    put_html(p->out, row->id);
    RAW(p->out, "\">");
    text w = {0};
    text_addf(&w, "%c%s", row->title[0] - 'a' + 'A', row->title + 1);
    put_html_text(p->out, &w);
    RAW(p->out, "</h2>");
    text_addf(&w, "%c%s: %s.", row->what[0] - 'a' + 'A', row->what + 1, say_verdict(m->verdict));
    put_paragraph_words(p->out, &w);
    put_own_cautions(p, h, a, row->code);
    put_reasons(p->out, m);
    put_facts(p, h, m);
    put_kit(p, m->method, h->tank.fuel);
    put_sizes(p, m);
    text_addf(&w, "/visit?heater=%lld&method=%s", (long long)h->id, row->id);
    RAW(p->out, "<p>");
    put_link(p->out, text_str(&w), "Plan a visit with this method");
    RAW(p->out, "</p>");
    text_free(&w);
}

/* ---- what it rests on ---- */

typedef struct rest {
    const char *what, *field; /* field of the heater's page to correct it by; NULL: a tool, below */
    quantity q;
    size_t offset;
} rest;
#define V(what, field, q, member) {what, field, Q_##q, offsetof(tufa_clean_case, member)}
static const rest RESTS[] = {V("sediment in the tank", "depth", MASS, bed_kg),
                             V("share of it that is cake", NULL, SHARE, cemented_share),
                             V("water pressure, nothing running", "pressure", PRESSURE, static_Pa),
                             V("clear width inside the drain valve", "drain_bore", LENGTH, drain_bore_m),
                             V("clear width inside the hose", "hose_bore", LENGTH, hose_bore_m),
                             V("length of the hose", "hose_run", DISTANCE, hose_length_m),
                             V("rise of the hose", "hose_rise", DISTANCE, rise_m),
                             V("clear width of the hose couplings", NULL, LENGTH, coupling_bore_m),
                             V("clear width of the vacuum's tube", NULL, LENGTH, tube_bore_m)};
#undef V

static void put_rest(page *p, const clean_heater *h, const rest *r, text *w)
{
    const tufa_value *v = (const tufa_value *)((const char *)&h->tank + r->offset);
    bool assumed = v->basis == TUFA_BASIS_DEFAULT, forecast = v->basis == TUFA_BASIS_LEARNED;
    row_begin(p->out);
    cell_head(p->out, r->what);
    say_value(w, p->d->units, r->q, *v);
    cell_words(p->out, w);
    cell(p->out, assumed ? "assumed" : forecast ? "forecast from water, household and what was found" : "said");
    RAW(p->out, "<td>");
    if (forecast) text_addf(w, "/heater?id=%lld", (long long)h->id);
    else if (r->field) text_addf(w, "/heater?id=%lld&field=%s#correct", (long long)h->id, r->field);
    else if (r->offset != offsetof(tufa_clean_case, cemented_share)) text_add(w, "#tools");
    if (w->len) {
        RAW(p->out, "<a href=\"");
        put_html_text(p->out, w);
        RAW(p->out, "\">");
        put_html(p->out, forecast ? "the bed ahead" : "correct");
        RAW(p->out, "<span class=\"unseen\"> ");
        put_html(p->out, r->what);
        RAW(p->out, "</span></a>");
    }
    RAW(p->out, "</td>");
    row_end(p->out);
}

static void put_rests_on(page *p, const clean_heater *h)
{
    static const char *const heads[] = {"What", "Taken as", "From", "To correct", NULL};
    text w = {0};
    put_heading(p->out, "What this rests on");
    table_begin(p->out, "What the figures rest on", false, heads);
    for (size_t i = 0; i < sizeof RESTS / sizeof RESTS[0]; i++) put_rest(p, h, &RESTS[i], &w);
    table_end(p->out);
    put_paragraph(p->out, "A bucket test of one hose tap sharpens the flow most, a jar of the first water the sizes of the grains. Nobody has published how a dip "
                          "tube's jet, a stirrer or a vacuum does in a tank like this: those figures are physics and judgement, and your own weighed jobs are worth more.");
    text_free(&w);
}

/* ---- his tools ---- */

static void put_tools(page *p, const clean_heater *h)
{
    pick picks[TOOL_COUNT + 1] = {{"stirrer", "do you have a rotating stirrer for tanks (yes, no)"}};
    for (int i = 0; i < TOOL_COUNT; i++) picks[i + 1] = (pick){tool_rows[i].name, tool_rows[i].what};
    RAW(p->out, "<h2 id=\"tools\">Your tools</h2>");
    put_paragraph(p->out, "One thing at a time; it counts for every heater. \"?\" takes it back to what is assumed.");
    put_form(p, "/clean");
    put_hidden_id(p, "heater", h->id);
    put_select(p, "tool", "What", picks, TOOL_COUNT + 1, "stirrer", NULL);
    put_input(p, "value", "As it is", "", p->d->units == UNITS_US ? "900, 800..1200, about 0.8 lb, 3 in, yes; or ?" : "900, 800..1200, about 0.4 kg, 75 mm, yes; or ?");
    put_form_end(p, "Keep it");
}

tufa_status page_clean(page *p)
{
    int64_t id;
    char name[24];
    clean_heater h;
    tufa_clean_answer a;
    trouble_note note = {0};
    text w = {0};
    RETURN_IF(page_heater_name(p, &id, name));
    RETURN_IF(page_desk(p, desk_clean_heater(p->d, name, &h, &note), &note));
    RETURN_IF(desk_clean(&h.tank, CLEAN_DRAWS, (uint64_t)h.id, &a));
    page_keep(p);
    text_addf(&w, "%s: how to get it out", h.label);
    page_title(p, text_str(&w));
    text_clear(&w);
    text_add(&w, "In the tank: ");
    say_value(&w, p->d->units, Q_MASS, h.tank.bed_kg);
    text_addf(&w, " of sediment, %.0f %% of it cake (likely %.0f to %.0f). First choice: %s. ", 100.0 * h.tank.cemented_share.mid, 100.0 * h.tank.cemented_share.lo,
              100.0 * h.tank.cemented_share.hi, a.advice == TUFA_METHOD_COUNT ? "none of them" : tufa_method_at(a.advice)->title);
    say_clean_why(&w, &a);
    put_paragraph_words(p->out, &w);
    RAW(p->out, "<p>");
    put_heater_page_link(p, "/visit", id, a.advice == TUFA_METHOD_COUNT ? "Plan a visit" : "Plan a visit with the first choice");
    RAW(p->out, " &middot; ");
    put_id_link(p->out, "/heater", "id", id, "This heater");
    RAW(p->out, " &middot; ");
    put_heater_page_link(p, "/prove", id, "What is left in it");
    RAW(p->out, "</p>");
    put_table(p, &a);
    put_refused(p, &h, &a);
    put_chart(p, &h, &a);
    RAW(p->out, "<h2 id=\"before\">Before any of them</h2>");
    put_paragraph(p->out, "Every job on a heater begins with its breaker locked off and proved dead, or its gas cock shut; the plan of the visit has the order, all cautions in full, and the closing card. Local codes and licensed "
                          "practice come first.");
    put_shared_cautions(p, &h, &a);
    for (int m = 0; m < TUFA_METHOD_COUNT; m++)
        if (may_be_done(&a.method[m])) put_method(p, &h, &a, &a.method[m]);
    put_rests_on(p, &h);
    put_tools(p, &h);
    text_free(&w);
    return OK;
}

tufa_status take_tool(page *p)
{
    int64_t id;
    char name[24], to[64];
    RETURN_IF(page_heater_name(p, &id, name));
    const char *tool = page_field(p, "tool"), *value = page_field(p, "value");
    if (!value[0]) {
        note_set(&p->note, TUFA_MISSING, "value", "", "", "say what it is; ? where nobody knows");
        return page_noted(p, TUFA_MISSING);
    }
    if (tool_find(tool) < 0 && strcmp(tool, "stirrer") != 0) {
        note_set(&p->note, TUFA_UNKNOWN, "tool", tool, "", "this is none of the tools");
        return page_noted(p, TUFA_UNKNOWN);
    }
    set_answer s;
    tufa_code code = desk_set(p->d, "setting", tool, value, &s, NULL, &p->note);
    if (code != TUFA_OK) {
        snprintf(p->note.field, sizeof p->note.field, "value");
        return page_noted(p, code);
    }
    text words = {0};
    text_addf(&words, "Kept: %s is %s.", s.label, text_str(&s.after));
    snprintf(to, sizeof to, "/clean?heater=%lld", (long long)id);
    page_go_saying(p, to, text_str(&words));
    text_free(&words);
    set_answer_free(&s);
    return OK;
}
