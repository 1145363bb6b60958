/* The visits of a heater that were, each with what was found on its day, the parts it used and its pictures. */
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/find.h"
#include "edge/desk/visit_desk.h"

typedef struct gather {
    desk *d;
    visit_history *h;
    visit_past *now; /* the visit that parts and pictures go to */
} gather;

/* A new visit at the end; NULL when memory is short. */
static visit_past *one_more(visit_history *h)
{
    if ((h->n & (h->n - 1)) == 0) {
        visit_past *more = realloc(h->visit, (h->n ? 2 * (size_t)h->n : 1) * sizeof *more);
        if (!more) return NULL;
        h->visit = more;
    }
    visit_past *v = &h->visit[h->n++];
    *v = (visit_past){0};
    return v;
}

static tufa_status add_part(void *ctx, const stock_rec *r)
{
    visit_past *v = ((gather *)ctx)->now;
    if (v->parts < VISIT_PAST_PARTS) v->part[v->parts++] = *r;
    return OK;
}

static tufa_status add_photo(void *ctx, const char *file)
{
    visit_past *v = ((gather *)ctx)->now;
    if (v->photos < VISIT_PAST_PHOTOS) snprintf(v->photo[v->photos++], STORE_WORD, "%s", file);
    return OK;
}

static tufa_status add_visit(void *ctx, const visit_rec *r)
{
    gather *g = ctx;
    if (r->day > g->d->today) return OK;
    g->now = one_more(g->h);
    if (!g->now) return trouble(TUFA_MEMORY, "visits", NULL);
    g->now->visit = *r;
    RETURN_IF(store_part_each(g->d->s, r->id, add_part, g));
    return store_photo_each(g->d->s, r->id, add_photo, g);
}

/* To the last visit of its day; a day without a visit becomes one without id. */
static tufa_status add_finding(void *ctx, const finding_rec *f)
{
    gather *g = ctx;
    if (f->day > g->d->today) return OK;
    visit_past *v = NULL;
    for (int i = 0; i < g->h->n; i++)
        if (g->h->visit[i].visit.day == f->day) v = &g->h->visit[i];
    if (!v) v = one_more(g->h);
    if (!v) return trouble(TUFA_MEMORY, "visits", NULL);
    v->visit.day = f->day;
    if (v->founds < VISIT_PAST_FOUND) v->found[v->founds++] = *f;
    return OK;
}

static int newest_first(const void *a, const void *b)
{
    const visit_rec *x = &((const visit_past *)a)->visit, *y = &((const visit_past *)b)->visit;
    return x->day != y->day ? (x->day < y->day ? 1 : -1) : (x->id < y->id) - (x->id > y->id);
}

tufa_code desk_visits(desk *d, const char *heater, visit_history *out, trouble_note *note)
{
    *out = (visit_history){0};
    text near = {0};
    tufa_code code = desk_find(d, THING_HEATER, heater, &out->heater, &near, note);
    if (code != TUFA_OK && near.len && !note->allowed[0]) note_set(note, note->code, note->field, note->value, text_str(&near), note->why);
    text_free(&near);
    if (code != TUFA_OK) return code;
    heater_rec h;
    gather g = {.d = d, .h = out};
    tufa_status st = store_heater_get(d->s, out->heater, &h);
    if (st.code == TUFA_OK) memcpy(out->label, h.label, sizeof out->label);
    if (st.code == TUFA_OK) st = store_thing_label(d->s, THING_HOUSE, h.house, out->house);
    if (st.code == TUFA_OK) st = store_visit_each(d->s, out->heater, add_visit, &g);
    if (st.code == TUFA_OK) st = store_finding_each(d->s, out->heater, add_finding, &g);
    if (st.code != TUFA_OK) {
        desk_visits_free(out);
        note_from_status(note, st);
        return st.code;
    }
    if (out->n) qsort(out->visit, (size_t)out->n, sizeof *out->visit, newest_first);
    return TUFA_OK;
}

void desk_visits_free(visit_history *h)
{
    free(h->visit);
    *h = (visit_history){0};
}
