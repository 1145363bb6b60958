/* From the plate to what every reading shows under every fault: Ohm's law, the solved wiring and the simulated tank give
 * the centres, the table gives spreads and what physics does not know. */
#include <math.h>
#include <string.h>

#include "core/base/status.h"
#include "core/base/units.h"
#include "core/fault/finder.h"
#include "core/fault/leak.h"
#include "tufa/clean.h"

static const double REFERENCE_OHM = 12.8;            /* 240 V squared over 4500 W */
static const double REFERENCE_SET_C = 52.0, REFERENCE_INPUT_W = 11722.84; /* 40,000 Btu/h */
static const double REFERENCE_LOW_M = 0.12; /* lower element of the reference tank over its floor */
static const double PROPANE_OVER_NATURAL = 11.0 / 6.5; /* inlet pressures: common practice, no source */
static const double DEAD_SHARE = 0.02; /* of the full reading: what is below shows as nothing */
/* What a meter shows where there is nothing: median and spread of ln. Judgement. */
static const double DEAD_V = 0.5, DEAD_V_WIDE = 1.0, DEAD_A = 0.03, DEAD_A_WIDE = 0.8, DEAD_W = 12.0, DEAD_W_WIDE = 0.8;
static const double LEAST_WATTS = 20.0; /* the house's own meter, read for half an hour, tells no less ; derived from its face */
static const double DROP_BY_HAND_K = 0.6; /* thermometer and pail: what a sound tank is found to fall by. Judgement */
static const double LEAST_SPREAD = 0.25;  /* a reading near nothing still scatters by this share of the table's spread */
static const double LIVE_WIDE = 0.04; /* relative, plate tolerance and meter together: judgement */

tufa_fault_heater tufa_fault_heater_default(tufa_tank_fuel fuel)
{
    return (tufa_fault_heater){.tank = tufa_tank_default(fuel), .supply_V = 240.0, .plate_V = 240.0};
}

size_t tufa_fault_finder_bytes(void) { return sizeof(struct tufa_finder); }

static const struct { test_id test; circuit_test at; tufa_circuit_state state; } CIRCUIT_OF[] = {
#define READ(test, state) {TEST_##test, CIRCUIT_##test, state}
    READ(V_supply, TUFA_TOP_COLD), READ(V_leg_min, TUFA_TOP_COLD), READ(V_limit_out, TUFA_TOP_COLD),
    READ(V_upper, TUFA_TOP_COLD), READ(V_lower, TUFA_BOTTOM_COLD), READ(V_lower_sat, TUFA_ALL_HOT),
    READ(V_contact_lower, TUFA_BOTTOM_COLD), READ(A_upper, TUFA_TOP_COLD), READ(A_lower, TUFA_BOTTOM_COLD),
    READ(A_sat, TUFA_ALL_HOT), READ(A_net, TUFA_ALL_HOT), READ(meter_rest_W, TUFA_ALL_HOT),
    READ(meter_upper_W, TUFA_TOP_COLD), READ(meter_lower_W, TUFA_BOTTOM_COLD)
#undef READ
};

static double circuit_value(circuit_test t, const tufa_circuit_read r[3])
{
    switch (t) {
    case CIRCUIT_V_supply: return r[TUFA_TOP_COLD].supply_V;
    case CIRCUIT_V_leg_min: return r[TUFA_TOP_COLD].leg_min_V;
    case CIRCUIT_V_limit_out: return r[TUFA_TOP_COLD].limit_out_V;
    case CIRCUIT_V_upper: return r[TUFA_TOP_COLD].upper_V;
    case CIRCUIT_V_lower: return r[TUFA_BOTTOM_COLD].lower_V;
    case CIRCUIT_V_lower_sat: return r[TUFA_ALL_HOT].lower_V;
    case CIRCUIT_V_contact_lower: return r[TUFA_BOTTOM_COLD].lower_contact_V;
    case CIRCUIT_A_upper: return r[TUFA_TOP_COLD].leg_A;
    case CIRCUIT_A_lower: return r[TUFA_BOTTOM_COLD].leg_A;
    case CIRCUIT_A_sat: return r[TUFA_ALL_HOT].leg_A;
    case CIRCUIT_A_net: return r[TUFA_ALL_HOT].net_A;
    case CIRCUIT_meter_rest_W: return r[TUFA_ALL_HOT].power_W;
    case CIRCUIT_meter_upper_W: return r[TUFA_TOP_COLD].power_W;
    case CIRCUIT_meter_lower_W: return r[TUFA_BOTTOM_COLD].power_W;
    case CIRCUIT_TESTS: break;
    }
    return 0.0;
}

