/* Lives out of the book: tanks, controls, elements. An end that is written down counts; where none of a kind is, nobody knows whether
 * none happened or none was noted, and nothing is concluded unless the owner says since when his records are whole. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/answers.h"
#include "edge/desk/learned_inner.h"
#include "edge/desk/settings.h"
#include "edge/say/day.h"
#include "edge/store/ended.h"

const char *learned_life_words(int kind)
{
    static const char *const WORDS[LIFE_KINDS] = {"electric tanks", "gas and propane tanks", "thermostats of electric heaters", "gas valves and their thermocouples"};
    return WORDS[kind];
}

/* ---- what the book says ---- */

typedef struct event {
    int64_t heater, day;
    int part;   /* ended_part */
    bool failed, visit; /* visit: from the work done alone; how it ended is our reading of it */
    double put_in_day;  /* NaN: with the heater, or with the last end before */
} event;

typedef struct spell {
    double entry, end, begin;
    bool failed;
    int64_t heater;
} spell;

typedef struct lives {
    int64_t today, since;
    bool since_said;
    event *event;
    size_t events, event_room;
    life_rec *heater;
    size_t heaters, heater_room;
    tufa_lived *lived[LIFE_KINDS];
    size_t n[LIFE_KINDS], room[LIFE_KINDS];
    int64_t *tank[LIFE_CONTROL_ELECTRIC]; /* heater of each life of a tank, and the day on which it was last seen */
    double *seen_day[LIFE_CONTROL_ELECTRIC];
    size_t tank_room[LIFE_CONTROL_ELECTRIC];
    store *s;
    learned *to;
} lives;

static tufa_status grow(void **p, size_t n, size_t *room, size_t size)
{
    if (n < *room) return OK;
    size_t more = *room ? 2 * *room : 64;
    void *q = realloc(*p, more * size);
    if (!q) return trouble(TUFA_MEMORY, "lives", NULL);
    *p = q;
    *room = more;
    return OK;
}

static tufa_status add_event(lives *l, event e)
{
    if (e.day > l->today) return OK;
    RETURN_IF(grow((void **)&l->event, l->events, &l->event_room, sizeof *l->event));
    l->event[l->events++] = e;
    return OK;
}

static tufa_status add_ended(void *ctx, const ended_rec *r)
{
    return add_event(ctx, (event){r->heater, r->day, (int)r->part, ended_how_failed(r->how), false, r->put_in_day.basis ? r->put_in_day.mid : NAN});
}

static tufa_status add_work(void *ctx, const visit_rec *r)
{
    if (r->work == WORK_LOWER_ELEMENT) return add_event(ctx, (event){r->heater, r->day, ENDED_LOWER_ELEMENT, true, true, NAN});
    if (r->work == WORK_THERMOSTAT) return add_event(ctx, (event){r->heater, r->day, ENDED_CONTROL, true, true, NAN});
    return OK;
}

static tufa_status add_element_age(void *ctx, const finding_rec *r)
{
    if (r->kind != FINDING_ELEMENT_AGE) return OK;
    return add_event(ctx, (event){r->heater, r->day, ENDED_LOWER_ELEMENT, true, true, (double)r->day - r->value.mid / 86400.0});
}

static tufa_status add_heater(void *ctx, const life_rec *r)
{
    lives *l = ctx;
    RETURN_IF(grow((void **)&l->heater, l->heaters, &l->heater_room, sizeof *l->heater));
    l->heater[l->heaters++] = *r;
    return OK;
}

static int by_heater(const void *a, const void *b)
{
    const event *x = a, *y = b;
    if (x->heater != y->heater) return x->heater < y->heater ? -1 : 1;
    if (x->part != y->part) return x->part - y->part;
    if (x->day != y->day) return x->day < y->day ? -1 : 1;
    return x->visit - y->visit; /* what is written as an end goes before what a visit lets think */
}

