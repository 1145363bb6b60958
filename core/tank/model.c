/* From a heater as it is described and what is wrong with it to a model that can be stepped. */
#include "core/base/status.h"
#include "core/base/units.h"
#include "core/tank/earth.h"
#include "core/tank/sim.h"
#include "core/tank/skin.h"
#include "core/tank/water.h"

#include <math.h>
#include <string.h>

static const double ROD_REACH_M = 0.0125; /* a hairpin element warms this much above and below its middle; common practice */
static const double PAIR_V = 240.0, LEG_V = 120.0, WYE_V = 208.0;
static const double RESEAT_K = 273.15 + 90.0; /* a relief valve closes again about here; common practice, no source */
/* Share of the height in which the flue's heat falls to 1/e. Set so that frequent short draws stack the top by 10 to 20 K
 * (common practice, no source) while the test patterns draw at about the setpoint; no measurement was found. */
static const double FLUE_FALLS_SHARE = 0.39;
static const double MOST_BED_LAG_S = 1200.0, MOST_BED_RISE_K = 20.0; /* the shell and the sensor's own tube carry heat too; judgement */
/* How far the water of a gas tank may outrun a buried sensor. Set so that, with what the flue adds, the top overheats by at
 * most 20 K, as a control low in a bed does (10 to 20 K; common practice, no source). */
static const double MOST_OUTRUN_K = 3.0;
static const double BED_M2_S = 4e-7;      /* heat diffuses through a water-filled bed: 1.2 W/(m K) over 3 MJ/(m3 K) */

/* ---- the scale of the state's temperatures ---- */

double theta_from_C(const tufa_tank_model *m, double t_C)
{
    if (!m->real_water) return t_C;
    return m->theta_zero_C + (water_heat(t_C) - water_heat(m->theta_zero_C)) / m->heat_J_kg_K;
}

/* Newton from theta itself, which is within 0.2 K: two steps leave less than 1e-9 K. */
double C_from_theta(const tufa_tank_model *m, double theta)
{
    if (!m->real_water) return theta;
    double t = theta;
    for (int i = 0; i < 2; i++) t -= (theta_from_C(m, t) - theta) * m->heat_J_kg_K / water_heat_capacity(t);
    return t;
}

double tufa_tank_layer_K(const tufa_tank_model *m, const tufa_tank_state *s, int layer)
{
    return K_from_C(C_from_theta(m, s->theta[layer]));
}

/* ---- checks ---- */

