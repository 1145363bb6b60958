/* tufa visit plan, record and stock. */
#include <string.h>

#include "core/base/units.h"
#include "edge/cli/book_args.h"
#include "edge/cli/clean_json.h"
#include "edge/desk/visit_desk.h"
#include "edge/say/clean.h"
#include "edge/say/day.h"

enum { WIDTH = 96, MOST = 96 };

static const char *const KIND_WORDS[TUFA_VISIT_KIND_COUNT] = {"cleaning", "turnover", "after standing empty"};
static const char *const KIND_KEYS[TUFA_VISIT_KIND_COUNT] = {"clean", "turnover", "standing"};

static void wrapped(text *t, const char *words, size_t indent)
{
    text_pad_to(t, indent);
    text_add_wrapped(t, words, WIDTH, indent);
    text_add(t, "\n");
}

/* What the tenant is told. Dates and names are filled in by hand: what is not known is a blank to fill. */
static void say_notice(text *t, unit_system s, const visit_plan *p)
{
    (void)s;
    double hours = p->minutes / 60.0 + 1.0; /* and an hour to heat up again: judgement */
    text_addf(t, "To the household at %s. On ____ between ____ and ____ I work on the water heater (%s). Hot water is off for about %.0f hours", p->heater.house,
              p->kind == TUFA_VISIT_CLEAN ? tufa_method_at(p->method)->title : KIND_WORDS[p->kind], hours < 1.0 ? 1.0 : hours);
    text_add(t, p->heater.tank.fuel == TUFA_ELECTRIC ? ", and the heater's breaker is locked off" : ", and the heater's gas is shut");
    text_add(t, ". Please keep children and animals out of the room and leave the way to the heater and the electricity meter free. Cold water may run cloudy for "
                "a minute afterwards. I measure the water at the tub before I leave. A smell of gas, a CO alarm, steam or a scald: leave the house and call ____ "
                "at once. Questions: ____.");
}

static void say_steps(text *t, const visit_plan *p)
{
    tufa_step step[MOST];
    size_t n = tufa_visit_steps(p->kind, p->method, p->heater.tank.fuel, MOST, step);
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
    if (p->heater.element_W > 0.0) text_addf(t, "Watts while the lower element works: %.0f, give or take 5 %%; at rest under 20 to 60.\n", p->heater.element_W);
    for (size_t i = 0; i < m->reasons; i++) {
        text_add(t, "  - ");
        text_add_wrapped(t, m->reason[i], WIDTH, 4);
        text_add(t, "\n");
    }
}

static void visit_works(const visit_plan *p, const char *works[4])
{
    works[0] = p->kind == TUFA_VISIT_CLEAN ? tufa_method_at(p->method)->code : KIND_KEYS[p->kind];
    works[1] = p->kind == TUFA_VISIT_TURNOVER ? "drain_flow" : p->kind == TUFA_VISIT_STANDING ? "dial_mark" : NULL;
    works[2] = p->kind == TUFA_VISIT_TURNOVER ? "meter_rest_W" : NULL;
    works[3] = NULL;
}

static void say_plan(text *t, unit_system s, const visit_plan *p)
{
    text_addf(t, "%s, %s: %s%s%s, about ", p->heater.label, p->heater.house, KIND_WORDS[p->kind], p->has_figures ? ", " : "",
              p->has_figures ? tufa_method_at(p->method)->title : "");
    say_quantity(t, s, Q_TIME, p->minutes * 60.0);
    text_add(t, "\n");
    say_figures(t, s, p);
    say_steps(t, p);
    say_kit(t, p);
    text_add(t, "\nNotice\n");
    text notice = {0};
    say_notice(&notice, s, p);
    wrapped(t, text_str(&notice), 4);
    text_free(&notice);
    const char *works[4];
    visit_works(p, works);
    say_work_cautions(t, works, p->heater.tank.fuel, true);
}

static json_t *plan_json(unit_system s, const visit_plan *p)
{
    json_t *j = json_object();
    tufa_fuel fuel = p->heater.tank.fuel;
    text notice = {0};
    say_notice(&notice, s, p);
    json_object_set_new(j, "heater", json_string(p->heater.label));
    json_object_set_new(j, "house", json_string(p->heater.house));
    json_object_set_new(j, "kind", json_string(KIND_KEYS[p->kind]));
    json_object_set_new(j, "method", p->has_figures ? json_string(tufa_method_at(p->method)->id) : json_null());
    json_object_set_new(j, "minutes", json_real(p->minutes));
    if (p->has_figures) {
        json_object_set_new(j, "out_kg", clean_value_json(p->figures.out_kg, 1.0));
        json_object_set_new(j, "water_L", clean_value_json(p->figures.water_m3, 1e3));
        json_object_set_new(j, "flow_L_min", clean_value_json(p->figures.flow_m3_s, L_min_from_m3_s(1.0)));
        json_object_set_new(j, "waste_to", json_string(tufa_method_at(p->method)->waste_to));
    }
    if (p->heater.element_W > 0.0) json_object_set_new(j, "demand_W", json_real(p->heater.element_W));
    json_object_set_new(j, "steps", clean_steps_json(p->kind, p->method, fuel));
    json_object_set_new(j, "kit", clean_kit_json(p->kind, p->method, fuel));
    json_object_set_new(j, "notice", json_string(text_str(&notice)));
    const char *works[4];
    visit_works(p, works);
    json_object_set_new(j, "cautions", clean_cautions_json(works, fuel));
    text_free(&notice);
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
