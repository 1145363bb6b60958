/* What the costs of one heater follow from, drawn beside the draws of the view ahead. */
#include "core/base/sources.h"
#include "core/base/status.h"
#include "core/base/units.h"
#include "core/money/constants.h"
#include "core/money/inner.h"

#include <math.h>

static const double PROPANE_J_GAL = 91500.0 * 1055.05585262; /* 91,500 Btu a US gallon; common practice, no source */
static const double LIFE_LEAST = 2.0, SHAPE_LEAST = 0.8, SHAPE_MOST = 8.0;
enum { STREAM_PRICES = 1000, STREAM_CONSTANTS = 2000, STREAM_CHOICES = 2100, STREAM_OTHER = 2200 };

static const tufa_value CONSTANTS[M_COUNT] = {
#define X(id, src, m, l, h, what) [M_##id] = {m, l, h, TUFA_BASIS_DEFAULT},
    MONEY_CONSTANTS(X)
#undef X
};

static double draw(tufa_value v, uint64_t key, uint64_t stream, size_t i)
{
    return v.hi > v.lo ? tufa_value_at(v, tufa_uniform(key, stream, i)) : v.mid;
}

static double constant(const tufa_money_in *in, int id, size_t i)
{
    return draw(CONSTANTS[id], in->key, (uint64_t)(STREAM_CONSTANTS + id), i);
}

static double price(const tufa_money_in *in, tufa_price id, size_t i)
{
    return draw(in->prices.usd[id], in->price_key, (uint64_t)(STREAM_PRICES + (int)id), i);
}

/* Wilson and Hilferty 1931: the cube root of a gamma variable is close to normal. */
static double gamma_at(double shape, double rate, double z)
{
    double c = 1.0 - 1.0 / (9.0 * shape) + z / (3.0 * sqrt(shape));
    return fmax(0.0, shape * c * c * c) / rate;
}

static double fuel_usd_J(const tufa_money_in *in, size_t i)
{
    switch (in->ahead->heater.fuel) {
    case TUFA_ELECTRIC: return price(in, TUFA_PRICE_ELECTRICITY, i) / J_from_kWh(1.0);
    case TUFA_GAS: return price(in, TUFA_PRICE_GAS, i) / J_from_therm(1.0);
    case TUFA_PROPANE: return price(in, TUFA_PRICE_PROPANE, i) / PROPANE_J_GAL;
    case TUFA_FUEL_COUNT: break;
    }
    return 0.0;
}

static void draw_prices(const tufa_money_in *in, size_t i, world *w)
{
    int electric = in->ahead->heater.fuel == TUFA_ELECTRIC;
    double share = in->trip_share.basis == TUFA_BASIS_NONE ? 1.0 : draw(in->trip_share, in->key, STREAM_OTHER, i);
    w->own_hour = price(in, TUFA_PRICE_OWN_HOUR, i);
    w->trip = share * price(in, TUFA_PRICE_MILE, i) * price(in, TUFA_PRICE_TRIP, i);
    w->outage_day = price(in, TUFA_PRICE_OUTAGE_DAY, i);
    w->element = price(in, TUFA_PRICE_ELEMENT, i);
    w->anode = price(in, TUFA_PRICE_ANODE, i);
    w->unit = price(in, electric ? TUFA_PRICE_UNIT_ELECTRIC : TUFA_PRICE_UNIT_GAS, i);
    w->damage = price(in, TUFA_PRICE_LEAK_DAMAGE, i);
    w->discount = fmax(1e-4, price(in, TUFA_PRICE_DISCOUNT, i));
    w->fuel_year = in->ahead->draw_energy_J_year[i] * fuel_usd_J(in, i);
}

static void draw_heater(const tufa_money_in *in, size_t i, world *w)
{
    const tufa_ahead *a = in->ahead;
    int electric = a->heater.fuel == TUFA_ELECTRIC;
    w->age = a->draw_age_years[i];
    w->kg = a->draw_kg[i];
    w->kg_year = a->draw_kg_year[i];
    w->trouble_kg = a->draw_trouble_kg[i];
    w->loss_per_kg = a->draw_loss_per_kg[i];
    w->rise_K = a->draw_scale_rise_K[i];
    w->flux_W_m2 = a->heater.field[TUFA_HEATER_ELEMENT_FLUX].mid;
    w->per_10K = draw(in->element.per_10K, in->key, STREAM_OTHER + 1, i);
    w->buried = fmax(1.0, draw(in->element.buried, in->key, STREAM_OTHER + 2, i));
    double z = tufa_normal(in->key, STREAM_OTHER + 3, i);
    w->base_year = electric ? gamma_at(in->element.shape, in->element.rate_years, z) : 0.0;
    w->calls_year = constant(in, electric ? M_BURIED_CALLS : M_RUMBLE_CALLS, i);
    w->bed_on_life = constant(in, electric ? M_BED_ON_LIFE_ELECTRIC : M_BED_ON_LIFE_GAS, i);
    double softened = 1.0 - in->softened_share * (1.0 - constant(in, M_ANODE_SOFTENED, i));
    w->anode_life = constant(in, M_ANODE_YEARS, i) * softened;
    w->anode_on_life = fmax(1.0, constant(in, M_ANODE_ON_LIFE, i));
    w->anode_age = in->anode_age_years.basis == TUFA_BASIS_NONE
                       ? w->age : fmin(w->age, draw(in->anode_age_years, in->key, STREAM_OTHER + 4, i));
}

