#include "edge/desk/learned_inner.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/pool/pool.h"
#include "edge/store/ended.h"

/* ---- what is kept ---- */

static void group_free(learned_group *g)
{
    if (g) free(g->member);
    free(g);
}

static void empty(learned *l)
{
    for (size_t i = 0; i < l->groups; i++) group_free(l->group[i]);
    free(l->group);
    free(l->losses.member);
    lives_free(l);
    *l = (learned){0};
}

/* One for each day that counted as today of late, so that a look at the eve of a visit does not drop what today's answer points to. */
enum { DAYS_KEPT = 3, RETIRED = 8 };
typedef struct kept {
    learned day[DAYS_KEPT];
    learned *retired; /* the book has changed since; what was begun with them may still point there */
    size_t n, room;
    int next, held;
} kept;

static void let_go(kept *k)
{
    size_t most = k->held ? k->n : RETIRED, gone = k->n > most ? k->n - most : 0;
    for (size_t i = 0; i < gone; i++) empty(&k->retired[i]);
    if (gone) memmove(k->retired, k->retired + gone, most * sizeof *k->retired);
    k->n -= gone;
}

static tufa_status retire(kept *k, learned *l)
{
    if (!l->used) return OK;
    if (k->n == k->room) {
        size_t room = 2 * k->room + RETIRED + 1;
        learned *more = realloc(k->retired, room * sizeof *more);
        if (!more) return trouble(TUFA_MEMORY, "learned", NULL);
        k->retired = more;
        k->room = room;
    }
    k->retired[k->n++] = *l;
    *l = (learned){0};
    let_go(k);
    return OK;
}

static void end(void *p)
{
    kept *k = p;
    for (int i = 0; i < DAYS_KEPT; i++) empty(&k->day[i]);
    for (size_t i = 0; i < k->n; i++) empty(&k->retired[i]);
    free(k->retired);
    free(k);
}

static tufa_status kept_of(store *s, kept **out)
{
    void **slot = store_slot(s, STORE_SLOT_LEARNED, end);
    if (!*slot && !(*slot = calloc(1, sizeof(kept)))) return trouble(TUFA_MEMORY, "learned", NULL);
    *out = *slot;
    return OK;
}

tufa_status learned_hold(store *s)
{
    kept *k;
    RETURN_IF(kept_of(s, &k));
    k->held++;
    return OK;
}

void learned_release(store *s)
{
    kept *k;
    if (kept_of(s, &k).code != TUFA_OK) return;
    k->held--;
    let_go(k);
}

tufa_status learned_at(store *s, int64_t today, learned **out)
{
    int64_t version;
    kept *k;
    RETURN_IF(store_version(s, &version));
    RETURN_IF(kept_of(s, &k));
    learned *l = NULL;
    for (int i = 0; i < DAYS_KEPT; i++)
        if (k->day[i].used && k->day[i].today == today) l = &k->day[i];
    if (!l) {
        l = &k->day[k->next++ % DAYS_KEPT];
        RETURN_IF(retire(k, l));
    }
    if (l->version != version) RETURN_IF(retire(k, l));
    l->used = true;
    l->version = version;
    l->today = today;
    *out = l;
    return OK;
}

/* ---- one group ---- */

static tufa_fuel family(tufa_fuel fuel) { return fuel == TUFA_ELECTRIC ? TUFA_ELECTRIC : TUFA_GAS; }

typedef struct gathered {
    store *s;
    desk_waters waters;
    learned_group *g;
    int64_t today;
    desk_case *c; /* LEARN_MOST */
    size_t n;
    tufa_learn *own;
    tufa_status *status;
    tufa_arena arena[POOL_MOST];
} gathered;

static tufa_status take(void *ctx, int64_t id, bool *more)
{
    gathered *a = ctx;
    heater_rec h;
    house_rec house;
    RETURN_IF(store_heater_get(a->s, id, &h));
    tufa_fuel fuel = h.fuel == FUEL_GAS || h.fuel == FUEL_PROPANE ? TUFA_GAS : TUFA_ELECTRIC;
    if (fuel != a->g->fuel) return OK;
    int64_t water = h.water;
    if (!water) {
        RETURN_IF(store_house_get(a->s, h.house, &house));
        water = house.water;
    }
    if (water != a->g->water) return OK;
    RETURN_IF(case_load_alone(a->s, &a->waters, &h, a->today, &a->c[a->n]));
    if (case_readings(&a->c[a->n]) == 0) return OK;
    *more = ++a->n < LEARN_MOST;
    return OK;
}

