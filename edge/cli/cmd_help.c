#include <string.h>

#include "edge/cli/manual.h"

enum { WIDTH = 96, WHAT_COLUMN = 34, OPTION_COLUMN = 26 };

static void all_commands(text *t)
{
    text_add(t, "Usage: tufa COMMAND [WORDS] [--options]\n\n");
    for (size_t i = 0; i < cli_command_count; i++) {
        const command_row *cmd = &cli_commands[i];
        text_addf(t, "  tufa %s %s", cmd->words, cmd->operands);
        if (strlen(cmd->words) + strlen(cmd->operands) + 8 > WHAT_COLUMN - 2) text_add(t, "\n");
        text_pad_to(t, WHAT_COLUMN);
        text_add_wrapped(t, cmd->what, WIDTH, WHAT_COLUMN);
        text_add(t, "\n");
    }
    text_add(t, "\n`tufa help COMMAND` says what one command takes. Any number may be given as \"about 10\", \"8..12\" or \"?\".\n");
}

static void one_command(text *t, const command_row *cmd)
{
    text_addf(t, "tufa %s %s\n\n", cmd->words, cmd->operands);
    text_add_wrapped(t, cmd->what, WIDTH, 0);
    text_add(t, ".\n");
    if (cmd->more[0]) {
        text_add(t, "\n");
        text_add_wrapped(t, cmd->more, WIDTH, 0);
        text_add(t, "\n");
    }
    text_add(t, "\nOptions:\n");
    for (const option_id *o = cmd->options; *o != OPTION_COUNT; o++) {
        const option_row *row = &cli_options[*o];
        text_addf(t, "  --%s %s", row->name, row->argument ? row->argument : "");
        text_pad_to(t, OPTION_COLUMN);
        text_add_wrapped(t, row->what, WIDTH, OPTION_COLUMN);
        text_add(t, "\n");
    }
}

int cmd_help(cli *c)
{
    text t = {0};
    if (cli_opt(c, OPT_MAN) || cli_opt(c, OPT_COMPLETION) || c->operands == 0) {
        if (cli_opt(c, OPT_MAN)) manual_page(&t);
        else if (cli_opt(c, OPT_COMPLETION)) manual_completion(&t);
        else all_commands(&t);
        return cli_finish(c, &t, 0);
    }
    text words = {0};
    for (int i = 0; i < c->operands; i++) text_addf(&words, "%s%s", i ? " " : "", c->operand[i]);
    size_t found = 0, len = strlen(text_str(&words));
    for (size_t i = 0; i < cli_command_count; i++) { /* "book" lists every "book ..." */
        const char *w = cli_commands[i].words;
        if (strncmp(w, text_str(&words), len) != 0 || (w[len] != 0 && w[len] != ' ')) continue;
        if (found++) text_add(&t, "\n");
        one_command(&t, &cli_commands[i]);
    }
    if (found == 0) {
        trouble_note note = {0};
        note_set(&note, TUFA_UNKNOWN, "command", text_str(&words), "", "there is no such command; `tufa help` lists them all");
        text_free(&words);
        text_free(&t);
        return cli_fail(c, &note);
    }
    text_free(&words);
    return cli_finish(c, &t, 0);
}
