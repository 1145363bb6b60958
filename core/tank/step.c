/* One step of one tank. sim_step at the end names the physical parts in their order; each is a function above it. */
#include "core/base/units.h"
#include "core/tank/layers.h"
#include "core/tank/sim.h"
#include "core/tank/water.h"

#include <math.h>
#include <string.h>

static const double MOST_COURANT = 0.95;      /* of a layer that a draw may move in one step */
static const double QUIET_STEP_S = 1800.0, LONG_STEP_S = 3600.0, WATCHFUL_STEP_S = 60.0, HEATING_STEP_S = 300.0, PUT_OFF_S = 250.0;
static const double FLAME_STEP_S = 60.0, SHORTEST_STEP_S = 1.0;
static const double MOST_CONDUCTION = 0.39;  /* number of explicit conduction in one step; 0.5 is the edge of stability */
static const double MOST_CONDUCTION_HEATING = 0.18; /* below a plume, where one neighbour counts more than twice */
static const double THIN_REST = 0.5;          /* a cut layer that is warm to more than this has a thin rest */
static const double RELIEF_M3_S = 5e-4;      /* a 3/4 in relief valve wide open, 8 gpm; common practice, no source */
static const double RELIEF_PA = 1034e3;      /* 150 psi, ANSI Z21.22 as quoted on several pages */
static const double STIFF_PA = 1.33e8;       /* closed system: 5 psi for 1 F (a maker states 4 to 6), over the water's own growth */
static const double SCALD_C = 48.9, HOT_C = 40.0, GROWTH_FROM_C = 25.0, GROWTH_TO_C = 45.0, ALIKE_K = 0.01;
static const double NEAR_K = 25.0;           /* from here on a limit is watched */
static const double FAR_S = 1e9;
static const double FORESEEN = 1.1, SURELY = 1.03, CERTAIN_S = 0.25; /* a foreseen event is stepped past by so little, not just not reached */

/* Layers below `layer` are no longer known to be like those above them. */
ALWAYS_INLINE void differs_below(sim *x, int layer)
{
    if (layer > x->m->n - 1) layer = x->m->n - 1;
    if (layer > x->alike) x->alike = layer;
}

/* ---- control: who is fed ---- */

ALWAYS_INLINE void thermostat(sim *x, int k)
{
    const tufa_tank_model *m = x->m;
    tufa_tank_state *s = x->s;
    if (s->reads[k] < m->cut_in_theta) s->wants[k] = true;
    if (s->reads[k] >= m->set_theta - 1e-6) s->wants[k] = false;
    if (m->force_on[k]) s->wants[k] = true;
    if (m->force_off[k]) s->wants[k] = false;
}

ALWAYS_INLINE bool would_trip(const sim *x, int k)
{
    return x->fed[k] ? x->m->heater[k].trips_fed : x->m->heater[k].trips_at_rest;
}

ALWAYS_INLINE void control(sim *x)
{
    const tufa_tank_model *m = x->m;
    tufa_tank_state *s = x->s;
    bool two = m->tank.fuel != TUFA_TANK_GAS && m->tank.upper_W > 0.0; /* else one thermostat, and nothing to hand over */
    thermostat(x, LOWER);
    if (two) thermostat(x, UPPER);
    if (!s->limit_open && !m->limit_never && s->reads[UPPER] >= m->limit_theta - 1e-6) {
        s->limit_open = true;
        x->r.limit_trip_s = x->t_s;
    }
    bool live = !s->limit_open && !s->breaker_open;
    x->fed[UPPER] = live && two && s->wants[UPPER];
    x->fed[LOWER] = live && s->wants[LOWER] && (!two || (!s->wants[UPPER] && !m->no_changeover));
    if (live && (would_trip(x, LOWER) || would_trip(x, UPPER))) {
        s->breaker_open = true;
        x->r.breaker_trip_s = x->t_s;
        x->fed[LOWER] = x->fed[UPPER] = false;
    }
    double top = s->theta[m->n - 1];
    if (!s->relief_open && top >= m->relief_theta - 1e-6) {
        s->relief_open = true;
        if (x->r.relief_open_s < 0.0) x->r.relief_open_s = x->t_s;
    }
    if (s->relief_open && top <= m->reseat_theta) s->relief_open = false;
}

