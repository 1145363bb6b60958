/* deposit: water, heat and draws -> kilograms settled, where they lie, how they pack.
 * Kept per litre heated = eps_ref (X / X_ref) C: C is what the water can drop at the tank's temperature (CCPP), X the
 * share of it that comes out while the water stays in the tank, eps_ref the share of C that is kept at the reference
 * state. Method, sources and accuracy: docs/methods/deposit.md. */
#ifndef TUFA_DEPOSIT_H
#define TUFA_DEPOSIT_H

#include "tufa/base.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- rate ---- */

/* The reference state at which eps_ref is the share kept. */
#define TUFA_REF_CCPP_MG_L 75.0
#define TUFA_REF_K 333.15
#define TUFA_REF_STAY_S 54000.0 /* 15 h */

/* Order of the reaction in what is in excess (1 to 2) and the share that has come out at the reference state. */
typedef struct tufa_rate_law {
    double order, x_ref, activation_J_mol;
} tufa_rate_law;

/* Second order, 0.2, 43 kJ/mol. */
tufa_rate_law tufa_rate_law_default(void);

/* How uncertain the law is: order 1.5 (1.1 to 1.9), x_ref 0.2 (0.05 to 0.6). */
tufa_value tufa_rate_order_default(void);
tufa_value tufa_rate_x_ref_default(void);

/* Share of `ccpp_mg_L` that comes out at T_K within stay_s; 0 to 1, 0 where ccpp_mg_L <= 0. Order 2: Da / (1 + Da). */
double tufa_deposit_conversion(const tufa_rate_law *law, double ccpp_mg_L, double T_K, double stay_s);

/* mg kept per litre heated: never below 0, never above ccpp_mg_L. */
double tufa_deposit_kept_mg_L(double eps_ref, const tufa_rate_law *law, double ccpp_mg_L, double T_K, double stay_s);

/* Share (0 to 1) of what is kept that grows on the element: `at_rest_share` where its skin is at TUFA_SKIN_REF_K, more
 * where it is hotter (same activation energy). The logit moves, so that it stays a share. */
#define TUFA_SKIN_REF_K 385.15 /* 75 W/in2 in water of 52 deg C */
double tufa_deposit_element_share(const tufa_rate_law *law, double at_rest_share, double skin_K);
tufa_value tufa_element_share_default(void); /* 0.2 (0.05 to 0.4) */

/* CCPP of a water: `draws` possible waters at `temps` rising temperatures, mg_L[draw * temps + t], as
 * tufa_water_ccpp_draws fills it. The caller owns the arrays. */
typedef struct tufa_ccpp {
    size_t draws, temps;
    const double *T_K, *mg_L;
} tufa_ccpp;
double tufa_ccpp_at(const tufa_ccpp *c, size_t draw, double T_K); /* linear between the temperatures; draw % draws */

/* ---- eps_ref: a distribution on a grid ---- */

#define TUFA_EPS_POINTS 200
#define TUFA_EPS_LO 0.003
#define TUFA_EPS_HI 1.0

typedef enum tufa_rests_on { TUFA_RESTS_ON_PRIOR, TUFA_RESTS_ON_NEIGHBOURS, TUFA_RESTS_ON_FINDINGS } tufa_rests_on;

/* Weights (sum 1) of cells that are equal in log eps between TUFA_EPS_LO and TUFA_EPS_HI. */
typedef struct tufa_eps {
    double weight[TUFA_EPS_POINTS];
    tufa_rests_on rests_on;
} tufa_eps;

double tufa_eps_point(size_t i);                                     /* eps at the middle of cell i */
tufa_eps tufa_eps_lognormal(double median, double log_sd);           /* cut at the ends of the grid */
tufa_eps tufa_eps_prior(tufa_fuel fuel);                             /* electric 0.12, gas and propane 0.07, log-sd 0.55 */
double tufa_eps_at(const tufa_eps *e, double u);                     /* quantile, 0 < u < 1 */
tufa_value tufa_eps_value(const tufa_eps *e);                        /* median, 10 and 90 % */
void tufa_eps_moments(const tufa_eps *e, double *log_mean, double *log_sd);

/* ---- packing ---- */

/* One struct for deposit, tank, clean and learn. */
typedef struct tufa_packing {
    double grain_porosity, voidage; /* pores inside a grain; room between grains */
    double grain_kg_m3;             /* of the mineral without pores */
} tufa_packing;

