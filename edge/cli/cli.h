/* One command being carried out: its operands, its options, where it reads and writes. */
#ifndef EDGE_CLI_CLI_H
#define EDGE_CLI_CLI_H

#include <stdbool.h>
#include <stdio.h>

#include "edge/say/text.h"
#include "edge/say/trouble.h"
#include "tufa/base.h"

typedef enum option_id {
#define X(id, name, argument, what) OPT_##id,
#include "edge/cli/options.def"
#undef X
    OPTION_COUNT
} option_id;

typedef struct option_row {
    const char *name, *argument, *what;
} option_row;

enum { CLI_MAX_OPERANDS = 64, CLI_MAX_GIVEN = 64 };

typedef struct cli {
    FILE *in, *out, *err;
    const struct command_row *row; /* of the command */
    const char *operand[CLI_MAX_OPERANDS];
    int operands;
    struct {
        option_id id;
        const char *value; /* "" for an option without argument */
    } given[CLI_MAX_GIVEN];
    int given_count;
} cli;

typedef struct command_row {
    const char *words; /* "water", "book import" */
    int (*run)(cli *c);
    const char *operands;
    const option_id *options; /* ends with OPTION_COUNT */
    const char *what, *more;
} command_row;

extern const option_row cli_options[OPTION_COUNT];
extern const command_row cli_commands[];
extern const size_t cli_command_count;

/* The last value given for an option, or NULL; the i-th one, or NULL when there are no more. */
const char *cli_opt(const cli *c, option_id id);
const char *cli_opt_at(const cli *c, option_id id, int i);

/* Print `t`, free it and answer `code`; an unwritable output turns code 0 into the exit code of IO. */
int cli_finish(cli *c, text *t, int code);
/* Print what went wrong to the error output and answer its exit code. */
int cli_fail(cli *c, const trouble_note *n);
int cli_fail_status(cli *c, tufa_status st);
/* One line on a terminal: how many of all heaters are done; `after` (may be "") stands there when all are. Of fewer than
 * `least` nothing is told, and beside a terminal nothing ever is. */
void cli_progress(const cli *c, size_t done, size_t all, size_t least, const char *after);

int cli_main(int argc, char **argv, FILE *in, FILE *out, FILE *err);

#define X(id, words, run, operands, options, what, more) int run(cli *c);
#include "edge/cli/commands.def"
#undef X

#endif
