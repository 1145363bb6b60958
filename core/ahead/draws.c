/* What is not known, drawn: each a function of (key, stream, index) alone. */
#include "core/ahead/inner.h"
#include "core/base/spread.h"
#include "core/base/status.h"

#include <math.h>

/* Depth at which a floor boils, over its middle: how the flame spreads, gas side between 30 and 60 W/(m2 K); judgement. */
static const double RUMBLE_LOG_SD = 0.5;

/* How much oftener an element burns out in a bed than above one; the money stage assumes the same. */
static const tufa_value BURIED = {3.0, 1.5, 5.0, TUFA_BASIS_DEFAULT};

enum {
#define X(name, stream) STREAM_##name = stream,
    UNKNOWNS(X)
#undef X
    STREAM_COUNT
};

static double u(const question *q, uint64_t stream, size_t i) { return tufa_uniform(q->in->key, stream, i); }

static void fill_from(const question *q, double *to, uint64_t stream, tufa_value v)
{
    spread s = spread_of(v);
    for (size_t i = 0; i < q->n; i++) to[i] = spread_draw(&s, q->in->key, stream, i);
}

static void keep_within(size_t n, double *v, double lo, double hi)
{
    for (size_t i = 0; i < n; i++) v[i] = fmin(hi, fmax(lo, v[i]));
}

static void follow_volume(const question *q, double *v, tufa_heater_field f, double power)
{
    const tufa_value *V = &q->heater.field[TUFA_HEATER_VOLUME];
    if (q->heater.field[f].basis != TUFA_BASIS_DEFAULT || !(V->hi > V->lo)) return;
    for (size_t i = 0; i < q->n; i++) v[i] *= pow(q->x.volume_m3[i] / V->mid, power);
}

static void draw_shell(question *q)
{
    const tufa_value *f = q->heater.field;
    unknowns *x = &q->x;
    fill_from(q, x->volume_m3, STREAM_volume_m3, f[TUFA_HEATER_VOLUME]);
    fill_from(q, x->radius_m, STREAM_radius_m, f[TUFA_HEATER_DIAMETER]);
    fill_from(q, x->element_m, STREAM_element_m, f[TUFA_HEATER_ELEMENT_LOW]);
    fill_from(q, x->dome_m, STREAM_dome_m, f[TUFA_HEATER_DOME]);
    fill_from(q, x->drain_m, STREAM_drain_m, f[TUFA_HEATER_DRAIN]);
    fill_from(q, x->flue_m, STREAM_flue_m, f[TUFA_HEATER_FLUE]);
    for (size_t i = 0; i < q->n; i++) x->radius_m[i] *= 0.5, x->flue_m[i] *= 0.5;
    follow_volume(q, x->radius_m, TUFA_HEATER_DIAMETER, 1.0 / 3.0); /* like shapes */
    follow_volume(q, x->element_m, TUFA_HEATER_ELEMENT_LOW, 1.0 / 3.0);
    for (size_t i = 0; i < q->n; i++) {
        double r = x->radius_m[i];
        x->dome_m[i] = fmin(0.9 * r, fmax(-0.9 * r, x->dome_m[i]));
        x->flue_m[i] = fmin(0.8 * r, x->flue_m[i]);
    }
}

/* A heater is at least as old as the first thing that was found in it. */
static void draw_age(question *q)
{
    double *age = q->x.age_years, least = 0.0;
    fill_from(q, age, STREAM_age_years, q->heater.field[TUFA_HEATER_AGE]);
    if (q->in->findings > 0) least = (double)(q->in->today_day - q->in->found[0].day) / DAYS_YEAR;
    for (size_t i = 0; i < q->n; i++) age[i] = fmax(age[i], fmax(0.0, least));
}

static tufa_value or_default(tufa_value v, tufa_value other) { return v.basis == TUFA_BASIS_NONE ? other : v; }

