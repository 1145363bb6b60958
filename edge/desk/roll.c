#include "edge/desk/roll.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/answers.h"
#include "edge/desk/words.h"
#include "edge/say/day.h"

/* ---- what fits ---- */

/* Lower case, so that 'Ferry' finds "ferry"; letters beyond ASCII as they are. */
static void add_lower(text *t, const char *s)
{
    for (; *s; s++) {
        char c = (char)tolower((unsigned char)*s);
        text_addn(t, (unsigned char)*s < 0x80 ? &c : s, 1);
    }
    text_add(t, "\n");
}

/* Every word of `words` (lower case, between spaces) is somewhere in `in`. */
static bool fits(const char *in, const char *words)
{
    char word[STORE_WORD];
    for (;;) {
        words += strspn(words, " ");
        size_t n = strcspn(words, " ");
        if (n == 0) return true;
        if (n >= sizeof word) return false;
        memcpy(word, words, n);
        word[n] = 0;
        if (!strstr(in, word)) return false;
        words += n;
    }
}

/* ---- gathering ---- */

typedef struct gather {
    desk *d;
    roll *r;
    size_t house_room, heater_room;
    int64_t only; /* a house, or 0 */
    int64_t *of;  /* house of each heater */
} gather;

static tufa_status add_house(gather *g, const house_rec *h)
{
    if (g->r->houses == g->house_room) {
        size_t room = g->house_room ? 2 * g->house_room : 64;
        roll_house *grown = realloc(g->r->house, room * sizeof *grown);
        if (!grown) return trouble(TUFA_MEMORY, "houses", NULL);
        g->r->house = grown;
        g->house_room = room;
    }
    roll_house *r = &g->r->house[g->r->houses++];
    char street[STORE_WORD];
    *r = (roll_house){.id = h->id};
    memcpy(r->label, h->label, sizeof r->label);
    case_street(h, street);
    snprintf(r->street, sizeof r->street, "%.*s", (int)sizeof r->street - 1, street);
    if (h->water) RETURN_IF(store_thing_label(g->d->s, THING_WATER, h->water, r->water));
    return OK;
}

static tufa_status on_house(void *ctx, const house_rec *h)
{
    gather *g = ctx;
    return g->only && h->id != g->only ? OK : add_house(g, h);
}

static void heater_words(const desk *d, const heater_rec *h, roll_heater *r)
{
    text t = {0};
    choice_word(&t, CHOICES_FUEL, h->fuel);
    if (h->fuel < 0) text_add(&t, "fuel not known");
    if (h->volume_m3.basis != TUFA_BASIS_NONE) {
        text_add(&t, ", ");
        say_volume(&t, d->units, h->volume_m3.mid);
    }
    if (h->installed_day.basis != TUFA_BASIS_NONE) {
        text_add(&t, ", put in ");
        if (h->installed_day.basis != TUFA_BASIS_GIVEN || h->installed_day.hi > h->installed_day.lo) text_add(&t, "about ");
        say_year(&t, (int64_t)h->installed_day.mid);
    } else {
        text_add(&t, ", age not known");
    }
    if (h->place[0]) text_addf(&t, ", %s", h->place);
    snprintf(r->words, sizeof r->words, "%s", text_str(&t));
    text_free(&t);
}

static tufa_status on_heater(void *ctx, const heater_rec *h)
{
    gather *g = ctx;
    roll *r = g->r;
    if (!case_in_service(h, g->d->today) || (g->only && h->house != g->only)) return OK;
    if (r->heaters == g->heater_room) {
        size_t room = g->heater_room ? 2 * g->heater_room : 64;
        roll_heater *grown = realloc(r->heater, room * sizeof *grown);
        if (grown) r->heater = grown;
        int64_t *of = realloc(g->of, room * sizeof *of);
        if (of) g->of = of;
        if (!grown || !of) return trouble(TUFA_MEMORY, "heaters", NULL);
        g->heater_room = room;
    }
    roll_heater *k = &r->heater[r->heaters];
    *k = (roll_heater){.id = h->id, .leaking = h->leaking == YESNO_YES};
    memcpy(k->label, h->label, sizeof k->label);
    heater_words(g->d, h, k);
    g->of[r->heaters++] = h->house;
    return OK;
}

/* ---- order ---- */

