#include "edge/draw/canvas.h"

void draw_line(draw_canvas *c, draw_style style, double x0, double y0, double x1, double y1)
{
    double x[] = {x0, x1}, y[] = {y0, y1};
    c->ops->path(c, style, 0, 2, x, y);
}

void draw_box(draw_canvas *c, draw_style style, double x, double y, double w, double h)
{
    double xs[] = {x, x + w, x + w, x}, ys[] = {y, y, y + h, y + h};
    c->ops->path(c, style, 1, 4, xs, ys);
}
