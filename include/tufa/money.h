/* money: life of a tank and its parts, and what doing or leaving costs. Dollars are those of the prices handed in; costs
 * of later years are discounted. Method, sources and accuracy: docs/methods/money.md. */
#ifndef TUFA_MONEY_H
#define TUFA_MONEY_H

#include "tufa/ahead.h"
#include "tufa/base.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- life ---- */

/* Weibull: S(t) = exp(-(t / scale)^shape). */
typedef struct tufa_weibull {
    double shape, scale_years;
} tufa_weibull;

/* From mean and shape: scale = mean / Gamma(1 + 1 / shape). shape 0.2 to 20. */
TUFA_MUST_CHECK tufa_status tufa_weibull_from_mean(double mean_years, double shape, tufa_weibull *out);
double tufa_weibull_survival(const tufa_weibull *w, double age_years);
double tufa_weibull_hazard(const tufa_weibull *w, double age_years); /* a year */
/* Chance to fail within `years`, given that it stands at age_years. */
double tufa_weibull_fails_within(const tufa_weibull *w, double age_years, double years);
double tufa_weibull_mean(const tufa_weibull *w);
/* Mean remaining life, given that it stands at age_years; to 1e-8 of the mean life. */
TUFA_MUST_CHECK tufa_status tufa_weibull_remaining(const tufa_weibull *w, double age_years, double *years);

/* Life of a tank, or of a part, with its spread. */
struct tufa_life_grid;
typedef struct tufa_life {
    tufa_value mean_years, shape;
    const struct tufa_life_grid *grid; /* what own records leave of it, mean and shape together; NULL: they are drawn apart */
} tufa_life;
tufa_life tufa_life_default(tufa_fuel fuel); /* tank: mean 12 (10 to 14.5) years, shape 2.2 (1.8 to 3.0) */
/* Thermostats of an electric heater, gas control of another: mean 11 (8 to 15) years, shape 1.5 (1 to 2.5). */
tufa_life tufa_control_life_default(tufa_fuel fuel);
/* One life out of that spread, for two uniform numbers. */
tufa_weibull tufa_life_at(const tufa_life *life, double u_mean, double u_shape);

/* Lower element: failures a year = base exp(per_10K / 10 dT), dT the extra heat of the sheath under scale; times `buried`
 * where the bed covers it. The base comes from the house: gamma distribution, updated by its failures. */
typedef struct tufa_element_life {
    double shape, rate_years;    /* gamma of the base rate: mean shape / rate_years */
    tufa_value per_10K, buried;  /* 0.2 (0.1 to 0.3); 3 (1.5 to 5): assumptions */
} tufa_element_life;
tufa_element_life tufa_element_life_default(void);
/* Gamma-Poisson: `failures` in `exposure_years` (years times the factor exp(...) they ran under). */
tufa_element_life tufa_element_life_update(tufa_element_life prior, double failures, double exposure_years);
double tufa_element_failures_year(double base_year, double per_10K, double scale_rise_K);

/* Magnesium anode by Faraday: years until `usable` of its kg is gone at a mean current. 2205 Ah/kg, of which `efficiency`
 * protects (0.5; 0.4 to 0.6). Source: anode notes (SRC_ANODE_NOTES). */
TUFA_MUST_CHECK tufa_status tufa_anode_years(double kg, double current_A, double efficiency, double usable, double *years);
/* Mean current that a lined tank draws: ref_A at TUFA_ANODE_REF_S_M, and the power of the conductivity over that. The power lies
 * between 0.3 (oxygen at the bare spots sets it) and 1 (the water's resistance does): assumption. */
#define TUFA_ANODE_REF_S_M 0.06 /* 600 uS/cm */
double tufa_anode_current_A(double conductivity_S_m, double ref_A, double power);

/* ---- this year ---- */

/* Rows of include/tufa/choices.def and reasons.def. */
typedef enum tufa_choice {
#define X(id, ...) TUFA_CHOICE_##id,
#include "tufa/choices.def"
#undef X
    TUFA_CHOICE_COUNT
} tufa_choice;

