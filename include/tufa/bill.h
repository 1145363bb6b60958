/* bill: is something leaking power, gas or hot water, since when, and what could it be. From bill readings
 * (a use for each period, with the weather) or from interval readings.
 *
 * Use is in any one unit (kWh, therm, 100 cubic feet, a river's flow); results are in that unit a day. Days count
 * from 1970-01-01 and may be fractions. */
#ifndef TUFA_BILL_H
#define TUFA_BILL_H

#include "tufa/base.h"
#include "tufa/fault.h"
#include "tufa/tank.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- bill readings ---- */

enum {
    TUFA_BILL_MAX_PERIODS = 480, /* forty years of months, or some sixteen months of days */
    TUFA_BILL_MAX_REMARKS = 64
};

enum tufa_bill_flag { /* of one period; may be added */
    TUFA_BILL_ESTIMATED = 1,     /* the reading was not taken but guessed by the utility */
    TUFA_BILL_METER_CHANGED = 2, /* the meter was changed within or at the start of the period */
    TUFA_BILL_VACANT = 4,        /* nobody lived there */
    TUFA_BILL_NEW_HOUSEHOLD = 8, /* other people since the start of the period */
    TUFA_BILL_HAS_MEAN = 16,     /* mean_K is given */
    TUFA_BILL_HAS_COST = 32      /* cost is given */
};

typedef struct tufa_bill_period {
    double start_day, days; /* the period is [start_day, start_day + days) */
    double use;             /* within the period, not a day */
    double mean_K;          /* outdoor mean of the period */
    double cost;            /* money for this use, any one currency */
    unsigned flags;
} tufa_bill_period;

/* What was noticed about the readings, by row. Edges word them; `words` is a plain sentence without figures. */
typedef enum tufa_bill_remark_kind {
#define X(id, name, words) TUFA_BILL_REMARK_##id,
#include "tufa/bill_remarks.def"
#undef X
    TUFA_BILL_REMARK_COUNT
} tufa_bill_remark_kind;

typedef struct tufa_bill_remark {
    tufa_bill_remark_kind kind;
    double day, end_day; /* of the period it is about */
    double value; /* days, use a day, or a ratio, as the kind says */
    double expected; /* what the fit expects, where that makes sense; 0 otherwise */
} tufa_bill_remark;

const char *tufa_bill_remark_name(tufa_bill_remark_kind kind);
const char *tufa_bill_remark_words(tufa_bill_remark_kind kind);

typedef struct tufa_bill_remarks {
    size_t n, lost; /* lost: how many did not fit */
    tufa_bill_remark at[TUFA_BILL_MAX_REMARKS];
} tufa_bill_remarks;

/* Puts periods in order of time and makes them usable: an estimated reading is joined with those after it up to
 * the first that was taken; what lies twice is cut; gaps, meter changes and a change of price are remarked.
 * `out` has room for n periods. Refuses negative use, days that are not above 0, and a period given twice with
 * another use. */
TUFA_MUST_CHECK tufa_status tufa_bill_prepare(size_t n, const tufa_bill_period *in, tufa_bill_period *out,
                                              size_t *n_out, tufa_bill_remarks *remarks);

/* ---- the model: base + heating slope (T_h - T)+ + cooling slope (T - T_c)+ + change ---- */

/* Forms after ASHRAE Guideline 14: 1P a mean; 2P a line through all temperatures; 3PH and 3PC a base and one
 * slope; 4P two slopes that meet; 5P two slopes with a base between. */
typedef enum tufa_bill_form {
    TUFA_BILL_1P, TUFA_BILL_2P, TUFA_BILL_3PH, TUFA_BILL_3PC, TUFA_BILL_4P, TUFA_BILL_5P, TUFA_BILL_FORM_COUNT
} tufa_bill_form;

typedef enum tufa_bill_change_kind {
    TUFA_BILL_NONE,
    TUFA_BILL_STEP,          /* another level since `day` */
    TUFA_BILL_PULSE,         /* lower for a while, or higher for two months at most */
    TUFA_BILL_RAMP,          /* rising or falling from `day` to `end_day` */
    TUFA_BILL_STEP_AND_BACK, /* higher from `day` to `end_day`, as by a leak that was mended */
    TUFA_BILL_KIND_COUNT
} tufa_bill_change_kind;

const char *tufa_bill_form_name(tufa_bill_form form);
const char *tufa_bill_kind_name(tufa_bill_change_kind kind);

