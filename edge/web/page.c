/* What a page asks of its request, and how it answers besides words. */
#include "edge/web/page.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/web/site_inner.h"

const char *page_field(const page *p, const char *name)
{
    const char *v = web_field_get(p->r, name);
    return v ? v : "";
}

bool page_has(const page *p, const char *name, const char *value)
{
    for (int i = 0; i < p->r->fields; i++)
        if (strcmp(p->r->field[i].name, name) == 0 && strcmp(p->r->field[i].value, value) == 0) return true;
    return false;
}

size_t page_values(const page *p, const char *name, const char **out, size_t most)
{
    size_t n = 0;
    for (int i = 0; i < p->r->fields && n < most; i++)
        if (strcmp(p->r->field[i].name, name) == 0 && p->r->field[i].value[0]) out[n++] = p->r->field[i].value;
    return n;
}

static bool whole_number(const char *s, long long *out)
{
    char *end = NULL;
    errno = 0;
    *out = strtoll(s, &end, 10);
    return s[0] && !*end && errno == 0;
}

tufa_status page_id(const page *p, const char *name, int64_t *id)
{
    long long n;
    if (!whole_number(page_field(p, name), &n) || n < 1)
        return trouble(TUFA_MISSING, name, "the address names nothing that is in the book; go by the links");
    *id = n;
    return OK;
}

long page_number(const page *p, const char *name, long lo, long hi, long usual)
{
    long long n;
    return whole_number(page_field(p, name), &n) && n >= lo && n <= hi ? (long)n : usual;
}

void page_title(page *p, const char *s)
{
    snprintf(p->title_room, sizeof p->title_room, "%s", s);
    p->title = p->title_room;
}

void page_go(page *p, const char *to)
{
    p->a->code = 303;
    snprintf(p->a->location, sizeof p->a->location, "%s", to);
}

void page_go_saying(page *p, const char *to, const char *words)
{
    site *s = p->site;
    unsigned n = ++s->said;
    saying *said = &s->sayings[n % MOST_SAYINGS];
    said->number = n;
    snprintf(said->words, sizeof said->words, "%s", words);
    p->a->code = 303;
    snprintf(p->a->location, sizeof p->a->location, "%s%csaid=%u", to, strchr(to, '?') ? '&' : '?', n);
}

tufa_status page_noted(page *p, tufa_code code)
{
    if (code == TUFA_OK) return OK;
    if (p->note.code == TUFA_OK) p->note.code = code;
    return (tufa_status){.code = code};
}

void page_send(page *p, const char *type, const char *file, text *body)
{
    p->a->type = type;
    p->a->body = *body;
    *body = (text){0};
    snprintf(p->a->file, sizeof p->a->file, "%s", file ? file : "");
    p->sent = true;
}

void page_keep(page *p) { p->keep = true; }

void page_keep_a_minute(page *p) { p->keep_a_minute = true; }

tufa_status page_year(page *p, const year_answer **out)
{
    site *s = p->site;
    if (!p->box) {
        bool current;
        p->box = behind_year(s->behind, s->version, p->d->today, &current);
        p->behind = !current;
    }
    if (!p->box) return trouble(TUFA_REFUSED, "year plan", "the plan of this book is being worked out for the first time");
    RETURN_IF(p->box->status);
    *out = &p->box->year;
    return OK;
}

tufa_status page_rounds_of(page *p, const rounds_answer **out)
{
    const year_answer *y;
    RETURN_IF(page_year(p, &y));
    p->not_yet = !behind_rounds(p->site->behind, p->box);
    if (p->not_yet) return trouble(TUFA_REFUSED, "rounds", "the rounds of this book are being worked out");
    RETURN_IF(p->box->rounds_status);
    *out = &p->box->rounds;
    return OK;
}

bool page_may_take_long(page *p, tufa_status *wait)
{
    if (p->aside) return true;
    behind_ask(p->site->behind, p->r, p->version, p->d->today);
    p->not_yet = p->takes_long = true;
    *wait = trouble(TUFA_REFUSED, "page", "this page is being worked out");
    return false;
}
