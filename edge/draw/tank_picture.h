/* One tank, to scale: shell, bed with its range, elements, sensors, port, layers of warm and cold water. */
#ifndef EDGE_DRAW_TANK_PICTURE_H
#define EDGE_DRAW_TANK_PICTURE_H

#include "edge/draw/canvas.h"

enum { PICTURE_MAX_PARTS = 12 };

typedef enum part_shape { PART_ROD, PART_SENSOR, PART_PORT, PART_TUBE, PART_BURNER } part_shape;

typedef struct picture_part {
    part_shape shape;
    double height_m;  /* above the floor; of a tube, its lower end */
    const char *name; /* "lower element, 5 in up" */
} picture_part;

typedef struct tank_picture {
    const char *id, *title, *description;
    double height_m, diameter_m;
    double bed_lo_m, bed_mid_m, bed_hi_m; /* depth at the middle of the floor: 10, 50, 90 % */
    const char *bed_words;                /* "about 3 in of sediment (1 to 5)" */
    picture_part part[PICTURE_MAX_PARTS];
    int parts;
    size_t layers;         /* bottom to top, equal heights; 0 draws plain water */
    const double *layer_K; /* temperatures */
    double cold_K, hot_K;  /* what the lightest and the fullest tint stand for */
    void (*say_height)(text *t, double m);
    void (*say_temperature)(text *t, double K);
} tank_picture;

/* Draws inside w x h points; the scale is the same both ways. */
void tank_picture_draw(const tank_picture *p, draw_canvas *c, double w, double h);
void tank_picture_svg(const tank_picture *p, text *out, double w, double h);

#endif
