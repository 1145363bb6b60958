#include "tests/published/published.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST = 32 };
#define OK ((tufa_status){.code = TUFA_OK})
#define RETURN_IF(call)                                                                                      \
    do {                                                                                                     \
        tufa_status st_ = (call);                                                                            \
        if (st_.code != TUFA_OK) return st_;                                                                 \
    } while (0)

static tufa_status life_of(row_inputs *in, tufa_weibull *w)
{
    double shape = row_number(in, "shape");
    if (!row_has(in, "scale")) return tufa_weibull_from_mean(row_number(in, "mean"), shape, w);
    *w = (tufa_weibull){.shape = shape, .scale_years = row_number(in, "scale")};
    return OK;
}

static tufa_status weibull_scale(row_inputs *in, double *value)
{
    tufa_weibull w;
    RETURN_IF(life_of(in, &w));
    *value = w.scale_years;
    return OK;
}

static tufa_status survival(row_inputs *in, double *value)
{
    tufa_weibull w;
    RETURN_IF(life_of(in, &w));
    *value = tufa_weibull_survival(&w, row_number(in, "age"));
    return OK;
}

static tufa_status fails_next_year(row_inputs *in, double *value)
{
    tufa_weibull w;
    RETURN_IF(life_of(in, &w));
    *value = tufa_weibull_fails_within(&w, row_number(in, "age"), 1.0);
    return OK;
}

static size_t numbers(const char *s, double *v)
{
    size_t n = 0;
    for (char *end; n < MOST; s = end) {
        v[n] = strtod(s, &end);
        if (end == s) break;
        n++;
    }
    return n;
}

static tufa_status average_cost(row_inputs *in, double *value)
{
    double wear[MOST], average[MOST];
    size_t n = numbers(row_text(in, "wear"), wear), best;
    RETURN_IF(tufa_money_average_cost(row_number(in, "replace"), n, wear, average, &best));
    *value = average[(size_t)row_number(in, "periods") - 1];
    return OK;
}

static tufa_status best_periods(row_inputs *in, double *value)
{
    double wear[MOST];
    size_t n = numbers(row_text(in, "wear"), wear), best;
    RETURN_IF(tufa_money_average_cost(row_number(in, "replace"), n, wear, NULL, &best));
    *value = (double)best;
    return OK;
}

static tufa_status age_replacement(row_inputs *in, double *value)
{
    tufa_weibull w;
    tufa_age_replacement r;
    RETURN_IF(life_of(in, &w));
    RETURN_IF(tufa_money_age_replacement(&w, row_number(in, "planned"), row_number(in, "failure"), &r));
    const char *want = row_text(in, "want");
    *value = !strcmp(want, "years") ? r.years : !strcmp(want, "cost") ? r.usd_year : r.to_failure_usd_year;
    if (!strcmp(want, "gain_pct")) *value = 100.0 * (1.0 - r.usd_year / r.to_failure_usd_year);
    return OK;
}

static tufa_status age_discounted(row_inputs *in, double *value)
{
    tufa_weibull w;
    tufa_age_discounted d;
    double planned = row_number(in, "planned"), failure = row_number(in, "failure"), rate = row_number(in, "rate");
    RETURN_IF(life_of(in, &w));
    if (!strcmp(row_text(in, "want"), "cost")) return tufa_money_age_discounted_cost(&w, planned, failure, rate, row_number(in, "years"), value);
    RETURN_IF(tufa_money_age_discounted(&w, planned, failure, rate, &d));
    *value = !strcmp(row_text(in, "want"), "years") ? d.years : d.to_failure_usd;
    return OK;
}

static tufa_status equivalent_annual(row_inputs *in, double *value)
{
    return tufa_money_equivalent_annual(row_number(in, "usd"), row_number(in, "rate"), row_number(in, "years"), value);
}

/* Freireich and others 1963, 6-MP arm: weeks, and whether the remission ended. */
static const tufa_lived SIX_MP[21] = {
    {0, 6, 1}, {0, 6, 1}, {0, 6, 1}, {0, 6, 0}, {0, 7, 1}, {0, 9, 0}, {0, 10, 1}, {0, 10, 0}, {0, 11, 0}, {0, 13, 1}, {0, 16, 1},
    {0, 17, 0}, {0, 19, 0}, {0, 20, 0}, {0, 22, 1}, {0, 23, 1}, {0, 25, 0}, {0, 32, 0}, {0, 32, 0}, {0, 34, 0}, {0, 35, 0}};

