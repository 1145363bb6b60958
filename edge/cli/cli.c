/* From the words on the command line to one row of commands.def. */
#include "edge/cli/cli.h"

#include <string.h>
#include <unistd.h>

const option_row cli_options[OPTION_COUNT] = {
#define X(id, name, argument, what) [OPT_##id] = {name, argument, what},
#include "edge/cli/options.def"
#undef X
};

#define OPTS(...) ((const option_id[]){__VA_ARGS__, OPTION_COUNT})
const command_row cli_commands[] = {
#define X(id, words, run, operands, options, what, more) {words, run, operands, options, what, more},
#include "edge/cli/commands.def"
#undef X
};
const size_t cli_command_count = sizeof cli_commands / sizeof cli_commands[0];

const char *cli_opt_at(const cli *c, option_id id, int i)
{
    for (int k = 0; k < c->given_count; k++)
        if (c->given[k].id == id && i-- == 0) return c->given[k].value;
    return NULL;
}

const char *cli_opt(const cli *c, option_id id)
{
    for (int k = c->given_count; k-- > 0;)
        if (c->given[k].id == id) return c->given[k].value;
    return NULL;
}

int cli_finish(cli *c, text *t, int code)
{
    bool ok = text_print(t, c->out);
    text_free(t);
    if (ok) return code;
    fputs("tufa: the output could not be written\n", c->err);
    return code ? code : tufa_code_exit(TUFA_IO);
}

int cli_fail(cli *c, const trouble_note *n)
{
    text t = {0};
    text_add(&t, "tufa: ");
    say_trouble(&t, n);
    text_print(&t, c->err);
    text_free(&t);
    return tufa_code_exit(n->code);
}

int cli_fail_status(cli *c, tufa_status st)
{
    trouble_note n = {0};
    note_from_status(&n, st);
    return cli_fail(c, &n);
}

void cli_progress(const cli *c, size_t done, size_t all, size_t least, const char *after)
{
    if (all < least || !isatty(fileno(c->err))) return;
    if (done < all) fprintf(c->err, "\r%zu of %zu heaters", done, all);
    else if (after[0]) fprintf(c->err, "\r%-30s", after);
    else fprintf(c->err, "\r%30s\r", "");
    fflush(c->err);
}

/* The row whose words stand at the start of argv; two words win over one. */
static const command_row *find_command(int argc, char **argv, int *used)
{
    const command_row *found = NULL;
    *used = 0;
    for (size_t i = 0; i < cli_command_count; i++) {
        const char *words = cli_commands[i].words, *space = strchr(words, ' ');
        if (!words[0]) continue;
        int n = space ? 2 : 1;
        if (argc < n || n <= *used) continue;
        size_t first = space ? (size_t)(space - words) : strlen(words);
        if (strlen(argv[0]) != first || strncmp(argv[0], words, first) != 0) continue;
        if (space && strcmp(argv[1], space + 1) != 0) continue;
        found = &cli_commands[i];
        *used = n;
    }
    return found;
}

static bool takes(const command_row *cmd, option_id id)
{
    if (id == OPT_HELP) return true;
    for (const option_id *o = cmd->options; *o != OPTION_COUNT; o++)
        if (*o == id) return true;
    return false;
}

static int unknown_option(cli *c, const command_row *cmd, const char *given, size_t len)
{
    const char *names[OPTION_COUNT];
    size_t n = 0;
    for (int i = 0; i < OPTION_COUNT; i++)
        if (takes(cmd, (option_id)i)) names[n++] = cli_options[i].name;
    char name[64];
    snprintf(name, sizeof name, "%.*s", (int)(len < 60 ? len : 60), given);
    trouble_note note = {0};
    const char *near = nearest_name(name, names, n);
    char why[200];
    snprintf(why, sizeof why, "`tufa %s` has no such option%s%s%s; `tufa help %s` lists them", cmd->words,
             near ? "; did you mean --" : "", near ? near : "", near ? "?" : "", cmd->words);
    note_set(&note, TUFA_UNKNOWN, "option", given, "", why);
    return cli_fail(c, &note);
}