/* What physics says of one fault alone on some heater. */
typedef struct figures {
    double solved[MAX_CUTS][CIRCUIT_TESTS];
    tufa_fault_heater heater;
} figures;

static int in_volts(int at) { return at <= CIRCUIT_V_contact_lower; }
static int in_amps(int at) { return at > CIRCUIT_V_contact_lower && at <= CIRCUIT_A_net; }

/* The full reading of this heater, against which nothing is nothing. */
static double full(const tufa_fault_heater *h, int at)
{
    double watts = fmax(h->tank.lower_W, h->tank.upper_W), share = h->supply_V / h->plate_V;
    if (in_volts(at)) return h->supply_V;
    if (in_amps(at)) return at == CIRCUIT_A_net ? 1.0 : watts / h->plate_V * share;
    return watts * share * share;
}

static int is_dead(const tufa_fault_heater *h, int at, double v) { return v < DEAD_SHARE * full(h, at); }

static tufa_circuit_cut both_cuts(const fault_effect *a, const fault_effect *b)
{
    tufa_circuit_cut c = a ? a->cut : (tufa_circuit_cut){0};
    if (!b) return c;
    const tufa_circuit_cut *d = &b->cut;
    c.upper_coil_open |= d->upper_coil_open;
    c.lower_coil_open |= d->lower_coil_open;
    c.upper_dead_high |= d->upper_dead_high;
    c.upper_no_handover |= d->upper_no_handover;
    c.upper_stuck_on |= d->upper_stuck_on;
    c.lower_never |= d->lower_never;
    c.lower_always |= d->lower_always && !c.lower_never;
    c.limit_open |= d->limit_open;
    c.leg1_dead |= d->leg1_dead;
    c.leg2_dead |= d->leg2_dead;
    c.supply_dead |= d->supply_dead;
    c.joint_ohm += d->joint_ohm;
    if (d->upper_leak_ohm > 0.0) c.upper_leak_at = d->upper_leak_at, c.upper_leak_ohm = d->upper_leak_ohm;
    if (d->lower_leak_ohm > 0.0) c.lower_leak_at = d->lower_leak_at, c.lower_leak_ohm = d->lower_leak_ohm;
    return c;
}

static tufa_status solve_circuit(const tufa_fault_heater *h, const fault_effect *a, const fault_effect *b,
                                 double out[CIRCUIT_TESTS])
{
    tufa_circuit_cut cut = both_cuts(a, b);
    tufa_circuit_read r[3];
    for (int s = 0; s < 3; s++) RETURN_IF(tufa_fault_circuit(h, &cut, (tufa_circuit_state)s, &r[s]));
    for (int t = 0; t < CIRCUIT_TESTS; t++) out[t] = circuit_value((circuit_test)t, r);
    return OK;
}


static void heat_values(const fault_heat *h, double out[HEAT_TESTS])
{
    out[HEAT_litres_to_40] = h->litres;
    out[HEAT_early_drop] = h->drop_K;
    out[HEAT_recover_min] = h->recover_min;
    out[HEAT_V_eff] = h->heated_L;
}

/* Faults that a row says the tank gives a centre for. */
static int has_tank_row(int fault)
{
    const reading_row *rows;
    size_t n = fault_reading_rows(&rows);
    for (size_t i = 0; i < n; i++)
        if ((int)rows[i].fault == fault && rows[i].from == FROM_TANK) return 1;
    return 0;
}

/* Which faults touch the wiring, and which the tank; place 0 is healthy. */
static void list_effects(tufa_finder *f, const fault_effect *cut[MAX_CUTS], const fault_effect *heat[MAX_HEATS])
{
    f->cuts = f->heats = 1;
    cut[0] = heat[0] = NULL;
    f->cut_at[FAULT_healthy] = f->heat_of[FAULT_healthy] = 0;
    for (int i = 0; i < FAULT_COUNT; i++) {
        const fault_effect *e = fault_effect_of(i);
        f->cut_at[i] = f->heat_of[i] = -1;
        if (!e || !fault_on(i, f->gas)) continue;
        if (!f->gas && fault_effect_cuts(e) && f->cuts < MAX_CUTS) {
            f->cut_at[i] = (signed char)f->cuts;
            cut[f->cuts++] = e;
        }
        if (e->heats_like) {
            f->heat_of[i] = f->heat_of[e->heats_like - 1];
        } else if (has_tank_row(i) && f->heats < MAX_HEATS) {
            f->heat_of[i] = (signed char)f->heats;
            heat[f->heats++] = e;
        }
    }
}

