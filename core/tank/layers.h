/* What happens between layers, as arithmetic on one column of temperatures, bottom first. Inlined into step.c, which is
 * built for several vector widths; each kernel gives the same bits at any of them. */
#ifndef CORE_TANK_LAYERS_H
#define CORE_TANK_LAYERS_H

#include <assert.h>
#include <string.h>

#include "core/base/clones.h"
#include "tufa/tank.h"

enum { ROOM = TUFA_TANK_MAX_LAYERS + 8 };

/* Plain comparisons, since fmin and fmax are calls unless non-numbers may be ignored. */
ALWAYS_INLINE double least(double a, double b) { return a < b ? a : b; }
ALWAYS_INLINE double most(double a, double b) { return a > b ? a : b; }

/* Limited slope between differences to both sides: the mean, but no more than twice the smaller (monotonized central, van
 * Leer 1977). A stable column rises with height; where it does not, at a front turned over or below 4 C, no slope is taken. */
ALWAYS_INLINE double limited(double below, double above)
{
    return most(least(0.5 * (below + above), 2.0 * least(below, above)), 0.0);
}

/* Water rises by `c` of a layer (0 < c <= 1): cold enters below layer 0, the top runs out. Second order, limited so
 * that a front neither smears nor overshoots. Answers the temperature that ran out. */
ALWAYS_INLINE double rise(double *restrict theta, int n, double c, double cold)
{
    double face[ROOM], half = 0.5 * (1.0 - c);
    face[0] = theta[0] + half * limited(theta[0] - cold, n > 1 ? theta[1] - theta[0] : 0.0);
    for (int i = 1; i < n - 1; i++) face[i] = theta[i] + half * limited(theta[i] - theta[i - 1], theta[i + 1] - theta[i]);
    if (n > 1) face[n - 1] = theta[n - 1]; /* beyond the top nothing is known: no slope there */
    else face[0] = theta[0];
    theta[0] -= c * (face[0] - cold);
    for (int i = 1; i < n; i++) theta[i] -= c * (face[i] - face[i - 1]);
    return face[n - 1];
}

/* How much the layers colder than `target` lack, summed. Eight sums side by side, so that every vector width adds alike. */
ALWAYS_INLINE double colder_by(const double *theta, int n, double target)
{
    double part[8] = {0};
    int i = 0;
    for (; i + 8 <= n; i += 8)
        for (int k = 0; k < 8; k++) part[k] += most(target - theta[i + k], 0.0);
    for (int k = 0; i + k < n; k++) part[k] += most(target - theta[i + k], 0.0);
    return ((part[0] + part[4]) + (part[2] + part[6])) + ((part[1] + part[5]) + (part[3] + part[7]));
}

/* The lowest `layers` (not whole) are stirred to one temperature. */
ALWAYS_INLINE void stir(double *restrict theta, int n, double layers)
{
    int whole = (int)layers;
    if (whole >= n) whole = n - 1;
    double part = least(layers - whole, 1.0), odd = part * theta[whole], even = 0.0;
    int i = 0;
    for (; i + 2 <= whole; i += 2) even += theta[i], odd += theta[i + 1]; /* two sums need not wait for one another */
    if (i < whole) even += theta[i];
    const double sum = even + odd;
    double mean = sum / (whole + part);
    for (i = 0; i < whole; i++) theta[i] = mean;
    theta[whole] += part * (mean - theta[whole]);
}

enum { FOUR = 4, PADDED = ROOM + 2 * FOUR };
static_assert(TUFA_TANK_MAX_LAYERS % FOUR == 0, "columns are copied by four");

/* By four, so that nothing is called: columns have room for what is copied beyond the last. */
ALWAYS_INLINE void copy_column(double *restrict to, const double *restrict from, int n)
{
    for (int i = 0; i < n; i += FOUR) memcpy(to + i, from + i, FOUR * sizeof *to);
}

ALWAYS_INLINE void level(double *restrict theta, int from, int end, double mean)
{
    for (int i = from; i < end; i++) theta[i] = mean;
}

/* Conduction along the height with number r = k dt / (rho cp dz^2), and loss towards `room` by g of each layer. The ends
 * are computed like the rest, so that layers at one temperature stay at one to the last bit. */
ALWAYS_INLINE void conduct_and_lose(const double *restrict from, double *restrict to, int n, double r, double g, double room)
{
    const double keep = 1.0 - 2.0 * r - g, gain = g * room;
    to[0] = keep * from[0] + r * (from[0] + from[1]) + gain;
    for (int i = 1; i < n - 1; i++) to[i] = keep * from[i] + r * (from[i - 1] + from[i + 1]) + gain;
    to[n - 1] = keep * from[n - 1] + r * (from[n - 2] + from[n - 1]) + gain;
}

/* Four of those in one pass. Four steps of three weights are one step of nine, and an end that lets nothing through is a
 * mirror: what would lie beyond is put there, so that the ends again are computed like the rest. */
