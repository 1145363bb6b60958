/* tufa visit plan, record and stock. */
#include <string.h>

#include "core/base/units.h"
#include "edge/cli/book_args.h"
#include "edge/cli/clean_json.h"
#include "edge/desk/visit_words.h"
#include "edge/say/clean.h"
#include "edge/say/day.h"

enum { WIDTH = 96, MOST = 96 };

static void wrapped(text *t, const char *words, size_t indent)
{
    text_pad_to(t, indent);
    text_add_wrapped(t, words, WIDTH, indent);
    text_add(t, "\n");
}

static void say_steps(text *t, const visit_plan *p)
{
    tufa_step step[MOST];
    size_t n = tufa_visit_steps(p->kind, p->method, p->heater.tank.fuel, p->heater.one_element, MOST, step);
    int phase = -1;
    for (size_t i = 0; i < n && i < MOST; i++) {
        if ((int)step[i].phase != phase) text_addf(t, "\n%s\n", tufa_step_phase_words(step[i].phase));
        phase = (int)step[i].phase;
        text_addf(t, "%4zu ", i + 1);
        text_add_wrapped(t, step[i].words, WIDTH, 5);
        text_add(t, "\n");
    }
}

static void say_kit(text *t, const visit_plan *p)
{
    tufa_kit_item kit[MOST];
    size_t n = tufa_visit_kit(p->kind, p->method, p->heater.tank.fuel, MOST, kit);
    text_add(t, "\nIn the van\n");
    for (size_t i = 0; i < n && i < MOST; i++) {
        text x = {0};
        text_addf(&x, "%s%s%s%s", kit[i].what, kit[i].size[0] ? ": " : "", kit[i].size, kit[i].part ? " (used up)" : "");
        wrapped(t, text_str(&x), 4);
        text_free(&x);
    }
}

static void say_figures(text *t, unit_system s, const visit_plan *p)
{
    if (!p->has_figures) return;
    const tufa_method_answer *m = &p->figures;
    text_add(t, "Expected: takes ");
    say_value(t, s, Q_MASS, m->out_kg);
    text_add(t, " of ");
    say_value(t, s, Q_MASS, p->heater.tank.bed_kg);
    text_add(t, "; water ");
    say_value(t, s, Q_VOLUME, m->water_m3);
    text_addf(t, "; waste: %s.\n", tufa_method_at(p->method)->waste_to);
    if (m->hose_m_s.mid > 0.0) {
        text_add(t, "Flow at the hose end ");
        say_quantity(t, s, Q_FLOW, m->flow_m3_s.mid);
        text_add(t, " with nothing in the way; far under it and clear means an arch of grains.\n");
    }
    for (size_t i = 0; i < m->reasons; i++) {
        text_add(t, "  - ");
        text_add_wrapped(t, m->reason[i], WIDTH, 4);
        text_add(t, "\n");
    }
}

static void say_expects(text *t, unit_system s, const visit_plan *p)
{
    if (p->expects) text_add(t, "\nWhat to expect\n");
    for (int i = 0; i < p->expects; i++) {
        const visit_expect *e = &p->expect[i];
        text x = {0};
        text_addf(&x, "%s: ", e->what);
        say_visit_expect(&x, s, e);
        wrapped(t, text_str(&x), 4);
        text_free(&x);
    }
}

static void say_plan(text *t, unit_system s, const visit_plan *p)
{
    if (p->against) {
        text x = {0};
        text_addf(&x, "No cleaning is advised here: %s What follows is a plain flush, should you want it all the same.", p->against);
        wrapped(t, text_str(&x), 0);
        text_free(&x);
    }
    say_visit_head(t, s, p);
    text_add(t, "\n");
    say_figures(t, s, p);
    say_steps(t, p);
    say_expects(t, s, p);
    say_kit(t, p);
    text_add(t, "\nNotice\n");
    text notice = {0};
    say_visit_notice(&notice, s, p);
    wrapped(t, text_str(&notice), 4);
    text_free(&notice);
    const char *works[4];
    visit_works(p, works);
    say_work_cautions(t, works, p->heater.tank.fuel, true);
}

