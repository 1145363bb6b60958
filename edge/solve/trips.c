#include "edge/solve/trips.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "edge/solve/grow.h"

/* ---- the trips ---- */

bool trips_begin(trips *t, const solve_rounds_in *in)
{
    *t = (trips){.in = in, .room = 256, .room_stops = 1024, .slots = 1024};
    t->start = malloc(((size_t)t->room + 1) * sizeof *t->start), t->way = malloc((size_t)t->room * sizeof *t->way);
    t->stop = malloc((size_t)t->room_stops * sizeof *t->stop), t->slot = calloc((size_t)t->slots, sizeof *t->slot);
    if (!t->start || !t->way || !t->stop || !t->slot) return false;
    t->start[0] = 0;
    return true;
}

void trips_free(trips *t)
{
    free(t->start), free(t->stop), free(t->way), free(t->slot);
    *t = (trips){0};
}

static bool is_same(const trips *t, int trip, int n, const int *stop)
{
    int from = t->start[trip];
    return t->start[trip + 1] - from == n && memcmp(t->stop + from, stop, (size_t)n * sizeof *stop) == 0;
}

/* Its slot, or the free one where it belongs. */
static int slot_of(const trips *t, int n, const int *stop)
{
    uint64_t h = 0xcbf29ce484222325u; /* FNV-1a */
    for (int i = 0; i < n; i++) h = (h ^ (uint64_t)stop[i]) * 0x100000001b3u;
    int at = (int)((h ^ h >> 32) & (uint64_t)(t->slots - 1));
    while (t->slot[at] && !is_same(t, t->slot[at] - 1, n, stop)) at = (at + 1) & (t->slots - 1);
    return at;
}

static bool more_slots(trips *t)
{
    int *slot = calloc(2 * (size_t)t->slots, sizeof *slot);
    if (!slot) return false;
    free(t->slot);
    t->slot = slot;
    t->slots *= 2;
    for (int k = 0; k < t->n; k++) t->slot[slot_of(t, t->start[k + 1] - t->start[k], t->stop + t->start[k])] = k + 1;
    return true;
}

static bool more_room(trips *t, int n)
{
    if (t->n == t->room) {
        size_t room = 2 * (size_t)t->room;
        int *start = realloc(t->start, (room + 1) * sizeof *start);
        if (start) t->start = start;
        double *way = realloc(t->way, room * sizeof *way);
        if (way) t->way = way;
        if (!start || !way) return false;
        t->room = (int)room;
    }
    if (t->start[t->n] + n > t->room_stops) {
        size_t room = 2 * (size_t)t->room_stops + (size_t)n;
        int *stop = realloc(t->stop, room * sizeof *stop);
        if (!stop) return false;
        t->stop = stop;
        t->room_stops = (int)room;
    }
    return 2 * t->n < t->slots || more_slots(t);
}

static double way_of(const solve_rounds_in *in, int n, const int *stop)
{
    double way = in->trip_cost;
    size_t at = 0;
    for (int i = 0; i < n; i++) way += in->cost[at * (size_t)in->n + (size_t)stop[i]], at = (size_t)stop[i];
    return way + in->cost[at * (size_t)in->n];
}

int trips_add(trips *t, int n, const int *stop)
{
    int at = slot_of(t, n, stop);
    if (t->slot[at]) return t->slot[at] - 1;
    if (!more_room(t, n)) return -1;
    memcpy(t->stop + t->start[t->n], stop, (size_t)n * sizeof *stop);
    t->start[t->n + 1] = t->start[t->n] + n;
    t->way[t->n] = way_of(t->in, n, stop);
    t->slot[slot_of(t, n, stop)] = t->n + 1;
    return t->n++;
}

bool trips_add_plan(trips *t, const solve_rounds_out *plan, int *first)
{
    int n = t->in->n, *stop = malloc((size_t)n * sizeof *stop);
    bool fits = stop != NULL;
    for (int r = 0; fits && r < plan->trips; r++) {
        int m = 0;
        for (int k = 1; k < n; k++)
            if (plan->trip[k] == r) stop[plan->at[k]] = k, m++;
        int trip = m ? trips_add(t, m, stop) : 0;
        fits = trip >= 0;
        if (fits && first) first[r] = m ? trip : -1;
    }
    free(stop);
    return fits;
}

