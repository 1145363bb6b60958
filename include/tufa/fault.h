/* fault: from what the tenant says and what was measured to the fault, the next reading and what to bring.
 *
 * The tables (core/fault/ .def files) hold complaints, faults, readings, repairs, stop rules and house knowledge; ids are
 * stable text, places in the tables are ints and change from version to version. Every probability in them is
 * judgement unless its source says otherwise: the answers agree with the tables, houses may not.
 * Sizes, numbers and readings are in the unit that their row names; no heap, no clock. */
#ifndef TUFA_FAULT_H
#define TUFA_FAULT_H

#include "tufa/base.h"
#include "tufa/tank.h"

#ifdef __cplusplus
extern "C" {
#endif

enum {
    TUFA_MAX_FAULTS = 56,
    TUFA_MAX_COMPLAINTS = 32,
    TUFA_MAX_TESTS = 72,
    TUFA_MAX_REPAIRS = 32,
    TUFA_MAX_KNOWN = 64,
    TUFA_MAX_CATEGORIES = 8,
    TUFA_MAX_READINGS = 48,
    TUFA_MAX_PAIRS_TOLD = 8,
    TUFA_MAX_OUTCOMES = 3,
    TUFA_MAX_PARTS = 8,
    TUFA_MAX_CONFLICTS = 8,
    TUFA_MAX_ACTIONS = 6
};

/* ---- the tables ---- */

typedef enum tufa_urgency { TUFA_STOP_NOW, TUFA_SAME_DAY, TUFA_NEXT_DAYS, TUFA_WHEN_PLANNED } tufa_urgency;

/* `gas`, `electric`: 1 where the row belongs to heaters of that fuel. */
typedef struct tufa_complaint {
    const char *id, *title, *ask, *tell;
    int electric, gas;
    tufa_urgency urgency;
    double leak; /* chance that it is voiced though no listed fault causes it */
    size_t source;
} tufa_complaint;

typedef struct tufa_fault_row {
    const char *id, *title, *why, *danger, *if_missed, *who;
    double share_electric, share_gas; /* share of the calls about such a heater; 0: cannot happen there */
    double share_factor;              /* the true share lies within this factor in 8 of 10 cases */
    double yearly_lo, yearly_mid, yearly_hi; /* new cases in 100 heater-years in a hard-water district */
    double missed_usd;                /* extra cost when a call ends without finding it: order of magnitude */
    size_t source;
} tufa_fault_row;

typedef enum tufa_access {
    TUFA_ACCESS_PHONE, TUFA_ACCESS_DESK, TUFA_ACCESS_LOOK, TUFA_ACCESS_TAP, TUFA_ACCESS_TOUCH, TUFA_ACCESS_WATCH,
    TUFA_ACCESS_METER,     /* breaker handles and the house's electricity meter, every cover on */
    TUFA_ACCESS_WATER, TUFA_ACCESS_GAS,
    TUFA_ACCESS_DEAD,      /* covers off after isolating and proving dead */
    TUFA_ACCESS_TANK_OPEN,
    TUFA_ACCESS_CLAMP,     /* clamp set while dead: trained people */
    TUFA_ACCESS_LIVE,      /* bare live parts: trained people */
    TUFA_ACCESS_COUNT
} tufa_access;

/* A reading that can be taken. A number is in `unit`, possible from lo to hi; a category is one of `categories`. */
typedef struct tufa_test {
    const char *id, *title, *how, *unit, *tool, *hazard, *isolation, *stops;
    const char *categories[TUFA_MAX_CATEGORIES]; /* ends with NULL; empty for a number */
    const char *category_words[TUFA_MAX_CATEGORIES];
    int electric, gas;
    tufa_access access;
    double minutes, usd;
    int hazard_class; /* 0 none, 1 scald, wet or handles, 2 stored energy, gas or a clamp, 3 bare live parts */
    double lo, hi;
    double least;     /* a smaller number is entered as this: half of the instrument's last digit */
    double sd, sd_share; /* of the instrument, in `unit` or as a share of the figure */
    int log_scale;    /* 1: spans decades */
    size_t source;
} tufa_test;

typedef struct tufa_repair {
    const char *id, *title, *fixes, *parts, *sizes, *tools, *steps, *verify, *who;
    int electric, gas;
    double minutes_lo, minutes, minutes_hi, part_usd_lo, part_usd_hi;
    const char *drain; /* water that has to come out */
    size_t source;
} tufa_repair;

/* Something about house, heater or household that shifts the odds: "tap_changed". */
typedef struct tufa_known {
    const char *id, *title;
} tufa_known;

size_t tufa_fault_complaint_count(void);
size_t tufa_fault_count(void);
size_t tufa_fault_test_count(void);
size_t tufa_fault_repair_count(void);
size_t tufa_fault_known_count(void);
const tufa_complaint *tufa_fault_complaint_at(size_t i); /* NULL past the end, as all below */
const tufa_fault_row *tufa_fault_at(size_t i);
const tufa_test *tufa_fault_test_at(size_t i);
const tufa_repair *tufa_fault_repair_at(size_t i);
const tufa_known *tufa_fault_known_at(size_t i);
/* The same rows in the words that fit the heater: with one element there is no upper and no lower. */
const tufa_fault_row *tufa_fault_for(size_t i, int one_element);
const tufa_test *tufa_fault_test_for(size_t i, int one_element);
const tufa_repair *tufa_fault_repair_for(size_t i, int one_element);
/* Place of an id in its table, or -1. */
int tufa_fault_complaint_find(const char *id);
int tufa_fault_find(const char *id);
int tufa_fault_test_find(const char *id);
int tufa_fault_repair_find(const char *id);
int tufa_fault_known_find(const char *id);
/* Place of a category of a test, or -1. */
int tufa_fault_test_category(const tufa_test *t, const char *name);
/* 1 where a repair mends a fault. */
int tufa_fault_repair_mends(const tufa_repair *r, const char *id);
/* P(complaint | this fault alone), 0 where the pair has no row. */
double tufa_fault_voices(int fault, int complaint);

/* ---- the heater ---- */

/* The tank as it should be, with the bed that is expected in it, and what the tank stage has no field for. `tank.lower_W` and
 * `tank.upper_W` are plate watts at plate_V. */
typedef struct tufa_fault_heater {
    tufa_tank tank;
    double supply_V;     /* 240, 208 (two legs of three) or 120 (one leg and neutral) */
    double plate_V;      /* for which the plate gives the watts */
    int single_element;  /* one thermostat, no change-over; its watts are lower_W */
    int propane;
    double drain_bore_m, hose_bore_m, hose_length_m; /* 0: 14 mm, 5/8 in, 15 m */
} tufa_fault_heater;

/* The reference heater of a fuel: electric 190 L with two 4500 W elements for 240 V, or gas 151 L, 40,000 Btu/h. */
tufa_fault_heater tufa_fault_heater_default(tufa_tank_fuel fuel);

/* ---- a call ---- */

/* One reading: a number in the test's unit, or a place in its categories. */
typedef struct tufa_reading {
    int test, category; /* category -1 for a number */
    double value;
} tufa_reading;

/* What a call holds. Silence about a complaint says nothing; an asked "no" does. */
typedef struct tufa_call {
    unsigned char complaint[TUFA_MAX_COMPLAINTS]; /* 1 voiced, 2 asked and denied, 0 silence */
    unsigned char known[TUFA_MAX_KNOWN];          /* 1 yes, 0 not said */
    tufa_value age_years, people, months_since_visit, nitrate_mg_l, sulfate_mg_l; /* basis NONE: not known */
    int month;          /* 1 to 12; 0: not known */
    int trained;        /* 1: the person may work beside live parts */
    int made_safe;      /* 1: heat is off, the house warned or released; reading may go on after a stop */
    int readings;
    tufa_reading reading[TUFA_MAX_READINGS];
    double found[TUFA_MAX_FAULTS]; /* faults found in the owner's own closed calls on this fuel */
    double own_hour_usd, second_trip_usd; /* 0: by the default prices, see tufa_fault_trip_usd */
} tufa_call;

/* ---- answers ---- */

typedef struct tufa_stop {
    const char *id, *level, *words; /* level "leave" or "stop"; id NULL: nothing stops the work */
    int silent;                     /* 1: the words are the whole answer */
} tufa_stop;

typedef struct tufa_fault_odds {
    int fault;
    double probability;
} tufa_fault_odds;

typedef struct tufa_fault_pair {
    int a, b;
    double probability; /* both at once */
} tufa_fault_pair;

/* One range of results of the next reading, and the likeliest fault after it. */
typedef struct tufa_outcome {
    int category; /* -1 for a range lo..hi */
    double lo, hi, probability;
    tufa_fault_odds then;
} tufa_outcome;

typedef struct tufa_next {
    int test; /* -1: no reading is worth its minutes */
    double gain_usd, minutes, cost_usd; /* minutes and cost with access already gained left out */
    int outcomes;
    tufa_outcome outcome[TUFA_MAX_OUTCOMES];
    int sake; /* the fault whose loss the reading lessens most, -1 by another rule; it may be a rare and dangerous one */
    double sake_probability;
    int single_element; /* of the heater, for the words */
} tufa_next;

/* A repair that would be made: when it is likely enough to be worth its own cost. */
typedef struct tufa_action {
    int fault, repair; /* repair -1: none known, somebody else's work */
    double probability;
} tufa_action;

typedef struct tufa_part {
    int repair;
    double probability, saved_usd; /* odds that it is needed; odds x second trip less half its price tied up */
} tufa_part;

typedef struct tufa_fault_answer {
    tufa_stop stop;
    int faults; /* number in odds; 0 when only the stop speaks */
    tufa_fault_odds odds[TUFA_MAX_FAULTS]; /* marginal, descending */
    int pairs;
    tufa_fault_pair pair[TUFA_MAX_PAIRS_TOLD]; /* likeliest, descending */
    tufa_next next;
    int actions;
    tufa_action action[TUFA_MAX_ACTIONS];
    int parts;
    tufa_part part[TUFA_MAX_PARTS];
    int conflicts;
    int conflict[TUFA_MAX_CONFLICTS][2]; /* places in the call's readings that no fault or pair explains together */
    double total; /* sum of all singles and pairs before rounding: 1 */
    double loss_usd; /* expected loss when the call is closed now */
    double sheath_K, growth_s; /* of the heater as it stands, by simulation: the lower element's sheath while it heats (gas: 0), and
                                  the hours a day in which bacteria grow (25 to 45 C), mean of all layers */
    int single_element; /* of the heater, for the words */
} tufa_fault_answer;

/* What one more trip to the same house costs: the drive, the owner's time on it, and half a day's wait of the tenant. */
double tufa_fault_trip_usd(const tufa_prices *p);

/* The rule by which the next reading is chosen. TUFA_RULE_LOSS is the program's; the others are there to be compared with. */
typedef enum tufa_rule { TUFA_RULE_LOSS, TUFA_RULE_INFORMATION, TUFA_RULE_FIXED } tufa_rule;

/* Everything that depends on the heater and not on the call, and room to work in. The caller owns `bytes` of memory,
 * aligned to 64; build once for a heater, then ask as often as wanted. */
typedef struct tufa_finder tufa_finder;
size_t tufa_fault_finder_bytes(void);

/* Centres of all readings under every fault for this heater: Ohm's law, the solved circuit and the tank stage where physics
 * gives them, the table's own figure elsewhere. */
TUFA_MUST_CHECK tufa_status tufa_fault_prepare(const tufa_fault_heater *heater, tufa_finder *f);

/* Is a reading possible at all: the right fuel, in range? Says why not. */
TUFA_MUST_CHECK tufa_status tufa_fault_reading_check(const tufa_fault_heater *heater, const tufa_reading *r);

/* Singles and pairs exactly, danger first, the next reading, what to do, what to bring. */
TUFA_MUST_CHECK tufa_status tufa_fault_rank(tufa_finder *f, const tufa_call *call, tufa_fault_answer *answer);
TUFA_MUST_CHECK tufa_status tufa_fault_rank_by(tufa_finder *f, const tufa_call *call, tufa_rule rule,
                                               tufa_fault_answer *answer);

/* What reading `which` of the call did: for each fault the change of the natural log of its odds by that reading, all others
 * kept; the same in whatever order they were taken. Figures beyond +-30 are cut there. */
TUFA_MUST_CHECK tufa_status tufa_fault_explain(tufa_finder *f, const tufa_call *call, int which,
                                               double shift[TUFA_MAX_FAULTS]);

/* Median and 10 to 90 % of a reading under one or two faults (b -1: one; a -1 too: healthy), as the tables and the heater
 * give it; for a category test the probability of `category` in mid. */
TUFA_MUST_CHECK tufa_status tufa_fault_expect(const tufa_finder *f, int a, int b, int test, int category, tufa_value *v);

/* A day of use of this heater with one or two faults (-1: none), by simulation: sheath, hours in which bacteria grow, litres.
 * people 0: the usual number. Faults that do not touch the tank give the day of a sound heater. */
TUFA_MUST_CHECK tufa_status tufa_fault_day(const tufa_finder *f, int a, int b, double people, tufa_tank_day *day);

/* A reading drawn from the same distribution (one in fifty is drawn flat over the test's range). */
TUFA_MUST_CHECK tufa_status tufa_fault_draw(const tufa_finder *f, int a, int b, int test, uint64_t key, uint64_t stream,
                                            tufa_reading *r);

/* Visits in simulation: complaints and readings drawn from the tables, worked by one rule to its end, then mended as
 * choose says. `a`, `b`: the truth (b -1: one fault; a -1: drawn from the shares of calls). `wider`: the drawn readings scatter so
 * many times wider than the tables say, and shares of calls are off by the factors of their rows; 1: as the tables. It tells
 * how far the rules agree with the tables, not what houses are like. */
typedef struct tufa_trial {
    int visits, found, first;       /* every true fault mended; a true fault first in the list */
    int second;                     /* visits that found one of two faults and missed the other */
    double missed_usd;              /* mean a visit: what the faults cost that were missed */
    double readings, minutes;       /* mean a visit */
    double reading_usd, lost_usd;   /* mean a visit: time, material and hazard; faults missed and work for nothing */
    int sure[10], right[10];        /* visits whose likeliest fault ended at 0.0-0.1, ... 0.9-1.0, and those right */
    double sure_sum[10];            /* sum of those probabilities */
} tufa_trial;

TUFA_MUST_CHECK tufa_status tufa_fault_trial(tufa_finder *f, int a, int b, tufa_rule rule, double wider, uint64_t key,
                                             int visits, tufa_trial *out);

/* The stop rules alone, without any ranking. */
tufa_stop tufa_fault_stop(const tufa_call *call);

/* ---- the circuit of a heater, read with a meter ---- */

typedef enum tufa_circuit_state { TUFA_TOP_COLD, TUFA_BOTTOM_COLD, TUFA_ALL_HOT } tufa_circuit_state;

/* What is wrong in the circuit; all zero is healthy. Coils broken, contacts stuck, a leak of the coil to its sheath. */
typedef struct tufa_circuit_cut {
    int upper_coil_open, lower_coil_open;
    int upper_dead_high, upper_no_handover, upper_stuck_on; /* change-over thermostat */
    int lower_never, lower_always;                         /* lower thermostat open, welded */
    int limit_open, leg1_dead, leg2_dead, supply_dead;
    double joint_ohm;                                      /* extra resistance in the switched leg */
    double upper_leak_at, upper_leak_ohm, lower_leak_at, lower_leak_ohm; /* share of the coil from the unswitched end, ohm; ohm 0: none */
} tufa_circuit_cut;

/* Voltages as a meter of 10 Mohm shows them, amps in the larger leg and the sum of both, watts taken. */
typedef struct tufa_circuit_read {
    double supply_V, leg_min_V, leg_max_V, limit_out_V, upper_V, lower_V, lower_contact_V;
    double upper_screw_earth_V[2], lower_screw_earth_V[2]; /* switched, unswitched */
    double leg_A, net_A, power_W;
} tufa_circuit_read;

/* Solves the wiring as a resistive network (two legs of 120 V against earth at 180 degrees, at 120 degrees on a 208 V service,
 * or one leg and neutral). RANGE for figures out of reason; SOLVE cannot happen for finite resistances. */
TUFA_MUST_CHECK tufa_status tufa_fault_circuit(const tufa_fault_heater *heater, const tufa_circuit_cut *cut,
                                               tufa_circuit_state state, tufa_circuit_read *read);

/* ---- hot water tonight ---- */

typedef struct tufa_tonight {
    const char *what, *never; /* what to do with what is in the van, and what never */
    int possible, days;       /* 0: the answer is off; how many days it may run so */
    double litres, shower_litres, minutes_again; /* drawn until 40.6 C, mixed to 40 C, wait for the next; from the tank stage */
    double growth_s, growth_sound_s; /* a day in which bacteria grow, mean of the layers: with this fault, and as it should be */
    int single_element; /* of the heater, for the words */
} tufa_tonight;

/* Judgement in every permission and time; in doubt the answer is off. Nothing of it is for a tenant to do. */
TUFA_MUST_CHECK tufa_status tufa_fault_tonight(const tufa_finder *f, int fault, tufa_tonight *t);

#ifdef __cplusplus
}
#endif
#endif
