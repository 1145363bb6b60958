/* A plot, described once: what it shows, in which words. Drawn on any surface; its data also as a table. */
#ifndef EDGE_DRAW_PLOT_H
#define EDGE_DRAW_PLOT_H

#include "edge/draw/canvas.h"

enum { PLOT_MAX_SERIES = 8, PLOT_MAX_LEVELS = 6 };

typedef enum plot_kind { PLOT_LINE, PLOT_BAND, PLOT_POINTS, PLOT_STEPS } plot_kind;

typedef struct plot_series {
    plot_kind kind;
    const char *name;
    size_t n;
    const double *x, *y;   /* y of a band is its middle, drawn as a line */
    const double *lo, *hi; /* of a band, or of points with a spread; else NULL */
    const char *const *words; /* what to say of each point, or NULL for the figures */
} plot_series;

/* A horizontal line with its name: the height of the lower element, say. */
typedef struct plot_level {
    double y;
    const char *name;
} plot_level;

typedef struct plot {
    const char *id, *title, *description, *x_name, *y_name;
    plot_series series[PLOT_MAX_SERIES];
    int series_count;
    plot_level level[PLOT_MAX_LEVELS];
    int level_count;
    int y_from_zero;
    double x_lo, x_hi; /* both 0: from the data */
    /* How a value on the x or y axis is written; NULL writes the number. */
    void (*say_x)(text *t, double x);
    void (*say_y)(text *t, double y);
} plot;

/* Draws inside w x h points. A plot without data is a sentence that says so. */
void plot_draw(const plot *p, draw_canvas *c, double w, double h);

/* The SVG of a plot, appended to `out`. */
void plot_svg(const plot *p, text *out, double w, double h);

/* Round steps for an axis: at most `most` ticks of 1, 2 or 5 times a power of ten that cover lo..hi.
 * Answers the step; the first tick is the least multiple of it that is not below lo. */
double plot_step(double lo, double hi, int most);

#endif
