/* A run: draws, seasons and samples cut the time into stretches; step.c fills them. */
#include "core/base/status.h"
#include "core/base/units.h"
#include "core/tank/sim.h"
#include "core/tank/skin.h"
#include "core/tank/water.h"

#include <math.h>
#include <string.h>

static const double DAY_S = 86400.0, HEALTH_S = 900.0, NEVER_S = -1.0, FAR_S = 1e18;
enum { MOST_AT_ONCE = 8 };

/* ---- state ---- */

tufa_status tufa_tank_start(const tufa_tank_model *m, double start_K, tufa_tank_state *out)
{
    RETURN_IF(in_range("start_K", start_K, 273.15, 373.15));
    double theta = theta_from_C(m, C_from_K(start_K));
    memset(out, 0, sizeof *out);
    for (int i = 0; i < m->n; i++) out->theta[i] = theta;
    out->reads[LOWER] = out->reads[UPPER] = theta;
    out->limit_open = m->limit_latched;
    out->pressure_Pa = m->tank.line_Pa;
    return OK;
}

void sim_season(sim *x, double inlet_K, double ambient_K)
{
    const tufa_tank_model *m = x->m;
    x->inlet_K = inlet_K;
    x->inlet_theta = theta_from_C(m, C_from_K(inlet_K));
    x->room_theta = theta_from_C(m, C_from_K(ambient_K));
    x->cold = m->real_water && fmin(x->inlet_theta, x->room_theta) < 4.0;
    x->may_turn_over = m->inlet_layer > 0 || m->loss_top_W_K > 0.0;
}

void sim_begin(sim *x, const tufa_tank_model *m, tufa_tank_state *s)
{
    memset(x, 0, sizeof *x);
    x->m = m;
    x->s = s;
    x->sum = x->sum_at_start = sum_of(s->theta, m->n);
    x->alike = m->n - 1; /* as far as is known */
    x->health_every_s = HEALTH_S;
    x->conduction_s = m->layer_J_K / fmax(m->conduct_W_K, 1e-9);
    x->r.first_cutout_s = x->r.first_full_cutout_s = x->r.last_on_s = NEVER_S;
    x->r.limit_trip_s = x->r.breaker_trip_s = x->r.relief_open_s = NEVER_S;
    x->r.max_pressure_Pa = m->tank.line_Pa;
    sim_season(x, m->tank.inlet_K, m->tank.ambient_K);
}

/* ---- draws ---- */

typedef struct running {
    double end_s, flow_m3_s;
    tufa_tank_draw_result *out; /* NULL when nobody asked */
} running;

typedef struct schedule {
    const tufa_tank_use *use;
    size_t next;       /* draw of the day */
    double day_s;      /* when that day began */
    running now[MOST_AT_ONCE];
    int n;
    double flow_m3_s;
} schedule;

static double next_start(const schedule *p)
{
    if (!p->use || p->use->n == 0) return FAR_S;
    if (p->next < p->use->n) return p->day_s + p->use->draws[p->next].start_s;
    return p->use->once ? FAR_S : p->day_s + DAY_S + p->use->draws[0].start_s;
}

static double next_change(const schedule *p)
{
    double t = next_start(p);
    for (int i = 0; i < p->n; i++) t = fmin(t, p->now[i].end_s);
    return t;
}

/* Draws that are over stop, draws that are due begin. */
static void turn_taps(schedule *p, double t_s, const tufa_tank_run *run, tufa_tank_result *r)
{
    const double same_s = 1e-6;
    int kept = 0;
    for (int i = 0; i < p->n; i++)
        if (p->now[i].end_s > t_s + same_s) p->now[kept++] = p->now[i];
    p->n = kept;
    while (next_start(p) <= t_s + same_s && p->n < MOST_AT_ONCE) {
        if (p->next == p->use->n) p->next = 0, p->day_s += DAY_S;
        const tufa_tank_draw *d = &p->use->draws[p->next++];
        running *now = &p->now[p->n];
        if (d->volume_m3 <= 0.0) continue;
        *now = (running){.end_s = p->day_s + d->start_s + d->volume_m3 / d->flow_m3_s, .flow_m3_s = d->flow_m3_s};
        if (r->draws_count < run->draws_room && run->draws) {
            now->out = &run->draws[r->draws_count++];
            *now->out = (tufa_tank_draw_result){.start_s = p->day_s + d->start_s};
        }
        p->n++;
    }
    p->flow_m3_s = 0.0;
    for (int i = 0; i < p->n; i++) p->flow_m3_s += p->now[i].flow_m3_s;
}

