#include "edge/draw/plot.h"

#include <math.h>
#include <string.h>

enum { TOP = 22, BOTTOM = 34, RIGHT = 14, LEFT_LEAST = 34, MOST_X_TICKS = 8, MOST_Y_TICKS = 6, LABEL_GAP = 6 };
static const double POINT_RADIUS = 3.2;

/* Where data lie on the surface. */
typedef struct frame {
    double left, top, right, bottom, x_lo, x_hi, y_lo, y_hi;
} frame;

double plot_step(double lo, double hi, int most)
{
    double raw = (hi - lo) / most;
    if (!(raw > 0.0)) return 1.0;
    double power = pow(10.0, floor(log10(raw))), m = raw / power;
    return power * (m <= 1.0 ? 1.0 : m <= 2.0 ? 2.0 : m <= 5.0 ? 5.0 : 10.0);
}

static double at_x(const frame *f, double x) { return f->left + (x - f->x_lo) / (f->x_hi - f->x_lo) * (f->right - f->left); }
static double at_y(const frame *f, double y) { return f->bottom - (y - f->y_lo) / (f->y_hi - f->y_lo) * (f->bottom - f->top); }

static void widen(double v, double *lo, double *hi)
{
    if (v < *lo) *lo = v;
    if (v > *hi) *hi = v;
}

static int data_range(const plot *ch, frame *f)
{
    f->x_lo = f->y_lo = INFINITY;
    f->x_hi = f->y_hi = -INFINITY;
    for (int s = 0; s < ch->series_count; s++)
        for (size_t i = 0; i < ch->series[s].n; i++) {
            const plot_series *q = &ch->series[s];
            widen(q->x[i], &f->x_lo, &f->x_hi);
            widen(q->y[i], &f->y_lo, &f->y_hi);
            if (q->lo) widen(q->lo[i], &f->y_lo, &f->y_hi);
            if (q->hi) widen(q->hi[i], &f->y_lo, &f->y_hi);
        }
    if (!(f->x_hi >= f->x_lo)) return 0;
    for (int i = 0; i < ch->level_count; i++) widen(ch->level[i].y, &f->y_lo, &f->y_hi);
    if (ch->x_hi > ch->x_lo) {
        f->x_lo = ch->x_lo;
        f->x_hi = ch->x_hi;
    }
    if (ch->y_from_zero) widen(0.0, &f->y_lo, &f->y_hi);
    if (f->x_hi == f->x_lo) f->x_lo -= 0.5, f->x_hi += 0.5;
    if (f->y_hi == f->y_lo) f->y_hi += f->y_hi == 0.0 ? 1.0 : fabs(f->y_hi) * 0.1;
    double step = plot_step(f->y_lo, f->y_hi, MOST_Y_TICKS);
    f->y_lo = floor(f->y_lo / step) * step;
    f->y_hi = ceil(f->y_hi / step) * step;
    return 1;
}

static const char *words_for(text *t, void (*say)(text *, double), double v)
{
    text_clear(t);
    if (say) say(t, v);
    else text_addf(t, "%g", v);
    return text_str(t);
}

static void y_axis(const plot *ch, draw_canvas *c, frame *f, text *t)
{
    double step = plot_step(f->y_lo, f->y_hi, MOST_Y_TICKS), widest = 0.0;
    int n = (int)floor((f->y_hi - f->y_lo) / step + 1e-9);
    for (int i = 0; i <= n; i++)
        widest = fmax(widest, c->ops->width(c, DRAW_SOFT, words_for(t, ch->say_y, f->y_lo + i * step)));
    f->left = fmax(LEFT_LEAST, widest + LABEL_GAP);
    for (int i = 0; i <= n; i++) {
        double v = f->y_lo + i * step, y = at_y(f, v);
        draw_line(c, i ? DRAW_GRID : DRAW_AXIS, f->left, y, f->right, y);
        c->ops->write(c, DRAW_SOFT, f->left - LABEL_GAP, y + 3.0, DRAW_END, words_for(t, ch->say_y, v));
    }
    c->ops->write(c, DRAW_SOFT, 0.0, f->top - 10.0, DRAW_START, ch->y_name);
}

static void x_axis(const plot *ch, draw_canvas *c, const frame *f, text *t)
{
    double widest = c->ops->width(c, DRAW_SOFT, words_for(t, ch->say_x, f->x_hi)) + 3.0 * LABEL_GAP;
    int most = (int)fmax(1.0, fmin(MOST_X_TICKS, (f->right - f->left) / widest));
    double step = plot_step(f->x_lo, f->x_hi, most);
    for (double v = ceil(f->x_lo / step - 1e-9) * step; v <= f->x_hi + 1e-9 * step; v += step) {
        double x = at_x(f, v);
        draw_line(c, DRAW_AXIS, x, f->bottom, x, f->bottom + 4.0);
        c->ops->write(c, DRAW_SOFT, x, f->bottom + 15.0, DRAW_MIDDLE, words_for(t, ch->say_x, v));
    }
    c->ops->write(c, DRAW_SOFT, f->right, f->bottom + 29.0, DRAW_END, ch->x_name);
}

