#include <math.h>

#include "tufa/plan.h"

size_t tufa_plan_areas(size_t n, const tufa_plan_visit *visit, size_t m, const double *travel_s, size_t most, int *area)
{
    size_t areas = 0, left = n;
    for (size_t i = 0; i < n; i++) area[i] = -1;
    while (left > 0) {
        size_t seed = n;
        for (size_t i = 0; i < n; i++)
            if (area[i] < 0 && (seed == n || travel_s[visit[i].place] > travel_s[visit[seed].place])) seed = i;
        for (size_t k = 0; k < most && left > 0; k++, left--) {
            size_t near = n;
            double least = INFINITY;
            for (size_t i = 0; i < n; i++) {
                double d = travel_s[(size_t)visit[seed].place * m + (size_t)visit[i].place];
                if (area[i] < 0 && d < least) least = d, near = i;
            }
            area[near] = (int)areas;
        }
        areas++;
    }
    return areas;
}