typedef struct tufa_choice_row {
    const char *key, *what;
    tufa_value hours, left_share;
    int source;
} tufa_choice_row;
const tufa_choice_row *tufa_choice_at(tufa_choice a);

typedef enum tufa_reason {
#define X(id, words) TUFA_REASON_##id,
#include "tufa/reasons.def"
#undef X
    TUFA_REASON_COUNT
} tufa_reason;
const char *tufa_reason_words(tufa_reason r);

/* How a cleaning goes in this tank, out of the cleaning stage (the method that it prefers here). NONE: choices.def. */
typedef struct tufa_money_how {
    tufa_value hours, left_share;
    int refused;                      /* 1: no method may, or none can */
} tufa_money_how;

/* What another setting, softened water or another heater in its place would be: the view ahead of it, with the same key and
 * draws. SETPOINT and SOFTEN: the same heater from today on; the others: a new one, of age 0. */
typedef struct tufa_money_other {
    const tufa_ahead *ahead;          /* NULL: not weighed */
    int allowed;                      /* 0: weighed and shown, never proposed */
} tufa_money_other;

typedef struct tufa_money_in {
    const tufa_ahead *ahead;          /* the view ahead of this heater; its draws are used */
    tufa_prices prices;
    tufa_life life;
    tufa_element_life element;
    tufa_value anode_age_years;       /* since the anode was new; NONE: as old as the heater */
    tufa_value trip_share;            /* share of a round trip that this visit pays (others on the same street); NONE: 1 */
    tufa_value leak_damage_chance;    /* that a leaking tank does damage there; NONE: 0.1 (0.03 to 0.3) */
    double softened_share;            /* of the water; a softener uses up anodes faster */
    tufa_value conductivity_S_m;      /* of the water at 25 deg C: more eats the anode faster; NONE: 600 uS/cm */
    tufa_value anode_life_years;      /* as its own metal was seen to go; NONE: by Faraday */
    tufa_value bed_on_life;           /* hazard of a tank whose bed is in trouble over one without, learned; NONE: assumption */
    tufa_life control;                /* thermostats, or gas control */
    tufa_value control_age_years;     /* NONE: as old as the heater */
    double years;                     /* over which costs are counted; 10 by default, 30 at most */
    uint64_t key, price_key;          /* price_key alike for all heaters of a book: they see the same prices */
    int leaking;                      /* water was seen at the shell: replace, whatever the money says */
    tufa_money_how flush, clean;
    tufa_money_other other[TUFA_CHOICE_COUNT]; /* SETPOINT, SOFTEN, TO_GAS, TO_ELECTRIC, TO_HEAT_PUMP */
    unsigned char never[TUFA_CHOICE_COUNT];    /* 1: not done now nor in any later year */
    unsigned char taken[TUFA_SHARPEN_COUNT];   /* 1: this reading was taken of late; it is not weighed again */
    int clean_heat_up;                /* 1: this gas tank's own clean time is known; its heating-up is then read to 0.05 instead of 0.15 */
    double *draw_usd[TUFA_CHOICE_COUNT], *draw_spend_usd[TUFA_CHOICE_COUNT]; /* get each possible choice's done_usd without luck, and
                                         what is spent on it now, by draw; NULL: not wanted */
    unsigned grid;                    /* places of the bed's grid; 0: the usual. For tests of what the grid costs; takes more room */
} tufa_money_in;
tufa_money_in tufa_money_defaults(const tufa_ahead *ahead);
tufa_value tufa_money_damage_chance(void); /* that a leaking tank does damage, where nobody said: 0.1 (0.03 to 0.3), judgement */
double tufa_money_price_draw(const tufa_money_in *in, tufa_price p, size_t draw); /* what a draw takes a price to be */
double tufa_money_damage_draw(const tufa_money_in *in, size_t draw);              /* and the chance that a leak does damage */

