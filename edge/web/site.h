/* The desk's site: from a request to a page. */
#ifndef EDGE_WEB_SITE_H
#define EDGE_WEB_SITE_H

#include <stdbool.h>
#include <stdint.h>

#include "edge/say/trouble.h"
#include "edge/web/server.h"

typedef struct site site;

/* `today` 0: the clock's day at each request. `passphrase_hash`: of Argon2id, as kept in the book; NULL: nobody is
 * asked, which is for loopback alone. `secure`: cookies go over TLS only. */
TUFA_MUST_CHECK tufa_status site_open(const char *book, int64_t today, const char *passphrase_hash, bool secure, site **out);
void site_close(site *s);
void site_answer(void *s, const web_request *r, web_answer *a); /* a web_handler */

/* The hash that site_open wants; `out` has room for 128. Takes about a third of a second by design. */
TUFA_MUST_CHECK tufa_status site_hash_passphrase(const char *passphrase, char out[128]);

#endif
