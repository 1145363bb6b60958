/* From today to the horizon: the mass of each draw month by month, how it lies every half year and later on every year and
 * a half, when trouble begins. A bed that is older changes its shape more slowly. */
#include "core/ahead/inner.h"
#include "core/base/status.h"

#include <math.h>
#include <string.h>

enum { EARLY_STEP = 6, EARLY_MONTHS = 60, LATER_STEP = 18, SECANT_STEPS = 4 };
static const double LEAST_KG_YEAR = 1e-9; /* slower than this nothing ever arrives */
static const double NEVER_YEARS = 1e6;

/* Every draw at every node; [node * n + draw]. */
typedef struct course {
    size_t nodes, months;
    size_t *month;                              /* of each node: 0 first, the horizon last */
    double *kg, *grit_kg;                       /* [month * n + draw]; kg: scale and grit together */
    double *bed_m3, *depth_m, *level_m, *covered;
    vessel *vessel;
    double *trouble_depth_m;
} course;

static size_t node_month(const course *c, size_t node) { return c->month[node]; }

static size_t next_node(size_t month, size_t months)
{
    size_t next = month + (month < EARLY_MONTHS ? EARLY_STEP : LATER_STEP);
    return next < months ? next : months;
}

static int lay_nodes(question *q, course *c)
{
    c->nodes = 1;
    for (size_t m = 0; m < c->months; m = next_node(m, c->months)) c->nodes++;
    if (!(c->month = TAKE(q, c->nodes, size_t))) return 0;
    for (size_t k = 1; k < c->nodes; k++) c->month[k] = next_node(c->month[k - 1], c->months);
    return 1;
}

static tufa_status take_course(question *q, course *c)
{
    size_t n = q->n;
    c->months = q->in->months;
    if (!lay_nodes(q, c)) return trouble(TUFA_MEMORY, "arena", NULL);
    c->kg = TAKE(q, (c->months + 1) * n, double);
    c->grit_kg = TAKE(q, (c->months + 1) * n, double);
    c->bed_m3 = TAKE(q, c->nodes * n, double);
    c->depth_m = TAKE(q, c->nodes * n, double);
    c->level_m = TAKE(q, c->nodes * n, double);
    c->covered = TAKE(q, c->nodes * n, double);
    c->vessel = TAKE(q, n, vessel);
    c->trouble_depth_m = TAKE(q, n, double);
    int all = c->kg && c->grit_kg && c->bed_m3 && c->depth_m && c->level_m && c->covered && c->vessel && c->trouble_depth_m;
    return all ? OK : trouble(TUFA_MEMORY, "arena", NULL);
}

/* Month of the year, 0 to 11, of a day since 1970-01-01; good to a day, which is enough for a season. */
static size_t month_of(double day)
{
    double year = day / DAYS_YEAR;
    double part = year - floor(year);
    return (size_t)fmin(11.0, 12.0 * part);
}

/* A bed takes room away, so that the water stays shorter; mended once a half year. */
static void grow(const question *q, const stretch *s, double day, const double *crowd, const double *kg, double *next, double *grit)
{
    size_t m = month_of(day), n = q->n;
    const double *restrict rate = s->month_kg_day + m * n, *restrict most = s->month_most_kg_day + m * n;
    for (size_t i = 0; i < n; i++) {
        double day_kg = fmin(q->x.eps[i] * rate[i], most[i]) * crowd[i];
        double day_grit = KG_PER_MG_L_M3 * (q->x.sand_mg_L[i] + q->x.rust_mg_L[i]) * s->m3_day[i];
        grit[n + i] = grit[i] + DAYS_MONTH * day_grit;
        next[i] = kg[i] + DAYS_MONTH * (day_kg + day_grit);
    }
}

static void lie_at_node(const question *q, course *c, size_t node, const stretch *s, double *crowd)
{
    size_t n = q->n, at = node_month(c, node) * n;
    for (size_t i = 0; i < n; i++) {
        double grit = c->grit_kg[at + i];
        lying l = lie_down(q, &c->vessel[i], i, c->kg[at + i] - grit, grit);
        c->bed_m3[node * n + i] = l.bed_m3;
        c->depth_m[node * n + i] = l.depth_m;
        c->level_m[node * n + i] = l.level_m;
        c->covered[node * n + i] = l.covered;
        crowd[i] = fmax(0.0, 1.0 - s->growth_share[i] * l.bed_m3 / q->x.volume_m3[i]);
    }
}

