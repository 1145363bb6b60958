#include "core/fault/choose.h"

#include <math.h>
#include <string.h>

#include "core/fault/weigh.h"

/* What a reading's hazard class weighs, in dollars, for the person who takes it; beside live parts without training many
 * times more. Judgement: it puts readings with covers on first wherever they tell as much. */
static const double HAZARD_USD[] = {0.0, 1.0, 8.0, 40.0};
static const double UNTRAINED = 5.0;
/* The first cover that comes off: whoever proves a screw dead stands before one that may be live. Once a visit; for untrained people
 * twice. Judgement: taps, pails and the house's own meter come first where they tell as much. */
static const double COVER_USD = 8.0, COVER_UNTRAINED = 2.0;
static const double UNKNOWN_WORK_USD = 120.0; /* somebody else's visit where the table has no repair */
static const double TOO_UNLIKELY = 1e-7;      /* a hypothesis below this moves no decision */

static double hour_usd(const tufa_call *c)
{
    return c->own_hour_usd > 0.0 ? c->own_hour_usd : tufa_prices_default().usd[TUFA_PRICE_OWN_HOUR].mid;
}

double tufa_fault_trip_usd(const tufa_prices *p)
{
    static const double MILES_AN_HOUR = 25.0, WAIT_DAYS = 0.5; /* as in the year plan's reckoning; the wait is judgement */
    double miles = p->usd[TUFA_PRICE_TRIP].mid, hour = p->usd[TUFA_PRICE_OWN_HOUR].mid;
    return miles * p->usd[TUFA_PRICE_MILE].mid + miles / MILES_AN_HOUR * hour + WAIT_DAYS * p->usd[TUFA_PRICE_OUTAGE_DAY].mid;
}

static double trip_usd(const tufa_call *c)
{
    if (c->second_trip_usd > 0.0) return c->second_trip_usd;
    tufa_prices p = tufa_prices_default();
    return tufa_fault_trip_usd(&p);
}

/* Cost of mending something that is whole. */
static double wasted_usd(const tufa_finder *f, const tufa_call *c, int fault)
{
    int r = fault_cheapest_repair(fault, f->gas);
    if (r < 0) return UNKNOWN_WORK_USD;
    const tufa_repair *row = tufa_fault_repair_at((size_t)r);
    return row->minutes / 60.0 * hour_usd(c) + 0.5 * (row->part_usd_lo + row->part_usd_hi) + 1.0;
}

static void stakes(const tufa_finder *f, const tufa_call *c, double missed[FAULT_COUNT], double wasted[FAULT_COUNT])
{
    for (int i = 0; i < FAULT_COUNT; i++) {
        missed[i] = tufa_fault_at((size_t)i)->missed_usd;
        wasted[i] = wasted_usd(f, c, i);
    }
}

/* Each fault is mended or left, whichever loses less; a is the loss of leaving it, b that of mending it for nothing. The losses in
 * the table are orders of magnitude: taken as right up to a factor t of mean 1 with density 2/(1 + t)^3 (10 to 90 %: 0.05
 * to 2.2), the mean of min(a t, b) is exactly ab/(a + b). */
static double one_loss(double p, double missed, double wasted)
{
    double a = p * missed, b = (1.0 - p) * wasted;
    return a + b > 0.0 ? a * b / (a + b) : 0.0;
}

double choose_loss(const tufa_finder *f, const tufa_call *call, const double p[FAULT_COUNT])
{
    double missed[FAULT_COUNT], wasted[FAULT_COUNT], sum = 0.0;
    stakes(f, call, missed, wasted);
    for (int i = 0; i < FAULT_COUNT; i++) sum += one_loss(p[i], missed[i], wasted[i]);
    return sum;
}

/* ---- cost of a reading ---- */

static const struct { double before_min, shared_min; } GETTING_AT[TUFA_ACCESS_COUNT] = {
#define X(id, before, shared, words) [TUFA_ACCESS_##id] = {before, shared},
#include "core/fault/access.def"
#undef X
};

static int taken(const tufa_call *c, int test)
{
    for (int i = 0; i < c->readings; i++)
        if (c->reading[i].test == test) return 1;
    return 0;
}

static int got_at(const tufa_call *c, tufa_access access)
{
    for (int i = 0; i < c->readings; i++)
        if (tufa_fault_test_at((size_t)c->reading[i].test)->access == access) return 1;
    return 0;
}

