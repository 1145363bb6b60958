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

/* What one finding says, beside what was expected before it. */
typedef struct tufa_learn_finding {
    double expected, expected_lo, expected_hi; /* in the unit of the finding: median, 10 and 90 % before any finding */
    double surprise;                           /* distance from what the other findings and the prior lead to, in standard deviations */
    int contradicts;                           /* beyond 3 of them: named, not quietly averaged in */
} tufa_learn_finding;

typedef struct tufa_learn {
    tufa_eps prior, posterior;
    tufa_value prior_eps, posterior_eps;
    double ratio, ratio_lo, ratio_hi; /* posterior over the prior's median: "lays down 1.6 times what the water says" */
    size_t used;                      /* findings that carry a reading */
    int contradicting;                /* index of the finding that fits least and contradicts; -1: none */
    int after_replacement;            /* 1: findings older than the heater were left out */
} tufa_learn;

/* Posterior of eps_ref on the grid, with everything else that is not known averaged over `in->draws` draws. `each` has
 * room for in->findings, or is NULL. `in->eps` is the prior: by fuel, or handed down by the houses on the same water. */
TUFA_MUST_CHECK tufa_status tufa_learn_eps(const tufa_ahead_in *in, tufa_arena *arena, tufa_learn *out,
                                           tufa_learn_finding *each);

/* Closed form for a log-normal prior and one log-normal reading of eps: the check of the above. */
void tufa_learn_conjugate(double prior_log_mean, double prior_log_sd, double reading_log, double reading_log_sd,
                          double *log_mean, double *log_sd);

#ifdef __cplusplus
}
#endif
#endif
