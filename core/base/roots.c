#include "core/base/status.h"

#include <math.h>

/* Brent's step: inverse quadratic or secant where it stays inside the bracket and shrinks it, else bisection. */
typedef struct bracket {
    double a, b, c, fa, fb, fc, d, e;
} bracket;

static void order(bracket *s)
{
    if ((s->fb > 0.0) == (s->fc > 0.0)) {
        s->c = s->a;
        s->fc = s->fa;
        s->d = s->e = s->b - s->a;
    }
    if (fabs(s->fc) < fabs(s->fb)) {
        s->a = s->b, s->b = s->c, s->c = s->a;
        s->fa = s->fb, s->fb = s->fc, s->fc = s->fa;
    }
}

static void choose_step(bracket *s, double tol, double m)
{
    if (fabs(s->e) < tol || fabs(s->fa) <= fabs(s->fb)) {
        s->d = s->e = m;
        return;
    }
    double r = s->fb / s->fa, p, q;
    if (s->a == s->c) {
        p = 2.0 * m * r;
        q = 1.0 - r;
    } else {
        double t = s->fa / s->fc, w = s->fb / s->fc;
        p = r * (2.0 * m * t * (t - w) - (s->b - s->a) * (w - 1.0));
        q = (t - 1.0) * (w - 1.0) * (r - 1.0);
    }
    if (p > 0.0) q = -q;
    p = fabs(p);
    if (2.0 * p < fmin(3.0 * m * q - fabs(tol * q), fabs(s->e * q))) {
        s->e = s->d;
        s->d = p / q;
    } else {
        s->d = s->e = m;
    }
}

tufa_status tufa_root(tufa_fn f, void *ctx, double lo, double hi, double x_tol, int cap, double *x)
{
    bracket s = {.a = lo, .b = hi, .fa = f(lo, ctx), .fb = f(hi, ctx)};
    if (!(s.fa * s.fb <= 0.0))
        return (tufa_status){.code = TUFA_RANGE, .field = "bracket", .got = s.fa, .lo = lo, .hi = hi,
                             .why = "no change of sign between the ends"};
    s.c = s.a, s.fc = s.fa, s.d = s.e = s.b - s.a;
    for (int i = 0; i < cap; i++) {
        order(&s);
        double tol = 2.0 * 0x1p-52 * fabs(s.b) + 0.5 * x_tol, m = 0.5 * (s.c - s.b);
        if (fabs(m) <= tol || s.fb == 0.0) {
            *x = s.b;
            return OK;
        }
        choose_step(&s, tol, m);
        s.a = s.b, s.fa = s.fb;
        s.b += fabs(s.d) > tol ? s.d : copysign(tol, m);
        s.fb = f(s.b, ctx);
    }
    return (tufa_status){.code = TUFA_SOLVE, .field = "root", .got = s.b, .lo = lo, .hi = hi};
}
