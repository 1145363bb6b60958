/* The man page and the completion for bash, both made from the tables of commands and options. */
#include "edge/cli/manual.h"

#include <string.h>

/* roff takes a backslash, and a dot or quote at the start of a line, for itself. */
static void roff(text *t, const char *s)
{
    if (*s == '.' || *s == '\'') text_add(t, "\\&");
    for (; *s; s++) {
        if (*s == '\\') text_add(t, "\\e");
        else if (*s == '-') text_add(t, "\\-");
        else text_addn(t, s, 1);
    }
}

static void roff_option(text *t, const option_row *row)
{
    text_add(t, ".TP\n\\fB\\-\\-");
    roff(t, row->name);
    text_add(t, "\\fR");
    if (row->argument) {
        text_add(t, " \\fI");
        roff(t, row->argument);
        text_add(t, "\\fR");
    }
    text_add(t, "\n");
    roff(t, row->what);
    text_add(t, "\n");
}

static void roff_command(text *t, const command_row *cmd)
{
    text_addf(t, ".SS \"tufa %s%s", cmd->words, cmd->words[0] ? " " : "");
    roff(t, cmd->operands);
    text_add(t, "\"\n");
    roff(t, cmd->what);
    text_add(t, ".\n");
    if (cmd->more[0]) {
        text_add(t, ".PP\n");
        roff(t, cmd->more);
        text_add(t, "\n");
    }
    for (const option_id *o = cmd->options; *o != OPTION_COUNT; o++)
        if (*o != OPT_HELP) roff_option(t, &cli_options[*o]);
}

void manual_page(text *t)
{
    text_add(t, ".TH TUFA 1 \"\" \"tufa " TUFA_VERSION "\" \"User commands\"\n.SH NAME\n"
                "tufa \\- sediment in the water heaters of rental houses: what lies ahead and what to do this year\n"
                ".SH SYNOPSIS\n\\fBtufa\\fR [\\fICOMMAND\\fR [\\fIWORDS\\fR] [\\-\\-\\fIoptions\\fR]]\n"
                ".SH DESCRIPTION\nWithout a command and without a book tufa asks a few plain questions, makes a book and "
                "prints one page; with a book it prints the head of the year plan.\n"
                "Any number may be given as \"about 10\", \"8..12\" or \"?\".\n.SH COMMANDS\n");
    for (size_t i = 0; i < cli_command_count; i++) roff_command(t, &cli_commands[i]);
    text_add(t, ".SH \"EXIT STATUS\"\n");
    for (int code = 0; code < TUFA_CODE_COUNT; code++) {
        int status = tufa_code_exit((tufa_code)code);
        text_addf(t, "%s%d: ", code ? ".br\n" : "", status);
        roff(t, tufa_code_words((tufa_code)code));
        text_add(t, ".\n");
    }
    text_add(t, ".SH FILES\n.TP\n\\fItufa.book\\fR\nthe book in the current folder, one SQLite file, unless \\-\\-book names another\n");
}

/* The words that may follow `first` as the second word of a command, or the options of a command. */
static void options_of(text *t, const command_row *cmd)
{
    text_add(t, "--help");
    for (const option_id *o = cmd->options; *o != OPTION_COUNT; o++)
        if (*o != OPT_HELP) text_addf(t, " --%s", cli_options[*o].name);
}

static bool first_of_its_kind(size_t i, size_t len)
{
    for (size_t k = 0; k < i; k++)
        if (strncmp(cli_commands[k].words, cli_commands[i].words, len) == 0 &&
            (cli_commands[k].words[len] == ' ' || cli_commands[k].words[len] == 0))
            return false;
    return true;
}

void manual_completion(text *t)
{
    text_add(t, "# Completion of tufa's commands and options for bash; made from the tables the program runs by.\n"
                "_tufa() {\n    local word=${COMP_WORDS[COMP_CWORD]} one=${COMP_WORDS[1]} two=${COMP_WORDS[1]}\\ ${COMP_WORDS[2]}\n"
                "    local list=\n    if [ \"$COMP_CWORD\" = 1 ]; then\n        list=\"");
    for (size_t i = 0; i < cli_command_count; i++) {
        size_t len = strcspn(cli_commands[i].words, " ");
        if (len && first_of_its_kind(i, len)) text_addf(t, "%s%.*s", i ? " " : "", (int)len, cli_commands[i].words);
    }
    text_add(t, "\"\n    else\n        case $two in\n");
    for (size_t i = 0; i < cli_command_count; i++) { /* commands of two words first, they are the narrower ones */
        if (!strchr(cli_commands[i].words, ' ')) continue;
        text_addf(t, "            '%s') list=\"", cli_commands[i].words);
        options_of(t, &cli_commands[i]);
        text_add(t, "\" ;;\n");
    }
    text_add(t, "            *) case $one in\n");
    for (size_t i = 0; i < cli_command_count; i++) {
        const char *words = cli_commands[i].words;
        size_t len = strcspn(words, " ");
        if (!len || !first_of_its_kind(i, len)) continue;
        text_addf(t, "                %.*s) list=\"", (int)len, words);
        if (!words[len]) options_of(t, &cli_commands[i]);
        for (size_t k = 0; k < cli_command_count; k++)
            if (strncmp(cli_commands[k].words, words, len) == 0 && cli_commands[k].words[len] == ' ')
                text_addf(t, " %s", cli_commands[k].words + len + 1);
        text_add(t, "\" ;;\n");
    }
    text_add(t, "            esac ;;\n        esac\n    fi\n"
                "    COMPREPLY=($(compgen -W \"$list\" -- \"$word\"))\n"
                "    if [ \"${#COMPREPLY[@]}\" = 0 ]; then COMPREPLY=($(compgen -f -- \"$word\")); fi\n}\n"
                "complete -o filenames -F _tufa tufa\n");
}
