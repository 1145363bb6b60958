#include "edge/web/behind.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>
#ifdef __GLIBC__
#include <malloc.h>
#endif

#include "core/base/status.h"

/* How long a page waits for a plan that is being worked out: a little where there is one of before. */
static const double PATIENCE_S = 3.0, PATIENCE_WITH_ONE_S = 0.4;

/* A page that somebody waits for. */
typedef struct asked {
    web_request r; /* path, names and values are ours */
    int64_t version, today;
} asked;

struct behind {
    char *book;
    behind_calls calls;
    pthread_t thread;
    pthread_mutex_t lock;
    pthread_cond_t asked, done;
    bool stop, wanted;
    int64_t version, today; /* wanted */
    year_box *box;          /* the newest, or NULL */
    asked *waits, *at;      /* the page that waits to be written, and the one that is being written; NULL: none */
};

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void drop_locked(year_box *box)
{
    if (!box || --box->holders > 0) return;
    if (box->rounds_there && box->rounds_status.code == TUFA_OK) rounds_free(&box->rounds);
    if (box->status.code == TUFA_OK) year_free(&box->year);
    free(box);
}

/* Whether something newer is wanted than what is being worked at. */
static bool overtaken(behind *b, int64_t version, int64_t today)
{
    pthread_mutex_lock(&b->lock);
    bool is = b->stop || b->version != version || b->today != today;
    pthread_mutex_unlock(&b->lock);
    return is;
}

typedef struct work {
    behind *b;
    int64_t version, today;
} work;

static bool cancelled(void *ctx)
{
    work *w = ctx;
    return overtaken(w->b, w->version, w->today);
}

static void publish(behind *b, year_box *box)
{
    pthread_mutex_lock(&b->lock);
    drop_locked(b->box);
    b->box = box;
    box->holders = 2; /* ours, and the worker's while it writes pages */
    pthread_cond_broadcast(&b->done);
    pthread_mutex_unlock(&b->lock);
}

/* ---- a page that somebody waits for ---- */

static void asked_free(asked *a)
{
    if (!a) return;
    free((char *)(uintptr_t)a->r.path);
    for (int i = 0; i < a->r.fields; i++) {
        free(a->r.field[i].name);
        free(a->r.field[i].value);
    }
    free(a);
}

static asked *asked_new(const web_request *r, int64_t version, int64_t today)
{
    asked *a = calloc(1, sizeof *a);
    if (!a) return NULL;
    a->version = version;
    a->today = today;
    a->r = (web_request){.path = strdup(r->path), .session = "", .origin = ""};
    bool whole = a->r.path != NULL;
    for (int i = 0; i < r->fields && whole; i++) {
        web_field f = {.name = strdup(r->field[i].name), .value = strdup(r->field[i].value), .len = r->field[i].len};
        a->r.field[a->r.fields++] = f;
        whole = f.name && f.value;
    }
    if (whole) return a;
    asked_free(a);
    return NULL;
}

static bool asks_same(const asked *a, const asked *b)
{
    if (!a || a->version != b->version || a->today != b->today || strcmp(a->r.path, b->r.path) != 0 || a->r.fields != b->r.fields) return false;
    for (int i = 0; i < a->r.fields; i++)
        if (strcmp(a->r.field[i].name, b->r.field[i].name) != 0 || strcmp(a->r.field[i].value, b->r.field[i].value) != 0) return false;
    return true;
}

void behind_ask(behind *b, const web_request *r, int64_t version, int64_t today)
{
    asked *a = asked_new(r, version, today);
    if (!a) return;
    pthread_mutex_lock(&b->lock);
    if (!asks_same(b->at, a) && !asks_same(b->waits, a)) {
        asked *older = b->waits;
        b->waits = a;
        a = older;
        pthread_cond_signal(&b->asked);
    }
    pthread_mutex_unlock(&b->lock);
    asked_free(a);
}

/* Takes the page that waits; what stands there is a page of a state that may be over by now. */
static asked *take_asked(behind *b)
{
    pthread_mutex_lock(&b->lock);
    asked *a = b->at = b->waits;
    b->waits = NULL;
    pthread_mutex_unlock(&b->lock);
    return a;
}

static void write_asked(behind *b)
{
    desk d;
    asked *a = take_asked(b);
    if (!a) return;
    work w = {b, a->version, a->today};
    if (!cancelled(&w) && desk_open(b->book, false, a->today, &d).code == TUFA_OK) {
        b->calls.write(b->calls.ctx, &(behind_page){.d = &d, .r = &a->r, .version = a->version, .stopped = cancelled, .stopped_ctx = &w});
        desk_close(&d);
    }
    pthread_mutex_lock(&b->lock);
    b->at = NULL;
    pthread_mutex_unlock(&b->lock);
    asked_free(a);
}

/* ---- the plan, and what follows from it ---- */

static void write_pages(behind *b, work *w, desk *d, year_box *box)
{
    behind_page page = {.d = d, .box = box, .version = w->version, .stopped = cancelled, .stopped_ctx = w};
    for (size_t i = 0; !cancelled(w) && b->calls.ahead(b->calls.ctx, &page, i); i++) write_asked(b);
}

static void plan_rounds(behind *b, work *w, desk *d, year_box *box)
{
    rounds_answer r = {0};
    rounds_ask ask = {.year = &box->year, .cancelled = cancelled, .ctx = w};
    tufa_status st = desk_rounds(d, &ask, &r);
    pthread_mutex_lock(&b->lock);
    box->rounds = r;
    box->rounds_status = st;
    box->rounds_there = true;
    pthread_cond_broadcast(&b->done);
    pthread_mutex_unlock(&b->lock);
}

