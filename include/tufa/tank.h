/* tank: one upright storage heater, in layers, with its controls and whatever is wrong with it.
 *
 * A `tufa_tank` describes the heater and is never written to. `tufa_tank_build` joins it with a list of changes (what
 * is wrong) into a `tufa_tank_model`, also constant from then on. A `tufa_tank_state` is what moves. Everything is
 * plain data in the caller's memory; nothing here allocates. SI units; temperatures in K; heights from the floor.
 *
 * Energy closes: in = delivered + lost + stored, to 1e-6 of the energy that went in. */
#ifndef TUFA_TANK_H
#define TUFA_TANK_H

#include <stdbool.h>

#include "tufa/base.h"

#ifdef __cplusplus
extern "C" {
#endif

enum {
    TUFA_TANK_MIN_LAYERS = 24,
    TUFA_TANK_MAX_LAYERS = 120,
    TUFA_TANK_MAX_CHANGES = 16,
    TUFA_TANK_MAX_DRAWS = 256 /* of one day or one case */
};

/* ---- the heater ---- */

typedef enum tufa_tank_fuel { TUFA_TANK_ELECTRIC, TUFA_TANK_GAS } tufa_tank_fuel;

typedef struct tufa_tank {
    tufa_tank_fuel fuel;
    int layers;            /* TUFA_TANK_MIN_LAYERS to TUFA_TANK_MAX_LAYERS */
    double volume_m3, height_m;
    double loss_W_K;       /* water to room, all of the jacket (gas: and of the flue and the pilot at rest) */
    double loss_top_share; /* part of it that leaves by the top layer alone; the rest evenly over the height */
    double conductivity_W_m_K; /* of water and steel wall together, along the height */
    double ambient_K, inlet_K;
    double lower_W, upper_W;   /* element plates, at 240 V; 0 for none */
    double lower_height_m, upper_height_m, lower_sensor_m, upper_sensor_m;
    double element_W_m2;       /* surface load of the elements */
    double setpoint_K, differential_K;
    double sensor_lag_s;       /* 0 reads the water itself */
    double limit_K;            /* top sensor at which the limit opens for good; 0 for none */
    double relief_K;           /* top of the tank at which the relief valve opens; 0 for no valve */
    double inlet_height_m;     /* where the cold water enters */
    double mixing_m3;          /* bottom part stirred by the inlet while drawing at mixing_flow_m3_s */
    double mixing_flow_m3_s;   /* 0: the same at any flow; else it grows with the square root of the flow */
    double burner_W, recovery_efficiency; /* gas: input, and share of it that reaches the water */
    double pilot_W;            /* gas: burns always, recovery_efficiency of it reaches the water; 0 when in loss_W_K */
    double bed_m3, bed_W_m_K;  /* settled bed, and how it conducts */
    double bed_cover_m;        /* depth over the middle of the lower element where known otherwise than by a flat
                                  floor (mounds); negative: from bed_m3 and a flat floor */
    double scale_m, scale_W_m_K; /* scale on the elements */
    double line_Pa;            /* water pressure above air */
    bool closed_system;        /* a check valve keeps the water from expanding back into the street */
    double expansion_m3;       /* an expansion tank takes this much; 0 for none */
    double breaker_A;
    double leak_W, leak_height_m; /* heat entering at a height day and night until the limit opens; 0 for none */
    double density_kg_m3, heat_capacity_J_kg_K; /* both set: constant; 0: real water */
} tufa_tank;

/* What is commonly found: 190 L (50 gal) electric 4500 W, or 151 L (40 gal) gas 11.7 kW, 52 C, real water. */
tufa_tank tufa_tank_default(tufa_tank_fuel fuel);
/* The same scaled to what is known of a heater; 0 for "not known". Heights of elements and sensors go in proportion. */
tufa_tank tufa_tank_like(tufa_tank_fuel fuel, double volume_m3, double element_or_burner_W, double setpoint_K);

/* The number of layers from `least` to `most` whose boundaries meet the lower edges of the elements best. */
int tufa_tank_layers_for(const tufa_tank *t, int least, int most);

/* ---- what is wrong with it ---- */

typedef enum tufa_tank_change_id {
#define X(id, source, ...) TUFA_CHANGE_##id,
#include "core/tank/changes.def"
#undef X
    TUFA_CHANGE_COUNT
} tufa_tank_change_id;

typedef struct tufa_tank_change {
    tufa_tank_change_id id;
    double size;        /* SI, meaning by id; for a change without size it is ignored */
    double fault_ohm;   /* earthed: resistance of the contact from coil to sheath */
    bool broken;        /* earthed: the coil is burnt through at the contact */
    bool broken_before; /* earthed: the coil is burnt through between the unswitched terminal and the contact */
} tufa_tank_change;

typedef struct tufa_tank_change_row {
    int source;
    const char *name, *title, *fuels, *unit, *said, *size_means;
    double si_per_said, usual, lo, hi;
} tufa_tank_change_row;

const tufa_tank_change_row *tufa_tank_change_at(tufa_tank_change_id id); /* NULL beyond the table */
/* By name; UNKNOWN when there is none. `out` gets its usual size. */
TUFA_MUST_CHECK tufa_status tufa_tank_change_named(const char *name, tufa_tank_change *out);
tufa_tank_change tufa_tank_change_usual(tufa_tank_change_id id);

/* ---- draws ---- */

typedef struct tufa_tank_draw {
    double start_s, volume_m3, flow_m3_s;
} tufa_tank_draw;

typedef enum tufa_tank_pattern {
    TUFA_PATTERN_VERY_SMALL,
    TUFA_PATTERN_LOW,
    TUFA_PATTERN_MEDIUM,
    TUFA_PATTERN_HIGH,
    TUFA_PATTERN_COUNT
} tufa_tank_pattern;

/* The 24-hour draw patterns of 10 CFR 430 Subpart B Appendix E. `out` has room for TUFA_TANK_MAX_DRAWS; answers how
 * many. */
size_t tufa_tank_pattern_draws(tufa_tank_pattern p, tufa_tank_draw *out);
const char *tufa_tank_pattern_name(tufa_tank_pattern p); /* very_small, low, medium, high */
/* The pattern nearest in volume to so much a day, its volumes scaled, its flows kept. `out` has room for
 * TUFA_TANK_MAX_DRAWS; answers how many. */
size_t tufa_tank_draws_for(double daily_m3, tufa_tank_draw *out);

/* How the heater is used: draws of one day, repeated day after day. The draws begin in order of time. */
typedef struct tufa_tank_use {
    const tufa_tank_draw *draws;
    size_t n;
    bool once;        /* the draws come once, not every day */
    double tempered_K; /* > 0: volumes are of water mixed to this at the tap; a hotter tank then gives less */
} tufa_tank_use;

/* Inlet and room through the year: mean + swing cos(2 pi (day - coldest)/365) turned so that `coldest_day` is coldest. */
typedef struct tufa_tank_season {
    double inlet_mean_K, inlet_swing_K, ambient_mean_K, ambient_swing_K;
    double coldest_day; /* day of the year, 0 to 365 */
} tufa_tank_season;

tufa_tank_season tufa_tank_season_default(void); /* 14.4 +- 6 C, coldest in the middle of February; room 19.7 C */
double tufa_tank_season_inlet_K(const tufa_tank_season *s, double day);
double tufa_tank_season_ambient_K(const tufa_tank_season *s, double day);

/* ---- model and state ---- */

enum {
    TUFA_TANK_KILL_FROM_C = 44, TUFA_TANK_KILL_BINS = 38, /* whole degrees, 44 to 81 C */
    TUFA_TANK_C_STEP_K = 5, TUFA_TANK_C_POINTS = 31       /* 0 to 150 C */
};

/* A tank with its changes, worked out once. Members are for the stage itself. */
typedef struct tufa_tank_model {
    tufa_tank tank;          /* after the changes */
    unsigned changes;        /* bit 1 << id for each change applied */
    unsigned without_effect; /* those that this fuel cannot have */
    int n;                   /* layers */
    bool real_water;
    double theta_zero_C, heat_J_kg_K, kg_m3; /* the state's scale, see tufa_tank_state */
    double dz_m, area_m2, layer_m3, layer_J_K, conduct_W_K;
    double loss_even_W_K, loss_top_W_K;      /* of each layer; and of the top on top of it */
    struct {
        double W, heat_share[TUFA_TANK_MAX_LAYERS]; /* power as it was made, and where its heat goes */
        int first, last;                            /* layers that it heats */
        double below;                               /* and how much of the one below them */
        double fed_W, leak_W;                       /* power while fed, and at rest when grounded */
        bool trips_fed, trips_at_rest;              /* the breaker opens */
    } heater[3];                                    /* lower element or burner, upper element, leak_W */
    double flame_from[TUFA_TANK_MAX_LAYERS];        /* gas: share of the heat that goes to this layer and those above it */
    int inlet_layer, sensor[2];
    double sensor_up[2];                            /* how far towards the next layer */
    double set_theta, cut_in_theta, limit_theta, relief_theta, reseat_theta;
    double sensor_share, bed_depth_m, bed_cover, efficiency, sensor_bed_lag_s, sensor_bed_rise_K;
    bool force_on[2], force_off[2], no_changeover, limit_latched, limit_never;
    double tap_cold_share, drip_m3_s;
    double kill_per_s[TUFA_TANK_KILL_BINS][3], C_at[TUFA_TANK_C_POINTS], density_at[TUFA_TANK_C_POINTS];
} tufa_tank_model;

typedef struct tufa_tank_state {
    double theta[TUFA_TANK_MAX_LAYERS + 8]; /* heat content over one reference heat capacity, as a temperature in C */
    double reads[2];                        /* what the lower and upper sensor read, in the same scale */
    bool wants[2], limit_open, breaker_open, relief_open;
    double grown_m3, pressure_Pa;           /* closed system: water grown since the last draw; pressure above air */
} tufa_tank_state;

/* Joins tank and changes; RANGE and CONFLICT name the field. A change that this fuel cannot have is kept out and
 * marked in `without_effect`. */
TUFA_MUST_CHECK tufa_status tufa_tank_build(const tufa_tank *tank, const tufa_tank_change *changes, size_t n,
                                            tufa_tank_model *out);
/* All of the water at one temperature, controls at rest or wanting heat as they then would. */
TUFA_MUST_CHECK tufa_status tufa_tank_start(const tufa_tank_model *m, double start_K, tufa_tank_state *out);
double tufa_tank_layer_K(const tufa_tank_model *m, const tufa_tank_state *s, int layer); /* 0 at the bottom */

/* ---- a run ---- */

typedef struct tufa_tank_sample {
    double t_s, outlet_K; /* outlet_K 0 while nothing is drawn */
    double top_K, upper_sensor_K, middle_K, lower_sensor_K, bottom_K;
    bool upper_on, lower_on;
} tufa_tank_sample;

typedef struct tufa_tank_draw_result {
    double start_s, drawn_m3, mean_K, min_K, max_K;
} tufa_tank_draw_result;

typedef struct tufa_tank_run {
    double duration_s, start_day;        /* day of the year at the beginning, for the season */
    const tufa_tank_season *season;      /* NULL: inlet and room as the tank says, all the time */
    double health_every_s;               /* how often growth and kill are sampled; 0: every 900 s */
    double dense_step_s;                 /* > 0: plain equal steps of this length (slow; for comparison) */
    tufa_tank_sample *series;            /* NULL, or room for series_room samples, one each series_every_s */
    size_t series_room;
    double series_every_s;
    tufa_tank_draw_result *draws;        /* NULL, or room for draws_room results */
    size_t draws_room;
} tufa_tank_run;

/* Energies in J, times in s; a time that never came is -1. */
typedef struct tufa_tank_result {
    double in_J, delivered_J, lost_J, stored_J, balance_J; /* balance = in - delivered - lost - stored */
    double jacket_J, flue_J, relief_J, drip_J;             /* parts of lost */
    double leak_J;                                         /* part of in: earthed element or leak_W, at rest */
    double drawn_m3, above_40_m3, above_scald_m3;          /* at the tap; above 48.9 C (120 F) */
    double min_outlet_K, max_outlet_K, mean_outlet_K;      /* 0 when nothing was drawn */
    double first_cutout_s, first_full_cutout_s; /* heating stops; and no thermostat with a working heater wants heat */
    double last_on_s;
    double lower_on_s, upper_on_s;
    int lower_starts, upper_starts;
    double limit_trip_s, breaker_trip_s, relief_open_s;
    double relief_m3;
    double max_pressure_Pa;
    double growth_s[TUFA_TANK_MAX_LAYERS];                 /* in 25 to 45 C, by layer */
    double kill_log10[TUFA_TANK_MAX_LAYERS], kill_lo[TUFA_TANK_MAX_LAYERS], kill_hi[TUFA_TANK_MAX_LAYERS];
    double top_max_K;
    double mean_K;                                         /* time mean of the whole tank */
    double skin_K, plate_K;                                /* hottest element skin; gas: bottom plate while firing */
    double noise_margin_K;                                 /* wall above the boiling point and onset; > 0 boils */
    size_t series_count, draws_count, steps;
} tufa_tank_result;

/* Runs `s` on; `s` is then at the end. Accuracy: energy closes to 1e-6 of in_J; against a fine reference 0.5 % in
 * energy and 0.4 K at the outlet with 60 layers. */
TUFA_MUST_CHECK tufa_status tufa_tank_simulate(const tufa_tank_model *m, const tufa_tank_use *use,
                                               const tufa_tank_run *run, tufa_tank_state *s, tufa_tank_result *out);

/* ---- questions answered by running ---- */

/* A day that repeats itself, at one inlet and room temperature: what a long forecast needs. */
typedef struct tufa_tank_day {
    double in_J, delivered_J, lost_J, drawn_m3;      /* a day */
    double flue_J, relief_J, relief_m3;
    double min_outlet_K, mean_outlet_K, max_outlet_K;
    double above_40_m3;
    double mean_K;                                   /* of the water in the tank, through the day */
    double lower_on_s, upper_on_s;
    double skin_K, plate_K, noise_margin_K;          /* while on, in the water around it */
    double growth_s;                                 /* of the worst layer */
    double growth_bottom_s, growth_mean_s;
    double kill_bottom_log10;                        /* a day, coldest layer */
    double first_draw_m3;                            /* from a full cut-out until 8.33 K (15 F) below the hottest */
    double efficiency;                               /* share of the input that reaches the water while heating */
} tufa_tank_day;

TUFA_MUST_CHECK tufa_status tufa_tank_typical_day(const tufa_tank *tank, const tufa_tank_change *changes, size_t n,
                                                  const tufa_tank_use *use, double inlet_K, double ambient_K,
                                                  tufa_tank_day *out);

/* A whole year with its seasons, every day simulated. */
TUFA_MUST_CHECK tufa_status tufa_tank_year(const tufa_tank_model *m, const tufa_tank_use *use,
                                           const tufa_tank_season *season, double start_K, tufa_tank_result *out);

/* First-hour rating and recovery as the test procedure of Appendix E goes (share of a last draw at one hour: from memory). */
typedef struct tufa_tank_rating {
    double first_hour_m3;
    double first_draw_m3;    /* hot water before the outlet is 15 F down, heaters on, 3 gpm */
    double recovery_s;       /* from all cold to the first full cut-out; -1 if not within 24 h */
    double recovery_m3_s;    /* litres raised by 50 K (90 F) in steady heating */
    double recovery_efficiency;
    tufa_tank_pattern pattern; /* the draw pattern of this rating */
} tufa_tank_rating;

TUFA_MUST_CHECK tufa_status tufa_tank_rate(const tufa_tank *tank, const tufa_tank_change *changes, size_t n,
                                           tufa_tank_rating *out);

/* ---- is it large enough ---- */

/* Rows of include/tufa/peak_uses.def. */
typedef enum tufa_peak_use {
#define X(id, ...) TUFA_PEAK_##id,
#include "tufa/peak_uses.def"
#undef X
    TUFA_PEAK_COUNT
} tufa_peak_use;
typedef struct tufa_peak_use_row {
    const char *key, *what;
    tufa_value gallons;          /* hot water of one use */
    double a_person, a_house;    /* times in the busiest hour */
    int source;
} tufa_peak_use_row;
const tufa_peak_use_row *tufa_peak_use_at(tufa_peak_use u);

/* Hot water that so many people want in the busiest hour of a day, at 125 F from water of 58 F, as first-hour ratings are told. people 0
 * to 50. The high end lies within 2 gallons of the plumbing code's least first-hour ratings (2 to 5 people, one more than bedrooms). */
TUFA_MUST_CHECK tufa_status tufa_peak_hour_m3(tufa_value people, tufa_value *m3);
tufa_value tufa_people_like(tufa_value litres_day); /* how many people usually draw so much: tufa_hot_litres_day backwards, 0 at least */
/* What is drawn of the tank for each m3 so wanted, when it is set to setpoint_K and the cold water is inlet_K: people mix to 105 F. */
double tufa_peak_drawn(double setpoint_K, double inlet_K);

typedef enum tufa_enough_says {
    TUFA_ENOUGH_NOT_KNOWN,       /* it depends on who lives there, and nobody said that */
    TUFA_ENOUGH_YES,             /* short in 1 of 10 such households at most */
    TUFA_ENOUGH_NEARLY,          /* short in fewer than half of them */
    TUFA_ENOUGH_NO
} tufa_enough_says;
typedef struct tufa_enough {
    tufa_enough_says says;
    tufa_value gives_m3;         /* first hour */
    tufa_value wants_m3;         /* busiest hour, as drawn of this tank */
    double short_m3;             /* NO: in the middle; NEARLY, NOT_KNOWN: up to so much; YES: 0 */
    double short_chance;
} tufa_enough;
TUFA_MUST_CHECK tufa_status tufa_tank_enough(tufa_value gives_m3, tufa_value wants_m3, int household_known, tufa_enough *out);

/* First-hour rating at the tank's own setpoint and cold water. label_m3: what its label says, told at 125 F and 58 F, which then goes
 * before the simulation, and is taken over to here by it; 0 for none. Without one it is
 * told with the range in which labels lie beside simulations. */
TUFA_MUST_CHECK tufa_status tufa_tank_first_hour(const tufa_tank *tank, double label_m3, tufa_value *m3);
/* An electric tank with its lower element replaced by a compressor: of its first hour, no more is said by it. */
tufa_tank tufa_tank_as_heat_pump(const tufa_tank *electric);
/* Litres of first draw found by experiment -> the inlet's mixing volume (analytic; both at constant properties). */
TUFA_MUST_CHECK tufa_status tufa_tank_mixing_fitted(double volume_m3, double first_draw_m3, double cut_off_share,
                                                    double *mixing_m3);
/* Volume heated by `power_W` through `rise_K` a second (8.33 lb/gal convention of the trade tables). */
double tufa_tank_recovery_m3_s(double power_W, double efficiency, double rise_K);

/* ---- results kept for long forecasts ---- */

enum { TUFA_TANK_BED_BANDS = 13 };

/* A table of typical days in the caller's memory, keyed by (tank, bed band, setpoint, use, season). It may be kept
 * for as long as the caller likes and serves any number of tanks; when full, the oldest entries give way. Not shared
 * between threads. */
typedef struct tufa_tank_cache {
    void *entries;
    size_t room, used, next;
    uint64_t hits, misses;
} tufa_tank_cache;

size_t tufa_tank_cache_bytes(size_t entries);
TUFA_MUST_CHECK tufa_status tufa_tank_cache_init(void *memory, size_t bytes, tufa_tank_cache *out);
/* As tufa_tank_typical_day with bed_m3 in place of the tank's own bed, by interpolation between the two nearest bed
 * bands of the table, filled by full simulation as needed. Within 2 % of the full simulation in energy and litres. */
TUFA_MUST_CHECK tufa_status tufa_tank_cached_day(tufa_tank_cache *c, const tufa_tank *tank, double bed_m3,
                                                 const tufa_tank_use *use, double inlet_K, double ambient_K,
                                                 tufa_tank_day *out);
/* The year from the table: 12 monthly days at the season's inlet and room, energies and times as sums over 365 days,
 * temperatures as means, first draw, skin and noise as of the worst month. */
TUFA_MUST_CHECK tufa_status tufa_tank_cached_year(tufa_tank_cache *c, const tufa_tank *tank, double bed_m3,
                                                  const tufa_tank_use *use, const tufa_tank_season *season,
                                                  tufa_tank_day *out);

/* ---- a grounded element ---- */

/* `s` is the place of the contact, as a share of the coil from
 * terminal A; the other assignment of the legs is the same question with 1 - s. */
typedef struct tufa_tank_earth_in {
    double element_ohm, fault_ohm, s;
    double leg_V, line_V, breaker_A; /* each leg to earth, one wire to the other; 0: 120 V, 240 V, 30 A */
    bool unswitched_is_b;            /* the leg that the thermostat never opens feeds terminal B */
    bool thermostat_closed;
    bool broken;                     /* the coil is burnt through at the contact */
    bool broken_before;              /* burnt through between the unswitched terminal and the contact */
} tufa_tank_earth_in;

typedef struct tufa_tank_earth {
    double total_W, coil_W, fault_W; /* all of it is released inside the tank */
    double earth_A;                  /* what a clamp around both feed wires reads */
    double unswitched_A, switched_A; /* in each leg */
    bool breaker_trips;              /* overloaded by more than 35 %: opens within minutes */
    bool breaker_overloaded;         /* above its rating: minutes to hours, or not at all */
} tufa_tank_earth;

TUFA_MUST_CHECK tufa_status tufa_tank_earthed(const tufa_tank_earth_in *in, tufa_tank_earth *out);

/* What a leak of heat into the tank can do to the bill, bounded: while it is below the tank's own load the thermostat
 * runs less and the only extra is the standby of a hotter tank. */
typedef struct tufa_tank_leak_bound {
    double load_W;           /* mean heat drawn and lost: what the thermostat would have put in */
    double steady_extra_W;   /* more energy in than without the leak, lasting */
    double extra_most_W;     /* bound: loss at the limit against loss at the setpoint */
    double steady_K;         /* mean tank temperature reached; the limit's where it is reached */
    bool reaches_limit;      /* leak above the load at the limit: it trips, and comes back after each reset */
    double idle_to_limit_s;  /* with nothing drawn, from the setpoint; -1 when never */
    double discharge_W;      /* limit welded: heat that then leaves by the relief valve */
    bool scald;              /* steady_K above 60 C (140 F): stop using it */
} tufa_tank_leak_bound;

TUFA_MUST_CHECK tufa_status tufa_tank_leak_bounds(const tufa_tank *tank, double leak_W, double daily_m3,
                                                  tufa_tank_leak_bound *out);

/* ---- elements, skin, noise ---- */

double tufa_tank_element_ohm(double power_W, double rated_V);
double tufa_tank_element_W(double power_W, double rated_V, double volts);
double tufa_tank_boiling_K(double gauge_Pa); /* of water at a pressure above air; IAPWS-IF97 region 4 */

typedef struct tufa_tank_skin_in {
    double element_W_m2, water_K, line_Pa;
    double scale_m, scale_W_m_K;
    double bed_cover; /* share of the rod inside the bed, 0 to 1 */
} tufa_tank_skin_in;

typedef struct tufa_tank_skin {
    double surface_K;      /* water side: of the clean rod or of the scale's outside */
    double sheath_K;       /* under the scale */
    double boiling_K;      /* at this pressure */
    double noise_margin_K; /* wall above boiling point + onset: > 0 sings or rumbles */
    bool may_dry_out;      /* inside a bed at more than the bed can keep wet: burn-out */
} tufa_tank_skin;

TUFA_MUST_CHECK tufa_status tufa_tank_element_skin(const tufa_tank_skin_in *in, tufa_tank_skin *out);

/* Gas: share of the burner's input that reaches the water through a bed, and the bottom plate. */
typedef struct tufa_tank_bottom {
    double efficiency, bottom_share; /* share of the input that reaches the water, and the part through the bottom */
    double plate_K, plate_boiling_K; /* hottest by conduction alone, and where boiling in the bed keeps it wet */
    double noise_margin_K;
} tufa_tank_bottom;

TUFA_MUST_CHECK tufa_status tufa_tank_gas_bottom(double clean_efficiency, double burner_W, double bed_depth_m,
                                                 double bed_W_m_K, double water_K, double line_Pa,
                                                 tufa_tank_bottom *out);

/* ---- people ---- */

typedef enum tufa_person { TUFA_PERSON_ADULT, TUFA_PERSON_INFANT } tufa_person;

typedef struct tufa_tank_burn {
    double time_s;        /* shortest time to a burn in any of the sources at this temperature */
    const char *source;   /* whose table it is */
    const char *degree;   /* second, third, severe */
    bool below_table;     /* cooler than the table begins: no time is given (time_s 0) */
    bool above_table;     /* hotter than the table ends: at most time_s */
} tufa_tank_burn;

/* log(time) is linear in temperature between a source's rows; never beyond them. */
tufa_tank_burn tufa_tank_burn_time(double water_K, tufa_person who);

typedef struct tufa_tank_scald_row {
    double water_K, time_s;
    tufa_person who;
    const char *degree, *source;
} tufa_tank_scald_row;
size_t tufa_tank_scald_count(void);
const tufa_tank_scald_row *tufa_tank_scald_at(size_t i);

/* Decimal reduction time of Legionella at a temperature, with the band of the literature; 0 below 45 C, where it is
 * not killed within a day. */
typedef struct tufa_tank_kill {
    double D_s, D_short_s, D_long_s;
} tufa_tank_kill;
tufa_tank_kill tufa_tank_kill_time(double water_K);

/* ---- water, 0 to 100 C at 1 atm ---- */

double tufa_tank_water_kg_m3(double T_K);     /* within 0.01 kg/m3 of IAPWS-95 */
double tufa_tank_water_J_kg_K(double T_K);    /* within 0.3 J/(kg K) */
double tufa_tank_water_W_m_K(double T_K);     /* within 3e-4 */
double tufa_tank_water_Pa_s(double T_K);      /* within 3e-4, 6e-4 at 0 C */
double tufa_tank_water_J_kg(double T_K);      /* heat content above 0 C, liquid */

/* ---- the energy equation, to compare with ---- */

/* Daily energy in of Lutz, Whitehead, Lekov, Winiarski, Rosenquist 1998; loss_W_K as the equation means it: energy
 * in at rest (for gas: heat lost over recovery efficiency). */
double tufa_tank_equation_J(double daily_m3, double recovery_efficiency, double loss_W_K, double input_W,
                            double tank_K, double inlet_K, double ambient_K);

#ifdef __cplusplus
}
#endif
#endif