static tufa_status one_heat(const tufa_fault_heater *h, const fault_effect *a, const fault_effect *b, double out[HEAT_TESTS],
                            double *skin_K)
{
    fault_heat heat;
    RETURN_IF(fault_heat_of(h, a, b, &heat));
    heat_values(&heat, out);
    *skin_K = heat.skin_K;
    return OK;
}

/* Hot sheaths fail sooner: so much likelier for every 10 K (the life of elements in the money stage takes the same; assumption). */
static const double SHEATH_LN_10K = 0.2, SHEATH_MOST = 8.0, LOW_FLUX_W_M2 = 116250.0; /* 75 W/in2 */

static tufa_status element_heat(tufa_finder *f, double skin_K)
{
    const tufa_tank *t = &f->heater.tank;
    tufa_tank_skin_in clean = {.element_W_m2 = LOW_FLUX_W_M2, .water_K = t->setpoint_K, .line_Pa = t->line_Pa};
    tufa_tank_skin usual;
    f->skin_K = skin_K;
    f->skin_times = 1.0;
    if (f->gas) return OK;
    RETURN_IF(tufa_tank_element_skin(&clean, &usual));
    f->skin_times = fmin(exp(SHEATH_LN_10K * (skin_K - usual.sheath_K) / 10.0), SHEATH_MOST);
    return OK;
}

static tufa_status growth_hours(tufa_finder *f)
{
    tufa_tank_day day, low;
    RETURN_IF(fault_day_of(&f->heater, NULL, NULL, 0.0, &day));
    RETURN_IF(fault_day_of(&f->heater, fault_effect_of(FAULT_setpoint_low), NULL, 0.0, &low));
    f->growth_s = day.growth_mean_s;
    f->growth_low_s = low.growth_mean_s;
    return OK;
}

static tufa_status run_physics(tufa_finder *f, figures *reference)
{
    const fault_effect *cut[MAX_CUTS], *heat[MAX_HEATS];
    list_effects(f, cut, heat);
    reference->heater = tufa_fault_heater_default(f->heater.tank.fuel);
    for (int i = 0; i < f->cuts && !f->gas; i++) {
        RETURN_IF(solve_circuit(&reference->heater, cut[i], NULL, reference->solved[i]));
        for (int j = i; j < f->cuts; j++) {
            RETURN_IF(solve_circuit(&f->heater, cut[i], j > i ? cut[j] : NULL, f->solved[i][j]));
            memcpy(f->solved[j][i], f->solved[i][j], sizeof f->solved[i][j]);
        }
    }
    for (int i = 0; i < f->heats; i++)
        for (int j = i; j < f->heats; j++) {
            double skin_K;
            RETURN_IF(one_heat(&f->heater, heat[i], j > i ? heat[j] : NULL, f->heated[i][j], &skin_K));
            if (j == 0) RETURN_IF(element_heat(f, skin_K));
            memcpy(f->heated[j][i], f->heated[i][j], sizeof f->heated[i][j]);
        }
    return growth_hours(f);
}

static spread_part dead_part(int at)
{
    if (in_volts(at)) return (spread_part){1, DEAD_V, DEAD_V_WIDE, 1.0};
    if (in_amps(at)) return (spread_part){1, DEAD_A, DEAD_A_WIDE, 1.0};
    return (spread_part){1, DEAD_W, DEAD_W_WIDE, 1.0};
}

