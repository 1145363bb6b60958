/* Quantiles of many draws month after month: the order of the draws hardly changes, so it is kept and mended. */
#include "core/ahead/inner.h"

static void sift(const double *v, uint32_t *order, size_t root, size_t n)
{
    for (size_t child; (child = 2 * root + 1) < n; root = child) {
        if (child + 1 < n && v[order[child]] < v[order[child + 1]]) child++;
        if (v[order[root]] >= v[order[child]]) return;
        uint32_t t = order[root];
        order[root] = order[child];
        order[child] = t;
    }
}

static void sort_anew(size_t n, const double *v, uint32_t *order)
{
    for (size_t i = n / 2; i-- > 0;) sift(v, order, i, n);
    for (size_t end = n; end-- > 1;) {
        uint32_t t = order[0];
        order[0] = order[end];
        order[end] = t;
        sift(v, order, 0, end);
    }
}

void rank(size_t n, const double *v, uint32_t *order)
{
    size_t moves_left = 8 * n; /* beyond this a sort from scratch is quicker */
    for (size_t i = 1; i < n; i++) {
        uint32_t it = order[i];
        double x = v[it];
        size_t k = i;
        while (k > 0 && v[order[k - 1]] > x) {
            order[k] = order[k - 1];
            k--;
        }
        order[k] = it;
        if (i - k > moves_left) {
            sort_anew(n, v, order);
            return;
        }
        moves_left -= i - k;
    }
}

double ranked_at(size_t n, const double *v, const uint32_t *order, double p)
{
    double at = p * (double)(n - 1);
    size_t i = (size_t)at;
    if (i + 1 >= n) return v[order[n - 1]];
    double low = v[order[i]];
    return low + (at - (double)i) * (v[order[i + 1]] - low);
}

tufa_band ranked_band(size_t n, const double *v, const uint32_t *order)
{
    return (tufa_band){.p10 = ranked_at(n, v, order, 0.1), .p50 = ranked_at(n, v, order, 0.5),
                       .p90 = ranked_at(n, v, order, 0.9)};
}

tufa_band band_of(size_t n, const double *v, uint32_t *order)
{
    for (size_t i = 0; i < n; i++) order[i] = (uint32_t)i;
    rank(n, v, order);
    return ranked_band(n, v, order);
}
