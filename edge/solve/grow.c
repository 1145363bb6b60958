#include "edge/solve/grow.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "core/base/status.h"

double solve_now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t); /* a busy computer gives the same plan, later */
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static bool more(void **p, size_t size, int n)
{
    void *q = realloc(*p, size * (size_t)n);
    if (!q) return false;
    *p = q;
    return true;
}

static bool room_for(grow *g, int columns, int entries)
{
    if (columns > g->room_columns) {
        int n = columns * 2 + 64;
        if (!more((void **)&g->start, sizeof *g->start, n + 1) || !more((void **)&g->cost, sizeof *g->cost, n) ||
            !more((void **)&g->lo, sizeof *g->lo, n) || !more((void **)&g->hi, sizeof *g->hi, n) ||
            !more((void **)&g->whole, 1, n) || !more((void **)&g->x, sizeof *g->x, n))
            return false;
        g->room_columns = n;
    }
    if (entries > g->room_entries) {
        int n = entries * 2 + 256;
        if (!more((void **)&g->index, sizeof *g->index, n) || !more((void **)&g->value, sizeof *g->value, n)) return false;
        g->room_entries = n;
    }
    return true;
}

bool grow_begin(grow *g, int rows, const double *row_lo, const double *row_hi)
{
    *g = (grow){.p.rows = rows};
    g->row_lo = malloc(sizeof(double) * (size_t)rows);
    g->row_hi = malloc(sizeof(double) * (size_t)rows);
    g->price = malloc(sizeof(double) * (size_t)rows);
    if (!g->row_lo || !g->row_hi || !g->price || !room_for(g, 1, 1)) return false;
    memcpy(g->row_lo, row_lo, sizeof(double) * (size_t)rows);
    memcpy(g->row_hi, row_hi, sizeof(double) * (size_t)rows);
    g->start[0] = 0;
    return true;
}

bool grow_column(grow *g, double cost, double lo, double hi, bool whole, int n, const int *rows, const double *values)
{
    int j = g->p.columns, at = g->start[j];
    if (!room_for(g, j + 1, at + n)) return false;
    g->cost[j] = cost;
    g->lo[j] = lo;
    g->hi[j] = hi;
    g->whole[j] = whole;
    memcpy(g->index + at, rows, sizeof *rows * (size_t)n);
    memcpy(g->value + at, values, sizeof *values * (size_t)n);
    g->start[j + 1] = at + n;
    g->p.columns++;
    return true;
}

tufa_status grow_solve(grow *g, bool whole, double seconds, double *total, double *bound)
{
    solve_problem p = g->p;
    p.start = g->start, p.index = g->index, p.value = g->value, p.cost = g->cost;
    p.column_lo = g->lo, p.column_hi = g->hi, p.row_lo = g->row_lo, p.row_hi = g->row_hi;
    p.is_whole = whole ? g->whole : NULL;
    solve_answer a = {.x = g->x, .price = whole ? NULL : g->price};
    RETURN_IF(solve_choose(&p, seconds, 0.0, NULL, &a));
    *total = a.total;
    *bound = a.bound;
    return OK;
}

void grow_free(grow *g)
{
    free(g->start), free(g->index), free(g->value), free(g->cost), free(g->lo), free(g->hi);
    free(g->row_lo), free(g->row_hi), free(g->whole), free(g->x), free(g->price);
    *g = (grow){0};
}
