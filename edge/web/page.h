/* One page being written: who asks for what, the open book, and where the words go. Forms: forms.h; tables, charts
 * and links: parts.h. How a page is added: docs/adding.md. */
#ifndef EDGE_WEB_PAGE_H
#define EDGE_WEB_PAGE_H

#include "edge/desk/answers.h"
#include "edge/desk/rounds.h"
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
    int64_t version;    /* of the book, as desk_version tells */
    const char *title;  /* may be made longer by the page: "Mill Lane 3" */
    char title_room[160];
    trouble_note note;  /* what was wrong with a form; code OK: nothing */
    bool beside;        /* its message stands beside a field already */
    bool sent;          /* page_send was called: no frame around it */
    bool keep, keep_a_minute; /* page_keep, page_keep_a_minute were called */
    bool behind;        /* the year plan that was asked for is of the book as it was */
    bool not_yet;       /* what the page is about is still being worked out */
    bool takes_long;    /* it is written behind the others and not there yet */
    bool aside;         /* written behind the others, where it may take its time; kept whatever it says */
    bool (*stopped)(void *stopped_ctx); /* whether nobody waits for it any more; NULL: never */
    void *stopped_ctx;
    struct year_box *box; /* the year plan that this page holds */
} page;

/* Writes the page. A status other than OK becomes a page that says what went wrong and what to do. */
typedef tufa_status (*page_show)(page *p);
/* Takes a form: goes on by page_go, or answers a status (or fills `note`, most easily by page_noted) and the page is
 * shown again with what was typed and the message beside it. */
typedef tufa_status (*page_act)(page *p);

typedef struct page_row {
    const char *path, *menu, *title; /* menu NULL: not in the menu */
    page_show show;
    page_act act; /* no_form: takes none */
} page_row;

extern const page_row site_pages[];
extern const size_t site_page_count;

/* ---- what was asked ---- */

const char *page_field(const page *p, const char *name); /* of query or form; "" when it is not there */
bool page_has(const page *p, const char *name, const char *value); /* one of the values of this name: a box is ticked */
/* All values of a name that are not empty, in their order; at most `most`. */
size_t page_values(const page *p, const char *name, const char **out, size_t most);
/* The number of a heater, house, call ... in the field `name`: PARSE when it is not there or no number. */
TUFA_MUST_CHECK tufa_status page_id(const page *p, const char *name, int64_t *id);
/* A whole number within lo..hi, or `usual` when it is not there or out of range. */
long page_number(const page *p, const char *name, long lo, long hi, long usual);

/* ---- what is answered besides words ---- */

void page_title(page *p, const char *s);
void page_go(page *p, const char *to); /* answer a form by going to this path (with its query) */
/* The same, with one sentence that stands on top of the page that follows: "Kept: 3 readings of Mill Lane 3." */
void page_go_saying(page *p, const char *to, const char *words);
/* For `return page_noted(p, desk_...(..., &p->note))` in a page_act. */
TUFA_MUST_CHECK tufa_status page_noted(page *p, tufa_code code);
/* A file instead of a page: `file` is the name it gets ("sheet.pdf"), NULL to show it. Takes over `body`. */
void page_send(page *p, const char *type, const char *file, text *body);
/* This page depends on the book, the day and its query alone: it may be kept until one of them changes. Not for a page
 * that looks at the hour or at anything outside the book. */
void page_keep(page *p);
/* The same for a page that looks at the hour: for this minute. */
void page_keep_a_minute(page *p);
/* The year plan. It is worked out behind the pages: where that takes long, the plan of before the last change is answered
 * and the page says so; REFUSED while there is none at all yet. Good until the page is written. */
TUFA_MUST_CHECK tufa_status page_year(page *p, const year_answer **out);

/* The rounds of that plan; REFUSED while they are being worked out: the page asks again. */
TUFA_MUST_CHECK tufa_status page_rounds_of(page *p, const rounds_answer **out);

/* For a page that takes longer than others may wait: false asks for it behind them, and the page then answers this status. */
bool page_may_take_long(page *p, tufa_status *wait);

/* A link to the page of a heater, its label as words. */
void put_heater_link(text *t, int64_t id, const char *label);

#include "edge/web/forms.h"
#include "edge/web/parts.h"

/* The `act` of a page that takes no form. */
tufa_status no_form(page *p);

#define X(id, path, menu, title, show, act) \
    tufa_status show(page *p);              \
    tufa_status act(page *p);
#include "edge/web/pages.def"
#undef X

#endif
