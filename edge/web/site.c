#include "edge/web/site.h"

#include <sodium.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "core/base/status.h"
#include "edge/web/assets.h"
#include "edge/web/page.h"

enum { TOKEN = 65, MOST_SESSIONS = 16, TRIES = 5, WAIT_S = 60, SESSION_S = 12 * 3600 };

typedef struct session {
    char id[TOKEN];
    int64_t ends_s;
} session;

struct site {
    desk d;
    int64_t today; /* 0: the clock's */
    const char *hash;
    bool secure;
    unsigned char secret[crypto_auth_KEYBYTES];
    session sessions[MOST_SESSIONS];
    int tries; /* wrong passphrases in a row, and when the next may be tried */
    int64_t wait_until_s;
    year_answer year;
    bool year_known;
    int64_t year_version;
};

#define X(id, path, menu, title, show, act) {path, menu, title, show, act},
const page_row site_pages[] = {
#include "edge/web/pages.def"
};
#undef X
const size_t site_page_count = sizeof site_pages / sizeof site_pages[0];

static int64_t now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (int64_t)t.tv_sec;
}

tufa_status site_hash_passphrase(const char *passphrase, char out[128])
{
    _Static_assert(crypto_pwhash_STRBYTES <= 128, "the hash fits its room");
    if (sodium_init() < 0) return trouble(TUFA_IO, "random", "the system gives no random numbers");
    if (strlen(passphrase) < 12)
        return (tufa_status){.code = TUFA_RANGE, .field = "passphrase", .got = (double)strlen(passphrase), .lo = 12,
                             .hi = 1024, .why = "a passphrase needs at least 12 letters; four words are good"};
    if (crypto_pwhash_str(out, passphrase, strlen(passphrase), crypto_pwhash_OPSLIMIT_INTERACTIVE,
                          crypto_pwhash_MEMLIMIT_INTERACTIVE) != 0)
        return trouble(TUFA_MEMORY, "passphrase", NULL);
    return OK;
}

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

/* ---- who asks ---- */

static bool signed_in(site *s, const char *cookie)
{
    if (!s->hash) return true;
    for (int i = 0; i < MOST_SESSIONS; i++)
        if (s->sessions[i].id[0] && s->sessions[i].ends_s > now_s() && strlen(cookie) == TOKEN - 1 &&
            sodium_memcmp(s->sessions[i].id, cookie, TOKEN - 1) == 0)
            return true;
    return false;
}

/* A form is ours when it carries this: the session (or nobody) signed with the secret of this run. */
static void form_token(const site *s, const char *cookie, char out[TOKEN])
{
    unsigned char mac[crypto_auth_BYTES];
    crypto_auth(mac, (const unsigned char *)cookie, strlen(cookie), s->secret);
    sodium_bin2hex(out, TOKEN, mac, sizeof mac);
}

static bool form_is_ours(const site *s, const web_request *r)
{
    char want[TOKEN];
    const char *got = web_field_get(r, "token");
    form_token(s, s->hash ? r->session : "", want);
    return got && strlen(got) == TOKEN - 1 && sodium_memcmp(got, want, TOKEN - 1) == 0;
}

static void begin_session(site *s, web_answer *a)
{
    session *oldest = &s->sessions[0];
    for (int i = 1; i < MOST_SESSIONS; i++)
        if (s->sessions[i].ends_s < oldest->ends_s) oldest = &s->sessions[i];
    unsigned char id[(TOKEN - 1) / 2];
    randombytes_buf(id, sizeof id);
    sodium_bin2hex(oldest->id, TOKEN, id, sizeof id);
    oldest->ends_s = now_s() + SESSION_S;
    snprintf(a->cookie, sizeof a->cookie, "tufa=%s; Path=/; HttpOnly; SameSite=Strict; Max-Age=%d%s", oldest->id, SESSION_S,
             s->secure ? "; Secure" : "");
}

static void sign_in(site *s, page *p)
{
    const char *given = web_field_get(p->r, "passphrase");
    if (p->r->post && given && now_s() >= s->wait_until_s) {
        if (crypto_pwhash_str_verify(s->hash, given, strlen(given)) == 0) {
            s->tries = 0;
            begin_session(s, p->a);
            page_go(p, "/");
            return;
        }
        if (++s->tries >= TRIES) s->wait_until_s = now_s() + WAIT_S, s->tries = 0;
        RAW(p->out, "<p class=\"error\" role=\"alert\">That is not the passphrase of this desk.</p>");
    }
    if (now_s() < s->wait_until_s) {
        p->a->code = 429;
        RAW(p->out, "<p class=\"error\" role=\"alert\">Too many tries. Wait a minute.</p>");
    } else {
        p->a->code = 401;
    }
    RAW(p->out, "<form method=\"post\" action=\"/\"><label for=\"passphrase\">Passphrase</label>"
                "<input type=\"password\" id=\"passphrase\" name=\"passphrase\" autocomplete=\"current-password\" required>"
                "<button>Open the desk</button></form>");
}

/* ---- the frame of a page ---- */

static void put_menu(text *t, const char *path)
{
    RAW(t, "<nav aria-label=\"Pages\"><ul>");
    for (size_t i = 0; i < site_page_count; i++) {
        if (!site_pages[i].menu) continue;
        RAW(t, "<li><a href=\"");
        put_html(t, site_pages[i].path);
        RAW(t, "\"");
        if (strcmp(path, site_pages[i].path) == 0) RAW(t, " aria-current=\"page\"");
        RAW(t, ">");
        put_html(t, site_pages[i].menu);
        RAW(t, "</a></li>");
    }
    RAW(t, "</ul></nav>");
}

