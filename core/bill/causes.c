/* What could have made a change: each cause's possible size for this heater, from the tank stage, and how it fits. */
#include <math.h>
#include <string.h>

#include "core/base/sources.h"
#include "core/base/status.h"
#include "tufa/bill.h"

/* Where the size of a cause comes from. */
enum bill_how {
    BILL_WATTS,          /* lo to hi watts */
    BILL_LEAK_KEPT,      /* lo watts to what a hotter tank loses more; hi: the strongest leak */
    BILL_LEAK_DISCHARGED,/* lo watts to what leaves by the relief valve; hi: the strongest leak */
    BILL_DRIP,           /* litres an hour */
    BILL_INSULATION,     /* times the loss */
    BILL_DRIFT,          /* kelvins */
    BILL_BOTTOM,         /* litres of bed */
    BILL_FLUE,           /* share of the input */
    BILL_PEOPLE,         /* persons */
    BILL_INLET,          /* kelvins colder */
    BILL_DEAD_ELEMENT,
    BILL_ALL_OF_IT       /* share of what the heater uses */
};

static const tufa_bill_cause CAUSE[] = {
#define X(ID, src, ...) {.source = src, __VA_ARGS__},
#include "core/bill/causes.def"
#undef X
};
enum { CAUSES = sizeof CAUSE / sizeof CAUSE[0] };
_Static_assert((int)CAUSES <= (int)TUFA_BILL_MAX_CAUSES, "answers are too short for the causes");

size_t tufa_bill_cause_count(void) { return CAUSES; }
const tufa_bill_cause *tufa_bill_cause_at(size_t i) { return i < CAUSES ? &CAUSE[i] : NULL; }

static const double DAY_S = 86400.0;
static const double PERSON_M3 = 0.048;   /* hot water a day (house rule of the ahead stage: 45 + 48 x people litres) */
static const double HOUSEHOLD_M3 = 0.170; /* the same at 2.6 people */
static const double PERSON_ELSE_W = 120.0; /* what a person uses besides hot water, electricity: judgement */

typedef struct asking {
    tufa_tank tank;
    double daily_m3, inlet_K;
    double base_W;
} asking;

/* Mean power of a repeating day with one change and another amount of hot water. */
static tufa_status day_W(const asking *a, const tufa_tank_change *change, double daily_m3, double inlet_K, double *W)
{
    tufa_tank_draw draws[TUFA_TANK_MAX_DRAWS];
    size_t n = tufa_tank_draws_for(daily_m3, draws);
    tufa_tank_use use = {.draws = draws, .n = n};
    tufa_tank_day day;
    RETURN_IF(tufa_tank_typical_day(&a->tank, change, change ? 1 : 0, &use, inlet_K, a->tank.ambient_K, &day));
    *W = day.in_J / DAY_S;
    return OK;
}

static tufa_status with_change(const asking *a, tufa_tank_change_id id, double size, double *extra_W)
{
    tufa_tank_change c = tufa_tank_change_usual(id);
    c.size = size;
    double W = 0.0;
    RETURN_IF(day_W(a, &c, a->daily_m3, a->inlet_K, &W));
    *extra_W = W - a->base_W;
    return OK;
}

static tufa_status with_people(const asking *a, double persons, int falls, int electric, double *W)
{
    double daily = fmax(a->daily_m3 + (falls ? -1.0 : 1.0) * persons * PERSON_M3, 1e-4), other = 0.0;
    RETURN_IF(day_W(a, NULL, daily, a->inlet_K, &other));
    *W = fabs(other - a->base_W) + (electric ? persons * PERSON_ELSE_W : 0.0);
    return OK;
}

/* The same heat into the water through a bed over the bottom. */
static tufa_status with_bed(const asking *a, double bed_m3, double *extra_W)
{
    const tufa_tank *t = &a->tank;
    tufa_tank_bottom clean, under;
    double depth_m = bed_m3 * t->height_m / t->volume_m3;
    RETURN_IF(tufa_tank_gas_bottom(t->recovery_efficiency, t->burner_W, 0.0, t->bed_W_m_K, t->setpoint_K, t->line_Pa, &clean));
    RETURN_IF(tufa_tank_gas_bottom(t->recovery_efficiency, t->burner_W, depth_m, t->bed_W_m_K, t->setpoint_K, t->line_Pa, &under));
    *extra_W = a->base_W * (clean.efficiency / under.efficiency - 1.0);
    return OK;
}