tufa_packing tufa_packing_default(void);                  /* 0.3, 0.5, 2710: 1.05 L for each kg */
tufa_value tufa_grain_porosity_default(void);             /* 0.3 (0.1 to 0.5), assumption */
tufa_value tufa_voidage_default(void);                    /* 0.5 (0.4 to 0.75), assumption */
double tufa_packing_bulk_kg_m3(const tufa_packing *p);    /* dry mass over bed volume */
double tufa_packing_bed_m3(const tufa_packing *p, double kg);
double tufa_packing_solid_m3(const tufa_packing *p, double kg);       /* what a refill meter would miss if pores fill */
double tufa_packing_conductivity_W_mK(const tufa_packing *p);         /* of the bed full of water, geometric mean */

/* ---- geometry ---- */

/* Inside of an upright tank. Heights are above the lowest point of the inside floor. */
typedef struct tufa_floor {
    double radius_m;
    double dome_m;         /* height of the middle above the wall: > 0 domed, < 0 dished, 0 flat; a spherical cap */
    double flue_radius_m;  /* of the flue through the middle; 0 in an electric tank */
    double element_m;      /* height of the middle of the lower element's rod; 0: none */
    double element_length_m, element_radius_m; /* from the wall inward; half the height of its bundle of legs */
    double repose_rad;     /* slope at which flakes lie */
} tufa_floor;

TUFA_MUST_CHECK tufa_status tufa_floor_check(const tufa_floor *f);

/* Bed volume below the level height_m (>= 0). Closed form. */
double tufa_floor_volume_m3(const tufa_floor *f, double height_m);
/* Level of a bed of bed_m3 with a level top; inverse of the above to 1e-12 m. */
TUFA_MUST_CHECK tufa_status tufa_floor_level_m(const tufa_floor *f, double bed_m3, double *height_m);
/* Free plan area at a height. */
double tufa_floor_area_m2(const tufa_floor *f, double height_m);

double tufa_cap_m3(double sphere_radius_m, double height_m);                  /* spherical cap */
double tufa_cone_m3(double height_m, double slope_rad);                       /* conical mound */
double tufa_ridge_m3(double height_m, double length_m, double slope_rad);     /* mound along a rod from the wall: prism and half a cone */
double tufa_ridge_height_m(double bed_m3, double length_m, double slope_rad); /* its inverse */
double tufa_lying_cylinder_share(double depth_over_radius);                   /* share of the cross-section below a level, depth 0 to 2 radii */
double tufa_lying_surface_share(double depth_over_radius);                    /* share of the round surface below a level */

tufa_value tufa_repose_default(void);                                         /* rad: 30 degrees (25 to 35), assumption */

/* A bed as it lies: the level that the fines take up and the crest of the mound that shed flakes make under the element. */
typedef struct tufa_bed_shape {
    double level_m, crest_m;        /* crest_m >= level_m; equal without a mound above the level */
    double element_covered_share;   /* of the surface of the lower element's bundle */
} tufa_bed_shape;

/* All of bed_m3 is placed: flakes_m3 of it (<= bed_m3) fell from the element. */
TUFA_MUST_CHECK tufa_status tufa_bed_lie(const tufa_floor *f, double bed_m3, double flakes_m3, tufa_bed_shape *out);

/* ---- element layer ---- */

typedef struct tufa_element {
    double area_m2, flux_W_m2;
    double scale_kg_m3, scale_W_mK; /* of the layer */
    double shed_m;                  /* thickness at which it comes off, 0.5 to 2 mm */
} tufa_element;

tufa_element tufa_element_from(double power_W, double flux_W_m2); /* other fields: defaults */
tufa_value tufa_shed_default(void);                               /* m */
tufa_value tufa_scale_conductivity_default(void);                 /* W/(m K): 1.7 (0.8 to 2.9) */
double tufa_element_skin_K(double water_K, double flux_W_m2);     /* clean rod in still water; capped 10 K above boiling at 50 psi */
double tufa_element_scale_rise_K(double flux_W_m2, double thickness_m, double scale_W_mK); /* sheath over skin, flat layer */