typedef struct tufa_bill_options {
    unsigned forms;   /* set of 1u << form; 0: all that the data carry */
    unsigned kinds;   /* set of 1u << kind; 0: all */
    int keep_wild;    /* 1: no reading is set aside as wild */
    int equal_weights; /* 1: every period counts alike, as in published least-squares fits */
} tufa_bill_options;

/* A number with its 95 % interval. */
typedef struct tufa_bill_span {
    double mid, lo, hi;
} tufa_bill_span;

typedef struct tufa_bill_result {
    /* the fit that the readings favour, its change included */
    tufa_bill_form form;
    double form_probability[TUFA_BILL_FORM_COUNT];
    double base_per_day, heating_per_day_K, cooling_per_day_K; /* 2P: base is the value at 0 C, slopes are signed */
    double base_se, heating_se, cooling_se;
    double season_cos, season_sin;  /* 1P without weather: a yearly wave, cos and sin of 2 pi day / 365.25; else 0 */
    double heating_balance_K, cooling_balance_K; /* 0 where the form has none */
    tufa_bill_span balance_K;                    /* of the slope that the form has first; mid 0: none */
    double r2, residual_sd, sum_squares, sum_squares_no_change;
    size_t n_used, n_wild;
    double lag_correlation; /* of neighbouring residuals, as estimated */
    double mean_per_day;    /* of the readings used */
    double first_day, last_day; /* of the record */

    tufa_bill_change_kind kind;
    double probability[TUFA_BILL_KIND_COUNT];
    tufa_bill_span day, end_day; /* of the change; for a step end_day is not used */
    tufa_bill_span per_day;      /* its size; negative for a fall */
    double smallest_seen_per_day; /* a step in the middle of the record that would be noticed 8 times in 10 */

    double hidden_cold_per_day; /* by how much a mean temperature may raise the base (degree-day bias), at most */
    tufa_bill_remarks remarks;
} tufa_bill_result;

/* Bytes of arena that tufa_bill_read needs for n periods. */
size_t tufa_bill_bytes(size_t n);

/* Everything at once, from raw periods. Forms and balance points are averaged over in the odds of a change, every
 * possible date has its share of the prior, so that a long search costs what it should; neighbouring residuals may
 * be alike. `day_K`: mean outdoor temperature of n_days days from first_day on, or NULL; where it covers a period,
 * degree days are summed by day. MISSING when there are fewer than 6 usable periods. */
TUFA_MUST_CHECK tufa_status tufa_bill_read(size_t n, const tufa_bill_period *periods, size_t n_days, double first_day,
                                           const double *day_K, const tufa_bill_options *opt, tufa_arena *scratch,
                                           tufa_bill_result *out);

/* What the fit expects of a period, a day; with the change unless `steady`. Days as for tufa_bill_read. */
double tufa_bill_expected(const tufa_bill_result *r, const tufa_bill_period *p, size_t n_days, double first_day,
                          const double *day_K, int steady);

/* Several fuels of one house: the odds that one and the same date explains the changes of all (people came or left)
 * against a change in one fuel alone. */
TUFA_MUST_CHECK tufa_status tufa_bill_together(size_t n_fuels, const tufa_bill_result *const *fuel, double *same_date);

/* ---- interval readings: 1 s to a day long; any order, bounded memory ---- */

enum { TUFA_BILL_MAX_DAYS = 8192 }; /* twenty-two years in one stream */

typedef struct tufa_bill_interval_options {
    double plate_W; /* of one element as it really runs (on its voltage); 0: not known, the readings tell */
} tufa_bill_interval_options;

/* Scratch of a stream of readings; under 3 MB whatever its length, allocated by the caller. */
typedef struct tufa_bill_stream tufa_bill_stream;
size_t tufa_bill_stream_bytes(void);

/* `memory` of tufa_bill_stream_bytes(), aligned as malloc does. */
TUFA_MUST_CHECK tufa_status tufa_bill_interval_start(void *memory, size_t size, const tufa_bill_interval_options *opt,
                                                     tufa_bill_stream **stream);
/* One reading: energy within [t_s, t_s + length_s), seconds since 1970 in local time. Readings shorter than a minute
 * are gathered to minutes and must come in order; others may come in any. Time that is already covered is counted
 * and left out. RANGE for a negative or absurd reading, or more than 8192 days. */
