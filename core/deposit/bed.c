#include "core/deposit/constants.h"
#include "core/base/sources.h"
#include "tufa/deposit.h"

#include <math.h>

static const double KG_PER_MG_L_M3 = 1e-3; /* 1 mg/L in 1 m3 is 1 g */

double tufa_bed_kg(const tufa_bed *b) { return b->fines_kg + b->flakes_kg + b->layer_kg + b->sand_kg + b->rust_kg; }

double tufa_bed_lying_m3(const tufa_bed *b, const tufa_packing *p)
{
    double between = 1.0 - p->voidage; /* sand and rust have no pores that matter */
    return tufa_packing_bed_m3(p, b->fines_kg + b->flakes_kg) + b->sand_kg / (D(SAND_KG_M3) * between) +
           b->rust_kg / (D(RUST_KG_M3) * between);
}

void tufa_bed_settle(tufa_bed *b, const tufa_element *e, double element_share, double kept_mg_L, double sand_mg_L,
                     double rust_mg_L, double m3_day, double days)
{
    double m3 = m3_day * days, kept_kg = KG_PER_MG_L_M3 * kept_mg_L * m3;
    double on_element_kg = e ? element_share * kept_kg : 0.0;
    b->fines_kg += kept_kg - on_element_kg;
    if (e) b->flakes_kg += tufa_element_grow(e, on_element_kg, &b->layer_kg);
    b->sand_kg += KG_PER_MG_L_M3 * sand_mg_L * m3;
    b->rust_kg += KG_PER_MG_L_M3 * rust_mg_L * m3;
}

void tufa_bed_clean(tufa_bed *b, double left_share, double element_left_share)
{
    double left = fmin(1.0, fmax(0.0, left_share));
    b->fines_kg *= left;
    b->flakes_kg *= left;
    b->sand_kg *= left;
    b->rust_kg *= left;
    b->layer_kg *= fmin(1.0, fmax(0.0, element_left_share));
}

static const tufa_finding_row FINDINGS[TUFA_FOUND_COUNT] = {
#define X(id, src, ...) [TUFA_FOUND_##id] = {.source = src, __VA_ARGS__},
#include "tufa/findings.def"
#undef X
};

const tufa_finding_row *tufa_finding_at(tufa_finding_kind kind)
{
    return (unsigned)kind < TUFA_FOUND_COUNT ? &FINDINGS[kind] : NULL;
}

double tufa_told_at(const tufa_told *t, double bed_m3)
{
    const int last = TUFA_TOLD_POINTS - 1;
    double at = TUFA_TOLD_POINTS * sqrt(fmax(0.0, bed_m3) / t->most_m3) - 0.5;
    if (at <= 0.0) return t->log_likelihood[0];
    int i = at >= last ? last - 1 : (int)at;
    return t->log_likelihood[i] + (at - i) * (t->log_likelihood[i + 1] - t->log_likelihood[i]);
}