static tufa_status product_limit(row_inputs *in, double *value)
{
    tufa_limit_step step[21];
    size_t steps;
    if (strcmp(row_text(in, "set"), "6mp")) return (tufa_status){.code = TUFA_UNKNOWN, .field = "set"};
    RETURN_IF(tufa_money_product_limit(21, SIX_MP, step, &steps));
    double at = row_number(in, "years");
    int sd = !strcmp(row_text(in, "want"), "sd");
    for (size_t k = 0; k < steps && step[k].years <= at; k++) *value = sd ? step[k].sd : step[k].survival;
    return OK;
}

static tufa_status weibull_fit(row_inputs *in, double *value)
{
    tufa_weibull_fit f;
    if (strcmp(row_text(in, "set"), "6mp")) return (tufa_status){.code = TUFA_UNKNOWN, .field = "set"};
    RETURN_IF(tufa_money_weibull_fit(21, SIX_MP, &f));
    *value = strcmp(row_text(in, "want"), "scale") ? f.life.shape : f.life.scale_years;
    return OK;
}

/* Hillier and Lieberman: a machine as good as new, with little wear, with much wear, broken; leave it, overhaul it, replace it. */
#define NO HUGE_VAL
static const double MACHINE_USD[4 * 3] = {0, NO, NO, 1000, NO, 6000, 3000, 4000, 6000, NO, NO, 6000};
static const double MACHINE_TO[4 * 3 * 4] = {
    0, 7.0 / 8, 1.0 / 16, 1.0 / 16, 1, 0, 0, 0, 1, 0, 0, 0, 0, 3.0 / 4, 1.0 / 8, 1.0 / 8, 1, 0, 0, 0, 1, 0, 0, 0,
    0, 0, 0.5, 0.5, 0, 1, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0};

/* Howard 1960: a taxicab between three towns; mean earnings of each way to look for a fare, as negative costs. */
static const double TAXI_TO[3 * 3 * 3] = {
    0.5, 0.25, 0.25, 0.0625, 0.75, 0.1875, 0.25, 0.125, 0.625, 0.5, 0, 0.5, 0.0625, 0.875, 0.0625, 1, 0, 0,
    0.25, 0.25, 0.5, 0.125, 0.75, 0.125, 0.75, 0.0625, 0.1875};
static const double TAXI_EARNS[3 * 3 * 3] = {10, 4, 8, 8, 2, 4, 4, 6, 4, 14, 0, 18, 8, 16, 8, 0, 0, 0, 10, 2, 8, 6, 4, 2, 4, 0, 8};

/* Room for the largest of them. */
enum { MOST_STATES = 100, MOST_ACTIONS = 3 };
typedef struct problem {
    tufa_decisions d;
    int earns;                          /* values are told as earnings */
    double usd[MOST_STATES * MOST_ACTIONS], to[MOST_STATES * MOST_ACTIONS * MOST_STATES];
} problem;

static void pose(problem *p, size_t states, size_t actions, double discount, int earns)
{
    *p = (problem){.earns = earns};
    p->d = (tufa_decisions){states, actions, p->usd, p->to, discount};
}

/* Under this action the state earns so much and goes to `then` for certain. */
static void leads(problem *p, size_t state, size_t action, double earns, size_t then)
{
    p->usd[state * p->d.actions + action] = -earns;
    p->to[(state * p->d.actions + action) * p->d.states + then] = 1.0;
}

static void pose_taxi(problem *p)
{
    pose(p, 3, 3, 0.9, 1);
    memcpy(p->to, TAXI_TO, sizeof TAXI_TO);
    for (int k = 0; k < 9; k++) {
        p->usd[k] = k == 5 ? NO : 0.0; /* the second town has two ways only */
        for (int t = 0; t < 3 && k != 5; t++) p->usd[k] -= TAXI_TO[3 * k + t] * TAXI_EARNS[3 * k + t];
    }
}