static tufa_status run_course(question *q, course *c)
{
    size_t n = q->n, node = 0;
    double *crowd = TAKE(q, n, double), depth_m = rumble_depth_m(q);
    if (!crowd) return trouble(TUFA_MEMORY, "arena", NULL);
    for (size_t i = 0; i < n; i++) {
        c->vessel[i] = vessel_of(q, i);
        c->kg[i] = q->scale_kg[i] + q->grit_kg[i];
        c->grit_kg[i] = q->grit_kg[i];
        c->trouble_depth_m[i] = q->heater.fuel == TUFA_ELECTRIC ? c->vessel[i].pile.rod_bottom_m
                                                                : depth_m * q->x.rumble_factor[i];
    }
    for (size_t m = 0; m <= c->months; m++) {
        double day = (double)q->in->today_day + ((double)m + 0.5) * DAYS_MONTH;
        const stretch *s = &q->stretch[stretch_on(q, day)];
        if (m == node_month(c, node)) lie_at_node(q, c, node++, s, crowd);
        if (m < c->months) grow(q, s, day, crowd, c->kg + m * n, c->kg + (m + 1) * n, c->grit_kg + m * n);
    }
    return OK;
}

/* ---- when ---- */

/* Share of the way between two nodes at which kg is reached, as months from today. */
static double month_at_kg(const course *c, size_t n, size_t i, size_t node, double kg)
{
    size_t m = node_month(c, node - 1), last = node_month(c, node);
    while (m + 1 < last && c->kg[(m + 1) * n + i] < kg) m++;
    double a = c->kg[m * n + i], b = c->kg[(m + 1) * n + i];
    return (double)m + (b > a ? fmin(1.0, fmax(0.0, (kg - a) / (b - a))) : 1.0);
}

static double depth_at(const question *q, const course *c, size_t i, size_t node, double kg)
{
    double grit = c->grit_kg[node_month(c, node) * q->n + i];
    return lie_down(q, &c->vessel[i], i, fmax(0.0, kg - grit), grit).depth_m;
}

/* kg at which the crest comes to the target, between two nodes: false position. */
static double crossing_kg(const question *q, const course *c, size_t i, size_t node, double target_m)
{
    size_t n = q->n;
    double lo = c->kg[node_month(c, node - 1) * n + i], hi = c->kg[node_month(c, node) * n + i];
    double f_lo = c->depth_m[(node - 1) * n + i] - target_m, f_hi = c->depth_m[node * n + i] - target_m;
    for (int k = 0; k < SECANT_STEPS && hi > lo && f_hi > f_lo; k++) {
        double kg = lo + (hi - lo) * -f_lo / (f_hi - f_lo), f = depth_at(q, c, i, node, kg) - target_m;
        if (f >= 0.0) hi = kg, f_hi = f;
        else lo = kg, f_lo = f;
    }
    return hi;
}

static double years_straight_on(const question *q, const course *c, size_t i, double kg)
{
    size_t n = q->n, m = c->months;
    double now = c->kg[m * n + i], back = c->kg[(m >= 12 ? m - 12 : 0) * n + i];
    double kg_year = m ? (now - back) / (m >= 12 ? 1.0 : (double)m / 12.0) : 0.0;
    return kg_year > LEAST_KG_YEAR ? fmin(NEVER_YEARS, (double)m / 12.0 + (kg - now) / kg_year) : NEVER_YEARS;
}

/* What must come to its target, [node * n + draw]; the mass at which it does and the years until then. */
static void reach(const question *q, const course *c, const double *what, const double *target, int exact, double *kg, double *years)
{
    size_t n = q->n;
    for (size_t i = 0; i < n; i++) {
        size_t node = 0;
        while (node < c->nodes && what[node * n + i] < target[i]) node++;
        double end_kg = c->kg[c->months * n + i], end = what[(c->nodes - 1) * n + i];
        if (node == 0) {
            years[i] = 0.0;
            kg[i] = c->kg[i] * target[i] / fmax(what[i], target[i]);
        } else if (node == c->nodes) {
            kg[i] = end > 0.0 ? end_kg * target[i] / end : NEVER_YEARS;
            years[i] = years_straight_on(q, c, i, kg[i]);
        } else {
            double a = what[(node - 1) * n + i], b = what[node * n + i];
            double kg_a = c->kg[node_month(c, node - 1) * n + i], kg_b = c->kg[node_month(c, node) * n + i];
            kg[i] = exact ? crossing_kg(q, c, i, node, target[i]) : kg_a + (kg_b - kg_a) * (target[i] - a) / (b - a);
            years[i] = month_at_kg(c, n, i, node, kg[i]) / 12.0;
        }
    }
}