static void learn_one(void *ctx, size_t worker, size_t i)
{
    gathered *a = ctx;
    desk_case *c = &a->c[i];
    tufa_ahead_in in = case_ahead_in(c, 1, LEARN_DRAWS, true);
    in.key = (uint64_t)c->heater.id; /* a water's middle is known the better over draws that differ */
    a->arena[worker].used = 0;
    a->status[i] = tufa_learn_settle(&in, c->found, &a->arena[worker], &a->own[i], NULL);
}

static uint64_t asides(const desk_case *c)
{
    uint64_t bits = 0;
    for (size_t k = 0; k < c->findings && k < 64; k++)
        if (c->found[k].set_aside) bits |= (uint64_t)1 << k;
    return bits;
}

/* Others as prior, own findings as likelihood. */
static tufa_value both(const tufa_eps *prior, const tufa_learn *own)
{
    tufa_eps e = {.rests_on = TUFA_RESTS_ON_FINDINGS};
    double sum = 0.0;
    for (int g = 0; g < TUFA_EPS_POINTS; g++) {
        double told = own->prior.weight[g] > 0.0 ? own->posterior.weight[g] / own->prior.weight[g] : 0.0;
        sum += e.weight[g] = prior->weight[g] * told;
    }
    for (int g = 0; g < TUFA_EPS_POINTS; g++) e.weight[g] = sum > 0.0 ? e.weight[g] / sum : own->posterior.weight[g];
    return tufa_eps_value(&e);
}

static tufa_status share(gathered *a)
{
    learned_group *g = a->g;
    tufa_learn_water w = tufa_learn_water_default(g->fuel);
    tufa_eps common, *each = malloc((a->n + 1) * sizeof *each);
    size_t bytes = (size_t)TUFA_EPS_POINTS * (a->n + 4) * sizeof(double) + 4096;
    tufa_arena arena = {.base = malloc(bytes), .size = bytes};
    g->member = calloc(a->n + 1, sizeof *g->member);
    tufa_status st = each && arena.base && g->member ? tufa_learn_neighbours(&w, a->n, a->own, &arena, &common, &g->fresh, each)
                                                     : trouble(TUFA_MEMORY, "learned", NULL);
    if (st.code == TUFA_OK) {
        tufa_eps prior = tufa_eps_prior(g->fuel);
        g->usual = tufa_eps_value(&prior);
        g->common = tufa_eps_value(&common);
        g->between = tufa_eps_value(&g->fresh);
        g->n = a->n;
        for (size_t i = 0; i < a->n; i++)
            g->member[i] = (learned_member){.heater = a->c[i].heater.id, .aside = asides(&a->c[i]), .used = a->own[i].used,
                                            .prior = each[i], .own = both(&each[i], &a->own[i])};
    }
    free(each);
    free(arena.base);
    return st;
}

static tufa_status learn_all(gathered *a)
{
    size_t workers = pool_processors(), bytes = tufa_learn_bytes(LEARN_DRAWS, TUFA_AHEAD_MAX_FINDINGS);
    bool memory = true;
    if (a->n < workers) workers = a->n ? a->n : 1;
    for (size_t k = 0; k < workers; k++) {
        a->arena[k] = (tufa_arena){.base = malloc(bytes), .size = bytes};
        memory = memory && a->arena[k].base;
    }
    if (memory) pool_run(workers, a->n, learn_one, a);
    for (size_t k = 0; k < workers; k++) free(a->arena[k].base);
    if (!memory) return trouble(TUFA_MEMORY, "learned", NULL);
    for (size_t i = 0; i < a->n; i++) RETURN_IF(a->status[i]);
    return OK;
}

