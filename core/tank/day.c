/* A day that repeats itself, and the table of such days that long forecasts read. */
#include "core/base/status.h"
#include "core/base/units.h"
#include "core/tank/rate.h"

#include <math.h>
#include <string.h>

static const double DAY_S = 86400.0;
enum { WARM_UP_DAYS = 1, MEASURED_DAYS = 3 }; /* several, since a day may hold one thermostat cycle more or less */

static void tell_health(const tufa_tank_result *r, int n, tufa_tank_day *d)
{
    d->kill_bottom_log10 = r->kill_log10[0] / MEASURED_DAYS;
    d->growth_bottom_s = r->growth_s[0] / MEASURED_DAYS;
    for (int i = 0; i < n; i++) {
        d->growth_s = fmax(d->growth_s, r->growth_s[i] / MEASURED_DAYS);
        d->growth_mean_s += r->growth_s[i] / (MEASURED_DAYS * n);
    }
}

static tufa_tank_day per_day(const tufa_tank_model *m, const tufa_tank_result *r)
{
    const double k = 1.0 / MEASURED_DAYS;
    tufa_tank_day d = {
        .in_J = k * (r->in_J - r->stored_J / m->efficiency), /* what was stored meanwhile is not the day's own */
        .delivered_J = k * r->delivered_J, .drawn_m3 = k * r->drawn_m3, .flue_J = k * r->flue_J,
        .relief_J = k * r->relief_J, .relief_m3 = k * r->relief_m3, .above_40_m3 = k * r->above_40_m3,
        .min_outlet_K = r->min_outlet_K, .mean_outlet_K = r->mean_outlet_K, .max_outlet_K = r->max_outlet_K,
        .mean_K = r->mean_K, .lower_on_s = k * r->lower_on_s, .upper_on_s = k * r->upper_on_s,
        .skin_K = r->skin_K, .plate_K = r->plate_K, .noise_margin_K = r->noise_margin_K, .efficiency = m->efficiency};
    d.lost_J = d.in_J - d.delivered_J;
    tell_health(r, m->n, &d);
    return d;
}

tufa_status tufa_tank_typical_day(const tufa_tank *tank, const tufa_tank_change *changes, size_t n,
                                  const tufa_tank_use *use, double inlet_K, double ambient_K, tufa_tank_day *out)
{
    tufa_tank_model m;
    tufa_tank_state s;
    tufa_tank_result r;
    tufa_tank at = *tank;
    at.inlet_K = inlet_K;
    at.ambient_K = ambient_K;
    tufa_tank_run warm = {.duration_s = WARM_UP_DAYS * DAY_S}, run = {.duration_s = MEASURED_DAYS * DAY_S};
    RETURN_IF(tufa_tank_build(&at, changes, n, &m));
    RETURN_IF(tufa_tank_start(&m, m.tank.setpoint_K, &s));
    RETURN_IF(tufa_tank_simulate(&m, use, &warm, &s, &r));
    RETURN_IF(tufa_tank_simulate(&m, use, &run, &s, &r));
    tufa_tank_day d = per_day(&m, &r);
    sim x;
    sim_begin(&x, &m, &s);
    draw_off(&x, test_flow_m3_s(&at), at.volume_m3); /* wherever the thermostats stood in their cycle, the draw begins alike */
    run_to_cutout(&x, false, 0.5 * DAY_S);
    d.first_draw_m3 = draw_down(&x, test_flow_m3_s(&at), 0.0, INFINITY).drawn_m3;
    *out = d;
    return OK;
}

/* ---- the table ---- */

typedef struct entry {
    uint64_t key[2];
    tufa_tank_day day;
} entry;

/* Shares of the tank that a bed takes up, at which days are simulated; between them they are interpolated. */
static const double BANDS[TUFA_TANK_BED_BANDS] = {0.0, 0.02, 0.04, 0.07, 0.10, 0.14, 0.19, 0.22, 0.25, 0.32, 0.40, 0.50, 0.60};

size_t tufa_tank_cache_bytes(size_t entries) { return entries * sizeof(entry); }

