/* ahead: what lies ahead of one heater. Couples deposit and tank month by month, from the day the heater was put in to
 * the end of the horizon. Everybody who asks about a bed calls this one. Method and accuracy: docs/methods/ahead.md. */
#ifndef TUFA_AHEAD_H
#define TUFA_AHEAD_H

#include "tufa/base.h"
#include "tufa/deposit.h"
#include "tufa/tank.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- the heater as it is known ---- */

/* Rows of include/tufa/heater_fields.def: what can be known of a heater, with the default for each fuel, why it is
 * assumed, and its source. Heights are above the lowest point of the inside floor. */
typedef enum tufa_heater_field {
#define X(id, ...) TUFA_HEATER_##id,
#include "tufa/heater_fields.def"
#undef X
    TUFA_HEATER_FIELD_COUNT
} tufa_heater_field;

typedef struct tufa_heater_field_row {
    const char *key, *what, *why;   /* key with its unit; what it is; why this default */
    tufa_value electric, gas;       /* default by fuel (propane as gas); in the unit of the key; mid 0, lo 0, hi 0: does not apply */
    double least, most;             /* allowed range */
    int source;
} tufa_heater_field_row;
const tufa_heater_field_row *tufa_heater_field_at(tufa_heater_field f);

/* A heater with whatever is known; a field of basis NONE is filled, and stays NONE only where it does not apply. */
typedef struct tufa_heater {
    tufa_fuel fuel;
    int one_element; /* electric: one element and one thermostat; 0: an upper one of the same power as well */
    tufa_value field[TUFA_HEATER_FIELD_COUNT];
} tufa_heater;

/* Fills what nobody said: by the table, or by what was said of other fields (diameter and height from volume, element
 * heights from height). Every filled field gets basis DEFAULT. Refuses values out of range, and a heater whose element stands
 * above its top. */
TUFA_MUST_CHECK tufa_status tufa_heater_fill(tufa_heater *h);

/* ---- where it stands and who draws from it ---- */

typedef struct tufa_site {
    tufa_value inlet_mean_K, inlet_swing_K, room_K, pressure_Pa; /* gauge pressure; inlet coldest in mid-February */
} tufa_site;
tufa_site tufa_site_default(void); /* 14.4 deg C, half swing 6 K, 19.7 deg C, 50 psi */
double tufa_inlet_K(double mean_K, double swing_K, int month); /* month 0..11 = January..December */

/* From `day` on. A field of basis NONE keeps what held before; in the first row, the default. */
typedef struct tufa_use {
    int64_t day;             /* since 1970-01-01; a day after today is a plan */
    tufa_value people;       /* default 2.6 */
    tufa_value litres_day;   /* hot water; from people where NONE */
    tufa_value setpoint_K;   /* default: that of the heater */
    tufa_value softened;     /* share of the scale that the softener takes away, 0 none (default); see below */
    int mixed_as_before;     /* 1: litres are those of the setpoint that held before; people mix to the same warmth at the tap,
                                so that a cooler tank is drawn from more (tufa_mixed_litres). 0: litres are as said */
} tufa_use;
/* Litres drawn at to_K over those at from_K: 0.9 (judgement) of the hot water is mixed at the tap to the same warmth, the rest, what
 * a machine fills itself with, stays. Cold water at cold_K; below 40.6 deg C nothing is mixed any more. */
double tufa_mixed_litres(double from_K, double to_K, double cold_K);
tufa_value tufa_softened_default(void); /* what a working softener takes away: 0.985 (0.97 to 0.995) */

/* ---- the tank, as ahead sees it ---- */

/* Asked once for each (use, month of the year, bed step). `heater` is filled; middles are taken. */
typedef struct tufa_tank_ask {
    const tufa_heater *heater;
    int month; /* 0..11 */
    double bed_m3, setpoint_K, draw_m3_day, inlet_K, room_K;
} tufa_tank_ask;

typedef struct tufa_tank_month {
    double mean_K;       /* mean water temperature in the tank */
    double skin_K;       /* water side of the lower element while it heats; mean_K in a gas tank */
    double energy_J_day; /* bought: electricity or gas */
    double hot_m3_day;   /* delivered at 40 deg C or above */
} tufa_tank_month;

typedef tufa_status (*tufa_tank_month_fn)(void *ctx, const tufa_tank_ask *ask, tufa_tank_month *out);