/* A heater whose findings no draw can tell teaches nobody. */
static void drop_failed(gathered *a)
{
    size_t n = 0;
    for (size_t i = 0; i < a->n; i++) {
        if (a->status[i].code == TUFA_CONFLICT) continue;
        if (n != i) a->c[n] = a->c[i], a->own[n] = a->own[i], a->status[n] = a->status[i];
        n++;
    }
    a->n = n;
}

/* Those whose findings some draw can tell. */
static tufa_status learn_told(gathered *a)
{
    tufa_status ran = learn_all(a);
    drop_failed(a);
    return ran.code == TUFA_CONFLICT ? OK : ran;
}

static tufa_status build(store *s, int64_t today, learned_group *g)
{
    gathered a = {.s = s, .g = g, .today = today, .c = calloc(LEARN_MOST, sizeof *a.c), .own = calloc(LEARN_MOST, sizeof *a.own),
                  .status = calloc(LEARN_MOST, sizeof *a.status)};
    waters_start(&a.waters, s, LEARN_DRAWS);
    tufa_status st = a.c && a.own && a.status ? OK : trouble(TUFA_MEMORY, "learned", NULL);
    if (st.code == TUFA_OK && g->water) st = store_found_each(s, take, &a);
    if (st.code == TUFA_OK) st = learn_told(&a);
    if (st.code == TUFA_OK) st = share(&a);
    waters_end(&a.waters);
    free(a.c);
    free(a.own);
    free(a.status);
    return st;
}

tufa_status learned_group_of(store *s, int64_t today, int64_t water, tufa_fuel fuel, const learned_group **out)
{
    learned *l;
    RETURN_IF(learned_at(s, today, &l));
    for (size_t i = 0; i < l->groups; i++)
        if (l->group[i]->water == water && l->group[i]->fuel == family(fuel)) return *out = l->group[i], OK;
    if (l->groups == l->group_room) {
        size_t room = l->group_room ? 2 * l->group_room : 8;
        learned_group **more = realloc(l->group, room * sizeof *more);
        if (!more) return trouble(TUFA_MEMORY, "learned", NULL);
        l->group = more;
        l->group_room = room;
    }
    learned_group *g = calloc(1, sizeof *g);
    if (!g) return trouble(TUFA_MEMORY, "learned", NULL);
    g->water = water;
    g->fuel = family(fuel);
    tufa_status st = build(s, today, g);
    if (st.code != TUFA_OK) {
        group_free(g);
        return st;
    }
    l->group[l->groups++] = g;
    *out = g;
    return OK;
}

/* ---- all gas heaters ---- */

static bool is_timed(const desk_case *c)
{
    for (size_t k = 0; k < c->findings; k++)
        if (c->found[k].kind == TUFA_FOUND_RECOVERY) return true;
    return false;
}

static tufa_status take_timed(void *ctx, int64_t id, bool *more)
{
    gathered *a = ctx;
    heater_rec h;
    RETURN_IF(store_heater_get(a->s, id, &h));
    if (h.fuel != FUEL_GAS && h.fuel != FUEL_PROPANE) return OK;
    RETURN_IF(case_load_alone(a->s, &a->waters, &h, a->today, &a->c[a->n]));
    if (!is_timed(&a->c[a->n])) return OK;
    *more = ++a->n < LEARN_MOST;
    return OK;
}

static tufa_status share_losses(const gathered *a, learned_losses *out)
{
    tufa_loss common, prior = tufa_loss_prior(), *each = calloc(2 * (a->n + 1), sizeof *each), *with = each ? each + a->n + 1 : NULL;
    out->member = calloc(a->n + 1, sizeof *out->member);
    tufa_status st = each && out->member ? tufa_learn_losses(a->n, a->own, &common, &out->fresh, each, with) : trouble(TUFA_MEMORY, "learned", NULL);
    if (st.code == TUFA_OK) {
        out->usual = tufa_loss_value(&prior);
        out->common = tufa_loss_value(&common);
        out->between = tufa_loss_value(&out->fresh);
        for (size_t i = 0; i < a->n; i++)
            if (a->own[i].loss_used) /* not those whose times are set aside */
                out->member[out->n++] = (learned_loss){.heater = a->c[i].heater.id, .used = a->own[i].loss_used, .own = tufa_loss_value(&with[i]), .prior = each[i]};
    }
    free(each);
    return st;
}

