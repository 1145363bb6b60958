/* What the costs of one heater follow from, drawn beside the draws of the view ahead. */
#include "core/base/sources.h"
#include "core/base/spread.h"
#include "core/base/status.h"
#include "core/base/units.h"
#include "core/money/constants.h"
#include "core/money/inner.h"

#include <math.h>

static const double PROPANE_J_GAL = 91500.0 * 1055.05585262; /* 91,500 Btu a US gallon; common practice, no source */
enum { STREAM_CONTROL = 2400, STREAM_LUCK = 2410, STREAM_PRICES = 1000, STREAM_CONSTANTS = 2000, STREAM_CHOICES = 2100, STREAM_OTHER = 2200 };

static const tufa_value CONSTANTS[M_COUNT] = {
#define X(id, src, m, l, h, what) [M_##id] = {m, l, h, TUFA_BASIS_DEFAULT},
    MONEY_CONSTANTS(X)
#undef X
};

tufa_value tufa_money_damage_chance(void) { return CONSTANTS[M_DAMAGE_CHANCE]; }

/* Everything that is drawn, made ready once for a heater. */
typedef struct sources {
    const tufa_money_in *in;
    spread constant[M_COUNT], price[TUFA_PRICE_COUNT], hours[TUFA_CHOICE_COUNT], left_share[TUFA_CHOICE_COUNT];
    spread trip_share, per_10K, buried, anode_age, control_age, damage_chance, bed_on_life[2], conductivity, anode_life;
} sources;

static int said(tufa_value v) { return v.basis != TUFA_BASIS_NONE; }

static spread said_or(tufa_value v, spread other) { return said(v) ? spread_of(v) : other; }

static void make_ready(const tufa_money_in *in, sources *s)
{
    s->in = in;
    for (int k = 0; k < M_COUNT; k++) s->constant[k] = spread_of(CONSTANTS[k]);
    for (int k = 0; k < TUFA_PRICE_COUNT; k++) s->price[k] = spread_of(in->prices.usd[k]);
    for (int k = 0; k < TUFA_CHOICE_COUNT; k++) {
        s->hours[k] = spread_of(tufa_choice_at((tufa_choice)k)->hours);
        s->left_share[k] = spread_of(tufa_choice_at((tufa_choice)k)->left_share);
    }
    const struct {
        tufa_choice c;
        const tufa_money_how *how;
    } HOW[] = {{TUFA_CHOICE_FLUSH, &in->flush}, {TUFA_CHOICE_CLEAN, &in->clean}};
    for (size_t k = 0; k < sizeof HOW / sizeof HOW[0]; k++) {
        s->hours[HOW[k].c] = said_or(HOW[k].how->hours, s->hours[HOW[k].c]);
        s->left_share[HOW[k].c] = said_or(HOW[k].how->left_share, s->left_share[HOW[k].c]);
    }
    s->trip_share = said_or(in->trip_share, spread_of((tufa_value){.mid = 1.0, .lo = 1.0, .hi = 1.0}));
    s->per_10K = spread_of(in->element.per_10K);
    s->buried = spread_of(in->element.buried);
    s->anode_age = spread_of(in->anode_age_years);
    s->control_age = spread_of(in->control_age_years);
    s->damage_chance = said_or(in->leak_damage_chance, s->constant[M_DAMAGE_CHANCE]);
    int electric = in->ahead->heater.fuel == TUFA_ELECTRIC;
    s->bed_on_life[electric] = said_or(in->bed_on_life, spread_of(tufa_bed_on_life_default(in->ahead->heater.fuel)));
    s->bed_on_life[!electric] = spread_of(tufa_bed_on_life_default(electric ? TUFA_GAS : TUFA_ELECTRIC));
    s->conductivity = spread_of(in->conductivity_S_m);
    s->anode_life = spread_of(in->anode_life_years);
}

static double draw(const sources *s, const spread *of, int stream, size_t i)
{
    return spread_draw(of, s->in->key, (uint64_t)stream, i);
}

static double constant(const sources *s, int id, size_t i) { return draw(s, &s->constant[id], STREAM_CONSTANTS + id, i); }

static double price(const sources *s, tufa_price id, size_t i)
{
    return spread_draw(&s->price[id], s->in->price_key, (uint64_t)(STREAM_PRICES + (int)id), i);
}

/* Wilson and Hilferty 1931: the cube root of a gamma variable is close to normal. */
static double gamma_at(double shape, double rate, double z)
{
    double c = 1.0 - 1.0 / (9.0 * shape) + z / (3.0 * sqrt(shape));
    return fmax(0.0, shape * c * c * c) / rate;
}