static tufa_status check_tank(const tufa_tank *t)
{
    RETURN_IF(in_range("layers", t->layers, TUFA_TANK_MIN_LAYERS, TUFA_TANK_MAX_LAYERS));
    RETURN_IF(in_range("volume_m3", t->volume_m3, 0.005, 10.0));
    RETURN_IF(in_range("height_m", t->height_m, 0.1, 10.0));
    RETURN_IF(in_range("loss_W_K", t->loss_W_K, 0.0, 1000.0));
    RETURN_IF(in_range("loss_top_share", t->loss_top_share, 0.0, 1.0));
    RETURN_IF(in_range("conductivity_W_m_K", t->conductivity_W_m_K, 0.0, 100.0));
    RETURN_IF(in_range("ambient_K", t->ambient_K, 223.15, 343.15));
    RETURN_IF(in_range("inlet_K", t->inlet_K, 273.15, 363.15));
    RETURN_IF(in_range("lower_W", t->lower_W, 0.0, 50e3));
    RETURN_IF(in_range("upper_W", t->upper_W, 0.0, 50e3));
    const struct {
        const char *field;
        double at;
    } heights[] = {{"lower_height_m", t->lower_height_m}, {"upper_height_m", t->upper_height_m},
                   {"lower_sensor_m", t->lower_sensor_m}, {"upper_sensor_m", t->upper_sensor_m},
                   {"inlet_height_m", t->inlet_height_m}, {"leak_height_m", t->leak_height_m}};
    for (size_t i = 0; i < sizeof heights / sizeof heights[0]; i++)
        RETURN_IF(in_range(heights[i].field, heights[i].at, 0.0, t->height_m));
    RETURN_IF(in_range("setpoint_K", t->setpoint_K, 283.15, 372.15));
    RETURN_IF(in_range("differential_K", t->differential_K, 0.1, 60.0));
    RETURN_IF(in_range("sensor_lag_s", t->sensor_lag_s, 0.0, 3600.0));
    if (t->limit_K > 0.0) RETURN_IF(in_range("limit_K", t->limit_K, 293.15, 473.15));
    if (t->relief_K > 0.0) RETURN_IF(in_range("relief_K", t->relief_K, 343.15, 423.15));
    RETURN_IF(in_range("mixing_m3", t->mixing_m3, 0.0, t->volume_m3));
    RETURN_IF(in_range("mixing_flow_m3_s", t->mixing_flow_m3_s, 0.0, 1.0));
    RETURN_IF(in_range("burner_W", t->burner_W, 0.0, 200e3));
    RETURN_IF(in_range("recovery_efficiency", t->recovery_efficiency, 0.1, 1.0));
    RETURN_IF(in_range("pilot_W", t->pilot_W, 0.0, 2000.0));
    RETURN_IF(in_range("bed_m3", t->bed_m3, 0.0, 0.7 * t->volume_m3));
    RETURN_IF(in_range("bed_W_m_K", t->bed_W_m_K, 0.1, 10.0));
    RETURN_IF(in_range("element_W_m2", t->element_W_m2, 0.0, 1e6));
    RETURN_IF(in_range("scale_m", t->scale_m, 0.0, 0.05));
    RETURN_IF(in_range("scale_W_m_K", t->scale_W_m_K, 0.05, 10.0));
    RETURN_IF(in_range("line_Pa", t->line_Pa, 0.0, 2e6));
    RETURN_IF(in_range("expansion_m3", t->expansion_m3, 0.0, 1.0));
    RETURN_IF(in_range("breaker_A", t->breaker_A, 1.0, 200.0));
    RETURN_IF(in_range("leak_W", t->leak_W, 0.0, 20e3));
    if ((t->density_kg_m3 > 0.0) != (t->heat_capacity_J_kg_K > 0.0))
        return trouble(TUFA_CONFLICT, "density_kg_m3", "density and heat capacity are given together or not at all");
    if (t->density_kg_m3 > 0.0) {
        RETURN_IF(in_range("density_kg_m3", t->density_kg_m3, 100.0, 2000.0));
        RETURN_IF(in_range("heat_capacity_J_kg_K", t->heat_capacity_J_kg_K, 500.0, 10e3));
    }
    return OK;
}

/* ---- changes ---- */

typedef struct earthing {
    bool there, broken, broken_before;
    double s, fault_ohm;
} earthing;

typedef struct wrong {
    bool open[2];        /* element burnt through */
    double ohm_share;    /* lower: turns left */
    double volts;
    earthing earth[2];
    double flue_share, burner_share;
} wrong;

static bool fits(const tufa_tank_change_row *row, tufa_tank_fuel fuel)
{
    return strchr(row->fuels, fuel == TUFA_TANK_GAS ? 'G' : 'E') != NULL;
}

