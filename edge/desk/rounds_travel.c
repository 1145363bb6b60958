/* Drives between the stops: timed ones first, then coordinates, then an assumption that says so. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/rounds_parts.h"

/* Judgement, all three: one street is walked along or driven in a few minutes, the next one is across town. */
static const double STREET_S = 180.0, ACROSS_S = 600.0, SPEED_M_S = 25.0 * 1609.344 / 3600.0;
static const double METRES_A_MILE = 1609.344;

/* A street grid makes a way 4 / pi longer than the straight line, averaged over all directions (exact). */
static const double GRID = 4.0 / 3.14159265358979323846, STOP_AND_START_S = 60.0;

static double straight_m(const rounds_place *a, const rounds_place *b)
{
    static const double RADIUS_M = 6371008.8, RAD = 3.14159265358979323846 / 180.0; /* mean radius of the earth, IUGG */
    double s = sin(0.5 * RAD * (b->lat_deg - a->lat_deg)), t = sin(0.5 * RAD * (b->lon_deg - a->lon_deg));
    double h = s * s + cos(RAD * a->lat_deg) * cos(RAD * b->lat_deg) * t * t;
    return 2.0 * RADIUS_M * asin(fmin(1.0, sqrt(h)));
}

typedef struct timed {
    int64_t from, to;
    double drive_s, road_m;
} timed;

typedef struct timed_list {
    timed *row;
    size_t n, room;
} timed_list;

static tufa_status add_timed(void *ctx, const travel_rec *r)
{
    timed_list *l = ctx;
    if (l->n == l->room) {
        size_t room = l->room ? 2 * l->room : 64;
        timed *grown = realloc(l->row, room * sizeof *grown);
        if (!grown) return trouble(TUFA_MEMORY, "travel", NULL);
        l->row = grown;
        l->room = room;
    }
    l->row[l->n++] = (timed){r->from, r->to, r->drive_s, r->road_m};
    return OK;
}

static int by_pair(const void *a, const void *b)
{
    const timed *x = a, *y = b;
    if (x->from != y->from) return x->from < y->from ? -1 : 1;
    return (x->to > y->to) - (x->to < y->to);
}

static const timed *find_timed(const timed_list *l, int64_t from, int64_t to)
{
    timed key = {.from = from, .to = to};
    return l->n ? bsearch(&key, l->row, l->n, sizeof key, by_pair) : NULL;
}

typedef struct drive {
    double drive_s, road_m;
    int how;
} drive;

static drive drive_between(const timed_list *l, const rounds_place *a, const rounds_place *b, double home_miles)
{
    const timed *t = find_timed(l, a->house, b->house);
    if (!t) t = find_timed(l, b->house, a->house);
    if (t) return (drive){t->drive_s, isnan(t->road_m) ? t->drive_s * SPEED_M_S : t->road_m, 0};
    const rounds_place *away = a->house ? a : b;
    bool home = !a->house || !b->house;
    if (home && !isnan(away->from_home_s)) return (drive){away->from_home_s, away->from_home_s * SPEED_M_S, 0};
    if (a->located && b->located) {
        double road_m = GRID * straight_m(a, b);
        return (drive){road_m / SPEED_M_S + STOP_AND_START_S, road_m, 1};
    }
    if (home) return (drive){0.5 * home_miles * METRES_A_MILE / SPEED_M_S, 0.5 * home_miles * METRES_A_MILE, 2};
    double s = a->street[0] && strcmp(a->street, b->street) == 0 ? STREET_S : ACROSS_S;
    return (drive){s, s * SPEED_M_S, 2};
}

tufa_status rounds_drives_get(desk *d, size_t n, const rounds_place *place, double home_miles, rounds_drives *out)
{
    timed_list l = {0};
    rounds_drives r = {.n = n, .drive_s = calloc(n * n, sizeof(double)), .road_m = calloc(n * n, sizeof(double))};
    tufa_status st = r.drive_s && r.road_m ? store_travel_each(d->s, INT64_MAX, add_timed, &l) : trouble(TUFA_MEMORY, "travel", NULL);
    if (st.code == TUFA_OK && l.n) qsort(l.row, l.n, sizeof *l.row, by_pair);
    for (size_t i = 0; st.code == TUFA_OK && i < n; i++)
        for (size_t j = 0; j < n; j++) {
            if (i == j || place[i].house == place[j].house) continue;
            drive w = drive_between(&l, &place[i], &place[j], home_miles);
            r.drive_s[i * n + j] = w.drive_s;
            r.road_m[i * n + j] = w.road_m;
            if (i < j) r.how[w.how]++;
        }
    free(l.row);
    if (st.code != TUFA_OK) rounds_drives_free(&r);
    else *out = r;
    return st;
}

void rounds_drives_free(rounds_drives *r)
{
    free(r->drive_s), free(r->road_m);
    *r = (rounds_drives){0};
}