static json_t *expects_json(const visit_plan *p)
{
    json_t *list = json_array();
    for (int i = 0; i < p->expects; i++) {
        const visit_expect *e = &p->expect[i];
        json_array_append_new(list, json_pack("{s:s, s:s, s:o, s:o}", "what", e->what, "quantity", quantities[e->q].word, "before",
                                              clean_value_json(e->before, 1.0), "after", clean_value_json(e->after, 1.0)));
    }
    return list;
}

static json_t *plan_json(unit_system s, const visit_plan *p)
{
    json_t *j = json_object();
    tufa_fuel fuel = p->heater.tank.fuel;
    text notice = {0}, day = {0};
    say_visit_notice(&notice, s, p);
    write_day(&day, p->day);
    json_object_set_new(j, "heater", json_string(p->heater.label));
    json_object_set_new(j, "house", json_string(p->heater.house));
    json_object_set_new(j, "kind", json_string(visit_kind_keys[p->kind]));
    json_object_set_new(j, "method", p->has_figures ? json_string(tufa_method_at(p->method)->id) : json_null());
    json_object_set_new(j, "against", p->against ? json_string(p->against) : json_null());
    json_object_set_new(j, "minutes", json_real(p->minutes));
    if (p->has_figures) json_object_set_new(j, "work_minutes", json_real(p->work_minutes));
    if (p->has_figures) {
        json_object_set_new(j, "out_kg", clean_value_json(p->figures.out_kg, 1.0));
        json_object_set_new(j, "water_L", clean_value_json(p->figures.water_m3, 1e3));
        json_object_set_new(j, "flow_L_min", clean_value_json(p->figures.flow_m3_s, L_min_from_m3_s(1.0)));
        json_object_set_new(j, "waste_to", json_string(tufa_method_at(p->method)->waste_to));
    }
    if (p->heater.element_W > 0.0) json_object_set_new(j, "demand_W", json_real(p->heater.element_W));
    json_object_set_new(j, "steps", clean_steps_json(p->kind, p->method, fuel, p->heater.one_element));
    json_object_set_new(j, "kit", clean_kit_json(p->kind, p->method, fuel));
    json_object_set_new(j, "expected", expects_json(p));
    json_object_set_new(j, "day", p->day ? json_string(text_str(&day)) : json_null());
    json_object_set_new(j, "from_min", p->from_min < 0 ? json_null() : json_integer(p->from_min));
    json_object_set_new(j, "until_min", p->until_min < 0 ? json_null() : json_integer(p->until_min));
    json_object_set_new(j, "notice", json_string(text_str(&notice)));
    const char *works[4];
    visit_works(p, works);
    json_object_set_new(j, "cautions", clean_cautions_json(works, fuel));
    text_free(&notice);
    text_free(&day);
    return j;
}

static int missing_heater(cli *c)
{
    trouble_note note = {0};
    note_set(&note, TUFA_MISSING, "HEATER", "", "its label or number", "say which heater");
    return cli_fail(c, &note);
}

int cmd_visit_plan(cli *c)
{
    desk d;
    visit_plan p;
    trouble_note note = {0};
    if (c->operands < 1) return missing_heater(c);
    int code = cli_open(c, false, &d);
    if (code) return code;
    unit_system s = d.units;
    tufa_code found = desk_visit_plan(&d, c->operand[0], cli_opt(c, OPT_KIND), cli_opt(c, OPT_METHOD), &p, &note);
    if (found == TUFA_OK) found = desk_visit_when(&d, cli_opt(c, OPT_DAY), cli_opt(c, OPT_FROM), cli_opt(c, OPT_UNTIL), &p, &note);
    desk_close(&d);
    if (found != TUFA_OK) return cli_fail(c, &note);
    text t = {0};
    if (cli_opt(c, OPT_JSON)) clean_json_line(&t, plan_json(s, &p));
    else say_plan(&t, s, &p);
    return cli_finish(c, &t, 0);
}

