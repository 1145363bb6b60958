/* What the costs of one heater follow from, drawn beside the draws of the view ahead. */
#include "core/base/sources.h"
#include "core/base/spread.h"
#include "core/base/status.h"
#include "core/base/units.h"
#include "core/money/constants.h"
#include "core/money/inner.h"

#include <math.h>

static const double PROPANE_J_GAL = 91500.0 * 1055.05585262; /* 91,500 Btu a US gallon; common practice, no source */
enum { STREAM_PRICES = 1000, STREAM_CONSTANTS = 2000, STREAM_CHOICES = 2100, STREAM_OTHER = 2200 };

static const tufa_value CONSTANTS[M_COUNT] = {
#define X(id, src, m, l, h, what) [M_##id] = {m, l, h, TUFA_BASIS_DEFAULT},
    MONEY_CONSTANTS(X)
#undef X
};

/* Everything that is drawn, made ready once for a heater. */
typedef struct sources {
    const tufa_money_in *in;
    spread constant[M_COUNT], price[TUFA_PRICE_COUNT], hours[TUFA_CHOICE_COUNT], left_share[TUFA_CHOICE_COUNT];
    spread trip_share, per_10K, buried, anode_age, damage_chance, bed_on_life, conductivity, anode_life;
} sources;

static void make_ready(const tufa_money_in *in, sources *s)
{
    s->in = in;
    for (int k = 0; k < M_COUNT; k++) s->constant[k] = spread_of(CONSTANTS[k]);
    for (int k = 0; k < TUFA_PRICE_COUNT; k++) s->price[k] = spread_of(in->prices.usd[k]);
    for (int k = 0; k < TUFA_CHOICE_COUNT; k++) {
        s->hours[k] = spread_of(tufa_choice_at((tufa_choice)k)->hours);
        s->left_share[k] = spread_of(tufa_choice_at((tufa_choice)k)->left_share);
    }
    tufa_value whole = {.mid = 1.0, .lo = 1.0, .hi = 1.0};
    s->trip_share = spread_of(in->trip_share.basis == TUFA_BASIS_NONE ? whole : in->trip_share);
    s->per_10K = spread_of(in->element.per_10K);
    s->buried = spread_of(in->element.buried);
    s->anode_age = spread_of(in->anode_age_years);
    s->damage_chance = in->leak_damage_chance.basis == TUFA_BASIS_NONE ? s->constant[M_DAMAGE_CHANCE]
                                                                       : spread_of(in->leak_damage_chance);
    s->bed_on_life = spread_of(in->bed_on_life.basis == TUFA_BASIS_NONE ? tufa_bed_on_life_default(in->ahead->heater.fuel) : in->bed_on_life);
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

static double fuel_usd_J(const sources *s, size_t i)
{
    switch (s->in->ahead->heater.fuel) {
    case TUFA_ELECTRIC: return price(s, TUFA_PRICE_ELECTRICITY, i) / J_from_kWh(1.0);
    case TUFA_GAS: return price(s, TUFA_PRICE_GAS, i) / J_from_therm(1.0);
    case TUFA_PROPANE: return price(s, TUFA_PRICE_PROPANE, i) / PROPANE_J_GAL;
    case TUFA_FUEL_COUNT: break;
    }
    return 0.0;
}

static void draw_prices(const sources *s, size_t i, world *w)
{
    int electric = s->in->ahead->heater.fuel == TUFA_ELECTRIC;
    double share = fmin(1.0, fmax(0.0, draw(s, &s->trip_share, STREAM_OTHER, i)));
    w->own_hour = price(s, TUFA_PRICE_OWN_HOUR, i);
    w->trip = share * price(s, TUFA_PRICE_MILE, i) * price(s, TUFA_PRICE_TRIP, i);
    w->outage_day = price(s, TUFA_PRICE_OUTAGE_DAY, i);
    w->element = price(s, TUFA_PRICE_ELEMENT, i);
    w->anode = price(s, TUFA_PRICE_ANODE, i);
    w->unit = price(s, electric ? TUFA_PRICE_UNIT_ELECTRIC : TUFA_PRICE_UNIT_GAS, i);
    w->damage = price(s, TUFA_PRICE_LEAK_DAMAGE, i);
    w->discount = fmax(1e-4, price(s, TUFA_PRICE_DISCOUNT, i));
    w->fuel_year = s->in->ahead->draw_energy_J_year[i] * fuel_usd_J(s, i);
}

/* As its own metal was seen to go, else by Faraday with the water's conductivity. A softener keeps that up and lets no lime
 * grow over the bare spots. */
static double anode_life(const sources *s, size_t i)
{
    if (s->in->anode_life_years.basis != TUFA_BASIS_NONE) return fmax(0.1, draw(s, &s->anode_life, STREAM_OTHER + 10, i));
    double years = 0.0, S_m = s->in->conductivity_S_m.basis == TUFA_BASIS_NONE ? TUFA_ANODE_REF_S_M : draw(s, &s->conductivity, STREAM_OTHER + 9, i);
    double current = tufa_anode_current_A(S_m, constant(s, M_ANODE_A, i), constant(s, M_ANODE_POWER, i));
    double softened = 1.0 - s->in->softened_share * (1.0 - constant(s, M_ANODE_SOFTENED, i));
    tufa_status st = tufa_anode_years(constant(s, M_ANODE_KG, i), fmin(10.0, fmax(1e-6, current)), fmin(1.0, constant(s, M_ANODE_EFFICIENCY, i)),
                                      constant(s, M_ANODE_USABLE, i), &years);
    return st.code == TUFA_OK ? fmax(0.1, years * softened) : 5.0; /* the constants keep within its ranges */
}

static void draw_heater(const sources *s, size_t i, world *w)
{
    const tufa_money_in *in = s->in;
    const tufa_ahead *a = in->ahead;
    int electric = a->heater.fuel == TUFA_ELECTRIC;
    w->age = a->draw_age_years[i];
    w->kg = a->draw_kg[i];
    w->kg_year = a->draw_kg_year[i];
    w->trouble_kg = a->draw_trouble_kg[i];
    w->loss_per_kg = a->draw_loss_per_kg[i];
    w->rise_K = a->draw_scale_rise_K[i];
    w->flux_W_m2 = a->heater.field[TUFA_HEATER_ELEMENT_FLUX].mid;
    w->per_10K = draw(s, &s->per_10K, STREAM_OTHER + 1, i);
    w->buried = fmax(1.0, draw(s, &s->buried, STREAM_OTHER + 2, i));
    double z = tufa_normal_quick(tufa_uniform(in->key, STREAM_OTHER + 3, i));
    w->base_year = electric ? gamma_at(in->element.shape, in->element.rate_years, z) : 0.0;
    w->calls_year = constant(s, electric ? M_BURIED_CALLS : M_RUMBLE_CALLS, i);
    w->bed_on_life = draw(s, &s->bed_on_life, STREAM_OTHER + 8, i);
    w->anode_life = anode_life(s, i);
    w->anode_worn_share = fmin(1.0, constant(s, M_ANODE_WORN, i));
    w->anode_on_life = fmax(1.0, constant(s, M_ANODE_ON_LIFE, i));
    w->anode_age = in->anode_age_years.basis == TUFA_BASIS_NONE ? w->age
                                                                : fmin(w->age, draw(s, &s->anode_age, STREAM_OTHER + 4, i));
}

static void draw_habits(const sources *s, size_t i, world *w)
{
    w->damage_chance = fmin(1.0, fmax(0.0, draw(s, &s->damage_chance, STREAM_OTHER + 5, i)));
    w->leak_days = constant(s, M_LEAK_DAYS, i);
    w->leak_hours = constant(s, M_LEAK_HOURS, i);
    w->element_hours = constant(s, M_ELEMENT_HOURS, i);
    w->element_days = constant(s, M_ELEMENT_DAYS, i);
    w->call_hours = constant(s, M_CALL_HOURS, i);
    w->call_days = constant(s, M_CALL_DAYS, i);
    w->low_density_W_m2 = constant(s, M_LOW_DENSITY_W_M2, i);
    w->low_density_price = constant(s, M_LOW_DENSITY_PRICE, i);
    w->flush_kg = constant(s, M_FLUSH_KG, i);
    w->phone_hours = constant(s, M_PHONE_HOURS, i);
    for (int c = 0; c < TUFA_CHOICE_COUNT; c++) {
        w->hours[c] = draw(s, &s->hours[c], STREAM_CHOICES + 2 * c, i);
        w->left_share[c] = s->left_share[c].mid > 0.0 ? fmin(1.0, draw(s, &s->left_share[c], STREAM_CHOICES + 2 * c + 1, i)) : 1.0;
    }
}

static tufa_weibull draw_life(const sources *s, size_t i, double *mean)
{
    tufa_weibull w = tufa_life_at(&s->in->life, tufa_uniform(s->in->key, STREAM_OTHER + 7, i), tufa_uniform(s->in->key, STREAM_OTHER + 6, i));
    *mean = tufa_weibull_mean(&w);
    return w;
}

/* A tank that stands at its age more likely has one of the longer lives: the drawn lives are taken again by their
 * chance to have come so far. The next tank has a life drawn afresh. */
static tufa_status draw_lives(worlds *ws, const sources *s, tufa_arena *arena)
{
    tufa_weibull *life = tufa_arena_take(arena, ws->n, sizeof *life);
    double *weight = tufa_arena_take(arena, ws->n, sizeof *weight), sum = 0.0;
    if (!life || !weight) return trouble(TUFA_MEMORY, "arena", NULL);
    for (size_t i = 0; i < ws->n; i++) {
        life[i] = draw_life(s, i, &ws->w[i].new_life);
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
    sources s;
    make_ready(ws->in, &s);
    for (size_t i = 0; i < ws->n; i++) {
        draw_prices(&s, i, &ws->w[i]);
        draw_heater(&s, i, &ws->w[i]);
        draw_habits(&s, i, &ws->w[i]);
    }
    for (int y = 0; y < ws->years; y++)
        for (size_t i = 0; i < ws->n; i++) ws->spent_usual[y] += (ws->w[i].age + y > ws->w[i].anode_life) / (double)ws->n;
    RETURN_IF(draw_lives(ws, &s, arena));
    for (size_t i = 0; i < ws->n; i++) spread_hazard(&ws->w[i], ws->years);
    return OK;
}
