#include "edge/web/server.h"

#include <arpa/inet.h>
#include <microhttpd.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "core/base/status.h"

enum { TIMEOUT_S = 15, MOST_CONNECTIONS = 64, FORM_BUFFER = 16384 };

struct web_server {
    struct MHD_Daemon *daemon;
    web_handler handler;
    void *ctx;
    uint16_t port;
    pthread_mutex_t starting; /* held until the port, and with it the hosts, are known */
    char hosts[5][128]; /* what the Host header may say */
    int host_count;
};

/* One request while it arrives. */
typedef struct arriving {
    web_request r;
    struct MHD_PostProcessor *form;
    size_t body;
    int refused; /* an HTTP code, or 0 */
    char session[129];
} arriving;

static const char SECURITY[] = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; "
                               "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

const char *web_field_get(const web_request *r, const char *name)
{
    for (int i = 0; i < r->fields; i++)
        if (strcmp(r->field[i].name, name) == 0) return r->field[i].value;
    return NULL;
}

bool web_is_loopback(const char *address)
{
    struct in_addr v4;
    return strcmp(address, "::1") == 0 || (inet_pton(AF_INET, address, &v4) == 1 && ntohl(v4.s_addr) >> 24 == 127);
}

/* UTF-8 as in RFC 3629: no overlong forms, no surrogates, nothing above U+10FFFF, no 0. */
static bool is_text(const char *s, size_t n)
{
    const unsigned char *p = (const unsigned char *)s, *end = p + n;
    while (p < end) {
        unsigned char c = *p++;
        if (c == 0) return false;
        if (c < 0x80) continue;
        int more = c >= 0xC2 && c < 0xE0 ? 1 : (c & 0xF0) == 0xE0 ? 2 : c >= 0xF0 && c < 0xF5 ? 3 : -1;
        if (more < 0 || end - p < more) return false;
        if ((c == 0xE0 && p[0] < 0xA0) || (c == 0xED && p[0] >= 0xA0) || (c == 0xF0 && p[0] < 0x90) ||
            (c == 0xF4 && p[0] >= 0x90))
            return false;
        for (; more > 0; more--)
            if ((*p++ & 0xC0) != 0x80) return false;
    }
    return true;
}

/* Adds to the field that is arriving, or begins one at offset 0. */
static bool take_field(arriving *a, const char *name, const char *value, size_t n, bool begins)
{
    web_request *r = &a->r;
    if (begins) {
        if (r->fields == WEB_MAX_FIELDS) return false;
        web_field *f = &r->field[r->fields];
        *f = (web_field){.name = strdup(name), .value = calloc(1, 1)};
        r->fields++;
        if (!f->name || !f->value) return false;
    }
    if (r->fields == 0) return false;
    web_field *f = &r->field[r->fields - 1];
    char *grown = realloc(f->value, f->len + n + 1);
    if (!grown) return false;
    if (n) memcpy(grown + f->len, value, n);
    f->value = grown;
    f->len += n;
    f->value[f->len] = 0;
    return true;
}

/* A file may hold anything: who reads it says what is wrong with it. */
static bool field_is_text(const web_field *f)
{
    return is_text(f->name, strlen(f->name)) && (f->file ? is_text(f->file, strlen(f->file)) : is_text(f->value, f->len));
}

static enum MHD_Result take_query(void *cls, enum MHD_ValueKind kind, const char *key, const char *value)
{
    (void)kind;
    arriving *a = cls;
    if (!take_field(a, key, value ? value : "", value ? strlen(value) : 0, true)) a->refused = 413;
    return MHD_YES;
}

static enum MHD_Result take_form(void *cls, enum MHD_ValueKind kind, const char *key, const char *file,
                                 const char *type, const char *encoding, const char *data, uint64_t at, size_t n)
{
    (void)kind, (void)type, (void)encoding;
    arriving *a = cls;
    if (!take_field(a, key ? key : "", data, n, at == 0)) a->refused = 413;
    if (file && at == 0 && !a->refused && !(a->r.field[a->r.fields - 1].file = strdup(file))) a->refused = 413;
    return a->refused ? MHD_NO : MHD_YES;
}

static bool host_is_ours(web_server *s, struct MHD_Connection *c)
{
    pthread_mutex_lock(&s->starting);
    pthread_mutex_unlock(&s->starting);
    const char *host = MHD_lookup_connection_value(c, MHD_HEADER_KIND, "Host");
    for (int i = 0; host && i < s->host_count; i++)
        if (strcasecmp(host, s->hosts[i]) == 0) return true;
    return false;
}

