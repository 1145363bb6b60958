#include "edge/web/site.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "core/base/status.h"
#include "edge/web/assets.h"
#include "edge/web/site_inner.h"

#define X(id, path, menu, title, show, act) {path, menu, title, show, act},
const page_row site_pages[] = {
#include "edge/web/pages.def"
};
#undef X
const size_t site_page_count = sizeof site_pages / sizeof site_pages[0];

tufa_status site_open(const char *book, int64_t today, const char *passphrase_hash, bool secure, site **out)
{
    if (sodium_init() < 0) return trouble(TUFA_IO, "random", "the system gives no random numbers");
    site *s = calloc(1, sizeof *s);
    if (!s) return trouble(TUFA_MEMORY, "site", NULL);
    s->today = today;
    s->hash = passphrase_hash;
    s->secure = secure;
    randombytes_buf(s->secret, sizeof s->secret);
    tufa_status st = desk_open(book, true, today, &s->d);
    if (st.code != TUFA_OK) {
        free(s);
        return st;
    }
    *out = s;
    return OK;
}

void site_close(site *s)
{
    if (!s) return;
    if (s->year_known) year_free(&s->year);
    desk_close(&s->d);
    sodium_memzero(s->secret, sizeof s->secret);
    free(s);
}

/* ---- from a request to a page ---- */

tufa_status no_form(page *p)
{
    (void)p;
    return trouble(TUFA_REFUSED, "form", "this page takes no form");
}

static int http_code(tufa_code code)
{
    switch (code) {
    case TUFA_OK: return 200;
    case TUFA_MISSING: return 404;
    case TUFA_SOLVE:
    case TUFA_MEMORY:
    case TUFA_STORE:
    case TUFA_IO: return 500;
    default: return 422;
    }
}

static void fail_page(page *p, tufa_status st)
{
    trouble_note n = {0};
    note_from_status(&n, st);
    text_clear(p->out);
    put_trouble(p, p->note.code != TUFA_OK ? &p->note : &n);
    RAW(p->out, "<p><a href=\"/\">To the first page</a></p>");
    p->a->code = http_code(st.code);
}

static void run_page(const page_row *row, page *p)
{
    tufa_status st = OK;
    if (p->r->post) {
        st = row->act(p);
        if (p->a->location[0] || p->sent) return;
        if (st.code != TUFA_OK && p->note.code == TUFA_OK) note_from_status(&p->note, st);
        if (p->note.code != TUFA_OK) {
            put_trouble(p, &p->note);
            p->a->code = http_code(p->note.code);
        }
    }
    st = row->show(p);
    if (st.code != TUFA_OK) fail_page(p, st);
}

static const page_row *find_page(const char *path)
{
    for (size_t i = 0; i < site_page_count; i++)
        if (strcmp(site_pages[i].path, path) == 0) return &site_pages[i];
    return NULL;
}

static const char *asset_type(const char *name)
{
    const char *dot = strrchr(name, '.');
    if (dot && strcmp(dot, ".css") == 0) return "text/css; charset=utf-8";
    if (dot && strcmp(dot, ".js") == 0) return "text/javascript; charset=utf-8";
    return "text/plain; charset=utf-8";
}

static bool answer_asset(const web_request *r, web_answer *a)
{
    for (size_t i = 0; i < WEB_ASSETS_COUNT; i++) {
        if (r->post || strcmp(r->path + 1, WEB_ASSETS[i].name) != 0) continue;
        a->type = asset_type(WEB_ASSETS[i].name);
        a->fixed = WEB_ASSETS[i].text;
        a->fixed_len = strlen(WEB_ASSETS[i].text);
        a->may_keep = true;
        return true;
    }
    return false;
}

void site_answer(void *ctx, const web_request *r, web_answer *a)
{
    site *s = ctx;
    if (answer_asset(r, a)) return;
    text inside = {0};
    char token[TOKEN];
    form_token(s, s->hash ? r->session : "", token);
    const page_row *row = find_page(r->path);
    page p = {.site = s, .r = r, .a = a, .out = &inside, .d = &s->d, .token = token};
    p.title = row ? row->title : "There is no such page";
    s->d.today = s->today ? s->today : (int64_t)(time(NULL) / 86400);
    bool in = signed_in(s, r->session);
    if (!in) {
        p.title = "tufa";
        sign_in(s, &p);
    } else if (!row) {
        a->code = 404;
        RAW(p.out, "<p><a href=\"/\">To the first page</a></p>");
    } else if (r->post && (row->act == no_form || !form_is_ours(s, r))) {
        a->code = row->act != no_form ? 403 : 405;
        RAW(p.out, "<p class=\"error\" role=\"alert\">That form was not made by this desk, or the desk was started anew "
                   "since. Open the page again; nothing was changed.</p>");
    } else {
        run_page(row, &p);
    }
    if (!a->location[0] && !p.sent) put_frame(&a->body, &p, &inside, in);
    text_free(&inside);
}