static double fuel_usd_J(const world *w, tufa_fuel fuel, double propane_usd_gal)
{
    switch (fuel) {
    case TUFA_ELECTRIC: return w->electricity_usd_J;
    case TUFA_GAS: return w->gas_usd_J;
    case TUFA_PROPANE: return propane_usd_gal / PROPANE_J_GAL;
    case TUFA_FUEL_COUNT: break;
    }
    return 0.0;
}

static void draw_prices(const sources *s, size_t i, world *w)
{
    double share = fmin(1.0, fmax(0.0, draw(s, &s->trip_share, STREAM_OTHER, i)));
    w->own_hour = price(s, TUFA_PRICE_OWN_HOUR, i);
    w->trip = share * price(s, TUFA_PRICE_MILE, i) * price(s, TUFA_PRICE_TRIP, i);
    w->outage_day = price(s, TUFA_PRICE_OUTAGE_DAY, i) + price(s, TUFA_PRICE_GOODWILL, i);
    w->electricity_usd_J = price(s, TUFA_PRICE_ELECTRICITY, i) / J_from_kWh(1.0);
    w->gas_usd_J = price(s, TUFA_PRICE_GAS, i) / J_from_therm(1.0);
    w->fuel_usd_J = fuel_usd_J(w, s->in->ahead->heater.fuel, price(s, TUFA_PRICE_PROPANE, i));
    w->softener_year = price(s, TUFA_PRICE_SALT, i) + price(s, TUFA_PRICE_SOFTENER_WATER, i);
}

/* As its own metal was seen to go, else by Faraday with the water's conductivity. A softener keeps that up and lets no lime
 * grow over the bare spots. The usual one, which published lives hold, stands in water of the reference. */
static void draw_anode(const sources *s, size_t i, world *w)
{
    const tufa_money_in *in = s->in;
    double ref_A = constant(s, M_ANODE_A, i), S_m = said(in->conductivity_S_m) ? draw(s, &s->conductivity, STREAM_OTHER + 9, i) : TUFA_ANODE_REF_S_M;
    double current = tufa_anode_current_A(S_m, ref_A, constant(s, M_ANODE_POWER, i)), years = 5.0; /* the constants keep within its ranges */
    tufa_status st = tufa_anode_years(constant(s, M_ANODE_KG, i), fmin(10.0, fmax(1e-6, ref_A)), fmin(1.0, constant(s, M_ANODE_EFFICIENCY, i)),
                                      constant(s, M_ANODE_USABLE, i), &years);
    if (st.code != TUFA_OK) years = 5.0;
    w->anode_softened = constant(s, M_ANODE_SOFTENED, i);
    w->anode_usual = fmax(0.1, years);
    w->anode_life = fmax(0.1, years * ref_A / current * (1.0 - in->softened_share * (1.0 - w->anode_softened)));
    if (said(in->anode_life_years)) w->anode_life = fmax(0.1, draw(s, &s->anode_life, STREAM_OTHER + 10, i));
}

static void draw_heater(const sources *s, size_t i, world *w)
{
    const tufa_money_in *in = s->in;
    const tufa_ahead *a = in->ahead;
    w->age = a->draw_age_years[i];
    w->flux_W_m2 = a->heater.field[TUFA_HEATER_ELEMENT_FLUX].mid;
    w->per_10K = draw(s, &s->per_10K, STREAM_OTHER + 1, i);
    w->buried = fmax(1.0, draw(s, &s->buried, STREAM_OTHER + 2, i));
    double z = tufa_normal_quick(tufa_uniform(in->key, STREAM_OTHER + 3, i));
    w->base_year = gamma_at(in->element.shape, in->element.rate_years, z);
    w->calls_year[1] = constant(s, M_BURIED_CALLS, i);
    w->calls_year[0] = constant(s, M_RUMBLE_CALLS, i);
    for (int e = 0; e < 2; e++) w->bed_on_life[e] = fmax(1.0, draw(s, &s->bed_on_life[e], STREAM_OTHER + 8, i));
    draw_anode(s, i, w);
    w->anode_on_life = fmax(1.0, constant(s, M_ANODE_ON_LIFE, i));
    w->anode_age = said(in->anode_age_years) ? fmin(w->age, draw(s, &s->anode_age, STREAM_OTHER + 4, i)) : w->age;
    w->control = tufa_life_at(&in->control, tufa_uniform(in->key, STREAM_CONTROL, i), tufa_uniform(in->key, STREAM_CONTROL + 1, i));
    w->control_age = said(in->control_age_years) ? fmin(w->age, fmax(0.0, draw(s, &s->control_age, STREAM_CONTROL + 2, i))) : w->age;
    w->heat_pump_cop = fmax(1.0, constant(s, M_HEAT_PUMP_COP, i));
    w->low_density_W_m2 = constant(s, M_LOW_DENSITY_W_M2, i);
    w->flush_kg = constant(s, M_FLUSH_KG, i);
    w->full_port = fmin(1.0, constant(s, M_FULL_PORT, i));
}

