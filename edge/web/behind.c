#include "edge/web/behind.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "core/base/status.h"

/* How long a page waits for a plan that is being worked out: a little where there is one of before. */
static const double PATIENCE_S = 3.0, PATIENCE_WITH_ONE_S = 0.4;

struct behind {
    char *book;
    behind_page page;
    void *ctx;
    pthread_t thread;
    pthread_mutex_t lock;
    pthread_cond_t asked, done;
    bool stop, wanted;
    int64_t version, today; /* wanted */
    year_box *box;          /* the newest, or NULL */
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

static void write_pages(behind *b, work *w, desk *d, year_box *box)
{
    for (size_t i = 0; i < box->year.n && !cancelled(w); i++) b->page(b->ctx, d, box, box->year.row[i].heater);
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
        write_pages(b, w, &d, box);
        desk_close(&d);
    }
    behind_drop(b, box);
}

static void *run(void *ctx)
{
    behind *b = ctx;
    pthread_mutex_lock(&b->lock);
    while (!b->stop) {
        if (!b->wanted) {
            pthread_cond_wait(&b->asked, &b->lock);
            continue;
        }
        work w = {b, b->version, b->today};
        b->wanted = false;
        pthread_mutex_unlock(&b->lock);
        work_out(b, &w);
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

tufa_status behind_start(const char *book, behind_page page, void *ctx, behind **out)
{
    behind *b = calloc(1, sizeof *b);
    if (!b) return trouble(TUFA_MEMORY, "desk", NULL);
    b->book = strdup(book);
    b->page = page;
    b->ctx = ctx;
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