/* Minutes, with getting at it where no earlier reading has paid for that. */
static double minutes_left(const tufa_call *c, int test)
{
    const tufa_test *t = tufa_fault_test_at((size_t)test);
    double minutes = t->minutes + (got_at(c, t->access) ? -GETTING_AT[t->access].shared_min : GETTING_AT[t->access].before_min);
    if (test == TEST_early_drop && taken(c, TEST_litres_to_40)) minutes = 1.0; /* the first part of the same draw */
    return fmax(minutes, 1.0);
}

static int covers_off(const tufa_call *c)
{
    return got_at(c, TUFA_ACCESS_DEAD) || got_at(c, TUFA_ACCESS_LIVE) || got_at(c, TUFA_ACCESS_CLAMP);
}

static double cost_usd(const tufa_call *c, int test)
{
    const tufa_test *t = tufa_fault_test_at((size_t)test);
    double hazard = HAZARD_USD[t->hazard_class];
    if ((t->access == TUFA_ACCESS_LIVE || t->access == TUFA_ACCESS_CLAMP) && !c->trained) hazard *= UNTRAINED;
    if (t->access == TUFA_ACCESS_DEAD && !covers_off(c)) hazard += c->trained ? COVER_USD : COVER_USD * COVER_UNTRAINED;
    return minutes_left(c, test) / 60.0 * hour_usd(c) + t->usd + hazard;
}

static int needs_heat(int test)
{
    const tufa_test *t = tufa_fault_test_at((size_t)test);
    if (t->access == TUFA_ACCESS_LIVE || t->access == TUFA_ACCESS_CLAMP || t->access == TUFA_ACCESS_METER ||
        t->access == TUFA_ACCESS_WATCH)
        return 1;
    switch (test) {
    case TEST_cutout_C: case TEST_peak_psi: case TEST_noise_when: case TEST_spill_min: case TEST_CO_flue:
    case TEST_CO_room: case TEST_burner_flame: case TEST_pilot: case TEST_mV_open: case TEST_mV_load:
    case TEST_input_kBtu: case TEST_inlet_wc: return 1;
    default: return 0;
    }
}

static int flame_only(int test)
{
    switch (test) {
    case TEST_spill_min: case TEST_CO_flue: case TEST_CO_room: case TEST_input_kBtu: case TEST_recover_min: return 1;
    default: return 0;
    }
}

/* Does the burner burn, or can it be made to? What was read last of pilot and burner says so; before that a heater without hot water or
 * pilot has no flame to measure by. */
static int burns(const tufa_call *c)
{
    int fire = c->complaint[COMPLAINT_no_hot] != 1 && c->complaint[COMPLAINT_pilot_out] != 1;
    for (int i = 0; i < c->readings; i++) {
        static const int WILL_NOT_STAY = 3, NONE = 3; /* places in the tests' rows; a test holds them */
        const tufa_reading *r = &c->reading[i];
        if (r->test == TEST_pilot) fire = r->category != WILL_NOT_STAY;
        if (r->test == TEST_burner_flame) fire = r->category != NONE;
    }
    return fire;
}

static int twin_of(int test)
{
    switch (test) {
    case TEST_A_sat: return TEST_meter_rest_W;
    case TEST_A_upper: return TEST_meter_upper_W;
    case TEST_A_lower: return TEST_meter_lower_W;
    case TEST_meter_rest_W: return TEST_A_sat;
    case TEST_meter_upper_W: return TEST_A_upper;
    case TEST_meter_lower_W: return TEST_A_lower;
    default: return -1;
    }
}

static int may_be_asked(const tufa_finder *f, const tufa_call *c, stop_then then, int test)
{
    if (!f->applies[test] || taken(c, test)) return 0;
    if (f->gas && flame_only(test) && !burns(c)) return 0;
    int twin = twin_of(test);
    if (twin >= 0 && taken(c, twin)) return 0;
    if ((test == TEST_cutout_C || test == TEST_dial_C || test == TEST_dial_mark) &&
        taken(c, TEST_cutout_C) + taken(c, TEST_dial_C) + taken(c, TEST_dial_mark) == 2)
        return 0; /* the third follows from the two */
    return then != OFF || !needs_heat(test);
}

/* ---- what a reading would tell ---- */

static int cells_of(const tufa_finder *f, int test)
{
    const tufa_test *t = tufa_fault_test_at((size_t)test);
    return t->categories[0] ? spread_categories(t) : f->edges[test] + 1;
}

