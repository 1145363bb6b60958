/* Which choice: now against next year, and against nothing. */
#include "core/money/inner.h"

#include <math.h>

void add_draw(const ledger *l, size_t draw, account *a)
{
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        if (l->now[c]) a->now[c] += l->now[c][draw];
        if (l->wait[c]) a->wait[c] += l->wait[c][draw];
    }
    a->draws += 1.0;
}

/* Nothing is done this year: what is cheapest then, with something done next year or never. */
static double leave_usd(const ledger *l, const account *a, tufa_choice *later)
{
    double least = a->now[TUFA_CHOICE_LEAVE];
    *later = TUFA_CHOICE_LEAVE;
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        if (!l->wait[c] || a->wait[c] >= least) continue;
        least = a->wait[c];
        *later = (tufa_choice)c;
    }
    return least;
}

tufa_choice choose_now(const ledger *l, const account *a, int with_margin, tufa_choice *later)
{
    double left = leave_usd(l, a, later), least = left;
    tufa_choice best = TUFA_CHOICE_LEAVE;
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        if (c == TUFA_CHOICE_LEAVE || !l->now[c]) continue;
        double margin = with_margin ? a->draws * l->margin_usd[c] : 0.0;
        if (a->now[c] >= least || a->now[c] + margin >= left) continue;
        least = a->now[c];
        best = (tufa_choice)c;
    }
    return best;
}

double cost_of(const account *a, tufa_choice now, tufa_choice later)
{
    return now == TUFA_CHOICE_LEAVE && later != TUFA_CHOICE_LEAVE ? a->wait[later] : a->now[now];
}

double second_best(const ledger *l, const account *a, tufa_choice now)
{
    tufa_choice later;
    double least = now == TUFA_CHOICE_LEAVE ? HUGE_VAL : leave_usd(l, a, &later);
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++)
        if (c != TUFA_CHOICE_LEAVE && c != (int)now && l->now[c]) least = fmin(least, a->now[c]);
    return least;
}
