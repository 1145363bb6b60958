/* The book and the day that a command works with. */
#include "edge/cli/book_args.h"

#include <sys/stat.h>
#include <time.h>

#include "edge/say/day.h"

const char *cli_book(const cli *c)
{
    const char *given = cli_opt(c, OPT_BOOK);
    return given ? given : "tufa.book";
}

bool cli_book_exists(const cli *c)
{
    struct stat st;
    return stat(cli_book(c), &st) == 0;
}

/* The calendar day where the program runs. */
static int64_t day_of_clock(void)
{
    time_t now = time(NULL);
    struct tm here;
    if (!localtime_r(&now, &here)) return (int64_t)(now / 86400);
    return day_from_ymd(here.tm_year + 1900, here.tm_mon + 1, here.tm_mday);
}

int cli_today(cli *c, int64_t *day)
{
    const char *given = cli_opt(c, OPT_TODAY);
    *day = day_of_clock();
    if (!given || day_parse(given, day)) return 0;
    trouble_note note = {0};
    note_set(&note, TUFA_PARSE, "--today", given, "a day as 2026-11-25", "this is not a day that exists");
    return cli_fail(c, &note);
}

int cli_fail_book(cli *c, tufa_status st)
{
    trouble_note note = {0};
    note_from_status(&note, st);
    note_set(&note, note.code, note.field, cli_book(c), note.allowed, note.why);
    return cli_fail(c, &note);
}

int cli_open(cli *c, bool write, desk *out)
{
    int64_t today;
    int code = cli_today(c, &today);
    if (code) return code;
    tufa_status st = desk_open(cli_book(c), write, today, out);
    return st.code == TUFA_OK ? 0 : cli_fail_book(c, st);
}