static void cell_shares(const tufa_finder *f, const spread *s, int test, int cells, double out[MAX_CELLS])
{
    const tufa_test *t = tufa_fault_test_at((size_t)test);
    if (t->categories[0]) {
        for (int k = 0; k < cells; k++)
            out[k] = spread_density(s, t, &(tufa_reading){.test = test, .category = k});
        return;
    }
    double below = 0.0;
    for (int k = 0; k < cells; k++) {
        double next = k + 1 < cells ? spread_below(s, t, f->edge[test][k]) : 1.0;
        out[k] = fmax(next - below, 0.0);
        below = next;
    }
}

/* Joint probability of each cell with each fault into f->after, of each cell alone into `cell`. */
static void look_ahead(tufa_finder *f, int test, int cells, double cell[MAX_CELLS], double *entropy)
{
    spread room;
    double own[MAX_CELLS];
    for (int i = 0; i <= FAULT_COUNT; i++)
        if (i == FAULT_COUNT || f->of[i][test] >= 0)
            cell_shares(f, finder_spread(f, i < FAULT_COUNT ? i : -1, -1, test, &room), test, cells, f->cell[i]);
    memset(f->after, 0, sizeof f->after);
    for (int k = 0; k < cells; k++) cell[k] = 0.0;
    double sum_log[MAX_CELLS] = {0};
    for (int h = 0; h < f->hypotheses; h++) {
        double w = f->weight[h];
        if (w < TOO_UNLIKELY) continue;
        int a = f->hyp[h].a, b = f->hyp[h].b;
        int own_a = f->of[a][test] >= 0, own_b = b >= 0 && f->of[b][test] >= 0;
        const double *share = f->cell[own_a ? a : own_b ? b : FAULT_COUNT];
        if (b >= 0 && (own_a || own_b) && (f->circuit_at[test] >= 0 || (own_a && own_b))) {
            const spread *both = finder_spread(f, a, b, test, &room);
            int like = finder_like(f, both, a, b, test); /* mostly it reads as one of the two alone */
            if (like >= 0) share = f->cell[like];
            else cell_shares(f, both, test, cells, own), share = own;
        }
        for (int k = 0; k < cells; k++) {
            double joint = w * share[k];
            cell[k] += joint;
            f->after[k][a] += joint;
            if (b >= 0) f->after[k][b] += joint;
            if (entropy && joint > 0.0) sum_log[k] += joint * log(joint);
        }
    }
    if (!entropy) return;
    *entropy = 0.0; /* expected entropy of the hypotheses after the reading */
    for (int k = 0; k < cells; k++)
        if (cell[k] > 0.0) *entropy -= sum_log[k] - cell[k] * log(cell[k]);
}

static double entropy_now(const tufa_finder *f)
{
    double sum = 0.0;
    for (int h = 0; h < f->hypotheses; h++)
        if (f->weight[h] >= TOO_UNLIKELY) sum -= f->weight[h] * log(f->weight[h]);
    return sum;
}

/* ---- the outcomes, for people ---- */

static const double TOLD = 0.03; /* a fault less likely than this is not worth naming or mending: judgement */

/* What a result would mean: the likeliest fault that it would newly be right to act on, else the likeliest of all. */
static tufa_fault_odds meaning(const tufa_finder *f, int k, double mass, const double now[FAULT_COUNT],
                               const double missed[FAULT_COUNT], const double wasted[FAULT_COUNT])
{
    tufa_fault_odds acted = {-1, 0.0}, most = {0, 0.0};
    for (int i = 0; i < FAULT_COUNT && mass > 0.0; i++) {
        double p = fmin(f->after[k][i] / mass, 1.0);
        int act = p * missed[i] > (1.0 - p) * wasted[i], acts_now = now[i] * missed[i] > (1.0 - now[i]) * wasted[i];
        if (act && !acts_now && p > fmax(acted.probability, TOLD)) acted = (tufa_fault_odds){i, p};
        if (p > most.probability) most = (tufa_fault_odds){i, p};
    }
    return acted.fault >= 0 ? acted : most;
}

