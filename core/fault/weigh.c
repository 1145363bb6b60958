#include "core/fault/weigh.h"

#include <math.h>

#include "core/base/status.h"
#include "core/base/units.h"

static const double OWN_CALLS = 30.0; /* the table's shares weigh as much as so many closed calls: judgement */
/* Two independent faults in one call against one alone: with the product of their shares, one call in nine. Judgement. */
static const double TWO_AT_ONCE = 0.25;
static const double SUMMER = 0.25; /* odds of colder water coming in, May to October: judgement */

/* ---- priors ---- */

static int known(const tufa_call *c, known_id k) { return c->known[k] == 1; }
static int at_least(tufa_value v, double x) { return v.basis != TUFA_BASIS_NONE && v.mid >= x; }

/* What the figures of house and heater say beyond what was ticked. */
static void known_from_figures(const tufa_finder *f, const tufa_call *c, unsigned char k[KNOWN_COUNT])
{
    static const double ELEMENT_SHARE = 0.9, DEEP_M = 0.025, HIGH_SET_C = 60.0, NITRATE_MG_L = 10.0,
                        SULFATE_MG_L = 1.0, PEOPLE_PER_10_GAL = 1.2;
    const tufa_tank *t = &f->heater.tank;
    for (int i = 0; i < KNOWN_COUNT; i++) k[i] = (unsigned char)known(c, (known_id)i);
    double depth_m = t->bed_m3 / (t->volume_m3 / t->height_m), set_C = C_from_K(t->setpoint_K);
    k[KNOWN_bed_at_element] |= !f->gas && depth_m >= ELEMENT_SHARE * t->lower_height_m;
    k[KNOWN_bed_over_25mm] |= f->gas && depth_m > DEEP_M;
    k[KNOWN_over_5_years] |= (unsigned char)at_least(c->age_years, 5.0);
    k[KNOWN_over_10_years] |= (unsigned char)at_least(c->age_years, 10.0);
    k[KNOWN_over_12_years] |= (unsigned char)at_least(c->age_years, 12.0);
    k[KNOWN_over_8_years] |= (unsigned char)(at_least(c->age_years, 8.0) && !at_least(c->age_years, 12.0));
    k[KNOWN_winter] |= c->month == 12 || (c->month >= 1 && c->month <= 3);
    k[KNOWN_hot_setpoint] |= set_C > HIGH_SET_C;
    k[KNOWN_high_nitrate] |= (unsigned char)at_least(c->nitrate_mg_l, NITRATE_MG_L);
    k[KNOWN_no_sulfate] |= c->sulfate_mg_l.basis != TUFA_BASIS_NONE && c->sulfate_mg_l.mid < SULFATE_MG_L;
    k[KNOWN_crowded] |= c->people.basis != TUFA_BASIS_NONE &&
                        c->people.mid / (gal_from_m3(t->volume_m3) / 10.0) > PEOPLE_PER_10_GAL;
}

/* A factor of the table, or what the tank stage says of this heater where that is more: the sheath of the element under its
 * scale and bed, and the hours a day in which bacteria grow, with the root of those of a tank at 125 F. */
static double raised(const tufa_finder *f, const unsigned char k[KNOWN_COUNT], int fault)
{
    static const double USUAL_GROWTH_S[2] = {2.7 * 3600.0, 1.1 * 3600.0}; /* electric, gas: default heaters at 52 C; computed */
    const fault_raise_row *row;
    size_t n = fault_raises(&row);
    double all = 1.0, table = 1.0, computed = 0.0;
    int element = fault == FAULT_lower_open || fault == FAULT_lower_earthed;
    for (size_t i = 0; i < n; i++) {
        int only = f->heater.single_element && fault == FAULT_lower_open && row[i].fault == FAULT_upper_open && row[i].known == KNOWN_dry_fired;
        if ((row[i].fault != fault && !only) || !k[row[i].known]) continue;
        int physics = (element && (row[i].known == KNOWN_bed_at_element || row[i].known == KNOWN_high_watt_density)) ||
                      (fault == FAULT_srb_smell && row[i].known == KNOWN_low_setpoint);
        *(physics ? &table : &all) *= row[i].factor;
    }
    if (element) computed = f->skin_times;
    if (fault == FAULT_srb_smell) computed = sqrt(f->growth_s / USUAL_GROWTH_S[f->gas]);
    if (computed <= 0.0) return all * table;
    return all * (table > 1.0 ? fmax(table, computed) : computed);
}