static arriving *begin(web_server *s, struct MHD_Connection *c, const char *path, const char *method)
{
    arriving *a = calloc(1, sizeof *a);
    if (!a) return NULL;
    const char *session = MHD_lookup_connection_value(c, MHD_COOKIE_KIND, "tufa");
    if (session) snprintf(a->session, sizeof a->session, "%s", session);
    const char *origin = MHD_lookup_connection_value(c, MHD_HEADER_KIND, "Origin");
    a->r.post = strcmp(method, "POST") == 0;
    a->r.path = path;
    a->r.session = a->session;
    a->r.origin = origin ? origin : "";
    if (!host_is_ours(s, c)) a->refused = 421;
    else if (!a->r.post && strcmp(method, "GET") != 0 && strcmp(method, "HEAD") != 0) a->refused = 405;
    else if (strlen(path) > WEB_MAX_PATH || !is_text(path, strlen(path))) a->refused = 400;
    if (!a->refused) MHD_get_connection_values(c, MHD_GET_ARGUMENT_KIND, take_query, a);
    if (!a->refused && a->r.post) {
        a->form = MHD_create_post_processor(c, FORM_BUFFER, take_form, a);
        if (!a->form) a->refused = 415;
    }
    return a;
}

static enum MHD_Result reply(struct MHD_Connection *c, web_answer *w)
{
    struct MHD_Response *r =
        w->fixed ? MHD_create_response_from_buffer(w->fixed_len, (void *)(uintptr_t)w->fixed, MHD_RESPMEM_PERSISTENT)
                 : MHD_create_response_from_buffer(w->body.len, w->body.s, MHD_RESPMEM_MUST_FREE);
    if (!r) {
        text_free(&w->body);
        return MHD_NO;
    }
    w->body = (text){0};
    MHD_add_response_header(r, "Content-Type", w->type);
    MHD_add_response_header(r, "Content-Security-Policy", SECURITY);
    MHD_add_response_header(r, "X-Content-Type-Options", "nosniff");
    MHD_add_response_header(r, "Referrer-Policy", "no-referrer");
    MHD_add_response_header(r, "Cross-Origin-Opener-Policy", "same-origin");
    MHD_add_response_header(r, "Cross-Origin-Resource-Policy", "same-origin");
    MHD_add_response_header(r, "Cache-Control", w->may_keep ? "max-age=86400" : "no-store");
    if (w->location[0]) MHD_add_response_header(r, "Location", w->location);
    if (w->file[0]) {
        char line[120];
        snprintf(line, sizeof line, "attachment; filename=\"%s\"", w->file);
        MHD_add_response_header(r, "Content-Disposition", line);
    }
    if (w->cookie[0]) MHD_add_response_header(r, "Set-Cookie", w->cookie);
    enum MHD_Result result = MHD_queue_response(c, (unsigned)w->code, r);
    MHD_destroy_response(r);
    return result;
}

static enum MHD_Result refuse(struct MHD_Connection *c, int code)
{
    web_answer w = {.code = code, .type = "text/plain; charset=utf-8"};
    text_add(&w.body, code == 421   ? "This desk answers only to its own address.\n"
                      : code == 405 ? "This desk takes GET and POST.\n"
                      : code == 413 ? "That is more than this desk takes at once.\n"
                      : code == 415 ? "A form is expected.\n"
                                    : "That request cannot be read.\n");
    return reply(c, &w);
}

static enum MHD_Result on_request(void *cls, struct MHD_Connection *c, const char *path, const char *method,
                                  const char *version, const char *data, size_t *size, void **con)
{
    (void)version;
    web_server *s = cls;
    arriving *a = *con;
    if (!a) {
        *con = begin(s, c, path, method);
        return *con ? MHD_YES : MHD_NO;
    }
    if (*size > 0) {
        a->body += *size;
        if (a->body > WEB_MAX_BODY) a->refused = 413;
        if (!a->refused && a->form && MHD_post_process(a->form, data, *size) == MHD_NO && !a->refused)
            a->refused = 400;
        *size = 0;
        return MHD_YES;
    }
    for (int i = 0; i < a->r.fields && !a->refused; i++)
        if (!field_is_text(&a->r.field[i])) a->refused = 400;
    if (a->refused) return refuse(c, a->refused);
    web_answer w = {.code = 200, .type = "text/html; charset=utf-8"};
    s->handler(s->ctx, &a->r, &w);
    return reply(c, &w);
}

