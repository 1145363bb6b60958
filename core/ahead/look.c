/* One heater's question, checked, drawn, run and answered. */
#include "core/ahead/inner.h"
#include "core/base/status.h"

#include <math.h>
#include <string.h>

static const double MOST_CCPP_MG_L = 5000.0, MOST_GRIT_MG_L = 1000.0;
static const double MOST_LASTED_S = 4e9; /* some 125 years */
static const double MOST_DAY = 1e6; /* some 2,700 years around 1970 */

tufa_ahead_in tufa_ahead_defaults(tufa_fuel fuel)
{
    return (tufa_ahead_in){.heater = {.fuel = fuel}, .site = tufa_site_default(), .eps = tufa_eps_prior(fuel),
                           .months = TUFA_AHEAD_MONTHS, .draws = TUFA_AHEAD_DRAWS, .band_step = 1, .misread_share = 0.02};
}

static tufa_status check_ccpp(const tufa_ccpp *c)
{
    if (c->draws == 0 || c->temps == 0 || !c->T_K || !c->mg_L)
        return trouble(TUFA_MISSING, "ccpp", "what the water can drop at several temperatures");
    for (size_t t = 0; t < c->temps; t++) {
        RETURN_IF(in_range("ccpp.T_K", c->T_K[t], 253.15, 423.15));
        if (t > 0 && !(c->T_K[t] > c->T_K[t - 1])) return trouble(TUFA_CONFLICT, "ccpp.T_K", "temperatures must rise");
    }
    for (size_t k = 0; k < c->draws * c->temps; k++)
        RETURN_IF(in_range("ccpp.mg_L", c->mg_L[k], -MOST_CCPP_MG_L, MOST_CCPP_MG_L));
    return OK;
}

static tufa_status check_spread(const char *field, tufa_value v, double lo, double hi)
{
    if (v.basis == TUFA_BASIS_NONE) return OK;
    RETURN_IF(in_range(field, v.lo, lo, v.mid));
    RETURN_IF(in_range(field, v.mid, v.lo, v.hi));
    return in_range(field, v.hi, v.mid, hi);
}

static tufa_status check_findings(const tufa_ahead_in *in)
{
    for (size_t k = 0; k < in->findings; k++) {
        const tufa_finding *f = &in->found[k];
        const tufa_finding_row *row = tufa_finding_at(f->kind);
        if (!row) return trouble(TUFA_UNKNOWN, "found.kind", NULL);
        if (row->law == TUFA_LAW_TOLD) {
            if (f->told >= in->tolds || !(in->told[f->told].most_m3 > 0.0) || !(in->told[f->told].sd_log > 0.0))
                return trouble(TUFA_MISSING, "found.told", "what the reading tells of the bed");
        } else if (row->law != TUFA_LAW_DONE) {
            RETURN_IF(in_range(row->key, f->value, 1e-6, row->law == TUFA_LAW_ELEMENT ? MOST_LASTED_S : 1e4));
        }
        RETURN_IF(in_range("found.log_sd", f->log_sd, 0.0, 5.0));
        RETURN_IF(in_range("found.day", (double)f->day, -MOST_DAY, (double)in->today_day));
        if (k > 0 && f->day < in->found[k - 1].day) return trouble(TUFA_CONFLICT, "found", "days must rise");
        RETURN_IF(check_spread("left_kg", f->left_kg, 0.0, 1e4));
        RETURN_IF(check_spread("left_depth_m", f->left_depth_m, 0.0, 3.0));
        RETURN_IF(check_spread("left_share", f->left_share, 0.0, 1.0));
    }
    return OK;
}

static tufa_status check_eps(const tufa_eps *e)
{
    double sum = 0.0;
    for (int i = 0; i < TUFA_EPS_POINTS; i++) {
        RETURN_IF(in_range("eps.weight", e->weight[i], 0.0, 1.0));
        sum += e->weight[i];
    }
    return in_range("eps.weight", sum, 1.0 - 1e-6, 1.0 + 1e-6);
}

static tufa_status check_question(const tufa_ahead_in *in)
{
    RETURN_IF(in_range("draws", in->draws, 1.0, TUFA_AHEAD_MAX_DRAWS));
    RETURN_IF(in_range("months", in->months, 1.0, TUFA_AHEAD_MAX_MONTHS));
    RETURN_IF(in_range("uses", (double)in->uses, 0.0, TUFA_AHEAD_MAX_USES));
    RETURN_IF(in_range("findings", (double)in->findings, 0.0, TUFA_AHEAD_MAX_FINDINGS));
    RETURN_IF(in_range("today_day", (double)in->today_day, -MOST_DAY, MOST_DAY));
    RETURN_IF(in_range("misread_share", in->misread_share, 0.0, 0.5));
    RETURN_IF(check_spread("sand_mg_L", in->sand_mg_L, 0.0, MOST_GRIT_MG_L));
    RETURN_IF(check_spread("rust_mg_L", in->rust_mg_L, 0.0, MOST_GRIT_MG_L));
    RETURN_IF(check_spread("grain_porosity", in->grain_porosity, 0.0, 0.8));
    RETURN_IF(check_spread("voidage", in->voidage, 0.2, 0.9));
    RETURN_IF(check_eps(&in->eps));
    for (int c = 0; c < TUFA_LOSS_CELLS; c++) RETURN_IF(in_range("loss.weight", in->loss.weight[c], 0.0, 1.0));
    RETURN_IF(check_ccpp(&in->ccpp));
    return check_findings(in);
}

static tufa_value or_default(tufa_value v, tufa_value other) { return v.basis == TUFA_BASIS_NONE ? other : v; }