/* Power that a heater draws now, and what of it reaches the water. */
ALWAYS_INLINE double power_W(const sim *x, int k)
{
    if (x->s->limit_open) return 0.0;
    if (k == LEAK) return x->m->heater[LEAK].W;
    if (x->s->breaker_open) return 0.0;
    return x->fed[k] ? x->m->heater[k].fed_W : x->m->heater[k].leak_W;
}

ALWAYS_INLINE double pilot_W(const sim *x)
{
    return x->s->limit_open || x->m->heater[LOWER].W <= 0.0 ? 0.0 : x->m->tank.pilot_W;
}

/* ---- how long the step may be ---- */

/* Conduction out of a block that is warm down to a rod's lower edge, as if between two layers that differ by this much: see
 * conduct_below_plume. */
ALWAYS_INLINE double leaves_block(const double *theta, int first, double part)
{
    double rest = 1.0 - part, block = theta[first], cut = theta[first - 1], next = theta[first - 2];
    if (part > THIN_REST) return (block - next) / (rest + 0.5);
    return 2.0 / rest * (block - most((cut - part * block) / rest, least(next, cut)));
}

/* How much the layers from `first` up lack of `target`, summed. */
ALWAYS_INLINE double colder_than(const sim *x, int first, double target)
{
    const double *theta = x->s->theta;
    int n = x->m->n, top = x->alike > first ? x->alike : first;
    return colder_by(theta + first, top - first, target) + (n - top) * most(target - theta[n - 1], 0.0);
}

/* When heat entering at heater k can bring `watched` to `target`: everything from there up that is
 * colder has to be filled first. Exact for one heater below the sensor, since warm water levels out above it. Not worked
 * out when it is more than `enough_s`. */
ALWAYS_INLINE double time_to_fill(const sim *x, int k, int watched, double target, double power, double enough_s)
{
    const tufa_tank_model *m = x->m;
    const double *theta = x->s->theta;
    int first = m->heater[k].first;
    if (first > watched) return FAR_S;
    if (theta[watched] >= target) return 0.0;
    double at_least = (watched - first + 1) * (target - theta[watched]) * m->layer_J_K; /* those below are colder still */
    if (at_least > enough_s * power) return enough_s;
    double net = power - (m->n - first) * m->loss_even_W_K * (target - x->room_theta);
    double lacks = colder_than(x, first, target);
    if (first > 1) { /* what goes on down, and the part of the layer below that warms along */
        double part = m->heater[k].below;
        net -= m->conduct_W_K * leaves_block(theta, first, part);
        lacks += part * (target - theta[first]);
    }
    return net > 0.0 ? SURELY * lacks * m->layer_J_K / net + CERTAIN_S : FAR_S;
}

/* A flame warms the whole height by its flue: the sensor may be reached from below, or by what enters its own layer. */
ALWAYS_INLINE double time_to_fill_gas(const sim *x, int watched, double target, double power)
{
    const tufa_tank_model *m = x->m;
    const double *theta = x->s->theta;
    double need = colder_by(theta, watched + 1, target);
    double own = (target - theta[watched]) / most(m->heater[LOWER].heat_share[watched], 1e-9);
    return least(need, most(own, 0.0)) * m->layer_J_K / power;
}

ALWAYS_INLINE double time_to_reach(const sim *x, int watched, double target, double enough_s)
{
    double power = 0.0;
    int highest = -1;
    for (int k = 0; k < HEATERS; k++) {
        double p = x->now_W[k] * (k == LOWER ? x->m->efficiency : 1.0);
        power += p;
        if (p > 0.0 && (highest < 0 || x->m->heater[k].first > x->m->heater[highest].first)) highest = k;
    }
    if (highest < 0) return FAR_S;
    if (x->m->tank.fuel == TUFA_TANK_GAS) return time_to_fill_gas(x, watched, target, power);
    return time_to_fill(x, highest, watched, target, power, enough_s);
}

/* What the layer below sensor k has to come to for a reading of `reading`. The layer above may already be warmer. */
ALWAYS_INLINE double needed_below(const sim *x, int k, double reading)
{
    const tufa_tank_model *m = x->m;
    double up = m->sensor_up[k], above = x->s->theta[m->sensor[k] + 1];
    if (above <= reading || up > 0.95) return reading;
    return (reading - up * above) / (1.0 - up);
}