static void apply(tufa_tank_model *m, wrong *w, const tufa_tank_change *c)
{
    tufa_tank *t = &m->tank;
    switch (c->id) {
    case TUFA_CHANGE_LOWER_ELEMENT_OPEN: w->open[LOWER] = true; break;
    case TUFA_CHANGE_UPPER_ELEMENT_OPEN: w->open[UPPER] = true; break;
    case TUFA_CHANGE_LOWER_ELEMENT_EARTHED:
    case TUFA_CHANGE_UPPER_ELEMENT_EARTHED:
        w->earth[c->id == TUFA_CHANGE_UPPER_ELEMENT_EARTHED ? UPPER : LOWER] = (earthing){
            .there = true, .broken = c->broken, .broken_before = c->broken_before, .s = c->size, .fault_ohm = c->fault_ohm};
        break;
    case TUFA_CHANGE_ELEMENT_SHORTED_TURNS: w->ohm_share *= c->size; break;
    case TUFA_CHANGE_LOWER_THERMOSTAT_OPEN: m->force_off[LOWER] = true; break;
    case TUFA_CHANGE_LOWER_THERMOSTAT_STUCK_ON: m->force_on[LOWER] = true; break;
    case TUFA_CHANGE_UPPER_THERMOSTAT_OPEN: m->force_off[UPPER] = true; break;
    case TUFA_CHANGE_UPPER_THERMOSTAT_STUCK_ON: m->force_on[UPPER] = true; break;
    case TUFA_CHANGE_UPPER_NO_CHANGEOVER: m->no_changeover = true; break;
    case TUFA_CHANGE_SETPOINT_DRIFT: t->setpoint_K += c->size; break;
    case TUFA_CHANGE_SENSOR_LOOSE: m->sensor_share = c->size; break;
    case TUFA_CHANGE_LIMIT_OPEN: m->limit_latched = true; break;
    case TUFA_CHANGE_LIMIT_WELDED: m->limit_never = true; break;
    case TUFA_CHANGE_DIP_TUBE_LOST: t->inlet_height_m = c->size * t->height_m; break;
    case TUFA_CHANGE_BED: t->bed_m3 += c->size; break;
    case TUFA_CHANGE_SCALE_ON_ELEMENT: t->scale_m += c->size; break;
    case TUFA_CHANGE_VOLTS_208: w->volts = fmin(w->volts, WYE_V); break;
    case TUFA_CHANGE_VOLTS_120: w->volts = LEG_V; break;
    case TUFA_CHANGE_HOT_DRIP: m->drip_m3_s += c->size; break;
    case TUFA_CHANGE_CROSSOVER: m->tap_cold_share = c->size; break;
    case TUFA_CHANGE_INSULATION_WET: t->loss_W_K *= c->size; break;
    case TUFA_CHANGE_BURNER_OFF: w->burner_share = 0.0; break;
    case TUFA_CHANGE_BURNER_WEAK: w->burner_share *= c->size; break;
    case TUFA_CHANGE_FLUE_LOSS: w->flue_share += c->size; break;
    case TUFA_CHANGE_COUNT: break;
    }
}

static tufa_status apply_all(tufa_tank_model *m, wrong *w, const tufa_tank_change *changes, size_t n)
{
    if (n > TUFA_TANK_MAX_CHANGES) return in_range("changes", (double)n, 0, TUFA_TANK_MAX_CHANGES);
    for (size_t i = 0; i < n; i++) {
        const tufa_tank_change_row *row = tufa_tank_change_at(changes[i].id);
        if (!row) return trouble(TUFA_UNKNOWN, "change", "there is no such change to a tank");
        if (row->unit[0]) RETURN_IF(in_range(row->name, changes[i].size, row->lo, row->hi));
        RETURN_IF(in_range("fault_ohm", changes[i].fault_ohm, 0.0, 1e9));
        unsigned bit = 1u << (unsigned)changes[i].id;
        if (!fits(row, m->tank.fuel)) {
            m->without_effect |= bit;
            continue;
        }
        m->changes |= bit;
        apply(m, w, &changes[i]);
    }
    return OK;
}

/* ---- layers ---- */

static int layer_at(const tufa_tank_model *m, double height_m)
{
    int i = (int)floor((height_m - m->bed_depth_m) / m->dz_m + 1e-9); /* a height on a boundary belongs to the layer above it */
    return i < 0 ? 0 : i >= m->n ? m->n - 1 : i;
}