enum { TUFA_MONEY_WAITS = 3 };
/* Present dollars without end: this heater and all that follow it, each thing done when it pays (the policy of the decision
 * problem, docs/methods/money.md). Energy is counted as far as it differs from a clean heater of this kind. */
typedef struct tufa_money_option {
    int possible;                     /* 0: does not apply (elements in a gas tank), or not weighed */
    int allowed;                      /* 0: shown, never proposed */
    double present_usd;               /* exact expectation of the decision problem: doing it now, then what is best */
    tufa_band done_usd;               /* cost over in->years, less what the deed is still worth at their end; ranges with luck */
    double mean_done_usd;             /* present_usd less what all courses cost alike after in->years */
    tufa_band gain_usd;               /* left_usd less done_usd, draw by draw without luck; > 0: it pays */
    double mean_gain_usd;             /* its mean: what the choice is made by */
    double gain_usd_year;             /* the same as an even sum a year for good: for what changes every year to come */
    double waiting_usd;               /* expected cost of doing it next year rather than now; below 0: better wait */
    double wait_usd[TUFA_MONEY_WAITS]; /* of doing it in 1, 2, 3 years rather than now: how flat the best time is */
    double best_share;                /* of draws in which it is the cheapest */
    tufa_band hours;                  /* own hours this year, travel not counted */
    double spend_now_usd;             /* median of parts, own hours and travel this year */
    tufa_reason reason;               /* why one would */
} tufa_money_option;

/* What one more reading is worth before choosing. */
typedef struct tufa_money_reading {
    int applies;                      /* 0: not weighed: other fuel, taken of late, or a job by itself (weigh, slurry) */
    double worth_usd;                 /* expected saving of a choice that may differ by what it shows; 0 where it changes none, or where
                                         the draws cannot tell it from chance; never above perfect_worth_usd */
    double cost_usd;                  /* own time, drive, laboratory */
    double changes_share;             /* of what it may show: the choice would be another */
} tufa_money_reading;

enum { TUFA_MONEY_REPLACE_YEARS = 30 };
typedef struct tufa_money_year {
    tufa_money_option option[TUFA_CHOICE_COUNT];
    tufa_band left_usd;               /* leaving it, with a planned replacement alone: failures, outages, calls, fuel lost */
    double left_present_usd;          /* the same without end */
    double wait_present_usd;          /* a year of leaving it, then the best */
    double best_present_usd;          /* the policy's value today */
    tufa_band years_usd;              /* whole cost within in->years under the policy, with luck; nothing credited at the end */
    double mean_years_usd;
    tufa_choice propose;              /* least expected cost, or LOOK where a reading is worth its visit */
    tufa_choice propose_without_look; /* least expected cost among the rest; this year only what saves a tenth of its cost */
    tufa_choice later;                /* when it is left this year: what follows, as far as can be seen; LEAVE: nothing */
    double later_years;               /* and when */
    tufa_choice second;               /* the next best */
    tufa_reason reason;
    int replace_in_years;             /* when a planned replacement is cheapest if nothing else is done; 0 now, in->years: not before then */
    double replace_usd[TUFA_MONEY_REPLACE_YEARS + 1]; /* present_usd of planning it k years on and leaving it till then: how flat it is */
    double regret_usd;                /* expected cost of the second best less the best */
    tufa_money_reading of_reading[TUFA_SHARPEN_COUNT];
    double perfect_worth_usd;         /* expected saving if everything were known before choosing: no reading can be worth more */
    double reading_worth_usd;         /* expected saving by `reading` before choosing, its cost not taken off */
    tufa_sharpen reading;             /* the reading worth most to the choice; COUNT: none is worth anything */
    double reading_changes_share;     /* of what it may show: the choice would be another */
    int date_sure;                    /* 1: due_years means something */
    tufa_band due_years;              /* when what is proposed pays or trouble begins: 0 = now */
    double due_latest_years;          /* the prudent end: the year by which 1 in 10 is in trouble; 0 = this year */
    tufa_band p_tank;                 /* chance that the tank leaks within a year */
    tufa_band p_element;              /* chance that the lower element fails within a year; 0 in a gas tank */
    tufa_band p_control;              /* chance that a thermostat or the gas control fails within a year */
    double mean_p_tank, mean_p_element, mean_p_control; /* of the three, over all draws: to add up over a fleet */
    double p_anode_spent;             /* chance that the anode is spent today */
    tufa_band remaining_years;        /* mean remaining life of the tank */
    double new_usd;                   /* present_usd of the day on which a new one like it stands there, its price not counted */
    double next_usd;                  /* present_usd of having it replaced: price, own hours, and all that follows */
} tufa_money_year;

