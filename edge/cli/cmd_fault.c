#include <stdlib.h>
#include <string.h>

#include "edge/cli/call_json.h"
#include "edge/cli/cli.h"
#include "edge/desk/fault.h"
#include "edge/import/fault_case.h"
#include "edge/say/fault.h"

static void put_case(text *t, const fault_case *c, const tufa_fault_answer *a, bool json)
{
    if (!json) {
        text_addf(t, "%s\n", c->id[0] ? c->id : "case");
        say_fault_answer(t, UNITS_US, &c->heater, &c->call, a);
        return;
    }
    json_t *j = fault_json(c->id, &c->call, a);
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
