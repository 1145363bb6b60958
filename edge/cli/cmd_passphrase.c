/* Setting the passphrase of a desk that others may reach. */
#include <string.h>
#include <termios.h>
#include <unistd.h>

#include "edge/cli/book_args.h"
#include "edge/web/passphrase.h"

enum { LONGEST = 1024 };

static int refuse(cli *c, const char *why)
{
    trouble_note note = {0};
    note_set(&note, TUFA_REFUSED, "passphrase", "", "", why);
    return cli_fail(c, &note);
}

static bool read_line(FILE *in, char out[LONGEST])
{
    if (!fgets(out, LONGEST, in)) return false;
    out[strcspn(out, "\r\n")] = 0;
    return true;
}

/* Without showing what is typed. */
static bool ask(cli *c, const char *words, char out[LONGEST])
{
    struct termios seen, unseen;
    bool hidden = tcgetattr(fileno(c->in), &seen) == 0;
    fputs(words, c->out);
    fflush(c->out);
    if (hidden) {
        unseen = seen;
        unseen.c_lflag &= ~(tcflag_t)ECHO;
        tcsetattr(fileno(c->in), TCSAFLUSH, &unseen);
    }
    bool got = read_line(c->in, out);
    if (hidden) tcsetattr(fileno(c->in), TCSAFLUSH, &seen);
    fputs("\n", c->out);
    return got;
}

int cmd_desk_passphrase(cli *c)
{
    char first[LONGEST] = "", again[LONGEST] = "";
    if (!cli_book_exists(c)) return refuse(c, "there is no book here; a passphrase belongs to one: --book FILE");
    bool asks = isatty(fileno(c->in)) != 0;
    bool got = asks ? ask(c, "Passphrase, at least 12 letters: ", first) && ask(c, "Once more: ", again) : read_line(c->in, first);
    if (!got || !first[0]) return refuse(c, "nothing was typed; nothing was changed");
    if (asks && strcmp(first, again) != 0) return refuse(c, "the two differ; nothing was changed");
    tufa_status st = passphrase_set(cli_book(c), first);
    passphrase_forget(first, sizeof first);
    passphrase_forget(again, sizeof again);
    if (st.code != TUFA_OK) return cli_fail_status(c, st);
    fprintf(c->out, "The passphrase is set. `tufa desk --listen ADDRESS` asks for it from now on.\n");
    return 0;
}