/* `arena` holds scratch only and is rewound. */
TUFA_MUST_CHECK tufa_status tufa_money_look(const tufa_money_in *in, tufa_arena *arena, tufa_money_year *out);
/* What each other kind of heater whose view ahead is in `in` would save a year, for good, against a course of that present cost: the same
 * figures as those of tufa_money_look, without the rest. -HUGE_VAL: not weighed. Scratch is rewound. */
TUFA_MUST_CHECK tufa_status tufa_money_kinds(const tufa_money_in *in, double present_usd, tufa_arena *arena, double gain_usd_year[TUFA_CHOICE_COUNT]);
size_t tufa_money_bytes(unsigned draws);

/* A course that is kept to, whatever it costs: what is done every so many years, 0 for never. */
typedef struct tufa_money_course {
    double flush_years, clean_years, anode_years;
    double replace_age_years;         /* planned replacement at this age; 0: when it leaks */
} tufa_money_course;
typedef struct tufa_money_followed {
    double present_usd;               /* without end */
    double mean_years_usd;            /* within in->years, this heater and those that follow it */
    tufa_band years_usd;              /* the same in roll-outs, each draw with its luck */
    double rolled_usd, rolled_error_usd; /* mean of the roll-outs, and its standard error: beside mean_years_usd */
} tufa_money_followed;
/* The same model, draws and luck as tufa_money_look: two courses differ by the course alone. */
TUFA_MUST_CHECK tufa_status tufa_money_follow(const tufa_money_in *in, const tufa_money_course *course, tufa_arena *arena,
                                              tufa_money_followed *out);

/* ---- replacement and records, in general ---- */

/* Age replacement (Barlow and Hunter 1960): cost rate (planned R + failure F) / integral of R, least over the age. */
typedef struct tufa_age_replacement {
    int finite;                       /* 0: run it to failure; the hazard does not rise, or a failure is no dearer */
    double years;                     /* best age; 0 when not finite */
    double usd_year, to_failure_usd_year;
    double flat_lo_years, flat_hi_years; /* ages between which the cost is within 1 % of the least; hi 1e6: up to failure */
} tufa_age_replacement;
TUFA_MUST_CHECK tufa_status tufa_money_age_replacement(const tufa_weibull *life, double planned_usd, double failure_usd,
                                                       tufa_age_replacement *out);
/* The same discounted at a rate a year, by age of replacement: present cost of the part that stands new there and of all
 * that follow it, (planned e^-rt R + failure F*) / (1 - e^-rt R - F*), F* the discounted chance of failure before t. Best age
 * by golden section, 0 where it is run to failure; areas by Simpson's rule to 1e-9. */
typedef struct tufa_age_discounted {
    int finite;
    double years, present_usd, to_failure_usd;
} tufa_age_discounted;
TUFA_MUST_CHECK tufa_status tufa_money_age_discounted(const tufa_weibull *life, double planned_usd, double failure_usd, double rate,
                                                      tufa_age_discounted *out);
TUFA_MUST_CHECK tufa_status tufa_money_age_discounted_cost(const tufa_weibull *life, double planned_usd, double failure_usd,
                                                           double rate, double years, double *present_usd);
