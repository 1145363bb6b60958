/* Serving the pages until the program is told to stop. */
#include <signal.h>
#include <spawn.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#ifdef __GLIBC__
#include <malloc.h>
#endif

#include "edge/cli/book_args.h"
#include "edge/web/passphrase.h"
#include "edge/web/site.h"

enum { USUAL_PORT = 4180, MOST_PEM = 1 << 18 };

static int refuse(cli *c, tufa_code code, const char *field, const char *value, const char *allowed, const char *why)
{
    trouble_note note = {0};
    note_set(&note, code, field, value, allowed, why);
    return cli_fail(c, &note);
}

/* A port number, or 0 and a message. */
static int port_of(cli *c, uint16_t *port)
{
    const char *given = cli_opt(c, OPT_PORT);
    char *end = NULL;
    long n = given ? strtol(given, &end, 10) : USUAL_PORT;
    if (given && (*end || end == given || n < 0 || n > 65535))
        return refuse(c, TUFA_RANGE, "port", given, "0 to 65535; 0 takes a free one", "");
    *port = (uint16_t)n;
    return 0;
}

/* ---- beyond this computer ---- */

typedef struct open_to {
    const char *address;
    bool beyond;
    char hash[PASSPHRASE_HASH];
    char *certificate, *key;
} open_to;

static void open_to_free(open_to *o)
{
    free(o->certificate);
    if (o->key) passphrase_forget(o->key, strlen(o->key));
    free(o->key);
}

static int read_pem(cli *c, option_id option, const char *field, char **out)
{
    const char *path = cli_opt(c, option);
    FILE *f = fopen(path, "rb");
    char *s = f ? calloc(1, MOST_PEM + 1) : NULL;
    size_t n = s ? fread(s, 1, MOST_PEM, f) : 0;
    if (f) fclose(f);
    if (n == 0 || !strstr(s, "-----BEGIN ")) {
        free(s);
        return refuse(c, TUFA_IO, field, path, "", f ? "this is no PEM file" : "this file cannot be read");
    }
    *out = s;
    return 0;
}

static bool is_any(const char *address) { return strcmp(address, "0.0.0.0") == 0 || strcmp(address, "::") == 0; }

static int open_to_read(cli *c, open_to *o)
{
    const char *listen = cli_opt(c, OPT_LISTEN), *cert = cli_opt(c, OPT_CERT), *key = cli_opt(c, OPT_KEY);
    o->address = listen ? listen : "127.0.0.1";
    o->beyond = !web_is_loopback(o->address);
    if (is_any(o->address))
        return refuse(c, TUFA_REFUSED, "listen", listen, "one address of this computer", "every address at once is more than anybody can mean");
    if (!cert != !key) return refuse(c, TUFA_MISSING, cert ? "key" : "cert", "", "", "a certificate and its key go together");
    if (o->beyond) {
        tufa_status st = passphrase_hash_of(cli_book(c), o->hash);
        if (st.code == TUFA_MISSING)
            return refuse(c, TUFA_REFUSED, "listen", listen, "", "others are let in with a passphrase only; set one first: `tufa desk passphrase`");
        if (st.code != TUFA_OK) return cli_fail_status(c, st);
    }
    int code = cert ? read_pem(c, OPT_CERT, "cert", &o->certificate) : 0;
    return !code && key ? read_pem(c, OPT_KEY, "key", &o->key) : code;
}

static void tell(cli *c, const open_to *o, unsigned port)
{
    bool v6 = strchr(o->address, ':') != NULL;
    fprintf(c->out, "The desk is open at %s://%s%s%s:%u/ %s. Ctrl-C closes it.\n", o->certificate ? "https" : "http", v6 ? "[" : "", o->address,
            v6 ? "]" : "", port, o->beyond ? "for whoever has the passphrase" : "for this computer alone");
    if (o->beyond)
        fprintf(c->out, "That means: every computer on this network can reach the sign-in page; who signs in sees and changes the whole book. "
                        "Five wrong passphrases close it for a minute.\n%s",
                o->certificate ? "What goes over the network is encrypted.\n"
                               : "Without --cert and --key whoever sits on the way can read along, the passphrase too.\n");
    fflush(c->out);
}

/* ---- the browser ---- */

/* Where there is one, and somebody to look at it: not under CI, not without a terminal. */
static void open_browser(const cli *c, const open_to *o, unsigned port)
{
    extern char **environ;
    char url[256], *const words[] = {"xdg-open", url, NULL};
    bool screen = getenv("DISPLAY") || getenv("WAYLAND_DISPLAY");
    if (cli_opt(c, OPT_NO_BROWSER) || getenv("CI") || !screen || !isatty(STDOUT_FILENO)) return;
    snprintf(url, sizeof url, "%s://%s:%u/", o->certificate ? "https" : "http", o->beyond ? o->address : "127.0.0.1", port);
    posix_spawn_file_actions_t quiet;
    if (posix_spawn_file_actions_init(&quiet) != 0) return;
    posix_spawn_file_actions_addopen(&quiet, STDOUT_FILENO, "/dev/null", 1, 0);
    posix_spawn_file_actions_addopen(&quiet, STDERR_FILENO, "/dev/null", 1, 0);
    pid_t child;
    (void)!posix_spawnp(&child, words[0], &quiet, NULL, words, environ);
    posix_spawn_file_actions_destroy(&quiet);
}

/* ---- serving ---- */

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
    signal(SIGCHLD, SIG_IGN); /* the browser's starter needs no waiting for */
}

/* The plan's large blocks are mapped alone and go back to the system as soon as it is done with them; where the allocator may
 * choose, it learns from the first one to hold all later ones back. */
static void keep_small(void)
{
#ifdef __GLIBC__
    enum { LARGE = 1 << 20, MOST_ARENAS = 2 };
    (void)mallopt(M_MMAP_THRESHOLD, LARGE);
    (void)mallopt(M_ARENA_MAX, MOST_ARENAS);
#endif
}

static int serve(cli *c, const open_to *o, uint16_t port, int64_t today)
{
    site *s = NULL;
    hold_signals();
    keep_small();
    tufa_status st = site_open(cli_book(c), today, o->beyond ? o->hash : NULL, o->certificate != NULL, &s);
    if (st.code != TUFA_OK) return cli_fail_book(c, st);
    web_config config = {.address = o->address, .port = port, .certificate_pem = o->certificate, .key_pem = o->key,
                         .host_name = cli_opt(c, OPT_HOST), .handler = site_answer, .ctx = s};
    web_server *server = NULL;
    st = web_start(&config, &server);
    if (st.code != TUFA_OK) {
        site_close(s);
        return cli_fail_status(c, st);
    }
    tell(c, o, web_port(server));
    open_browser(c, o, web_port(server));
    wait_for_signal();
    web_stop(server);
    site_close(s);
    return 0;
}

int cmd_desk(cli *c)
{
    uint16_t port = 0;
    int64_t today = 0;
    open_to o = {0};
    int code = port_of(c, &port);
    if (!code && cli_opt(c, OPT_TODAY)) code = cli_today(c, &today);
    if (!code) code = open_to_read(c, &o);
    if (!code) code = serve(c, &o, port, today);
    open_to_free(&o);
    return code;
}