/* Between the middles of two layers a sensor reads what lies between their temperatures. */
static void place_sensor(tufa_tank_model *m, int k, double height_m)
{
    double at = (height_m - m->bed_depth_m) / m->dz_m - 0.5;
    int i = at < 0.0 ? 0 : at >= m->n - 2 ? m->n - 2 : (int)at;
    m->sensor[k] = i;
    m->sensor_up[k] = fmin(fmax(at - i, 0.0), 1.0);
}

/* Heat of a rod goes evenly to the layers that its reach covers; of one inside the bed, to the lowest. The lower edge
 * matters: all water above it is heated, none below. It lies inside a layer as a rule; that layer is heated in part. */
static void spread_rod(tufa_tank_model *m, int k, double height_m)
{
    double z = fmax(height_m - m->bed_depth_m, 0.0), edge = fmax(z - ROD_REACH_M, 0.0) / m->dz_m;
    int first = (int)ceil(edge - 1e-9), last = (int)floor((z + ROD_REACH_M) / m->dz_m + 0.5) - 1;
    if (first > m->n - 1) first = m->n - 1;
    if (last > m->n - 1) last = m->n - 1;
    if (last < first) last = first;
    m->heater[k].first = first;
    m->heater[k].last = last;
    m->heater[k].below = fmin(fmax(first - edge, 0.0), 1.0);
    for (int i = first; i <= last; i++) m->heater[k].heat_share[i] = 1.0 / (last - first + 1);
}

/* The bottom head warms the lowest layer, the flue the rest, most of it low down, where its gas is hottest. What a bed keeps
 * from the bottom head heats its surface by boiling, or the foot of the flue just above it: the lowest water either way. */
static void spread_flame(tufa_tank_model *m)
{
    double sum = 0.0;
    for (int i = 0; i < m->n; i++) sum += m->heater[LOWER].heat_share[i] = exp(-(i + 0.5) / (FLUE_FALLS_SHARE * m->n));
    for (int i = 0; i < m->n; i++) m->heater[LOWER].heat_share[i] *= (1.0 - BOTTOM_SHARE) / sum;
    m->heater[LOWER].heat_share[0] += BOTTOM_SHARE;
    sum = 0.0;
    for (int i = m->n; i-- > 0;) m->flame_from[i] = sum += m->heater[LOWER].heat_share[i];
    m->heater[LOWER].first = 0;
    m->heater[LOWER].last = m->n - 1;
}

/* ---- heaters ---- */

static void fit_element(tufa_tank_model *m, const wrong *w, int k, double plate_W)
{
    double ohm = plate_W > 0.0 ? tufa_tank_element_ohm(plate_W, PAIR_V) * (k == LOWER ? w->ohm_share : 1.0) : 0.0;
    m->heater[k].W = ohm > 0.0 && !w->open[k] ? w->volts * w->volts / ohm : 0.0;
    m->heater[k].fed_W = m->heater[k].W;
    m->heater[k].trips_fed = ohm > 0.0 && m->heater[k].W / w->volts > 1.35 * m->tank.breaker_A;
    const earthing *e = &w->earth[k];
    if (!e->there || ohm <= 0.0) return;
    tufa_tank_earth_in in = {.element_ohm = ohm, .fault_ohm = e->fault_ohm, .s = e->s, .line_V = w->volts,
                             .breaker_A = m->tank.breaker_A, .broken = e->broken || w->open[k],
                             .broken_before = e->broken_before};
    tufa_tank_earth rest = earth_of(&in);
    in.thermostat_closed = true;
    tufa_tank_earth fed = earth_of(&in);
    m->heater[k].leak_W = rest.total_W, m->heater[k].trips_at_rest = rest.breaker_trips;
    m->heater[k].fed_W = fed.total_W, m->heater[k].trips_fed = fed.breaker_trips;
}

static void fit_burner(tufa_tank_model *m, const wrong *w)
{
    const tufa_tank *t = &m->tank;
    tufa_tank_bottom b = bottom_of(t->recovery_efficiency, t->burner_W, m->bed_depth_m, t->bed_W_m_K, t->setpoint_K, t->line_Pa);
    m->efficiency = fmax(b.efficiency - w->flue_share, 0.05);
    m->heater[LOWER].W = m->heater[LOWER].fed_W = t->burner_W * w->burner_share;
    spread_flame(m);
}