/* One stretch of time: adds grown_kg to layer_kg; whole layers of shed_m come off. Returns what fell, layer_kg keeps the rest. */
double tufa_element_grow(const tufa_element *e, double grown_kg, double *layer_kg);

/* ---- bed of one tank in time ---- */

typedef struct tufa_bed {
    double fines_kg, flakes_kg, layer_kg; /* settled from the water, fallen from the element, still on it */
    double sand_kg, rust_kg;
} tufa_bed;
double tufa_bed_kg(const tufa_bed *b); /* all of it, the layer on the element included */
double tufa_bed_lying_m3(const tufa_bed *b, const tufa_packing *p); /* bed volume of what lies on the floor */

/* Days of one state of things: the bed after litres_day x days have been heated. kept_mg_L: tufa_deposit_kept_mg_L. */
void tufa_bed_settle(tufa_bed *b, const tufa_element *e, double element_share, double kept_mg_L, double sand_mg_L,
                     double rust_mg_L, double m3_day, double days);
/* A cleaning: `left_share` of everything that lay there stays, the layer on the element by element_left_share. */
void tufa_bed_clean(tufa_bed *b, double left_share, double element_left_share);

/* ---- findings ---- */

/* What was found in a tank, or done to it. Rows of core/deposit/findings.def. */
typedef enum tufa_finding_kind {
#define X(id, ...) TUFA_FOUND_##id,
#include "tufa/findings.def"
#undef X
    TUFA_FOUND_COUNT
} tufa_finding_kind;

/* How the bed is seen in a finding: as a mass (whatever unit), as a height in the floor's shape, as a volume told by a whole
 * likelihood, by the time a burner takes, by an element that burnt out. */
typedef enum tufa_finding_law { TUFA_LAW_DONE, TUFA_LAW_MASS, TUFA_LAW_HEIGHT, TUFA_LAW_TOLD, TUFA_LAW_RECOVERY, TUFA_LAW_ELEMENT } tufa_finding_law;

typedef struct tufa_finding_row {
    const char *key, *what; /* key with unit, as in JSON and import */
    tufa_finding_law law;
    double log_sd;          /* its error as a standard deviation of the natural log; 0 where the law has its own */
    double abs_sd;          /* and beside it in the unit of the key */
    int source;
} tufa_finding_row;
const tufa_finding_row *tufa_finding_at(tufa_finding_kind kind);

/* What a reading tells of the bed's volume: ln of its likelihood, 0 at its peak, at most_m3 ((i + 1/2) / POINTS)^2. mid_log and sd_log
 * are its mean and spread in ln(volume + 1 L). Made by the clean stage from the physics of each way of reading. */
enum { TUFA_TOLD_POINTS = 160 };
typedef struct tufa_told {
    double most_m3, log_likelihood[TUFA_TOLD_POINTS], mid_log, sd_log;
} tufa_told;
#define TUFA_TOLD_FLOOR_M3 1e-3
double tufa_told_at(const tufa_told *t, double bed_m3); /* ln likelihood; straight between points, steepening beyond the last */

/* `value` in SI by kind (kg, m3, m). All findings of one day saw the tank before its cleaning, whatever their order. A cleaning on the same day or a CLEANED row says what stayed: left_kg where its
 * basis is not NONE, else left_depth_m (mean over the floor), else left_share of what lay there, else the default share of an
 * unknown cleaning. */
typedef struct tufa_finding {
    tufa_finding_kind kind;
    int64_t day;           /* since 1970-01-01 */
    double value, log_sd;  /* log_sd 0: that of the kind */
    int cleaned;           /* the tank was cleaned on this day, after the reading */
    int set_aside;         /* it contradicts the rest: kept and shown, not weighed */
    size_t told;           /* TOLD alone: which of what is told with the findings; value is then what the reading showed */
    int64_t id;            /* the caller's own number; not read */
    tufa_value left_kg, left_depth_m, left_share;
} tufa_finding;
tufa_value tufa_left_share_default(void); /* 0.5 (0.2 to 0.85), judgement */

/* ---- people ---- */

/* Hot water of `people`, litres a day: 45 + 48 people; log-sd 0.35 around it. */
double tufa_hot_litres_day(double people);
#define TUFA_HOT_LITRES_LOG_SD 0.35
tufa_value tufa_people_default(void); /* 2.6 */

#ifdef __cplusplus
}
#endif
#endif
