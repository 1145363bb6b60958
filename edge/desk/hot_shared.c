/* What many heaters give and cost, out of days that they share: what is known of each is rounded to bands, days are
 * simulated at a few beds and uses, and what lies between is drawn straight. */
#include "edge/desk/hot_shared.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"

enum { DAYS = 4096, RECOVERIES = 512, GAS_LAYERS = 40 };
static const double HALF_YEAR = 182.5, YEAR_DAYS = 365.0, LONGEST_S = 86400.0;

/* Beds as shares of the tank, closest where one reaches over a sensor; uses in m3 a day. */
static const double BED_AT[] = {0.0, 0.02, 0.04, 0.07, 0.10, 0.14, 0.19, 0.21, 0.23, 0.25, 0.28, 0.32, 0.40, 0.50, 0.60};
static const double USE_AT[] = {0.02, 0.06, 0.10, 0.15, 0.21, 0.31, 0.45, 0.70, 1.10, 2.0};

/* ---- the table ---- */

typedef struct recovery {
    double key[10], s;
} recovery;

tufa_status hot_table_init(hot_table *t)
{
    size_t bytes = tufa_tank_cache_bytes(DAYS);
    *t = (hot_table){.days_memory = malloc(bytes), .recoveries = calloc(RECOVERIES, sizeof(recovery))};
    if (!t->days_memory || !t->recoveries) return trouble(TUFA_MEMORY, "simulated days", NULL);
    return tufa_tank_cache_init(t->days_memory, bytes, &t->days);
}

void hot_table_free(hot_table *t)
{
    free(t->days_memory);
    free(t->recoveries);
    *t = (hot_table){0};
}

/* ---- like heaters are one ---- */

static double to_band(double x, double band) { return band * floor(x / band + 0.5); }

/* Bands are narrow beside what is known of a heater that was not measured: 1 L, 100 W, 1 % of a height. */
static tufa_tank like(const tufa_tank *t)
{
    double V = to_band(t->volume_m3, 1e-3);
    bool gas = t->fuel == TUFA_TANK_GAS;
    tufa_tank b = tufa_tank_like(t->fuel, V, to_band(gas ? t->burner_W : t->lower_W, 100.0), to_band(t->setpoint_K, 0.5));
    b.loss_W_K = to_band(t->loss_W_K, 0.1);
    b.recovery_efficiency = to_band(t->recovery_efficiency, 0.01);
    b.lower_height_m = b.height_m * to_band(t->lower_height_m / t->height_m, 0.01);
    b.upper_height_m = b.height_m * to_band(t->upper_height_m / t->height_m, 0.01);
    b.element_W_m2 = to_band(t->element_W_m2, 5e3);
    if (gas) b.layers = GAS_LAYERS; /* its days take four times an electric tank's, and its heat has no edge to meet */
    return b;
}

static tufa_tank_season like_season(const tufa_tank_season *s)
{
    return (tufa_tank_season){.inlet_mean_K = to_band(s->inlet_mean_K, 0.5), .inlet_swing_K = to_band(s->inlet_swing_K, 0.5),
                              .ambient_mean_K = to_band(s->ambient_mean_K, 0.5), .coldest_day = s->coldest_day};
}

/* Between which two of n places x lies, and how far up from the lower; beyond the ends, the end. */
typedef struct between {
    size_t lo;
    double up;
} between;

static between find(const double *at, size_t n, double x)
{
    size_t i = 0;
    while (i + 2 < n && x > at[i + 1]) i++;
    return (between){i, fmin(fmax((x - at[i]) / (at[i + 1] - at[i]), 0.0), 1.0)};
}

/* ---- one place of the grid ---- */

enum point_of { IN_J, FIRST_M3, HOTTEST_K, BOTTOM_S, MEAN_S, POINTS };
typedef struct point {
    double of[POINTS];
} point;

typedef struct grid {
    hot_table *table;
    tufa_tank tank;
    tufa_tank_season season;
    double tempered_K;
} grid;

/* The coldest and the warmest day: a year's energy is nearly linear in the inlet, and the worst is one of the two. */
static tufa_status at_place(const grid *g, double share, double use_m3, point *out)
{
    tufa_tank_draw draws[TUFA_TANK_MAX_DRAWS];
    tufa_tank_use use = {.draws = draws, .n = tufa_tank_draws_for(use_m3, draws), .tempered_K = g->tempered_K};
    tufa_tank_day d[2];
    for (int i = 0; i < 2; i++) {
        double day = g->season.coldest_day + i * HALF_YEAR;
        RETURN_IF(tufa_tank_cached_day(&g->table->days, &g->tank, share * g->tank.volume_m3, &use,
                                       tufa_tank_season_inlet_K(&g->season, day), tufa_tank_season_ambient_K(&g->season, day), &d[i]));
    }
    *out = (point){{[IN_J] = 0.5 * YEAR_DAYS * (d[0].in_J + d[1].in_J), [FIRST_M3] = fmin(d[0].first_draw_m3, d[1].first_draw_m3),
                    [HOTTEST_K] = fmax(d[0].max_outlet_K, d[1].max_outlet_K),
                    [BOTTOM_S] = 0.5 * (d[0].growth_bottom_s + d[1].growth_bottom_s),
                    [MEAN_S] = 0.5 * (d[0].growth_mean_s + d[1].growth_mean_s)}};
    return OK;
}