/* A sensor inside the bed reads what the bed is warmed to between the heat and the water, and late. */
static void bury_sensor(tufa_tank_model *m)
{
    const tufa_tank *t = &m->tank;
    double depth = m->bed_depth_m - t->lower_sensor_m, heat_at = t->fuel == TUFA_TANK_GAS ? 0.0 : t->lower_height_m;
    if (depth <= 0.0 || m->bed_depth_m - heat_at <= depth) return;
    m->sensor_bed_lag_s = fmin(depth * depth / (2.5 * BED_M2_S), MOST_BED_LAG_S); /* slowest part of a slab warmed from one side: 4 L^2/(pi^2 a) */
    m->sensor_bed_rise_K = fmin((tufa_tank_boiling_K(t->line_Pa) - t->setpoint_K) * depth / (m->bed_depth_m - heat_at), MOST_BED_RISE_K);
    double warms_K_s = m->heater[LOWER].W * m->efficiency / (m->n * m->layer_J_K);
    if (t->fuel == TUFA_TANK_GAS && warms_K_s > 0.0) /* a stronger flame warms the bed the faster too */
        m->sensor_bed_lag_s = fmin(m->sensor_bed_lag_s, (MOST_OUTRUN_K + m->sensor_bed_rise_K) / warms_K_s);
}

static void fit_bed(tufa_tank_model *m)
{
    const tufa_tank *t = &m->tank;
    m->area_m2 = t->volume_m3 / t->height_m;
    m->bed_depth_m = t->bed_m3 / m->area_m2;
    double over = t->bed_cover_m >= 0.0 ? t->bed_cover_m : m->bed_depth_m;
    double cover = (over - (t->lower_height_m - ROD_REACH_M)) / (2.0 * ROD_REACH_M);
    m->bed_cover = t->fuel == TUFA_TANK_GAS ? 0.0 : fmin(fmax(cover, 0.0), 1.0);
}

static void fit_water(tufa_tank_model *m)
{
    const tufa_tank *t = &m->tank;
    double set_C = C_from_K(t->setpoint_K), in_C = C_from_K(t->inlet_K);
    m->real_water = !(t->density_kg_m3 > 0.0);
    m->theta_zero_C = set_C;
    if (m->real_water) {
        m->kg_m3 = water_density(set_C);
        m->heat_J_kg_K = fabs(set_C - in_C) > 1.0 ? (water_heat(set_C) - water_heat(in_C)) / (set_C - in_C)
                                                  : water_heat_capacity(set_C);
    } else {
        m->kg_m3 = t->density_kg_m3;
        m->heat_J_kg_K = t->heat_capacity_J_kg_K;
    }
}

static void fit_layers(tufa_tank_model *m)
{
    const tufa_tank *t = &m->tank;
    double high = t->height_m - m->bed_depth_m;
    m->n = t->layers;
    m->dz_m = high / m->n;
    m->layer_m3 = (t->volume_m3 - t->bed_m3) / m->n;
    m->layer_J_K = m->layer_m3 * m->kg_m3 * m->heat_J_kg_K;
    m->conduct_W_K = t->conductivity_W_m_K * m->area_m2 / m->dz_m;
    double even = t->loss_W_K * (1.0 - t->loss_top_share) * high / t->height_m; /* the bed's own wall loses with the bed, not here */
    m->loss_even_W_K = even / m->n;
    m->loss_top_W_K = t->loss_W_K * t->loss_top_share;
    m->inlet_layer = layer_at(m, t->inlet_height_m);
    place_sensor(m, LOWER, t->lower_sensor_m);
    place_sensor(m, UPPER, t->fuel == TUFA_TANK_GAS || t->upper_W > 0.0 ? t->upper_sensor_m : t->lower_sensor_m); /* the limit sits with it */
}

