/* The year's rounds: visits into stops, stops into days by the solver, days into an order and hours. */
#include "edge/desk/rounds.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/learned.h"
#include "edge/desk/rounds_parts.h"
#include "edge/desk/settings.h"
#include "edge/solve/solve.h"

enum { PLAN_DAYS = 366, MOST_STOPS = 3000 };
static const double USUAL_SECONDS = 4.0, HOUR_S = 3600.0;

static const struct {
    const char *key, *words;
} OUT[] = {
#define X(id, key, words) [ROUNDS_##id] = {key, words},
#include "edge/desk/rounds_out.def"
#undef X
};
const char *rounds_out_key(rounds_out o) { return OUT[o].key; }
const char *rounds_out_words(rounds_out o) { return OUT[o].words; }

/* Visits that are entered together: one place, one window, one time of work. */
typedef struct stop {
    size_t group;         /* of the houses entered together */
    tufa_plan_visit visit;
    size_t first_visit;
    rounds_out out;
    int round, at;
    int64_t day;
} stop;

typedef struct planner {
    desk *d;
    const rounds_ask *ask;
    rounds_answer *a;
    desk_rates rates;
    tufa_plan_terms terms;
    stop *stop;
    size_t stops;
    rounds_place *place;  /* of each stop at 1 + its number; 0 is home */
    rounds_drives drives;
    int64_t day[PLAN_DAYS];
    size_t days;
    double *travel_s, *cost;
} planner;

static double usd(const planner *p, tufa_price x) { return p->rates.prices.usd[x].mid; }
static double drive_usd(const planner *p, double s, double m)
{
    return s / HOUR_S * usd(p, TUFA_PRICE_OWN_HOUR) + m / 1609.344 * usd(p, TUFA_PRICE_MILE);
}

/* ---- stops ---- */

static bool has_working_day(const planner *p, const tufa_plan_visit *v)
{
    for (size_t k = 0; k < p->days; k++)
        if (tufa_plan_allows(v, p->day[k])) return true;
    return false;
}

static int64_t later(int64_t a, int64_t b) { return a > b ? a : b; }
static int64_t sooner(int64_t a, int64_t b) { return a < b ? a : b; }

/* Both together; false where their windows share no working day or the day is too short. */
static bool join(const planner *p, const stop *s, const rounds_visit *v, double more_s, tufa_plan_visit *out)
{
    tufa_plan_visit j = s->visit;
    j.work_s += v->work_s + more_s;
    j.earliest_day = later(j.earliest_day, v->earliest_day);
    j.latest_day = sooner(j.latest_day, v->latest_day);
    j.wait_usd_day += v->wait_usd_day;
    j.entry_usd = fmax(j.entry_usd, v->entry_usd);
    j.empty_from = later(j.empty_from, v->empty_to ? v->empty_from : 1);
    j.empty_to = sooner(j.empty_to, v->empty_to ? v->empty_to : 0);
    const double on_the_way_s = 2.0 * 0.5 * HOUR_S; /* to leave room for the drives; checked exactly later */
    if (j.work_s > p->terms.day_s - on_the_way_s || !has_working_day(p, &j)) return false;
    *out = j;
    return true;
}

static tufa_status house_called(planner *p, const char *name, int64_t *house)
{
    tufa_status st = store_thing_labelled(p->d->s, THING_HOUSE, name, house);
    if (st.code == TUFA_MISSING) *house = 0; /* a name that is no house: it stands alone */
    return st.code == TUFA_MISSING ? OK : st;
}

/* Which houses are entered together: sets of houses, each pointing at another of its set or at itself. */
typedef struct sets {
    int64_t *house;
    size_t *up, n;
} sets;

static size_t place_in(sets *g, int64_t house)
{
    for (size_t i = 0; i < g->n; i++)
        if (g->house[i] == house) return i;
    g->house[g->n] = house;
    g->up[g->n] = g->n;
    return g->n++;
}

