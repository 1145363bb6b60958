#include "edge/desk/cleaning.h"

#include <math.h>

#include "core/base/status.h"
#include "edge/desk/clean_desk.h"

size_t cleaning_bytes(void) { return tufa_clean_scratch_bytes(CLEAN_DRAWS); }

/* A tank nearly bare today is asked how its bed comes out once there is one. Judgement. */
static const double LEAST_BED_KG = 1.0;

static void some_bed(tufa_value *kg, double *of_kg)
{
    if (kg->mid >= LEAST_BED_KG) return;
    *of_kg = LEAST_BED_KG;
    static const double SPREAD = 1.4;
    *kg = (tufa_value){LEAST_BED_KG, LEAST_BED_KG / SPREAD, LEAST_BED_KG * SPREAD, TUFA_BASIS_DEFAULT};
}

/* Own work alone: a soak that is left to itself is no work; what is read before and after is, as in the plan of the visit. A share of
 * nothing would read as "not touched". */
static tufa_money_how how_of(const tufa_method_answer *m, const tufa_heater *h)
{
    static const double LEAST_SHARE = 1e-3, HOUR_S = 3600.0;
    const tufa_value *s = &m->labour_s, *o = &m->out_share;
    if (m->verdict > TUFA_VERDICT_LITTLE) return (tufa_money_how){.refused = 1};
    double around = tufa_visit_around_s(m->method, h->fuel, h->one_element);
    return (tufa_money_how){.hours = {(s->mid + around) / HOUR_S, (s->lo + around) / HOUR_S, (s->hi + around) / HOUR_S, TUFA_BASIS_DEFAULT},
                            .left_share = {fmax(LEAST_SHARE, 1.0 - o->mid), fmax(LEAST_SHARE, 1.0 - o->hi), fmax(LEAST_SHARE, 1.0 - o->lo), TUFA_BASIS_DEFAULT}};
}

tufa_status cleaning_look(const desk_case *c, const tufa_ahead *a, const tool_set *tools, tufa_arena *arena, cleaning *out)
{
    tufa_clean_case tank;
    tufa_clean_answer answer;
    *out = (cleaning){.method = TUFA_METHOD_COUNT};
    RETURN_IF(clean_case_of(c, a, tools, &tank));
    some_bed(&tank.bed_kg, &out->of_kg);
    tufa_status st = tufa_clean_compare(&tank, (uint64_t)c->heater.id, CLEAN_DRAWS, arena, &answer);
    if (st.code == TUFA_RANGE) return OK; /* a tank beyond what the stage covers */
    RETURN_IF(st);
    out->method = answer.deep;
    out->stirrer_first = answer.with_a_stirrer == TUFA_METHOD_STIR;
    out->flush = how_of(&answer.method[TUFA_METHOD_FLUSH], &c->known);
    if (tank.rusted == TUFA_YES) out->flush.refused = 1;
    if (answer.deep < TUFA_METHOD_COUNT) out->deep = how_of(&answer.method[answer.deep], &c->known);
    else out->deep.refused = 1, out->why_not = answer.deep_why;
    return OK;
}

/* ---- as a visit ---- */

tufa_method_id cleaning_method(const tufa_clean_answer *a) { return a->advice == TUFA_METHOD_COUNT ? TUFA_METHOD_FLUSH : a->advice; }
bool cleaning_is_possible(const tufa_method_answer *m) { return m->verdict < TUFA_VERDICT_CANNOT; }

double cleaning_minutes(const tufa_method_answer *figures, tufa_fuel fuel, int one_element)
{
    return (figures->onsite_s.mid + tufa_visit_around_s(figures->method, fuel, one_element)) / 60.0;
}

tufa_status cleaning_visit_of(const desk_case *c, const tufa_ahead *a, const tool_set *tools, tufa_arena *arena, cleaning_visit *out)
{
    tufa_clean_case tank;
    tufa_clean_answer answer;
    *out = (cleaning_visit){.method = TUFA_METHOD_COUNT};
    RETURN_IF(clean_case_of(c, a, tools, &tank));
    tufa_status st = tufa_clean_compare(&tank, (uint64_t)c->heater.id, CLEAN_DRAWS, arena, &answer);
    if (st.code == TUFA_RANGE) return OK; /* a tank beyond what the stage covers */
    RETURN_IF(st);
    tufa_method_id method = cleaning_method(&answer);
    const tufa_method_answer *m = &answer.method[method];
    if (cleaning_is_possible(m)) *out = (cleaning_visit){method, cleaning_minutes(m, tank.fuel, c->known.one_element)};
    return OK;
}