/* An end, the visit that mended it and how long the part had lasted are one event. */
static void merge_events(lives *l)
{
    static const int64_t ONE_EVENT_DAYS = 31;
    size_t n = 0;
    if (l->events) qsort(l->event, l->events, sizeof *l->event, by_heater);
    for (size_t i = 0; i < l->events; i++) {
        event *last = n ? &l->event[n - 1] : NULL, *e = &l->event[i];
        if (last && last->heater == e->heater && last->part == e->part && e->day - last->day <= ONE_EVENT_DAYS && (last->visit || e->visit)) {
            if (last->visit && !e->visit) last->failed = e->failed, last->visit = false;
            if (isnan(last->put_in_day)) last->put_in_day = e->put_in_day;
            continue;
        }
        l->event[n++] = *e;
    }
    l->events = n;
}

/* Events of one heater and part. */
static const event *events_of(const lives *l, int64_t heater, int part, size_t *n)
{
    size_t lo = 0, hi = l->events;
    event key = {.heater = heater, .part = part, .day = -1000000};
    while (lo < hi) {
        size_t mid = (lo + hi) / 2;
        if (by_heater(&l->event[mid], &key) < 0) lo = mid + 1;
        else hi = mid;
    }
    *n = 0;
    while (lo + *n < l->events && l->event[lo + *n].heater == heater && l->event[lo + *n].part == part) ++*n;
    return l->event + lo;
}

/* ---- tanks ---- */

static bool says_leak(const char *why)
{
    int how = ended_how_find(why);
    if (how >= 0) return ended_how_failed((ended_how)how);
    static const char *const WORDS[] = {"leak", "Leak", "burst", "rusted", "flood"};
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++)
        if (strstr(why, WORDS[i])) return true;
    return false;
}

static double watched_from(const lives *l, const life_rec *h)
{
    double from = l->since_said ? (double)l->since : (double)h->entered_day;
    return fmin(from, (double)l->today);
}

static tufa_status add_life(lives *l, int kind, spell s)
{
    tufa_lived v = {.entry_years = fmax(0.0, s.entry - s.begin) / DAYS_A_YEAR, .years = (s.end - s.begin) / DAYS_A_YEAR, .failed = s.failed};
    if (!(v.years > v.entry_years) || v.years > 200.0) return OK;
    RETURN_IF(grow((void **)&l->lived[kind], l->n[kind], &l->room[kind], sizeof *l->lived[kind]));
    if (kind < LIFE_CONTROL_ELECTRIC && l->room[kind] != l->tank_room[kind]) {
        int64_t *tank = realloc(l->tank[kind], l->room[kind] * sizeof *tank);
        if (tank) l->tank[kind] = tank;
        double *seen = realloc(l->seen_day[kind], l->room[kind] * sizeof *seen);
        if (seen) l->seen_day[kind] = seen;
        if (!tank || !seen) return trouble(TUFA_MEMORY, "lives", NULL);
        l->tank_room[kind] = l->room[kind];
    }
    if (kind < LIFE_CONTROL_ELECTRIC) l->tank[kind][l->n[kind]] = s.heater, l->seen_day[kind][l->n[kind]] = s.end;
    l->lived[kind][l->n[kind]++] = v;
    l->to->lives.kind[kind].lives++;
    l->to->lives.kind[kind].failed += s.failed;
    return OK;
}

static tufa_status count_tank(lives *l, const life_rec *h, double *end)
{
    size_t n;
    const event *e = events_of(l, h->heater, ENDED_TANK, &n);
    learned_life *k = &l->to->lives.kind[h->fuel == FUEL_GAS || h->fuel == FUEL_PROPANE ? LIFE_BURNER : LIFE_ELECTRIC];
    bool out = (h->out && h->out_day <= (double)l->today) || n > 0, failed = n ? e->failed : out && says_leak(h->out_why);
    *end = n ? (double)e->day : out ? h->out_day : (double)l->today;
    double begin = n && !isnan(e->put_in_day) ? e->put_in_day : h->installed_day, entry = fmax(watched_from(l, h), begin);
    if (!h->installed && !(n && !isnan(e->put_in_day))) return k->ageless++, OK;
    if (out && *end <= entry) return k->before++, OK;
    if (out && !failed) {
        if (n || h->out_why[0]) k->sound++;
        else k->silent++;
    }
    return add_life(l, (int)(k - l->to->lives.kind), (spell){entry, *end, begin, failed, h->heater});
}

