/* Calls and visits in simulation, to compare rules and to see whether odds hold what they say. */
#include <math.h>
#include <string.h>

#include "core/base/status.h"
#include "core/fault/choose.h"
#include "core/fault/weigh.h"

enum { STREAM_TRUTH = 1, STREAM_COMPLAINTS = 2, STREAM_SHARES = 3, STREAM_READINGS = 1000, MOST_READINGS = 40, TRIES = 200 };
static const double Z_90 = 1.2815515655446004; /* the rows' factor spans 10 to 90 % */

/* Shares of singles and pairs, each fault's off by its own factor where the tables are disturbed. */
static void draw_truth(tufa_finder *f, double wider, uint64_t key, uint64_t visit, hypothesis *truth)
{
    double off[FAULT_COUNT], sum = 0.0;
    for (int i = 0; i < FAULT_COUNT; i++)
        off[i] = wider > 1.0 ? exp(tufa_normal(key, STREAM_SHARES, (uint64_t)i) * log(tufa_fault_at((size_t)i)->share_factor) / Z_90)
                             : 1.0;
    for (int h = 0; h < f->hypotheses; h++)
        sum += f->weight[h] * off[f->hyp[h].a] * (f->hyp[h].b >= 0 ? off[f->hyp[h].b] : 1.0);
    double u = sum * tufa_uniform(key, STREAM_TRUTH, visit);
    *truth = f->hyp[0];
    for (int h = 0; h < f->hypotheses && u >= 0.0; h++) {
        u -= f->weight[h] * off[f->hyp[h].a] * (f->hyp[h].b >= 0 ? off[f->hyp[h].b] : 1.0);
        *truth = f->hyp[h];
    }
}

/* Voiced complaints by the same rules as they are weighed; again until there is one, since without one there is no call. */
static void draw_complaints(const tufa_finder *f, hypothesis h, uint64_t key, uint64_t visit, tufa_call *call)
{
    static const complaint_id GROUP[] = {COMPLAINT_no_hot, COMPLAINT_runs_out, COMPLAINT_lukewarm};
    for (int again = 0; again < TRIES; again++) {
        uint64_t stream = STREAM_COMPLAINTS + 1000000u * (uint64_t)(again + 1);
        int any = 0;
        double none = 1.0, sum = 0.0;
        for (int c = 0; c < COMPLAINT_COUNT; c++) {
            double q = weigh_voiced(f, h, c);
            call->complaint[c] = (unsigned char)(tufa_uniform(key, stream, visit * COMPLAINT_COUNT + (uint64_t)c) < q);
        }
        for (int i = 0; i < 3; i++) {
            double q = weigh_voiced(f, h, (int)GROUP[i]);
            none *= 1.0 - q;
            sum += q;
            call->complaint[GROUP[i]] = 0;
        }
        for (int c = 0; c < COMPLAINT_COUNT; c++) any |= call->complaint[c];
        double u = tufa_uniform(key, stream, visit * COMPLAINT_COUNT + COMPLAINT_no_hot);
        if (u < 1.0 - none) {
            u *= sum / (1.0 - none);
            int i = 0;
            for (; i < 2 && u >= weigh_voiced(f, h, (int)GROUP[i]); i++) u -= weigh_voiced(f, h, (int)GROUP[i]);
            call->complaint[GROUP[i]] = 1;
            any = 1;
        }
        if (any) return;
    }
}

static tufa_status draw_reading(const tufa_finder *f, hypothesis h, int test, double wider, uint64_t key, uint64_t visit,
                                tufa_reading *r)
{
    if (wider <= 1.0) return tufa_fault_draw(f, h.a, h.b, test, key, STREAM_READINGS + visit, r);
    const tufa_test *t = tufa_fault_test_at((size_t)test);
    spread room, s = *finder_spread(f, h.a, h.b, test, &room);
    double u = tufa_uniform(key, STREAM_READINGS + visit, (uint64_t)test), sum = 0.0;
    for (int i = 0; i < s.parts; i++) s.part[i].wide *= wider;
    *r = (tufa_reading){.test = test, .category = -1};
    if (!t->categories[0]) {
        r->value = spread_quantile(&s, t, u);
        return OK;
    }
    int n = spread_categories(t);
    for (int k = 0; k < n; k++) sum += s.share[k] = pow(s.share[k], 1.0 / wider); /* flatter */
    for (r->category = 0; r->category + 1 < n; r->category++) {
        u -= s.share[r->category] / sum;
        if (u < 0.0) break;
    }
    return OK;
}

typedef struct visit_end {
    double p[FAULT_COUNT];
    int readings;
    double minutes, usd;
} visit_end;

static tufa_status one_visit(tufa_finder *f, hypothesis truth, tufa_rule rule, double wider, uint64_t key, uint64_t visit,
                             visit_end *end)
{
    tufa_call call = {.made_safe = 1};
    *end = (visit_end){.readings = 0};
    draw_complaints(f, truth, key, visit, &call);
    for (;;) {
        tufa_next next;
        RETURN_IF(weigh(f, &call, -1));
        weigh_marginals(f, end->p);
        if (call.readings == MOST_READINGS) return OK;
        choose_test(f, &call, GOES_ON, rule, &next);
        if (next.test < 0) return OK;
        RETURN_IF(draw_reading(f, truth, next.test, wider, key, visit, &call.reading[call.readings]));
        call.readings++;
        end->readings++;
        end->minutes += next.minutes;
        end->usd += next.cost_usd;
    }
}

tufa_status tufa_fault_trial(tufa_finder *f, int a, int b, tufa_rule rule, double wider, uint64_t key, int visits, tufa_trial *out)
{
    tufa_call nobody = {0};
    tufa_trial t = {.visits = visits};
    RETURN_IF(in_range("visits", visits, 1, 1e6));
    if (a >= FAULT_COUNT || b >= FAULT_COUNT || (a >= 0 && !f->possible[a]) || (b >= 0 && !f->possible[b]))
        return trouble(TUFA_UNKNOWN, "fault", "this heater has no such fault");
    for (int v = 0; v < visits; v++) {
        hypothesis truth = {(short)a, (short)b};
        if (a < 0) {
            RETURN_IF(weigh(f, &nobody, -1)); /* the priors themselves */
            draw_truth(f, wider, key, (uint64_t)v, &truth);
        }
        visit_end end;
        RETURN_IF(one_visit(f, truth, rule, wider, key, (uint64_t)v, &end));
        int missing, best = 0;
        double missed_usd, lost = choose_outcome(f, &nobody, end.p, truth.a, truth.b, &missed_usd, &missing);
        for (int i = 1; i < FAULT_COUNT; i++)
            if (end.p[i] > end.p[best]) best = i;
        int place = (int)fmin(end.p[best] * 10.0, 9.0), hit = best == truth.a || best == truth.b;
        t.found += missing == 0;
        t.second += missing == 1 && truth.b >= 0;
        t.missed_usd += missed_usd / visits;
        t.first += hit;
        t.sure[place]++;
        t.right[place] += hit;
        t.sure_sum[place] += end.p[best];
        t.readings += (double)end.readings / visits;
        t.minutes += end.minutes / visits;
        t.reading_usd += end.usd / visits;
        t.lost_usd += lost / visits;
    }
    *out = t;
    return OK;
}
