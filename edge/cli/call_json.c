#include "edge/cli/call_json.h"

#include <stdlib.h>

#include "edge/say/fault.h"

static double rounded(double x) { return (double)(long long)(x * 1e6 + (x < 0 ? -0.5 : 0.5)) / 1e6; }

static json_t *stop_json(const tufa_stop *s)
{
    return s->id ? json_pack("{s:s, s:s}", "level", s->level, "words", s->words) : json_null();
}

static json_t *next_json(const tufa_next *n)
{
    if (n->test < 0) return json_null();
    const tufa_test *test = tufa_fault_test_at((size_t)n->test);
    json_t *outcomes = json_array();
    for (int i = 0; i < n->outcomes; i++) {
        const tufa_outcome *o = &n->outcome[i];
        json_t *one = json_pack("{s:f, s:s, s:f}", "probability", rounded(o->probability), "fault",
                                tufa_fault_at((size_t)o->then.fault)->id, "fault_probability", rounded(o->then.probability));
        if (o->category >= 0) json_object_set_new(one, "value", json_string(test->categories[o->category]));
        else json_object_set_new(one, "from", json_real(o->lo)), json_object_set_new(one, "to", json_real(o->hi));
        json_array_append_new(outcomes, one);
    }
    text why = {0};
    say_why(&why, UNITS_US, n);
    const char *sake = n->sake >= 0 ? tufa_fault_at((size_t)n->sake)->id : NULL;
    json_t *j = json_pack("{s:s, s:s?, s:f, s:f, s:s, s:s, s:o}", "test", test->id, "because_of", sake, "expected_gain_usd", rounded(n->gain_usd), "minutes",
                          n->minutes, "why", text_str(&why), "unit", test->unit, "outcomes", outcomes);
    text_free(&why);
    return j;
}

json_t *fault_json(const char *id, const tufa_call *call, const tufa_fault_answer *a)
{
    json_t *faults = json_array(), *pairs = json_array(), *parts = json_array(), *todo = json_array(), *odd = json_array();
    for (int i = 0; i < a->faults; i++)
        json_array_append_new(faults, json_pack("{s:s, s:f}", "fault", tufa_fault_at((size_t)a->odds[i].fault)->id, "probability",
                                                a->odds[i].probability));
    for (int i = 0; i < a->pairs; i++)
        json_array_append_new(pairs, json_pack("{s:[ss], s:f}", "faults", tufa_fault_at((size_t)a->pair[i].a)->id,
                                               tufa_fault_at((size_t)a->pair[i].b)->id, "probability", a->pair[i].probability));
    for (int i = 0; i < a->parts; i++) {
        const tufa_repair *r = tufa_fault_repair_at((size_t)a->part[i].repair);
        json_array_append_new(parts, json_pack("{s:s, s:s, s:f, s:f}", "repair", r->id, "bring", r->parts, "probability",
                                               rounded(a->part[i].probability), "saved_usd", rounded(a->part[i].saved_usd)));
    }
    for (int i = 0; i < a->actions; i++) {
        const tufa_repair *r = a->action[i].repair >= 0 ? tufa_fault_repair_at((size_t)a->action[i].repair) : NULL;
        json_array_append_new(todo, json_pack("{s:s, s:s?, s:f, s:s?}", "fault", tufa_fault_at((size_t)a->action[i].fault)->id,
                                              "repair", r ? r->id : NULL, "probability", rounded(a->action[i].probability),
                                              "check_afterwards", r ? r->verify : NULL));
    }
    for (int i = 0; i < a->conflicts; i++)
        json_array_append_new(odd, json_pack("[ss]", tufa_fault_test_at((size_t)call->reading[a->conflict[i][0]].test)->id,
                                             tufa_fault_test_at((size_t)call->reading[a->conflict[i][1]].test)->id));
    return json_pack("{s:s, s:o, s:o, s:o, s:o, s:o, s:o, s:o}", "id", id, "stop", stop_json(&a->stop), "faults", faults,
                     "pairs", pairs, "next", next_json(&a->next), "parts", parts, "do", todo, "contradictory", odd);
}

void call_json(text *t, const call_view *v)
{
    static const char *const WHEN[] = {"now", "today", "days", "round"};
    char id[32];
    snprintf(id, sizeof id, "%lld", (long long)v->rec.id);
    json_t *j = fault_json(id, &v->call, &v->answer), *advice = json_array(), *found = json_array(), *moved = json_array();
    for (int i = 0; i < v->advices; i++)
        json_array_append_new(advice, json_pack("{s:I, s:s}", "at", (json_int_t)v->advice[i].entered, "words", v->advice[i].words));
    for (int i = 0; i < v->founds; i++) json_array_append_new(found, json_string(tufa_fault_at((size_t)v->found[i])->id));
    for (int i = 0; i < v->call.readings; i++) {
        json_t *one = json_object();
        for (int k = 0; k < v->answer.faults && k < 6; k++)
            json_object_set_new(one, tufa_fault_at((size_t)v->answer.odds[k].fault)->id, json_real(rounded(v->moved[i][v->answer.odds[k].fault])));
        json_array_append_new(moved, json_pack("{s:s, s:o}", "test", tufa_fault_test_at((size_t)v->call.reading[i].test)->id, "log_odds_moved", one));
    }
    json_object_set_new(j, "heater", json_string(v->heater));
    json_object_set_new(j, "words", json_string(v->rec.words));
    json_object_set_new(j, "closed", json_boolean(v->rec.closed));
    json_object_set_new(j, "when", json_string(WHEN[call_how_soon(v)]));
    json_object_set_new(j, "loss_usd_per_hour", json_real(rounded(v->loss_usd_hour)));
    json_object_set_new(j, "advice", advice);
    json_object_set_new(j, "found", found);
    json_object_set_new(j, "moved", moved);
    char *s = json_dumps(j, JSON_REAL_PRECISION(10) | JSON_COMPACT);
    text_add(t, s ? s : "");
    text_add(t, "\n");
    free(s);
    json_decref(j);
}