enum { PIECE = 512 }; /* a long series is drawn in pieces of this many points */

static void band(const plot_series *q, draw_canvas *c, const frame *f)
{
    double x[2 * PIECE], y[2 * PIECE];
    for (size_t from = 0; from + 1 < q->n; from += PIECE - 1) {
        size_t n = q->n - from < PIECE ? q->n - from : PIECE;
        for (size_t i = 0; i < n; i++) {
            x[i] = at_x(f, q->x[from + i]);
            y[i] = at_y(f, q->hi[from + i]);
            x[2 * n - 1 - i] = x[i];
            y[2 * n - 1 - i] = at_y(f, q->lo[from + i]);
        }
        c->ops->path(c, DRAW_BAND, 1, 2 * n, x, y);
    }
}

static void curve(const plot_series *q, draw_canvas *c, const frame *f)
{
    double x[2 * PIECE], y[2 * PIECE];
    int steps = q->kind == PLOT_STEPS;
    for (size_t from = 0; from + 1 < q->n; from += PIECE - 1) {
        size_t n = q->n - from < PIECE ? q->n - from : PIECE, k = 0;
        for (size_t i = 0; i < n; i++) {
            if (steps && i > 0) {
                x[k] = at_x(f, q->x[from + i]);
                y[k] = y[k - 1];
                k++;
            }
            x[k] = at_x(f, q->x[from + i]);
            y[k++] = at_y(f, q->y[from + i]);
        }
        c->ops->path(c, DRAW_LINE, 0, k, x, y);
    }
}

static void points(const plot_series *q, draw_canvas *c, const frame *f)
{
    for (size_t i = 0; i < q->n; i++) {
        double x = at_x(f, q->x[i]);
        if (q->lo && q->hi) draw_line(c, DRAW_WHISKER, x, at_y(f, q->lo[i]), x, at_y(f, q->hi[i]));
        c->ops->dot(c, DRAW_POINT, x, at_y(f, q->y[i]), POINT_RADIUS);
    }
}

static void readings(const plot *ch, const plot_series *q, draw_canvas *c, const frame *f, text *t)
{
    for (size_t i = 0; i < q->n; i++) {
        if (q->words) {
            c->ops->reading(c, at_x(f, q->x[i]), at_y(f, q->y[i]), q->words[i]);
            continue;
        }
        text say = {0};
        text_addf(&say, "%s: ", words_for(t, ch->say_x, q->x[i]));
        text_add(&say, words_for(t, ch->say_y, q->y[i]));
        if (q->lo && q->hi) {
            text_addf(&say, " (%s", words_for(t, ch->say_y, q->lo[i]));
            text_addf(&say, " to %s)", words_for(t, ch->say_y, q->hi[i]));
        }
        c->ops->reading(c, at_x(f, q->x[i]), at_y(f, q->y[i]), text_str(&say));
        text_free(&say);
    }
}

static void levels(const plot *ch, draw_canvas *c, const frame *f)
{
    for (int i = 0; i < ch->level_count; i++) {
        double y = at_y(f, ch->level[i].y);
        draw_line(c, DRAW_LEVEL, f->left, y, f->right, y);
        c->ops->write(c, DRAW_LABEL, f->left + LABEL_GAP, y - 4.0, DRAW_START, ch->level[i].name);
    }
}

void plot_draw(const plot *ch, draw_canvas *c, double w, double h)
{
    frame f = {.left = LEFT_LEAST, .top = TOP, .right = w - RIGHT, .bottom = h - BOTTOM};
    if (!data_range(ch, &f)) {
        c->ops->write(c, DRAW_LABEL, 0.0, TOP, DRAW_START, "There is nothing to draw yet.");
        return;
    }
    text t = {0};
    y_axis(ch, c, &f, &t);
    x_axis(ch, c, &f, &t);
    for (int s = 0; s < ch->series_count; s++)
        if (ch->series[s].kind == PLOT_BAND) band(&ch->series[s], c, &f);
    levels(ch, c, &f);
    for (int s = 0; s < ch->series_count; s++) {
        const plot_series *q = &ch->series[s];
        if (q->kind == PLOT_POINTS) points(q, c, &f);
        else curve(q, c, &f);
    }
    for (int s = 0; s < ch->series_count; s++) readings(ch, &ch->series[s], c, &f, &t);
    text_free(&t);
}

void plot_svg(const plot *ch, text *out, double w, double h)
{
    svg_canvas svg;
    svg_begin(&svg, out, ch->id, w, h, ch->title, ch->description);
    plot_draw(ch, &svg.canvas, w, h);
    svg_end(&svg);
}
