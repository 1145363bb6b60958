/* Is a heater large enough: what the household wants in its busiest hour, against what the first hour gives. */
#include "core/base/sources.h"
#include "core/base/status.h"
#include "core/base/units.h"
#include "tufa/deposit.h"
#include "tufa/tank.h"

#include <math.h>

#define GAL 3.785411784e-3 /* as the table prints it */
static const double TAP_F = 105.0;                       /* people mix to this at the tap; common practice, no source */
static const double RATED_F = 125.0, RATED_INLET_F = 58.0, RATED_ROOM_F = 67.5; /* SRC_APPENDIX_E */
static const double OFTEN_SPREAD = 0.25;                 /* of how often they shower in that hour, 10 and 90 %; judgement */
static const double MOST_PEOPLE = 50.0, MOST_M3 = 10.0;
static const double Z90 = 1.2815515655446004;            /* of the standard normal curve */

#define ABOUT(mid, lo, hi) {mid, lo, hi, TUFA_BASIS_DEFAULT}
static const tufa_peak_use_row ROWS[TUFA_PEAK_COUNT] = {
#define X(id, src, ...) [TUFA_PEAK_##id] = {.source = src, __VA_ARGS__},
#include "tufa/peak_uses.def"
#undef X
};

const tufa_peak_use_row *tufa_peak_use_at(tufa_peak_use u) { return (unsigned)u < TUFA_PEAK_COUNT ? &ROWS[u] : NULL; }

static double times(const tufa_peak_use_row *r, double people) { return r->a_person * people + r->a_house; }

static double gallons(double people)
{
    double sum = 0.0;
    for (int u = 0; u < TUFA_PEAK_COUNT; u++) sum += times(&ROWS[u], people) * ROWS[u].gallons.mid;
    return sum;
}

tufa_status tufa_peak_hour_m3(tufa_value people, tufa_value *m3)
{
    RETURN_IF(in_range("people", people.mid, 0.0, MOST_PEOPLE));
    RETURN_IF(in_range("people", people.lo, 0.0, people.mid));
    RETURN_IF(in_range("people", people.hi, people.mid, 2.0 * MOST_PEOPLE));
    double mid = gallons(people.mid), often = OFTEN_SPREAD * times(&ROWS[TUFA_PEAK_SHOWER], people.mid) * ROWS[TUFA_PEAK_SHOWER].gallons.mid;
    double down = often * often + pow(mid - gallons(people.lo), 2.0), up = often * often + pow(gallons(people.hi) - mid, 2.0);
    for (int u = 0; u < TUFA_PEAK_COUNT; u++) {
        double n = times(&ROWS[u], people.mid);
        down += pow(n * (ROWS[u].gallons.mid - ROWS[u].gallons.lo), 2.0);
        up += pow(n * (ROWS[u].gallons.hi - ROWS[u].gallons.mid), 2.0);
    }
    *m3 = (tufa_value){GAL * mid, GAL * fmax(0.0, mid - sqrt(down)), GAL * (mid + sqrt(up)), people.basis};
    return OK;
}

tufa_value tufa_people_like(tufa_value litres_day)
{
    double a = tufa_hot_litres_day(0.0), b = tufa_hot_litres_day(1.0) - a;
    return (tufa_value){fmax(0.0, (litres_day.mid - a) / b), fmax(0.0, (litres_day.lo - a) / b), fmax(0.0, (litres_day.hi - a) / b), litres_day.basis};
}

double tufa_peak_drawn(double setpoint_K, double inlet_K)
{
    double tap = K_from_F(TAP_F), hot = fmax(setpoint_K, tap), cold = fmin(inlet_K, tap - 1.0);
    double mixed = (RATED_F - RATED_INLET_F) / (TAP_F - RATED_INLET_F);
    return mixed * (tap - cold) / (hot - cold);
}