static size_t top_of(const sets *g, size_t i)
{
    while (g->up[i] != i) i = g->up[i];
    return i;
}

static tufa_status add_house(planner *p, sets *g, int64_t house)
{
    house_rec h;
    int64_t with = 0;
    size_t before = g->n, i = place_in(g, house);
    if (i < before && g->up[i] != i) return OK;
    RETURN_IF(store_house_get(p->d->s, house, &h));
    if (h.entered_with[0]) RETURN_IF(house_called(p, h.entered_with, &with));
    if (!with || with == house) return OK;
    size_t a = top_of(g, i), b = top_of(g, place_in(g, with));
    g->up[a > b ? a : b] = a > b ? b : a;
    return OK;
}

/* The number of its set for the house of each visit. */
static tufa_status group_visits(planner *p, size_t *group)
{
    size_t n = p->a->visits, room = 2 * n + 1;
    sets g = {.house = malloc(room * sizeof *g.house), .up = malloc(room * sizeof *g.up)};
    tufa_status st = g.house && g.up ? OK : trouble(TUFA_MEMORY, "rounds", NULL);
    for (size_t i = 0; st.code == TUFA_OK && i < n; i++) st = add_house(p, &g, p->a->visit[i].house);
    for (size_t i = 0; st.code == TUFA_OK && i < n; i++) group[i] = top_of(&g, place_in(&g, p->a->visit[i].house));
    free(g.house), free(g.up);
    return st;
}

static bool same_house_before(const planner *p, size_t s, int64_t house)
{
    for (size_t i = 0; i < p->a->visits; i++)
        if (p->a->visit[i].stop == (int)s && p->a->visit[i].house == house) return true;
    return false;
}

static tufa_status read_place(planner *p, int64_t house, const char *street, rounds_place *out)
{
    house_rec h;
    RETURN_IF(store_house_get(p->d->s, house, &h));
    *out = (rounds_place){.house = house, .from_home_s = h.drive_s.basis == TUFA_BASIS_NONE ? NAN : h.drive_s.mid};
    out->located = h.lat_deg.basis != TUFA_BASIS_NONE && h.lon_deg.basis != TUFA_BASIS_NONE;
    out->lat_deg = h.lat_deg.mid;
    out->lon_deg = h.lon_deg.mid;
    memcpy(out->street, street, sizeof out->street);
    return OK;
}

static tufa_status new_stop(planner *p, size_t i, size_t group)
{
    rounds_visit *v = &p->a->visit[i];
    stop *s = &p->stop[p->stops];
    *s = (stop){.group = group, .first_visit = i, .round = -1};
    s->visit = (tufa_plan_visit){.place = (int)p->stops + 1, .work_s = v->work_s + 60.0 * p->a->terms.arrive_minutes,
                                 .earliest_day = v->earliest_day, .latest_day = v->latest_day, .wait_usd_day = v->wait_usd_day,
                                 .entry_usd = v->entry_usd, .empty_from = v->empty_to ? v->empty_from : 1, .empty_to = v->empty_to};
    if (s->visit.work_s > p->terms.day_s) s->out = ROUNDS_HOURS;
    else if (!has_working_day(p, &s->visit)) s->out = ROUNDS_WINDOW;
    v->stop = (int)p->stops;
    RETURN_IF(read_place(p, v->house, v->street, &p->place[p->stops + 1]));
    p->stops++;
    return OK;
}

static tufa_status put_in_stop(planner *p, size_t i, size_t group)
{
    static const double NEXT_DOOR_S = 180.0;
    rounds_visit *v = &p->a->visit[i];
    for (size_t s = 0; s < p->stops; s++) {
        tufa_plan_visit both;
        if (p->stop[s].group != group || p->stop[s].out != ROUNDS_PLACED) continue;
        double more_s = same_house_before(p, s, v->house) ? 0.0 : 60.0 * p->a->terms.arrive_minutes + NEXT_DOOR_S;
        if (!join(p, &p->stop[s], v, more_s, &both)) continue;
        p->stop[s].visit = both;
        v->stop = (int)s;
        return OK;
    }
    return new_stop(p, i, group);
}

