#include "edge/desk/branches.h"

#include <math.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/say/fault.h"

/* A reading that stands for one range of results: what the likeliest fault then would show, kept within the range. */
static tufa_status stand_in(desk_finder *f, const tufa_next *next, const tufa_outcome *o, tufa_reading *out)
{
    *out = (tufa_reading){.test = next->test, .category = o->category};
    if (o->category >= 0) return OK;
    tufa_value v;
    RETURN_IF(tufa_fault_expect(f->finder, o->then.fault, -1, next->test, -1, &v));
    double width = o->hi - o->lo, lo = o->lo + 0.05 * width, hi = o->hi - 0.05 * width; /* clear of the edges: judgement */
    if (tufa_fault_test_at((size_t)next->test)->log_scale && o->lo > 0.0) {
        lo = o->lo * pow(o->hi / o->lo, 0.05);
        hi = o->hi * pow(o->hi / o->lo, -0.05);
    }
    out->value = fmin(fmax(v.mid, lo), hi);
    return OK;
}

static branch_end end_of(const tufa_fault_answer *a)
{
    static const double LIKELY = 0.5; /* as the call's own words name a repair */
    branch_end e = {.likely = a->faults ? a->odds[0] : (tufa_fault_odds){.fault = -1}, .test = a->next.test, .repair = -1, .stop = a->stop};
    for (int i = 0; i < a->actions && e.repair < 0; i++)
        if (a->next.test < 0 || a->action[i].probability >= LIKELY) e.repair = a->action[i].repair;
    return e;
}

tufa_status desk_branches(desk_finder *f, const call_view *v, branch out[BRANCHES_MOST], int *n)
{
    tufa_call call = v->call;
    tufa_fault_answer a = v->answer;
    *n = 0;
    while (*n < BRANCHES_MOST && !a.stop.silent && a.next.test >= 0 && call.readings < TUFA_MAX_READINGS) {
        branch *b = &out[(*n)++];
        *b = (branch){.next = a.next, .before = a.stop, .onward = -1};
        tufa_call onward = call;
        tufa_fault_answer then = {0};
        for (int i = 0; i < a.next.outcomes; i++) {
            tufa_call told = call;
            tufa_fault_answer after;
            RETURN_IF(stand_in(f, &a.next, &a.next.outcome[i], &told.reading[told.readings]));
            told.readings++;
            RETURN_IF(desk_fault(f, &v->plate, &told, &after));
            b->end[i] = end_of(&after);
            b->end[i].read = told.reading[told.readings - 1];
            bool goes_on = after.next.test >= 0 && !after.stop.silent;
            if (goes_on && (b->onward < 0 || a.next.outcome[i].probability > a.next.outcome[b->onward].probability)) {
                b->onward = i;
                onward = told;
                then = after;
            }
        }
        if (b->onward < 0 || *n == BRANCHES_MOST) break;
        call = onward;
        a = then;
    }
    if (*n) out[*n - 1].onward = -1;
    return OK;
}

void say_branch_end(text *t, const branch *b, int outcome, int number)
{
    const branch_end *e = &b->end[outcome];
    bool told = e->stop.id && b->before.id && strcmp(e->stop.id, b->before.id) == 0, onward = b->onward == outcome;
    if (e->stop.id && !told) text_addf(t, "%s: %s ", strcmp(e->stop.level, "leave") == 0 ? "LEAVE" : "STOP", e->stop.words);
    if (e->likely.fault >= 0 && !e->stop.silent) {
        text_addf(t, "Likely: %s, ", tufa_fault_for((size_t)e->likely.fault, b->next.single_element)->title);
        say_odds(t, e->likely.probability);
        text_add(t, ". ");
    }
    if (e->stop.silent) return;
    if (e->repair >= 0) text_addf(t, "To mend: %s. ", tufa_fault_repair_for((size_t)e->repair, b->next.single_element)->title);
    if (onward) text_addf(t, "Go on to reading %d.", number + 1);
    else if (e->test >= 0) text_addf(t, "Read next: %s", tufa_fault_test_for((size_t)e->test, b->next.single_element)->title);
    else if (e->repair < 0) text_add(t, "No further reading is worth its minutes.");
}

bool call_step_before(const tufa_step *s)
{
    static const char *const IDS[] = {"TELL", "SMELL", "LOOK", "RELIEF", "TUB_BEFORE"};
    for (size_t i = 0; i < sizeof IDS / sizeof IDS[0]; i++)
        if (strcmp(s->id, IDS[i]) == 0) return true;
    return (s->phase == TUFA_STEP_ISOLATE && strcmp(s->id, "COOL") != 0) || s->phase == TUFA_STEP_PROVE_DEAD;
}

bool call_step_after(const tufa_step *s)
{
    static const char *const IDS[] = {"FULL", "DRY", "SPILL", "WATTS_AFTER", "TUB_AFTER"};
    for (size_t i = 0; i < sizeof IDS / sizeof IDS[0]; i++)
        if (strcmp(s->id, IDS[i]) == 0) return true;
    return s->phase == TUFA_STEP_RESTORE;
}
