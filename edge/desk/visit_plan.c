/* The order of a visit to one heater with the figures of its method. */
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/visit_parts.h"

enum { MOST_STEPS = 96 };

static bool find_kind(const char *word, tufa_visit_kind *kind)
{
    static const char *const WORDS[TUFA_VISIT_KIND_COUNT] = {"clean", "turnover", "standing"};
    for (int i = 0; i < TUFA_VISIT_KIND_COUNT; i++)
        if (strcmp(word, WORDS[i]) == 0) {
            *kind = (tufa_visit_kind)i;
            return true;
        }
    return false;
}

/* Finds the visit's kind and, for a cleaning, its method; COUNT leaves the choice open. */
tufa_code desk_visit_kind(const char *kind, const char *method, tufa_visit_kind *k, tufa_method_id *m, trouble_note *note)
{
    *k = TUFA_VISIT_CLEAN;
    *m = TUFA_METHOD_COUNT;
    if (kind && !find_kind(kind, k)) {
        note_set(note, TUFA_UNKNOWN, "kind", kind, "clean, turnover, standing", "there is no such visit");
        return TUFA_UNKNOWN;
    }
    if (!method) return TUFA_OK;
    *m = tufa_method_find(method);
    if (*m != TUFA_METHOD_COUNT) return TUFA_OK;
    text all = {0};
    for (int i = 0; i < TUFA_METHOD_COUNT; i++)
        text_addf(&all, "%s%s (%s)", i ? ", " : "", tufa_method_at((tufa_method_id)i)->id, tufa_method_at((tufa_method_id)i)->code);
    note_set(note, TUFA_UNKNOWN, "method", method, text_str(&all), "there is no such method");
    text_free(&all);
    return TUFA_UNKNOWN;
}

static tufa_status with_figures(visit_plan *p)
{
    tufa_clean_answer a;
    RETURN_IF(desk_clean(&p->heater.tank, 500, (uint64_t)p->heater.id, &a));
    if (p->method == TUFA_METHOD_COUNT) p->method = a.advice == TUFA_METHOD_COUNT ? TUFA_METHOD_FLUSH : a.advice;
    p->figures = a.method[p->method];
    p->has_figures = 1;
    return OK;
}

tufa_code desk_visit_plan(desk *d, const char *heater, const char *kind, const char *method, visit_plan *out, trouble_note *note)
{
    *out = (visit_plan){0};
    if (desk_visit_kind(kind, method, &out->kind, &out->method, note) != TUFA_OK) return note->code;
    if (desk_clean_heater(d, heater, &out->heater, note) != TUFA_OK) return note->code;
    if (out->kind == TUFA_VISIT_CLEAN) {
        tufa_status st = with_figures(out);
        if (st.code != TUFA_OK) {
            note_from_status(note, st);
            return st.code;
        }
        if (out->figures.verdict >= TUFA_VERDICT_CANNOT) {
            note_set(note, TUFA_REFUSED, "method", tufa_method_at(out->method)->title, "", out->figures.reason[0]);
            return TUFA_REFUSED;
        }
    }
    tufa_step step[MOST_STEPS];
    size_t n = tufa_visit_steps(out->kind, out->method, out->heater.tank.fuel, MOST_STEPS, step);
    for (size_t i = 0; i < n && i < MOST_STEPS; i++)
        if (out->kind != TUFA_VISIT_CLEAN || step[i].phase != TUFA_STEP_WORK) out->minutes += step[i].minutes;
    if (out->has_figures && out->figures.onsite_s.mid / 60.0 > out->minutes) out->minutes = out->figures.onsite_s.mid / 60.0;
    return TUFA_OK;
}