/* Chance that more is wanted than is given: half a normal curve on each side of the middles. */
static double chance_over(tufa_value wants, tufa_value gives)
{
    int over = wants.mid > gives.mid;
    double side = hypot(over ? wants.mid - wants.lo : wants.hi - wants.mid, over ? gives.hi - gives.mid : gives.mid - gives.lo);
    if (!(side > 0.0)) return over;
    return tufa_normal_cdf((wants.mid - gives.mid) * Z90 / side);
}

static tufa_status check_m3(const char *field, tufa_value v)
{
    RETURN_IF(in_range(field, v.mid, 0.0, MOST_M3));
    RETURN_IF(in_range(field, v.lo, 0.0, v.mid));
    return in_range(field, v.hi, v.mid, MOST_M3);
}

tufa_status tufa_tank_enough(tufa_value gives_m3, tufa_value wants_m3, int household_known, tufa_enough *out)
{
    static const double OFTEN = 0.5, SELDOM = 0.1, ROUNDING = 1e-12;
    RETURN_IF(check_m3("first_hour_m3", gives_m3));
    RETURN_IF(check_m3("wants_m3", wants_m3));
    tufa_enough e = {.gives_m3 = gives_m3, .wants_m3 = wants_m3, .short_chance = chance_over(wants_m3, gives_m3)};
    if (e.short_chance <= SELDOM + ROUNDING) e.says = TUFA_ENOUGH_YES;
    else if (!household_known) e.says = TUFA_ENOUGH_NOT_KNOWN;
    else e.says = e.short_chance >= OFTEN ? TUFA_ENOUGH_NO : TUFA_ENOUGH_NEARLY;
    double wanted = e.says == TUFA_ENOUGH_NO ? wants_m3.mid : wants_m3.hi;
    e.short_m3 = e.says == TUFA_ENOUGH_YES ? 0.0 : fmax(0.0, wanted - gives_m3.mid);
    *out = e;
    return OK;
}

/* The heat that its compressor gives to the water while it runs, 1.3 kW, stands where the lower element is; above it the upper element
 * helps when the top runs cold. Common practice, no source. */
static const double COMPRESSOR_W = 1300.0;

tufa_tank tufa_tank_as_heat_pump(const tufa_tank *electric)
{
    tufa_tank t = *electric;
    t.lower_W = COMPRESSOR_W;
    return t;
}

/* Of what the simulation gives, what labels say: electric tanks of 30, 40, 50 gallons 40 to 46, 50 to 56, 60 to 68 gallons, gas 50 to 60,
 * 65 to 72, 78 to 90 (from memory), against 54, 59, 65 and 55, 73, 91 simulated. A label is good to 3 %, judgement. */
static const double ELECTRIC_SHARE[3] = {0.90, 0.80, 1.05}, GAS_SHARE[3] = {0.97, 0.90, 1.05}, LABEL_SHARE[3] = {1.0, 0.97, 1.03};

tufa_status tufa_tank_first_hour(const tufa_tank *tank, double label_m3, tufa_value *m3)
{
    tufa_tank_rating here, rated;
    int labelled = label_m3 > 0.0;
    const double *share = labelled ? LABEL_SHARE : tank->fuel == TUFA_TANK_ELECTRIC ? ELECTRIC_SHARE : GAS_SHARE;
    tufa_tank as_tested = *tank;
    RETURN_IF(tufa_tank_rate(tank, NULL, 0, &here));
    double gives = here.first_hour_m3;
    if (labelled) {
        as_tested.setpoint_K = K_from_F(RATED_F);
        as_tested.inlet_K = K_from_F(RATED_INLET_F);
        as_tested.ambient_K = K_from_F(RATED_ROOM_F);
        RETURN_IF(tufa_tank_rate(&as_tested, NULL, 0, &rated));
        gives *= label_m3 / rated.first_hour_m3;
    }
    *m3 = (tufa_value){gives * share[0], gives * share[1], gives * share[2], labelled ? TUFA_BASIS_GIVEN : TUFA_BASIS_DEFAULT};
    return OK;
}