static void tell_draws(schedule *p, double drawn_m3, double outlet_K)
{
    for (int i = 0; i < p->n; i++) {
        tufa_tank_draw_result *d = p->now[i].out;
        if (!d) continue;
        double v = drawn_m3 * p->now[i].flow_m3_s / p->flow_m3_s;
        if (d->drawn_m3 <= 0.0 || outlet_K < d->min_K) d->min_K = outlet_K;
        if (outlet_K > d->max_K) d->max_K = outlet_K;
        d->mean_K += v * outlet_K; /* a sum until the end */
        d->drawn_m3 += v;
    }
}

static tufa_status check_use(const tufa_tank_use *use)
{
    if (!use || use->n == 0) return OK;
    RETURN_IF(in_range("draws", (double)use->n, 0, TUFA_TANK_MAX_DRAWS));
    for (size_t i = 0; i < use->n; i++) {
        const tufa_tank_draw *d = &use->draws[i];
        RETURN_IF(in_range("draws.start_s", d->start_s, i > 0 ? d[-1].start_s : 0.0, use->once ? 1e9 : DAY_S));
        RETURN_IF(in_range("draws.volume_m3", d->volume_m3, 0.0, 100.0));
        RETURN_IF(in_range("draws.flow_m3_s", d->flow_m3_s, 1e-7, 0.01));
        RETURN_IF(in_range("draws.volume_m3", d->volume_m3 / d->flow_m3_s, 0.0, DAY_S));
    }
    if (use->tempered_K > 0.0) RETURN_IF(in_range("tempered_K", use->tempered_K, 283.15, 373.15));
    return OK;
}

/* ---- samples ---- */

static double sensor_K(const sim *x, int k)
{
    const tufa_tank_model *m = x->m;
    const double *theta = &x->s->theta[m->sensor[k]];
    return K_from_C(C_from_theta(m, theta[0] + m->sensor_up[k] * (theta[1] - theta[0])));
}

static void sample(const sim *x, double flow_m3_s, const tufa_tank_run *run, tufa_tank_result *r)
{
    const tufa_tank_model *m = x->m;
    if (r->series_count >= run->series_room) return;
    tufa_tank_sample *s = &run->series[r->series_count++];
    double top_K = tufa_tank_layer_K(m, x->s, m->n - 1);
    *s = (tufa_tank_sample){.t_s = x->t_s, .top_K = top_K, .bottom_K = tufa_tank_layer_K(m, x->s, 0),
                            .middle_K = tufa_tank_layer_K(m, x->s, m->n / 2),
                            .upper_sensor_K = sensor_K(x, UPPER), .lower_sensor_K = sensor_K(x, LOWER),
                            .upper_on = x->fed[UPPER] && m->heater[UPPER].W > 0.0,
                            .lower_on = x->fed[LOWER] && m->heater[LOWER].W > 0.0};
    if (flow_m3_s > 0.0) s->outlet_K = top_K + m->tap_cold_share * (x->inlet_K - top_K);
}

/* ---- skin ---- */