static tufa_status at_share(const grid *g, double share, double use_m3, point *out)
{
    between u = find(USE_AT, sizeof USE_AT / sizeof USE_AT[0], use_m3);
    point lo, hi;
    RETURN_IF(at_place(g, share, USE_AT[u.lo], &lo));
    RETURN_IF(at_place(g, share, USE_AT[u.lo + 1], &hi));
    for (int k = 0; k < POINTS; k++) out->of[k] = lo.of[k] + u.up * (hi.of[k] - lo.of[k]);
    return OK;
}

/* ---- recovery from all cold ---- */

static tufa_status recovery_at(const grid *g, double share, double *out)
{
    const tufa_tank *t = &g->tank;
    const recovery want = {.key = {t->fuel == TUFA_TANK_GAS ? 2.0 : 1.0, t->volume_m3, t->burner_W + t->lower_W, t->setpoint_K, t->loss_W_K, t->recovery_efficiency,
                                   t->lower_height_m, t->upper_height_m, g->season.inlet_mean_K, share}};
    unsigned char bytes[sizeof want.key];
    uint64_t h = 0xcbf29ce484222325u; /* FNV-1a */
    memcpy(bytes, want.key, sizeof bytes);
    for (size_t i = 0; i < sizeof bytes; i++) h = (h ^ bytes[i]) * 0x100000001b3u;
    recovery *kept = (recovery *)g->table->recoveries + (h ^ h >> 32) % RECOVERIES;
    if (memcmp(kept->key, want.key, sizeof want.key) != 0) {
        tufa_tank cold = *t;
        tufa_tank_model m;
        tufa_tank_state s;
        tufa_tank_result r;
        cold.bed_m3 = share * t->volume_m3;
        cold.inlet_K = g->season.inlet_mean_K;
        cold.ambient_K = g->season.ambient_mean_K;
        RETURN_IF(tufa_tank_build(&cold, NULL, 0, &m));
        RETURN_IF(tufa_tank_start(&m, cold.inlet_K, &s));
        RETURN_IF(tufa_tank_simulate(&m, NULL, &(tufa_tank_run){.duration_s = LONGEST_S}, &s, &r));
        *kept = want;
        kept->s = r.first_full_cutout_s;
    }
    *out = kept->s;
    return OK;
}

static tufa_status recovery_s(const grid *g, between bed, double *out)
{
    double lo, hi;
    RETURN_IF(recovery_at(g, BED_AT[bed.lo], &lo));
    RETURN_IF(recovery_at(g, BED_AT[bed.lo + 1], &hi));
    *out = lo > 0.0 && hi > 0.0 ? lo + bed.up * (hi - lo) : -1.0;
    return OK;
}

/* ---- one heater ---- */

tufa_status desk_hot_shared(hot_table *table, const tufa_heater *heater, const tufa_site *site, double setpoint_K, double draw_m3_day,
                            double bed_m3, hot_row *out)
{
    tufa_tank_season season;
    tufa_tank_ask ask = hot_ask_of(heater, site, setpoint_K, draw_m3_day, &season);
    tufa_tank tank = tufa_ahead_as_tank(&ask);
    grid g = {.table = table, .tank = like(&tank), .season = like_season(&season)};
    g.tempered_K = g.tank.setpoint_K;
    between bed = find(BED_AT, sizeof BED_AT / sizeof BED_AT[0], fmin(fmax(bed_m3 / tank.volume_m3, 0.0), HOT_MOST_BED_SHARE));
    point clean, lo, hi, now;
    double from_cold_s;
    RETURN_IF(at_share(&g, 0.0, draw_m3_day, &clean));
    RETURN_IF(at_share(&g, BED_AT[bed.lo], draw_m3_day, &lo));
    RETURN_IF(at_share(&g, BED_AT[bed.lo + 1], draw_m3_day, &hi));
    for (int k = 0; k < POINTS; k++) now.of[k] = lo.of[k] + bed.up * (hi.of[k] - lo.of[k]);
    RETURN_IF(recovery_s(&g, bed, &from_cold_s));
    double hottest_K = now.of[HOTTEST_K] + setpoint_K - g.tank.setpoint_K; /* the band's middle is not this heater's own setting */
    tufa_tank_burn adult = tufa_tank_burn_time(hottest_K, TUFA_PERSON_ADULT);
    *out = (hot_row){.setpoint_K = (float)setpoint_K, .first_draw_m3 = (float)now.of[FIRST_M3],
                     .first_draw_lost_m3 = (float)fmax(clean.of[FIRST_M3] - now.of[FIRST_M3], 0.0), .recovery_s = (float)from_cold_s,
                     .in_J_year = (float)now.of[IN_J], .in_J_year_clean = (float)clean.of[IN_J], .hottest_K = (float)hottest_K,
                     .scald_adult_s = adult.below_table ? -1.0F : (float)adult.time_s,
                     .growth_bottom_s = (float)now.of[BOTTOM_S], .growth_mean_s = (float)now.of[MEAN_S]};
    return OK;
}
