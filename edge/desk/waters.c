#include "edge/desk/answers.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/import/sheet.h"
#include "edge/store/ended.h"

/* Tanks stand between 30 and 90 C; the potential bends little within 10 K, so that straight lines between these do. */
const double desk_temps_K[DESK_TEMPS] = {300.0, 310.0, 320.0, 330.0, 340.0, 350.0, 364.0};

void waters_start(desk_waters *w, store *s, size_t draws) { *w = (desk_waters){.s = s, .draws = draws}; }

static void let_go(desk_water *one)
{
    if (!one || --one->holders > 0) return;
    free(one->ccpp_mg_L);
    free(one);
}

void waters_end(desk_waters *w)
{
    for (size_t i = 0; i < w->n; i++) let_go(w->water[i]);
    free(w->water);
    *w = (desk_waters){0};
}

tufa_status waters_usual(desk_waters *w, const usual_set **out)
{
    if (!w->usual_read) RETURN_IF(usual_read(w->s, &w->usual));
    w->usual_read = true;
    *out = &w->usual;
    return OK;
}

tufa_ccpp waters_ccpp(const desk_water *w)
{
    return (tufa_ccpp){.draws = w->draws, .temps = DESK_TEMPS, .T_K = desk_temps_K, .mg_L = w->ccpp_mg_L};
}

static tufa_status sheet_of(store *s, int64_t id, desk_water *out)
{
    sheet_rec sheet;
    tufa_status st = store_sheet_now(s, id, &sheet);
    if (st.code == TUFA_MISSING) return OK;
    RETURN_IF(st);
    trouble_note note = {0};
    tufa_code code = sheet_known(&sheet, &out->known, NULL, &note);
    if (code != TUFA_OK) return trouble(code, "lab sheet", "the lab sheet in the book cannot be read; `tufa water` says why");
    tufa_water_add_lab_error(&out->known);
    out->has_sheet = true;
    out->sheet_day = sheet.day;
    memcpy(out->sheet_source, sheet.source, sizeof out->sheet_source);
    return OK;
}

/* A softener's outlet without a sheet of its own: the water that goes in, and what the softener takes away. */
static tufa_status gather(store *s, int64_t id, desk_water *out)
{
    if (id == 0) return OK;
    water_rec rec;
    RETURN_IF(store_water_get(s, id, &rec));
    memcpy(out->label, rec.label, sizeof out->label);
    RETURN_IF(sheet_of(s, id, out));
    if (rec.tap != TAP_SOFTENER || out->has_sheet) return OK;
    out->softened = tufa_softened_default();
    return rec.made_of && rec.made_of != id ? sheet_of(s, rec.made_of, out) : OK;
}

tufa_status water_look(const desk_water *w, double T_K, tufa_water_outlook *out)
{
    enum { DRAWS = 400 };
    size_t bytes = tufa_water_scratch_bytes(DRAWS);
    tufa_arena scratch = {.base = malloc(bytes), .size = bytes};
    if (!scratch.base) return trouble(TUFA_MEMORY, "water", NULL);
    tufa_status st = tufa_water_look(&w->known, TUFA_CONSTANTS_2025, T_K, DESK_WATER_KEY, (uint64_t)w->id, DRAWS, &scratch, out);
    free(scratch.base);
    return st;
}

/* The water about which one figure would tell most. */
typedef struct ask_ctx {
    store *s;
    double most_mg_L;
    tufa_water_field field;
    char label[STORE_LABEL];
    size_t waters;
} ask_ctx;

static tufa_status ask_more(void *ctx, const water_rec *r)
{
    static const double USUAL_K = 324.85; /* 125 F */
    ask_ctx *a = ctx;
    desk_water w = {.id = r->id};
    tufa_water_outlook o;
    a->waters++;
    RETURN_IF(gather(a->s, r->id, &w));
    RETURN_IF(water_look(&w, USUAL_K, &o));
    if (o.ask >= TUFA_WATER_FIELD_COUNT || o.width_mg_L - o.width_after_mg_L <= a->most_mg_L) return OK;
    a->most_mg_L = o.width_mg_L - o.width_after_mg_L;
    a->field = o.ask;
    memcpy(a->label, r->label, sizeof a->label);
    return OK;
}

tufa_status desk_water_ask(desk *d, text *out)
{
    ask_ctx a = {.s = d->s, .field = TUFA_WATER_FIELD_COUNT};
    RETURN_IF(store_water_each(d->s, ask_more, &a));
    if (a.field == TUFA_WATER_FIELD_COUNT) return OK;
    if (a.waters > 1) text_addf(out, "%s: ", a.label);
    sheet_ask(out, a.field);
    return OK;
}

