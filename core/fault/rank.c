#include <math.h>
#include <string.h>

#include "core/base/status.h"
#include "core/fault/choose.h"
#include "core/fault/weigh.h"

static const double LOG_ODDS_CUT = 30.0;

tufa_status tufa_fault_reading_check(const tufa_fault_heater *heater, const tufa_reading *r)
{
    const tufa_test *t = r->test >= 0 ? tufa_fault_test_at((size_t)r->test) : NULL;
    if (!t) return trouble(TUFA_UNKNOWN, "test", "there is no such reading");
    int gas = heater->tank.fuel == TUFA_TANK_GAS;
    if (!(gas ? t->gas : t->electric))
        return trouble(TUFA_REFUSED, "test", gas ? "this reading is for electric heaters and the heater burns gas"
                                                 : "this reading is for gas heaters and the heater is electric");
    if (!t->categories[0]) {
        if (r->category >= 0) return trouble(TUFA_PARSE, "value", "this reading is a number");
        return in_range("value", r->value, t->lo, t->hi);
    }
    if (r->category < 0 || r->category >= spread_categories(t))
        return trouble(TUFA_UNKNOWN, "value", "this reading is one of its categories");
    return OK;
}

static int by_probability(const tufa_finder *f, const double p[FAULT_COUNT], tufa_fault_odds odds[TUFA_MAX_FAULTS])
{
    int n = 0;
    for (int i = 0; i < FAULT_COUNT; i++) {
        if (!f->possible[i]) continue;
        int k = n++;
        for (; k > 0 && odds[k - 1].probability < p[i]; k--) odds[k] = odds[k - 1];
        odds[k] = (tufa_fault_odds){i, p[i]};
    }
    return n;
}

static int likeliest(const tufa_finder *f, tufa_fault_pair pair[TUFA_MAX_PAIRS_TOLD])
{
    int n = 0;
    for (int h = 0; h < f->hypotheses; h++) {
        double w = f->weight[h];
        if (f->hyp[h].b < 0) continue;
        if (n == TUFA_MAX_PAIRS_TOLD && w <= pair[n - 1].probability) continue;
        int k = n < TUFA_MAX_PAIRS_TOLD ? n++ : n - 1;
        for (; k > 0 && pair[k - 1].probability < w; k--) pair[k] = pair[k - 1];
        pair[k] = (tufa_fault_pair){f->hyp[h].a, f->hyp[h].b, w};
    }
    return n;
}

tufa_status tufa_fault_rank_by(tufa_finder *f, const tufa_call *call, tufa_rule rule, tufa_fault_answer *answer)
{
    stop_then then;
    tufa_fault_answer a = {.stop = fault_stop(call, &then), .next = {.test = -1, .sake = -1}, .single_element = f->heater.single_element};
    RETURN_IF(weigh(f, call, -1));
    if (then == ALONE && call->readings == 0) { /* nothing has been measured and nothing shall be */
        *answer = a;
        return OK;
    }
    double p[FAULT_COUNT];
    weigh_marginals(f, p);
    for (int h = 0; h < f->hypotheses; h++) a.total += f->weight[h];
    a.faults = by_probability(f, p, a.odds);
    a.pairs = likeliest(f, a.pair);
    a.conflicts = weigh_conflicts(f, call, a.conflict, TUFA_MAX_CONFLICTS);
    a.loss_usd = choose_loss(f, call, p);
    a.sheath_K = f->gas ? 0.0 : f->skin_K;
    a.growth_s = f->growth_s;
    if (then != ALONE) {
        choose_next(f, call, then, rule, &a.next);
        a.actions = choose_actions(f, call, p, a.action);
        a.parts = choose_parts(f, call, p, a.part);
    }
    *answer = a;
    return OK;
}

tufa_status tufa_fault_rank(tufa_finder *f, const tufa_call *call, tufa_fault_answer *answer)
{
    return tufa_fault_rank_by(f, call, TUFA_RULE_LOSS, answer);
}