double trips_cost(const trips *t, int trip, int period)
{
    double cost = t->way[trip];
    for (int i = t->start[trip]; i < t->start[trip + 1]; i++)
        cost += t->in->wait[(size_t)t->stop[i] * (size_t)t->in->periods + (size_t)period];
    return cost;
}

bool trip_keeps(const solve_rounds_in *in, int n, const int *stop)
{
    double time_s = in->stop[0].open_s, load = 0.0;
    size_t at = 0;
    for (int i = 0; i < n; at = (size_t)stop[i++]) {
        const tufa_plan_stop *s = &in->stop[stop[i]];
        time_s = fmax(time_s + in->travel_s[at * (size_t)in->n + (size_t)stop[i]], s->open_s);
        if (time_s > s->close_s) return false;
        time_s += s->service_s;
        load += s->load;
    }
    return load <= in->capacity && time_s + in->travel_s[at * (size_t)in->n] <= in->stop[0].close_s;
}

/* ---- the search ---- */

typedef struct hunt_way {
    double gain, hope, time_s, load; /* hope: the most it can gain in the end */
    int stop, before;                /* before: the way without its last stop; -1: from home */
    int n, like;                     /* stops; like: another way of the same mark, -1: none */
    uint64_t mark;                   /* of its set of stops */
    bool home, beaten;
} hunt_way;

enum { MARKS = 1 << 16 };

void trips_hunt_free(trip_hunt *h)
{
    free(h->way), free(h->heap), free(h->like);
    h->way = NULL, h->heap = NULL, h->like = NULL, h->room = 0;
}

static void push(trip_hunt *h, hunt_way w)
{
    if (h->ways == h->room) {
        size_t room = h->room ? 2 * (size_t)h->room : 4096;
        hunt_way *way = realloc(h->way, room * sizeof *way);
        if (way) h->way = way;
        int *heap = realloc(h->heap, room * sizeof *heap);
        if (heap) h->heap = heap;
        if (!way || !heap) {
            h->failed = true;
            return;
        }
        h->room = (int)room;
    }
    int at = h->heaped++;
    h->way[h->ways] = w;
    for (int up; at > 0 && h->way[h->heap[up = (at - 1) / 2]].hope < w.hope; at = up) h->heap[at] = h->heap[up];
    h->heap[at] = h->ways++;
}

static int pop(trip_hunt *h)
{
    int top = h->heap[0], last = h->heap[--h->heaped], at = 0;
    for (int down; (down = 2 * at + 1) < h->heaped; at = down) {
        if (down + 1 < h->heaped && h->way[h->heap[down + 1]].hope > h->way[h->heap[down]].hope) down++;
        if (h->way[h->heap[down]].hope <= h->way[last].hope) break;
        h->heap[at] = h->heap[down];
    }
    if (h->heaped) h->heap[at] = last;
    return top;
}

static bool is_on(const trip_hunt *h, int way, int stop)
{
    for (; way >= 0; way = h->way[way].before)
        if (h->way[way].stop == stop) return true;
    return false;
}

static uint64_t mark_of(int stop) /* splitmix64 */
{
    uint64_t z = (uint64_t)stop * 0x9e3779b97f4a7c15u;
    z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9u;
    z = (z ^ z >> 27) * 0x94d049bb133111ebu;
    return z ^ z >> 31;
}

static bool same_stops(const trip_hunt *h, int a, const hunt_way *b)
{
    const hunt_way *x = &h->way[a];
    if (x->mark != b->mark || x->n != b->n || x->stop != b->stop) return false;
    for (int w = x->before; w >= 0; w = h->way[w].before)
        if (!is_on(h, b->before, h->way[w].stop)) return false;
    return true;
}

