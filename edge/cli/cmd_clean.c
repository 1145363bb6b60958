#include "edge/cli/cli.h"
#include "edge/desk/clean_desk.h"

static int one_relation(cli *c, const char *name)
{
    text out = {0};
    trouble_note note = {0};
    if (desk_clean_relation(name, c->operand, c->operands, &out, &note) == TUFA_OK) return cli_finish(c, &out, 0);
    text_free(&out);
    return cli_fail(c, &note);
}

int cmd_clean(cli *c)
{
    const char *relation = cli_opt(c, OPT_RELATION);
    if (relation) return one_relation(c, relation);
    trouble_note note = {0};
    note_set(&note, TUFA_MISSING, "relation", "", "", "name a relation");
    return cli_fail(c, &note);
}
