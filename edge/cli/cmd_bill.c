#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "edge/cli/cli.h"
#include "edge/desk/bill_words.h"

static FILE *open_named(cli *c, const char *name, int *code)
{
    FILE *f = strcmp(name, "-") == 0 ? c->in : fopen(name, "rb");
    if (f) return f;
    trouble_note note = {0};
    note_set(&note, TUFA_IO, "file", name, "", strerror(errno));
    *code = cli_fail(c, &note);
    return NULL;
}

static int print_answer(cli *c, const bill_answer *a, const bill_home *home)
{
    text t = {0};
    if (cli_opt(c, OPT_JSON)) {
        json_t *o = bill_json(a, home);
        char *s = o ? json_dumps(o, JSON_REAL_PRECISION(10)) : NULL;
        json_decref(o);
        if (!s) return cli_fail_status(c, (tufa_status){.code = TUFA_MEMORY});
        text_addf(&t, "%s\n", s);
        free(s);
    } else {
        say_bill(&t, a, home);
    }
    return cli_finish(c, &t, 0);
}

/* A file of bills alone must answer; interval readings have something to say even when a change cannot be asked for. */
static int check_answer(cli *c, const bill_answer *a)
{
    if (a->has_interval) return 0;
    for (size_t i = 0; i < a->parts; i++)
        if (a->part[i].ok) return 0;
    return a->parts ? cli_fail_status(c, a->part[0].trouble) : cli_fail_status(c, (tufa_status){.code = TUFA_MISSING, .field = "bills"});
}

int cmd_bill(cli *c)
{
    int code = 0;
    bill_home home = {0};
    bill_answer a;
    trouble_note note = {0};
    const char *name = c->operands ? c->operand[0] : "-", *temps = cli_opt(c, OPT_TEMPS);
    bill_ask ask = {.home = &home, .column = cli_opt(c, OPT_COLUMN), .temps_name = temps};
    if (temps && !(ask.temps = open_named(c, temps, &code))) return code;
    FILE *f = open_named(c, name, &code);
    if (f) {
        if (!desk_bill(f, strcmp(name, "-") == 0 ? "input" : name, &ask, &a, &note)) {
            code = cli_fail(c, &note);
        } else {
            code = check_answer(c, &a);
            if (code == 0) code = print_answer(c, &a, &home);
            bill_free(&a);
        }
    }
    if (f && f != c->in) fclose(f);
    if (ask.temps) fclose(ask.temps);
    return code;
}
