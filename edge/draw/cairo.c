#include "edge/draw/cairo.h"

#include <math.h>
#include <pango/pangocairo.h>

static const double PI = 3.14159265358979323846;

static const struct {
    double red, green, blue, alpha, width, dash, size;
} STYLES[DRAW_STYLE_COUNT] = {
#define X(id, css, red, green, blue, alpha, width, dash, size) [DRAW_##id] = {red, green, blue, alpha, width, dash, size},
#include "edge/draw/styles.def"
#undef X
};

static cairo_t *take(draw_canvas *c, draw_style style)
{
    cairo_t *cr = ((cairo_canvas *)c)->cr;
    cairo_set_source_rgba(cr, STYLES[style].red, STYLES[style].green, STYLES[style].blue, STYLES[style].alpha);
    return cr;
}

static void path(draw_canvas *c, draw_style style, int closed, size_t n, const double *x, const double *y)
{
    cairo_t *cr = take(c, style);
    cairo_new_path(cr);
    for (size_t i = 0; i < n; i++) cairo_line_to(cr, x[i], y[i]);
    if (closed) cairo_close_path(cr);
    if (STYLES[style].width == 0.0) {
        cairo_fill(cr);
        return;
    }
    cairo_set_line_width(cr, STYLES[style].width);
    cairo_set_dash(cr, &STYLES[style].dash, STYLES[style].dash > 0.0, 0.0);
    cairo_stroke(cr);
}

static void dot(draw_canvas *c, draw_style style, double x, double y, double radius)
{
    cairo_t *cr = take(c, style);
    cairo_new_path(cr);
    cairo_arc(cr, x, y, radius, 0.0, 2.0 * PI);
    cairo_fill(cr);
}

/* Pango takes 96 dots an inch for granted; a PDF counts points. */
static PangoLayout *layout_of(cairo_t *cr, draw_style style, const char *s)
{
    PangoLayout *l = pango_cairo_create_layout(cr);
    pango_cairo_context_set_resolution(pango_layout_get_context(l), 72.0);
    pango_layout_context_changed(l);
    PangoFontDescription *font = pango_font_description_from_string("DejaVu Sans");
    pango_font_description_set_size(font, (int)(STYLES[style].size * PANGO_SCALE));
    pango_layout_set_font_description(l, font);
    pango_font_description_free(font);
    pango_layout_set_text(l, s, -1);
    return l;
}

static double layout_width(PangoLayout *l)
{
    int w, h;
    pango_layout_get_size(l, &w, &h);
    return (double)w / PANGO_SCALE;
}

static void write(draw_canvas *c, draw_style style, double x, double y, draw_anchor anchor, const char *s)
{
    cairo_t *cr = take(c, style);
    PangoLayout *l = layout_of(cr, style, s);
    double w = layout_width(l);
    cairo_move_to(cr, x - (anchor == DRAW_MIDDLE ? 0.5 * w : anchor == DRAW_END ? w : 0.0),
                  y - (double)pango_layout_get_baseline(l) / PANGO_SCALE);
    pango_cairo_show_layout(cr, l);
    g_object_unref(l);
}

static double width(draw_canvas *c, draw_style style, const char *s)
{
    PangoLayout *l = layout_of(((cairo_canvas *)c)->cr, style, s);
    double w = layout_width(l);
    g_object_unref(l);
    return w;
}

static void reading(draw_canvas *c, double x, double y, const char *words) { (void)c, (void)x, (void)y, (void)words; }

static const draw_ops CAIRO_OPS = {path, dot, write, width, reading};

void cairo_canvas_begin(cairo_canvas *c, cairo_t *cr, double x, double y)
{
    *c = (cairo_canvas){.canvas = {&CAIRO_OPS}, .cr = cr};
    cairo_save(cr);
    cairo_translate(cr, x, y);
}

void cairo_canvas_end(cairo_canvas *c) { cairo_restore(c->cr); }