/* Heat that a leak adds in the long run: kept, or going down the drain. */
static tufa_status leak_sizes(const asking *a, const tufa_bill_cause *c, double *lo, double *hi)
{
    double strongest = fmin(c->hi, 0.8 * a->tank.lower_W); /* bolted fault that a 30 A breaker holds: 3600 of 4500 W */
    tufa_tank_leak_bound b;
    *lo = c->lo;
    RETURN_IF(tufa_tank_leak_bounds(&a->tank, fmax(strongest, c->lo), a->daily_m3, &b));
    *hi = c->how == BILL_LEAK_KEPT ? b.extra_most_W : b.discharge_W;
    return OK;
}

/* From least to most, in watts as a daily mean. */
static tufa_status size_of(const asking *a, const tufa_bill_cause *c, double *lo, double *hi)
{
    const double L_H = 1e-3 / 3600.0;
    int electric = a->tank.fuel == TUFA_TANK_ELECTRIC;
    double sign = c->falls ? -1.0 : 1.0, W = 0.0, power = electric ? fmax(a->tank.lower_W, a->tank.upper_W) : a->tank.burner_W;
    *lo = c->lo;
    *hi = c->hi;
    switch (c->how) {
    case BILL_LEAK_KEPT:
    case BILL_LEAK_DISCHARGED: return leak_sizes(a, c, lo, hi);
    case BILL_DRIP:
        RETURN_IF(with_change(a, TUFA_CHANGE_HOT_DRIP, L_H, &W));
        *lo = c->lo * W;
        *hi = fmin(c->hi * W, fmax(power - a->base_W, 0.0));
        return OK;
    case BILL_INSULATION:
        RETURN_IF(with_change(a, TUFA_CHANGE_INSULATION_WET, c->lo, lo));
        return with_change(a, TUFA_CHANGE_INSULATION_WET, c->hi, hi);
    case BILL_DRIFT:
        RETURN_IF(with_change(a, TUFA_CHANGE_SETPOINT_DRIFT, sign * c->lo, lo));
        RETURN_IF(with_change(a, TUFA_CHANGE_SETPOINT_DRIFT, sign * c->hi, hi));
        break;
    case BILL_BOTTOM:
        RETURN_IF(with_bed(a, 1e-3 * c->lo, lo));
        return with_bed(a, 1e-3 * fmin(c->hi, 250.0 * a->tank.volume_m3), hi);
    case BILL_FLUE:
        RETURN_IF(with_change(a, TUFA_CHANGE_FLUE_LOSS, c->lo, lo));
        return with_change(a, TUFA_CHANGE_FLUE_LOSS, c->hi, hi);
    case BILL_PEOPLE:
        RETURN_IF(with_people(a, c->lo, c->falls, 0, lo));
        return with_people(a, c->hi, c->falls, electric, hi);
    case BILL_INLET:
        RETURN_IF(day_W(a, NULL, a->daily_m3, a->inlet_K - c->lo, lo));
        RETURN_IF(day_W(a, NULL, a->daily_m3, fmax(a->inlet_K - c->hi, 274.15), hi));
        *lo -= a->base_W;
        *hi -= a->base_W;
        return OK;
    case BILL_DEAD_ELEMENT:
        RETURN_IF(with_change(a, TUFA_CHANGE_LOWER_ELEMENT_OPEN, 0.0, hi));
        *hi = fabs(*hi);
        *lo = 0.3 * *hi; /* a household that needs little hot water notices little */
        return OK;
    case BILL_ALL_OF_IT:
        *lo = c->lo * a->base_W;
        *hi = c->hi * a->base_W;
        return OK;
    default: return OK;
    }
    *lo = fabs(*lo);
    *hi = fabs(*hi);
    return OK;
}

/* Probability that a normal size lies between, each bound blurred by what is not known of the heater; and the
 * density of that size under the cause, its logarithm even between its bounds. */
static void judge(double size_W, double sd_W, tufa_bill_cause_fit *f, double *density)
{
    enum { POINTS = 48 };
    const double BLUR = 0.15;
    double lo = fmax(f->least_W, 1e-3), hi = fmax(f->bound_W, 0.0);
    double below = tufa_normal_cdf((hi - size_W) / hypot(sd_W, BLUR * hi)), above = tufa_normal_cdf((size_W - lo) / hypot(sd_W, BLUR * lo));
    f->fits = fmax(below + above - 1.0, 0.0);
    *density = 0.0;
    if (hi < lo) return;
    for (int i = 0; i < POINTS; i++) {
        double x = lo * pow(hi / lo, ((double)i + 0.5) / POINTS), s = hypot(sd_W, BLUR * x), z = (size_W - x) / s;
        *density += exp(-0.5 * z * z) / s / POINTS;
    }
}