static void fit_thresholds(tufa_tank_model *m)
{
    const tufa_tank *t = &m->tank;
    m->set_theta = theta_from_C(m, C_from_K(t->setpoint_K));
    m->cut_in_theta = theta_from_C(m, C_from_K(t->setpoint_K - t->differential_K));
    m->limit_theta = t->limit_K > 0.0 ? theta_from_C(m, C_from_K(t->limit_K)) : INFINITY;
    m->relief_theta = t->relief_K > 0.0 ? theta_from_C(m, C_from_K(t->relief_K)) : INFINITY;
    m->reseat_theta = theta_from_C(m, fmin(C_from_K(RESEAT_K), C_from_K(t->relief_K) - 2.0));
}

static void fit_tables(tufa_tank_model *m)
{
    for (int i = 0; i < TUFA_TANK_C_POINTS; i++) {
        m->C_at[i] = C_from_theta(m, TUFA_TANK_C_STEP_K * i);
        m->density_at[i] = m->real_water ? water_density(m->C_at[i]) / m->kg_m3 : 1.0;
    }
}

static void fit_kill(tufa_tank_model *m)
{
    for (int i = 0; i < TUFA_TANK_KILL_BINS; i++) {
        tufa_tank_kill k = tufa_tank_kill_time(K_from_C(TUFA_TANK_KILL_FROM_C + i));
        m->kill_per_s[i][0] = k.D_s > 0.0 ? 1.0 / k.D_s : 0.0;
        m->kill_per_s[i][1] = k.D_long_s > 0.0 ? 1.0 / k.D_long_s : 0.0;
        m->kill_per_s[i][2] = k.D_short_s > 0.0 ? 1.0 / k.D_short_s : 0.0;
    }
}

tufa_status tufa_tank_build(const tufa_tank *tank, const tufa_tank_change *changes, size_t n, tufa_tank_model *out)
{
    wrong w = {.ohm_share = 1.0, .volts = PAIR_V, .burner_share = 1.0};
    RETURN_IF(check_tank(tank));
    memset(out, 0, sizeof *out);
    out->tank = *tank;
    out->sensor_share = 1.0;
    RETURN_IF(apply_all(out, &w, changes, n));
    RETURN_IF(check_tank(&out->tank)); /* several changes together may leave the range: a bed larger than the tank */
    fit_bed(out);
    fit_water(out);
    fit_tables(out);
    fit_layers(out);
    fit_thresholds(out);
    fit_kill(out);
    if (tank->fuel == TUFA_TANK_GAS) {
        fit_burner(out, &w);
    } else {
        out->efficiency = 1.0;
        spread_rod(out, LOWER, tank->lower_height_m);
        fit_element(out, &w, LOWER, tank->lower_W);
        spread_rod(out, UPPER, tank->upper_height_m);
        fit_element(out, &w, UPPER, tank->upper_W);
    }
    spread_rod(out, LEAK, tank->leak_height_m);
    out->heater[LEAK].W = tank->leak_W;
    bury_sensor(out);
    return OK;
}

/* ---- how many layers ---- */

/* How much of a layer the rods' lower edges cut off, at worst. */
static double cut_share(const tufa_tank *t, int n)
{
    double low = t->bed_m3 / t->volume_m3 * t->height_m, dz = (t->height_m - low) / n, worst = 0.0;
    const double W[] = {t->lower_W + t->leak_W, t->upper_W}, height[] = {t->lower_height_m, t->upper_height_m};
    for (int k = 0; k < 2; k++) {
        double edge = fmax(height[k] - ROD_REACH_M - low, 0.0) / dz;
        if (W[k] > 0.0) worst = fmax(worst, ceil(edge - 1e-9) - edge);
    }
    return worst;
}

int tufa_tank_layers_for(const tufa_tank *t, int least, int most)
{
    int best = most;
    for (int n = most; n >= least; n--)
        if (cut_share(t, n) < cut_share(t, best) - 1e-12) best = n;
    return best;
}
