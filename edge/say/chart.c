#include "edge/say/chart.h"

#include <math.h>
#include <string.h>

enum { LABEL_COLUMNS = 7, TICK_YEARS = 5 };

typedef struct glyphs {
    const char *band, *mid, *mark, *upright, *corner, *axis, *tick;
} glyphs;
static const glyphs DRAWN = {"░", "●", "╌", "│", "└", "─", "┴"}, TYPED = {":", "o", "-", "|", "+", "-", "+"};

/* The smallest easily read number that is no less than x. */
static double round_up(double x)
{
    static const double STEP[] = {1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0};
    double power = pow(10.0, floor(log10(x)));
    for (size_t i = 0; i < sizeof STEP / sizeof STEP[0]; i++)
        if (STEP[i] * power >= x * (1.0 - 1e-9)) return STEP[i] * power;
    return 10.0 * power;
}

static double at(const chart *c, const double *y, double x)
{
    size_t i = 1;
    while (i + 1 < c->n && c->x[i] < x) i++;
    double share = (x - c->x[i - 1]) / (c->x[i] - c->x[i - 1]);
    return y[i - 1] + (y[i] - y[i - 1]) * fmin(fmax(share, 0.0), 1.0);
}

/* Height of the field: all of the band, and a mark as long as it does not press the band into a corner. */
static double field_top(const chart *c)
{
    double top = 1e-9;
    for (size_t i = 0; i < c->n; i++) top = fmax(top, c->hi[i]);
    double band = top;
    for (size_t i = 0; i < c->marks; i++)
        if (c->mark[i].y <= 2.0 * band) top = fmax(top, 1.04 * c->mark[i].y);
    return round_up(top / 4.0) * 4.0;
}

static const char *mark_in(const chart *c, double from, double to)
{
    for (size_t i = 0; i < c->marks; i++)
        if (c->mark[i].y >= from && c->mark[i].y < to) return c->mark[i].label;
    return NULL;
}

static void row(text *t, const chart *c, const glyphs *g, double from, double to)
{
    const char *label = mark_in(c, from, to);
    double x0 = c->x[0], dx = (c->x[c->n - 1] - x0) / (double)(c->columns - 1);
    size_t kept = t->len;
    for (size_t k = 0; k < c->columns; k++) {
        double x = x0 + dx * (double)k, mid = at(c, c->mid, x);
        bool on_mid = mid >= from && mid < to;
        bool in_band = at(c, c->lo, x) < to && at(c, c->hi, x) >= from;
        const char *glyph = on_mid ? g->mid : in_band ? g->band : label ? g->mark : " ";
        text_add(t, glyph);
        if (glyph[0] != ' ') kept = t->len;
    }
    if (label) {
        text_addf(t, " %s", label);
    } else if (!t->failed) { /* no blanks at the end of a line */
        t->len = kept;
        t->s[kept] = 0;
    }
    text_add(t, "\n");
}

static void years(text *t, const chart *c, const glyphs *g, size_t indent)
{
    double x0 = c->x[0], span = c->x[c->n - 1] - x0, per_year = (double)(c->columns - 1) / span;
    int first = (int)ceil(x0), step = span > 12.0 ? TICK_YEARS : span > 5.0 ? 2 : 1;
    text_pad_to(t, indent + LABEL_COLUMNS);
    text_add(t, g->corner);
    for (size_t k = 0; k < c->columns; k++) {
        bool tick = false;
        for (int y = first; y <= x0 + span; y++)
            tick |= y % step == 0 && (size_t)lround((y - x0) * per_year) == k;
        text_add(t, tick ? g->tick : g->axis);
    }
    text_add(t, "\n");
    for (int y = first; y <= x0 + span; y++) {
        if (y % step != 0) continue;
        size_t column = indent + LABEL_COLUMNS + 1 + (size_t)lround((y - x0) * per_year);
        text_pad_to(t, column >= 2 ? column - 2 : 0);
        text_addf(t, "%d", y);
    }
    text_add(t, "\n");
}

void say_chart(text *t, const chart *c, size_t indent)
{
    const glyphs *g = c->plain ? &TYPED : &DRAWN;
    double top = field_top(c), dy = top / (double)c->rows;
    text_pad_to(t, indent);
    text_addf(t, "%s\n", c->title);
    for (size_t r = c->rows + 1; r-- > 0;) { /* a row stands for the heights nearest to its label */
        text_pad_to(t, indent);
        if (r % (c->rows / 4) == 0) text_addf(t, "%*.4g", LABEL_COLUMNS - 1, dy * (double)r);
        text_pad_to(t, indent + LABEL_COLUMNS);
        text_add(t, g->upright);
        row(t, c, g, dy * ((double)r - 0.5), dy * ((double)r + 0.5));
    }
    years(t, c, g, indent);
    for (size_t i = 0; i < c->marks; i++) {
        if (c->mark[i].y <= top) continue;
        text_pad_to(t, indent + LABEL_COLUMNS);
        text_addf(t, "(%s: %.3g, above this chart)\n", c->mark[i].label, c->mark[i].y);
    }
}