static double failure_usd(const sources *s, const world *w, int hours, int days, size_t i)
{
    return constant(s, hours, i) * w->own_hour + constant(s, days, i) * w->outage_day + w->trip;
}

static void draw_failures(const sources *s, size_t i, world *w)
{
    w->damage_chance = fmin(1.0, fmax(0.0, draw(s, &s->damage_chance, STREAM_OTHER + 5, i)));
    w->damage_usd = price(s, TUFA_PRICE_LEAK_DAMAGE, i);
    w->leak_usd = failure_usd(s, w, M_LEAK_HOURS, M_LEAK_DAYS, i);
    w->element_usd = price(s, TUFA_PRICE_ELEMENT, i) + failure_usd(s, w, M_ELEMENT_HOURS, M_ELEMENT_DAYS, i);
    w->call_usd = failure_usd(s, w, M_CALL_HOURS, M_CALL_DAYS, i);
    double control = failure_usd(s, w, M_CONTROL_HOURS, M_CONTROL_DAYS, i);
    w->control_usd[1] = price(s, TUFA_PRICE_THERMOSTAT, i) + control;
    w->control_usd[0] = price(s, TUFA_PRICE_GAS_CONTROL, i) + control;
}

/* Beyond what a cleaning takes: elements are out already, and the anode shares the drive and the closing. Judgement. */
static const double ELEMENTS_MORE_HOURS = 0.5, ANODE_SHARE = 0.8;

static void draw_hours(const sources *s, size_t i, world *w)
{
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        w->hours[c] = draw(s, &s->hours[c], STREAM_CHOICES + 2 * c, i);
        w->left_share[c] = s->left_share[c].mid > 0.0 ? fmin(1.0, fmax(0.0, draw(s, &s->left_share[c], STREAM_CHOICES + 2 * c + 1, i))) : 1.0;
    }
    w->hours[TUFA_CHOICE_ELEMENTS] = w->hours[TUFA_CHOICE_CLEAN] + ELEMENTS_MORE_HOURS;
    w->hours[TUFA_CHOICE_CLEAN_ANODE] = w->hours[TUFA_CHOICE_CLEAN] + ANODE_SHARE * w->hours[TUFA_CHOICE_ANODE];
    w->left_share[TUFA_CHOICE_ELEMENTS] = w->left_share[TUFA_CHOICE_CLEAN_ANODE] = w->left_share[TUFA_CHOICE_CLEAN];
}

static void draw_spend(const sources *s, size_t i, world *w)
{
    int electric = s->in->ahead->heater.fuel == TUFA_ELECTRIC;
    double *spend = w->spend, valve = price(s, TUFA_PRICE_DRAIN_VALVE, i), anode = price(s, TUFA_PRICE_ANODE, i);
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) spend[c] = c == TUFA_CHOICE_LEAVE ? 0.0 : w->hours[c] * w->own_hour + w->trip;
    spend[TUFA_CHOICE_ELEMENTS] += price(s, TUFA_PRICE_ELEMENT, i) * constant(s, M_LOW_DENSITY_PRICE, i);
    spend[TUFA_CHOICE_ANODE] += anode;
    spend[TUFA_CHOICE_CLEAN_ANODE] += anode;
    spend[TUFA_CHOICE_CONTROL] += electric ? 2.0 * price(s, TUFA_PRICE_THERMOSTAT, i) : price(s, TUFA_PRICE_GAS_CONTROL, i);
    spend[TUFA_CHOICE_SOFTEN] += price(s, TUFA_PRICE_SOFTENER, i);
    double by_fuel[] = {price(s, TUFA_PRICE_UNIT_ELECTRIC, i), price(s, TUFA_PRICE_UNIT_GAS, i)};
    spend[TUFA_CHOICE_REPLACE] += by_fuel[!electric] + valve;
    spend[TUFA_CHOICE_TO_GAS] += by_fuel[1] + valve + price(s, TUFA_PRICE_TO_GAS, i);
    spend[TUFA_CHOICE_TO_ELECTRIC] += by_fuel[0] + valve + price(s, TUFA_PRICE_TO_ELECTRIC, i);
    spend[TUFA_CHOICE_TO_HEAT_PUMP] += price(s, TUFA_PRICE_UNIT_HEAT_PUMP, i) + valve + (electric ? 0.0 : price(s, TUFA_PRICE_TO_ELECTRIC, i));
    w->like_usd[0] = w->hours[TUFA_CHOICE_REPLACE] * w->own_hour + w->trip + by_fuel[1] + valve;
    w->like_usd[1] = w->hours[TUFA_CHOICE_REPLACE] * w->own_hour + w->trip + by_fuel[0] + valve;
    w->like_usd[2] = w->hours[TUFA_CHOICE_TO_HEAT_PUMP] * w->own_hour + w->trip + price(s, TUFA_PRICE_UNIT_HEAT_PUMP, i) + valve;
}

