#include "edge/draw/canvas.h"

/* Mean width of a letter of a plain sans-serif face, in ems: common practice, no source. Labels keep clear by it. */
static const double EM_PER_LETTER = 0.56;

static const struct {
    const char *css;
    double size;
    int fills;
} STYLES[DRAW_STYLE_COUNT] = {
#define X(id, css, red, green, blue, alpha, width, dash, size) [DRAW_##id] = {css, size, (width) == 0},
#include "edge/draw/styles.def"
#undef X
};

static text *out_of(draw_canvas *c) { return ((svg_canvas *)c)->out; }

static void escaped(text *t, const char *s)
{
    for (; *s; s++) {
        if (*s == '&') text_add(t, "&amp;");
        else if (*s == '<') text_add(t, "&lt;");
        else if (*s == '>') text_add(t, "&gt;");
        else if (*s == '"') text_add(t, "&quot;");
        else text_addn(t, s, 1);
    }
}

static void path(draw_canvas *c, draw_style style, int closed, size_t n, const double *x, const double *y)
{
    text *t = out_of(c);
    text_addf(t, "<path class=\"%s%s\" d=\"", STYLES[style].css, STYLES[style].fills ? "" : " d-stroke");
    for (size_t i = 0; i < n; i++) text_addf(t, "%c%.1f %.1f", i ? 'L' : 'M', x[i], y[i]);
    text_add(t, closed ? "Z\"/>" : "\"/>");
}

static void dot(draw_canvas *c, draw_style style, double x, double y, double radius)
{
    text_addf(out_of(c), "<circle class=\"%s\" cx=\"%.1f\" cy=\"%.1f\" r=\"%.1f\"/>", STYLES[style].css, x, y, radius);
}

static void write(draw_canvas *c, draw_style style, double x, double y, draw_anchor anchor, const char *s)
{
    static const char *const anchors[] = {"start", "middle", "end"};
    text *t = out_of(c);
    text_addf(t, "<text class=\"%s\" x=\"%.1f\" y=\"%.1f\" text-anchor=\"%s\">", STYLES[style].css, x, y, anchors[anchor]);
    escaped(t, s);
    text_add(t, "</text>");
}

static double width(draw_canvas *c, draw_style style, const char *s)
{
    (void)c;
    size_t letters = 0;
    for (; *s; s++) letters += ((unsigned char)*s & 0xC0) != 0x80;
    return (double)letters * STYLES[style].size * EM_PER_LETTER;
}

static void reading(draw_canvas *c, double x, double y, const char *words)
{
    text *t = out_of(c);
    text_addf(t, "<circle class=\"d-reading\" cx=\"%.1f\" cy=\"%.1f\" r=\"3\" data-reading=\"", x, y);
    escaped(t, words);
    text_add(t, "\"/>");
}

static const draw_ops SVG_OPS = {path, dot, write, width, reading};

void svg_begin(svg_canvas *c, text *out, const char *id, double w, double h, const char *title, const char *description)
{
    *c = (svg_canvas){.canvas = {&SVG_OPS}, .out = out};
    text_addf(out, "<svg class=\"drawing\" id=\"%s\" viewBox=\"0 0 %.0f %.0f\" role=\"img\" aria-labelledby=\"%s-title %s-desc\">"
                   "<title id=\"%s-title\">", id, w, h, id, id, id);
    escaped(out, title);
    text_addf(out, "</title><desc id=\"%s-desc\">", id);
    escaped(out, description);
    text_add(out, "</desc>");
}

void svg_end(svg_canvas *c) { text_add(c->out, "</svg>"); }