/* Shares of calls for this house, summing to 1: the table, replaced by the owner's own closed calls as they come in
 * (Dirichlet with OWN_CALLS pseudo-calls), times what is known of the house. */
static void priors(const tufa_finder *f, const tufa_call *c, double p[FAULT_COUNT])
{
    double own = 0.0, sum = 0.0;
    for (int i = 0; i < FAULT_COUNT; i++) own += c->found[i];
    for (int i = 0; i < FAULT_COUNT; i++) {
        const tufa_fault_row *row = tufa_fault_at((size_t)i);
        double share = f->gas ? row->share_gas : row->share_electric;
        p[i] = f->possible[i] ? (OWN_CALLS * share + c->found[i]) / (OWN_CALLS + own) : 0.0;
    }
    unsigned char k[KNOWN_COUNT];
    known_from_figures(f, c, k);
    for (int i = 0; i < FAULT_COUNT; i++)
        if (p[i] > 0.0) p[i] *= raised(f, k, i);
    if (c->month >= 5 && c->month <= 10) p[FAULT_winter_inlet] *= SUMMER;
    for (int i = 0; i < FAULT_COUNT; i++) sum += p[i];
    for (int i = 0; i < FAULT_COUNT; i++) p[i] /= sum;
}

/* Factor by which a pair is likelier than chance would have it; bacteria in a tepid tank by their hours in it. */
static double lead_factor(const tufa_finder *f, int a, int b)
{
    if ((a == FAULT_setpoint_low && b == FAULT_srb_smell) || (b == FAULT_setpoint_low && a == FAULT_srb_smell))
        return f->growth_s > 0.0 ? sqrt(f->growth_low_s / f->growth_s) : 1.0;
    const fault_pair_row *row;
    size_t n = fault_leads(&row);
    for (size_t i = 0; i < n; i++)
        if ((row[i].cause == a && row[i].effect == b) || (row[i].cause == b && row[i].effect == a)) return row[i].factor;
    return 1.0;
}

static void hypotheses(tufa_finder *f, const double p[FAULT_COUNT])
{
    double log_p[FAULT_COUNT];
    for (int i = 0; i < FAULT_COUNT; i++) log_p[i] = p[i] > 0.0 ? log(p[i]) : 0.0;
    f->hypotheses = 0;
    for (int i = 0; i < FAULT_COUNT; i++) {
        if (p[i] <= 0.0) continue;
        f->hyp[f->hypotheses] = (hypothesis){(short)i, -1};
        f->weight[f->hypotheses++] = log_p[i];
        for (int j = i + 1; j < FAULT_COUNT && i != FAULT_other; j++) { /* "none of these" stands alone */
            if (p[j] <= 0.0 || j == FAULT_other) continue;
            double factor = lead_factor(f, i, j);
            f->hyp[f->hypotheses] = (hypothesis){(short)i, (short)j};
            f->weight[f->hypotheses++] = log(TWO_AT_ONCE) + log_p[i] + log_p[j] + (factor > 1.0 ? log(factor) : 0.0);
        }
    }
}

/* ---- complaints ---- */

/* Hot water is none, short or tepid: one of the three, in shares of what each would be alone. */
static const complaint_id GROUP[] = {COMPLAINT_no_hot, COMPLAINT_runs_out, COMPLAINT_lukewarm};
enum { GROUP_SIZE = sizeof GROUP / sizeof GROUP[0] };

static int in_group(int complaint)
{
    for (int i = 0; i < GROUP_SIZE; i++)
        if (complaint == (int)GROUP[i]) return 1;
    return 0;
}

/* The only element and thermostat of a heater serve its whole tank: when they fail tenants say what they say of the upper pair's. */
static double voices(const tufa_finder *f, int fault, int complaint)
{
    if (f->heater.single_element && fault == FAULT_lower_open) fault = FAULT_upper_open;
    if (f->heater.single_element && fault == FAULT_lower_tstat_open) fault = FAULT_upper_no_call;
    return tufa_fault_voices(fault, complaint);
}