/* The water temperature at which sensor k reads the setpoint. */
ALWAYS_INLINE double set_at_sensor(const sim *x, int k)
{
    double a = k == LOWER ? x->m->sensor_share : 1.0;
    return a > 0.05 ? (x->m->set_theta - (1.0 - a) * x->room_theta) / a : FAR_S;
}

ALWAYS_INLINE double time_to_event(const sim *x, double enough_s)
{
    const tufa_tank_model *m = x->m;
    const tufa_tank_state *s = x->s;
    double shortest = SHORTEST_STEP_S, t = enough_s;
    for (int k = LOWER; k <= UPPER; k++) {
        double lag = most(m->tank.sensor_lag_s, k == LOWER ? m->sensor_bed_lag_s : 0.0);
        if (!x->fed[k] || m->force_on[k]) continue;
        t = least(t, time_to_reach(x, m->sensor[k], needed_below(x, k, set_at_sensor(x, k)), t));
        shortest = most(shortest, lag / 16.0);
    }
    if (!m->limit_never && !s->limit_open && s->theta[m->sensor[UPPER]] > m->limit_theta - NEAR_K)
        t = least(t, time_to_reach(x, m->sensor[UPPER], needed_below(x, UPPER, m->limit_theta), t));
    if (!s->relief_open && s->theta[m->n - 1] > m->relief_theta - NEAR_K)
        t = least(t, time_to_reach(x, m->n - 1, m->relief_theta, t));
    return most(t, shortest);
}

/* Nothing is on: until a thermostat is expected to want heat, by the pace at which its reading fell in the last step. A
 * pace may grow, so that long steps are for times when that is far off. */
ALWAYS_INLINE double quiet_time(const sim *x)
{
    double t = FAR_S;
    bool known = true;
    for (int k = LOWER; k <= UPPER; k++) {
        if (x->fell_K[k] > 0.0) t = least(t, (x->s->reads[k] - x->m->cut_in_theta) * x->fell_in_s / x->fell_K[k]);
        else known = false;
    }
    return least(FORESEEN * most(t, 0.0) + WATCHFUL_STEP_S, known && t > 2.0 * LONG_STEP_S ? LONG_STEP_S : QUIET_STEP_S);
}

ALWAYS_INLINE double step_length(const sim *x, const outflow *out, bool heating, double until_s)
{
    const tufa_tank_model *m = x->m;
    double left = until_s - x->t_s, flow = out->tap_m3_s + out->relief_m3_s + out->drip_m3_s, dt;
    if (x->dense_step_s > 0.0) return least(left, x->dense_step_s);
    if (heating) {
        dt = x->fed[LOWER] && m->tank.fuel == TUFA_TANK_GAS ? FLAME_STEP_S : HEATING_STEP_S;
        dt = most(least(dt, MOST_CONDUCTION_HEATING * x->conduction_s - x->put_off_s), SHORTEST_STEP_S);
    } else {
        dt = quiet_time(x);
    }
    if (flow > 0.0) dt = least(dt, MOST_COURANT * m->layer_m3 / flow);
    if (heating) dt = least(dt, time_to_event(x, dt));
    if (left <= dt) return left;
    return out->tap_m3_s > 0.0 ? left / ceil(left / dt) : dt; /* equal steps of a draw */
}

/* ---- water out, cold in ---- */

/* At the tap: cold let in by a faulty valve, and cold mixed in on purpose. */
ALWAYS_INLINE outflow what_leaves(sim *x, double tap_m3_s, double tempered_K)
{
    const tufa_tank_model *m = x->m;
    outflow out = {.relief_m3_s = x->s->relief_open ? RELIEF_M3_S : x->weep_m3_s, .drip_m3_s = m->drip_m3_s};
    x->weep_m3_s = 0.0;
    if (tap_m3_s <= 0.0) return out;
    if (tempered_K <= 0.0) {
        out.tap_m3_s = tap_m3_s * (1.0 - m->tap_cold_share);
        return out;
    }
    double top_K = K_from_C(quick_C(m, x->s->theta[m->n - 1]));
    double line_K = top_K + m->tap_cold_share * (x->inlet_K - top_K), hot = 1.0;
    if (line_K > tempered_K) hot = (tempered_K - x->inlet_K) / (line_K - x->inlet_K);
    out.tap_m3_s = tap_m3_s * most(hot, 0.0) * (1.0 - m->tap_cold_share);
    return out;
}

