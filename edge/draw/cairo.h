/* The paper surface: the same drawings by Cairo, letters by Pango. */
#ifndef EDGE_DRAW_CAIRO_H
#define EDGE_DRAW_CAIRO_H

#include <cairo.h>

#include "edge/draw/canvas.h"

typedef struct cairo_canvas {
    draw_canvas canvas;
    cairo_t *cr;
} cairo_canvas;

/* Draws at (x, y) of `cr`, which must count in points; undone by cairo_canvas_end. */
void cairo_canvas_begin(cairo_canvas *c, cairo_t *cr, double x, double y);
void cairo_canvas_end(cairo_canvas *c);

#endif
