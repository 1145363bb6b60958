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

/* The day, and what the book says now: another program may have written to it. */
static tufa_status look_at_book(site *s)
{
    int64_t version;
    s->d.today = s->today ? s->today : (int64_t)(time(NULL) / 86400);
    RETURN_IF(desk_version(&s->d, &version));
    if (version != s->version) RETURN_IF(desk_speak(&s->d));
    s->version = version;
    keep_state(s->keep, version, s->d.today);
    return OK;
}

/* ---- behind the pages ---- */

static void write_behind(void *ctx, const behind_page *b)
{
    site *s = ctx;
    const page_row *row = find_page(b->r->path);
    web_answer a = {.code = 200};
    text inside = {0};
    page p = {.site = s, .r = b->r, .a = &a, .out = &inside, .d = b->d, .token = s->blank, .box = b->box, .version = b->version,
              .aside = true, .stopped = b->stopped, .stopped_ctx = b->stopped_ctx};
    if (row) {
        p.title = row->title;
        run_page(row, &p);
    }
    text_free(&inside);
}

/* The page at `path`; with `name` not NULL, that of one heater or house by this name of the field. */
static void write_one(site *s, const behind_page *b, const char *path, const char *name, int64_t id)
{
    char value[24];
    web_request r = {.path = path, .fields = name != NULL, .session = "", .origin = ""};
    behind_page one = *b;
    snprintf(value, sizeof value, "%lld", (long long)id);
    r.field[0] = (web_field){.name = (char *)(uintptr_t)name, .value = value, .len = strlen(value)};
    one.r = &r;
    write_behind(s, &one);
}

/* In the order in which they are likely to be looked at: pages of the whole book, then heaters that have work due this year,
 * then the others; of each the page that takes longest first. One call writes one page, or the small ones of one heater. */
static bool write_ahead(void *ctx, const behind_page *b, size_t at)
{
    static const char *const WHOLE[] = {"/learned", "/waters", "/treatments", "/houses"};
    static const char *const SMALL[] = {"/clean", "/visit", "/visit/record", "/prove", "/learned"};
    enum { WHOLES = sizeof WHOLE / sizeof WHOLE[0], SMALLS = sizeof SMALL / sizeof SMALL[0], PASSES = 4 };
    site *s = ctx;
    size_t n = b->box->year.n;
    if (!keep_room(s->keep) || at >= WHOLES + PASSES * n) return false;
    if (at < WHOLES) {
        write_one(s, b, WHOLE[at], NULL, 0);
        return true;
    }
    size_t pass = (at - WHOLES) / n;
    const year_row *row = &b->box->year.row[(at - WHOLES) % n];
    if ((row->choice != TUFA_CHOICE_LEAVE) != (pass < 2)) return true;
    if (pass % 2 == 0) write_one(s, b, "/heater", "id", row->heater);
    for (size_t i = 0; i < SMALLS && pass % 2; i++) write_one(s, b, SMALL[i], "heater", row->heater);
    heater_rec h;
    if (pass % 2 && store_heater_get(b->d->s, row->heater, &h).code == TUFA_OK) write_one(s, b, "/house", "id", h.house);
    return true;
}

tufa_status site_open(const char *book, int64_t today, const char *passphrase_hash, bool secure, site **out)
{
    if (sodium_init() < 0) return trouble(TUFA_IO, "random", "the system gives no random numbers");
    site *s = calloc(1, sizeof *s);
    if (!s) return trouble(TUFA_MEMORY, "site", NULL);
    unsigned char blank[(TOKEN - 1) / 2];
    s->today = today;
    s->hash = passphrase_hash;
    s->secure = secure;
    randombytes_buf(s->secret, sizeof s->secret);
    randombytes_buf(blank, sizeof blank);
    sodium_bin2hex(s->blank, TOKEN, blank, sizeof blank);
    s->keep = keep_new();
    tufa_status st = s->keep ? desk_open(book, true, today, &s->d) : trouble(TUFA_MEMORY, "site", NULL);
    if (st.code == TUFA_OK) st = behind_start(book, &(behind_calls){write_ahead, write_behind, s}, &s->behind);
    if (st.code == TUFA_OK) st = look_at_book(s);
    if (st.code != TUFA_OK) {
        site_close(s);
        return st;
    }
    behind_want(s->behind, s->version, s->d.today);
    *out = s;
    return OK;
}

