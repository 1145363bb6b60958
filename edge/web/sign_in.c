/* Who asks: passphrase, sessions, and the token that makes a form ours. */
#include <string.h>
#include <time.h>

#include "core/base/status.h"
#include "edge/web/site_inner.h"

enum { TRIES = 5, WAIT_S = 60, SESSION_S = 12 * 3600 };

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

bool signed_in(site *s, const char *cookie)
{
    if (!s->hash) return true;
    for (int i = 0; i < MOST_SESSIONS; i++)
        if (s->sessions[i].id[0] && s->sessions[i].ends_s > now_s() && strlen(cookie) == TOKEN - 1 &&
            sodium_memcmp(s->sessions[i].id, cookie, TOKEN - 1) == 0)
            return true;
    return false;
}

/* A form is ours when it carries this: the session (or nobody) signed with the secret of this run. */
void form_token(const site *s, const char *cookie, char out[TOKEN])
{
    unsigned char mac[crypto_auth_BYTES];
    crypto_auth(mac, (const unsigned char *)cookie, strlen(cookie), s->secret);
    sodium_bin2hex(out, TOKEN, mac, sizeof mac);
}

bool form_is_ours(const site *s, const web_request *r)
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

void sign_in(site *s, page *p)
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
