#include "edge/desk/effect.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "edge/desk/answers.h"
#include "edge/desk/words.h"
#include "edge/say/day.h"

/* ---- one heater ---- */

static const char *const WHATS[] = {"bed today", "growth of the bed a year", "trouble", "chance to leak within a year", "proposed", "due",
                                    "if left alone, over the coming years"};
enum { WHATS_N = sizeof WHATS / sizeof WHATS[0] };

typedef struct view {
    char told[WHATS_N][120];
    bool there;
} view;

static void put(char out[120], text *t)
{
    snprintf(out, 120, "%s", text_str(t));
    text_clear(t);
}

static void say_band_as(text *t, unit_system u, quantity q, const tufa_band *b)
{
    say_value(t, u, q, (tufa_value){b->p50, b->p10, b->p90, TUFA_BASIS_LEARNED});
}

/* The figures of `tufa ahead`, as they are told. A heater without a forecast gives none. */
static view look(desk *d, int64_t heater)
{
    view v = {0};
    ahead_answer a;
    char name[24];
    snprintf(name, sizeof name, "#%lld", (long long)heater);
    trouble_note note = {0};
    if (heater == 0 || desk_ahead(d, name, &a, NULL, &note) != TUFA_OK) return v;
    text t = {0};
    say_band_as(&t, d->units, Q_LENGTH, &a.ahead.now_depth_m);
    put(v.told[0], &t);
    say_band_as(&t, d->units, Q_MASS, &a.ahead.rate_kg_year);
    put(v.told[1], &t);
    if (a.plan.fuel == TUFA_ELECTRIC) text_addf(&t, "it reaches the %s ", element_words(a.plan.one_element));
    else text_add(&t, "it boils over the burner ");
    say_when(&t, &a.plan.trouble, d->today);
    put(v.told[2], &t);
    say_chance(&t, a.plan.p_tank.p50);
    put(v.told[3], &t);
    text_add(&t, tufa_choice_at(a.plan.choice)->key);
    put(v.told[4], &t);
    say_due(&t, &a.plan, d->today);
    put(v.told[5], &t);
    say_usd_band(&t, &a.plan.left_usd);
    put(v.told[6], &t);
    text_free(&t);
    ahead_free(&a);
    v.there = true;
    return v;
}

static void compare_views(const view *a, const view *b, set_effect *e)
{
    e->compared = a->there && b->there;
    for (size_t i = 0; e->compared && i < WHATS_N; i++) {
        if (strcmp(a->told[i], b->told[i]) == 0) continue;
        effect_line *l = &e->line[e->n++];
        snprintf(l->what, sizeof l->what, "%s", WHATS[i]);
        memcpy(l->before, a->told[i], sizeof l->before);
        memcpy(l->after, b->told[i], sizeof l->after);
    }
}

/* ---- all heaters ---- */

typedef struct proposal {
    int64_t heater;
    char label[STORE_LABEL], told[120];
} proposal;

typedef struct proposals {
    proposal *p;
    size_t n;
} proposals;

static int by_heater(const void *a, const void *b)
{
    int64_t x = ((const proposal *)a)->heater, y = ((const proposal *)b)->heater;
    return (x > y) - (x < y);
}

/* What is proposed for each heater; nothing for a large book, where that takes long. */
static proposals propose(desk *d)
{
    proposals all = {0};
    year_answer y;
    size_t heaters = 0;
    if (store_thing_count(d->s, THING_HEATER, &heaters).code || heaters == 0 || heaters > EFFECT_MOST_HEATERS) return all;
    if (desk_year(d, &(year_ask){0}, &y).code) return all;
    all.p = calloc(y.n ? y.n : 1, sizeof *all.p);
    all.n = all.p ? y.n : 0;
    text t = {0};
    for (size_t i = 0; i < all.n; i++) {
        all.p[i].heater = y.row[i].heater;
        memcpy(all.p[i].label, y.row[i].label, sizeof all.p[i].label);
        text_addf(&t, "%s, ", tufa_choice_at(y.row[i].choice)->key);
        say_due(&t, &y.row[i], d->today);
        put(all.p[i].told, &t);
    }
    text_free(&t);
    year_free(&y);
    if (all.n) qsort(all.p, all.n, sizeof *all.p, by_heater);
    return all;
}

static void compare_proposals(const proposals *a, const proposals *b, set_effect *e)
{
    e->compared = a->p && b->p && a->n == b->n;
    e->heaters = b->n;
    for (size_t i = 0; e->compared && i < a->n; i++) {
        if (a->p[i].heater != b->p[i].heater || strcmp(a->p[i].told, b->p[i].told) == 0) continue;
        if (e->n == EFFECT_LINES) {
            e->more++;
            continue;
        }
        effect_line *l = &e->line[e->n++];
        snprintf(l->what, sizeof l->what, "%s", b->p[i].label);
        memcpy(l->before, a->p[i].told, sizeof l->before);
        memcpy(l->after, b->p[i].told, sizeof l->after);
    }
}

tufa_code desk_set_told(desk *d, const char *name, const char *field, const char *value, set_answer *out, set_effect *effect, text *near,
                        trouble_note *note)
{
    *effect = (set_effect){0};
    set_scope scope = desk_set_scope(d, name, field);
    view before = look(d, scope.heater), after;
    proposals all_before = scope.all ? propose(d) : (proposals){0}, all_after = {0};
    tufa_code code = desk_set(d, name, field, value, out, near, note);
    if (code == TUFA_OK && !out->same) {
        if (scope.all) {
            all_after = propose(d);
            compare_proposals(&all_before, &all_after, effect);
        } else {
            after = look(d, scope.heater);
            compare_views(&before, &after, effect);
        }
    }
    free(all_before.p);
    free(all_after.p);
    return code;
}