/* Of two ways through the same stops to the same last one, that is not worse which gains no less in no more time. */
static void keep_if_better(trip_hunt *h, hunt_way *w)
{
    int *head = &h->like[(w->mark ^ mark_of(-1 - w->stop)) & (MARKS - 1)];
    for (int i = *head; i >= 0; i = h->way[i].like) {
        hunt_way *other = &h->way[i];
        if (other->beaten || !same_stops(h, i, w)) continue;
        if (other->gain >= w->gain && other->time_s <= w->time_s) return;
        if (w->gain >= other->gain && w->time_s <= other->time_s) other->beaten = true;
    }
    w->like = *head;
    *head = h->ways;
    push(h, *w);
}

/* From way i (-1: home) through stop k, where its time and load allow it. */
static void draw_out(trip_hunt *h, int i, int k)
{
    const solve_rounds_in *in = h->reach->in;
    const tufa_plan_stop *s = &in->stop[k];
    hunt_way from = i < 0 ? (hunt_way){.time_s = in->stop[0].open_s, .gain = -in->trip_cost} : h->way[i];
    size_t road = (size_t)from.stop * (size_t)in->n + (size_t)k;
    double begin_s = fmax(from.time_s + in->travel_s[road], s->open_s), done_s = begin_s + s->service_s, load = from.load + s->load;
    double left_s = in->stop[0].close_s - done_s;
    if (begin_s > s->close_s || load > in->capacity || left_s < in->travel_s[(size_t)k * (size_t)in->n]) return;
    double gain = from.gain + h->worth[k] - in->cost[road], hope = gain + reach_at(h->reach, k, from.stop, left_s);
    if (hope <= h->more_than) return;
    hunt_way w = {.gain = gain, .hope = hope, .time_s = done_s, .load = load, .stop = k, .before = i, .n = from.n + 1, .mark = from.mark ^ mark_of(k)};
    keep_if_better(h, &w);
}

static void draw_all(trip_hunt *h, int i)
{
    for (int k = 1; k < h->reach->n; k++)
        if (h->worth[k] != -INFINITY && !is_on(h, i, k)) draw_out(h, i, k);
}

static void go_home(trip_hunt *h, int i)
{
    hunt_way w = h->way[i];
    double gain = w.gain - h->reach->in->cost[(size_t)w.stop * (size_t)h->reach->n];
    if (gain > h->more_than) push(h, (hunt_way){.gain = gain, .hope = gain, .before = i, .home = true});
}

static void note(trip_hunt *h, int i)
{
    int n = 0;
    for (int w = i; w >= 0; w = h->way[w].before) n++;
    int *stop = malloc((size_t)n * sizeof *stop), at = n;
    for (int w = i; stop && w >= 0; w = h->way[w].before) stop[--at] = h->way[w].stop;
    if (!stop || trips_add(h->found, n, stop) < 0) h->failed = true;
    free(stop);
    h->got++;
}

/* Out of steps: the best way is followed to its end, for a trip that is good at least. */
static void dive(trip_hunt *h)
{
    while (!h->failed && h->heaped) {
        int i = pop(h);
        if (h->way[i].home) {
            note(h, h->way[i].before);
            return;
        }
        h->heaped = 0;
        go_home(h, i);
        draw_all(h, i);
    }
}

void trips_hunt(trip_hunt *h)
{
    enum { LOOK_AT_CLOCK = 256 };
    h->ways = h->heaped = h->got = 0;
    h->ended = h->failed = false;
    h->limit = h->more_than;
    if (!h->like) h->like = malloc(MARKS * sizeof *h->like);
    if (!h->like) {
        h->failed = true;
        return;
    }
    memset(h->like, -1, MARKS * sizeof *h->like);
    draw_all(h, -1);
    for (int step = 0; h->heaped && !h->failed; step++) {
        double hope = h->way[h->heap[0]].hope;
        if (step == h->steps || (step % LOOK_AT_CLOCK == LOOK_AT_CLOCK - 1 && solve_now_s() > h->until_s)) {
            if (h->got == 0) h->limit = hope;
            dive(h);
            return;
        }
        int i = pop(h);
        if (h->way[i].beaten) continue;
        if (h->way[i].home) {
            if (h->got == 0) h->limit = hope;
            note(h, h->way[i].before);
            if (h->got == h->most) break;
            continue;
        }
        go_home(h, i);
        draw_all(h, i);
    }
    h->ended = !h->failed;
}
