#include "tufa/base.h"

/* Heap sort: in place, no recursion, no call to a library that may allocate. */
static void sift(double *v, size_t root, size_t n)
{
    for (size_t child; (child = 2 * root + 1) < n; root = child) {
        if (child + 1 < n && v[child] < v[child + 1]) child++;
        if (v[root] >= v[child]) return;
        double t = v[root];
        v[root] = v[child];
        v[child] = t;
    }
}

static void sort(size_t n, double *v)
{
    for (size_t i = n / 2; i-- > 0;) sift(v, i, n);
    for (size_t end = n; end-- > 1;) {
        double t = v[0];
        v[0] = v[end];
        v[end] = t;
        sift(v, 0, end);
    }
}

double tufa_quantile(size_t n, double *v, double p)
{
    sort(n, v);
    double at = p * (double)(n - 1);
    size_t i = (size_t)at;
    if (i + 1 >= n) return v[n - 1];
    return v[i] + (at - (double)i) * (v[i + 1] - v[i]);
}
