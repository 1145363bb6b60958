/* The local server: requests in, answers out. All of HTTP and its limits live here; what a page says does not. */
#ifndef EDGE_WEB_SERVER_H
#define EDGE_WEB_SERVER_H

#include <stdbool.h>
#include <stdint.h>

#include "edge/say/text.h"
#include "tufa/base.h"

enum { WEB_MAX_FIELDS = 256, WEB_MAX_BODY = 8 << 20, WEB_MAX_PATH = 512 };

/* One value of the query or of a form, in the order given. `name` and `value` end with 0; a value with a 0 inside,
 * or bytes that are no UTF-8, is refused before a page sees it. */
typedef struct web_field {
    char *name, *value;
    size_t len;
    char *file; /* of a file that was sent: its name as the sender has it, for words only; its bytes may be anything */
} web_field;

typedef struct web_request {
    const char *path; /* begins with /, no query, at most WEB_MAX_PATH */
    bool post;
    web_field field[WEB_MAX_FIELDS];
    int fields;
    const char *session; /* the session cookie, or "" */
    const char *origin;  /* Origin header, or "" */
} web_request;

const char *web_field_get(const web_request *r, const char *name); /* NULL when it is not there */

typedef struct web_answer {
    int code;
    const char *type; /* static text */
    text body;
    const void *fixed; /* an asset built into the program, instead of body */
    size_t fixed_len;
    char location[256]; /* for a redirection */
    char cookie[160];   /* a Set-Cookie line, or empty */
    char file[80];      /* the name of a file to be kept by the browser, letters and .- only; or empty */
    bool may_keep;      /* the browser may keep it: assets only */
} web_answer;

typedef void (*web_handler)(void *ctx, const web_request *r, web_answer *a);

typedef struct web_config {
    const char *address; /* numeric; loopback unless the caller has made sure of a passphrase */
    uint16_t port;       /* 0 takes a free one */
    const char *certificate_pem, *key_pem; /* both or neither */
    const char *host_name; /* a further name that requests may carry, or NULL */
    web_handler handler;
    void *ctx;
} web_config;

typedef struct web_server web_server;

/* Starts serving on a thread of the library; the handler runs on that one thread. IO when the address is taken. */
TUFA_MUST_CHECK tufa_status web_start(const web_config *config, web_server **out);
uint16_t web_port(const web_server *s);
void web_stop(web_server *s);

bool web_is_loopback(const char *address);

#endif