static void on_end(void *cls, struct MHD_Connection *c, void **con, enum MHD_RequestTerminationCode why)
{
    (void)cls, (void)c, (void)why;
    arriving *a = *con;
    if (!a) return;
    if (a->form) MHD_destroy_post_processor(a->form);
    for (int i = 0; i < a->r.fields; i++) {
        free(a->r.field[i].name);
        free(a->r.field[i].value);
        free(a->r.field[i].file);
    }
    free(a);
    *con = NULL;
}

static void allow_host(web_server *s, const char *name)
{
    bool v6 = strchr(name, ':') != NULL;
    snprintf(s->hosts[s->host_count++], sizeof s->hosts[0], v6 ? "[%s]:%u" : "%s:%u", name, (unsigned)s->port);
}

static bool fill_address(const char *address, uint16_t port, struct sockaddr_storage *to)
{
    memset(to, 0, sizeof *to);
    struct sockaddr_in *v4 = (struct sockaddr_in *)to;
    struct sockaddr_in6 *v6 = (struct sockaddr_in6 *)to;
    if (inet_pton(AF_INET, address, &v4->sin_addr) == 1) {
        v4->sin_family = AF_INET;
        v4->sin_port = htons(port);
        return true;
    }
    if (inet_pton(AF_INET6, address, &v6->sin6_addr) == 1) {
        v6->sin6_family = AF_INET6;
        v6->sin6_port = htons(port);
        return true;
    }
    return false;
}

tufa_status web_start(const web_config *config, web_server **out)
{
    struct sockaddr_storage at;
    if (!fill_address(config->address, config->port, &at))
        return trouble(TUFA_PARSE, "listen", "an address in figures is needed, such as 127.0.0.1");
    web_server *s = calloc(1, sizeof *s);
    if (!s || pthread_mutex_init(&s->starting, NULL) != 0) {
        free(s);
        return trouble(TUFA_MEMORY, "server", NULL);
    }
    s->handler = config->handler;
    s->ctx = config->ctx;
    unsigned flags = MHD_USE_INTERNAL_POLLING_THREAD | MHD_USE_EPOLL | (at.ss_family == AF_INET6 ? MHD_USE_IPv6 : 0u) |
                     (config->certificate_pem ? MHD_USE_TLS : 0u);
    struct MHD_OptionItem tls[] = {{MHD_OPTION_HTTPS_MEM_CERT, 0, (void *)(uintptr_t)config->certificate_pem},
                                   {MHD_OPTION_HTTPS_MEM_KEY, 0, (void *)(uintptr_t)config->key_pem},
                                   {MHD_OPTION_END, 0, NULL}};
    struct MHD_OptionItem none[] = {{MHD_OPTION_END, 0, NULL}};
    pthread_mutex_lock(&s->starting); /* a request may arrive before this is over */
    s->daemon = MHD_start_daemon(flags, config->port, NULL, NULL, on_request, s, MHD_OPTION_SOCK_ADDR, &at,
                                 MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)TIMEOUT_S, MHD_OPTION_CONNECTION_LIMIT,
                                 (unsigned)MOST_CONNECTIONS, MHD_OPTION_STRICT_FOR_CLIENT, 1,
                                 MHD_OPTION_NOTIFY_COMPLETED, on_end, NULL, MHD_OPTION_ARRAY,
                                 config->certificate_pem ? tls : none, MHD_OPTION_END);
    const union MHD_DaemonInfo *info = s->daemon ? MHD_get_daemon_info(s->daemon, MHD_DAEMON_INFO_BIND_PORT) : NULL;
    if (!info) {
        pthread_mutex_unlock(&s->starting);
        web_stop(s);
        return trouble(TUFA_IO, "port", "the address cannot be used; another program may hold this port");
    }
    s->port = info->port ? info->port : config->port;
    if (web_is_loopback(config->address)) {
        allow_host(s, "127.0.0.1");
        allow_host(s, "localhost");
        allow_host(s, "::1");
    }
    allow_host(s, config->address);
    if (config->host_name) allow_host(s, config->host_name);
    pthread_mutex_unlock(&s->starting);
    *out = s;
    return OK;
}

uint16_t web_port(const web_server *s) { return s->port; }

void web_stop(web_server *s)
{
    if (!s) return;
    if (s->daemon) MHD_stop_daemon(s->daemon);
    pthread_mutex_destroy(&s->starting);
    free(s);
}
