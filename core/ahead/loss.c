/* What a kilogram of bed costs a gas tank, as weights on a grid. */
#include "core/base/status.h"
#include "tufa/ahead.h"

#include <math.h>

/* 5 % at 27 kg (SRC_ASHRAE_1986) and 4.3 % at 1.06 kg (SRC_BATTELLE_2009): even in the log between them. */
static const double LO = 0.002, HI = 0.04;

tufa_loss tufa_loss_prior(void)
{
    tufa_loss l = {.rests_on = TUFA_RESTS_ON_PRIOR};
    for (size_t c = 0; c < TUFA_LOSS_CELLS; c++) l.weight[c] = 1.0 / TUFA_LOSS_CELLS;
    return l;
}

static double at(double share) { return LO * pow(HI / LO, share); }

double tufa_loss_cell(size_t cell) { return at(((double)cell + 0.5) / TUFA_LOSS_CELLS); }

double tufa_loss_at(const tufa_loss *l, double u)
{
    double sum = 0.0, below = 0.0;
    for (size_t c = 0; c < TUFA_LOSS_CELLS; c++) sum += l->weight[c];
    if (!(sum > 0.0)) return at(u);
    for (size_t c = 0; c < TUFA_LOSS_CELLS; c++) {
        double w = l->weight[c] / sum;
        if (w > 0.0 && below + w >= u) return at(((double)c + (u - below) / w) / TUFA_LOSS_CELLS);
        below += w;
    }
    return HI;
}

tufa_value tufa_loss_value(const tufa_loss *l)
{
    return (tufa_value){tufa_loss_at(l, 0.5), tufa_loss_at(l, 0.1), tufa_loss_at(l, 0.9), l->rests_on == TUFA_RESTS_ON_PRIOR ? TUFA_BASIS_DEFAULT : TUFA_BASIS_LEARNED};
}