double weigh_voiced(const tufa_finder *f, hypothesis h, int c)
{
    const tufa_complaint *row = tufa_fault_complaint_at((size_t)c);
    if (!(f->gas ? row->gas : row->electric)) return 0.0;
    double silent = (1.0 - row->leak) * (1.0 - voices(f, h.a, c));
    if (h.b >= 0) silent *= 1.0 - voices(f, h.b, c);
    return 1.0 - silent;
}

static double group_likelihood(const tufa_call *call, const double q[COMPLAINT_COUNT])
{
    double none = 1.0, sum = 0.0, told = 0.0, open = 0.0;
    int any = 0;
    for (int i = 0; i < GROUP_SIZE; i++) {
        int c = (int)GROUP[i];
        none *= 1.0 - q[c];
        sum += q[c];
        if (call->complaint[c] == 1) told += q[c], any = 1;
        if (call->complaint[c] != 2) open += q[c];
    }
    double some = 1.0 - none;
    return any ? some * told / sum : none + some * open / sum;
}

static double log_complaints(const tufa_finder *f, const tufa_call *call, hypothesis h)
{
    double q[COMPLAINT_COUNT], sum = 0.0, silent = 1.0;
    int any = 0;
    for (int c = 0; c < COMPLAINT_COUNT; c++) {
        q[c] = weigh_voiced(f, h, c);
        silent *= 1.0 - q[c];
        any |= call->complaint[c] == 1;
    }
    for (int c = 0; c < COMPLAINT_COUNT; c++) {
        if (in_group(c) || call->complaint[c] == 0) continue;
        double p = call->complaint[c] == 1 ? q[c] : 1.0 - q[c];
        sum += log(p > 0.0 ? p : 1e-12);
    }
    sum += log(group_likelihood(call, q));
    return any ? sum - log(1.0 - silent) : sum; /* it is a call: something was voiced */
}

/* ---- readings ---- */

/* Readings that tell the same thing share the weight of one: the same test again, watts and amps of one state, and of
 * cut-out, dial and their difference only two are independent. A sum that does not depend on their order. */
static double reading_weight(const tufa_call *c, int i)
{
    static const test_id TWIN[][2] = {{TEST_A_sat, TEST_meter_rest_W}, {TEST_A_upper, TEST_meter_upper_W},
                                      {TEST_A_lower, TEST_meter_lower_W}};
    static const test_id THREE[] = {TEST_cutout_C, TEST_dial_C, TEST_dial_mark};
    int test = c->reading[i].test, same = 0, three = 0, among = 0;
    int other = test;
    for (size_t k = 0; k < sizeof TWIN / sizeof TWIN[0]; k++)
        if (test == (int)TWIN[k][0] || test == (int)TWIN[k][1])
            other = (int)TWIN[k][0] + (int)TWIN[k][1] - test;
    for (int j = 0; j < c->readings; j++) same += c->reading[j].test == test || c->reading[j].test == other;
    for (int k = 0; k < 3; k++) {
        among |= test == (int)THREE[k];
        for (int j = 0; j < c->readings; j++)
            if (c->reading[j].test == (int)THREE[k]) {
                three++;
                break;
            }
    }
    return (among && three == 3 ? 2.0 / 3.0 : 1.0) / same;
}

static void add_reading(tufa_finder *f, const tufa_call *call, int i)
{
    const tufa_reading *r = &call->reading[i];
    const tufa_test *t = tufa_fault_test_at((size_t)r->test);
    double weight = reading_weight(call, i), single[FAULT_COUNT + 1];
    spread room;
    for (int k = 0; k <= FAULT_COUNT; k++) {
        if (k < FAULT_COUNT && f->of[k][r->test] < 0) continue;
        single[k] = log(spread_density(finder_spread(f, k < FAULT_COUNT ? k : -1, -1, r->test, &room), t, r));
    }
    for (int h = 0; h < f->hypotheses; h++) {
        int a = f->hyp[h].a, b = f->hyp[h].b;
        int own_a = f->of[a][r->test] >= 0, own_b = b >= 0 && f->of[b][r->test] >= 0;
        double l;
        if (b >= 0 && (own_a || own_b) && (f->circuit_at[r->test] >= 0 || (own_a && own_b))) {
            const spread *both = finder_spread(f, a, b, r->test, &room);
            int like = finder_like(f, both, a, b, r->test);
            l = like >= 0 ? single[like] : log(spread_density(both, t, r));
        } else
            l = single[own_a ? a : own_b ? b : FAULT_COUNT];
        f->weight[h] += weight * l;
    }
}

