/* What a call makes of the faults: priors of this house, complaints, readings; singles and pairs exactly. */
#ifndef CORE_FAULT_WEIGH_H
#define CORE_FAULT_WEIGH_H

#include "core/fault/finder.h"

/* Posterior of every single fault and pair into f->hyp and f->weight (sum 1), leaving out reading `without` (-1: none). */
TUFA_MUST_CHECK tufa_status weigh(tufa_finder *f, const tufa_call *call, int without);
/* Marginal probability of each fault. */
void weigh_marginals(const tufa_finder *f, double p[FAULT_COUNT]);
/* Probability that a complaint is voiced under a hypothesis: one less the product of the ones less, with its leak. */
double weigh_voiced(const tufa_finder *f, hypothesis h, int complaint);
/* Readings that no single fault or pair explains together; answers how many pairs of places. */
int weigh_conflicts(const tufa_finder *f, const tufa_call *call, int pair[][2], int room);

#endif