ALWAYS_INLINE void at_the_tap(sim *x, double theta_out, double drawn_m3)
{
    tufa_tank_result *r = &x->r;
    double out_K = K_from_C(quick_C(x->m, theta_out));
    x->outlet_K = out_K + x->m->tap_cold_share * (x->inlet_K - out_K);
    if (r->drawn_m3 <= 0.0 || x->outlet_K < r->min_outlet_K) r->min_outlet_K = x->outlet_K;
    if (x->outlet_K > r->max_outlet_K) r->max_outlet_K = x->outlet_K;
    r->mean_outlet_K += drawn_m3 * x->outlet_K; /* a sum until the end */
    r->drawn_m3 += drawn_m3;
    if (x->outlet_K >= K_from_C(HOT_C)) r->above_40_m3 += drawn_m3;
    if (x->outlet_K >= K_from_C(SCALD_C)) r->above_scald_m3 += drawn_m3;
}

/* How many layers the inlet keeps mixed at this flow; worked out when the flow changes. */
ALWAYS_INLINE void stir_by_inlet(sim *x, double flow_m3_s)
{
    const tufa_tank_model *m = x->m;
    double stirred = m->tank.mixing_m3;
    if (stirred <= 0.0 || m->inlet_layer * m->layer_m3 > stirred) return;
    if (flow_m3_s != x->stirring_m3_s) {
        if (m->tank.mixing_flow_m3_s > 0.0) stirred *= sqrt(flow_m3_s / m->tank.mixing_flow_m3_s);
        x->stirred_layers = least(stirred / m->layer_m3, 0.5 * m->n);
        x->stirring_m3_s = flow_m3_s;
    }
    stir(x->s->theta, m->n, x->stirred_layers);
    differs_below(x, (int)x->stirred_layers + 1);
}

ALWAYS_INLINE double draw(sim *x, const outflow *out, double tap_m3_s, double dt)
{
    const tufa_tank_model *m = x->m;
    double flow = out->tap_m3_s + out->relief_m3_s + out->drip_m3_s;
    if (flow <= 0.0) {
        if (tap_m3_s > 0.0) at_the_tap(x, x->inlet_theta, tap_m3_s * dt);
        return tap_m3_s * dt;
    }
    double *theta = x->s->theta, dense = quick_density(m, theta[m->n - 1]);
    double layers = flow * dt / m->layer_m3 * dense; /* by mass: a hot litre is lighter than the cold one that follows */
    int top = x->alike > m->inlet_layer ? x->alike : m->inlet_layer; /* what lies above moves into its own like */
    double out_theta = rise(theta + m->inlet_layer, top - m->inlet_layer + 1, layers, x->inlet_theta);
    differs_below(x, top + 1);
    double heat = layers * m->layer_J_K * (out_theta - x->inlet_theta) / flow;
    x->sum += layers * (x->inlet_theta - out_theta);
    x->r.delivered_J += heat * out->tap_m3_s;
    x->r.relief_J += heat * out->relief_m3_s;
    x->r.relief_m3 += out->relief_m3_s * dt;
    x->r.drip_J += heat * out->drip_m3_s;
    if (out->tap_m3_s + out->relief_m3_s > 0.0) stir_by_inlet(x, out->tap_m3_s + out->relief_m3_s);
    if (tap_m3_s > 0.0) at_the_tap(x, out_theta, tap_m3_s * dt);
    return tap_m3_s * dt;
}

/* ---- conduction and loss ---- */

/* Above an element that is on, the water is at one temperature down to the rod's lower edge, which is nearer to the cold
 * water than the middle of a layer is. `part` of the layer below `first` belongs to that block; the rest of it is
 * colder than the layer as a whole. Puts right what conduct_and_lose took from whole layers. */
ALWAYS_INLINE void conduct_below_plume(const double *restrict from, double *restrict to, int first, double part, double r)
{
    if (first < 2) return;
    double rest = 1.0 - part, block = from[first], cut = from[first - 1], next = from[first - 2], in, out;
    if (part > THIN_REST) { /* a thin rest stores little: what enters leaves */
        in = out = r / (rest + 0.5) * (block - next);
    } else {
        double cold = most((cut - part * block) / rest, least(next, cut));
        in = least(2.0 * r / rest, 0.5 * rest) * (block - cold);
        out = 2.0 * r / (1.0 + rest) * (cold - next);
    }
    in -= r * (block - cut);
    out -= r * (cut - next);
    to[first] -= in;
    to[first - 1] += in - out;
    to[first - 2] += out;
}