tufa_status weigh(tufa_finder *f, const tufa_call *call, int without)
{
    if (!f->ready) return trouble(TUFA_MISSING, "finder", "it has to be prepared for a heater first");
    if (call->readings < 0 || call->readings > TUFA_MAX_READINGS)
        return trouble(TUFA_RANGE, "readings", "more readings than a call may hold");
    for (int i = 0; i < call->readings; i++) RETURN_IF(tufa_fault_reading_check(&f->heater, &call->reading[i]));
    double p[FAULT_COUNT];
    priors(f, call, p);
    hypotheses(f, p);
    for (int h = 0; h < f->hypotheses; h++) f->weight[h] += log_complaints(f, call, f->hyp[h]);
    for (int i = 0; i < call->readings; i++)
        if (i != without) add_reading(f, call, i);
    double most = f->weight[0], sum = 0.0;
    for (int h = 1; h < f->hypotheses; h++) most = fmax(most, f->weight[h]);
    for (int h = 0; h < f->hypotheses; h++) sum += f->weight[h] = exp(f->weight[h] - most);
    for (int h = 0; h < f->hypotheses; h++) f->weight[h] /= sum;
    return OK;
}

void weigh_marginals(const tufa_finder *f, double p[FAULT_COUNT])
{
    for (int i = 0; i < FAULT_COUNT; i++) p[i] = 0.0;
    for (int h = 0; h < f->hypotheses; h++) {
        p[f->hyp[h].a] += f->weight[h];
        if (f->hyp[h].b >= 0) p[f->hyp[h].b] += f->weight[h];
    }
}

/* ---- conflicts ---- */

static int explains(const tufa_finder *f, hypothesis h, const tufa_reading *r)
{
    static const double SEEN = 0.02; /* a category rarer than a misreading is not explained */
    const tufa_test *t = tufa_fault_test_at((size_t)r->test);
    spread room;
    const spread *s = finder_spread(f, h.a, h.b, r->test, &room);
    if (r->category >= 0) return s->share[r->category] >= SEEN;
    return spread_density(s, t, r) >= 2.0 * spread_flat(t, spread_entered(t, r->value));
}

/* Two results of one test that its instrument cannot both have shown. */
static int disagree(const tufa_reading *a, const tufa_reading *b)
{
    static const double SIGMAS = 6.0, DECADES_LN = 1.1;
    const tufa_test *t = tufa_fault_test_at((size_t)a->test);
    if (a->category >= 0) return a->category != b->category;
    double x = spread_entered(t, a->value), y = spread_entered(t, b->value), gap = fabs(x - y);
    if (gap <= SIGMAS * fmax(t->sd, t->sd_share * fmax(fabs(x), fabs(y)))) return 0;
    return t->log_scale ? fabs(log(x / y)) > DECADES_LN : 1;
}

int weigh_conflicts(const tufa_finder *f, const tufa_call *call, int pair[][2], int room)
{
    uint64_t met[TUFA_MAX_READINGS] = {0}; /* bit j of [i]: some fault or pair explains both */
    for (int h = 0; h < f->hypotheses; h++) {
        uint64_t mask = 0;
        for (int i = 0; i < call->readings; i++) mask |= (uint64_t)explains(f, f->hyp[h], &call->reading[i]) << i;
        for (int i = 0; i < call->readings; i++)
            if (mask >> i & 1) met[i] |= mask;
    }
    int n = 0;
    for (int i = 0; i < call->readings; i++)
        for (int j = i + 1; j < call->readings && n < room; j++) {
            int same = call->reading[i].test == call->reading[j].test;
            int alone = met[i] != 0 && met[j] != 0; /* each has an explanation of its own */
            if (!(same ? disagree(&call->reading[i], &call->reading[j]) : alone && !(met[i] >> j & 1))) continue;
            pair[n][0] = i;
            pair[n++][1] = j;
        }
    return n;
}
