#include "edge/desk/history.h"

#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"

typedef struct gather {
    desk *d;
    history_line *line;
    size_t n, room;
} gather;

static history_line *next(gather *g)
{
    if (g->n == g->room) {
        size_t room = g->room ? 2 * g->room : 16;
        history_line *grown = realloc(g->line, room * sizeof *grown);
        if (!grown) return NULL;
        g->line = grown;
        g->room = room;
    }
    g->line[g->n] = (history_line){0};
    return &g->line[g->n++];
}

static void put(char *to, size_t room, text *t)
{
    snprintf(to, room, "%s", text_str(t));
    text_free(t);
}

static tufa_status on_finding(void *ctx, const finding_rec *r)
{
    gather *g = ctx;
    history_line *l = next(g);
    if (!l) return trouble(TUFA_MEMORY, "findings", NULL);
    text t = {0};
    l->day = r->day;
    snprintf(l->what, sizeof l->what, "%s", finding_rows[r->kind].what);
    say_value(&t, g->d->units, finding_rows[r->kind].q, r->value);
    if (r->note[0]) text_addf(&t, "; %s", r->note);
    put(l->words, sizeof l->words, &t);
    memcpy(l->source, r->source, sizeof l->source);
    return OK;
}

static tufa_status on_visit(void *ctx, const visit_rec *r)
{
    gather *g = ctx;
    history_line *l = next(g);
    if (!l) return trouble(TUFA_MEMORY, "visits", NULL);
    text t = {0}, what = {0};
    l->day = r->day;
    text_add(&what, "work: ");
    work_word(&what, r->work);
    put(l->what, sizeof l->what, &what);
    if (r->spent_s.basis != TUFA_BASIS_NONE) {
        say_value(&t, g->d->units, Q_TIME, r->spent_s);
    }
    if (r->cost_cents.basis != TUFA_BASIS_NONE) {
        text_add(&t, t.len ? ", " : "");
        say_value(&t, g->d->units, Q_MONEY, r->cost_cents);
    }
    if (r->note[0]) text_addf(&t, "%s%s", t.len ? "; " : "", r->note);
    put(l->words, sizeof l->words, &t);
    memcpy(l->source, r->source, sizeof l->source);
    return OK;
}

static int newest_first(const void *a, const void *b)
{
    const history_line *x = a, *y = b;
    return x->day > y->day ? -1 : x->day < y->day ? 1 : strcmp(x->what, y->what);
}

tufa_status desk_history(desk *d, int64_t heater, history_line **out, size_t *n)
{
    gather g = {.d = d};
    tufa_status st = store_finding_each(d->s, heater, on_finding, &g);
    if (st.code == TUFA_OK) st = store_visit_each(d->s, heater, on_visit, &g);
    if (st.code != TUFA_OK) {
        free(g.line);
        return st;
    }
    if (g.n) qsort(g.line, g.n, sizeof *g.line, newest_first);
    *out = g.line;
    *n = g.n;
    return OK;
}
