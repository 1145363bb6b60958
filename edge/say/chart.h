/* A small chart in text: a line with its band over the years, and heights worth naming. */
#ifndef EDGE_SAY_CHART_H
#define EDGE_SAY_CHART_H

#include "edge/say/text.h"

enum { CHART_MAX_MARKS = 4 };

typedef struct chart_mark {
    double y;
    const char *label; /* "lower element" */
} chart_mark;

typedef struct chart {
    const char *title;              /* with the unit: "bed depth, inches" */
    size_t n;                       /* points, two or more, x rising */
    const double *x;                /* years with fractions: 2026.9 */
    const double *lo, *mid, *hi;    /* the 10, 50 and 90 % values, none below 0 */
    chart_mark mark[CHART_MAX_MARKS];
    size_t marks;
    size_t columns, rows;           /* of the plotted field, without axis and labels; rows a multiple of 4 */
    bool plain;                     /* ASCII alone */
} chart;

/* The chart, each line behind `indent` spaces; a mark above the field is told in a line below it. */
void say_chart(text *t, const chart *c, size_t indent);

#endif