/* Neighbouring ranges that mean the same become one; the two or three likeliest are shown, in their order. */
static void outcomes(tufa_finder *f, const tufa_call *call, int test, tufa_next *next)
{
    const tufa_test *t = tufa_fault_test_at((size_t)test);
    int cells = cells_of(f, test), n = 0;
    double cell[MAX_CELLS], now[FAULT_COUNT], missed[FAULT_COUNT], wasted[FAULT_COUNT];
    weigh_marginals(f, now);
    stakes(f, call, missed, wasted);
    look_ahead(f, test, cells, cell, NULL);
    tufa_outcome all[MAX_CELLS];
    for (int k = 0; k < cells; k++) {
        tufa_fault_odds lead = meaning(f, k, cell[k], now, missed, wasted);
        double lo = k ? f->edge[test][k - 1] : t->lo, hi = k + 1 < cells ? f->edge[test][k] : t->hi;
        if (t->categories[0]) {
            all[n++] = (tufa_outcome){.category = k, .probability = cell[k], .then = lead};
        } else if (n && all[n - 1].then.fault == lead.fault) {
            tufa_outcome *o = &all[n - 1];
            double both = o->probability + cell[k];
            if (both > 0.0)
                o->then.probability = (o->then.probability * o->probability + lead.probability * cell[k]) / both;
            o->probability = both;
            o->hi = hi;
        } else {
            all[n++] = (tufa_outcome){.category = -1, .lo = lo, .hi = hi, .probability = cell[k], .then = lead};
        }
    }
    next->outcomes = 0;
    unsigned shown = 0; /* the likeliest first, then results that mean something else */
    for (int m = 0; m < TUFA_MAX_OUTCOMES; m++) {
        int best = -1;
        for (int k = 0; k < n; k++) {
            int told = shown >> k & 1;
            for (int j = 0; j < n; j++) told |= (shown >> j & 1) && all[j].then.fault == all[k].then.fault;
            if (!told && (best < 0 || all[k].probability > all[best].probability)) best = k;
        }
        if (best < 0) break;
        shown |= 1u << best;
    }
    for (int k = 0; k < n; k++)
        if (shown >> k & 1) next->outcome[next->outcomes++] = all[k];
}

/* ---- the rules ---- */

static double loss_after(const tufa_finder *f, int cells, const double cell[MAX_CELLS], int fault, double missed, double wasted)
{
    double later = 0.0;
    for (int k = 0; k < cells; k++) { /* the loss is homogeneous: joint probabilities need no division */
        double a = f->after[k][fault] * missed, b = (cell[k] - f->after[k][fault]) * wasted;
        if (a > 0.0 && b > 0.0) later += a * b / (a + b);
    }
    return later;
}

/* Greatest fall of expected loss for each dollar of minutes, money and hazard; none when no reading earns its cost. */
static void by_loss(tufa_finder *f, const tufa_call *call, stop_then then, tufa_next *next)
{
    double missed[FAULT_COUNT], wasted[FAULT_COUNT], p[FAULT_COUNT], now = 0.0, best = 1.0, cell[MAX_CELLS];
    stakes(f, call, missed, wasted);
    weigh_marginals(f, p);
    for (int i = 0; i < FAULT_COUNT; i++) now += one_loss(p[i], missed[i], wasted[i]);
    for (int t = 0; t < TEST_COUNT; t++) {
        if (!may_be_asked(f, call, then, t)) continue;
        int cells = cells_of(f, t);
        look_ahead(f, t, cells, cell, NULL);
        double later = 0.0;
        for (int i = 0; i < FAULT_COUNT; i++) later += loss_after(f, cells, cell, i, missed[i], wasted[i]);
        double cost = cost_usd(call, t), gain = now - later;
        if (gain / cost <= best) continue;
        best = gain / cost;
        *next = (tufa_next){.test = t, .gain_usd = gain, .minutes = minutes_left(call, t), .cost_usd = cost};
    }
    if (next->test < 0) return;
    int cells = cells_of(f, next->test);
    double most = 0.0;
    look_ahead(f, next->test, cells, cell, NULL);
    for (int i = 0; i < FAULT_COUNT; i++) {
        double saved = one_loss(p[i], missed[i], wasted[i]) - loss_after(f, cells, cell, i, missed[i], wasted[i]);
        if (saved > most) most = saved, next->sake = i, next->sake_probability = p[i];
    }
}

static const double SURE = 0.95, LEAST_NATS = 0.01; /* where the other two rules end */

static double surest(const tufa_finder *f)
{
    double most = 0.0;
    for (int h = 0; h < f->hypotheses; h++) most = fmax(most, f->weight[h]);
    return most;
}

static void by_information(tufa_finder *f, const tufa_call *call, stop_then then, tufa_next *next)
{
    if (surest(f) >= SURE) return;
    double now = entropy_now(f), best = LEAST_NATS, cell[MAX_CELLS], later;
    for (int t = 0; t < TEST_COUNT; t++) {
        if (!may_be_asked(f, call, then, t)) continue;
        look_ahead(f, t, cells_of(f, t), cell, &later);
        if (now - later <= best) continue;
        best = now - later;
        *next = (tufa_next){.test = t, .gain_usd = 0.0, .minutes = minutes_left(call, t), .cost_usd = cost_usd(call, t)};
    }
}