static tufa_when when_of(size_t n, const double *years, double horizon, uint32_t *order)
{
    static const double P[3] = {0.1, 0.5, 0.9};
    tufa_when w = {0};
    (void)band_of(n, years, order);
    for (int k = 0; k < 3; k++) {
        double y = ranked_at(n, years, order, P[k]);
        w.known[k] = y <= horizon;
        w.years[k] = fmin(y, horizon);
    }
    for (size_t i = 0; i < n; i++) {
        w.p_now += years[i] <= 0.0;
        w.p_this_year += years[i] <= 1.0;
        w.p_horizon += years[i] <= horizon;
    }
    w.p_now /= (double)n;
    w.p_this_year /= (double)n;
    w.p_horizon /= (double)n;
    return w;
}

/* ---- bands ---- */

static void at_month(const question *q, const course *c, const double *at_nodes, size_t node, size_t m, double *to)
{
    size_t n = q->n;
    const double *kg_a = c->kg + node_month(c, node) * n, *kg_b = c->kg + node_month(c, node + 1) * n, *kg = c->kg + m * n;
    const double *a = at_nodes + node * n, *b = a + n;
    for (size_t i = 0; i < n; i++) {
        double span = kg_b[i] - kg_a[i];
        to[i] = a[i] + (b[i] - a[i]) * (span > 0.0 ? (kg[i] - kg_a[i]) / span : 0.0);
    }
}

static void bridge(tufa_band *band, size_t from, size_t to)
{
    for (size_t m = from + 1; m < to; m++) {
        double t = (double)(m - from) / (double)(to - from);
        band[m].p10 = band[from].p10 + t * (band[to].p10 - band[from].p10);
        band[m].p50 = band[from].p50 + t * (band[to].p50 - band[from].p50);
        band[m].p90 = band[from].p90 + t * (band[to].p90 - band[from].p90);
    }
}

/* Bands of one quantity by month; nodes NULL: of the mass itself. */
static void bands(const question *q, const course *c, const double *nodes, double *scratch, uint32_t *order, tufa_band *out)
{
    size_t n = q->n, step = q->in->band_step ? q->in->band_step : 1, before = 0, node = 0;
    for (size_t i = 0; i < n; i++) order[i] = (uint32_t)i;
    for (size_t m = 0;; m = m + step < c->months ? m + step : c->months) {
        const double *v = c->kg + m * n;
        while (node + 2 < c->nodes && c->month[node + 1] <= m) node++;
        if (nodes) at_month(q, c, nodes, node, m, scratch), v = scratch;
        rank(n, v, order);
        out[m] = ranked_band(n, v, order);
        bridge(out, before, m);
        before = m;
        if (m == c->months) return;
    }
}

/* ---- the coming year ---- */

static const double WATER_J_M3_K = 4.13e6; /* density times heat capacity of water at 50 deg C */

static tufa_status coming_year(question *q, double bed_mid_m3, uint32_t *order, tufa_ahead *out)
{
    size_t n = q->n, k = stretch_on(q, (double)q->in->today_day + 0.5 * DAYS_YEAR);
    const stretch *s = &q->stretch[k];
    tufa_tank_month month[12];
    double *hot = TAKE(q, n, double);
    if (!hot) return trouble(TUFA_MEMORY, "arena", NULL);
    RETURN_IF(ask_year(q, s, bed_mid_m3, month));
    double mid_m3 = 1e-3 * s->litres_mid, set_mid = s->setpoint_K.mid, room = q->site.room_K.mid;
    double recovery_mid = q->heater.field[TUFA_HEATER_RECOVERY].mid, loss_mid = q->heater.field[TUFA_HEATER_LOSS].mid;
    memset(out->draw_energy_J_year, 0, n * sizeof(double));
    for (int m = 0; m < 12; m++) {
        double inlet = tufa_inlet_K(q->site.inlet_mean_K.mid, q->site.inlet_swing_K.mid, m);
        double drawn = WATER_J_M3_K * mid_m3 * fmax(0.0, set_mid - inlet) / recovery_mid;
        double rest = fmax(0.0, month[m].energy_J_day - drawn); /* standing loss, as this tank has it */
        for (size_t i = 0; i < n; i++) {
            double set = s->set_K[i];
            double loss = rest * q->x.loss_W_K[i] / loss_mid * fmax(0.0, set - room) / fmax(1.0, set_mid - room);
            double day_J = loss + WATER_J_M3_K * s->m3_day[i] * fmax(0.0, set - inlet) / q->x.recovery[i];
            out->draw_energy_J_year[i] += DAYS_MONTH * day_J;
            hot[i] += month[m].hot_m3_day / 12.0 * s->m3_day[i] / mid_m3;
        }
    }
    out->energy_J_year = band_of(n, out->draw_energy_J_year, order);
    out->hot_m3_day = band_of(n, hot, order);
    for (size_t i = 0; i < n; i++) out->draw_litres_day[i] = 1e3 * s->m3_day[i];
    out->litres_day = band_of(n, out->draw_litres_day, order);
    return OK;
}