static void put_frame(text *t, const page *p, text *inside, bool menu)
{
    RAW(t, "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" "
           "content=\"width=device-width, initial-scale=1\"><title>");
    put_html(t, p->title);
    RAW(t, " - tufa</title><link rel=\"stylesheet\" href=\"/style.css\"><script src=\"/read.js\" defer></script></head><body>"
           "<a class=\"skip\" href=\"#main\">To the page</a><header>");
    if (menu) put_menu(t, p->r->path);
    RAW(t, "</header><main id=\"main\"><h1>");
    put_html(t, p->title);
    RAW(t, "</h1>");
    text_addn(t, text_str(inside), inside->len);
    RAW(t, "</main><footer><p>tufa forecasts and advises; it does not see the heater. Local codes and licensed practice come "
           "first.</p></footer></body></html>");
}

static void put_trouble(page *p, tufa_status st)
{
    trouble_note n = {0};
    text words = {0};
    note_from_status(&n, st);
    say_trouble(&words, p->note.code != TUFA_OK ? &p->note : &n);
    RAW(p->out, "<p class=\"error\" role=\"alert\" id=\"problem\">");
    put_html_text(p->out, &words);
    RAW(p->out, "</p>");
    text_free(&words);
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
    text_clear(p->out);
    put_trouble(p, st);
    RAW(p->out, "<p><a href=\"/\">To the first page</a></p>");
    p->a->code = http_code(st.code);
}

static void run_page(const page_row *row, page *p)
{
    tufa_status st = OK;
    if (p->r->post) {
        st = row->act(p);
        if (p->a->location[0]) return;
        if (st.code != TUFA_OK || p->note.code != TUFA_OK) {
            put_trouble(p, st);
            p->a->code = http_code(st.code != TUFA_OK ? st.code : p->note.code);
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
    } else if (r->post && (!row->act || !form_is_ours(s, r))) {
        a->code = row->act ? 403 : 405;
        RAW(p.out, "<p class=\"error\" role=\"alert\">That form was not made by this desk, or the desk was started anew "
                   "since. Open the page again; nothing was changed.</p>");
    } else {
        run_page(row, &p);
    }
    if (!a->location[0]) put_frame(&a->body, &p, &inside, in);
    text_free(&inside);
}

/* ---- for pages ---- */

const char *page_field(const page *p, const char *name)
{
    const char *v = web_field_get(p->r, name);
    return v ? v : "";
}

void page_go(page *p, const char *to)
{
    p->a->code = 303;
    snprintf(p->a->location, sizeof p->a->location, "%s", to);
}

void page_title(page *p, const char *s)
{
    snprintf(p->title_room, sizeof p->title_room, "%s", s);
    p->title = p->title_room;
}

tufa_status page_year(page *p, const year_answer **out)
{
    site *s = p->site;
    int64_t version;
    RETURN_IF(desk_version(&s->d, &version));
    if (s->year_known && (s->year_version != version || s->year.today != s->d.today)) {
        year_free(&s->year);
        s->year_known = false;
    }
    if (!s->year_known) {
        year_ask ask = {0};
        RETURN_IF(desk_year(&s->d, &ask, &s->year));
        s->year_known = true;
        s->year_version = version;
    }
    *out = &s->year;
    return OK;
}

void put_form(page *p, const char *path)
{
    RAW(p->out, "<form method=\"post\" action=\"");
    put_html(p->out, path);
    RAW(p->out, "\" enctype=\"multipart/form-data\"><input type=\"hidden\" name=\"token\" value=\"");
    put_html(p->out, p->token);
    RAW(p->out, "\">");
}

void put_input(page *p, const char *name, const char *label, const char *value, const char *hint)
{
    bool wrong = p->note.code != TUFA_OK && strcmp(p->note.field, name) == 0;
    const char *typed = web_field_get(p->r, name);
    RAW(p->out, "<label for=\"");
    put_html(p->out, name);
    RAW(p->out, "\">");
    put_html(p->out, label);
    RAW(p->out, "</label>");
    if (hint) {
        RAW(p->out, "<p class=\"hint\" id=\"hint-");
        put_html(p->out, name);
        RAW(p->out, "\">");
        put_html(p->out, hint);
        RAW(p->out, "</p>");
    }
    RAW(p->out, "<input type=\"text\" id=\"");
    put_html(p->out, name);
    RAW(p->out, "\" name=\"");
    put_html(p->out, name);
    RAW(p->out, "\" value=\"");
    put_html(p->out, typed && p->r->post ? typed : value);
    RAW(p->out, "\"");
    if (hint || wrong) {
        RAW(p->out, " aria-describedby=\"");
        if (hint) {
            RAW(p->out, "hint-");
            put_html(p->out, name);
        }
        if (wrong) RAW(p->out, " problem");
        RAW(p->out, "\"");
    }
    if (wrong) RAW(p->out, " aria-invalid=\"true\"");
    RAW(p->out, ">");
}

void put_heater_link(text *t, int64_t id, const char *label)
{
    RAW(t, "<a href=\"/heater?id=");
    put_int(t, id);
    RAW(t, "\">");
    put_html(t, label);
    RAW(t, "</a>");
}