static void draw_habits(const tufa_money_in *in, size_t i, world *w)
{
    w->damage_chance = in->leak_damage_chance.basis == TUFA_BASIS_NONE ? constant(in, M_DAMAGE_CHANCE, i)
                                                                       : draw(in->leak_damage_chance, in->key, STREAM_OTHER + 5, i);
    w->damage_chance = fmin(1.0, fmax(0.0, w->damage_chance));
    w->leak_days = constant(in, M_LEAK_DAYS, i);
    w->leak_hours = constant(in, M_LEAK_HOURS, i);
    w->element_hours = constant(in, M_ELEMENT_HOURS, i);
    w->element_days = constant(in, M_ELEMENT_DAYS, i);
    w->call_hours = constant(in, M_CALL_HOURS, i);
    w->call_days = constant(in, M_CALL_DAYS, i);
    w->low_density_W_m2 = constant(in, M_LOW_DENSITY_W_M2, i);
    w->low_density_price = constant(in, M_LOW_DENSITY_PRICE, i);
    w->flush_kg = constant(in, M_FLUSH_KG, i);
    w->phone_hours = constant(in, M_PHONE_HOURS, i);
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        const tufa_choice_row *row = tufa_choice_at((tufa_choice)c);
        w->hours[c] = draw(row->hours, in->key, (uint64_t)(STREAM_CHOICES + 2 * c), i);
        w->left_share[c] = row->left_share.mid > 0.0
                               ? fmin(1.0, draw(row->left_share, in->key, (uint64_t)(STREAM_CHOICES + 2 * c + 1), i)) : 1.0;
    }
}

static tufa_weibull draw_life(const tufa_money_in *in, size_t i, double *mean)
{
    double shape = fmin(SHAPE_MOST, fmax(SHAPE_LEAST, draw(in->life.shape, in->key, STREAM_OTHER + 6, i)));
    *mean = fmax(LIFE_LEAST, draw(in->life.mean_years, in->key, STREAM_OTHER + 7, i));
    return (tufa_weibull){.shape = shape, .scale_years = *mean / tgamma(1.0 + 1.0 / shape)};
}

/* A tank that stands at its age more likely has one of the longer lives: the drawn lives are taken again by their
 * chance to have come so far. The next tank has a life drawn afresh. */
static tufa_status draw_lives(worlds *ws, tufa_arena *arena)
{
    tufa_weibull *life = tufa_arena_take(arena, ws->n, sizeof *life);
    double *weight = tufa_arena_take(arena, ws->n, sizeof *weight), sum = 0.0;
    if (!life || !weight) return trouble(TUFA_MEMORY, "arena", NULL);
    for (size_t i = 0; i < ws->n; i++) {
        life[i] = draw_life(ws->in, i, &ws->w[i].new_life);
        weight[i] = fmax(1e-200, tufa_weibull_survival(&life[i], ws->w[i].age));
        sum += weight[i];
    }
    double run = weight[0];
    size_t i = 0;
    for (size_t j = 0; j < ws->n; j++) {
        double at = sum * ((double)j + 0.5) / (double)ws->n;
        while (run < at && i + 1 < ws->n) run += weight[++i];
        /* spread over the draws, so that long lives do not all fall on the last of them */
        ws->w[(j * 7919u) % ws->n].tank = life[i];
    }
    return OK;
}

static void spread_hazard(world *w, int years)
{
    double before = pow(w->age / w->tank.scale_years, w->tank.shape);
    for (int y = 0; y < years; y++) {
        double after = pow((w->age + y + 1.0) / w->tank.scale_years, w->tank.shape);
        w->hazard[y] = after - before;
        before = after;
    }
}

tufa_status draw_worlds(worlds *ws, tufa_arena *arena)
{
    if (!(ws->w = tufa_arena_take(arena, ws->n, sizeof *ws->w))) return trouble(TUFA_MEMORY, "arena", NULL);
    for (size_t i = 0; i < ws->n; i++) {
        draw_prices(ws->in, i, &ws->w[i]);
        draw_heater(ws->in, i, &ws->w[i]);
        draw_habits(ws->in, i, &ws->w[i]);
    }
    for (int y = 0; y < ws->years; y++)
        for (size_t i = 0; i < ws->n; i++) ws->spent_usual[y] += (ws->w[i].age + y > ws->w[i].anode_life) / (double)ws->n;
    RETURN_IF(draw_lives(ws, arena));
    for (size_t i = 0; i < ws->n; i++) spread_hazard(&ws->w[i], ws->years);
    return OK;
}