static tufa_status find_conductivity(desk_water *w)
{
    enum { DRAWS = 40 };
    tufa_analysis a[DRAWS];
    double S_m[DRAWS];
    if (w->id == 0) return OK;
    RETURN_IF(tufa_water_draws(&w->known, DESK_WATER_KEY, (uint64_t)w->id, 0, DRAWS, a));
    for (int i = 0; i < DRAWS; i++) {
        tufa_water_state at;
        RETURN_IF(tufa_water_heat(&a[i], TUFA_CONSTANTS_2025, 298.15, &at));
        S_m[i] = fmax(1e-4, 1e-4 * at.ec25_uS_cm);
    }
    w->S_m = (tufa_value){.lo = tufa_quantile(DRAWS, S_m, 0.1), .mid = tufa_quantile(DRAWS, S_m, 0.5), .hi = tufa_quantile(DRAWS, S_m, 0.9),
                          .basis = w->has_sheet ? TUFA_BASIS_GIVEN : TUFA_BASIS_DEFAULT};
    return OK;
}

static tufa_status draw_ccpp(desk_water *w, size_t draws)
{
    size_t bytes = tufa_water_scratch_bytes(draws);
    tufa_arena scratch = {.base = malloc(bytes), .size = bytes};
    w->ccpp_mg_L = malloc(draws * DESK_TEMPS * sizeof *w->ccpp_mg_L);
    w->draws = draws;
    tufa_status st = trouble(TUFA_MEMORY, "water", NULL);
    if (scratch.base && w->ccpp_mg_L)
        st = tufa_water_ccpp_draws(&w->known, TUFA_CONSTANTS_2025, DESK_WATER_KEY, (uint64_t)w->id, draws, DESK_TEMPS,
                                   desk_temps_K, &scratch, w->ccpp_mg_L);
    free(scratch.base);
    return st;
}

/* ---- what stays with the open book ---- */

enum { MOST_KEPT = 64 }; /* some 11 kB each; of a book with more waters the newest asked */
typedef struct kept {
    int64_t version;
    desk_water *water[MOST_KEPT];
    size_t next;
} kept;

static void empty(kept *k)
{
    for (size_t i = 0; i < MOST_KEPT; i++) let_go(k->water[i]);
    *k = (kept){0};
}

static void end(void *p)
{
    empty(p);
    free(p);
}

static tufa_status kept_of(store *s, kept **out)
{
    int64_t version;
    RETURN_IF(store_version(s, &version));
    void **slot = store_slot(s, STORE_SLOT_WATERS, end);
    if (!*slot && !(*slot = calloc(1, sizeof(kept)))) return trouble(TUFA_MEMORY, "waters", NULL);
    kept *k = *slot;
    if (k->version != version) empty(k);
    k->version = version;
    *out = k;
    return OK;
}

static desk_water *find_kept(const kept *k, int64_t id, size_t draws)
{
    for (size_t i = 0; i < MOST_KEPT; i++)
        if (k->water[i] && k->water[i]->id == id && k->water[i]->draws == draws) return k->water[i];
    return NULL;
}

static void keep(kept *k, desk_water *one)
{
    desk_water **at = &k->water[k->next++ % MOST_KEPT];
    let_go(*at);
    *at = one;
    one->holders++;
}

/* ---- one water ---- */

static tufa_status add(desk_waters *w, desk_water *one)
{
    if (w->n == w->room) {
        size_t room = w->room ? 2 * w->room : 8;
        desk_water **grown = realloc(w->water, room * sizeof *grown);
        if (!grown) return trouble(TUFA_MEMORY, "waters", NULL);
        w->water = grown;
        w->room = room;
    }
    w->water[w->n++] = one;
    one->holders++;
    return OK;
}

static tufa_status work_out(desk_waters *w, int64_t id, desk_water *one)
{
    one->id = id;
    RETURN_IF(gather(w->s, id, one));
    RETURN_IF(draw_ccpp(one, w->draws));
    return find_conductivity(one);
}

tufa_status waters_get(desk_waters *w, int64_t id, const desk_water **out)
{
    for (size_t i = 0; i < w->n; i++) {
        if (w->water[i]->id != id) continue;
        *out = w->water[i];
        return OK;
    }
    kept *k;
    RETURN_IF(kept_of(w->s, &k));
    desk_water *one = find_kept(k, id, w->draws);
    if (one) {
        *out = one;
        return add(w, one);
    }
    if (!(one = calloc(1, sizeof *one))) return trouble(TUFA_MEMORY, "water", NULL);
    one->holders = 1; /* ours, until it is worked out */
    tufa_status st = work_out(w, id, one);
    if (st.code == TUFA_OK) st = add(w, one);
    if (st.code == TUFA_OK) keep(k, one);
    let_go(one);
    if (st.code == TUFA_OK) *out = one;
    return st;
}
