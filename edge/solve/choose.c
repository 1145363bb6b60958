#include <coin/Cbc_C_Interface.h>
#include <coin/Clp_C_Interface.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/solve/solve.h"

static tufa_status linear(const solve_problem *p, double seconds, solve_answer *out)
{
    Clp_Simplex *m = Clp_newModel();
    if (!m) return trouble(TUFA_MEMORY, "solver", NULL);
    Clp_setLogLevel(m, 0);
    Clp_setMaximumSeconds(m, seconds);
    Clp_loadProblem(m, p->columns, p->rows, p->start, p->index, p->value, p->column_lo, p->column_hi, p->cost, p->row_lo,
                    p->row_hi);
    Clp_dual(m, 0);
    int status = Clp_status(m); /* 0 optimal, 1 nothing possible, 2 no bound, 3 stopped */
    tufa_status st = status == 0   ? OK
                     : status == 3 ? trouble(TUFA_SOLVE, "solver", "time ran out")
                                   : trouble(TUFA_REFUSED, "problem", "no choice keeps every bound");
    if (status == 0) {
        out->total = out->bound = Clp_getObjValue(m);
        memcpy(out->x, Clp_primalColumnSolution(m), sizeof(double) * (size_t)p->columns);
        if (out->price) memcpy(out->price, Clp_dualRowSolution(m), sizeof(double) * (size_t)p->rows);
    }
    Clp_deleteModel(m);
    return st;
}

static void begin_from(Cbc_Model *m, const solve_problem *p, const double *guess)
{
    int *place = malloc(sizeof *place * (size_t)p->columns), n = 0;
    double *value = malloc(sizeof *value * (size_t)p->columns);
    for (int j = 0; place && value && j < p->columns; j++)
        if (guess[j] != 0.0) {
            place[n] = j;
            value[n++] = guess[j];
        }
    if (n > 0) Cbc_setMIPStartI(m, n, place, value);
    free(place);
    free(value);
}

static tufa_status whole(const solve_problem *p, double seconds, double gap, const double *guess, solve_answer *out)
{
    Cbc_Model *m = Cbc_newModel();
    if (!m) return trouble(TUFA_MEMORY, "solver", NULL);
    Cbc_loadProblem(m, p->columns, p->rows, p->start, p->index, p->value, p->column_lo, p->column_hi, p->cost, p->row_lo,
                    p->row_hi);
    for (int j = 0; j < p->columns; j++)
        if (p->is_whole[j]) Cbc_setInteger(m, j);
    Cbc_setLogLevel(m, 0);
    Cbc_setParameter(m, "threads", "0");
    Cbc_setMaximumSeconds(m, seconds);
    Cbc_setAllowableFractionGap(m, gap);
    if (guess) begin_from(m, p, guess);
    Cbc_solve(m);
    const double *best = Cbc_bestSolution(m);
    bool none = Cbc_isProvenInfeasible(m);
    tufa_status st = best ? OK
                     : none ? trouble(TUFA_REFUSED, "problem", "no choice keeps every bound")
                            : trouble(TUFA_SOLVE, "solver", "time ran out before any choice was found");
    if (best) {
        memcpy(out->x, best, sizeof(double) * (size_t)p->columns);
        out->total = Cbc_getObjValue(m);
        out->bound = Cbc_isProvenOptimal(m) && gap == 0.0 ? out->total : fmin(out->total, Cbc_getBestPossibleObjValue(m));
    }
    Cbc_deleteModel(m);
    return st;
}

tufa_status solve_choose(const solve_problem *p, double seconds, double gap, const double *guess, solve_answer *out)
{
    for (int j = 0; p->is_whole && j < p->columns; j++)
        if (p->is_whole[j]) return whole(p, seconds, gap, guess, out);
    return linear(p, seconds, out);
}