/* How many layers conduction that reaches `by` layers far has to be worked out for: those above fare like the last. */
ALWAYS_INLINE int up_to(const sim *x, int by)
{
    int n = (x->alike + by + FOUR) / FOUR * FOUR; /* whole vectors */
    return n < x->m->n ? n : x->m->n;
}

/* Conduction and loss in one stable piece; `r` and the g are its numbers. */
ALWAYS_INLINE void rest_once(sim *x, double r, double g, double g_top, bool heating)
{
    const tufa_tank_model *m = x->m;
    double was[ROOM], *theta = x->s->theta, lost = g * (x->sum - m->n * x->room_theta);
    int n = up_to(x, 1);
    copy_column(was, theta, n);
    conduct_and_lose(was, theta, n, r, g, x->room_theta);
    level(theta, n, m->n, theta[n - 1]);
    differs_below(x, x->alike + 1);
    for (int h = 0; h < HEATERS && heating; h++)
        if (x->now_W[h] > 0.0 && m->heater[h].first < n) {
            conduct_below_plume(was, theta, m->heater[h].first, m->heater[h].below, r);
            differs_below(x, m->heater[h].first + 1);
        }
    double top = g_top * (theta[m->n - 1] - x->room_theta);
    theta[m->n - 1] -= top;
    if (g_top > 0.0) differs_below(x, m->n - 1);
    x->sum -= lost + top;
    x->r.jacket_J += m->layer_J_K * (lost + top);
}

/* Four pieces at once, where the layers are alike to the room and nothing is on. */
ALWAYS_INLINE void rest_4(sim *x, double r, double g)
{
    const tufa_tank_model *m = x->m;
    double left = 1.0 - g, lost = (1.0 - left * left * left * left) * (x->sum - m->n * x->room_theta), *theta = x->s->theta;
    int n = up_to(x, FOUR);
    conduct_and_lose_4(theta, n, r, g, x->room_theta);
    level(theta, n, m->n, theta[n - 1]);
    differs_below(x, x->alike + FOUR);
    x->sum -= lost;
    x->r.jacket_J += m->layer_J_K * lost;
}

/* Put off while water is drawn, since a draw takes many short steps; then made good in as many as are stable. */
ALWAYS_INLINE void rest(sim *x, double dt, bool drawing, bool heating)
{
    const tufa_tank_model *m = x->m;
    double stable = heating ? MOST_CONDUCTION_HEATING : MOST_CONDUCTION;
    x->put_off_s += dt;
    if (drawing && x->put_off_s < PUT_OFF_S && !(heating && x->put_off_s > 0.5 * stable * x->conduction_s)) return;
    double pieces = most(x->put_off_s / (x->conduction_s * stable), x->put_off_s / QUIET_STEP_S), times = pieces > 1.001 ? ceil(pieces) : 1.0;
    double share = x->put_off_s / (m->layer_J_K * times);
    double r = m->conduct_W_K * share, g = m->loss_even_W_K * share, g_top = m->loss_top_W_K * share;
    int count = (int)times;
    x->put_off_s = 0.0;
    if (!heating && g_top <= 0.0)
        for (; count >= FOUR; count -= FOUR) rest_4(x, r, g);
    for (; count > 0; count--) rest_once(x, r, g, g_top, heating);
}

/* ---- heat in ---- */

/* Part of the layer that a rod's lower edge cuts belongs to the warm block above the edge, `count` layers at `now`: it rises
 * with the block, and the layer as a whole is no colder than that part at the block's temperature and the rest at that of
 * the layer below. `was` is the block's temperature before. No more goes down than the rod gave, `rise_K` of one layer: cold
 * water that is drawn past it is heated, not mixed in. Answers by how much the block is colder for it. */
ALWAYS_INLINE double warm_cut_layer(double *restrict theta, int first, double count, double now, double part, double was, double rise_K)
{
    double cut = theta[first - 1], next = theta[first > 1 ? first - 2 : 0], rest = 1.0 - part;
    double cold = part > THIN_REST ? now - 0.5 * rest / (rest + 0.5) * (now - next) : next; /* see conduct_below_plume */
    double lacks = least(most(part * (now - most(was, cut)), cold + part * (now - cold) - cut), rise_K);
    if (lacks <= 0.0) return 0.0;
    double taken = lacks / (count + part);
    theta[first - 1] += taken * count;
    return taken;
}