static void by_list(tufa_finder *f, const tufa_call *call, stop_then then, tufa_next *next)
{
    static const test_id LIST[] = {
#define X(id) TEST_##id,
#include "core/fault/fixed.def"
#undef X
    };
    if (surest(f) >= SURE) return;
    for (size_t i = 0; i < sizeof LIST / sizeof LIST[0]; i++) {
        int t = (int)LIST[i];
        if (!may_be_asked(f, call, then, t)) continue;
        *next = (tufa_next){.test = t, .minutes = minutes_left(call, t), .cost_usd = cost_usd(call, t)};
        return;
    }
}

void choose_test(tufa_finder *f, const tufa_call *call, stop_then then, tufa_rule rule, tufa_next *next)
{
    *next = (tufa_next){.test = -1, .sake = -1};
    if (then == ALONE || call->readings == TUFA_MAX_READINGS) return;
    switch (rule) {
    case TUFA_RULE_LOSS: by_loss(f, call, then, next); break;
    case TUFA_RULE_INFORMATION: by_information(f, call, then, next); break;
    case TUFA_RULE_FIXED: by_list(f, call, then, next); break;
    }
    if (rule != TUFA_RULE_LOSS || next->test < 0) next->sake = -1;
}

void choose_next(tufa_finder *f, const tufa_call *call, stop_then then, tufa_rule rule, tufa_next *next)
{
    choose_test(f, call, then, rule, next);
    if (next->test >= 0) outcomes(f, call, next->test, next);
    next->single_element = f->heater.single_element;
}

/* ---- what to do, what to bring ---- */

int choose_actions(const tufa_finder *f, const tufa_call *call, const double p[FAULT_COUNT], tufa_action action[TUFA_MAX_ACTIONS])
{
    double missed[FAULT_COUNT], wasted[FAULT_COUNT];
    stakes(f, call, missed, wasted);
    unsigned char used[FAULT_COUNT] = {0};
    int n = 0;
    while (n < TUFA_MAX_ACTIONS) {
        int best = -1;
        for (int i = 0; i < FAULT_COUNT; i++)
            if (!used[i] && p[i] >= TOLD && p[i] * missed[i] > (1.0 - p[i]) * wasted[i] && (best < 0 || p[i] > p[best]))
                best = i;
        if (best < 0) break;
        used[best] = 1;
        action[n++] = (tufa_action){best, fault_cheapest_repair(best, f->gas), p[best]};
    }
    return n;
}

double choose_outcome(const tufa_finder *f, const tufa_call *call, const double p[FAULT_COUNT], int a, int b, double *missed_usd, int *missing)
{
    double missed[FAULT_COUNT], wasted[FAULT_COUNT], lost = 0.0;
    stakes(f, call, missed, wasted);
    *missed_usd = 0.0;
    *missing = 0;
    for (int i = 0; i < FAULT_COUNT; i++) {
        int act = p[i] * missed[i] > (1.0 - p[i]) * wasted[i], is = i == a || i == b;
        if (act && !is) lost += wasted[i];
        if (!act && is) lost += missed[i], *missed_usd += missed[i], ++*missing;
    }
    return lost;
}

int choose_parts(const tufa_finder *f, const tufa_call *call, const double p[FAULT_COUNT], tufa_part part[TUFA_MAX_PARTS])
{
    static const double WORTH_CARRYING_USD = 3.0; /* odds x second trip below this stay on the shelf: judgement */
    double need[REPAIR_COUNT] = {0};
    for (int i = 0; i < FAULT_COUNT; i++) {
        int r = p[i] > 0.0 ? fault_cheapest_repair(i, f->gas) : -1;
        if (r >= 0) need[r] = fmin(need[r] + p[i], 1.0);
    }
    int n = 0;
    for (;;) {
        int best = -1;
        for (int r = 0; r < REPAIR_COUNT; r++)
            if (need[r] * trip_usd(call) > WORTH_CARRYING_USD && strncmp(tufa_fault_repair_at((size_t)r)->parts, "none", 4) != 0 &&
                (best < 0 || need[r] > need[best]))
                best = r;
        if (best < 0 || n == TUFA_MAX_PARTS) return n;
        part[n++] = (tufa_part){best, need[best], need[best] * trip_usd(call)};
        need[best] = 0.0;
    }
}