/* The plain tank: all water at the setpoint; loss by conductance. ctx unused. */
TUFA_MUST_CHECK tufa_status tufa_ahead_plain_tank(void *ctx, const tufa_tank_ask *ask, tufa_tank_month *out);

/* A filled table as ctx of tufa_ahead_table_tank: results for 12 months at `steps` rising bed volumes,
 * month[step * 12 + m], linear between steps. Setpoint and draw must be those that it was filled for. */
typedef struct tufa_tank_table {
    size_t steps;
    const double *bed_m3;
    const tufa_tank_month *month;
} tufa_tank_table;
TUFA_MUST_CHECK tufa_status tufa_ahead_table_tank(void *ctx, const tufa_tank_ask *ask, tufa_tank_month *out);

/* The heater as the tank stage sees it, clean; setpoint, inlet and room of the ask. */
tufa_tank tufa_ahead_as_tank(const tufa_tank_ask *ask);
/* Days simulated by the tank stage, out of its cache; ctx is a tufa_tank_cache. Some milliseconds for a heater that the
 * cache does not know yet. */
TUFA_MUST_CHECK tufa_status tufa_ahead_simulated_tank(void *ctx, const tufa_tank_ask *ask, tufa_tank_month *out);

/* ---- what a bed costs a gas tank ---- */

/* Share of the fuel that a gas tank loses to each kg of bed, as weights (sum 1) on cells even in the log from 0.002 to 0.04: 5 % at
 * 27 kg (SRC_ASHRAE_1986) and 4.3 % at 1.06 kg (SRC_BATTELLE_2009). All 0: the prior, every cell alike. */
enum { TUFA_LOSS_CELLS = 24 };
typedef struct tufa_loss {
    double weight[TUFA_LOSS_CELLS];
    tufa_rests_on rests_on;
} tufa_loss;
tufa_loss tufa_loss_prior(void);
double tufa_loss_cell(size_t cell);                      /* its middle, a kg */
double tufa_loss_at(const tufa_loss *l, double u);       /* quantile, 0 <= u <= 1 */
tufa_value tufa_loss_value(const tufa_loss *l);          /* median, 10 and 90 % */

/* ---- the question ---- */

typedef struct tufa_ahead_in {
    tufa_heater heater;          /* need not be filled */
    tufa_ccpp ccpp;              /* of the unsoftened water */
    tufa_value sand_mg_L, rust_mg_L; /* settle from each litre; NONE: none */
    tufa_site site;              /* fields of basis NONE: defaults */
    tufa_value grain_porosity, voidage; /* NONE: defaults */
    const tufa_use *use;         /* by rising day; none: defaults */
    size_t uses;
    const tufa_finding *found;   /* by rising day */
    size_t findings;
    const tufa_told *told;       /* what findings of kind TOLD tell */
    size_t tolds;
    tufa_eps eps;                /* before the findings here: the prior, or what the neighbours taught; the findings are
                                    held against it draw by draw, so never hand in a posterior that knows them already */
    tufa_loss loss;              /* gas, before the findings here: all 0 (the prior), or what other gas heaters taught */
    int64_t today_day;
    unsigned months;             /* horizon, at most TUFA_AHEAD_MAX_MONTHS */
    unsigned draws;              /* at most TUFA_AHEAD_MAX_DRAWS */
    unsigned band_step;          /* bands are worked out every so many months, straight between; 0 or 1: every month */
    double misread_share;        /* of findings that are wrong outright, 0 to 0.5 */
    uint64_t key;                /* one heater, one key: answers to different questions share their draws */
    tufa_tank_month_fn tank;     /* NULL: the plain tank */
    void *tank_ctx;
} tufa_ahead_in;

#define TUFA_AHEAD_MONTHS 240u
#define TUFA_AHEAD_DRAWS 500u
#define TUFA_AHEAD_MAX_MONTHS 720u
#define TUFA_AHEAD_MAX_DRAWS 5000u
#define TUFA_AHEAD_MAX_USES 16u
#define TUFA_AHEAD_MAX_FINDINGS 64u

/* Everything at its default, 20 years, 500 draws, prior by fuel; ccpp, days and findings are left to the caller. */
tufa_ahead_in tufa_ahead_defaults(tufa_fuel fuel);

/* ---- the answer ---- */

typedef struct tufa_band {
    double p10, p50, p90;
} tufa_band;