/* ---- parts that are changed and go on ---- */

static tufa_status count_controls(lives *l, const life_rec *h, double end)
{
    size_t n;
    const event *e = events_of(l, h->heater, ENDED_CONTROL, &n);
    int kind = h->fuel == FUEL_GAS || h->fuel == FUEL_PROPANE ? LIFE_CONTROL_BURNER : LIFE_CONTROL_ELECTRIC;
    double begin = h->installed ? h->installed_day : NAN, from = watched_from(l, h);
    for (size_t i = 0; i < n; i++) {
        double put_in = isnan(e[i].put_in_day) ? begin : e[i].put_in_day;
        if (!isnan(put_in) && (double)e[i].day > fmax(from, put_in))
            RETURN_IF(add_life(l, kind, (spell){fmax(from, put_in), (double)e[i].day, put_in, e[i].failed, 0}));
        begin = (double)e[i].day;
    }
    return isnan(begin) ? OK : add_life(l, kind, (spell){fmax(from, begin), end, begin, false, 0});
}

/* Extra heat of the sheath under half of the layer at which it sheds. */
static double scale_factor(double flux_W_m2)
{
    static const double USUAL_FLUX = 116250.0; /* 75 W a square inch */
    double rise = tufa_element_scale_rise_K(flux_W_m2 > 0.0 ? flux_W_m2 : USUAL_FLUX, 0.5 * tufa_shed_default().mid, tufa_scale_conductivity_default().mid);
    return tufa_element_failures_year(1.0, tufa_element_life_default().per_10K.mid, rise);
}

/* The book's rate is taken from the years in which everything is noted. A heater whose elements are known to have burnt before that
 * brings its own years too, for itself alone: heaters without a note of that time may have been as bad. */
static tufa_status count_elements(lives *l, const life_rec *h, double end, size_t *room)
{
    size_t n;
    if (h->fuel == FUEL_GAS || h->fuel == FUEL_PROPANE) return OK;
    const event *e = events_of(l, h->heater, ENDED_LOWER_ELEMENT, &n);
    double from = watched_from(l, h), own_from;
    if (h->installed) from = fmax(from, h->installed_day);
    own_from = from;
    if (n && (double)e->day < from) own_from = !isnan(e->put_in_day) ? e->put_in_day : h->installed ? fmin(from, h->installed_day) : from;
    element_seen s = {.heater = h->heater, .years = fmax(0.0, end - from) / DAYS_A_YEAR, .factor = scale_factor(h->flux_W_m2),
                      .own_years = fmax(0.0, end - own_from) / DAYS_A_YEAR};
    for (size_t i = 0; i < n; i++) {
        s.failed += e[i].failed && (double)e[i].day >= from;
        s.own_failed += e[i].failed && (double)e[i].day >= own_from;
    }
    if (!(s.own_years > 0.0)) return OK;
    RETURN_IF(grow((void **)&l->to->element, l->to->elements, room, sizeof s));
    l->to->element[l->to->elements++] = s;
    learned_lives *t = &l->to->lives;
    t->elements_failed += (size_t)s.failed;
    t->element_years += s.years;
    t->element_effective_years += s.years * s.factor;
    return OK;
}

/* ---- together ---- */

static tufa_status since_when(store *s, lives *l)
{
    char word[STORE_WORD];
    RETURN_IF(setting_now(s, "records_since", word, sizeof word, &l->since_said));
    if (l->since_said && !day_parse(word, &l->since)) l->since_said = false;
    if (l->since_said) l->to->lives.since_day = l->since;
    return OK;
}

static tufa_life prior_of(const desk_rates *r, int kind)
{
    switch (kind) {
    case LIFE_ELECTRIC: return r->life[TUFA_ELECTRIC];
    case LIFE_BURNER: return r->life[TUFA_GAS];
    case LIFE_CONTROL_ELECTRIC: return tufa_control_life_default(TUFA_ELECTRIC);
    default: return tufa_control_life_default(TUFA_GAS);
    }
}