static int by_waiting(const void *a, const void *b)
{
    const rounds_visit *x = a, *y = b;
    if ((x->out == ROUNDS_PLACED) != (y->out == ROUNDS_PLACED)) return x->out == ROUNDS_PLACED ? -1 : 1;
    if (x->wait_usd_day != y->wait_usd_day) return x->wait_usd_day > y->wait_usd_day ? -1 : 1;
    if (x->heater != y->heater) return x->heater < y->heater ? -1 : 1;
    return (x->call > y->call) - (x->call < y->call);
}

static tufa_status make_stops(planner *p)
{
    size_t n = p->a->visits;
    if (n) qsort(p->a->visit, n, sizeof *p->a->visit, by_waiting);
    p->stop = calloc(n + 1, sizeof *p->stop);
    p->place = calloc(n + 1, sizeof *p->place);
    if (!p->stop || !p->place) return trouble(TUFA_MEMORY, "rounds", NULL);
    p->place[0].located = p->a->terms.home[0] && place_parse(p->a->terms.home, &p->place[0].lat_deg, &p->place[0].lon_deg);
    p->place[0].from_home_s = NAN;
    size_t *group = malloc((n + 1) * sizeof *group);
    tufa_status st = group ? group_visits(p, group) : trouble(TUFA_MEMORY, "rounds", NULL);
    for (size_t i = 0; st.code == TUFA_OK && i < n && p->a->visit[i].out == ROUNDS_PLACED; i++) {
        if (p->stops == MOST_STOPS) p->a->visit[i].out = ROUNDS_MANY;
        else st = put_in_stop(p, i, group[i]);
    }
    free(group);
    return st;
}

/* ---- the solver ---- */

static tufa_status fill_matrices(planner *p)
{
    size_t n = p->stops + 1;
    RETURN_IF(rounds_drives_get(p->d, n, p->place, usd(p, TUFA_PRICE_TRIP), &p->drives));
    memcpy(p->a->drives, p->drives.how, sizeof p->a->drives);
    p->travel_s = malloc(n * n * sizeof *p->travel_s);
    p->cost = malloc(n * n * sizeof *p->cost);
    if (!p->travel_s || !p->cost) return trouble(TUFA_MEMORY, "rounds", NULL);
    for (size_t i = 0; i < n * n; i++) {
        p->travel_s[i] = p->drives.drive_s[i] + (i < n && i > 0 ? 60.0 * p->a->terms.ready_minutes : 0.0);
        p->cost[i] = drive_usd(p, p->drives.drive_s[i], p->drives.road_m[i]);
    }
    for (size_t s = 0; s < p->stops; s++) /* too far for the day's hours, there and back */
        if (p->stop[s].out == ROUNDS_PLACED && p->travel_s[s + 1] + p->stop[s].visit.work_s + p->travel_s[(s + 1) * n] > p->terms.day_s)
            p->stop[s].out = ROUNDS_HOURS;
    return OK;
}

/* Stops that can be placed, as a problem of their own: m of them, in[k] the stop of place k + 1. */
typedef struct question {
    size_t m, *in;
    double *cost, *travel_s, *wait;
    tufa_plan_stop *stop;
    int most[PLAN_DAYS], *period, *trip, *at;
} question;

static void question_free(question *q)
{
    free(q->in), free(q->cost), free(q->travel_s), free(q->wait), free(q->stop), free(q->period), free(q->trip), free(q->at);
}

static void mark_from(const planner *p, int64_t from, size_t most, bool *useful)
{
    for (size_t k = 0, n = 0; k < p->days && n < most; k++)
        if (p->day[k] >= from) useful[k] = true, n++;
}

