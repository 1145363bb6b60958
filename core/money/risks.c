/* What may end first: tank, element, control, anode, year by year, in every draw of what is not known. */
#include "core/base/sources.h"
#include "core/base/status.h"
#include "core/money/inner.h"

#include <math.h>

static const tufa_risk_row RISKS[TUFA_RISK_COUNT] = {
#define X(id, src, ...) [TUFA_RISK_##id] = {.source = src, __VA_ARGS__},
#include "tufa/risks.def"
#undef X
};
enum { STREAM_CONTROL_MEAN = 2400, STREAM_CONTROL_SHAPE = 2401, STREAM_CONTROL_AGE = 2402 };

const tufa_risk_row *tufa_risk_at(tufa_risk r) { return (unsigned)r < TUFA_RISK_COUNT ? &RISKS[r] : NULL; }

/* Share of the year in which the bed is in trouble. */
static double troubled(const world *w, int y)
{
    double from = w->kg + w->kg_year * y, to = from + w->kg_year;
    if (from >= w->trouble_kg) return 1.0;
    return to > w->trouble_kg && w->kg_year > 0.0 ? (to - w->trouble_kg) / w->kg_year : 0.0;
}

/* Cumulative hazards in year y, nothing being done. The anode is spent at a time that the draw knows. */
static void hazards(const worlds *ws, const world *w, const tufa_weibull *control, double control_age, int y, double h[TUFA_RISK_COUNT])
{
    double bed = troubled(w, y), m = w->anode_on_life, usual = 1.0 + ws->spent_usual[y] * (m - 1.0);
    double spent = w->anode_age + y > w->anode_life ? m : 1.0, elements = tufa_element_failures_year(w->base_year, w->per_10K, w->rise_K);
    h[TUFA_RISK_TANK] = w->hazard[y] * spent / usual * (1.0 + (w->bed_on_life - 1.0) * bed);
    h[TUFA_RISK_ELEMENT] = elements * (1.0 + (w->buried - 1.0) * bed);
    h[TUFA_RISK_CONTROL] = -log(fmax(1e-300, 1.0 - tufa_weibull_fails_within(control, control_age + y, 1.0)));
    h[TUFA_RISK_ANODE] = 0.0;
}

/* One draw's share of everything. Within a year the ends compete by their hazards; the anode's end falls where it falls. */
static void add(const worlds *ws, const world *w, const tufa_weibull *control, double control_age, double share, tufa_risks *r)
{
    double alone[TUFA_RISK_COUNT] = {0}, none = share, left_years = w->anode_life - w->anode_age, first[TUFA_RISK_COUNT] = {0};
    if (left_years <= 0.0) r->within[TUFA_RISK_ANODE][0] += share; /* it is so already: the others run on without it */
    r->none[0] += none;
    for (int y = 0; y < TUFA_RISK_YEARS; y++) {
        double h[TUFA_RISK_COUNT], sum = 0.0;
        hazards(ws, w, control, control_age, y, h);
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
    const tufa_money_in *in = ws->in;
    RETURN_IF(draw_worlds(ws, arena));
    for (size_t i = 0; i < ws->n; i++) {
        tufa_weibull control = tufa_life_at(&in->control, tufa_uniform(in->key, STREAM_CONTROL_MEAN, i), tufa_uniform(in->key, STREAM_CONTROL_SHAPE, i));
        double age = ws->w[i].age;
        if (in->control_age_years.basis != TUFA_BASIS_NONE)
            age = fmin(age, fmax(0.0, tufa_value_at(in->control_age_years, tufa_uniform(in->key, STREAM_CONTROL_AGE, i))));
        add(ws, &ws->w[i], &control, age, 1.0 / (double)ws->n, r);
    }
    return OK;
}

tufa_status tufa_money_risks(const tufa_money_in *in, tufa_arena *arena, tufa_risks *out)
{
    if (!in->ahead || !in->ahead->draw_kg) return trouble(TUFA_MISSING, "ahead", "the view ahead of the heater");
    size_t used = arena->used;
    worlds ws = {.in = in, .n = in->ahead->draws, .years = TUFA_RISK_YEARS};
    tufa_risks r = {0};
    tufa_status st = run(&ws, arena, &r);
    arena->used = used;
    if (st.code == TUFA_OK) *out = r;
    return st;
}
