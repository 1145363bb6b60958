/* What the water can do to people: burns at the tap, and bacteria that live or die in the tank. */
#include "core/base/units.h"
#include "tufa/tank.h"

#include <math.h>
#include <string.h>

#define F_TO_K(f) (((f) + 459.67) / 1.8)
static const tufa_tank_scald_row SCALD[] = {
#define X(f, person, burn, seconds, whose) {.water_K = F_TO_K(f), .time_s = (seconds), .who = TUFA_PERSON_##person, .degree = (burn), .source = (whose)},
#include "core/tank/scald.def"
#undef X
};
enum { SCALDS = sizeof SCALD / sizeof SCALD[0] };

size_t tufa_tank_scald_count(void) { return SCALDS; }
const tufa_tank_scald_row *tufa_tank_scald_at(size_t i) { return i < SCALDS ? &SCALD[i] : NULL; }

static bool same_curve(const tufa_tank_scald_row *a, const tufa_tank_scald_row *b)
{
    return a->who == b->who && strcmp(a->source, b->source) == 0 && strcmp(a->degree, b->degree) == 0;
}

/* Time on the curve that `row` begins or goes on: rows of one curve stand together, rising in temperature. At or past
 * its last row the last time is the most it can be. 0 when T is not reached by this piece. */
static double time_on_piece(size_t i, double T, bool *past)
{
    const tufa_tank_scald_row *a = &SCALD[i];
    bool last = i + 1 == SCALDS || !same_curve(a, a + 1);
    *past = false;
    if (T < a->water_K - 1e-9 || (!last && T >= a[1].water_K - 1e-9)) return 0.0;
    if (last) {
        *past = T > a->water_K + 1e-9;
        return a->time_s;
    }
    double u = (T - a->water_K) / (a[1].water_K - a->water_K);
    return a->time_s * pow(a[1].time_s / a->time_s, u > 0.0 ? u : 0.0);
}

tufa_tank_burn tufa_tank_burn_time(double water_K, tufa_person who)
{
    tufa_tank_burn b = {.below_table = true, .source = "", .degree = ""};
    for (size_t i = 0; i < SCALDS; i++) {
        bool past;
        if (SCALD[i].who == TUFA_PERSON_INFANT && who == TUFA_PERSON_ADULT) continue; /* an infant burns no slower than an adult */
        double t = time_on_piece(i, water_K, &past);
        if (t <= 0.0 || (!b.below_table && t >= b.time_s)) continue;
        b = (tufa_tank_burn){.time_s = t, .source = SCALD[i].source, .degree = SCALD[i].degree, .above_table = past};
    }
    return b;
}

typedef struct kill_row {
    double t_C, min[3];
} kill_row;
static const kill_row KILL[] = {
#define X(t, lo, mid, hi) {t, {lo, mid, hi}},
#include "core/tank/health.def"
#undef X
};
enum { KILLS = sizeof KILL / sizeof KILL[0] };

/* log(time) is linear between rows; not killed below the first, no faster than at the last. */
tufa_tank_kill tufa_tank_kill_time(double water_K)
{
    double t = C_from_K(water_K), d[3];
    if (!(t >= KILL[0].t_C)) return (tufa_tank_kill){0};
    int i = 0;
    while (i + 2 < KILLS && t > KILL[i + 1].t_C) i++;
    double u = fmin((t - KILL[i].t_C) / (KILL[i + 1].t_C - KILL[i].t_C), 1.0);
    for (int k = 0; k < 3; k++) d[k] = 60.0 * KILL[i].min[k] * pow(KILL[i + 1].min[k] / KILL[i].min[k], u);
    return (tufa_tank_kill){.D_s = d[1], .D_short_s = d[0], .D_long_s = d[2]};
}