/* A round may move to an earlier day that is free unless its visits do not allow it or it costs more there, which happens where
 * a window or empty days begin or end. So the best plan needs no more days behind each such day than there are rounds. */
static void keep_useful_days(planner *p)
{
    bool useful[PLAN_DAYS] = {false};
    for (size_t s = 0; s < p->stops; s++) {
        const tufa_plan_visit *v = &p->stop[s].visit;
        if (p->stop[s].out != ROUNDS_PLACED) continue;
        mark_from(p, v->earliest_day, p->stops, useful);
        if (v->empty_to < v->empty_from) continue;
        mark_from(p, v->empty_from, p->stops, useful);
        mark_from(p, v->empty_to + 1, p->stops, useful);
    }
    size_t n = 0;
    for (size_t k = 0; k < p->days; k++)
        if (useful[k]) p->day[n++] = p->day[k];
    if (n) p->days = n;
}

static tufa_status put_question(const planner *p, question *q)
{
    size_t n = p->stops + 1;
    q->in = malloc(n * sizeof *q->in);
    if (!q->in) return trouble(TUFA_MEMORY, "rounds", NULL);
    for (size_t s = 0; s < p->stops; s++)
        if (p->stop[s].out == ROUNDS_PLACED) q->in[q->m++] = s;
    size_t m = q->m + 1;
    q->cost = calloc(m * m, sizeof(double)), q->travel_s = calloc(m * m, sizeof(double)), q->wait = calloc(m * p->days, sizeof(double));
    q->stop = calloc(m, sizeof *q->stop), q->period = calloc(m, sizeof(int)), q->trip = calloc(m, sizeof(int)), q->at = calloc(m, sizeof(int));
    if (!q->cost || !q->travel_s || !q->wait || !q->stop || !q->period || !q->trip || !q->at) return trouble(TUFA_MEMORY, "rounds", NULL);
    q->stop[0].close_s = p->terms.day_s;
    for (size_t i = 0; i < m; i++) {
        size_t a = i ? q->in[i - 1] + 1 : 0;
        for (size_t j = 0; j < m; j++) {
            size_t b = j ? q->in[j - 1] + 1 : 0;
            q->cost[i * m + j] = p->cost[a * n + b];
            q->travel_s[i * m + j] = p->travel_s[a * n + b];
        }
        if (!i) continue;
        size_t bad;
        q->stop[i] = (tufa_plan_stop){.close_s = p->terms.day_s, .service_s = p->stop[a - 1].visit.work_s};
        RETURN_IF(tufa_plan_wait(1, &p->stop[a - 1].visit, &p->terms, p->days, p->day, q->wait + i * p->days, &bad));
    }
    for (size_t k = 0; k < p->days; k++) q->most[k] = p->terms.crews;
    return OK;
}

static void take_answer(planner *p, const question *q, const solve_rounds_out *o)
{
    for (size_t i = 1; i <= q->m; i++) {
        stop *s = &p->stop[q->in[i - 1]];
        if (q->trip[i] < 0) {
            s->out = ROUNDS_ROOM;
            continue;
        }
        s->round = q->trip[i];
        s->at = q->at[i];
        s->day = p->day[q->period[i]];
    }
    p->a->rounds = (size_t)o->trips;
    p->a->total_usd = o->total;
    p->a->bound_usd = o->bound;
}

static tufa_status solve_days(planner *p)
{
    question q = {0};
    tufa_status st = put_question(p, &q);
    solve_rounds_out o = {.period = q.period, .trip = q.trip, .at = q.at};
    if (st.code == TUFA_OK) {
        solve_rounds_in in = {.n = (int)q.m + 1, .cost = q.cost, .travel_s = q.travel_s, .stop = q.stop, .capacity = 1.0,
                              .trip_cost = p->a->terms.ready_minutes / 60.0 * usd(p, TUFA_PRICE_OWN_HOUR), .periods = (int)p->days,
                              .wait = q.wait, .most = q.most};
        solve_watch watch = {.cancelled = p->ask->cancelled, .ctx = p->ask->ctx};
        st = solve_plan(&in, p->ask->seconds > 0.0 ? p->ask->seconds : USUAL_SECONDS, &watch, &o);
    }
    if (st.code == TUFA_OK) take_answer(p, &q, &o);
    question_free(&q);
    return st;
}