static void tell_skin(const sim *x, tufa_tank_result *r)
{
    const tufa_tank_model *m = x->m;
    const tufa_tank *t = &m->tank;
    double water_K = K_from_C(quick_C(m, x->hot_at_rod));
    if (x->hot_at_rod <= 0.0) return; /* never on */
    if (t->fuel == TUFA_TANK_GAS) {
        tufa_tank_bottom b = bottom_of(t->recovery_efficiency, m->heater[LOWER].W, m->bed_depth_m, t->bed_W_m_K, water_K, t->line_Pa);
        r->skin_K = b.plate_boiling_K, r->plate_K = b.plate_K, r->noise_margin_K = b.noise_margin_K;
        return;
    }
    double share = t->lower_W > 0.0 && m->heater[LOWER].W > 0.0 ? m->heater[LOWER].fed_W / t->lower_W
                   : t->upper_W > 0.0 ? m->heater[UPPER].fed_W / t->upper_W : 0.0;
    tufa_tank_skin s = skin_of(&(tufa_tank_skin_in){.element_W_m2 = t->element_W_m2 * share, .water_K = water_K,
                                                    .line_Pa = t->line_Pa, .scale_m = t->scale_m,
                                                    .scale_W_m_K = t->scale_W_m_K, .bed_cover = m->bed_cover});
    r->skin_K = s.sheath_K, r->noise_margin_K = s.noise_margin_K;
}

/* ---- the run ---- */

static void turn_season(sim *x, const tufa_tank_run *run, double day)
{
    if (run->season) sim_season(x, tufa_tank_season_inlet_K(run->season, day), tufa_tank_season_ambient_K(run->season, day));
}

static void go(sim *x, const tufa_tank_use *use, const tufa_tank_run *run)
{
    schedule p = {.use = use};
    double midnight = run->season ? 0.0 : FAR_S, due = run->series ? 0.0 : FAR_S;
    double tempered_K = use ? use->tempered_K : 0.0;
    while (x->t_s < run->duration_s) {
        turn_taps(&p, x->t_s, run, &x->r);
        if (x->t_s >= due) sample(x, p.flow_m3_s, run, &x->r), due += run->series_every_s;
        if (x->t_s >= midnight) {
            turn_season(x, run, run->start_day + floor(midnight / DAY_S) + 0.5);
            midnight += DAY_S;
        }
        double until = fmin(fmin(run->duration_s, next_change(&p)), fmin(midnight, due));
        while (x->t_s < until) {
            double drawn = sim_step(x, p.flow_m3_s, tempered_K, until);
            if (drawn > 0.0) tell_draws(&p, drawn, x->outlet_K);
            if (until - x->t_s < 1e-7) x->t_s = until;
        }
    }
    if (x->t_s >= due) sample(x, 0.0, run, &x->r);
}

tufa_status tufa_tank_simulate(const tufa_tank_model *m, const tufa_tank_use *use, const tufa_tank_run *run,
                               tufa_tank_state *s, tufa_tank_result *out)
{
    sim x;
    RETURN_IF(in_range("duration_s", run->duration_s, 0.0, 100.0 * 366.0 * DAY_S));
    RETURN_IF(check_use(use));
    if (run->series) RETURN_IF(in_range("series_every_s", run->series_every_s, 1.0, 1e9));
    sim_begin(&x, m, s);
    if (run->health_every_s > 0.0) x.health_every_s = run->health_every_s;
    x.dense_step_s = run->dense_step_s;
    go(&x, use, run);
    sim_end(&x);
    for (size_t i = 0; i < x.r.draws_count; i++)
        if (run->draws[i].drawn_m3 > 0.0) run->draws[i].mean_K /= run->draws[i].drawn_m3;
    tell_skin(&x, &x.r);
    *out = x.r;
    return OK;
}

tufa_status tufa_tank_year(const tufa_tank_model *m, const tufa_tank_use *use, const tufa_tank_season *season,
                           double start_K, tufa_tank_result *out)
{
    tufa_tank_state s;
    tufa_tank_run run = {.duration_s = 365.0 * DAY_S, .season = season, .health_every_s = 7200.0};
    RETURN_IF(tufa_tank_start(m, start_K, &s));
    return tufa_tank_simulate(m, use, &run, &s, out);
}
