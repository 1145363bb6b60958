/* What the files of this stage share: one question while it is worked out. */
#ifndef CORE_AHEAD_INNER_H
#define CORE_AHEAD_INNER_H

#include "core/deposit/floor.h"
#include "tufa/ahead.h"

#define DAYS_YEAR 365.25
#define DAYS_MONTH (DAYS_YEAR / 12.0)
#define KG_PER_MG_L_M3 1e-3 /* 1 mg/L in 1 m3 is 1 g */

/* What is not known, one row each: X(name of the array, stream). The number of a stream never changes, so that a draw
 * stays what it was when a row is added. */
#define UNKNOWNS(X)                                                                                          \
    X(eps, 1) X(order, 2) X(x_ref, 3) X(element_share, 4) X(shed_m, 5) X(scale_W_mK, 6) X(volume_m3, 7)       \
    X(radius_m, 8) X(element_m, 9) X(dome_m, 10) X(drain_m, 11) X(age_years, 12) X(setpoint_u, 13)           \
    X(people_u, 14) X(litres_u, 15) X(softened_u, 16) X(grain_porosity, 17) X(voidage, 18) X(sand_mg_L, 19)  \
    X(rust_mg_L, 20) X(flux_W_m2, 21) X(element_W, 22) X(loss_W_K, 23) X(recovery, 24) X(rumble_factor, 25)  \
    X(loss_per_kg, 26) X(left_u, 27) X(repose_rad, 28) X(flue_m, 29) X(warm_u, 30) X(buried, 31)

typedef struct unknowns {
#define X(name, stream) double *name;
    UNKNOWNS(X)
#undef X
    double *ccpp; /* index of the draw of the water */
} unknowns;

/* One stretch of use, with what holds in it filled in. */
typedef struct stretch {
    int64_t day;
    tufa_value people, litres_day, setpoint_K, softened;
    int from_people;            /* litres follow from people */
    size_t litres_of;           /* the stretch to whose setpoint they belong */
    tufa_tank_month tank[12];   /* at the middle of everything, without a bed */
    double litres_mid;
    double *m3_day, *kg_day, *most_kg_day;             /* by draw: at eps 1, and all that the water can drop; mean of the year */
    double *month_kg_day, *month_most_kg_day;          /* [month * draws + draw]; NULL for stretches that are over */
    double *set_K, *passed;                            /* by draw: setpoint; share of the scale that a softener lets through */
    double *growth_share;                              /* by draw: how much the rate falls when the stay gets shorter */
} stretch;

typedef struct question {
    const tufa_ahead_in *in;
    tufa_ahead_in own;          /* what `in` points to */
    size_t skipped;             /* findings older than the heater */
    tufa_arena *arena;
    size_t n;                   /* draws */
    tufa_heater heater;         /* filled */
    tufa_site site;             /* filled */
    unknowns x;
    stretch *stretch;
    size_t stretches;
    /* today, by draw: of all that lies there, scale_kg was made by this water here, grit_kg came as sand and rust */
    double *scale_kg, *grit_kg;
    double *element_part;       /* share of what is kept that grows on the element, at its skin */
    double *bulk_kg_m3, *grit_m3_kg;
    double eps_point[TUFA_EPS_POINTS];
    double effective_draws, surprise;
    int surprise_index;
    unsigned used;
} question;

/* ---- draws.c ---- */
TUFA_MUST_CHECK tufa_status draw_unknowns(question *q);
void pick_draws(question *q, const size_t *pick, double *scratch); /* draw j becomes what draw pick[j] was */

/* ---- stretch.c ---- */
TUFA_MUST_CHECK tufa_status lay_out_stretches(question *q);
TUFA_MUST_CHECK tufa_status rate_stretches(question *q);
/* The tank through the twelve months, at the middle of everything, with a bed of bed_m3. */
TUFA_MUST_CHECK tufa_status ask_year(const question *q, const stretch *s, double bed_m3, tufa_tank_month month[12]);
size_t stretch_on(const question *q, double day);

/* ---- look.c ---- */
/* Checks and fills the question and works out everything up to the history. Findings older than the heater can be are
 * left out: `skipped` of them at the beginning. `q->in` then points into the question. */
TUFA_MUST_CHECK tufa_status pose(const tufa_ahead_in *in, tufa_arena *arena, question *q);

/* ---- history.c ---- */
/* Mass of one draw before its eps is known: from_eps x eps + given + grit; most: all that the water could have dropped. */
typedef struct mass {
    double from_eps, most, given, grit;
} mass;

enum { HEIGHT_POINTS = 24 };

/* One reading as one draw sees it. What is seen and what is expected are compared in the log (of a volume: of it and one
 * litre more). */
typedef struct sight {
    tufa_finding_law law;
    mass before;                      /* what lay there */
    double share, left_kg, seen_log, sd;
    double unit;                      /* what is compared, over the finding's own unit */
    size_t finding;                   /* its index in the question */
    int aside;                        /* it is compared, and not weighed */
    double table[HEIGHT_POINTS];      /* by mass: ln of the height; of an element, the share that is covered */
    const tufa_told *told;
    double bulk_kg_m3, volume_m3, loss_per_kg, warm_cost; /* of the draw */
    mass after;                       /* what lay there after the last cleaning, since_days before */
    double since_days, lasted_days, buried;
} sight;

size_t walk(const question *q, size_t draw, sight *s, mass *today); /* answers how many sights */
double expected_log(const sight *s, double eps);
double expected_value(const sight *s, double eps);                  /* in the unit of the finding */
double likelihood(const question *q, const sight *s, double eps, double expected_log_);
TUFA_MUST_CHECK tufa_status run_history(question *q);
double warm_cost(const question *q, size_t draw);                   /* heat that a litre of bed lacks against water, as a share */
double heat_up_log(double warm_cost, double bulk_kg_m3, double volume_m3, double loss_per_kg, double kg); /* ln of the time over the clean tank's */

/* ---- lie.c ---- */
/* The tank of one draw, for the geometry of its bed. */
typedef struct vessel {
    floor_shape shape;
    mound pile;
    double full_layer_kg;
} vessel;
vessel vessel_of(const question *q, size_t draw);
typedef struct lying {
    double bed_m3, depth_m, level_m, covered;
} lying;
/* kg of scale and grit in all, the layer on the element among them. */
lying lie_down(const question *q, const vessel *v, size_t draw, double scale_kg, double grit_kg);

/* ---- forecast.c ---- */
TUFA_MUST_CHECK tufa_status forecast(question *q, tufa_ahead *out);

/* ---- rank.c ---- */
/* Order of n values that change little from call to call; `order` starts as 0..n-1 or as it was left. */
void rank(size_t n, const double *v, uint32_t *order);
double ranked_at(size_t n, const double *v, const uint32_t *order, double p);
tufa_band ranked_band(size_t n, const double *v, const uint32_t *order);
tufa_band band_of(size_t n, const double *v, uint32_t *order); /* from scratch */

/* ---- rumble.c ---- */
/* Depth of bed, over the middle of a gas tank's floor, under which it boils, at the middle of everything. */
double rumble_depth_m(const question *q);

/* ---- sharpen.c ---- */
typedef struct outlook_draws {
    double *way;                              /* how much of the way to trouble the bed has gone, some years on */
    double *kg, *bed_m3, *depth_m;            /* today */
} outlook_draws;
void sharpen(const question *q, const outlook_draws *d, tufa_ahead *out);

#define TAKE(q, n, type) ((type *)tufa_arena_take((q)->arena, (n), sizeof(type)))

#endif