static void pose_machine(problem *p)
{
    pose(p, 4, 3, 0.9, 0);
    memcpy(p->to, MACHINE_TO, sizeof MACHINE_TO);
    memcpy(p->usd, MACHINE_USD, sizeof MACHINE_USD);
}

/* Miranda and Fackler 2002, 7.6.2: an asset of age 1 to 5 earns 50 - 2.5 a - 2.5 a^2 a year, a new one costs 75; at 5 it must go. */
static double asset_earns(double age, double share) { return share * (50.0 - 2.5 * age - 2.5 * age * age); }

static void pose_asset(problem *p)
{
    pose(p, 5, 2, 0.9, 1);
    for (size_t s = 0; s < 5; s++) {
        leads(p, s, 0, asset_earns((double)s + 1.0, 1.0), s < 4 ? s + 1 : s);
        leads(p, s, 1, asset_earns(0.0, 1.0) - 75.0, 0);
    }
    p->usd[4 * 2] = NO;
}

/* The same, 7.6.3: a service a year for 10; each one missed costs a fifth of what it earns. State: 5 (age - 1) + services. */
static void pose_serviced(problem *p)
{
    pose(p, 25, 3, 0.9, 1);
    for (size_t age = 1; age <= 5; age++)
        for (size_t serv = 0; serv < 5; serv++) {
            size_t s = 5 * (age - 1) + serv, older = age < 5 ? age : 4, more = serv < 4 ? serv + 1 : 4;
            double a = (double)age, missed = a - (double)serv;
            leads(p, s, 0, asset_earns(a, 1.0 - missed / 5.0), 5 * older + serv);
            leads(p, s, 1, asset_earns(a, 1.0 - (missed - 1.0) / 5.0) - 10.0, 5 * older + more);
            leads(p, s, 2, asset_earns(0.0, 1.0) - 75.0, 0);
            if (age == 5) p->usd[3 * s] = p->usd[3 * s + 1] = NO;
        }
}

/* Rust 1996, 4.2.2: a car's use grows by an exponential step of mean 2, on a hundred whole numbers; upkeep 200 a unit, a new one 100,000. */
static const double CAR_RATE = 0.5, CAR_UPKEEP = 200.0, CAR_PRICE = 1e5, CAR_DISCOUNT = 0.95;

static void pose_car(problem *p)
{
    enum { STATES = 100, REACH = 12 };
    double step[REACH], rest = 1.0;
    pose(p, STATES, 2, CAR_DISCOUNT, 1);
    for (int j = 0; j < REACH; j++) {
        double from = j ? exp(-CAR_RATE * (j - 0.5)) : 1.0;
        step[j] = j == REACH - 1 ? rest : from - exp(-CAR_RATE * (j + 0.5));
        rest -= step[j];
    }
    for (size_t s = 0; s < STATES; s++) {
        double all = 0.0;
        p->usd[2 * s] = CAR_UPKEEP * (double)s;
        p->usd[2 * s + 1] = CAR_PRICE;
        for (size_t j = 0; j < REACH && s + j < STATES; j++) all += step[j];
        for (size_t j = 0; j < REACH; j++) {
            if (s + j < STATES) p->to[2 * s * STATES + s + j] = step[j] / all;
            p->to[(2 * s + 1) * STATES + j] = step[j];
        }
    }
}

static const struct {
    const char *set;
    void (*pose)(problem *);
} PROBLEMS[] = {{"machine", pose_machine}, {"taxi", pose_taxi}, {"asset", pose_asset}, {"serviced", pose_serviced}, {"car", pose_car}};

/* All values, as the source tells them, and actions. */
static tufa_status solve_all(row_inputs *in, size_t steps, double all[MOST_STATES], size_t chosen[MOST_STATES], size_t *states)
{
    static unsigned char room[8 * (MOST_STATES * MOST_STATES + 8 * MOST_STATES) + 4096];
    static problem p;
    tufa_arena arena = {.base = room, .size = sizeof room};
    const char *set = row_text(in, "set");
    size_t k = 0, n = sizeof PROBLEMS / sizeof PROBLEMS[0];
    while (k < n && strcmp(set, PROBLEMS[k].set)) k++;
    if (k == n) return (tufa_status){.code = TUFA_UNKNOWN, .field = "set"};
    PROBLEMS[k].pose(&p);
    if (steps) RETURN_IF(tufa_money_policy_finite(&p.d, steps, NULL, &arena, all, chosen));
    else RETURN_IF(tufa_money_policy(&p.d, &arena, all, chosen));
    for (size_t s = 0; s < p.d.states && p.earns; s++) all[s] = -all[s];
    *states = p.d.states;
    return OK;
}