static tufa_weibull draw_life(const sources *s, size_t i)
{
    return tufa_life_at(&s->in->life, tufa_uniform(s->in->key, STREAM_OTHER + 7, i), tufa_uniform(s->in->key, STREAM_OTHER + 6, i));
}

/* A tank that stands at its age more likely has one of the longer lives: the drawn lives are taken again by their
 * chance to have come so far. The next tank has a life drawn afresh. */
static tufa_status draw_lives(worlds *ws, const sources *s, tufa_arena *arena)
{
    double *weight = tufa_arena_take(arena, ws->n, sizeof *weight), sum = 0.0;
    if (!weight) return trouble(TUFA_MEMORY, "arena", NULL);
    for (size_t i = 0; i < ws->n; i++) {
        ws->w[i].fresh = draw_life(s, i);
        weight[i] = fmax(1e-200, tufa_weibull_survival(&ws->w[i].fresh, ws->w[i].age));
        sum += weight[i];
    }
    double run = weight[0];
    size_t i = 0;
    for (size_t j = 0; j < ws->n; j++) {
        double at = sum * ((double)j + 0.5) / (double)ws->n;
        while (run < at && i + 1 < ws->n) run += weight[++i];
        /* spread over the draws, so that long lives do not all fall on the last of them */
        ws->w[(j * 7919u) % ws->n].tank = ws->w[i].fresh;
    }
    return OK;
}

static tufa_status draw_luck(worlds *ws, tufa_arena *arena)
{
    size_t n = ws->n;
    uint64_t key = ws->in->key;
    ws->luck_steps = (int)(STEPS_YEAR * ws->in->years);
    ws->tank_u = tufa_arena_take(arena, n, sizeof(double));
    ws->damage_u = tufa_arena_take(arena, n, sizeof(double));
    ws->element_u = tufa_arena_take(arena, n * (size_t)ws->luck_steps, sizeof(double));
    if (!ws->tank_u || !ws->damage_u || !ws->element_u) return trouble(TUFA_MEMORY, "arena", NULL);
    for (size_t i = 0; i < n; i++) {
        ws->tank_u[i] = tufa_uniform(key, STREAM_LUCK, i);
        ws->damage_u[i] = tufa_uniform(key, STREAM_LUCK + 1, i);
    }
    for (size_t i = 0; i < n * (size_t)ws->luck_steps; i++) ws->element_u[i] = tufa_uniform(key, STREAM_LUCK + 2, i);
    return OK;
}

/* Money without end needs a rate above nothing. */
static const double LEAST_DISCOUNT = 0.005;

tufa_status draw_worlds(worlds *ws, tufa_arena *arena)
{
    if (!(ws->w = tufa_arena_take(arena, ws->n, sizeof *ws->w))) return trouble(TUFA_MEMORY, "arena", NULL);
    sources s;
    make_ready(ws->in, &s);
    ws->back = pow(1.0 + fmax(LEAST_DISCOUNT, ws->in->prices.usd[TUFA_PRICE_DISCOUNT].mid), -STEP_YEARS);
    ws->back_half = sqrt(ws->back);
    for (size_t i = 0; i < ws->n; i++) {
        draw_prices(&s, i, &ws->w[i]);
        draw_heater(&s, i, &ws->w[i]);
        draw_failures(&s, i, &ws->w[i]);
        draw_hours(&s, i, &ws->w[i]);
        draw_spend(&s, i, &ws->w[i]);
    }
    RETURN_IF(draw_lives(ws, &s, arena));
    RETURN_IF(draw_luck(ws, arena));
    for (size_t i = 0; i < ws->n; i++) {
        ws->w[i].log_scale[0] = log(ws->w[i].tank.scale_years);
        ws->w[i].log_scale[1] = log(ws->w[i].fresh.scale_years);
    }
    return OK;
}

double tufa_money_price_draw(const tufa_money_in *in, tufa_price p, size_t i)
{
    spread s = spread_of(in->prices.usd[p]);
    return spread_draw(&s, in->price_key, (uint64_t)(STREAM_PRICES + (int)p), i);
}

double tufa_money_damage_draw(const tufa_money_in *in, size_t i)
{
    spread s = said_or(in->leak_damage_chance, spread_of(CONSTANTS[M_DAMAGE_CHANCE]));
    return fmin(1.0, fmax(0.0, spread_draw(&s, in->key, STREAM_OTHER + 5, i)));
}