int cmd_visit_record(cli *c)
{
    desk d;
    trouble_note note = {0};
    if (c->operands < 1) return missing_heater(c);
    int code = cli_open(c, true, &d);
    if (code) return code;
    text t = {0};
    tufa_code kept = desk_visit_record(&d, c->operand[0], c->operand + 1, c->operands - 1, &t, &note);
    desk_close(&d);
    if (kept != TUFA_OK) {
        text_free(&t);
        return cli_fail(c, &note);
    }
    text_add(&t, "`tufa prove` says what is left.\n");
    const tufa_caution *card = tufa_caution_find("C_CLOSE");
    text_addf(&t, "\n%s: ", card->title);
    text_add_wrapped(&t, card->words, WIDTH, 2);
    text_add(&t, "\n");
    return cli_finish(c, &t, 0);
}

/* ---- visits that were ---- */

static void say_past(text *t, unit_system s, const visit_past *v)
{
    say_visit_past(t, s, v);
    text_add(t, "\n");
    for (int i = 0; i < v->founds;) {
        text_add(t, "    ");
        i += say_found(t, s, v, i);
        text_add(t, "\n");
    }
    for (int i = 0; i < v->parts; i++) {
        text_add(t, "    used: ");
        say_part_used(t, &v->part[i]);
        text_add(t, "\n");
    }
    for (int i = 0; i < v->photos; i++) text_addf(t, "    picture: %s\n", v->photo[i]);
}

static json_t *past_json(const visit_past *v)
{
    json_t *found = json_array(), *parts = json_array(), *photos = json_array();
    text day = {0}, work = {0};
    write_day(&day, v->visit.day);
    if (v->visit.id) work_word(&work, v->visit.work);
    for (int i = 0; i < v->founds; i++) {
        size_t n = strcspn(finding_rows[v->found[i].kind].names, "|");
        json_array_append_new(found, json_pack("{s:s%, s:o}", "what", finding_rows[v->found[i].kind].names, n, "si", clean_value_json(v->found[i].value, 1.0)));
    }
    for (int i = 0; i < v->parts; i++) json_array_append_new(parts, json_pack("{s:s, s:f}", "item", v->part[i].item, "pieces", -v->part[i].pieces));
    for (int i = 0; i < v->photos; i++) json_array_append_new(photos, json_string(v->photo[i]));
    json_t *j = json_pack("{s:s, s:o, s:o, s:o, s:s, s:s, s:o, s:o, s:o}", "day", text_str(&day), "work", v->visit.id ? json_string(text_str(&work)) : json_null(), "spent_s",
                          clean_value_json(v->visit.spent_s, 1.0), "cost_usd", clean_value_json(v->visit.cost_cents, 0.01), "note", v->visit.note, "source",
                          v->visit.source, "found", found, "parts", parts, "photos", photos);
    text_free(&day);
    text_free(&work);
    return j;
}

int cmd_visit_show(cli *c)
{
    desk d;
    visit_history h;
    trouble_note note = {0};
    if (c->operands < 1) return missing_heater(c);
    int code = cli_open(c, false, &d);
    if (code) return code;
    unit_system s = d.units;
    tufa_code found = desk_visits(&d, c->operand[0], &h, &note);
    desk_close(&d);
    if (found != TUFA_OK) return cli_fail(c, &note);
    text t = {0};
    bool same = strncmp(h.label, h.house, strlen(h.house)) == 0; /* a label that names its house says it once */
    if (!cli_opt(c, OPT_JSON)) text_addf(&t, "%s%s%s: %s\n", h.label, same ? "" : ", ", same ? "" : h.house, h.n ? "visits and findings, the newest first" : "no visit and no finding in the book yet");
    for (int i = 0; i < h.n; i++) {
        if (cli_opt(c, OPT_JSON)) clean_json_line(&t, past_json(&h.visit[i]));
        else say_past(&t, s, &h.visit[i]);
    }
    desk_visits_free(&h);
    return cli_finish(c, &t, 0);
}

int cmd_visit_stock(cli *c)
{
    desk d;
    trouble_note note = {0};
    int code = cli_open(c, c->operands > 0, &d);
    if (code) return code;
    text t = {0};
    tufa_code said = desk_stock(&d, c->operand, c->operands, &t, cli_opt(c, OPT_JSON) != NULL, &note);
    desk_close(&d);
    if (said == TUFA_OK) return cli_finish(c, &t, 0);
    text_free(&t);
    return cli_fail(c, &note);
}