/* ---- each day in its best order ---- */

static tufa_status order_day(planner *p, int r)
{
    enum { N = TUFA_PLAN_MAX_STOPS + 1 };
    size_t n = p->stops + 1, in[N], m = 0;
    for (size_t s = 0; s < p->stops; s++) {
        if (p->stop[s].round != r) continue;
        if (m == TUFA_PLAN_MAX_STOPS) return OK; /* a day of so many short stops stays in the solver's order */
        in[m++] = s;
    }
    double cost[N * N], total;
    int order[N];
    for (size_t i = 0; i <= m; i++)
        for (size_t j = 0; j <= m; j++) cost[i * (m + 1) + j] = p->cost[(i ? in[i - 1] + 1 : 0) * n + (j ? in[j - 1] + 1 : 0)];
    size_t bytes = tufa_plan_tour_bytes(m + 1);
    tufa_arena scratch = {.base = malloc(bytes), .size = bytes};
    if (!scratch.base) return trouble(TUFA_MEMORY, "rounds", NULL);
    tufa_status st = tufa_plan_tour(m + 1, cost, &scratch, order, &total);
    free(scratch.base);
    for (size_t k = 1; st.code == TUFA_OK && k <= m; k++) p->stop[in[order[k] - 1]].at = (int)k - 1;
    return st;
}

/* What was promised is kept, or there is no plan. */
static tufa_status check_all(const planner *p)
{
    size_t n = p->stops;
    tufa_plan_visit *v = malloc((n + 1) * sizeof *v);
    int *round = malloc((n + 1) * sizeof *round), *at = malloc((n + 1) * sizeof *at);
    int64_t *day = malloc((n + 1) * sizeof *day);
    tufa_status st = v && round && at && day ? OK : trouble(TUFA_MEMORY, "rounds", NULL);
    for (size_t s = 0; st.code == TUFA_OK && s < n; s++)
        v[s] = p->stop[s].visit, round[s] = p->stop[s].round, at[s] = p->stop[s].at, day[s] = p->stop[s].day;
    if (st.code == TUFA_OK) st = tufa_plan_check(n, v, &p->terms, n + 1, p->travel_s, round, at, day);
    free(v), free(round), free(at), free(day);
    return st;
}

/* ---- back to visits ---- */

static int64_t other_day(const planner *p, const rounds_visit *v)
{
    for (size_t k = 0; k < p->days; k++)
        if (p->day[k] >= v->earliest_day && p->day[k] <= v->latest_day && (p->day[k] < v->empty_from || p->day[k] > v->empty_to)) return p->day[k];
    return 0;
}

static void tell_visit(planner *p, rounds_visit *v)
{
    const stop *s = &p->stop[v->stop];
    v->out = s->out;
    v->round = s->round;
    v->at = s->at; /* of its stop; counted by visits once they are in order */
    v->day = s->day;
    if (s->round < 0) return;
    v->in_empty = v->empty_to && s->day >= v->empty_from && s->day <= v->empty_to;
    if (!v->in_empty && v->notice_days > 0.0) v->tell_day = s->day - (int64_t)ceil(v->notice_days);
    int64_t other = v->in_empty ? other_day(p, v) : 0;
    if (other) v->empty_saves_usd = v->entry_usd - v->wait_usd_day * (double)(s->day - other);
}

