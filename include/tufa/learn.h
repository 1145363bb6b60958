/* learn: what was found -> this heater's own eps_ref, and how sure. The findings are held against the deposit model of the
 * heater's own history. Method and accuracy: docs/methods/learn.md. */
#ifndef TUFA_LEARN_H
#define TUFA_LEARN_H

#include "tufa/ahead.h"
#include "tufa/base.h"
#include "tufa/deposit.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What one finding says, beside what was expected. Without a reading (a cleaning only) everything is 0. */
typedef struct tufa_learn_finding {
    int reads;                                 /* 1: it was held against the forecast */
    double expected, expected_lo, expected_hi; /* in the unit of the finding: median, 10 and 90 % before any finding */
    double surprise;                           /* distance in the log from what prior and all other findings lead to, in standard deviations */
    int contradicts;                           /* surprise above TUFA_CONTRADICTS: to be named, not quietly averaged in */
    int set_aside;                             /* it was left out for that; expected, surprise and without are told all the same */
    tufa_value without;                        /* posterior of eps_ref if this one were not known: what it did */
} tufa_learn_finding;
#define TUFA_CONTRADICTS 3.0

typedef struct tufa_learn {
    tufa_eps prior, posterior;
    tufa_value prior_eps, posterior_eps;
    double ratio, ratio_lo, ratio_hi; /* posterior over the prior's median: "lays down 1.6 times what the water says" */
    size_t used;                      /* findings that carry a reading and are weighed */
    size_t aside;                     /* findings set aside */
    tufa_value loss_per_kg, prior_loss_per_kg; /* gas: share of the fuel lost to each kg of bed, with and without what was found */
    double loss_told[TUFA_LOSS_CELLS]; /* gas: how likely its heat-up times are by what each kg costs, the most 1; whatever in->loss is */
    size_t loss_used;                 /* heat-up times that are weighed; 0: loss_told says nothing */
    size_t skipped;                   /* findings older than the heater, left out */
    int contradicting;                /* index of the weighed finding that contradicts most; -1: none */
} tufa_learn;

/* Posterior of eps_ref on the grid, with everything else that is not known averaged over `in->draws` draws. `each` has
 * room for in->findings, or is NULL. `in->eps` is the prior: by fuel, or handed down by the houses on the same water.
 * `arena` holds scratch only and is rewound; tufa_learn_bytes says how much it takes. */
TUFA_MUST_CHECK tufa_status tufa_learn_eps(const tufa_ahead_in *in, tufa_arena *arena, tufa_learn *out,
                                           tufa_learn_finding *each);
/* The same, and while one finding contradicts prior and all others it is set aside (in `found`, the caller's copy of in->found,
 * which is read in its place), the worst first, as long as another is left to speak. A finding alone is never set aside. */
TUFA_MUST_CHECK tufa_status tufa_learn_settle(const tufa_ahead_in *in, tufa_finding *found, tufa_arena *arena, tufa_learn *out,
                                              tufa_learn_finding *each);
size_t tufa_learn_bytes(unsigned draws, size_t findings);

/* Closed form for a log-normal prior and one log-normal reading of eps: the check of the above. */
void tufa_learn_conjugate(double prior_log_mean, double prior_log_sd, double reading_log, double reading_log_sd,
                          double *log_mean, double *log_sd);

/* ---- houses on one water ---- */

/* Heaters of one fuel on one water share the mean of log eps: normal around the prior's, with water_log_sd; each heater lies
 * around it with between_log_sd. Together they make the spread of the prior. */
typedef struct tufa_learn_water {
    double median, water_log_sd, between_log_sd;
} tufa_learn_water;
/* The prior's median by fuel; its log-sd 0.55 split into 0.40 between waters and 0.38 between heaters (judgement). */
tufa_learn_water tufa_learn_water_default(tufa_fuel fuel);

/* What n heaters' findings say to their neighbours. own[j]: the answer of tufa_learn_eps for heater j, learned from any prior
 * (its likelihood is posterior over prior). common: eps of the water's middle, what all findings leave of it. fresh: prior of a
 * heater there of which nothing is known. each[j]: prior of heater j from all others, its own findings left out, to be handed to
 * ahead as in->eps together with its findings; room for n, or NULL. Scratch in the arena, 200 (n + 4) doubles, rewound. */
TUFA_MUST_CHECK tufa_status tufa_learn_neighbours(const tufa_learn_water *w, size_t n, const tufa_learn *own, tufa_arena *arena,
                                                  tufa_eps *common, tufa_eps *fresh, tufa_eps *each);

/* ---- what a bed costs, over all gas heaters ---- */

/* Gas heaters share the middle of what each kg of bed costs them: even in the log over the published range; each heater lies around it with
 * TUFA_LOSS_BETWEEN_LOG_SD (judgement: burners and floors differ less than the two studies do), turned back at the ends, so that a heater of
 * which nothing is known has the prior of all. own[j]: the answer of tufa_learn_eps. common, fresh, each: as in tufa_learn_neighbours;
 * each[j] leaves heater j's own times out, and is to be handed to ahead as in->loss together with its findings; `with` takes
 * them in. each and with have room for n, or are NULL. */
#define TUFA_LOSS_BETWEEN_LOG_SD 0.45
TUFA_MUST_CHECK tufa_status tufa_learn_losses(size_t n, const tufa_learn *own, tufa_loss *common, tufa_loss *fresh, tufa_loss *each, tufa_loss *with);

/* ---- closed forms that others build on ---- */

/* Gamma prior of a rate (mean shape / rate) and `events` in `exposure`: the posterior, with its mean and sd. */
typedef struct tufa_gamma {
    double shape, rate, mean, sd;
} tufa_gamma;
TUFA_MUST_CHECK tufa_status tufa_learn_gamma_poisson(double shape, double rate, double events, double exposure,
                                                     tufa_gamma *out);

/* Normal shrinkage: n estimates with their errors, spread between them known, mean of them all with a normal prior (sd 0:
 * flat). Gives the common mean, and each estimate drawn towards it by how sure it is. `shrunk` and `shrunk_sd` have room
 * for n, or are NULL. between_sd 0: one common value. n at most what fits; O(n). */
typedef struct tufa_shrink {
    double mean, sd; /* of the common mean */
} tufa_shrink;
TUFA_MUST_CHECK tufa_status tufa_learn_shrink(size_t n, const double *estimate, const double *sd, double between_sd,
                                              double prior_mean, double prior_sd, tufa_shrink *out, double *shrunk,
                                              double *shrunk_sd);

#ifdef __cplusplus
}
#endif
#endif