/* A grounded coil: centre and spread together, over all leaks that there may be. */
static void leak_of(const tufa_finder *f, int fault, int test, spread *s)
{
    static const struct { test_id test; leak_reading what; } ROWS[] = {
        {TEST_A_sat, LEAK_REST_A}, {TEST_A_net, LEAK_REST_A}, {TEST_meter_rest_W, LEAK_REST_W}, {TEST_V_lower_sat, LEAK_REST_V},
        {TEST_A_lower, LEAK_ON_A}, {TEST_A_upper, LEAK_ON_A}, {TEST_meter_lower_W, LEAK_ON_W}, {TEST_meter_upper_W, LEAK_ON_W},
        {TEST_idle_W, LEAK_NIGHT_W}};
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
        if ((int)ROWS[i].test != test) continue;
        int at = f->circuit_at[test];
        double least = at < 0 ? 1.0 : DEAD_SHARE * full(&f->heater, at);
        if (at == CIRCUIT_A_sat) least = DEAD_SHARE; /* at rest a leak stands against nothing, not against the plate */
        if (at == CIRCUIT_meter_rest_W) least = LEAST_WATTS;
        fault_leak_spread(&f->heater, fault == FAULT_upper_earthed, ROWS[i].what, least, dead_part(at), s);
    }
}

/* Clear flow through drain valve and hose by the cleaning stage. The table's level holds for the valve's own losses, which nobody
 * knows; pressure, bore and hose of this house move it. */
static double drain_flow_m3_s(const tufa_fault_heater *h)
{
    static const double HOUSE_K = 3.464e11;  /* 20 psi lost at 10 gpm, as the cleaning stage assumes */
    static const double VALVE_K = 1.5, HOSE_ROUGH_M = 1.5e-6, WARM_KG_M3 = 990.0, WARM_NU_M2_S = 0.7e-6; /* judgement */
    tufa_line line = {.static_Pa = h->tank.line_Pa, .house_k_Pa_s2_m6 = HOUSE_K,
                      .port_bore_m = h->drain_bore_m > 0.0 ? h->drain_bore_m : 0.014, .port_K = VALVE_K,
                      .hose_bore_m = h->hose_bore_m > 0.0 ? h->hose_bore_m : m_from_in(0.625),
                      .hose_length_m = h->hose_length_m > 0.0 ? h->hose_length_m : 15.0, .hose_roughness_m = HOSE_ROUGH_M,
                      .rho_kg_m3 = WARM_KG_M3, .nu_m2_s = WARM_NU_M2_S};
    tufa_line_flow flow;
    return tufa_clean_line_flow(&line, &flow).code == TUFA_OK && flow.flow_m3_s > 0.0 ? flow.flow_m3_s : 1.0;
}

/* A row of the table with its centre for this heater. */
static spread_part part_of(const tufa_finder *f, const figures *reference, const reading_row *row)
{
    const tufa_fault_heater *h = &f->heater;
    spread_part p = {row->shape == SHAPE_LOGNORMAL, row->at, row->spread, row->weight};
    double scale = 1.0;
    int at = f->circuit_at[row->test];
    switch (row->from) {
    case FROM_TABLE: break;
    case FROM_OHM:
        scale = h->plate_V * h->plate_V / (row->test == TEST_ohm_upper ? h->tank.upper_W : h->tank.lower_W) / REFERENCE_OHM;
        break;
    case FROM_PLATE: scale = f->solved[0][0][at] / reference->solved[0][at]; break;
    case FROM_LEAK: break; /* by leak_of */
    case FROM_CIRCUIT: {
        int c = f->cut_at[row->fault] > 0 ? f->cut_at[row->fault] : 0;
        double v = f->solved[c][c][at], r = reference->solved[c][at];
        int dead = is_dead(h, at, v), was_dead = is_dead(&reference->heater, at, r);
        if (dead && was_dead) break;
        if (dead) {
            p = dead_part(at);
            p.weight = row->weight;
        } else if (was_dead) {
            p = (spread_part){0, v, LIVE_WIDE * v, row->weight};
        } else {
            scale = v / r;
        }
        break;
    }
    case FROM_TANK: {
        int t = f->heat_of[row->fault] > 0 ? f->heat_of[row->fault] : 0;
        double v = f->heated[t][t][f->heat_at[row->test]];
        if (row->test == TEST_early_drop) {
            p.mid = v + DROP_BY_HAND_K;
        } else {
            p.mid = v;
            p.wide *= fmax(v / row->at, LEAST_SPREAD);
        }
        break;
    }
    case FROM_SETPOINT: p.mid += C_from_K(h->tank.setpoint_K) - REFERENCE_SET_C; break;
    case FROM_INPUT: scale = h->tank.burner_W / REFERENCE_INPUT_W; break;
    case FROM_GAS_KIND: scale = h->propane ? PROPANE_OVER_NATURAL : 1.0; break;
    case FROM_ELEMENT_HEIGHT: scale = h->tank.lower_height_m / REFERENCE_LOW_M; break;
    case FROM_DRAIN: scale = drain_flow_m3_s(h) / drain_flow_m3_s(&reference->heater); break;
    case FROM_LOSS:
        scale = h->tank.loss_W_K * (h->tank.setpoint_K - h->tank.ambient_K) /
                (reference->heater.tank.loss_W_K * (reference->heater.tank.setpoint_K - reference->heater.tank.ambient_K));
        break;
    }
    p.mid *= scale;
    if (!p.log && scale > 0.0) p.wide *= scale;
    return p;
}