tufa_status tufa_tank_cache_init(void *memory, size_t bytes, tufa_tank_cache *out)
{
    if (!memory || bytes < 2 * sizeof(entry) || (uintptr_t)memory % _Alignof(entry) != 0)
        return trouble(TUFA_MEMORY, "memory", "room for at least two days, aligned as a double, is needed");
    memset(memory, 0, bytes); /* an entry whose key is zero is free */
    *out = (tufa_tank_cache){.entries = memory, .room = bytes / sizeof(entry)};
    return OK;
}

/* Two chains of multiply and mix over the bits of every number that matters (splitmix64 finalizer, Steele, Lea, Flood
 * 2014); 128 bits together, so that two different questions do not meet in practice. */
typedef struct mixer {
    uint64_t a, b;
} mixer;

static uint64_t scramble(uint64_t z)
{
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

static void mix(mixer *m, double x)
{
    uint64_t bits;
    memcpy(&bits, &x, sizeof bits);
    m->a = scramble(m->a ^ bits);
    m->b = scramble(m->b + 0x9e3779b97f4a7c15u + bits);
}

static void mix_tank(mixer *m, const tufa_tank *t)
{
    const double numbers[] = {
        t->fuel, t->layers, t->volume_m3, t->height_m, t->loss_W_K, t->loss_top_share, t->conductivity_W_m_K, t->lower_W, t->upper_W,
        t->lower_height_m, t->upper_height_m, t->lower_sensor_m, t->upper_sensor_m, t->element_W_m2, t->setpoint_K,
        t->differential_K, t->sensor_lag_s, t->limit_K, t->relief_K, t->inlet_height_m, t->mixing_m3, t->mixing_flow_m3_s,
        t->burner_W, t->recovery_efficiency, t->pilot_W, t->bed_W_m_K, t->bed_cover_m, t->scale_m, t->scale_W_m_K, t->line_Pa,
        t->closed_system, t->expansion_m3, t->breaker_A, t->leak_W, t->leak_height_m, t->density_kg_m3, t->heat_capacity_J_kg_K};
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) mix(m, numbers[i]);
}

static mixer key_of(const tufa_tank *t, const tufa_tank_use *use, double inlet_K, double ambient_K)
{
    mixer m = {1, 2};
    mix_tank(&m, t);
    mix(&m, inlet_K);
    mix(&m, ambient_K);
    if (!use) return m;
    mix(&m, use->tempered_K);
    for (size_t i = 0; i < use->n; i++) mix(&m, use->draws[i].start_s), mix(&m, use->draws[i].volume_m3), mix(&m, use->draws[i].flow_m3_s);
    return m;
}

/* Four places for each key; the one that is free, or the next in turn, takes a new day. */
enum { PLACES = 4 };

static tufa_status day_at_share(tufa_tank_cache *c, const tufa_tank *tank, mixer key, double share, const tufa_tank_use *use,
                                double inlet_K, double ambient_K, tufa_tank_day *out)
{
    entry *entries = c->entries;
    mix(&key, share);
    size_t at = (size_t)(key.a % c->room), place = c->room;
    for (size_t k = 0; k < PLACES; k++) {
        entry *e = &entries[(at + k) % c->room];
        if (e->key[0] == key.a && e->key[1] == key.b) {
            c->hits++;
            *out = e->day;
            return OK;
        }
        if (e->key[0] == 0 && e->key[1] == 0 && place == c->room) place = (at + k) % c->room;
    }
    tufa_tank with = *tank;
    tufa_tank_day day;
    with.bed_m3 = share * tank->volume_m3;
    RETURN_IF(tufa_tank_typical_day(&with, NULL, 0, use, inlet_K, ambient_K, &day));
    if (place == c->room) place = (at + c->next++ % PLACES) % c->room;
    else c->used++;
    entries[place] = (entry){.key = {key.a, key.b}, .day = day};
    c->misses++;
    *out = day;
    return OK;
}

/* Every member of a day is a double, so that days are weighted sums of each other. */
enum { MEMBERS = sizeof(tufa_tank_day) / sizeof(double) };