/* Cost rate at one age. */
TUFA_MUST_CHECK tufa_status tufa_money_age_cost(const tufa_weibull *life, double planned_usd, double failure_usd, double years,
                                                double *usd_year);

/* Wear that is known: replaced for replace_usd, running costs of period 1..n in wear_usd. average_usd[k]: mean cost a period
 * when replaced after k + 1; answers the best number of periods. */
TUFA_MUST_CHECK tufa_status tufa_money_average_cost(double replace_usd, size_t n, const double *wear_usd, double *average_usd,
                                                    size_t *best_periods);

/* Even yearly cost of usd spent now over so many years at a rate a year (0 allowed). */
TUFA_MUST_CHECK tufa_status tufa_money_equivalent_annual(double usd, double rate, double years, double *usd_year);
/* Least even yearly cost of a new thing with running costs at the end of year 1..n; answers the best life. */
TUFA_MUST_CHECK tufa_status tufa_money_economic_life(double usd, double rate, size_t n, const double *running_usd,
                                                     double *usd_year, size_t *best_years);

/* ---- records of lives ---- */

/* One life: seen from entry_years (0: since new; more: already that old when the records begin) until years, failed or not. */
typedef struct tufa_lived {
    double entry_years, years;
    int failed;
} tufa_lived;

/* Product-limit curve (Kaplan and Meier 1958; with entry ages as Lynden-Bell 1971). Steps at the failures, in rising order;
 * at most n of them. At equal ages failures come before those only seen until then. sd: Greenwood's formula. */
typedef struct tufa_limit_step {
    double years, survival, sd;
    size_t at_risk, failed;
} tufa_limit_step;
TUFA_MUST_CHECK tufa_status tufa_money_product_limit(size_t n, const tufa_lived *life, tufa_limit_step *step, size_t *steps);

/* Weibull by maximum likelihood, with entry ages and lives that go on. Needs two failures at different ages. The errors are
 * those of log shape and log scale from the curvature. */
typedef struct tufa_weibull_fit {
    tufa_weibull life;
    double log_shape_sd, log_scale_sd, log_likelihood;
} tufa_weibull_fit;
TUFA_MUST_CHECK tufa_status tufa_money_weibull_fit(size_t n, const tufa_lived *life, tufa_weibull_fit *out);

/* Several ends that compete (Aalen and Johansen 1978): life[i] ended by end[i] = 0 .. ends - 1 where it failed. incidence[e]:
 * share that end e has taken by then; survival: share that none has. With one end 1 - incidence is the product limit. */
enum { TUFA_MAX_ENDS = 8 };
typedef struct tufa_ends_step {
    double years, survival, incidence[TUFA_MAX_ENDS];
    size_t at_risk;
} tufa_ends_step;
TUFA_MUST_CHECK tufa_status tufa_money_ends(size_t n, const tufa_lived *life, const int *end, int ends, tufa_ends_step *step,
                                            size_t *steps);

/* What published lives and own records say together: weights (sum 1) on a grid of mean, shape and the hazard of a tank whose bed
 * is in trouble over one without. weight[(m * TUFA_LIFE_SHAPES + s) * TUFA_LIFE_BEDS + b]. */
enum { TUFA_LIFE_MEANS = 64, TUFA_LIFE_SHAPES = 32, TUFA_LIFE_BEDS = 7 };
typedef struct tufa_life_grid {
    double mean_years[TUFA_LIFE_MEANS], shape[TUFA_LIFE_SHAPES], bed_ratio[TUFA_LIFE_BEDS];
    double weight[TUFA_LIFE_MEANS * TUFA_LIFE_SHAPES * TUFA_LIFE_BEDS];
    double of_mean[TUFA_LIFE_MEANS], of_cell[TUFA_LIFE_MEANS * TUFA_LIFE_SHAPES]; /* its sums, for draws */
    size_t lives, failures;
} tufa_life_grid;
/* trouble_years[i]: age at which the bed of life i came into trouble (HUGE_VAL: never; NULL: not known of any, which leaves
 * bed_ratio as it was). prior->grid is not read. n may be 0. O(n) for each shape. */
