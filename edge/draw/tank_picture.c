#include "edge/draw/tank_picture.h"

#include <math.h>

enum { MARGIN = 14, LEFT_WORDS = 60, TINTS = 6, LABEL_APART = 13 };

typedef struct place {
    double left, right, floor_y, top_y, m; /* points a metre */
} place;

static double at(const place *f, double height_m) { return f->floor_y - height_m * f->m; }

static place fit(const tank_picture *p, double w, double h)
{
    double m = fmin((h - 2 * MARGIN) / p->height_m, 0.42 * w / p->diameter_m);
    place f = {.m = m, .left = LEFT_WORDS};
    f.right = f.left + p->diameter_m * m;
    f.top_y = 0.5 * (h - p->height_m * m);
    f.floor_y = f.top_y + p->height_m * m;
    return f;
}

/* Warm water is a fuller tint of the one hue: that many boxes of the same colour, one on another. */
static void water(const tank_picture *p, draw_canvas *c, const place *f)
{
    if (p->layers == 0) {
        draw_box(c, DRAW_WATER, f->left, f->top_y, f->right - f->left, f->floor_y - f->top_y);
        return;
    }
    double dz = p->height_m / (double)p->layers;
    for (size_t i = 0; i < p->layers; i++) {
        double share = (p->layer_K[i] - p->cold_K) / (p->hot_K - p->cold_K);
        int tint = (int)fmax(0.0, fmin(TINTS - 1.0, share * TINTS));
        draw_box(c, (draw_style)(DRAW_TINT_1 + tint), f->left, at(f, dz * (double)(i + 1)), f->right - f->left, dz * f->m + 1.0);
    }
}

static void bed(const tank_picture *p, draw_canvas *c, const place *f)
{
    double w = f->right - f->left;
    if (p->bed_hi_m > 0.0) draw_box(c, DRAW_BED_MAYBE, f->left, at(f, p->bed_hi_m), w, p->bed_hi_m * f->m);
    if (p->bed_mid_m > 0.0) draw_box(c, DRAW_BED, f->left, at(f, p->bed_mid_m), w, p->bed_mid_m * f->m);
}

static void part(const picture_part *q, draw_canvas *c, const place *f)
{
    double y = at(f, q->height_m), w = f->right - f->left, mid = 0.5 * (f->left + f->right);
    switch (q->shape) {
    case PART_ROD:
        draw_line(c, DRAW_PART, f->right, y - 2.0, f->right - 0.75 * w, y - 2.0);
        draw_line(c, DRAW_PART, f->right, y + 2.0, f->right - 0.75 * w, y + 2.0);
        break;
    case PART_SENSOR: draw_box(c, DRAW_POINT, f->right - 2.0, y - 4.0, 4.0, 8.0); break;
    case PART_PORT: draw_box(c, DRAW_POINT, f->right, y - 2.0, 8.0, 4.0); break;
    case PART_TUBE: draw_line(c, DRAW_HAIR, mid - 0.25 * w, f->top_y - 8.0, mid - 0.25 * w, y); break;
    case PART_BURNER: draw_line(c, DRAW_PART, f->left + 0.25 * w, f->floor_y + 6.0, f->right - 0.25 * w, f->floor_y + 6.0); break;
    }
}

/* Names stand right of the tank, each beside its part, moved apart where they would touch. */
static void names(const tank_picture *p, draw_canvas *c, const place *f)
{
    double last = f->floor_y + 2.0 * LABEL_APART;
    int done[PICTURE_MAX_PARTS] = {0};
    for (int k = 0; k < p->parts; k++) {
        int low = -1;
        for (int i = 0; i < p->parts; i++)
            if (!done[i] && (low < 0 || p->part[i].height_m < p->part[low].height_m)) low = i;
        done[low] = 1;
        double y = at(f, p->part[low].height_m), words_y = fmin(y, last - LABEL_APART);
        last = words_y;
        draw_line(c, DRAW_HAIR, f->right + 9.0, y, f->right + 20.0, words_y);
        c->ops->write(c, DRAW_LABEL, f->right + 23.0, words_y + 3.5, DRAW_START, p->part[low].name);
    }
}

static void heights(const tank_picture *p, draw_canvas *c, const place *f)
{
    text t = {0};
    double marks[] = {0.0, 0.5 * p->height_m, p->height_m};
    for (size_t i = 0; i < 3; i++) {
        text_clear(&t);
        p->say_height(&t, marks[i]);
        double y = at(f, marks[i]);
        draw_line(c, DRAW_HAIR, f->left - 5.0, y, f->left, y);
        c->ops->write(c, DRAW_SOFT, f->left - 7.0, y + 3.0, DRAW_END, text_str(&t));
    }
    text_free(&t);
}

static void layer_readings(const tank_picture *p, draw_canvas *c, const place *f)
{
    text t = {0};
    double dz = p->layers ? p->height_m / (double)p->layers : 0.0;
    for (size_t i = 0; i < p->layers; i++) {
        text_clear(&t);
        p->say_height(&t, dz * ((double)i + 0.5));
        text_add(&t, " up: ");
        p->say_temperature(&t, p->layer_K[i]);
        c->ops->reading(c, 0.5 * (f->left + f->right), at(f, dz * ((double)i + 0.5)), text_str(&t));
    }
    text_free(&t);
}

void tank_picture_draw(const tank_picture *p, draw_canvas *c, double w, double h)
{
    place f = fit(p, w, h);
    water(p, c, &f);
    bed(p, c, &f);
    double x[] = {f.left, f.right, f.right, f.left}, y[] = {f.top_y, f.top_y, f.floor_y, f.floor_y};
    c->ops->path(c, DRAW_SHELL, 1, 4, x, y);
    for (int i = 0; i < p->parts; i++) part(&p->part[i], c, &f);
    names(p, c, &f);
    heights(p, c, &f);
    if (p->bed_words) c->ops->write(c, DRAW_SOFT, f.left, h - 3.0, DRAW_START, p->bed_words);
    layer_readings(p, c, &f);
}

void tank_picture_svg(const tank_picture *p, text *out, double w, double h)
{
    svg_canvas svg;
    svg_begin(&svg, out, p->id, w, h, p->title, p->description);
    tank_picture_draw(p, &svg.canvas, w, h);
    svg_end(&svg);
}