TUFA_MUST_CHECK tufa_status tufa_bill_interval_add(tufa_bill_stream *s, double t_s, double length_s, double energy_J);

typedef struct tufa_bill_interval_result {
    size_t readings, left_out;  /* left_out: covered twice */
    double first_s, last_s;
    double covered_s, missing_s;
    double length_s;            /* the commonest length of a reading */
    double energy_J, mean_W, peak_W;
    double base_W;              /* the load that never rests: power is below it 1 % of the time */
    double hour_W[24];          /* mean power by hour of the local day */
    int heater_seen;            /* 1: power that comes and goes by one size, as a heating element does */
    int heater_alone;           /* 1: nothing else is on this meter */
    double heater_W;            /* that size */
    double heater_duty;         /* share of time on */
    double heater_J_per_day;
    double heater_hour_duty[24];
    size_t heater_starts;
    double longest_on_s;
} tufa_bill_interval_result;

TUFA_MUST_CHECK tufa_status tufa_bill_interval_finish(tufa_bill_stream *s, tufa_bill_interval_result *out);
/* What the stream says by day, as periods for tufa_bill_read: whole-day energy, or (base_only) the power that the day
 * never went below, as energy of a day; use in J. Days covered less than nine tenths are left out. The days are
 * gathered to periods of `each_days` (0: so many that they fit in `room`). */
TUFA_MUST_CHECK tufa_status tufa_bill_interval_periods(const tufa_bill_stream *s, int base_only, int each_days, size_t room,
                                                       tufa_bill_period *out, size_t *n_out);

/* ---- what could it be ---- */

/* One thing that changes a bill, of the heater or of something else in the house. */
typedef struct tufa_bill_cause {
    size_t source;      /* place in the table of sources */
    const char *id;     /* "earthed_element" */
    const char *title;  /* in plain words */
    const char *look;   /* the first thing to look at or ask */
    int of_heater;      /* 0: something else in the house, or the bill itself */
    int falls;          /* 1: it lowers the bill */
    const char *fuels;  /* E electricity, G gas */
    int how;            /* for the stage itself: where its size comes from, within lo to hi */
    double lo, hi;
    const char *cautions; /* ids of the table of cautions, parted by spaces; NULL for none */
    double common;
} tufa_bill_cause;

size_t tufa_bill_cause_count(void);
const tufa_bill_cause *tufa_bill_cause_at(size_t i); /* NULL beyond the end */

enum { TUFA_BILL_MAX_CAUSES = 48 };

/* How one cause fares against the change that was found. */
typedef struct tufa_bill_cause_fit {
    const tufa_bill_cause *cause;
    double least_W, bound_W; /* what it adds to (or takes from) the use of this house as a daily mean: from, to at most */
    double fits;             /* probability that the size of the change lies between */
    double share;            /* its share among all causes, from how common it is and how well it fits */
} tufa_bill_cause_fit;

typedef struct tufa_bill_causes {
    size_t n;
    tufa_bill_cause_fit at[TUFA_BILL_MAX_CAUSES]; /* the larger share first */
    double heater_share;   /* causes of the heater together */
    double heater_fits;    /* the best fit among them: under 0.05 it cannot be the heater */
    double drip_L_h;       /* hot water lost that would make the whole change, litres an hour; 0 for another fuel */
    double heater_W;       /* what the heater used before, by the tank stage; 0 for another fuel */
} tufa_bill_causes;

/* The house that the bill belongs to. A tank of another fuel than the bill cannot be the cause. */
typedef struct tufa_bill_house {
    const tufa_tank *tank;  /* NULL: the usual heater of the bill's fuel */
    tufa_tank_fuel fuel;    /* of the bill */
    double daily_m3;        /* hot water drawn a day; 0: the usual household */
} tufa_bill_house;

/* Which causes are physically able to make a change of `change_W` (daily mean; negative for a fall): each is bounded
 * by the tank stage for this heater. */
TUFA_MUST_CHECK tufa_status tufa_bill_could_be(const tufa_bill_house *house, const tufa_bill_span *change_W,
                                               tufa_bill_causes *out);

/* For the fault stage: what the bill says, as the outcome of its test `bill_split`: use_up, no_change, price_up or
 * estimate. MISSING when that test is not in its table. */
TUFA_MUST_CHECK tufa_status tufa_bill_as_reading(const tufa_bill_result *r, tufa_reading *out);

#ifdef __cplusplus
}
#endif
#endif
