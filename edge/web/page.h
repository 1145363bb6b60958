/* One page being written: who asks for what, the open book, and where the words go. */
#ifndef EDGE_WEB_PAGE_H
#define EDGE_WEB_PAGE_H

#include "edge/desk/answers.h"
#include "edge/say/trouble.h"
#include "edge/web/html.h"
#include "edge/web/server.h"

typedef struct site site;

typedef struct page {
    site *site;
    const web_request *r;
    web_answer *a;
    text *out;          /* inside <main> */
    desk *d;
    const char *token;  /* for forms */
    const char *title;  /* may be made longer by the page: "Mill Lane 3" */
    char title_room[160];
    trouble_note note;  /* what was wrong with a form; code OK: nothing */
} page;

/* Writes the page. A status other than OK becomes a page that says what went wrong and what to do. */
typedef tufa_status (*page_show)(page *p);
/* Takes a form: goes on by page_go, or answers a status (or fills `note`) and the page is shown again with what was
 * typed and the message beside it. */
typedef tufa_status (*page_act)(page *p);

typedef struct page_row {
    const char *path, *menu, *title; /* menu NULL: not in the menu */
    page_show show;
    page_act act; /* NULL: takes no form */
} page_row;

extern const page_row site_pages[];
extern const size_t site_page_count;

const char *page_field(const page *p, const char *name); /* of query or form; "" when it is not there */
void page_go(page *p, const char *to);                   /* answer a form by going to this path (with its query) */
void page_title(page *p, const char *s);
/* The year plan as last worked out, computed anew when the book has changed; stays the site's. */
TUFA_MUST_CHECK tufa_status page_year(page *p, const year_answer **out);

/* The beginning of a form to `path`, with its token. */
void put_form(page *p, const char *path);
/* A field with its label, what was typed kept, and its message when `note` is about it. `hint` may be NULL. */
void put_input(page *p, const char *name, const char *label, const char *value, const char *hint);
/* A link to the page of a heater, its label as words. */
void put_heater_link(text *t, int64_t id, const char *label);

#define X(id, path, menu, title, show, act) tufa_status show(page *p);
#include "edge/web/pages.def"
#undef X

#endif