ALWAYS_INLINE void warm_by_rod(sim *x, int k, double rise_K)
{
    const tufa_tank_model *m = x->m;
    double *theta = x->s->theta;
    int first = m->heater[k].first, last = m->heater[k].last;
    double was = theta[first];
    for (int i = first; i <= last; i++) theta[i] += rise_K * m->heater[k].heat_share[i];
    if (x->alike <= last) x->alike = last + 1;
    plume b = {.sum = theta[last], .count = 1.0, .end = last + 1};
    b = rise_from(theta, &x->alike, m->n, first, last, b);
    double now = mean_of(&b);
    if (m->heater[k].below > 0.0 && first > 0)
        now -= warm_cut_layer(theta, first, b.count, now, m->heater[k].below, was, rise_K);
    level(theta, first, b.end, now);
    if (b.end == m->n) x->alike = first;
    for (int i = first; i > 0 && i > first - 3; i--) x->upset |= theta[i - 1] > theta[i]; /* what conduction at the edge may do */
}

/* The higher a layer the less the flue warms it, so that the top, at one temperature before, mixes in itself. */
ALWAYS_INLINE void warm_by_flame(sim *x, double rise_K)
{
    const tufa_tank_model *m = x->m;
    double *theta = x->s->theta, count = m->n - x->alike;
    for (int i = 0; i < x->alike; i++) theta[i] += rise_K * m->heater[LOWER].heat_share[i];
    plume b = {.sum = count * theta[m->n - 1] + rise_K * m->flame_from[x->alike], .count = count, .end = m->n};
    b = rise_from(theta, &x->alike, m->n, 0, x->alike, b);
    level(theta, 0, b.end, mean_of(&b));
    if (b.end == m->n) x->alike = 0;
}

ALWAYS_INLINE void heat(sim *x, double dt, bool heating)
{
    const tufa_tank_model *m = x->m;
    tufa_tank_result *r = &x->r;
    const double pilot = pilot_W(x);
    if (!heating && pilot <= 0.0) return;
    for (int k = 0; k < HEATERS; k++) {
        double W = x->now_W[k] + (k == LOWER ? pilot : 0.0);
        if (W <= 0.0) continue;
        double into_water = k == LOWER ? W * m->efficiency : W;
        double rise_K = into_water * dt / m->layer_J_K; /* of one layer */
        if (m->tank.fuel == TUFA_TANK_GAS && k == LOWER) warm_by_flame(x, rise_K);
        else warm_by_rod(x, k, rise_K);
        x->sum += rise_K;
        r->in_J += W * dt;
        r->flue_J += (W - into_water) * dt;
        if (k == LEAK || !x->fed[k]) r->leak_J += m->tank.fuel == TUFA_TANK_GAS && k == LOWER ? 0.0 : W * dt;
        else x->hot_at_rod = most(x->hot_at_rod, x->s->theta[m->heater[k].first]);
    }
    bool lower = x->fed[LOWER] && m->heater[LOWER].W > 0.0, upper = x->fed[UPPER] && m->heater[UPPER].W > 0.0;
    if (lower) r->lower_on_s += dt;
    if (upper) r->upper_on_s += dt;
    if (lower || upper) r->last_on_s = x->t_s + dt;
}

/* ---- order by density ---- */

ALWAYS_INLINE void order_by_density(sim *x)
{
    const tufa_tank_model *m = x->m;
    double *theta = x->s->theta;
    bool turns = x->cold; /* water below 4 C: lighter again */
    if (!turns && (x->upset || x->may_turn_over || x->inlet_theta > theta[0])) turns = upside_down(theta, x->alike + 1);
    if (turns && settle(theta, m->n, m->real_water)) x->alike = alike_from(theta, m->n);
    x->upset = false;
}

/* ---- what is felt: sensors, pressure, bacteria ---- */

ALWAYS_INLINE double approach(double from, double to, double dt, double lag)
{
    return lag > 0.0 ? to + (from - to) * exp(-dt / lag) : to;
}

