/* tufa prove: what is left in a tank. */
#include <string.h>
#include <sys/stat.h>

#include "edge/cli/book_args.h"
#include "edge/cli/clean_json.h"
#include "edge/desk/visit_desk.h"
#include "edge/import/proof_case.h"
#include "edge/say/clean.h"

static void put(cli *c, text *t, unit_system s, const char *id, const tufa_proof_in *in, const tufa_proof *p)
{
    if (cli_opt(c, OPT_JSON)) {
        text sentence = {0};
        say_proof_sentence(&sentence, s, in, p);
        json_t *j = clean_proof_json(p, text_str(&sentence));
        if (id[0]) json_object_set_new(j, "id", json_string(id));
        clean_json_line(t, j);
        text_free(&sentence);
        return;
    }
    if (id[0]) text_addf(t, "%s\n", id);
    say_proof(t, s, in, p);
}

static int one_case(cli *c, json_case *one, int code)
{
    proof_case given;
    tufa_proof proof;
    bool good = proof_case_read(one, &given);
    if (good) {
        tufa_status st = desk_prove_in(&given.in, &proof);
        if (st.code != TUFA_OK) good = json_case_refuse_status(one, st);
    }
    if (!good) {
        int failed = cli_fail(c, one->note);
        return code ? code : failed;
    }
    text t = {0};
    put(c, &t, UNITS_US, given.id, &given.in, &proof);
    return cli_finish(c, &t, code);
}

static int all_cases(cli *c, FILE *f, const char *name)
{
    json_cases cases;
    json_cases_open(&cases, f, name);
    int code = 0;
    for (;;) {
        json_case one;
        trouble_note note;
        json_case_result r = json_cases_next(&cases, &one, &note);
        if (r == JSON_CASE_END) break;
        if (r == JSON_CASE_GIVEN) code = one_case(c, &one, code);
        else if (code == 0) code = cli_fail(c, &note);
        else cli_fail(c, &note);
        if (r == JSON_CASE_BROKEN) break;
    }
    json_cases_close(&cases);
    return code;
}

static int one_heater(cli *c, const char *name)
{
    desk d;
    prove_answer a;
    trouble_note note = {0};
    int code = cli_open(c, false, &d);
    if (code) return code;
    unit_system s = d.units;
    tufa_code found = desk_prove(&d, name, &a, &note);
    desk_close(&d);
    if (found != TUFA_OK) return cli_fail(c, &note);
    text t = {0};
    if (a.day == 0 && !cli_opt(c, OPT_JSON)) text_add(&t, "There is no reading of this tank in the book yet: this is the forecast alone.\n");
    put(c, &t, s, a.heater.label, &a.in, &a.proof);
    return cli_finish(c, &t, 0);
}

int cmd_prove(cli *c)
{
    struct stat st;
    const char *name = c->operands ? c->operand[0] : "-";
    if (strcmp(name, "-") == 0) return all_cases(c, c->in, "standard input");
    if (stat(name, &st) != 0 || !S_ISREG(st.st_mode)) return one_heater(c, name);
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
