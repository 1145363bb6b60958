/* A chart, described once: what it shows, in which words. Drawn on any surface; its data also as a table. */
#ifndef EDGE_DRAW_CHART_H
#define EDGE_DRAW_CHART_H

#include "edge/draw/canvas.h"

enum { CHART_MAX_SERIES = 8, CHART_MAX_LEVELS = 6 };

typedef enum chart_kind { CHART_LINE, CHART_BAND, CHART_POINTS, CHART_STEPS } chart_kind;

typedef struct chart_series {
    chart_kind kind;
    const char *name;
    size_t n;
    const double *x, *y;   /* y of a band is its middle, drawn as a line */
    const double *lo, *hi; /* of a band, or of points with a spread; else NULL */
    const char *const *words; /* what to say of each point, or NULL for the figures */
} chart_series;

/* A horizontal line with its name: the height of the lower element, say. */
typedef struct chart_level {
    double y;
    const char *name;
} chart_level;

typedef struct chart {
    const char *id, *title, *description, *x_name, *y_name;
    chart_series series[CHART_MAX_SERIES];
    int series_count;
    chart_level level[CHART_MAX_LEVELS];
    int level_count;
    int y_from_zero;
    double x_lo, x_hi; /* both 0: from the data */
    /* How a value on the x or y axis is written; NULL writes the number. */
    void (*say_x)(text *t, double x);
    void (*say_y)(text *t, double y);
} chart;

/* Draws inside w x h points. A chart without data is a sentence that says so. */
void chart_draw(const chart *ch, draw_canvas *c, double w, double h);

/* The SVG of a chart, appended to `out`. */
void chart_svg(const chart *ch, text *out, double w, double h);

/* Round steps for an axis: at most `most` ticks of 1, 2 or 5 times a power of ten that cover lo..hi.
 * Answers the step; the first tick is the least multiple of it that is not below lo. */
double chart_step(double lo, double hi, int most);

#endif