ALWAYS_INLINE double at_sensor(const sim *x, int k)
{
    const double *theta = &x->s->theta[x->m->sensor[k]];
    return theta[0] + x->m->sensor_up[k] * (theta[1] - theta[0]);
}

ALWAYS_INLINE void sense(sim *x, double dt)
{
    const tufa_tank_model *m = x->m;
    tufa_tank_state *s = x->s;
    double lower = x->room_theta + m->sensor_share * (at_sensor(x, LOWER) - x->room_theta);
    if (m->sensor_bed_lag_s > 0.0 && x->fed[LOWER]) lower += m->sensor_bed_rise_K;
    const double was[2] = {s->reads[LOWER], s->reads[UPPER]};
    s->reads[LOWER] = approach(was[LOWER], lower, dt, most(m->tank.sensor_lag_s, m->sensor_bed_lag_s));
    s->reads[UPPER] = approach(was[UPPER], at_sensor(x, UPPER), dt, m->tank.sensor_lag_s);
    for (int k = LOWER; k <= UPPER; k++) x->fell_K[k] = was[k] - s->reads[k];
    x->fell_in_s = dt;
}

/* Heated water that cannot flow back into the street presses until something gives: the expansion tank first, then the
 * relief valve, which lets out what is too much. */
ALWAYS_INLINE void press(sim *x, double before, double dt, bool at_tap)
{
    const tufa_tank_model *m = x->m;
    tufa_tank_state *s = x->s;
    double mean = x->sum / m->n, volume = m->layer_m3 * m->n, step = 1.0;
    if (at_tap || s->relief_open || m->drip_m3_s > 0.0) s->grown_m3 = 0.0;
    else s->grown_m3 += volume * (x->sum - before) / m->n * (quick_density(m, mean) - quick_density(m, mean + step));
    s->grown_m3 = most(s->grown_m3, 0.0);
    double room_m3 = m->tank.expansion_m3, stiff = STIFF_PA / volume;
    double weep = s->grown_m3 - room_m3 - most(RELIEF_PA - m->tank.line_Pa, 0.0) / stiff;
    if (weep > 0.0) {
        x->weep_m3_s = dt > 0.0 ? weep / most(dt, SHORTEST_STEP_S) : 0.0; /* leaves in the next step */
        s->grown_m3 -= weep;
        if (x->r.relief_open_s < 0.0) x->r.relief_open_s = x->t_s;
    }
    s->pressure_Pa = m->tank.line_Pa + stiff * most(s->grown_m3 - room_m3, 0.0);
    x->r.max_pressure_Pa = most(x->r.max_pressure_Pa, s->pressure_Pa);
}

/* What bacteria in water of t degrees C live through in s seconds. */
ALWAYS_INLINE void fare(const tufa_tank_model *m, double t_C, double s, double to[FARES])
{
    if (t_C >= GROWTH_FROM_C && t_C <= GROWTH_TO_C) to[GROWN] += s;
    double at = least(t_C - TUFA_TANK_KILL_FROM_C, TUFA_TANK_KILL_BINS - 1.001);
    if (at <= 0.0) return;
    int bin = (int)at;
    const double *a = m->kill_per_s[bin], *b = m->kill_per_s[bin + 1], u = at - bin;
    for (int k = 0; k < 3; k++) to[KILLED + k] += s * (a[k] + u * (b[k] - a[k]));
}

/* The top stands at about one temperature and fares alike: within ALIKE_K a kill differs by less than 1 %. It is told once,
 * at its lowest layer. */
ALWAYS_INLINE void live_and_die(sim *x, double dt)
{
    const tufa_tank_model *m = x->m;
    const double *theta = x->s->theta, top = theta[m->n - 1], s = x->health_s + dt;
    x->health_s = s;
    if (s < x->health_every_s) return;
    x->health_s = 0.0;
    int i = 0;
    for (; top - theta[i] >= ALIKE_K || theta[i] - top >= ALIKE_K; i++) fare(m, theta[i], s, x->fares[i]);
    fare(m, theta[i], s, x->fares_from[i]);
}