static double log_odds(double p)
{
    static const double LEAST = 1e-300;
    return log(fmax(p, LEAST)) - log(fmax(1.0 - p, LEAST));
}

tufa_status tufa_fault_explain(tufa_finder *f, const tufa_call *call, int which, double shift[TUFA_MAX_FAULTS])
{
    if (which < 0 || which >= call->readings) return trouble(TUFA_RANGE, "which", "the call has no such reading");
    double with[FAULT_COUNT], without[FAULT_COUNT];
    RETURN_IF(weigh(f, call, which));
    weigh_marginals(f, without);
    RETURN_IF(weigh(f, call, -1));
    weigh_marginals(f, with);
    memset(shift, 0, TUFA_MAX_FAULTS * sizeof *shift);
    for (int i = 0; i < FAULT_COUNT; i++)
        if (f->possible[i])
            shift[i] = fmax(fmin(log_odds(with[i]) - log_odds(without[i]), LOG_ODDS_CUT), -LOG_ODDS_CUT);
    return OK;
}

static tufa_status places(const tufa_finder *f, int a, int b, int test)
{
    if (!f->ready) return trouble(TUFA_MISSING, "finder", "it has to be prepared for a heater first");
    if (a >= FAULT_COUNT || b >= FAULT_COUNT || (a < 0 && b >= 0)) return trouble(TUFA_UNKNOWN, "fault", "there is no such fault");
    if (test < 0 || test >= TEST_COUNT || !f->applies[test])
        return trouble(TUFA_REFUSED, "test", "this heater has no such reading");
    return OK;
}

tufa_status tufa_fault_expect(const tufa_finder *f, int a, int b, int test, int category, tufa_value *v)
{
    RETURN_IF(places(f, a, b, test));
    const tufa_test *t = tufa_fault_test_at((size_t)test);
    spread room;
    const spread *s = finder_spread(f, a, b, test, &room);
    if (t->categories[0]) {
        if (category < 0 || category >= spread_categories(t)) return trouble(TUFA_UNKNOWN, "category", "the test has no such category");
        double p = spread_density(s, t, &(tufa_reading){.test = test, .category = category});
        *v = (tufa_value){p, p, p, TUFA_BASIS_DEFAULT};
        return OK;
    }
    *v = (tufa_value){spread_quantile(s, t, 0.5), spread_quantile(s, t, 0.1), spread_quantile(s, t, 0.9), TUFA_BASIS_DEFAULT};
    return OK;
}

tufa_status tufa_fault_day(const tufa_finder *f, int a, int b, double people, tufa_tank_day *day)
{
    if (!f->ready) return trouble(TUFA_MISSING, "finder", "it has to be prepared for a heater first");
    if (a >= FAULT_COUNT || b >= FAULT_COUNT) return trouble(TUFA_UNKNOWN, "fault", "there is no such fault");
    RETURN_IF(in_range("people", people, 0.0, 100.0));
    return fault_day_of(&f->heater, a >= 0 ? fault_effect_of(a) : NULL, b >= 0 ? fault_effect_of(b) : NULL, people, day);
}

tufa_status tufa_fault_draw(const tufa_finder *f, int a, int b, int test, uint64_t key, uint64_t stream, tufa_reading *r)
{
    RETURN_IF(places(f, a, b, test));
    const tufa_test *t = tufa_fault_test_at((size_t)test);
    spread room;
    const spread *s = finder_spread(f, a, b, test, &room);
    double u = tufa_uniform(key, stream, (uint64_t)test);
    *r = (tufa_reading){.test = test, .category = -1};
    if (!t->categories[0]) {
        r->value = spread_quantile(s, t, u);
        return OK;
    }
    for (r->category = 0; r->category + 1 < spread_categories(t); r->category++) {
        u -= spread_density(s, t, &(tufa_reading){.test = test, .category = r->category});
        if (u < 0.0) break;
    }
    return OK;
}
