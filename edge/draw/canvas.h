/* A surface to draw on, described once: SVG for pages and phone, Cairo for paper. Lengths in points, y downward. */
#ifndef EDGE_DRAW_CANVAS_H
#define EDGE_DRAW_CANVAS_H

#include <stddef.h>

#include "edge/say/text.h"

/* What a stroke or letter stands for; how it looks is one table for each surface. */
typedef enum draw_style {
#define X(id, css, red, green, blue, alpha, width, dash, size) DRAW_##id,
#include "edge/draw/styles.def"
#undef X
    DRAW_STYLE_COUNT
} draw_style;

typedef enum draw_anchor { DRAW_START, DRAW_MIDDLE, DRAW_END } draw_anchor;

typedef struct draw_canvas draw_canvas;
typedef struct draw_ops {
    void (*path)(draw_canvas *c, draw_style style, int closed, size_t n, const double *x, const double *y);
    void (*dot)(draw_canvas *c, draw_style style, double x, double y, double radius);
    void (*write)(draw_canvas *c, draw_style style, double x, double y, draw_anchor anchor, const char *s);
    double (*width)(draw_canvas *c, draw_style style, const char *s); /* of a text, in points */
    /* A value that can be read off under the pointer or by arrow keys; paper ignores it. */
    void (*reading)(draw_canvas *c, double x, double y, const char *words);
} draw_ops;
struct draw_canvas {
    const draw_ops *ops;
};

void draw_line(draw_canvas *c, draw_style style, double x0, double y0, double x1, double y1);
void draw_box(draw_canvas *c, draw_style style, double x, double y, double w, double h);

/* ---- SVG ---- */

typedef struct svg_canvas {
    draw_canvas canvas;
    text *out;
} svg_canvas;

/* Begins an <svg> of w x h points that scales to its column, with title and description for who cannot see it.
 * `id` is unique on the page and made of letters, digits and -. */
void svg_begin(svg_canvas *c, text *out, const char *id, double w, double h, const char *title, const char *description);
void svg_end(svg_canvas *c);

#endif
