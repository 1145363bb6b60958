#include "core/base/sources.h"
#include "core/base/units.h"
#include "tufa/tank.h"

#include <math.h>

/* Minutes, gallons and gallons a minute as the regulation prints them, in SI at compile time. */
#define GAL 3.785411784e-3
#define MINUTES 60.0
enum { MOST = 16 };
typedef struct printed_draw {
    double min, gal, gpm;
} printed_draw;
typedef struct pattern_row {
    int source;
    const char *name;
    printed_draw draw[MOST];
} pattern_row;

static const pattern_row PATTERNS[TUFA_PATTERN_COUNT] = {
#define X(id, source, name, ...) [TUFA_PATTERN_##id] = {source, name, {__VA_ARGS__}},
#include "core/tank/patterns.def"
#undef X
};

size_t tufa_tank_pattern_draws(tufa_tank_pattern p, tufa_tank_draw *out)
{
    size_t n = 0;
    if ((unsigned)p >= TUFA_PATTERN_COUNT) return 0;
    for (const printed_draw *d = PATTERNS[p].draw; n < MOST && d[n].gal > 0.0; n++)
        out[n] = (tufa_tank_draw){.start_s = MINUTES * d[n].min, .volume_m3 = GAL * d[n].gal,
                                  .flow_m3_s = GAL / MINUTES * d[n].gpm};
    return n;
}

const char *tufa_tank_pattern_name(tufa_tank_pattern p)
{
    return (unsigned)p < TUFA_PATTERN_COUNT ? PATTERNS[p].name : "";
}

static double daily(tufa_tank_pattern p)
{
    tufa_tank_draw d[TUFA_TANK_MAX_DRAWS];
    size_t n = tufa_tank_pattern_draws(p, d);
    double sum = 0.0;
    for (size_t i = 0; i < n; i++) sum += d[i].volume_m3;
    return sum;
}

/* Nearest by ratio, since the patterns step by ratios. */
size_t tufa_tank_draws_for(double daily_m3, tufa_tank_draw *out)
{
    if (!(daily_m3 > 0.0)) return 0;
    tufa_tank_pattern best = TUFA_PATTERN_VERY_SMALL;
    for (int p = 0; p < TUFA_PATTERN_COUNT; p++)
        if (fabs(log(daily_m3 / daily((tufa_tank_pattern)p))) < fabs(log(daily_m3 / daily(best)))) best = (tufa_tank_pattern)p;
    size_t n = tufa_tank_pattern_draws(best, out);
    double scale = daily_m3 / daily(best);
    for (size_t i = 0; i < n; i++) out[i].volume_m3 *= scale;
    return n;
}

/* Inlet 14.4 C (58 F) as in the test procedure, swing and coldest day an assumption; room 67.5 F. */
tufa_tank_season tufa_tank_season_default(void)
{
    return (tufa_tank_season){.inlet_mean_K = K_from_F(58.0), .inlet_swing_K = 6.0, .ambient_mean_K = K_from_F(67.5),
                              .coldest_day = 45.0};
}

static double swing(double day, double coldest) { return cos(6.283185307179586 * (day - coldest) / 365.0); }

double tufa_tank_season_inlet_K(const tufa_tank_season *s, double day)
{
    return s->inlet_mean_K - s->inlet_swing_K * swing(day, s->coldest_day);
}

double tufa_tank_season_ambient_K(const tufa_tank_season *s, double day)
{
    return s->ambient_mean_K - s->ambient_swing_K * swing(day, s->coldest_day);
}