/* To every layer its own, and what all layers from below it up got. */
static void tell_fares(const sim *x, tufa_tank_result *r)
{
    double from[FARES] = {0};
    for (int i = 0; i < x->m->n; i++) {
        for (int k = 0; k < FARES; k++) from[k] += x->fares_from[i][k];
        r->growth_s[i] = x->fares[i][GROWN] + from[GROWN];
        r->kill_log10[i] = x->fares[i][KILLED] + from[KILLED];
        r->kill_lo[i] = x->fares[i][KILLED + 1] + from[KILLED + 1];
        r->kill_hi[i] = x->fares[i][KILLED + 2] + from[KILLED + 2];
    }
}

ALWAYS_INLINE void note_cutout(sim *x, bool heating)
{
    tufa_tank_result *r = &x->r;
    if (x->was_heating && !heating && !x->s->limit_open && !x->s->breaker_open) {
        bool unmet = (x->s->wants[LOWER] && x->m->heater[LOWER].W > 0.0) || (x->s->wants[UPPER] && x->m->heater[UPPER].W > 0.0);
        if (r->first_cutout_s < 0.0) r->first_cutout_s = x->t_s;
        if (r->first_full_cutout_s < 0.0 && !unmet) r->first_full_cutout_s = x->t_s;
    }
    x->was_heating = heating;
}

ALWAYS_INLINE void count_starts(sim *x, const bool was[2])
{
    if (x->fed[LOWER] && !was[LOWER]) x->r.lower_starts++;
    if (x->fed[UPPER] && !was[UPPER]) x->r.upper_starts++;
}

SHORT_VECTOR_CLONES double sim_step(sim *x, double tap_m3_s, double tempered_K, double until_s)
{
    const bool was[2] = {x->fed[LOWER], x->fed[UPPER]};
    const double before = x->sum;
    control(x);
    count_starts(x, was);
    note_cutout(x, (x->fed[LOWER] && x->m->heater[LOWER].W > 0.0) || (x->fed[UPPER] && x->m->heater[UPPER].W > 0.0));
    const outflow out = what_leaves(x, tap_m3_s, tempered_K);
    for (int k = 0; k < HEATERS; k++) x->now_W[k] = power_W(x, k);
    const bool heating = x->now_W[LOWER] + x->now_W[UPPER] + x->now_W[LEAK] > 0.0;
    const double dt = step_length(x, &out, heating, until_s);
    const bool drawing = out.tap_m3_s + out.relief_m3_s > 0.0;

    const double drawn_m3 = draw(x, &out, tap_m3_s, dt);
    rest(x, dt, drawing, heating);
    heat(x, dt, heating);
    order_by_density(x);
    sense(x, dt);
    if (x->m->tank.closed_system) press(x, before, dt, tap_m3_s > 0.0);
    live_and_die(x, dt);

    x->r.mean_K += dt * x->sum; /* a sum until the end */
    x->r.top_max_K = most(x->r.top_max_K, x->s->theta[x->m->n - 1]);
    x->r.steps++;
    x->t_s += dt;
    return drawn_m3;
}

/* ---- beginning and end ---- */

/* Eight sums side by side, so that every vector width adds in the same order. */
double sum_of(const double *v, int n)
{
    double part[8] = {0};
    int i = 0;
    for (; i + 8 <= n; i += 8)
        for (int k = 0; k < 8; k++) part[k] += v[i + k];
    for (int k = 0; i + k < n; k++) part[k] += v[i + k];
    return ((part[0] + part[4]) + (part[2] + part[6])) + ((part[1] + part[5]) + (part[3] + part[7]));
}

/* What was put off is made good, and sums become means. */
void sim_end(sim *x)
{
    tufa_tank_result *r = &x->r;
    double start = x->sum_at_start;
    rest(x, 0.0, false, true);
    x->upset = true;
    order_by_density(x);
    x->health_every_s = 0.0;
    live_and_die(x, 0.0);
    tell_fares(x, r);
    double end = sum_of(x->s->theta, x->m->n);
    r->stored_J = x->m->layer_J_K * (end - start);
    r->lost_J = r->jacket_J + r->flue_J + r->relief_J + r->drip_J;
    r->balance_J = r->in_J - r->delivered_J - r->lost_J - r->stored_J;
    r->mean_K = x->t_s > 0.0 ? K_from_C(quick_C(x->m, r->mean_K / (x->t_s * x->m->n))) : 0.0;
    r->mean_outlet_K = r->drawn_m3 > 0.0 ? r->mean_outlet_K / r->drawn_m3 : 0.0;
    r->top_max_K = K_from_C(quick_C(x->m, r->top_max_K));
}
