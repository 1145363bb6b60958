#include "tests/published/published.h"

#include <stdlib.h>
#include <string.h>

enum { MOST = TUFA_PLAN_MAX_STOPS + 1 };

/* A matrix file: a head, then a place and its distances a line. Answers the number of places, 0 when it cannot be read. */
static size_t read_matrix(const char *name, double *cost)
{
    char path[128], line[4096];
    snprintf(path, sizeof path, "routing/%s_matrix.csv", name);
    FILE *f = row_open(path);
    size_t n = 0, k = 0;
    if (!f) return 0;
    if (!fgets(line, sizeof line, f)) line[0] = 0;
    while (n < MOST && fgets(line, sizeof line, f)) {
        char *s = strchr(line, ',');
        for (; s && k < (size_t)MOST * MOST; s = strchr(s, ',')) cost[k++] = strtod(++s, NULL);
        n++;
    }
    fclose(f);
    return k == n * n ? n : 0;
}

static tufa_status tour(row_inputs *in, double *value)
{
    static double cost[MOST * MOST];
    int order[MOST];
    size_t n = read_matrix(row_text(in, "instance"), cost), bytes = tufa_plan_tour_bytes(n);
    if (n == 0) return (tufa_status){.code = TUFA_IO, .field = "instance"};
    tufa_arena a = {.base = malloc(bytes), .size = bytes};
    tufa_status st = tufa_plan_tour(n, cost, &a, order, value);
    free(a.base);
    return st;
}

const row_kind plan_rows[] = {{"tour", tour}, {0}};
