/* tufa clean: the methods compared for cases or for a heater of the book, or one relation alone. */
#include <string.h>

#include "edge/cli/book_args.h"
#include "edge/cli/clean_json.h"
#include "edge/desk/clean_desk.h"
#include "edge/import/clean_case.h"
#include "edge/say/clean.h"

static int one_relation(cli *c, const char *name)
{
    text out = {0};
    trouble_note note = {0};
    if (desk_clean_relation(name, c->operand, c->operands, &out, &note) == TUFA_OK) return cli_finish(c, &out, 0);
    text_free(&out);
    return cli_fail(c, &note);
}

static void put_answer(cli *c, text *t, unit_system s, const clean_case *given, const tufa_clean_answer *a)
{
    if (cli_opt(c, OPT_JSON)) {
        clean_json_line(t, clean_answer_json(given->id, &given->tank, a));
        return;
    }
    if (given->id[0]) text_addf(t, "%s\n", given->id);
    say_clean_answer(t, s, &given->tank, a);
}

static int one_case(cli *c, unit_system s, json_case *one, const tufa_clean_case *start, int code)
{
    clean_case given;
    tufa_clean_answer answer;
    bool good = clean_case_read(one, start, &given);
    if (good) {
        tufa_status st = desk_clean(&given.tank, given.draws, given.key, &answer);
        if (st.code != TUFA_OK) good = json_case_refuse_status(one, st);
    }
    if (!good) {
        int failed = cli_fail(c, one->note);
        return code ? code : failed;
    }
    text t = {0};
    put_answer(c, &t, s, &given, &answer);
    return cli_finish(c, &t, code);
}

static int all_cases(cli *c, FILE *f, const char *name, unit_system s, const tufa_clean_case *start)
{
    json_cases cases;
    json_cases_open(&cases, f, name);
    int code = 0;
    for (;;) {
        json_case one;
        trouble_note note;
        json_case_result r = json_cases_next(&cases, &one, &note);
        if (r == JSON_CASE_END) break;
        if (r == JSON_CASE_GIVEN) {
            code = one_case(c, s, &one, start, code);
        } else {
            int failed = cli_fail(c, &note);
            if (code == 0) code = failed;
        }
        if (r == JSON_CASE_BROKEN) break;
    }
    json_cases_close(&cases);
    return code;
}

static int from_file(cli *c, const char *name, unit_system s, const tufa_clean_case *start)
{
    if (strcmp(name, "-") == 0) return all_cases(c, c->in, "standard input", s, start);
    FILE *f = fopen(name, "rb");
    if (!f) {
        trouble_note note = {0};
        note_set(&note, TUFA_IO, "CASE.json", name, "", "the file cannot be opened");
        return cli_fail(c, &note);
    }
    int code = all_cases(c, f, name, s, start);
    fclose(f);
    return code;
}

static int one_heater(cli *c, const char *name)
{
    desk d;
    clean_heater h;
    trouble_note note = {0};
    int code = cli_open(c, false, &d);
    if (code) return code;
    unit_system s = d.units;
    tufa_code found = desk_clean_heater(&d, name, &h, &note);
    desk_close(&d);
    if (found != TUFA_OK) return cli_fail(c, &note);
    if (c->operands) return from_file(c, c->operand[0], s, &h.tank);
    clean_case given = {.draws = CLEAN_DRAWS, .key = (unsigned long long)h.id, .tank = h.tank};
    tufa_clean_answer answer;
    tufa_status st = desk_clean(&given.tank, given.draws, given.key, &answer);
    if (st.code != TUFA_OK) return cli_fail_status(c, st);
    snprintf(given.id, sizeof given.id, "%s", h.label);
    text t = {0};
    put_answer(c, &t, s, &given, &answer);
    return cli_finish(c, &t, 0);
}

int cmd_clean(cli *c)
{
    const char *relation = cli_opt(c, OPT_RELATION), *heater = cli_opt(c, OPT_HEATER);
    if (relation) return one_relation(c, relation);
    if (heater) return one_heater(c, heater);
    return from_file(c, c->operands ? c->operand[0] : "-", UNITS_US, NULL);
}