TUFA_MUST_CHECK tufa_status tufa_life_learn(const tufa_life *prior, tufa_value bed_ratio, size_t n, const tufa_lived *life,
                                            const double *trouble_years, tufa_life_grid *out);
tufa_life tufa_life_from(const tufa_life_grid *g);                       /* its ranges, and the grid itself for draws */
tufa_value tufa_life_bed_ratio(const tufa_life_grid *g);
tufa_value tufa_life_survival(const tufa_life_grid *g, double age_years); /* of one without trouble; median, 10 and 90 % */
tufa_value tufa_bed_on_life_default(tufa_fuel fuel); /* gas 1.2 (1 to 1.5), electric 1.05 (1 to 1.2): assumption, nothing published */

/* ---- what may end first ---- */

/* Rows of include/tufa/risks.def: ends that compete for one heater. */
typedef enum tufa_risk {
#define X(id, ...) TUFA_RISK_##id,
#include "tufa/risks.def"
#undef X
    TUFA_RISK_COUNT
} tufa_risk;
typedef struct tufa_risk_row {
    const char *key, *what, *then; /* what it is called; what follows from it */
    int source;
} tufa_risk_row;
const tufa_risk_row *tufa_risk_at(tufa_risk r);

enum { TUFA_RISK_YEARS = 10 };
/* within[r][y]: chance that it has come after y years (0 .. 10), were it alone; first[r][y]: that it has come and was the first of
 * all. Averaged over what is not known. A spent anode is a state: within[ANODE][0] is the chance that it is spent today; where it is,
 * the others run on without it. */
typedef struct tufa_risks {
    double within[TUFA_RISK_COUNT][TUFA_RISK_YEARS + 1], first[TUFA_RISK_COUNT][TUFA_RISK_YEARS + 1];
    double none[TUFA_RISK_YEARS + 1]; /* chance that nothing has come: 1 - sum of first */
} tufa_risks;
TUFA_MUST_CHECK tufa_status tufa_money_risks(const tufa_money_in *in, tufa_arena *arena, tufa_risks *out); /* scratch rewound */

/* ---- decisions in general ---- */

/* A finite Markov decision problem. usd[s * actions + a]: expected cost of a step from state s under action a (HUGE_VAL: not
 * allowed there); to[(s * actions + a) * states + t]: chance to be in t afterwards. Costs are made as small as can be. */
typedef struct tufa_decisions {
    size_t states, actions;
    const double *usd, *to;
    double discount; /* factor a step, 0 to 1 */
} tufa_decisions;

/* Discounted without end, discount < 1: policy iteration, exact up to rounding. value[s], action[s]. Scratch in the arena,
 * (states^2 + 4 states) doubles, rewound. */
TUFA_MUST_CHECK tufa_status tufa_money_policy(const tufa_decisions *d, tufa_arena *arena, double *value, size_t *action);
/* `steps` steps and then end_usd[s] (NULL: nothing). value[s] and action[s] are those of the first step. */
TUFA_MUST_CHECK tufa_status tufa_money_policy_finite(const tufa_decisions *d, size_t steps, const double *end_usd,
                                                     tufa_arena *arena, double *value, size_t *action);

/* ---- a contractor's quote ---- */

typedef enum tufa_quote_for {
    TUFA_QUOTE_REPLACE,
    TUFA_QUOTE_REPAIR,
    TUFA_QUOTE_CLEAN,
    TUFA_QUOTE_TREATMENT,
    TUFA_QUOTE_FOR_COUNT
} tufa_quote_for;

