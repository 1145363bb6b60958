/* The book and the day that a command works with: --book and --today. */
#ifndef EDGE_CLI_BOOK_ARGS_H
#define EDGE_CLI_BOOK_ARGS_H

#include "edge/cli/cli.h"
#include "edge/desk/desk.h"

const char *cli_book(const cli *c);  /* its path */
bool cli_book_exists(const cli *c);  /* something is there */

/* 0, or the exit code after the trouble was told. */
int cli_today(cli *c, int64_t *day);
int cli_open(cli *c, bool write, desk *out);
int cli_fail_book(cli *c, tufa_status st); /* names the book */

#endif