/* Mean thickness of the layer over the coming year: half of full once it sheds within the year. */
static void heat_of_scale(const question *q, const course *c, uint32_t *order, double *sheath, tufa_ahead *out)
{
    size_t n = q->n, next = c->months < 12 ? c->months : 12;
    const stretch *s = &q->stretch[stretch_on(q, (double)q->in->today_day)];
    for (size_t i = 0; i < n; i++) {
        out->draw_scale_rise_K[i] = 0.0;
        sheath[i] = s->tank[0].skin_K;
        double full = c->vessel[i].full_layer_kg;
        if (!(full > 0.0)) continue;
        double grown = q->element_part[i] * (c->kg[next * n + i] - c->grit_kg[next * n + i]);
        double thick = 0.5 * q->x.shed_m[i] * fmin(1.0, grown / full);
        out->draw_scale_rise_K[i] = tufa_element_scale_rise_K(q->x.flux_W_m2[i], thick, q->x.scale_W_mK[i]);
        sheath[i] += out->draw_scale_rise_K[i];
    }
    out->sheath_K = band_of(n, sheath, order);
}

/* ---- all of it ---- */

static tufa_status take_answer(question *q, tufa_ahead *out)
{
    size_t n = q->n, m = q->in->months + 1u;
    tufa_band **band[] = {&out->kg, &out->bed_m3, &out->depth_m, &out->covered};
    double **by_draw[] = {&out->draw_kg, &out->draw_kg_year, &out->draw_eps, &out->draw_age_years, &out->draw_litres_day,
                          &out->draw_energy_J_year, &out->draw_trouble_years, &out->draw_trouble_kg,
                          &out->draw_scale_rise_K, &out->draw_loss_per_kg, &out->draw_ccpp_mg_L, &out->draw_element_m, &out->draw_heat_up_log};
    for (size_t k = 0; k < sizeof band / sizeof band[0]; k++)
        if (!(*band[k] = TAKE(q, m, tufa_band))) return trouble(TUFA_MEMORY, "arena", NULL);
    for (size_t k = 0; k < sizeof by_draw / sizeof by_draw[0]; k++)
        if (!(*by_draw[k] = TAKE(q, n, double))) return trouble(TUFA_MEMORY, "arena", NULL);
    return OK;
}

static void troubles(const question *q, const course *c, double *mean_depth, double *years, uint32_t *order, tufa_ahead *out)
{
    size_t n = q->n;
    double horizon = (double)c->months / 12.0;
    int electric = q->heater.fuel == TUFA_ELECTRIC;
    tufa_when never = {.years = {horizon, horizon, horizon}};
    for (size_t k = 0; k < c->nodes * n && !electric; k++)
        mean_depth[k] = c->bed_m3[k] / c->vessel[k % n].shape.plan_m2;
    reach(q, c, electric ? c->depth_m : mean_depth, c->trouble_depth_m, electric, out->draw_trouble_kg, out->draw_trouble_years);
    tufa_when w = when_of(n, out->draw_trouble_years, horizon, order);
    out->element_reached = electric ? w : never;
    out->gas_rumbles = electric ? never : w;
    out->never_share = 1.0 - w.p_horizon;
    double *kg = mean_depth; /* free again */
    reach(q, c, c->level_m, q->x.drain_m, 0, kg, years);
    out->drain_covered = when_of(n, years, horizon, order);
}