static int by_round(const void *a, const void *b)
{
    const rounds_visit *x = a, *y = b;
    if ((x->round >= 0) != (y->round >= 0)) return x->round >= 0 ? -1 : 1;
    if (x->round < 0) {
        if (x->out != y->out) return x->out < y->out ? -1 : 1;
        return x->heater < y->heater ? -1 : x->heater > y->heater;
    }
    if (x->day != y->day) return x->day < y->day ? -1 : 1;
    if (x->round != y->round) return x->round < y->round ? -1 : 1;
    if (x->at != y->at) return x->at - y->at;
    if (x->house != y->house) return x->house < y->house ? -1 : 1;
    return x->heater < y->heater ? -1 : x->heater > y->heater;
}

static void fill_day(planner *p, rounds_day *r, size_t number)
{
    size_t n = p->stops + 1, here = 0;
    rounds_visit *v = p->a->visit + r->first;
    double now_s = 60.0 * p->a->terms.ready_minutes;
    r->day = v->day;
    for (size_t i = 0; i < r->n; i++) {
        size_t there = (size_t)v[i].stop + 1;
        double drive = here == there ? 0.0 : p->drives.drive_s[here * n + there];
        r->road_m += here == there ? 0.0 : p->drives.road_m[here * n + there];
        r->drive_s += drive;
        v[i].drive_s = drive;
        v[i].round = (int)number;
        v[i].at = (int)i;
        now_s += drive;
        v[i].begin_s = now_s;
        bool last = i + 1 == r->n || v[i + 1].stop != v[i].stop;
        double done = v[i].work_s, whole = p->stop[v[i].stop].visit.work_s;
        for (size_t k = i; last && k-- > 0 && v[k].stop == v[i].stop;) done += v[k].work_s;
        now_s += v[i].work_s + (last ? whole - done : 0.0); /* arrivals of a stop are counted at its end */
        r->work_s += v[i].work_s;
        r->spend_usd += v[i].spend_usd;
        r->gain_usd += v[i].gain_usd;
        r->wait_usd += v[i].wait_usd_day * (double)(v[i].day - p->terms.first_day);
        here = there;
    }
    r->drive_s += p->drives.drive_s[here * n];
    r->road_m += p->drives.road_m[here * n];
    r->end_s = now_s + p->drives.drive_s[here * n];
    r->drive_usd = drive_usd(p, r->drive_s, r->road_m);
}

static tufa_status write_days(planner *p)
{
    rounds_answer *a = p->a;
    for (size_t i = 0; i < a->visits; i++)
        if (a->visit[i].stop >= 0) tell_visit(p, &a->visit[i]);
    if (a->visits) qsort(a->visit, a->visits, sizeof *a->visit, by_round);
    a->round = calloc(a->rounds + 1, sizeof *a->round);
    if (!a->round) return trouble(TUFA_MEMORY, "rounds", NULL);
    size_t rounds = 0;
    for (size_t i = 0; i < a->visits && a->visit[i].round >= 0; rounds++) {
        size_t k = i;
        while (k < a->visits && a->visit[k].round == a->visit[i].round && a->visit[k].day == a->visit[i].day) k++;
        a->round[rounds] = (rounds_day){.first = i, .n = k - i};
        i = k;
    }
    a->rounds = rounds;
    for (size_t r = 0; r < rounds; r++) fill_day(p, &a->round[r], r);
    return OK;
}

