/* Inside the site: who is signed in, what was said on the way to the next page, and what is remembered between pages. */
#ifndef EDGE_WEB_SITE_INNER_H
#define EDGE_WEB_SITE_INNER_H

#include <sodium.h>

#include "edge/web/behind.h"
#include "edge/web/keep.h"
#include "edge/web/page.h"
#include "edge/web/site.h"

enum { TOKEN = 65, MOST_SESSIONS = 16, MOST_SAYINGS = 16, SAYING = 1600 };

typedef struct session {
    char id[TOKEN];
    int64_t ends_s;
} session;

/* One thing said after a form was taken, fetched once by its number. */
typedef struct saying {
    unsigned number;
    char words[SAYING];
} saying;

/* A table that was sent and waits to be taken; the newest alone. */
typedef struct pending {
    unsigned number;
    char name[STORE_SOURCE], kind[STORE_ITEM];
    char *text;
    size_t len;
} pending;

struct site {
    desk d;
    int64_t today; /* 0: the clock's */
    const char *hash;
    bool secure;
    unsigned char secret[crypto_auth_KEYBYTES];
    session sessions[MOST_SESSIONS];
    int tries; /* wrong passphrases in a row, and when the next may be tried */
    int64_t wait_until_s;
    saying sayings[MOST_SAYINGS];
    unsigned said;
    pending waiting;
    char blank[TOKEN]; /* stands for the token in what is kept; the real one is put in its place as a page leaves */
    behind *behind;
    keep *keep;
    int64_t version; /* of the book, at this request */
};

/* ---- sign_in.c ---- */

bool signed_in(site *s, const char *cookie);
void form_token(const site *s, const char *cookie, char out[TOKEN]);
bool form_is_ours(const site *s, const web_request *r);
void sign_in(site *s, page *p);

/* ---- frame.c ---- */

/* The whole page around what was written inside <main>. */
void put_frame(text *t, const page *p, text *inside, bool menu);
void put_trouble(page *p, const trouble_note *n);

/* ---- site.c ---- */

/* Writes the page of `row` into `p->out`, kept ones from the keep. */
void run_page(const page_row *row, page *p);
const page_row *find_page(const char *path);

#endif
