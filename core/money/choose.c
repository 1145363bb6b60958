/* Which choice: now against a year later, and against nothing. */
#include "core/money/inner.h"

#include <math.h>

void add_draw(const ledger *l, size_t draw, account *a)
{
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++)
        if (l->now[c]) a->now[c] += l->now[c][draw];
    a->wait += l->wait[draw];
    a->draws += 1.0;
}

/* Nothing is done this year: what is cheapest then, with something done later or never. */
static double leave_usd(const account *a) { return fmin(a->now[TUFA_CHOICE_LEAVE], a->wait); }

tufa_choice choose_now(const ledger *l, const account *a, int with_margin)
{
    double left = leave_usd(a), least = left;
    tufa_choice best = TUFA_CHOICE_LEAVE;
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        if (c == TUFA_CHOICE_LEAVE || !l->now[c] || !l->allowed[c]) continue;
        double margin = with_margin ? a->draws * l->margin_usd[c] : 0.0;
        if (a->now[c] >= least || a->now[c] + margin >= left) continue;
        least = a->now[c];
        best = (tufa_choice)c;
    }
    return best;
}

double cost_of(const account *a, tufa_choice now) { return now == TUFA_CHOICE_LEAVE ? leave_usd(a) : a->now[now]; }

tufa_choice second_best(const ledger *l, const account *a, tufa_choice now)
{
    tufa_choice second = now;
    double least = HUGE_VAL;
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        if (c == (int)now || !l->now[c] || !l->allowed[c] || cost_of(a, (tufa_choice)c) >= least) continue;
        least = cost_of(a, (tufa_choice)c);
        second = (tufa_choice)c;
    }
    return second;
}