ALWAYS_INLINE void conduct_and_lose_4(double *theta, int n, double r, double g, double room)
{
    const double keep = 1.0 - 2.0 * r - g, gain = g * room;
    const double a = keep * keep + 2.0 * r * r, b = 2.0 * keep * r, c = r * r; /* two steps: middle, first and second neighbours */
    const double w0 = a * a + 2.0 * b * b + 2.0 * c * c, w1 = 2.0 * a * b + 2.0 * b * c, w2 = 2.0 * a * c + b * b;
    const double w3 = 2.0 * b * c, w4 = c * c, left = 1.0 - g, all = gain * (1.0 + left * (1.0 + left * (1.0 + left)));
    double padded[PADDED], *x = padded + FOUR;
    copy_column(x, theta, n);
    for (int k = 0; k < FOUR; k++) x[-1 - k] = x[k], x[n + k] = x[n - 1 - k];
    for (int i = 0; i < n; i++)
        theta[i] = (w0 * x[i] + w1 * (x[i - 1] + x[i + 1])) + (w2 * (x[i - 2] + x[i + 2]) + w3 * (x[i - 3] + x[i + 3])) +
                   (w4 * (x[i - 4] + x[i + 4]) + all);
}

/* Where the top of the column, all at one temperature to the last bit, begins. */
ALWAYS_INLINE int alike_from(const double *theta, int n)
{
    int i = n - 1;
    while (i > 0 && theta[i - 1] == theta[n - 1]) i--;
    return i;
}

/* Layers from some layer up to `end` that come to one temperature, sum / count. */
typedef struct plume {
    double sum, count;
    int end;
} plume;

ALWAYS_INLINE double mean_of(const plume *b) { return b->count > 1.0 ? b->sum / b->count : b->sum; }

/* A block takes in the layers above it that are colder, compared without division. The column there is stable, so a block
 * that is warmer than the highest of eight with the others in it takes all eight; and those from `alike` on, which are at one
 * temperature, all or none. */
ALWAYS_INLINE void take_in(const double *restrict theta, int alike, int n, plume *b)
{
    for (; b->end + 8 <= alike; b->end += 8, b->count += 8.0) {
        const double *t = theta + b->end;
        double sum = b->sum + (((t[0] + t[4]) + (t[2] + t[6])) + ((t[1] + t[5]) + (t[3] + t[7])));
        if (t[7] * (b->count + 8.0) >= sum) break;
        b->sum = sum;
    }
    for (; b->end < alike && theta[b->end] * b->count < b->sum; b->end++, b->count += 1.0) b->sum += theta[b->end];
    if (b->end < alike || b->end >= n || theta[b->end] * b->count >= b->sum) return;
    double more = n - b->end;
    b->sum += more * theta[b->end];
    b->count += more;
    b->end = n;
}

/* Layers from `first` up were warmed in a column that is stable above them: each rises into what is colder, from the
 * highest down. `b` is the block that stands from layer `from` up. Answers the one that `first` comes to stand in; bringing
 * that to its mean is left to the caller. `alike` is kept up to date, but for that block. */
ALWAYS_INLINE plume rise_from(double *restrict theta, int *alike, int n, int first, int from, plume b)
{
    take_in(theta, *alike, n, &b);
    for (int i = from - 1; i >= first; i--) {
        if (theta[i] * b.count > b.sum) {
            b.sum += theta[i], b.count += 1.0;
            take_in(theta, *alike, n, &b);
        } else {
            level(theta, i + 1, b.end, mean_of(&b));
            if (b.end == n) *alike = i + 1;
            b = (plume){.sum = theta[i], .count = 1.0, .end = i + 1};
        }
    }
    return b;
}

/* Is any layer lighter than the one above it? */
ALWAYS_INLINE bool upside_down(const double *restrict theta, int n)
{
    long long count = 0;
    for (int i = 0; i + 1 < n; i++) count += theta[i] > theta[i + 1] + 1e-9;
    return count != 0;
}

/* Water is heaviest at 3.98 C and its density falls alike to both sides (to 0.01 kg/m3 between 0 and 8 C). Water of
 * constant properties is the lighter the warmer. */
ALWAYS_INLINE double lightness(double theta, bool real_water)
{
    const double heaviest = 3.98;
    return real_water && theta < heaviest ? 2.0 * heaviest - theta : theta;
}

/* Any column to a stable one: neighbours that stand wrongly are mixed, and what they become with theirs, until none do
 * (pool adjacent violators; one pass, energy exact). Answers whether any did. */
ALWAYS_INLINE bool settle(double *restrict theta, int n, bool real_water)
{
    bool any = false;
    for (int i = 1; i < n; i++) {
        if (lightness(theta[i - 1], real_water) <= lightness(theta[i], real_water)) continue;
        int from = i - 1, end = i + 1;
        double sum = theta[from] + theta[i], mean = 0.5 * sum;
        for (;;) {
            double light = lightness(mean, real_water);
            if (from > 0 && lightness(theta[from - 1], real_water) > light) sum += theta[--from];
            else if (end < n && light > lightness(theta[end], real_water)) sum += theta[end++];
            else break;
            mean = sum / (end - from);
        }
        level(theta, from, end, mean);
        i = end - 1;
        any = true;
    }
    return any;
}

#endif
