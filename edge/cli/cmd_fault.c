#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "edge/cli/cli.h"
#include "edge/desk/fault.h"
#include "edge/import/fault_case.h"
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
    json_t *j = json_pack("{s:s, s:f, s:f, s:s, s:s, s:o}", "test", test->id, "expected_gain_usd", rounded(n->gain_usd), "minutes",
                          n->minutes, "why", text_str(&why), "unit", test->unit, "outcomes", outcomes);
    text_free(&why);
    return j;
}

static json_t *answer_json(const fault_case *c, const tufa_fault_answer *a)
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
        json_array_append_new(odd, json_pack("[ss]", tufa_fault_test_at((size_t)c->call.reading[a->conflict[i][0]].test)->id,
                                             tufa_fault_test_at((size_t)c->call.reading[a->conflict[i][1]].test)->id));
    return json_pack("{s:s, s:o, s:o, s:o, s:o, s:o, s:o, s:o}", "id", c->id, "stop", stop_json(&a->stop), "faults", faults,
                     "pairs", pairs, "next", next_json(&a->next), "parts", parts, "do", todo, "contradictory", odd);
}

static void put_case(text *t, const fault_case *c, const tufa_fault_answer *a, bool json)
{
    if (!json) {
        text_addf(t, "%s\n", c->id[0] ? c->id : "case");
        say_fault_answer(t, UNITS_US, &c->heater, &c->call, a);
        return;
    }
    json_t *j = answer_json(c, a);
    char *s = json_dumps(j, JSON_REAL_PRECISION(10) | JSON_COMPACT);
    text_add(t, s ? s : "");
    text_add(t, "\n");
    free(s);
    json_decref(j);
}

static int all_cases(cli *c, FILE *f, const char *name)
{
    json_cases cases;
    json_cases_open(&cases, f, name);
    desk_finder finder = {0};
    int code = 0;
    for (;;) {
        json_case one;
        trouble_note note;
        json_case_result r = json_cases_next(&cases, &one, &note);
        if (r == JSON_CASE_END) break;
        fault_case given;
        tufa_fault_answer answer;
        bool good = r == JSON_CASE_GIVEN && fault_case_read(&one, &given);
        if (good) {
            tufa_status st = desk_fault(&finder, &given.heater, &given.call, &answer);
            if (st.code != TUFA_OK) good = json_case_refuse_status(&one, st);
        }
        if (good) {
            text t = {0};
            put_case(&t, &given, &answer, cli_opt(c, OPT_JSON) != NULL);
            code = cli_finish(c, &t, code);
        } else {
            int failed = cli_fail(c, &note);
            if (code == 0) code = failed;
        }
        if (r == JSON_CASE_BROKEN) break;
    }
    desk_finder_free(&finder);
    json_cases_close(&cases);
    return code;
}

int cmd_fault(cli *c)
{
    const char *name = c->operands ? c->operand[0] : "-";
    if (strcmp(name, "-") == 0) return all_cases(c, c->in, "standard input");
    FILE *f = fopen(name, "rb");
    if (!f) {
        trouble_note note = {0};
        note_set(&note, TUFA_IO, "CASE.json", name, "", "the file cannot be opened");
        return cli_fail(c, &note);
    }
    int code = all_cases(c, f, name);
    fclose(f);
    return code;
}