/* Rows of include/tufa/quote_lines.def. */
typedef enum tufa_quote_line {
#define X(id, ...) TUFA_LINE_##id,
#include "tufa/quote_lines.def"
#undef X
    TUFA_LINE_COUNT
} tufa_quote_line;
typedef enum tufa_line_need { TUFA_LINE_NEVER, TUFA_LINE_MAYBE, TUFA_LINE_ALWAYS } tufa_line_need;
typedef struct tufa_quote_line_row {
    const char *key, *names, *what, *ask;
    double electric[3], gas[3];           /* usual low, middle, high; all 0: no usual range */
    tufa_line_need need[TUFA_QUOTE_FOR_COUNT];
    int sized;                            /* grows with the tank */
    int source;
} tufa_quote_line_row;
const tufa_quote_line_row *tufa_quote_line_at(tufa_quote_line l);

/* Rows of include/tufa/treatments.def: what is sold against scale, and what is known of it. */
typedef enum tufa_treatment {
#define X(id, ...) TUFA_TREATMENT_##id,
#include "tufa/treatments.def"
#undef X
    TUFA_TREATMENT_COUNT
} tufa_treatment;
typedef enum tufa_evidence {
    TUFA_EVIDENCE_NONE,     /* tested against an untreated control, no effect found; or never tested so */
    TUFA_EVIDENCE_MIXED,    /* tests disagree, or an effect was found in laboratories alone */
    TUFA_EVIDENCE_MEASURED  /* the effect is measured and agreed */
} tufa_evidence;
typedef struct tufa_treatment_row {
    const char *key, *names, *what, *known, *also; /* known: what is known, with its source; also: what else it costs or does */
    tufa_evidence evidence;
    double removes;         /* MEASURED: share of the scale that it keeps out */
    int source;
} tufa_treatment_row;
const tufa_treatment_row *tufa_treatment_at(tufa_treatment t);

typedef enum tufa_quote_ask {
#define X(id, key, words) TUFA_ASK_##id,
#include "tufa/quote_asks.def"
#undef X
    TUFA_ASK_COUNT
} tufa_quote_ask;
const char *tufa_quote_ask_key(tufa_quote_ask a);
const char *tufa_quote_ask_words(tufa_quote_ask a);

typedef enum tufa_quote_reason {
#define X(id, words) TUFA_QUOTE_REASON_##id,
#include "tufa/quote_reasons.def"
#undef X
    TUFA_QUOTE_REASON_COUNT
} tufa_quote_reason;
const char *tufa_quote_reason_words(tufa_quote_reason r);

typedef enum tufa_quote_says { TUFA_QUOTE_TAKE, TUFA_QUOTE_ASK_FIRST, TUFA_QUOTE_NO } tufa_quote_says;
typedef enum tufa_quote_mark { TUFA_MARK_ABSENT, TUFA_MARK_LOW, TUFA_MARK_USUAL, TUFA_MARK_HIGH, TUFA_MARK_NO_RANGE } tufa_quote_mark;

typedef struct tufa_quote_in {
    tufa_money_in money;        /* with the view ahead; its `leaking` is not looked at, that below counts */
    tufa_quote_for what;
    int repair;                 /* REPAIR: row of tufa_fault_repair_at; -1: not said which */
    tufa_treatment treatment;   /* TREATMENT; COUNT: not said which */
    double price_usd;           /* of everything; below 0: the sum of the lines */
    double line_usd[TUFA_LINE_COUNT]; /* below 0: the quote has no such line */
    double warranty_years;      /* below 0: not said */
    int leaking, limit_failed, flue_unsafe; /* 1 yes, 0 no, -1 not known; leaking: the shell of the tank itself */
    tufa_choice kind;           /* REPLACE: by its like, or TO_GAS, TO_ELECTRIC, TO_HEAT_PUMP, whose view ahead is then in money.other */
    int kind_allowed;           /* does the house allow that kind: 1 yes, 0 no, -1 not known */
    int by_himself;             /* 1: the owner could do this work himself; 0: he would pay somebody at the usual price */
} tufa_quote_in;
/* Nothing but the kind of work: no lines, no dangers, leaking not known. Electric heaters the owner replaces himself; gas and
 * propane he does not (gas and vent are kept for the trade in many places). */
