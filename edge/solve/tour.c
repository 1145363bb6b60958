/* Round trips through many places, after Dantzig, Fulkerson and Johnson (1954): each place has two edges, and every set
 * of places has at least two edges to the rest. The second kind is added where a solution breaks it: first in the
 * linear problem (by minimum cuts, Stoer and Wagner 1997), then in the whole-numbered one (by its separate rings). */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/solve/grow.h"

enum { MOST_PLACES = 200, MOST_CUTS = 2000 };
static const double HARDLY = 1e-6;

typedef struct rings {
    int n, cuts;
    const double *cost;
    unsigned char *cut; /* cuts x n: 1 where the place is inside */
    double *x;          /* n x n weights of the last solution */
} rings;


static void spread(rings *r, const double *x)
{
    for (int i = 0, e = 0; i < r->n; i++)
        for (int j = i + 1; j < r->n; j++, e++) r->x[i * r->n + j] = r->x[j * r->n + i] = x[e];
}

static bool add_cut(rings *r, const unsigned char *inside)
{
    if (r->cuts == MOST_CUTS) return false;
    memcpy(r->cut + (size_t)r->cuts++ * (size_t)r->n, inside, (size_t)r->n);
    return true;
}

/* Adds a cut for each separate part of the solution; answers how many parts there are. */
static int separate_parts(rings *r)
{
    unsigned char seen[MOST_PLACES] = {0}, inside[MOST_PLACES];
    int parts = 0, stack[MOST_PLACES];
    for (int s = 0; s < r->n; s++) {
        if (seen[s]) continue;
        memset(inside, 0, sizeof inside);
        int depth = 0, size = 0;
        stack[depth++] = s;
        seen[s] = 1;
        while (depth) {
            int i = stack[--depth];
            inside[i] = 1;
            size++;
            for (int j = 0; j < r->n; j++)
                if (!seen[j] && r->x[i * r->n + j] > HARDLY) seen[j] = 1, stack[depth++] = j;
        }
        parts++;
        if (size < r->n && !add_cut(r, inside)) return parts;
    }
    return parts;
}

/* The least cut of the weights, by joining places in order of attachment; 2 or more breaks nothing. */
static double least_cut(const rings *r, unsigned char *inside)
{
    int n = r->n;
    double *w = malloc(sizeof *w * (size_t)(n * n)), best = INFINITY;
    unsigned char *group = calloc((size_t)(n * n), 1);
    if (!w || !group) {
        free(w), free(group);
        return INFINITY;
    }
    memcpy(w, r->x, sizeof *w * (size_t)(n * n));
    int alive[MOST_PLACES];
    for (int i = 0; i < n; i++) alive[i] = i, group[i * n + i] = 1;
    for (int left = n; left > 1; left--) {
        double key[MOST_PLACES] = {0};
        bool taken[MOST_PLACES] = {false};
        int last = 0, before = 0;
        for (int k = 0; k < left; k++) {
            int pick = -1;
            for (int i = 0; i < left; i++)
                if (!taken[i] && (pick < 0 || key[i] > key[pick])) pick = i;
            taken[pick] = true;
            before = last;
            last = pick;
            for (int i = 0; i < left; i++)
                if (!taken[i]) key[i] += w[alive[pick] * n + alive[i]];
        }
        int a = alive[before], b = alive[last];
        if (key[last] < best) best = key[last], memcpy(inside, group + b * n, (size_t)n);
        for (int i = 0; i < n; i++) {
            w[a * n + i] += w[b * n + i];
            w[i * n + a] = w[a * n + i];
            group[a * n + i] |= group[b * n + i];
        }
        alive[last] = alive[left - 1];
    }
    free(w), free(group);
    return best;
}

/* The problem with all cuts so far, solved. */
static tufa_status solve_with_cuts(rings *r, bool whole, double seconds, double *total)
{
    int n = r->n, rows = n + r->cuts;
    double lo[MOST_PLACES + MOST_CUTS], hi[MOST_PLACES + MOST_CUTS], bound;
    for (int i = 0; i < rows; i++) lo[i] = 2.0, hi[i] = i < n ? 2.0 : n;
    grow g;
    tufa_status st = trouble(TUFA_MEMORY, "solver", NULL);
    bool fits = grow_begin(&g, rows, lo, hi);
    for (int i = 0; fits && i < n; i++)
        for (int j = i + 1; fits && j < n; j++) {
            int row[2 + MOST_CUTS] = {i, j}, k = 2;
            double one[2 + MOST_CUTS];
            for (int c = 0; c < r->cuts; c++)
                if (r->cut[c * n + i] != r->cut[c * n + j]) row[k++] = n + c;
            for (int e = 0; e < k; e++) one[e] = 1.0;
            fits = grow_column(&g, r->cost[i * n + j], 0.0, 1.0, true, k, row, one);
        }
    if (fits) st = grow_solve(&g, whole, seconds, total, &bound);
    if (st.code == TUFA_OK) spread(r, g.x);
    grow_free(&g);
    return st;
}

static void read_order(const rings *r, int *order)
{
    int at = 0, from = -1;
    for (int k = 0; k < r->n; k++) {
        order[k] = at;
        int next = 0;
        for (int j = 0; j < r->n; j++)
            if (j != from && j != at && r->x[at * r->n + j] > 0.5 && (k > 0 || next == 0)) next = j;
        from = at;
        at = next;
    }
}

static tufa_status cut_until_whole(rings *r, double until_s, double *total)
{
    unsigned char inside[MOST_PLACES];
    for (bool whole = false;;) {
        double left = until_s - solve_now_s();
        if (left <= 0.0) return trouble(TUFA_SOLVE, "tour", "time ran out before the shortest way was proven");
        RETURN_IF(solve_with_cuts(r, whole, left, total));
        int cuts = r->cuts;
        if (separate_parts(r) > 1) {
            if (r->cuts == cuts) return trouble(TUFA_SOLVE, "tour", "too many cuts");
            continue;
        }
        if (whole) return OK;
        if (least_cut(r, inside) < 2.0 - 1e-4 && add_cut(r, inside)) continue;
        whole = true;
    }
}

tufa_status solve_tour(int n, const double *cost, double seconds, int *order, double *total, double *bound)
{
    RETURN_IF(in_range("n", n, 1, MOST_PLACES));
    for (int i = 0; i < n; i++)
        for (int j = 0; j < i; j++) RETURN_IF(in_range("cost", cost[i * n + j], cost[j * n + i], cost[j * n + i]));
    if (n <= 3) {
        for (int i = 0; i < n; i++) order[i] = i;
        *total = n == 1 ? 0.0 : n == 2 ? 2.0 * cost[1] : cost[1] + cost[n + 2] + cost[2];
        *bound = *total;
        return OK;
    }
    rings r = {.n = n, .cost = cost, .cut = malloc((size_t)MOST_CUTS * (size_t)n), .x = calloc((size_t)(n * n), sizeof(double))};
    tufa_status st = r.cut && r.x ? cut_until_whole(&r, solve_now_s() + seconds, total) : trouble(TUFA_MEMORY, "tour", NULL);
    if (st.code == TUFA_OK) {
        read_order(&r, order);
        *bound = *total;
    }
    free(r.cut), free(r.x);
    return st;
}