/* ---- beds and lives ---- */

enum { BED_DRAWS = 24, BED_LIVES = 400, BED_FAILURES = 5 }; /* a handful of leaks says nothing of beds; above so many lives it would take too long */

/* Age at which the bed of a tank came into trouble: the forecast for the day on which it was last seen, its mass grown evenly. */
static tufa_status trouble_age(lives *l, desk_waters *w, int kind, size_t i, desk_case *c, tufa_arena *arena, double *age)
{
    heater_rec h;
    tufa_ahead a;
    double v[BED_DRAWS];
    arena->used = 0;
    *age = HUGE_VAL;
    RETURN_IF(store_heater_get(l->s, l->tank[kind][i], &h));
    RETURN_IF(case_load_alone(l->s, w, &h, (int64_t)l->seen_day[kind][i], c));
    tufa_ahead_in in = case_ahead_in(c, 1, BED_DRAWS, true);
    in.key = (uint64_t)h.id; /* few draws each, that differ from heater to heater */
    tufa_status st = tufa_ahead_look(&in, arena, &a);
    if (st.code == TUFA_CONFLICT) return OK;
    RETURN_IF(st);
    for (int k = 0; k < BED_DRAWS; k++)
        v[k] = a.draw_kg[k] > 0.0 ? fmin(1e3, a.draw_age_years[k] * a.draw_trouble_kg[k] / a.draw_kg[k]) : 1e3;
    *age = tufa_quantile(BED_DRAWS, v, 0.5);
    return OK;
}

/* NULL where the records are too few to say anything of beds. */
static tufa_status trouble_ages(lives *l, int kind, double **out)
{
    size_t n = l->n[kind], bytes = tufa_ahead_bytes(1, BED_DRAWS, TUFA_AHEAD_MAX_FINDINGS);
    *out = NULL;
    if (kind >= LIFE_CONTROL_ELECTRIC || l->to->lives.kind[kind].failed < BED_FAILURES || n > BED_LIVES) return OK;
    desk_waters w;
    waters_start(&w, l->s, BED_DRAWS);
    double *age = calloc(n, sizeof *age);
    desk_case *c = malloc(sizeof *c);
    tufa_arena arena = {.base = malloc(bytes), .size = bytes};
    tufa_status st = age && c && arena.base ? OK : trouble(TUFA_MEMORY, "lives", NULL);
    for (size_t i = 0; i < n && st.code == TUFA_OK; i++) st = trouble_age(l, &w, kind, i, c, &arena, &age[i]);
    waters_end(&w);
    free(c);
    free(arena.base);
    if (st.code == TUFA_OK) *out = age;
    else free(age);
    return st;
}

static tufa_status conclude(lives *l, int kind, const tufa_life *prior)
{
    learned_life *k = &l->to->lives.kind[kind];
    k->prior = k->life = *prior;
    bool whole = l->since_said && (kind == LIFE_ELECTRIC || kind == LIFE_BURNER); /* of heaters, not of every part of them */
    k->counted = l->n[kind] > 0 && (k->failed > 0 || whole);
    if (!k->counted) return OK;
    tufa_life_grid *g = malloc(sizeof *g);
    k->grid = g;
    k->curve = malloc((k->failed + 1) * sizeof *k->curve);
    if (!g || !k->curve) return trouble(TUFA_MEMORY, "lives", NULL);
    tufa_fuel fuel = kind == LIFE_ELECTRIC ? TUFA_ELECTRIC : TUFA_GAS;
    double *trouble_years;
    RETURN_IF(trouble_ages(l, kind, &trouble_years));
    tufa_status st = tufa_life_learn(prior, tufa_bed_on_life_default(fuel), l->n[kind], l->lived[kind], trouble_years, g);
    if (trouble_years) k->bed_on_life = tufa_life_bed_ratio(g);
    free(trouble_years);
    RETURN_IF(st);
    k->life = tufa_life_from(g);
    return tufa_money_product_limit(l->n[kind], l->lived[kind], k->curve, &k->steps);
}