static void add_up(planner *p)
{
    rounds_answer *a = p->a;
    for (size_t r = 0; r < a->rounds; r++) {
        a->drive_usd += a->round[r].drive_usd;
        a->ready_usd += a->terms.ready_minutes / 60.0 * usd(p, TUFA_PRICE_OWN_HOUR);
        a->miles += a->round[r].road_m / 1609.344;
        a->drive_hours += a->round[r].drive_s / HOUR_S;
        a->work_hours += a->round[r].work_s / HOUR_S;
        a->spend_usd += a->round[r].spend_usd;
    }
    for (size_t s = 0; s < p->stops; s++) {
        const stop *x = &p->stop[s];
        if (x->round < 0) continue;
        bool empty = x->day >= x->visit.empty_from && x->day <= x->visit.empty_to;
        a->wait_usd += x->visit.wait_usd_day * (double)(x->day - p->terms.first_day);
        a->entry_usd += empty ? 0.0 : x->visit.entry_usd;
    }
    for (size_t i = 0; i < a->visits; i++) {
        a->placed += a->visit[i].round >= 0;
        if (a->visit[i].round < 0 || !a->visit[i].in_empty) continue;
        a->pulled++;
        a->saved_usd += a->visit[i].empty_saves_usd;
    }
    a->total_usd = a->wait_usd + a->entry_usd + a->drive_usd + a->ready_usd;
    a->bound_usd = fmin(a->bound_usd, a->total_usd);
    a->own_hour_usd = usd(p, TUFA_PRICE_OWN_HOUR);
    a->own_hour_default = p->rates.prices.usd[TUFA_PRICE_OWN_HOUR].basis == TUFA_BASIS_DEFAULT;
}

double rounds_gap(const rounds_answer *a)
{
    const double nothing = 0.005;
    return a->total_usd - a->bound_usd < nothing || a->total_usd <= 0.0 ? 0.0 : (a->total_usd - a->bound_usd) / a->total_usd;
}

static tufa_status plan(planner *p, const year_answer *y)
{
    rounds_visits in = {0};
    tufa_status st = rounds_gather(p->d, y, &p->a->terms, &p->rates, &in);
    p->a->visit = in.v;
    p->a->visits = in.n;
    p->a->heaters = y->n;
    RETURN_IF(st);
    RETURN_IF(tufa_plan_days(&p->terms, PLAN_DAYS, p->day, &p->days));
    RETURN_IF(make_stops(p));
    RETURN_IF(fill_matrices(p));
    keep_useful_days(p);
    RETURN_IF(solve_days(p));
    for (int r = 0; r < (int)p->a->rounds; r++) RETURN_IF(order_day(p, r));
    RETURN_IF(check_all(p));
    RETURN_IF(write_days(p));
    add_up(p);
    return rounds_kit(p->d, &p->rates, y, p->a);
}

static tufa_status from_year(desk *d, const rounds_ask *ask, rounds_answer *out)
{
    static const rounds_ask USUAL;
    rounds_answer a = {.today = d->today, .units = d->units};
    planner p = {.d = d, .ask = ask ? ask : &USUAL, .a = &a};
    year_answer own = {0};
    RETURN_IF(desk_rates_get(d, &p.rates));
    RETURN_IF(rounds_terms_get(d, &a.terms));
    a.terms.crews += p.ask->more_crews;
    p.terms = (tufa_plan_terms){.first_day = d->today, .days = PLAN_DAYS, .weekdays = a.terms.weekdays, .day_s = HOUR_S * a.terms.hours,
                                .crews = (int)a.terms.crews};
    if (!p.ask->year) {
        year_ask y = {.progress = p.ask->progress, .cancelled = p.ask->cancelled, .ctx = p.ask->ctx};
        RETURN_IF(desk_year(d, &y, &own));
    }
    tufa_status st = plan(&p, p.ask->year ? p.ask->year : &own);
    if (!p.ask->year) year_free(&own);
    free(p.stop), free(p.place), free(p.travel_s), free(p.cost);
    rounds_drives_free(&p.drives);
    if (st.code != TUFA_OK) rounds_free(&a);
    else *out = a;
    return st;
}

tufa_status desk_rounds(desk *d, const rounds_ask *ask, rounds_answer *out)
{
    RETURN_IF(learned_hold(d->s));
    tufa_status st = from_year(d, ask, out);
    learned_release(d->s);
    return st;
}

void rounds_free(rounds_answer *a)
{
    for (size_t r = 0; r < a->rounds && a->round; r++) free(a->round[r].item);
    free(a->visit), free(a->round), free(a->stock);
    *a = (rounds_answer){0};
}
