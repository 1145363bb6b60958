/* Integrated over place, contact and coil, one case after the other, by the tank stage's solution of the grounded element.
 * Place even along the coil; contact even in the logarithm from 0.1 to 1000 ohm; which leg is never switched follows from the
 * wiring and changes nothing, since the place is even. All three are assumptions; what they give for a whole coil at rest is a
 * median of 7 A, 0.3 to 28 A, and 9 in 100 over 30 A. */
#include "core/fault/leak.h"

#include <math.h>

#include "core/base/units.h"

enum { PLACES = 10, CONTACTS = 12, COILS = 3, HANDS = 2, MOST = PLACES * CONTACTS * COILS * HANDS, GROUPS = MAX_PARTS - 1 };
static const double CONTACT_LO = 0.1, CONTACT_HI = 1000.0;
/* Whole; burnt through at the contact, which stays with the half on the unswitched leg (or with both halves); or with the other
 * half alone. The table's ohms of a grounded element say 6 in 10 whole; of the rest each of the three ways is as likely. Judgement. */
static const double COIL_SHARE[COILS] = {0.6, 0.4 * 2.0 / 3.0, 0.4 / 3.0};
static const double CROSSED = 0.05;      /* 120 V: hot and neutral the wrong way round; judgement */
static const double METER_WIDE = 0.04;   /* ln: plate tolerance and instrument, as for other live readings */
static const double NIGHT_S = 8.0 * 3600.0;

typedef struct leak_case {
    double value, weight;
} leak_case;

/* Heat that a night can take up before the limit opens: from then on there is none. */
static double night_W(const tufa_tank *t, double leak_W)
{
    double rest_W = t->loss_W_K * (t->setpoint_K - t->ambient_K);
    if (leak_W <= rest_W) return rest_W;
    double heated_m3 = t->volume_m3 * fmax(1.0 - t->lower_height_m / t->height_m, 0.1);
    double room_J = heated_m3 * tufa_tank_water_kg_m3(t->setpoint_K) * tufa_tank_water_J_kg_K(t->setpoint_K) *
                    fmax((t->limit_K > 0.0 ? t->limit_K : t->relief_K) - t->setpoint_K, 1.0);
    return fmin(leak_W, rest_W + room_J / NIGHT_S);
}

static double value_of(const tufa_tank *t, const tufa_tank_earth *e, const tufa_tank_earth_in *in, leak_reading what)
{
    switch (what) {
    case LEAK_REST_A: case LEAK_ON_A: return e->breaker_trips ? 0.0 : fmax(e->unswitched_A, e->switched_A);
    case LEAK_REST_W: case LEAK_ON_W: return e->breaker_trips ? 0.0 : e->total_W;
    case LEAK_NIGHT_W: return e->breaker_trips ? 0.0 : night_W(t, e->total_W);
    case LEAK_REST_V:
        if (e->breaker_trips) return 0.0;
        if (in->broken_before) return in->leg_V; /* one screw live, the other at ground through the other half */
        return in->broken ? 0.0 : e->unswitched_A * in->s * in->element_ohm;
    }
    return 0.0;
}

/* All cases of one element; answers how many. */
static int all_cases(const tufa_fault_heater *h, int upper, leak_reading what, leak_case out[MOST])
{
    const tufa_tank *t = &h->tank;
    int one_leg = h->supply_V < 150.0, on = what == LEAK_ON_A || what == LEAK_ON_W, n = 0;
    double leg_V = one_leg ? h->supply_V : h->supply_V < 220.0 ? h->supply_V / sqrt(3.0) : 0.5 * h->supply_V;
    double ohm = h->plate_V * h->plate_V / (upper ? t->upper_W : t->lower_W), contact[CONTACTS];
    for (int k = 0; k < CONTACTS; k++) contact[k] = CONTACT_LO * pow(CONTACT_HI / CONTACT_LO, (k + 0.5) / CONTACTS);
    for (int hand = 0; hand < (one_leg ? HANDS : 1); hand++)
        for (int coil = 0; coil < COILS; coil++)
            for (int i = 0; i < PLACES; i++)
                for (int k = 0; k < CONTACTS; k++) {
                    tufa_tank_earth_in in = {.element_ohm = ohm, .leg_V = leg_V, .line_V = h->supply_V, .breaker_A = t->breaker_A,
                                             .s = (i + 0.5) / PLACES, .thermostat_closed = on, .broken = coil == 1,
                                             .broken_before = coil == 2, .fault_ohm = contact[k]};
                    tufa_tank_earth e = {0};
                    double w = COIL_SHARE[coil] / (PLACES * CONTACTS);
                    if (one_leg) w *= hand ? CROSSED : 1.0 - CROSSED;
                    int neutral_rests = one_leg && !hand && !on; /* the thermostat opens the hot wire: nothing is left to leak */
                    if (neutral_rests) in.broken_before = false, in.leg_V = 0.0;
                    else if (tufa_tank_earthed(&in, &e).code != TUFA_OK) continue;
                    out[n++] = (leak_case){neutral_rests && what == LEAK_NIGHT_W ? night_W(t, 0.0) : value_of(t, &e, &in, what), w};
                }
    return n;
}

static void sort(leak_case *c, int n)
{
    for (int gap = n / 2; gap > 0; gap /= 2)
        for (int i = gap; i < n; i++) {
            leak_case x = c[i];
            int j = i;
            for (; j >= gap && c[j - gap].value > x.value; j -= gap) c[j] = c[j - gap];
            c[j] = x;
        }
}

void fault_leak_spread(const tufa_fault_heater *heater, int upper, leak_reading what, double least, spread_part dead, spread *out)
{
    leak_case c[MOST];
    int n = all_cases(heater, upper, what, c), at = 0;
    double nothing = 0.0, all = 0.0;
    sort(c, n);
    for (int i = 0; i < n; i++) all += c[i].weight;
    for (; at < n && c[at].value < least; at++) nothing += c[at].weight;
    *out = (spread){0};
    if (nothing > 0.0) {
        out->part[out->parts] = dead;
        out->part[out->parts++].weight = nothing / all;
    }
    /* The rest in groups of even weight, each as one log-normal part. */
    double share = (all - nothing) / GROUPS, left = 0.0;
    while (at < n) {
        double w = 0.0, sum = 0.0, square = 0.0;
        left += share;
        for (; at < n && (left > 1e-12 || w <= 0.0); at++) {
            double x = log(c[at].value), p = c[at].weight;
            w += p, sum += p * x, square += p * x * x, left -= p;
        }
        if (out->parts == MAX_PARTS) { /* the last crumbs go with the group before */
            out->part[MAX_PARTS - 1].weight += w / all;
            continue;
        }
        double mid = sum / w, var = fmax(square / w - mid * mid, 0.0);
        out->part[out->parts++] = (spread_part){1, exp(mid), sqrt(var + METER_WIDE * METER_WIDE), w / all};
    }
}
