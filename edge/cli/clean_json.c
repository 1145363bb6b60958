#include "edge/cli/clean_json.h"

#include <math.h>
#include <stdlib.h>

#include "core/base/units.h"
#include "edge/say/clean.h"

enum { DIGITS = 8, MOST_STEPS = 96 };

static json_t *real(double x) { return isfinite(x) ? json_real(x) : json_null(); }

json_t *clean_value_json(tufa_value v, double one)
{
    if (v.basis == TUFA_BASIS_NONE) return json_null();
    json_t *j = json_object();
    json_object_set_new(j, "p10", real(v.lo * one));
    json_object_set_new(j, "p50", real(v.mid * one));
    json_object_set_new(j, "p90", real(v.hi * one));
    return j;
}

void clean_json_line(text *t, json_t *j)
{
    char *s = json_dumps(j, JSON_REAL_PRECISION(DIGITS) | JSON_COMPACT);
    text_add(t, s ? s : "");
    text_add(t, "\n");
    free(s);
    json_decref(j);
}

json_t *clean_steps_json(tufa_visit_kind kind, tufa_method_id method, tufa_fuel fuel, int one_element)
{
    tufa_step step[MOST_STEPS];
    size_t n = tufa_visit_steps(kind, method, fuel, one_element, MOST_STEPS, step);
    json_t *list = json_array();
    for (size_t i = 0; i < n && i < MOST_STEPS; i++) {
        json_t *j = json_object();
        json_object_set_new(j, "step", json_string(step[i].id));
        json_object_set_new(j, "phase", json_string(tufa_step_phase_words(step[i].phase)));
        json_object_set_new(j, "words", json_string(step[i].words));
        json_object_set_new(j, "minutes", real(step[i].minutes));
        json_object_set_new(j, "reading", step[i].reading[0] ? json_string(step[i].reading) : json_null());
        json_object_set_new(j, "source", json_string(tufa_source_at(step[i].source)->what));
        json_array_append_new(list, j);
    }
    return list;
}

json_t *clean_kit_json(tufa_visit_kind kind, tufa_method_id method, tufa_fuel fuel)
{
    tufa_kit_item kit[MOST_STEPS];
    size_t n = tufa_visit_kit(kind, method, fuel, MOST_STEPS, kit);
    json_t *list = json_array();
    for (size_t i = 0; i < n && i < MOST_STEPS; i++)
        json_array_append_new(list, json_pack("{s:s, s:s, s:s, s:f, s:b}", "item", kit[i].id, "what", kit[i].what, "size", kit[i].size,
                                              "pieces", kit[i].count, "used_up", kit[i].part));
    return list;
}

json_t *clean_cautions_json(const char *const *works, tufa_fuel fuel)
{
    tufa_caution_fuel f = fuel == TUFA_ELECTRIC ? TUFA_CAUTION_ELECTRIC : TUFA_CAUTION_GAS;
    json_t *list = json_array();
    for (size_t i = 0; i < tufa_caution_count(); i++) {
        const tufa_caution *c = tufa_caution_at(i);
        int goes = tufa_caution_applies(c, "all", TUFA_CAUTION_ANY);
        for (const char *const *w = works; *w && !goes; w++) goes = tufa_caution_applies(c, *w, f);
        if (goes)
            json_array_append_new(list, json_pack("{s:s, s:s, s:s, s:s}", "id", c->id, "level", tufa_caution_level_words(c->level), "title",
                                                  c->title, "words", c->words));
    }
    return list;
}

/* Isolation alone, out of the steps. */
static json_t *isolation_json(tufa_method_id method, tufa_fuel fuel)
{
    tufa_step step[MOST_STEPS];
    size_t n = tufa_visit_steps(TUFA_VISIT_CLEAN, method, fuel, 0, MOST_STEPS, step);
    json_t *list = json_array();
    for (size_t i = 0; i < n && i < MOST_STEPS; i++)
        if (step[i].phase == TUFA_STEP_ISOLATE || step[i].phase == TUFA_STEP_PROVE_DEAD) json_array_append_new(list, json_string(step[i].words));
    return list;
}

static json_t *classes_json(const tufa_method_answer *m)
{
    json_t *list = json_array();
    for (int i = 0; i < TUFA_CLEAN_CLASSES; i++) {
        json_t *j = json_object();
        json_object_set_new(j, "size", json_string(say_size_class(i)));
        json_object_set_new(j, "out_kg", clean_value_json(m->class_kg[i], 1.0));
        json_array_append_new(list, j);
    }
    return list;
}