/* When something happens, over the draws. years[i]: when 10, 50, 90 % of the draws have reached it, 0 = already;
 * known[i] is 0 where that lies beyond the horizon (years[i] is then the horizon). */
typedef struct tufa_when {
    double years[3];
    int known[3];
    double p_now, p_this_year, p_horizon; /* reached by today, within 12 months, within the horizon */
} tufa_when;

/* What could be read or asked to sharpen the forecast. Rows of include/tufa/sharpen.def. */
typedef enum tufa_sharpen {
#define X(id, ...) TUFA_SHARPEN_##id,
#include "tufa/sharpen.def"
#undef X
    TUFA_SHARPEN_COUNT
} tufa_sharpen;
typedef struct tufa_sharpen_row {
    const char *key, *what; /* what he would do, in plain words */
    double log_sd, share_sd; /* error of the reading: in the log, or of a share judged by eye */
    tufa_value minutes;     /* own time for taking it alone */
    int trips;              /* drives that it takes; 0: by telephone */
    int source;
} tufa_sharpen_row;
const tufa_sharpen_row *tufa_sharpen_at(tufa_sharpen s);

/* Arrays lie in the arena that was handed in. By month: index 0 is today, index months the horizon. By draw: index of
 * the draw; the same draw in every array, and in every answer with the same key and number of draws. */
typedef struct tufa_ahead {
    tufa_heater heater;               /* filled: what was assumed shows in its bases */
    unsigned months, draws;
    tufa_band *kg, *bed_m3, *depth_m, *covered; /* by month; depth_m: where it is highest; covered: share of the lower element */
    tufa_band now_kg, now_bed_m3, now_depth_m, now_covered;
    tufa_band rate_kg_year;           /* of the coming 12 months */
    tufa_band eps_ref;
    tufa_band litres_day, energy_J_year, hot_m3_day; /* of the coming 12 months */
    tufa_band lost_share;             /* share of the tank's volume that the bed takes up today */
    tufa_band gas_loss_share;         /* share of the fuel lost to the bed today; wide: published figures differ 20-fold */
    tufa_band sheath_K;               /* lower element's sheath, mean over the life of a layer */
    tufa_when element_reached;        /* bed at the lowest point of the lower element's bundle */
    tufa_when gas_rumbles;            /* floor under the bed boils: noise, then trouble */
    tufa_when drain_covered;          /* bed at the middle of the drain port */
    double never_share;               /* share of draws whose element (gas: floor) is not reached within the horizon */
    tufa_rests_on rests_on;
    unsigned defaults;                /* heater fields that are our assumption */
    double found_effective_draws;     /* of `draws`, after the findings; low: findings and forecast disagree */
    double found_surprise;            /* largest distance of a finding from what was expected, in standard deviations */
    int found_surprise_index;         /* -1: none */
    unsigned found_used;              /* findings with a reading that was held against the forecast */
    tufa_sharpen best;                /* the single reading that narrows the forecast most; COUNT: none helps */
    double spread_now, spread_after[TUFA_SHARPEN_COUNT]; /* 90 % over 10 % of the way to trouble five years on; 1 where it does not apply */
    /* by draw */
    double *draw_kg, *draw_kg_year, *draw_eps, *draw_age_years, *draw_litres_day, *draw_energy_J_year;
    double *draw_trouble_years;       /* until the bed reaches the element, or a gas floor boils; beyond the horizon: straight on */
    double *draw_trouble_kg;          /* the mass at which it does */
    double *draw_scale_rise_K;        /* lower element: sheath over skin by scale, mean over the life of a layer; 0 in a gas tank */
    double *draw_loss_per_kg;         /* gas: share of the fuel lost for each kg; 0 in an electric tank */
    double *draw_ccpp_mg_L;           /* what the water can drop at today's setpoint, before a softener */
    double *draw_element_m;           /* height of the lower element; 1 in a gas tank */
    double *draw_heat_up_log;         /* gas: ln of today's time from cold to the burner's stop over that of the clean tank; 0 in an electric tank */
} tufa_ahead;

/* Room needed in the arena. */
size_t tufa_ahead_bytes(unsigned months, unsigned draws, size_t findings);

/* 500 draws of 20 years in under 20 ms on one core. Scratch and result lie in `arena`; the caller rewinds it. */
TUFA_MUST_CHECK tufa_status tufa_ahead_look(const tufa_ahead_in *in, tufa_arena *arena, tufa_ahead *out);

#ifdef __cplusplus
}
#endif
#endif