static tufa_status fill_site(const tufa_ahead_in *in, tufa_site *s)
{
    tufa_site d = tufa_site_default();
    s->inlet_mean_K = or_default(in->site.inlet_mean_K, d.inlet_mean_K);
    s->inlet_swing_K = or_default(in->site.inlet_swing_K, d.inlet_swing_K);
    s->room_K = or_default(in->site.room_K, d.room_K);
    s->pressure_Pa = or_default(in->site.pressure_Pa, d.pressure_Pa);
    RETURN_IF(in_range("inlet_mean_K", s->inlet_mean_K.mid, 273.15, 313.15));
    RETURN_IF(in_range("inlet_swing_K", s->inlet_swing_K.mid, 0.0, 20.0));
    RETURN_IF(in_range("room_K", s->room_K.mid, 253.15, 323.15));
    return in_range("pressure_Pa", s->pressure_Pa.mid, 0.0, 2e6);
}

/* Bulk of the bed, and the share that grows on the element where its skin is as hot as the tank says. */
static tufa_status prepare_beds(question *q)
{
    double **by_draw[] = {&q->scale_kg, &q->grit_kg, &q->element_part, &q->bulk_kg_m3, &q->grit_m3_kg};
    for (size_t a = 0; a < sizeof by_draw / sizeof by_draw[0]; a++)
        if (!(*by_draw[a] = TAKE(q, q->n, double))) return trouble(TUFA_MEMORY, "arena", NULL);
    const stretch *s = &q->stretch[stretch_on(q, (double)q->in->today_day)];
    tufa_rate_law law = tufa_rate_law_default();
    double flux_mid = q->heater.field[TUFA_HEATER_ELEMENT_FLUX].mid, base = tufa_element_skin_K(s->tank[0].mean_K, flux_mid);
    for (size_t i = 0; i < q->n; i++) {
        tufa_packing p = {q->x.grain_porosity[i], q->x.voidage[i], tufa_packing_default().grain_kg_m3};
        double sand = q->x.sand_mg_L[i], grit = sand + q->x.rust_mg_L[i];
        tufa_bed one = {.sand_kg = grit > 0.0 ? sand / grit : 1.0, .rust_kg = grit > 0.0 ? 1.0 - sand / grit : 0.0};
        q->bulk_kg_m3[i] = tufa_packing_bulk_kg_m3(&p);
        q->grit_m3_kg[i] = tufa_bed_lying_m3(&one, &p);
        if (q->heater.fuel != TUFA_ELECTRIC) continue;
        /* the tank tells the skin at the middle flux; another flux moves it as a rod in still water does */
        double skin = s->tank[0].skin_K + tufa_element_skin_K(s->tank[0].mean_K, q->x.flux_W_m2[i]) - base;
        q->element_part[i] = tufa_deposit_element_share(&law, q->x.element_share[i], skin);
    }
    return OK;
}

static unsigned count_defaults(const tufa_heater *h)
{
    unsigned n = 0;
    for (int f = 0; f < TUFA_HEATER_FIELD_COUNT; f++) n += h->field[f].basis == TUFA_BASIS_DEFAULT;
    return n;
}

size_t tufa_ahead_bytes(unsigned months, unsigned draws, size_t findings)
{
    size_t n = draws, m = months + 1u, nodes = m / 6u + 2u, stretches = TUFA_AHEAD_MAX_USES;
    size_t by_draw = 31 + 1 + 13 + 20 + 6 * stretches + 2 * 12 * stretches + 2 * m + 5 * nodes;
    return 65536 + n * (8 * by_draw + sizeof(vessel) + 64) + m * 4 * sizeof(tufa_band) + (findings + 1) * (sizeof(sight) + 64) +
           stretches * sizeof(stretch) + 64 * (200 + 40 * stretches);
}

/* What was found before this heater can have been put in was found in the one before it. A day's doubt of a month is
 * left to who wrote it down. */
static void skip_older(question *q)
{
    const tufa_value *age = &q->heater.field[TUFA_HEATER_AGE];
    double grace_days = DAYS_MONTH;
    if (q->in->heater.field[TUFA_HEATER_AGE].basis == TUFA_BASIS_NONE) return;
    double first_day = (double)q->in->today_day - age->hi * DAYS_YEAR - grace_days;
    while (q->own.findings > 0 && (double)q->own.found->day < first_day) {
        q->own.found++;
        q->own.findings--;
        q->skipped++;
    }
}

tufa_status pose(const tufa_ahead_in *in, tufa_arena *arena, question *q)
{
    RETURN_IF(check_question(in));
    *q = (question){.own = *in, .arena = arena, .n = in->draws, .heater = in->heater};
    q->in = &q->own;
    RETURN_IF(tufa_heater_fill(&q->heater));
    RETURN_IF(fill_site(in, &q->site));
    skip_older(q);
    for (size_t g = 0; g < TUFA_EPS_POINTS; g++) q->eps_point[g] = tufa_eps_point(g);
    RETURN_IF(lay_out_stretches(q));
    RETURN_IF(draw_unknowns(q));
    RETURN_IF(rate_stretches(q));
    return prepare_beds(q);
}

tufa_status tufa_ahead_look(const tufa_ahead_in *in, tufa_arena *arena, tufa_ahead *out)
{
    question q;
    RETURN_IF(pose(in, arena, &q));
    RETURN_IF(run_history(&q));
    tufa_ahead a = {.months = in->months, .draws = in->draws};
    RETURN_IF(forecast(&q, &a));
    a.heater = q.heater;
    a.defaults = count_defaults(&q.heater);
    a.rests_on = q.used ? TUFA_RESTS_ON_FINDINGS : in->eps.rests_on;
    a.found_effective_draws = q.effective_draws;
    a.found_surprise = q.surprise;
    a.found_surprise_index = q.surprise_index;
    a.found_used = q.used;
    *out = a;
    return OK;
}