static int houses_by_street(const void *a, const void *b)
{
    const roll_house *x = a, *y = b;
    int order = label_order(x->street, y->street);
    if (order == 0) order = label_order(x->label, y->label);
    return order ? order : x->id < y->id ? -1 : x->id > y->id;
}

typedef struct placed {
    size_t house;
    roll_heater heater;
} placed;

static int placed_by_house(const void *a, const void *b)
{
    const placed *x = a, *y = b;
    if (x->house != y->house) return x->house < y->house ? -1 : 1;
    return label_order(x->heater.label, y->heater.label);
}

typedef struct house_at {
    int64_t id;
    size_t at;
} house_at;

static int by_id(const void *a, const void *b)
{
    const house_at *x = a, *y = b;
    return x->id < y->id ? -1 : x->id > y->id;
}

/* Heaters in the order of their houses, each house with its run of them. */
static tufa_status put_in_order(gather *g)
{
    roll *r = g->r;
    if (r->houses) qsort(r->house, r->houses, sizeof *r->house, houses_by_street);
    house_at *index = calloc(r->houses + 1, sizeof *index);
    placed *all = calloc(r->heaters + 1, sizeof *all);
    bool memory = index && all;
    for (size_t i = 0; memory && i < r->houses; i++) index[i] = (house_at){r->house[i].id, i};
    if (memory) qsort(index, r->houses, sizeof *index, by_id);
    for (size_t i = 0; memory && i < r->heaters; i++) {
        house_at key = {.id = g->of[i]}, *h = bsearch(&key, index, r->houses, sizeof *index, by_id);
        all[i] = (placed){h ? h->at : 0, r->heater[i]};
    }
    if (memory) qsort(all, r->heaters, sizeof *all, placed_by_house);
    for (size_t i = 0; memory && i < r->heaters; i++) {
        roll_house *h = &r->house[all[i].house];
        if (h->n++ == 0) h->first = i;
        r->heater[i] = all[i].heater;
    }
    free(index);
    free(all);
    return memory ? OK : trouble(TUFA_MEMORY, "heaters", NULL);
}

/* ---- search ---- */

static void keep_fitting(roll *r, const char *words)
{
    size_t houses = 0, heaters = 0;
    text lower = {0}, in = {0};
    add_lower(&lower, words);
    lower.s[lower.len - 1] = 0;
    for (size_t i = 0; i < r->houses; i++) {
        roll_house h = r->house[i];
        size_t first = heaters, n = h.n;
        for (size_t k = 0; k < n; k++) {
            text_clear(&in);
            const roll_heater *e = &r->heater[h.first + k];
            add_lower(&in, h.label), add_lower(&in, h.street), add_lower(&in, h.water), add_lower(&in, e->label), add_lower(&in, e->words);
            if (fits(text_str(&in), lower.s)) r->heater[heaters++] = *e;
        }
        text_clear(&in);
        add_lower(&in, h.label), add_lower(&in, h.street), add_lower(&in, h.water);
        if (heaters == first && !(n == 0 && fits(text_str(&in), lower.s))) continue;
        h.first = first;
        h.n = heaters - first;
        r->house[houses++] = h;
    }
    r->houses = houses;
    r->heaters = heaters;
    text_free(&in);
    text_free(&lower);
}

static tufa_status gather_all(gather *g)
{
    RETURN_IF(store_house_each(g->d->s, on_house, g));
    if (g->r->houses) RETURN_IF(store_heater_each(g->d->s, on_heater, g));
    return put_in_order(g);
}

static tufa_status roll_of(desk *d, int64_t only, const char *words, roll *out)
{
    roll r = {0};
    gather g = {.d = d, .r = &r, .only = only};
    tufa_status st = gather_all(&g);
    free(g.of);
    if (st.code != TUFA_OK) {
        roll_free(&r);
        return st;
    }
    r.all_houses = r.houses;
    r.all_heaters = r.heaters;
    if (words[0]) keep_fitting(&r, words);
    *out = r;
    return OK;
}

tufa_status desk_roll(desk *d, const char *words, roll *out) { return roll_of(d, 0, words, out); }

tufa_status desk_house(desk *d, int64_t id, roll *out, house_rec *house)
{
    RETURN_IF(store_house_get(d->s, id, house));
    return roll_of(d, id, "", out);
}

void roll_free(roll *r)
{
    free(r->house);
    free(r->heater);
    *r = (roll){0};
}
