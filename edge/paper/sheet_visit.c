/* The sheet of a cleaning, a turnover, or a visit after the house stood empty. */
#include "edge/desk/visit_words.h"
#include "edge/paper/sheet.h"

static void head(const document_ask *ask, paper *p, const ahead_answer *a, const visit_plan *v)
{
    text w = {0};
    say_visit_head(&w, ask->d->units, v);
    text_add(&w, ".");
    sheet_head(ask, p, v->kind == TUFA_VISIT_TURNOVER ? "Turnover sheet" : "Job sheet", a, text_str(&w));
    text_free(&w);
}

static void expected_figures(paper *p, unit_system s, const ahead_answer *a, const visit_plan *v)
{
    expected e = {0};
    text w = {0};
    for (int i = 0; i < v->expects; i++) {
        say_visit_expect(&w, s, &v->expect[i]);
        expect(&e, v->expect[i].what, &w);
    }
    say_volume(&w, s, a->hot.first_draw_m3);
    expect(&e, "hot water in one draw, from all hot", &w);
    if (a->hot.recovery_s > 0.0) say_quantity(&w, s, Q_TIME, a->hot.recovery_s);
    expect(&e, "from all cold until it is hot", &w);
    if (v->has_figures) {
        say_value(&w, s, Q_MASS, v->figures.out_kg);
        expect(&e, "sediment out, dry", &w);
        say_value(&w, s, Q_VOLUME, v->figures.water_m3);
        expect(&e, "water used", &w);
    }
    paper_heading(p, "Readings");
    paper_expected(p, &e);
    for (size_t i = 0; v->has_figures && i < v->figures.reasons; i++) text_addf(&w, "%s%s", i ? " " : "", v->figures.reason[i]);
    paper_words(p, paper_para, &w);
}

static void waste(paper *p, unit_system s, const visit_plan *v)
{
    if (!v->has_figures) return;
    text w = {0};
    text_addf(&w, "%s. Solids, dry: ", tufa_method_at(v->method)->waste_to);
    say_value(&w, s, Q_MASS, v->figures.waste_kg);
    text_add(&w, ".");
    if (w.len && w.s[0] >= 'a' && w.s[0] <= 'z') w.s[0] = (char)(w.s[0] - 'a' + 'A');
    paper_together(p);
    paper_led(p, "Waste.", text_str(&w));
    paper_blank(p, "Went to", 1.0);
    text_free(&w);
    paper_together_end(p);
}

tufa_code sheet_of_visit(const document_ask *ask, paper *p, const ahead_answer *a, const char *kind, const char *method, trouble_note *note)
{
    visit_plan v;
    tufa_step step[PARTS_STEPS];
    works w = {0};
    tufa_code code = desk_visit_plan(ask->d, a->c.heater.label, kind, method, &v, note);
    if (code != TUFA_OK) return code;
    tufa_fuel fuel = v.heater.tank.fuel;
    size_t n = tufa_visit_steps(v.kind, v.method, fuel, v.heater.one_element, PARTS_STEPS, step);
    if (n > PARTS_STEPS) n = PARTS_STEPS;
    head(ask, p, a, &v);
    const char *own[4];
    visit_works(&v, own);
    for (size_t i = 0; own[i]; i++) works_add(&w, own[i]);
    for (size_t i = 0; i < n; i++) works_add(&w, step[i].reading);
    paper_columns(p);
    paper_heading(p, "Before anything is touched");
    paper_cautions(p, &w, fuel);
    paper_heading(p, "Order of work");
    paper_steps(p, ask->d->units, step, n, 1, NULL);
    expected_figures(p, ask->d->units, a, &v);
    paper_kit(p, v.kind, v.method, fuel);
    waste(p, ask->d->units, &v);
    sheet_foot(p);
    paper_columns_end(p);
    return TUFA_OK;
}