static tufa_status build_losses(store *s, int64_t today, learned_losses *out)
{
    gathered a = {.s = s, .today = today, .c = calloc(LEARN_MOST, sizeof *a.c), .own = calloc(LEARN_MOST, sizeof *a.own),
                  .status = calloc(LEARN_MOST, sizeof *a.status)};
    waters_start(&a.waters, s, LEARN_DRAWS);
    tufa_status st = a.c && a.own && a.status ? store_found_each(s, take_timed, &a) : trouble(TUFA_MEMORY, "learned", NULL);
    if (st.code == TUFA_OK && a.n) st = learn_told(&a);
    if (st.code == TUFA_OK) st = share_losses(&a, out);
    waters_end(&a.waters);
    free(a.c);
    free(a.own);
    free(a.status);
    return st;
}

tufa_status learned_losses_of(store *s, int64_t today, const learned_losses **out)
{
    learned *l;
    RETURN_IF(learned_at(s, today, &l));
    if (!l->losses_ready) {
        learned_losses made = {0};
        tufa_status st = build_losses(s, today, &made);
        if (st.code != TUFA_OK) {
            free(made.member);
            return st;
        }
        l->losses = made;
        l->losses_ready = true;
    }
    *out = &l->losses;
    return OK;
}

/* ---- for one heater ---- */

static tufa_status settle_alone(desk_case *c)
{
    size_t bytes = tufa_learn_bytes(LEARN_DRAWS, TUFA_AHEAD_MAX_FINDINGS);
    tufa_arena arena = {.base = malloc(bytes), .size = bytes};
    tufa_learn own;
    if (!arena.base) return trouble(TUFA_MEMORY, "learned", NULL);
    tufa_ahead_in in = case_ahead_in(c, 1, LEARN_DRAWS, true);
    tufa_status st = tufa_learn_settle(&in, c->found, &arena, &own, NULL);
    free(arena.base);
    return st.code == TUFA_CONFLICT ? OK : st; /* the forecast itself will say so */
}

static tufa_status fill_prior(store *s, desk_case *c)
{
    const learned_group *g;
    RETURN_IF(learned_group_of(s, c->today, c->water->id, c->known.fuel, &g));
    for (size_t i = 0; i < g->n; i++) {
        if (g->member[i].heater != c->heater.id) continue;
        c->prior = g->member[i].prior;
        c->neighbours = g->n - 1;
        for (size_t k = 0; k < c->findings && k < 64; k++) c->found[k].set_aside = (int)(g->member[i].aside >> k & 1u);
        return OK;
    }
    if (g->n) c->prior = g->fresh;
    c->neighbours = g->n;
    return case_readings(c) > 1 ? settle_alone(c) : OK;
}

static tufa_status fill_loss(store *s, desk_case *c)
{
    const learned_losses *l;
    RETURN_IF(learned_losses_of(s, c->today, &l)); /* of an electric one for the gas heater that may stand in its place */
    c->loss_neighbours = l->n;
    if (l->n) c->loss = l->fresh;
    for (size_t i = 0; i < l->n; i++) {
        if (l->member[i].heater != c->heater.id) continue;
        c->loss = l->member[i].prior;
        c->loss_neighbours = l->n - 1;
    }
    return OK;
}

tufa_status learned_fill(store *s, desk_case *c)
{
    learned *l;
    RETURN_IF(fill_loss(s, c));
    RETURN_IF(fill_prior(s, c));
    RETURN_IF(learned_at(s, c->today, &l));
    RETURN_IF(lives_ready(s, l));
    c->control = l->lives.kind[c->known.fuel == TUFA_ELECTRIC ? LIFE_CONTROL_ELECTRIC : LIFE_CONTROL_BURNER].life;
    c->bed_on_life = l->lives.kind[c->known.fuel == TUFA_ELECTRIC ? LIFE_ELECTRIC : LIFE_BURNER].bed_on_life;
    if (c->known.fuel == TUFA_ELECTRIC) element_of(l, c->heater.id, &c->element);
    return OK;
}