static tufa_status conclude_elements(lives *l)
{
    learned_lives *t = &l->to->lives;
    tufa_element_life e = tufa_element_life_default();
    t->elements_counted = t->element_years > 0.0 && t->elements_failed > 0;
    if (t->elements_counted) e = tufa_element_life_update(e, (double)t->elements_failed, t->element_effective_years);
    double factor = scale_factor(0.0), mid = e.shape / e.rate_years * factor, sd = 1.0 / sqrt(e.shape);
    t->element_year = (tufa_value){mid, mid * exp(-1.2816 * sd), mid * exp(1.2816 * sd), t->elements_counted ? TUFA_BASIS_LEARNED : TUFA_BASIS_DEFAULT};
    return OK;
}

static tufa_status work_out(store *s, lives *l)
{
    desk d = {.s = s, .today = l->today};
    desk_rates rates;
    size_t element_room = 0;
    RETURN_IF(since_when(s, l));
    RETURN_IF(desk_rates_said(&d, &rates));
    RETURN_IF(store_ended_each(s, 0, add_ended, l));
    RETURN_IF(store_visit_each(s, 0, add_work, l));
    RETURN_IF(store_finding_each(s, 0, add_element_age, l));
    RETURN_IF(store_life_each(s, add_heater, l));
    merge_events(l);
    for (size_t i = 0; i < l->heaters; i++) {
        double end;
        RETURN_IF(count_tank(l, &l->heater[i], &end));
        RETURN_IF(count_controls(l, &l->heater[i], end));
        RETURN_IF(count_elements(l, &l->heater[i], end, &element_room));
    }
    for (int k = 0; k < LIFE_KINDS; k++) {
        tufa_life prior = prior_of(&rates, k);
        RETURN_IF(conclude(l, k, &prior));
    }
    return conclude_elements(l);
}

tufa_status lives_ready(store *s, learned *to)
{
    if (to->lives_ready) return OK;
    lives l = {.today = to->today, .to = to, .s = s};
    tufa_status st = work_out(s, &l);
    free(l.event);
    free(l.heater);
    for (int k = 0; k < LIFE_KINDS; k++) free(l.lived[k]);
    for (int k = 0; k < LIFE_CONTROL_ELECTRIC; k++) free(l.tank[k]), free(l.seen_day[k]);
    if (st.code != TUFA_OK) {
        lives_free(to);
        return st;
    }
    to->lives_ready = true;
    return OK;
}

void lives_free(learned *l)
{
    for (int k = 0; k < LIFE_KINDS; k++) {
        free((void *)(uintptr_t)l->lives.kind[k].grid);
        free(l->lives.kind[k].curve);
    }
    free(l->element);
    l->element = NULL;
    l->elements = 0;
    l->lives = (learned_lives){0};
}

/* This house's own rate: the others give the middle, the spread between houses stays that of the prior. */
void element_of(const learned *l, int64_t heater, tufa_element_life *out)
{
    const learned_lives *t = &l->lives;
    tufa_element_life prior = tufa_element_life_default();
    size_t lo = 0, hi = l->elements;
    while (lo < hi) {
        size_t mid = (lo + hi) / 2;
        if (l->element[mid].heater < heater) lo = mid + 1;
        else hi = mid;
    }
    *out = prior;
    element_seen own = lo < l->elements && l->element[lo].heater == heater ? l->element[lo] : (element_seen){0};
    if (!t->elements_counted && own.own_failed == 0.0) return;
    double mean = prior.shape / prior.rate_years;
    if (t->elements_counted)
        mean = (prior.shape + (double)t->elements_failed - own.failed) / (prior.rate_years + t->element_effective_years - own.years * own.factor);
    out->rate_years = prior.shape / mean + own.own_years * own.factor;
    out->shape = prior.shape + own.own_failed;
}

tufa_status learned_lives_of(store *s, int64_t today, const learned_lives **out)
{
    learned *l;
    RETURN_IF(learned_at(s, today, &l));
    RETURN_IF(lives_ready(s, l));
    *out = &l->lives;
    return OK;
}
