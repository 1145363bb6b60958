/* What may end first: tank, element, control, anode, year by year, in every draw of what is not known. */
#include "core/base/sources.h"
#include "core/base/status.h"
#include "core/money/step.h"

#include <math.h>
#include <string.h>

static const tufa_risk_row RISKS[TUFA_RISK_COUNT] = {
#define X(id, src, ...) [TUFA_RISK_##id] = {.source = src, __VA_ARGS__},
#include "tufa/risks.def"
#undef X
};
const tufa_risk_row *tufa_risk_at(tufa_risk r) { return (unsigned)r < TUFA_RISK_COUNT ? &RISKS[r] : NULL; }

/* Cumulative hazards in year y, nothing being done, from the half-years of the decision problem. Thermostats are those that
 * stand there, by their life: what comes first is asked, not how often. */
static void hazards(const stand *s, size_t i, int y, double h[TUFA_RISK_COUNT])
{
    const world *w = &s->ws->w[i];
    memset(h, 0, TUFA_RISK_COUNT * sizeof *h);
    for (int k = STEPS_YEAR * y; k < STEPS_YEAR * (y + 1); k++) {
        double later = STEP_YEARS * k, grown = STEP_YEARS * s->growth[i];
        double t = share_in_trouble(s->kg[i] + s->growth[i] * later, grown, s->trouble_kg[i]);
        double spent = s->anode_age[i] + later > s->anode_life[i] ? w->anode_on_life : 1.0;
        h[TUFA_RISK_TANK] += s->hazard[(size_t)k * s->n + i] * spent * (1.0 + (w->bed_on_life[s->electric] - 1.0) * t);
        h[TUFA_RISK_ELEMENT] += STEP_YEARS * s->element[0][i] * (1.0 + (w->buried - 1.0) * t);
    }
    h[TUFA_RISK_CONTROL] = -log(fmax(1e-300, 1.0 - tufa_weibull_fails_within(&w->control, w->control_age + y, 1.0)));
}

/* One draw's share of everything. Within a year the ends compete by their hazards; the anode's end falls where it falls. */
static void add(const stand *s, size_t i, double share, tufa_risks *r)
{
    double alone[TUFA_RISK_COUNT] = {0}, none = share, left_years = s->anode_life[i] - s->anode_age[i], first[TUFA_RISK_COUNT] = {0};
    if (left_years <= 0.0) r->within[TUFA_RISK_ANODE][0] += share; /* it is so already: the others run on without it */
    r->none[0] += none;
    for (int y = 0; y < TUFA_RISK_YEARS; y++) {
        double h[TUFA_RISK_COUNT], sum = 0.0;
        hazards(s, i, y, h);
        for (int k = 0; k < TUFA_RISK_COUNT; k++) sum += h[k], alone[k] += h[k];
        int spent = left_years > 0.0 && left_years > y && left_years <= y + 1.0;
        double part = spent ? left_years - y : 1.0, goes = -expm1(-sum * part); /* before the anode is gone, or in all of the year */
        for (int k = 0; k < TUFA_RISK_COUNT && sum > 0.0; k++) first[k] += none * goes * h[k] / sum;
        none *= 1.0 - goes;
        if (spent) first[TUFA_RISK_ANODE] += none, none = 0.0;
        for (int k = 0; k < TUFA_RISK_COUNT; k++) {
            double gone = k == TUFA_RISK_ANODE ? left_years <= y + 1.0 : -expm1(-alone[k]);
            r->within[k][y + 1] += share * gone;
            r->first[k][y + 1] += first[k];
        }
        r->none[y + 1] += none;
    }
}

static tufa_status run(worlds *ws, tufa_arena *arena, tufa_risks *r)
{
    stand s;
    RETURN_IF(draw_worlds(ws, arena));
    RETURN_IF(make_stand(ws, TUFA_CHOICE_COUNT, 0, arena, &s));
    for (size_t i = 0; i < ws->n; i++) add(&s, i, 1.0 / (double)ws->n, r);
    return OK;
}

tufa_status tufa_money_risks(const tufa_money_in *in, tufa_arena *arena, tufa_risks *out)
{
    if (!in->ahead || !in->ahead->draw_kg) return trouble(TUFA_MISSING, "ahead", "the view ahead of the heater");
    size_t used = arena->used;
    worlds ws = {.in = in, .n = in->ahead->draws};
    tufa_risks r = {0};
    tufa_status st = run(&ws, arena, &r);
    arena->used = used;
    if (st.code == TUFA_OK) *out = r;
    return st;
}