static void sort_by_share(tufa_bill_causes *c)
{
    for (size_t i = 1; i < c->n; i++) {
        tufa_bill_cause_fit x = c->at[i];
        size_t j = i;
        for (; j > 0 && c->at[j - 1].share < x.share; j--) c->at[j] = c->at[j - 1];
        c->at[j] = x;
    }
}

static tufa_status set_asking(const tufa_bill_house *house, asking *a)
{
    *a = (asking){.tank = house->tank ? *house->tank : tufa_tank_default(house->fuel),
                  .daily_m3 = house->daily_m3 > 0.0 ? house->daily_m3 : HOUSEHOLD_M3};
    RETURN_IF(in_range("daily_m3", a->daily_m3, 0.0, 5.0));
    a->inlet_K = a->tank.inlet_K;
    return day_W(a, NULL, a->daily_m3, a->inlet_K, &a->base_W);
}

tufa_status tufa_bill_could_be(const tufa_bill_house *house, const tufa_bill_span *change_W, tufa_bill_causes *out)
{
    const double SIDE_95 = 3.92; /* width of a 95 % interval in standard deviations */
    asking a;
    tufa_bill_causes c = {0};
    double density[TUFA_BILL_MAX_CAUSES], all = 0.0, size = fabs(change_W->mid), sd = (change_W->hi - change_W->lo) / SIDE_95;
    int falls = change_W->mid < 0.0, other_fuel = house->tank && house->tank->fuel != house->fuel;
    RETURN_IF(in_range("change_W", size, 0.0, 1e6));
    RETURN_IF(set_asking(house, &a));
    sd = fmax(sd, 0.02 * size + 0.1);
    for (size_t i = 0; i < CAUSES; i++) {
        const tufa_bill_cause *row = &CAUSE[i];
        if (row->falls != falls || !strchr(row->fuels, house->fuel == TUFA_TANK_GAS ? 'G' : 'E')) continue;
        tufa_bill_cause_fit *f = &c.at[c.n];
        *f = (tufa_bill_cause_fit){.cause = row};
        if (!(row->of_heater && other_fuel)) RETURN_IF(size_of(&a, row, &f->least_W, &f->bound_W));
        judge(size, sd, f, &density[c.n]);
        f->share = row->of_heater && other_fuel ? 0.0 : row->common * density[c.n];
        if (row->of_heater && other_fuel) f->fits = 0.0;
        all += f->share;
        c.n++;
    }
    for (size_t i = 0; i < c.n; i++) {
        c.at[i].share = all > 0.0 ? c.at[i].share / all : 0.0;
        if (!c.at[i].cause->of_heater) continue;
        c.heater_share += c.at[i].share;
        c.heater_fits = fmax(c.heater_fits, c.at[i].fits);
    }
    sort_by_share(&c);
    if (!other_fuel) {
        double W = 0.0;
        RETURN_IF(with_change(&a, TUFA_CHANGE_HOT_DRIP, 1e-3 / 3600.0, &W));
        c.drip_L_h = W > 0.0 ? size / W : 0.0;
        c.heater_W = a.base_W;
    }
    *out = c;
    return OK;
}

tufa_status tufa_bill_as_reading(const tufa_bill_result *r, tufa_reading *out)
{
    int test = tufa_fault_test_find("bill_split");
    if (test < 0) return trouble(TUFA_MISSING, "bill_split", NULL);
    const char *says = "no_change";
    for (size_t i = 0; i < r->remarks.n; i++) {
        tufa_bill_remark_kind k = r->remarks.at[i].kind;
        if (k == TUFA_BILL_REMARK_PRICE && r->remarks.at[i].value > 1.0) says = "price_up";
        if (k == TUFA_BILL_REMARK_CATCH_UP || (k == TUFA_BILL_REMARK_LAST_ODD && r->remarks.at[i].value > r->remarks.at[i].expected))
            says = "estimate";
    }
    if (r->kind != TUFA_BILL_NONE && r->kind != TUFA_BILL_PULSE && r->per_day.mid > 0.0) says = "use_up";
    *out = (tufa_reading){.test = test, .category = tufa_fault_test_category(tufa_fault_test_at((size_t)test), says)};
    return OK;
}