static spread *spread_for(tufa_finder *f, int fault, int test)
{
    if (f->of[fault][test] < 0) {
        if (f->spreads == MAX_SPREADS) return NULL;
        f->of[fault][test] = (short)f->spreads;
        f->spread[f->spreads++] = (spread){0};
    }
    return &f->spread[f->of[fault][test]];
}

/* Whose reading a row gives: with one element, what the tap shows when the upper pair fails is what it shows when the only pair does. */
static int reads_for(const tufa_finder *f, const reading_row *row)
{
    if (row->fault == FAULT_healthy || f->possible[row->fault]) return (int)row->fault;
    if (!f->heater.single_element || row->test != TEST_tap_hot) return -1;
    return row->fault == FAULT_upper_open ? (int)FAULT_lower_open : row->fault == FAULT_upper_no_call ? (int)FAULT_lower_tstat_open : -1;
}

static tufa_status fill_spreads(tufa_finder *f, const figures *reference)
{
    const reading_row *rows;
    size_t n = fault_reading_rows(&rows);
    for (size_t i = 0; i < n; i++) {
        const reading_row *row = &rows[i];
        if (row->fuel == (f->gas ? FUEL_ELECTRIC : FUEL_GAS) || !f->applies[row->test]) continue;
        int fault = reads_for(f, row);
        if (fault < 0) continue;
        spread *s = spread_for(f, fault, (int)row->test);
        if (!s) return trouble(TUFA_MEMORY, "spreads", "more rows than the finder has room for");
        if (row->shape == SHAPE_CATEGORY) {
            const tufa_test *t = tufa_fault_test_at(row->test);
            for (int k = 0; k < TUFA_MAX_CATEGORIES && row->share[k].name; k++)
                s->share[tufa_fault_test_category(t, row->share[k].name)] = row->share[k].share;
        } else if (row->from == FROM_LEAK) {
            leak_of(f, fault, (int)row->test, s);
        } else if (s->parts < MAX_PARTS) {
            s->part[s->parts++] = part_of(f, reference, row);
        }
    }
    return OK;
}

/* Where the wiring says that a fault changes a reading and the table has no row for it, the solved figure makes one. */
static tufa_status add_solved(tufa_finder *f)
{
    for (int fault = 0; fault < FAULT_COUNT; fault++) {
        int c = f->cut_at[fault];
        if (c <= 0 || !f->possible[fault]) continue;
        for (size_t k = 0; k < sizeof CIRCUIT_OF / sizeof CIRCUIT_OF[0]; k++) {
            int test = (int)CIRCUIT_OF[k].test, at = (int)CIRCUIT_OF[k].at;
            if (!f->applies[test] || f->of[fault][test] >= 0) continue;
            double v = f->solved[c][c][at], well = f->solved[0][0][at];
            int dead = is_dead(&f->heater, at, v), well_dead = is_dead(&f->heater, at, well);
            if ((dead && well_dead) || (!dead && !well_dead && fabs(v - well) < LIVE_WIDE * well)) continue;
            spread *s = spread_for(f, fault, test);
            if (!s) return trouble(TUFA_MEMORY, "spreads", "more rows than the finder has room for");
            double share = fault_effect_of(fault)->share;
            spread_part p = dead ? dead_part(at) : (spread_part){0, v, LIVE_WIDE * v, 1.0};
            p.weight = share;
            s->part[s->parts++] = p;
            if (share < 1.0) {
                const spread *h = &f->spread[f->of[FAULT_healthy][test]];
                for (int i = 0; i < h->parts && s->parts < MAX_PARTS; i++) {
                    s->part[s->parts] = h->part[i];
                    s->part[s->parts++].weight *= 1.0 - share;
                }
            }
        }
    }
    return OK;
}