tufa_quote_in tufa_quote_defaults(const tufa_ahead *ahead, tufa_quote_for what);

enum { TUFA_QUOTE_ASKS = 32 };
/* The price beside the break-even: the price at which taking the quote and the best of everything else cost alike over
 * money.years. Ranges are over what is not known, by draws of the view ahead, prices and lives. */
typedef struct tufa_quote {
    tufa_quote_says says;
    tufa_quote_reason reason;
    int must_replace, must_refer;          /* whatever the money says: the shell leaks; the limit or the flue is unsafe */
    double price_usd, lines_usd;           /* lines_usd 0: no lines were given */
    double gain_usd;                       /* break-even less price: > 0 the quote is the better by so much */
    tufa_band gain_range_usd;
    double break_even_usd;                 /* expected; below 0: not even for nothing */
    tufa_band break_even_range_usd;
    double better_share;                   /* of draws in which the quote is the better */
    tufa_choice instead;                   /* the best of everything else; `same_usd` when it is the same work */
    int instead_same;                      /* 1: the same work, done by himself or at the usual price */
    double quote_usd, instead_usd;         /* present cost of both */
    double same_usd;                       /* the same work by himself, or at the usual price; below 0: not known */
    double usual_usd[3];                   /* what such a job usually costs: low, middle, high */
    tufa_quote_mark mark, line_mark[TUFA_LINE_COUNT];
    double absent_usd;                     /* what the lines that a complete job has and this quote has not would usually add */
    double warranty_usd;                   /* what the warranty is worth over the usual one */
    double treats_all_usd;                 /* TREATMENT: worth if it stopped all scale; else 0 */
    struct {
        tufa_quote_ask ask;
        tufa_quote_line line;              /* LINE: which */
        double worth_usd;                  /* > 0: the answer to the quote may turn on it, and this is what knowing is worth */
    } ask[TUFA_QUOTE_ASKS];                /* what may turn the answer first */
    size_t asks;
} tufa_quote;

/* `arena` holds scratch only and is rewound. RANGE for a price over 1e6 or a warranty over 50 years, MISSING without price and
 * lines. */
TUFA_MUST_CHECK tufa_status tufa_quote_look(const tufa_quote_in *in, tufa_arena *arena, tufa_quote *out);
size_t tufa_quote_bytes(unsigned draws);
/* Usual range of a line for a heater of this fuel and volume (0: 40 gallons); all 0 where there is none. */
void tufa_quote_usual(tufa_quote_line l, tufa_fuel fuel, double volume_m3, double usd[3]);

/* ---- a fair trial of a treatment ---- */

/* Pairs of houses on one water; both tanks cleaned to begin with, one of each pair treated for `months`, what settled is then
 * weighed in both; with `swap` the treatment then changes sides for as long again, which takes the difference between the
 * houses out. log_sd_between: of the rate between two heaters on one water; log_sd_season: of one heater from one period to the
 * next; log_sd_weighed: of a weighing. */
typedef struct tufa_fair_trial {
    int pairs, swap;
    double log_sd_between, log_sd_season, log_sd_weighed;
} tufa_fair_trial;
/* Spread of the mean log ratio, treated over untreated. */
TUFA_MUST_CHECK tufa_status tufa_fair_trial_log_sd(const tufa_fair_trial *t, double *log_sd);
/* The least share of the scale that a treatment must keep out to be seen in 8 of 10 such trials, while a treatment that does
 * nothing is taken for one that works in 1 of 40; 0 to 1. */
TUFA_MUST_CHECK tufa_status tufa_fair_trial_least_seen(const tufa_fair_trial *t, double *share);
/* Chance that the trial shows a treatment that keeps out `share`, 0 <= share < 1. */
TUFA_MUST_CHECK tufa_status tufa_fair_trial_power(const tufa_fair_trial *t, double share, double *power);

#ifdef __cplusplus
}
#endif
#endif