/* What the allocator holds back after a plan goes back to the system. */
static void give_back(void)
{
#ifdef __GLIBC__
    (void)malloc_trim(0);
#endif
}

static void work_out(behind *b, work *w)
{
    desk d;
    year_box *box = calloc(1, sizeof *box);
    if (!box) return;
    box->version = w->version;
    box->today = w->today;
    year_ask ask = {.cancelled = cancelled, .ctx = w};
    box->status = desk_open(b->book, false, w->today, &d);
    if (box->status.code == TUFA_OK) {
        box->status = desk_year(&d, &ask, &box->year);
        if (box->status.code != TUFA_OK) desk_close(&d);
    }
    if (box->status.code == TUFA_REFUSED) { /* stopped on the way */
        free(box);
        return;
    }
    publish(b, box);
    if (box->status.code == TUFA_OK) {
        plan_rounds(b, w, &d, box);
        give_back();
        write_pages(b, w, &d, box);
        desk_close(&d);
    }
    behind_drop(b, box);
}

/* Whoever waits for a page comes first: this thread, and those that it starts, are a little less in a hurry. */
static void stand_back(void)
{
    enum { A_LITTLE = 5 };
    (void)!setpriority(PRIO_PROCESS, 0, A_LITTLE); /* on Linux of this thread alone */
}

static void *run(void *ctx)
{
    behind *b = ctx;
    stand_back();
    pthread_mutex_lock(&b->lock);
    while (!b->stop) {
        if (!b->wanted && !b->waits) {
            pthread_cond_wait(&b->asked, &b->lock);
            continue;
        }
        work w = {b, b->version, b->today};
        bool wanted = b->wanted;
        b->wanted = false;
        pthread_mutex_unlock(&b->lock);
        if (wanted) work_out(b, &w);
        write_asked(b);
        give_back();
        pthread_mutex_lock(&b->lock);
    }
    pthread_mutex_unlock(&b->lock);
    return NULL;
}

static bool prepare(behind *b)
{
    pthread_condattr_t monotonic;
    return b->book && pthread_mutex_init(&b->lock, NULL) == 0 && pthread_condattr_init(&monotonic) == 0 &&
           pthread_condattr_setclock(&monotonic, CLOCK_MONOTONIC) == 0 && pthread_cond_init(&b->asked, NULL) == 0 &&
           pthread_cond_init(&b->done, &monotonic) == 0 && pthread_condattr_destroy(&monotonic) == 0;
}

tufa_status behind_start(const char *book, const behind_calls *calls, behind **out)
{
    behind *b = calloc(1, sizeof *b);
    if (!b) return trouble(TUFA_MEMORY, "desk", NULL);
    b->book = strdup(book);
    b->calls = *calls;
    if (!prepare(b) || pthread_create(&b->thread, NULL, run, b) != 0) {
        free(b->book);
        free(b);
        return trouble(TUFA_IO, "desk", "the system gives no further thread");
    }
    *out = b;
    return OK;
}

void behind_stop(behind *b)
{
    if (!b) return;
    pthread_mutex_lock(&b->lock);
    b->stop = true;
    pthread_cond_broadcast(&b->asked);
    pthread_mutex_unlock(&b->lock);
    pthread_join(b->thread, NULL);
    drop_locked(b->box);
    asked_free(b->waits);
    pthread_cond_destroy(&b->asked);
    pthread_cond_destroy(&b->done);
    pthread_mutex_destroy(&b->lock);
    free(b->book);
    free(b);
}

static void want_locked(behind *b, int64_t version, int64_t today)
{
    bool new = b->version != version || b->today != today;
    if (!new) return;
    b->version = version;
    b->today = today;
    b->wanted = true;
    pthread_cond_signal(&b->asked);
}

void behind_want(behind *b, int64_t version, int64_t today)
{
    pthread_mutex_lock(&b->lock);
    want_locked(b, version, today);
    pthread_mutex_unlock(&b->lock);
}

static bool is_of(const year_box *box, int64_t version, int64_t today)
{
    return box && box->version == version && box->today == today;
}

static struct timespec in_s(double s)
{
    double until = now_s() + s;
    struct timespec t = {.tv_sec = (time_t)until};
    t.tv_nsec = (long)(1e9 * (until - (double)t.tv_sec));
    return t;
}

year_box *behind_year(behind *b, int64_t version, int64_t today, bool *current)
{
    pthread_mutex_lock(&b->lock);
    want_locked(b, version, today);
    struct timespec until = in_s(b->box ? PATIENCE_WITH_ONE_S : PATIENCE_S);
    while (!is_of(b->box, version, today) && pthread_cond_timedwait(&b->done, &b->lock, &until) == 0) continue;
    year_box *box = b->box;
    *current = is_of(box, version, today);
    if (box) box->holders++;
    pthread_mutex_unlock(&b->lock);
    return box;
}

bool behind_rounds(behind *b, year_box *box)
{
    pthread_mutex_lock(&b->lock);
    struct timespec until = in_s(PATIENCE_S);
    while (!box->rounds_there && pthread_cond_timedwait(&b->done, &b->lock, &until) == 0) continue;
    bool there = box->rounds_there;
    pthread_mutex_unlock(&b->lock);
    return there;
}

void behind_drop(behind *b, year_box *box)
{
    pthread_mutex_lock(&b->lock);
    drop_locked(box);
    pthread_mutex_unlock(&b->lock);
}