/* A fault that draws and heats just as another does reads like it in those tests, row or no row. */
static void add_heated(tufa_finder *f)
{
    for (int fault = 0; fault < FAULT_COUNT; fault++) {
        const fault_effect *e = fault_effect_of(fault);
        if (!e || !e->heats_like || !f->possible[fault]) continue;
        for (int test = 0; test < TEST_COUNT; test++)
            if (f->heat_at[test] >= 0 && f->of[fault][test] < 0) f->of[fault][test] = f->of[e->heats_like - 1][test];
    }
}

/* ---- the cells into which a number is cut when its worth is weighed ---- */

static void cut_cells(tufa_finder *f, int test)
{
    enum { MAX_POINTS = 2 * MAX_PARTS * (FAULT_COUNT + 1) };
    const tufa_test *t = tufa_fault_test_at((size_t)test);
    double point[MAX_POINTS];
    int n = 0;
    for (int fault = 0; fault <= FAULT_COUNT; fault++) {
        if (f->of[fault][test] < 0) continue;
        const spread *s = &f->spread[f->of[fault][test]];
        for (int i = 0; i < s->parts; i++)
            for (int side = -1; side <= 1; side += 2) {
                const spread_part *p = &s->part[i];
                double x = p->log ? p->mid * exp(side * p->wide) : p->mid + side * p->wide;
                if (x <= (t->log_scale ? t->least : t->lo) || x >= t->hi) continue;
                double z = t->log_scale ? log(x) : x;
                int k = n++;
                for (; k > 0 && point[k - 1] > z; k--) point[k] = point[k - 1];
                point[k] = z;
            }
    }
    /* Closest neighbours become one until there is room. */
    while (n > MAX_CELLS - 1) {
        int at = 0;
        for (int i = 1; i + 1 < n; i++)
            if (point[i + 1] - point[i] < point[at + 1] - point[at]) at = i;
        point[at] = 0.5 * (point[at] + point[at + 1]);
        for (int i = at + 1; i + 1 < n; i++) point[i] = point[i + 1];
        n--;
    }
    f->edges[test] = n;
    for (int i = 0; i < n; i++) f->edge[test][i] = t->log_scale ? exp(point[i]) : point[i];
}

/* ---- one or two faults ---- */

static double apart(const tufa_finder *f, int at, double a, double b)
{
    double least = DEAD_SHARE * full(&f->heater, at);
    return fabs(log(fmax(a, least) / fmax(b, least)));
}

/* Both faults act on the wiring: the solved pair, with the spread of the single state that reads nearest to it. */
static const spread *pair_by_circuit(const tufa_finder *f, int a, int b, int test, spread *room)
{
    int at = f->circuit_at[test], single[3] = {f->cut_at[a], f->cut_at[b], 0}, fault[3] = {a, b, FAULT_healthy}, best = 0;
    double v = f->solved[single[0]][single[1]][at];
    for (int k = 1; k < 3; k++)
        if (apart(f, at, v, f->solved[single[k]][single[k]][at]) < apart(f, at, v, f->solved[single[best]][single[best]][at]))
            best = k;
    double base = f->solved[single[best]][single[best]][at];
    int place = f->of[fault[best]][test];
    const spread *s = &f->spread[place >= 0 ? place : f->of[FAULT_healthy][test]];
    if (apart(f, at, v, base) < LIVE_WIDE) return s;
    if (is_dead(&f->heater, at, v)) {
        *room = (spread){.parts = 1, .part = {dead_part(at)}};
        return room;
    }
    *room = (spread){.parts = 1, .part = {{0, v, LIVE_WIDE * v, 1.0}}};
    return room;
}

/* Both act on the tank: both simulated at once, with the wider relative spread of the two. */
static const spread *pair_by_tank(const tufa_finder *f, int a, int b, int test, spread *room)
{
    int at = f->heat_at[test], i = f->heat_of[a], j = f->heat_of[b];
    double v = f->heated[i][j][at];
    const spread *sa = &f->spread[f->of[a][test]], *sb = &f->spread[f->of[b][test]];
    double va = f->heated[i][i][at], vb = f->heated[j][j][at];
    const spread *near = fabs(v - va) <= fabs(v - vb) ? sa : sb;
    double base = near == sa ? va : vb;
    *room = *near;
    for (int k = 0; k < room->parts; k++) {
        room->part[k].mid += v - base;
        room->part[k].wide = fmax(sa->part[0].wide, sb->part[0].wide);
    }
    return room;
}