/* Takes argv[*i], an option, and its argument. 0 when it was taken, an exit code otherwise. */
static int take_option(cli *c, const command_row *cmd, int argc, char **argv, int *i)
{
    const char *name = argv[*i] + 2, *eq = strchr(name, '=');
    size_t len = eq ? (size_t)(eq - name) : strlen(name);
    for (int id = 0; id < OPTION_COUNT; id++) {
        const option_row *row = &cli_options[id];
        if (strlen(row->name) != len || strncmp(row->name, name, len) != 0 || !takes(cmd, (option_id)id)) continue;
        trouble_note note = {0};
        const char *value = "";
        if (row->argument) value = eq ? eq + 1 : *i + 1 < argc ? argv[++*i] : NULL;
        if (!value || (eq && !row->argument) || c->given_count == CLI_MAX_GIVEN) {
            note_set(&note, TUFA_MISSING, "option", argv[*i], row->argument,
                     !value ? "this option needs a value behind it"
                            : eq && !row->argument ? "this option takes no value" : "too many options");
            return cli_fail(c, &note);
        }
        c->given[c->given_count].id = (option_id)id;
        c->given[c->given_count++].value = value;
        return 0;
    }
    return unknown_option(c, cmd, name, len);
}

static int take_words(cli *c, const command_row *cmd, int argc, char **argv)
{
    bool only_operands = false;
    for (int i = 0; i < argc; i++) {
        if (!only_operands && strcmp(argv[i], "-o") == 0 && takes(cmd, OPT_OUT)) argv[i] = "--out";
        if (!only_operands && strcmp(argv[i], "--") == 0) {
            only_operands = true;
        } else if (!only_operands && strncmp(argv[i], "--", 2) == 0) {
            int code = take_option(c, cmd, argc, argv, &i);
            if (code) return code;
        } else if (c->operands < CLI_MAX_OPERANDS) {
            c->operand[c->operands++] = argv[i];
        } else {
            trouble_note note = {0};
            note_set(&note, TUFA_RANGE, "operands", argv[i], "at most 64 words", "there are too many words");
            return cli_fail(c, &note);
        }
    }
    return 0;
}

static int unknown_command(cli *c, const char *given)
{
    const char *names[128];
    size_t n = 0;
    for (; n < cli_command_count && n < 128; n++) names[n] = cli_commands[n].words;
    const char *near = nearest_name(given, names, n);
    char why[200];
    snprintf(why, sizeof why, "there is no such command%s%s%s; `tufa help` lists them all",
             near ? "; did you mean `tufa " : "", near ? near : "", near ? "`?" : "");
    trouble_note note = {0};
    note_set(&note, TUFA_UNKNOWN, "command", given, "", why);
    return cli_fail(c, &note);
}

int cli_main(int argc, char **argv, FILE *in, FILE *out, FILE *err)
{
    cli c = {.in = in, .out = out, .err = err};
    int used = 0;
    if (argc > 1 && (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0)) return cmd_help(&c);
    if (argc > 1 && strcmp(argv[1], "--version") == 0) {
        text t = {0};
        text_add(&t, "tufa " TUFA_VERSION "\n");
        return cli_finish(&c, &t, 0);
    }
    /* No word, or options alone: the row whose words are empty. */
    bool no_word = argc < 2 || strncmp(argv[1], "--", 2) == 0;
    const command_row *cmd = no_word ? &cli_commands[0] : find_command(argc - 1, argv + 1, &used);
    if (!cmd) return unknown_command(&c, argv[1]);
    int code = argc < 2 ? 0 : take_words(&c, cmd, argc - 1 - used, argv + 1 + used);
    if (code) return code;
    if (cli_opt(&c, OPT_HELP)) {
        c.operand[0] = cmd->words;
        c.operands = 1;
        return cmd_help(&c);
    }
    c.row = cmd;
    return cmd->run(&c);
}