/* What a lab sheet, a tape or a watch would read today. */
static void seen_today(const question *q, tufa_ahead *out)
{
    const stretch *now = &q->stretch[stretch_on(q, (double)q->in->today_day)];
    int electric = q->heater.fuel == TUFA_ELECTRIC;
    for (size_t i = 0; i < q->n; i++) {
        out->draw_ccpp_mg_L[i] = tufa_ccpp_at(&q->in->ccpp, (size_t)q->x.ccpp[i], now->setpoint_K.mid);
        out->draw_element_m[i] = electric ? q->x.element_m[i] : 1.0;
        out->draw_heat_up_log[i] = electric ? 0.0 : heat_up_log(warm_cost(q, i), q->bulk_kg_m3[i], q->x.volume_m3[i], q->x.loss_per_kg[i], out->draw_kg[i]);
    }
}

static void today_figures(const question *q, const course *c, double *scratch, uint32_t *order, tufa_ahead *out)
{
    size_t n = q->n, year = c->months < 12 ? c->months : 12;
    memcpy(out->draw_kg, c->kg, n * sizeof(double));
    memcpy(out->draw_eps, q->x.eps, n * sizeof(double));
    memcpy(out->draw_age_years, q->x.age_years, n * sizeof(double));
    for (size_t i = 0; i < n; i++) {
        out->draw_kg_year[i] = year ? (c->kg[year * n + i] - c->kg[i]) * 12.0 / (double)year : 0.0;
        out->draw_loss_per_kg[i] = q->heater.fuel == TUFA_ELECTRIC ? 0.0 : q->x.loss_per_kg[i];
        scratch[i] = c->bed_m3[i] / q->x.volume_m3[i];
    }
    seen_today(q, out);
    out->lost_share = band_of(n, scratch, order);
    for (size_t i = 0; i < n; i++) scratch[i] = -expm1(-out->draw_loss_per_kg[i] * c->kg[i]);
    out->gas_loss_share = band_of(n, scratch, order);
    out->rate_kg_year = band_of(n, out->draw_kg_year, order);
    out->eps_ref = band_of(n, out->draw_eps, order);
    out->now_kg = out->kg[0];
    out->now_bed_m3 = out->bed_m3[0];
    out->now_depth_m = out->depth_m[0];
    out->now_covered = out->covered[0];
}

static void way_to_trouble(const question *q, const course *c, double *way)
{
    size_t node = 0; /* five years on, or at the horizon */
    while (node + 1 < c->nodes && c->month[node] < EARLY_MONTHS) node++;
    for (size_t i = 0; i < q->n; i++) {
        size_t k = node * q->n + i;
        double gone = q->heater.fuel == TUFA_ELECTRIC ? c->depth_m[k] : c->bed_m3[k] / c->vessel[i].shape.plan_m2;
        way[i] = gone / c->trouble_depth_m[i];
    }
}

tufa_status forecast(question *q, tufa_ahead *out)
{
    size_t n = q->n;
    course c = {0};
    RETURN_IF(take_answer(q, out));
    RETURN_IF(take_course(q, &c));
    RETURN_IF(run_course(q, &c));
    double *scratch = TAKE(q, n, double), *by_node = TAKE(q, c.nodes * n, double), *way = TAKE(q, n, double);
    uint32_t *order = TAKE(q, n, uint32_t);
    if (!scratch || !by_node || !way || !order) return trouble(TUFA_MEMORY, "arena", NULL);
    bands(q, &c, NULL, scratch, order, out->kg);
    bands(q, &c, c.bed_m3, scratch, order, out->bed_m3);
    bands(q, &c, c.depth_m, scratch, order, out->depth_m);
    if (q->heater.fuel == TUFA_ELECTRIC) bands(q, &c, c.covered, scratch, order, out->covered);
    today_figures(q, &c, scratch, order, out);
    troubles(q, &c, by_node, scratch, order, out);
    heat_of_scale(q, &c, order, scratch, out);
    RETURN_IF(coming_year(q, out->now_bed_m3.p50, order, out));
    way_to_trouble(q, &c, way);
    outlook_draws d = {.way = way, .kg = c.kg, .bed_m3 = c.bed_m3, .depth_m = c.depth_m};
    sharpen(q, &d, out);
    return OK;
}