const spread *finder_spread(const tufa_finder *f, int a, int b, int test, spread *room)
{
    int own_a = a >= 0 ? f->of[a][test] : -1, own_b = b >= 0 ? f->of[b][test] : -1;
    const spread *healthy = &f->spread[f->of[FAULT_healthy][test]];
    if (a >= 0 && b >= 0 && (own_a >= 0 || own_b >= 0) && f->circuit_at[test] >= 0 && f->cut_at[a] > 0 && f->cut_at[b] > 0)
        return pair_by_circuit(f, a, b, test, room);
    if (own_a >= 0 && own_b >= 0) {
        if (f->heat_at[test] >= 0 && f->heat_of[a] > 0 && f->heat_of[b] > 0) return pair_by_tank(f, a, b, test, room);
        spread_mix(&f->spread[own_a], &f->spread[own_b], room);
        return room;
    }
    return own_a >= 0 ? &f->spread[own_a] : own_b >= 0 ? &f->spread[own_b] : healthy;
}

int finder_like(const tufa_finder *f, const spread *s, int a, int b, int test)
{
    const int place[3] = {a, b, FAULT_healthy};
    for (int k = 0; k < 3; k++)
        if (place[k] >= 0 && f->of[place[k]][test] >= 0 && s == &f->spread[f->of[place[k]][test]]) return place[k];
    return -1;
}

/* ---- prepare ---- */

static int upper_fault(int i)
{
    return i == FAULT_upper_open || i == FAULT_upper_earthed || i == FAULT_upper_stuck_on || i == FAULT_upper_no_handover ||
           i == FAULT_upper_no_call;
}

static int upper_test(int i)
{
    return i == TEST_V_upper || i == TEST_A_upper || i == TEST_ohm_upper || i == TEST_ohm_upper_earth || i == TEST_meter_lower_W;
}

static tufa_status heater_check(const tufa_fault_heater *h)
{
    RETURN_IF(in_range("volume_m3", h->tank.volume_m3, 0.01, 2.0));
    RETURN_IF(in_range("setpoint_K", h->tank.setpoint_K, K_from_C(25.0), K_from_C(95.0)));
    if (h->tank.fuel == TUFA_TANK_GAS) return in_range("burner_W", h->tank.burner_W, 500.0, 2e5);
    RETURN_IF(in_range("supply_V", h->supply_V, 100.0, 260.0));
    return OK;
}

static void take_heater(tufa_finder *f, const tufa_fault_heater *heater)
{
    f->heater = *heater;
    f->gas = heater->tank.fuel == TUFA_TANK_GAS;
    for (int t = 0; t < TEST_COUNT; t++) {
        const tufa_test *test = tufa_fault_test_at((size_t)t);
        f->applies[t] = (unsigned char)((f->gas ? test->gas : test->electric) && !(heater->single_element && upper_test(t)));
        f->circuit_at[t] = f->heat_at[t] = -1;
    }
    for (size_t k = 0; k < sizeof CIRCUIT_OF / sizeof CIRCUIT_OF[0]; k++)
        if (f->applies[CIRCUIT_OF[k].test]) f->circuit_at[CIRCUIT_OF[k].test] = (signed char)CIRCUIT_OF[k].at;
    f->heat_at[TEST_litres_to_40] = HEAT_litres_to_40;
    f->heat_at[TEST_early_drop] = HEAT_early_drop;
    f->heat_at[TEST_recover_min] = HEAT_recover_min;
    f->heat_at[TEST_V_eff] = HEAT_V_eff;
    for (int i = 0; i < FAULT_COUNT; i++)
        f->possible[i] = (unsigned char)(fault_on(i, f->gas) && !(heater->single_element && upper_fault(i)));
}

tufa_status tufa_fault_prepare(const tufa_fault_heater *heater, tufa_finder *f)
{
    RETURN_IF(heater_check(heater));
    f->ready = 0;
    take_heater(f, heater);
    figures reference;
    RETURN_IF(run_physics(f, &reference));
    f->spreads = 0;
    memset(f->of, -1, sizeof f->of);
    RETURN_IF(fill_spreads(f, &reference));
    RETURN_IF(add_solved(f));
    add_heated(f);
    for (int t = 0; t < TEST_COUNT; t++)
        if (f->applies[t] && !tufa_fault_test_at((size_t)t)->categories[0]) cut_cells(f, t);
    f->ready = 1;
    return OK;
}
