/* The drawings of one heater, for pages and paper: its tank to scale, an hour of a day in it, and the bed ahead. */
#ifndef EDGE_DESK_DRAWINGS_H
#define EDGE_DESK_DRAWINGS_H

#include "edge/desk/answers.h"
#include "edge/draw/plot.h"
#include "edge/draw/tank_picture.h"

/* ---- the tank ---- */

enum { DRAWN_LAYERS = TUFA_TANK_MAX_LAYERS, DAY_HOURS = 24 };

/* Words and layers of a picture; do not copy, the picture points into it. */
typedef struct heater_picture {
    tank_picture picture;
    char title[160], description[400], bed[160], part[PICTURE_MAX_PARTS][80];
    double layer_K[DRAWN_LAYERS];
} heater_picture;

/* The tank as known, with today's bed; plain water. `id` is that of the drawing on its page. */
void draw_heater(const ahead_answer *a, const char *id, heater_picture *out);

/* ---- a day in it ---- */

/* The second of two like days, so that it begins as it ends; layers at each full hour, 0 to 24. */
typedef struct heater_hours {
    int layers;
    double K[DAY_HOURS + 1][DRAWN_LAYERS];
    double drawn_m3[DAY_HOURS + 1];   /* in the hour before */
    double on_share[DAY_HOURS + 1];   /* of the hour before in which it heats */
    double coldest_K, hottest_K;      /* of all */
} heater_hours;
TUFA_MUST_CHECK tufa_status desk_heater_hours(const ahead_answer *a, heater_hours *out);
/* As draw_heater, with the layers of an hour. */
void draw_heater_hour(const ahead_answer *a, const heater_hours *h, int hour, const char *id, heater_picture *out);

/* ---- the bed ahead ---- */

enum { BED_POINTS = YEAR_HORIZON + 1 };

typedef struct bed_plot {
    plot plot;
    char title[160], description[400];
    double x[BED_POINTS], lo[BED_POINTS], mid[BED_POINTS], hi[BED_POINTS];
    double found_x[TUFA_AHEAD_MAX_FINDINGS], found_y[TUFA_AHEAD_MAX_FINDINGS], found_lo[TUFA_AHEAD_MAX_FINDINGS],
        found_hi[TUFA_AHEAD_MAX_FINDINGS];
    double cleaned_x[TUFA_AHEAD_MAX_FINDINGS], cleaned_y[TUFA_AHEAD_MAX_FINDINGS];
    char found_words[TUFA_AHEAD_MAX_FINDINGS][120], cleaned_words[TUFA_AHEAD_MAX_FINDINGS][120];
    const char *found_said[TUFA_AHEAD_MAX_FINDINGS], *cleaned_said[TUFA_AHEAD_MAX_FINDINGS];
} bed_plot;
/* Depth of the bed if left alone, with its band, the element line, past findings and cleanings. A finding that is a weight or
 * a volume stands at the depth that it has in this tank, packed as today's bed. */
void draw_bed_ahead(const ahead_answer *a, const char *id, bed_plot *out);

#endif