static tufa_status solve(row_inputs *in, size_t steps, double *value, size_t *action)
{
    double all[MOST_STATES];
    size_t chosen[MOST_STATES], states, state = (size_t)row_number(in, "state");
    RETURN_IF(solve_all(in, steps, all, chosen, &states));
    if (state >= states) return (tufa_status){.code = TUFA_RANGE, .field = "state"};
    *value = all[state];
    *action = chosen[state];
    return OK;
}

/* How many states keep what they have. */
static tufa_status policy_kept(row_inputs *in, double *value)
{
    double all[MOST_STATES];
    size_t chosen[MOST_STATES], states;
    RETURN_IF(solve_all(in, 0, all, chosen, &states));
    for (size_t s = 0; s < states; s++) *value += chosen[s] == 0;
    return OK;
}

/* The car's value against that of continuous use, which is known in closed form: the largest distance. */
static double car_over(double x, double s)
{
    double k = CAR_RATE * (1.0 - CAR_DISCOUNT);
    return CAR_UPKEEP / (1.0 - CAR_DISCOUNT) * (x - s - CAR_DISCOUNT / k * (1.0 - exp(-k * (x - s))));
}

static tufa_status policy_apart(row_inputs *in, double *value)
{
    double all[MOST_STATES], lo = 0.0, hi = 100.0;
    size_t chosen[MOST_STATES], states;
    RETURN_IF(solve_all(in, 0, all, chosen, &states));
    for (int k = 0; k < 100; k++) *(car_over(0.5 * (lo + hi), 0.0) < CAR_PRICE ? &lo : &hi) = 0.5 * (lo + hi);
    for (size_t s = 0; s < states; s++) {
        double exact = -CAR_UPKEEP * lo / (1.0 - CAR_DISCOUNT) + ((double)s < lo ? car_over(lo, (double)s) : 0.0);
        *value = fmax(*value, fabs(all[s] - exact));
    }
    return OK;
}

static tufa_status policy(row_inputs *in, double *value)
{
    size_t action;
    return solve(in, 0, value, &action);
}

static tufa_status policy_action(row_inputs *in, double *value)
{
    size_t action = 0;
    double usd;
    RETURN_IF(solve(in, 0, &usd, &action));
    *value = (double)action + 1.0;
    return OK;
}

static tufa_status policy_finite(row_inputs *in, double *value)
{
    size_t action;
    return solve(in, (size_t)row_number(in, "steps"), value, &action);
}

static tufa_status anode_years(row_inputs *in, double *value)
{
    return tufa_anode_years(row_number(in, "kg"), row_number(in, "current"), row_number(in, "efficiency"), row_number(in, "usable"), value);
}

/* Fewest pairs that see a difference of so many standard deviations of one weight in `power` of the trials. */
static tufa_status trial_pairs(row_inputs *in, double *value)
{
    tufa_fair_trial t = {.pairs = 1, .log_sd_season = 1.0};
    double difference = row_number(in, "difference"), wanted = row_number(in, "power"), power = 0.0;
    for (; power < wanted && t.pairs < 1000; t.pairs++) RETURN_IF(tufa_fair_trial_power(&t, -expm1(-difference), &power));
    *value = t.pairs - 1;
    return OK;
}

const row_kind money_rows[] = {{"trial_pairs", trial_pairs}, {"anode_years", anode_years}, {"weibull_scale", weibull_scale}, {"survival", survival}, {"fails_next_year", fails_next_year},
    {"average_cost", average_cost}, {"best_periods", best_periods}, {"age_replacement", age_replacement}, {"age_discounted", age_discounted},
    {"equivalent_annual", equivalent_annual}, {"product_limit", product_limit}, {"weibull_fit", weibull_fit}, {"policy", policy},
    {"policy_action", policy_action}, {"policy_kept", policy_kept}, {"policy_apart", policy_apart}, {"policy_finite", policy_finite}, {0}};