void site_close(site *s)
{
    if (!s) return;
    behind_stop(s->behind);
    keep_free(s->keep);
    free(s->waiting.text);
    if (s->d.s) desk_close(&s->d);
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

/* What is asked for is not there yet: the page asks again by itself where script runs. */
static void wait_page(page *p)
{
    text_clear(p->out);
    RAW(p->out, "<p id=\"again\" role=\"status\">");
    if (p->takes_long) RAW(p->out, "This is worked out over the whole book, after its year plan; a large book takes a minute or two.");
    else RAW(p->out, "The year plan of this book is being worked out; a large book takes half a minute.");
    RAW(p->out, "</p><p><a href=\"\">Look again</a></p>");
    p->a->code = 503;
}

static void fail_page(page *p, tufa_status st)
{
    if (p->not_yet || (p->behind && !p->box)) {
        wait_page(p);
        return;
    }
    trouble_note n = {0};
    note_from_status(&n, st);
    text_clear(p->out);
    put_trouble(p, p->note.code != TUFA_OK ? &p->note : &n);
    RAW(p->out, "<p><a href=\"/\">To the first page</a></p>");
    p->a->code = http_code(st.code);
}

/* What a page is kept by: its path and everything that was asked, in that order. */
static void put_key(const web_request *r, text *key)
{
    text_add(key, r->path);
    for (int i = 0; i < r->fields; i++) {
        if (strcmp(r->field[i].name, "said") == 0) continue;
        text_add(key, "&");
        put_query(key, r->field[i].name);
        text_add(key, "=");
        put_query(key, r->field[i].value);
    }
}

static void show(const page_row *row, page *p)
{
    tufa_status st = row->show(p);
    if (st.code != TUFA_OK) fail_page(p, st);
}

static void show_kept(const page_row *row, page *p)
{
    text key = {0}, key_now = {0}, title = {0};
    put_key(p->r, &key);
    text_addf(&key_now, "%s@%lld", text_str(&key), (long long)(time(NULL) / 60));
    keep *k = p->site->keep;
    if (keep_get(k, text_str(&key), &title, p->out, &p->a->code) || keep_get(k, text_str(&key_now), &title, p->out, &p->a->code)) {
        page_title(p, text_str(&title));
    } else {
        show(row, p);
        if ((p->keep || p->keep_a_minute) && !p->behind && !p->sent && (p->a->code == 200 || p->aside) && !(p->stopped && p->stopped(p->stopped_ctx)))
            keep_put(k, text_str(p->keep_a_minute ? &key_now : &key),
                     &(keep_page){.version = p->version, .day = p->d->today, .code = p->a->code, .title = p->title, .inside = p->out});
    }
    text_free(&key_now);
    text_free(&title);
    text_free(&key);
}

static void take_form(const page_row *row, page *p)
{
    tufa_status st = row->act(p);
    if (p->a->location[0] || p->sent) return;
    if (st.code != TUFA_OK && p->note.code == TUFA_OK) note_from_status(&p->note, st);
    if (p->note.code != TUFA_OK) {
        put_trouble(p, &p->note);
        int code = http_code(p->note.code);
        p->a->code = code == 404 ? 422 : code; /* something is missing in the form; the page is there */
    }
    show(row, p);
}

void run_page(const page_row *row, page *p)
{
    if (p->r->post) take_form(row, p);
    else show_kept(row, p);
}

const page_row *find_page(const char *path)
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
    if (dot && strcmp(dot, ".svg") == 0) return "image/svg+xml; charset=utf-8";
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

/* The token in place of what stands for it. */
static void put_token(text *t, const text *inside, const char *blank, const char *token)
{
    const char *from = text_str(inside), *at;
    while ((at = strstr(from, blank)) != NULL) {
        text_addn(t, from, (size_t)(at - from));
        text_add(t, token);
        from = at + strlen(blank);
    }
    text_add(t, from);
}

void site_answer(void *ctx, const web_request *r, web_answer *a)
{
    site *s = ctx;
    if (answer_asset(r, a)) return;
    text inside = {0};
    char token[TOKEN];
    form_token(s, s->hash ? r->session : "", token);
    const page_row *row = find_page(r->path);
    page p = {.site = s, .r = r, .a = a, .out = &inside, .d = &s->d, .token = s->blank};
    p.title = row ? row->title : "There is no such page";
    bool in = signed_in(s, r->session);
    tufa_status st = in ? look_at_book(s) : OK;
    p.version = s->version;
    if (!in) {
        p.title = "Sign in";
        sign_in(s, &p);
    } else if (st.code != TUFA_OK) {
        fail_page(&p, st);
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
    if (p.box) behind_drop(s->behind, p.box);
    if (!a->location[0] && !p.sent) {
        text whole = {0};
        put_token(&whole, &inside, s->blank, token);
        put_frame(&a->body, &p, &whole, in);
        text_free(&whole);
    }
    text_free(&inside);
}
