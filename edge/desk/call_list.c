#include "edge/desk/call_list.h"

#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/case.h"

typedef struct listing {
    store *s;
    bool closed;
    size_t room;
    call_list list;
} listing;

typedef struct one_call {
    tufa_call call;
    call_line *line;
} one_call;

static tufa_status take_event(void *ctx, const call_event_rec *e)
{
    one_call *o = ctx;
    int k = -1;
    if (e->kind == CALL_VOICED && (k = tufa_fault_complaint_find(e->name)) >= 0) o->call.complaint[k] = 1;
    if (e->kind == CALL_MADE_SAFE) o->call.made_safe = 1;
    if (e->kind == CALL_FOUND && (k = tufa_fault_find(e->name)) >= 0 && o->line->founds < CALL_FOUND_MOST) o->line->found[o->line->founds++] = k;
    if (e->kind == CALL_READ && (k = tufa_fault_test_find(e->name)) >= 0 && o->call.readings < TUFA_MAX_READINGS) {
        int category = e->has_value ? -1 : tufa_fault_test_category(tufa_fault_test_at((size_t)k), e->word);
        if (e->has_value || category >= 0) o->call.reading[o->call.readings++] = (tufa_reading){k, category, e->value};
    }
    return OK;
}

static tufa_status take_call(void *ctx, const call_rec *r)
{
    listing *l = ctx;
    heater_rec heater;
    if (r->closed != l->closed) return OK;
    if (l->list.n == l->room) {
        size_t room = l->room ? 2 * l->room : 16;
        call_line *line = realloc(l->list.line, room * sizeof *line);
        if (!line) return trouble(TUFA_MEMORY, "calls", NULL);
        l->list.line = line;
        l->room = room;
    }
    call_line *line = &l->list.line[l->list.n++];
    *line = (call_line){.rec = *r};
    RETURN_IF(store_heater_get(l->s, r->heater, &heater));
    snprintf(line->label, sizeof line->label, "%s", heater.label);
    line->one_element = case_one_element(&heater);
    return OK;
}

static tufa_status fill(store *s, call_line *line)
{
    one_call o = {.line = line};
    RETURN_IF(store_call_event_each(s, line->rec.id, take_event, &o));
    tufa_stop stop = tufa_fault_stop(&o.call);
    line->danger = !stop.id ? 0 : strcmp(stop.level, "leave") == 0 ? 2 : 1;
    return OK;
}

static int worse_first(const void *a, const void *b)
{
    const call_line *x = a, *y = b;
    if (x->rec.closed) return x->rec.id > y->rec.id ? -1 : 1;
    if (x->danger != y->danger) return y->danger - x->danger;
    return x->rec.id < y->rec.id ? -1 : 1;
}

tufa_status desk_call_list(desk *d, bool closed, call_list *out)
{
    listing l = {.s = d->s, .closed = closed};
    tufa_status st = store_call_each(d->s, take_call, &l);
    for (size_t i = 0; i < l.list.n && st.code == TUFA_OK; i++) st = fill(d->s, &l.list.line[i]);
    if (st.code == TUFA_OK && l.list.n) qsort(l.list.line, l.list.n, sizeof *l.list.line, worse_first);
    *out = l.list;
    if (st.code != TUFA_OK) call_list_free(out);
    return st;
}

void call_list_free(call_list *l)
{
    free(l->line);
    *l = (call_list){0};
}