static void add_day(tufa_tank_day *sum, double weight, const tufa_tank_day *d)
{
    double s[MEMBERS], v[MEMBERS];
    memcpy(s, sum, sizeof s);
    memcpy(v, d, sizeof v);
    for (size_t i = 0; i < MEMBERS; i++) s[i] += weight * v[i];
    memcpy(sum, s, sizeof s);
}

static const double FINE_SHARE = 0.0005;

static bool alike(const tufa_tank_day *a, const tufa_tank_day *b)
{
    return fabs(a->in_J - b->in_J) <= 0.04 * (a->in_J + b->in_J) / 2.0 && fabs(a->mean_K - b->mean_K) < 1.5 &&
           fabs(a->first_draw_m3 - b->first_draw_m3) <= 0.12 * a->first_draw_m3;
}

tufa_status tufa_tank_cached_day(tufa_tank_cache *c, const tufa_tank *tank, double bed_m3, const tufa_tank_use *use,
                                 double inlet_K, double ambient_K, tufa_tank_day *out)
{
    RETURN_IF(in_range("bed_m3", bed_m3, 0.0, BANDS[TUFA_TANK_BED_BANDS - 1] * tank->volume_m3));
    double share = bed_m3 / tank->volume_m3;
    int lo = 0;
    while (lo + 2 < TUFA_TANK_BED_BANDS && share > BANDS[lo + 1]) lo++;
    double up = (share - BANDS[lo]) / (BANDS[lo + 1] - BANDS[lo]);
    mixer key = key_of(tank, use, inlet_K, ambient_K);
    tufa_tank_day day = {0}, below, above;
    RETURN_IF(day_at_share(c, tank, key, BANDS[lo], use, inlet_K, ambient_K, &below));
    RETURN_IF(day_at_share(c, tank, key, BANDS[lo + 1], use, inlet_K, ambient_K, &above));
    bool buried = BANDS[lo + 1] * tank->height_m > tank->lower_sensor_m; /* short cycles, which no straight line follows */
    if (!buried && alike(&below, &above)) {
        add_day(&day, 1.0 - up, &below);
        add_day(&day, up, &above);
    } else {
        RETURN_IF(day_at_share(c, tank, key, floor(share / FINE_SHARE + 0.5) * FINE_SHARE, use, inlet_K, ambient_K, &day));
    }
    *out = day;
    return OK;
}

tufa_status tufa_tank_cached_year(tufa_tank_cache *c, const tufa_tank *tank, double bed_m3, const tufa_tank_use *use,
                                  const tufa_tank_season *season, tufa_tank_day *out)
{
    enum { MONTHS = 12 };
    tufa_tank_day sum = {0}, d, worst = {0};
    for (int i = 0; i < MONTHS; i++) {
        double day = (i + 0.5) * 365.0 / MONTHS;
        RETURN_IF(tufa_tank_cached_day(c, tank, bed_m3, use, tufa_tank_season_inlet_K(season, day),
                                       tufa_tank_season_ambient_K(season, day), &d));
        add_day(&sum, 365.0 / MONTHS, &d);
        if (i == 0 || d.min_outlet_K < worst.min_outlet_K) worst.min_outlet_K = d.min_outlet_K;
        if (i == 0 || d.first_draw_m3 < worst.first_draw_m3) worst.first_draw_m3 = d.first_draw_m3;
        worst.max_outlet_K = fmax(worst.max_outlet_K, d.max_outlet_K);
        worst.skin_K = fmax(worst.skin_K, d.skin_K);
        worst.plate_K = fmax(worst.plate_K, d.plate_K);
        if (i == 0 || d.noise_margin_K > worst.noise_margin_K) worst.noise_margin_K = d.noise_margin_K;
    }
    sum.mean_outlet_K /= 365.0, sum.mean_K /= 365.0, sum.efficiency /= 365.0;
    sum.min_outlet_K = worst.min_outlet_K, sum.max_outlet_K = worst.max_outlet_K, sum.first_draw_m3 = worst.first_draw_m3;
    sum.skin_K = worst.skin_K, sum.plate_K = worst.plate_K, sum.noise_margin_K = worst.noise_margin_K;
    *out = sum;
    return OK;
}
