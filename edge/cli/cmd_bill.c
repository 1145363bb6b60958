#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "edge/cli/book_args.h"
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
    return cli_fail_status(c, a->parts ? a->part[0].trouble : (tufa_status){.code = TUFA_MISSING, .field = "bills"});
}

static int fail_home(cli *c, tufa_status st, const char *heater, const text *near)
{
    trouble_note note = {0};
    note_from_status(&note, st);
    if (st.code == TUFA_MISSING && near->len) {
        char why[200];
        snprintf(why, sizeof why, "the book has no such heater; near it: %.*s", (int)strcspn(text_str(near), "\n"), text_str(near));
        note_set(&note, st.code, "--heater", heater, "", why);
    } else if (st.code == TUFA_MISSING && strcmp(note.field, "bills") != 0) {
        note_set(&note, st.code, "--heater", heater, "", "the book has no such heater");
    }
    return cli_fail(c, &note);
}

/* What the book knows of the heater; its kept bills where no file was named. */
static int look_up(cli *c, const char *heater, bill_home *home, bill_file *kept)
{
    desk d;
    int code = cli_open(c, false, &d);
    if (code) return code;
    text near = {0};
    tufa_status st = desk_bill_home(&d, heater, &near, home, kept);
    desk_close(&d);
    if (st.code != TUFA_OK) code = fail_home(c, st, heater, &near);
    text_free(&near);
    return code;
}

static int answer(cli *c, const bill_ask *ask, bill_file *kept)
{
    int code = 0;
    bill_answer a;
    trouble_note note = {0};
    const char *name = c->operands ? c->operand[0] : "-";
    FILE *f = kept ? NULL : open_named(c, name, &code);
    if (!kept && !f) return code;
    bool ok = kept ? desk_bill_file(kept, ask, &a, &note) : desk_bill(f, strcmp(name, "-") == 0 ? "input" : name, ask, &a, &note);
    if (f && f != c->in) fclose(f);
    if (!ok) return cli_fail(c, &note);
    code = check_answer(c, &a);
    if (code == 0) code = print_answer(c, &a, ask->home);
    bill_free(&a);
    return code;
}

int cmd_bill(cli *c)
{
    int code = 0;
    bill_home home = {0};
    bill_file kept = {0};
    const char *temps = cli_opt(c, OPT_TEMPS), *heater = cli_opt(c, OPT_HEATER);
    bool from_book = heater && c->operands == 0;
    bill_ask ask = {.home = &home, .column = cli_opt(c, OPT_COLUMN), .temps_name = temps};
    if (heater && (code = look_up(c, heater, &home, from_book ? &kept : NULL))) return code;
    if (temps && !(ask.temps = open_named(c, temps, &code))) {
        bills_free(&kept);
        return code;
    }
    code = answer(c, &ask, from_book ? &kept : NULL);
    if (ask.temps && ask.temps != c->in) fclose(ask.temps);
    return code;
}