static void draw_rest(question *q)
{
    const tufa_ahead_in *in = q->in;
    const tufa_value *f = q->heater.field;
    unknowns *x = &q->x;
    for (size_t i = 0; i < q->n; i++) {
        x->eps[i] = tufa_eps_at(&in->eps, u(q, STREAM_eps, i));
        x->setpoint_u[i] = u(q, STREAM_setpoint_u, i);
        x->people_u[i] = u(q, STREAM_people_u, i);
        x->litres_u[i] = u(q, STREAM_litres_u, i);
        x->softened_u[i] = u(q, STREAM_softened_u, i);
        x->left_u[i] = u(q, STREAM_left_u, i);
        x->warm_u[i] = u(q, STREAM_warm_u, i);
        x->ccpp[i] = (double)(in->ccpp.draws ? i % in->ccpp.draws : 0);
        x->rumble_factor[i] = exp(RUMBLE_LOG_SD * tufa_normal_quick(u(q, STREAM_rumble_factor, i)));
        x->loss_per_kg[i] = tufa_loss_at(&in->loss, u(q, STREAM_loss_per_kg, i));
    }
    fill_from(q, x->buried, STREAM_buried, BURIED);
    keep_within(q->n, x->buried, 1.0, 20.0);
    fill_from(q, x->order, STREAM_order, tufa_rate_order_default());
    keep_within(q->n, x->order, 1.0, 2.0);
    fill_from(q, x->x_ref, STREAM_x_ref, tufa_rate_x_ref_default());
    keep_within(q->n, x->x_ref, 0.01, 0.99);
    fill_from(q, x->element_share, STREAM_element_share, tufa_element_share_default());
    keep_within(q->n, x->element_share, 0.0, 0.8);
    fill_from(q, x->shed_m, STREAM_shed_m, tufa_shed_default());
    fill_from(q, x->scale_W_mK, STREAM_scale_W_mK, tufa_scale_conductivity_default());
    fill_from(q, x->repose_rad, STREAM_repose_rad, tufa_repose_default());
    keep_within(q->n, x->repose_rad, 0.3, 0.8);
    fill_from(q, x->grain_porosity, STREAM_grain_porosity, or_default(in->grain_porosity, tufa_grain_porosity_default()));
    keep_within(q->n, x->grain_porosity, 0.0, 0.8);
    fill_from(q, x->voidage, STREAM_voidage, or_default(in->voidage, tufa_voidage_default()));
    keep_within(q->n, x->voidage, 0.2, 0.9);
    fill_from(q, x->sand_mg_L, STREAM_sand_mg_L, in->sand_mg_L);
    fill_from(q, x->rust_mg_L, STREAM_rust_mg_L, in->rust_mg_L);
    fill_from(q, x->flux_W_m2, STREAM_flux_W_m2, f[TUFA_HEATER_ELEMENT_FLUX]);
    fill_from(q, x->element_W, STREAM_element_W, f[TUFA_HEATER_ELEMENT_POWER]);
    fill_from(q, x->loss_W_K, STREAM_loss_W_K, f[TUFA_HEATER_LOSS]);
    fill_from(q, x->recovery, STREAM_recovery, f[TUFA_HEATER_RECOVERY]);
    keep_within(q->n, x->recovery, 0.2, 1.0);
}

tufa_status draw_unknowns(question *q)
{
    unknowns *x = &q->x;
#define X(name, stream) if (!(x->name = TAKE(q, q->n, double))) return trouble(TUFA_MEMORY, "arena", NULL);
    UNKNOWNS(X)
    X(ccpp, 0)
#undef X
    draw_shell(q);
    draw_age(q);
    draw_rest(q);
    return OK;
}

static void gather(size_t n, double *v, const size_t *pick, double *scratch)
{
    for (size_t j = 0; j < n; j++) scratch[j] = v[pick[j]];
    for (size_t j = 0; j < n; j++) v[j] = scratch[j];
}

void pick_draws(question *q, const size_t *pick, double *scratch)
{
#define X(name, stream) gather(q->n, q->x.name, pick, scratch);
    UNKNOWNS(X)
    X(ccpp, 0)
#undef X
    double *by_draw[] = {q->scale_kg, q->grit_kg, q->element_part, q->bulk_kg_m3, q->grit_m3_kg};
    for (size_t a = 0; a < sizeof by_draw / sizeof by_draw[0]; a++) gather(q->n, by_draw[a], pick, scratch);
    for (size_t s = 0; s < q->stretches; s++) {
        stretch *e = &q->stretch[s];
        gather(q->n, e->m3_day, pick, scratch);
        gather(q->n, e->kg_day, pick, scratch);
        gather(q->n, e->most_kg_day, pick, scratch);
        gather(q->n, e->growth_share, pick, scratch);
        gather(q->n, e->set_K, pick, scratch);
        gather(q->n, e->passed, pick, scratch);
        for (size_t m = 0; e->month_kg_day && m < 12; m++) {
            gather(q->n, e->month_kg_day + m * q->n, pick, scratch);
            gather(q->n, e->month_most_kg_day + m * q->n, pick, scratch);
        }
    }
}