static json_t *method_json(const tufa_clean_case *c, const tufa_method_answer *m)
{
    static const double MINUTE = 1.0 / 60.0;
    const tufa_method_row *row = tufa_method_at(m->method);
    json_t *j = json_object(), *reasons = json_array();
    for (size_t i = 0; i < m->reasons; i++) json_array_append_new(reasons, json_string(m->reason[i]));
    json_object_set_new(j, "method", json_string(row->id));
    json_object_set_new(j, "code", json_string(row->code));
    json_object_set_new(j, "title", json_string(row->title));
    json_object_set_new(j, "verdict", json_string(verdict_key(m->verdict)));
    json_object_set_new(j, "refused", json_boolean(m->verdict >= TUFA_VERDICT_CANNOT));
    json_object_set_new(j, "reasons", reasons);
    json_object_set_new(j, "out_kg", clean_value_json(m->out_kg, 1.0));
    json_object_set_new(j, "left_kg", clean_value_json(m->left_kg, 1.0));
    json_object_set_new(j, "out_share", clean_value_json(m->out_share, 1.0));
    json_object_set_new(j, "classes", classes_json(m));
    json_object_set_new(j, "plugs", clean_value_json(m->plugs, 1.0));
    json_object_set_new(j, "onsite_min", clean_value_json(m->onsite_s, MINUTE));
    json_object_set_new(j, "labour_min", clean_value_json(m->labour_s, MINUTE));
    json_object_set_new(j, "water_L", clean_value_json(m->water_m3, 1e3));
    json_object_set_new(j, "water_gal", clean_value_json(m->water_m3, 1.0 / m3_from_gal(1.0)));
    json_object_set_new(j, "waste_kg", clean_value_json(m->waste_kg, 1.0));
    json_object_set_new(j, "waste_solids_share", clean_value_json(m->waste_share, 1.0));
    json_object_set_new(j, "waste_to", json_string(row->waste_to));
    json_object_set_new(j, "flow_L_min", clean_value_json(m->flow_m3_s, L_min_from_m3_s(1.0)));
    json_object_set_new(j, "hose_m_s", clean_value_json(m->hose_m_s, 1.0));
    json_object_set_new(j, "deposit_m_s", clean_value_json(m->deposit_m_s, 1.0));
    json_object_set_new(j, "design_m_s", clean_value_json(m->design_m_s, 1.0));
    json_object_set_new(j, "reach_level_m", clean_value_json(m->reach_level_m, 1.0));
    json_object_set_new(j, "reach_rise_m", clean_value_json(m->reach_rise_m, 1.0));
    json_object_set_new(j, "better_hose_bore_m", m->better_bore_m > 0.0 ? real(m->better_bore_m) : json_null());
    json_object_set_new(j, "co2_L", clean_value_json(m->gas_m3, 1e3));
    json_object_set_new(j, "kit", clean_kit_json(TUFA_VISIT_CLEAN, m->method, c->fuel));
    json_object_set_new(j, "isolation", isolation_json(m->method, c->fuel));
    const char *works[] = {row->code, NULL};
    json_object_set_new(j, "cautions", clean_cautions_json(works, c->fuel));
    return j;
}

json_t *clean_answer_json(const char *id, const tufa_clean_case *c, const tufa_clean_answer *a)
{
    json_t *j = json_object(), *list = json_array();
    for (int m = 0; m < TUFA_METHOD_COUNT; m++) json_array_append_new(list, method_json(c, &a->method[m]));
    if (id[0]) json_object_set_new(j, "id", json_string(id));
    json_object_set_new(j, "bed_kg", clean_value_json(c->bed_kg, 1.0));
    json_object_set_new(j, "cemented_share", clean_value_json(c->cemented_share, 1.0));
    json_object_set_new(j, "methods", list);
    json_object_set_new(j, "with_a_stirrer", json_boolean(a->with_a_stirrer == TUFA_METHOD_STIR));
    json_object_set_new(j, "advice", a->advice == TUFA_METHOD_COUNT ? json_null() : json_string(tufa_method_at(a->advice)->id));
    json_object_set_new(j, "why", json_string(a->why));
    return j;
}

json_t *clean_proof_json(const tufa_proof *p, const char *sentence)
{
    json_t *j = json_object(), *parts = json_array();
    for (size_t i = 0; i < p->parts; i++) {
        const tufa_proof_part *q = &p->part[i];
        json_t *o = json_object();
        json_object_set_new(o, "reading", json_string(tufa_proof_at(q->kind)->id));
        json_object_set_new(o, "sees_bed", json_boolean(q->sees));
        json_object_set_new(o, "says_L", real(q->says_m3 * 1e3));
        json_object_set_new(o, "error_L", real(q->error_m3 * 1e3));
        json_object_set_new(o, "shift_L", real(q->shift_m3 * 1e3));
        json_object_set_new(o, "blind_to", json_string(tufa_proof_at(q->kind)->blind));
        json_array_append_new(parts, o);
    }
    json_object_set_new(j, "left_L", clean_value_json(p->left_m3, 1e3));
    json_object_set_new(j, "left_kg", clean_value_json(p->left_kg, 1.0));
    json_object_set_new(j, "removed_kg", clean_value_json(p->removed_kg, 1.0));
    json_object_set_new(j, "clean", json_boolean(p->clean));
    json_object_set_new(j, "rule", json_string(p->rule));
    json_object_set_new(j, "under_15_mm_share", real(p->under_rule_share));
    json_object_set_new(j, "readings", parts);
    json_object_set_new(j, "sharpen", p->sharpen == TUFA_PROOF_COUNT ? json_null() : json_string(tufa_proof_at(p->sharpen)->id));
    json_object_set_new(j, "width_L", real(p->width_m3 * 1e3));
    json_object_set_new(j, "width_after_L", real(p->width_after_m3 * 1e3));
    json_object_set_new(j, "record", json_string(sentence));
    return j;
}
