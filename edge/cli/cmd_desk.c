/* Serving the pages until the program is told to stop. */
#include <signal.h>
#include <stdlib.h>

#include "edge/cli/book_args.h"
#include "edge/web/site.h"

enum { USUAL_PORT = 4180 };

/* A port number, or 0 and a message. */
static int port_of(cli *c, uint16_t *port)
{
    const char *given = cli_opt(c, OPT_PORT);
    char *end = NULL;
    long n = given ? strtol(given, &end, 10) : USUAL_PORT;
    if (given && (*end || end == given || n < 0 || n > 65535)) {
        trouble_note note = {0};
        note_set(&note, TUFA_RANGE, "port", given, "0 to 65535; 0 takes a free one", "");
        return cli_fail(c, &note);
    }
    *port = (uint16_t)n;
    return 0;
}

static void wait_for_signal(void)
{
    sigset_t set;
    int got;
    sigemptyset(&set);
    sigaddset(&set, SIGINT);
    sigaddset(&set, SIGTERM);
    sigwait(&set, &got);
}

/* Blocked in every thread, so that only wait_for_signal takes them. */
static void hold_signals(void)
{
    sigset_t set;
    sigemptyset(&set);
    sigaddset(&set, SIGINT);
    sigaddset(&set, SIGTERM);
    sigprocmask(SIG_BLOCK, &set, NULL);
    signal(SIGPIPE, SIG_IGN);
}

int cmd_desk(cli *c)
{
    uint16_t port = 0;
    int64_t today = 0;
    int code = port_of(c, &port);
    if (!code && cli_opt(c, OPT_TODAY)) code = cli_today(c, &today);
    if (code) return code;
    site *s = NULL;
    tufa_status st = site_open(cli_book(c), today, NULL, false, &s);
    if (st.code != TUFA_OK) return cli_fail_book(c, st);
    hold_signals();
    web_config config = {.address = "127.0.0.1", .port = port, .handler = site_answer, .ctx = s};
    web_server *server = NULL;
    st = web_start(&config, &server);
    if (st.code != TUFA_OK) {
        site_close(s);
        return cli_fail_status(c, st);
    }
    fprintf(c->out, "The desk is open at http://127.0.0.1:%u/ for this computer alone. Ctrl-C closes it.\n", (unsigned)web_port(server));
    fflush(c->out);
    wait_for_signal();
    web_stop(server);
    site_close(s);
    return 0;
}
