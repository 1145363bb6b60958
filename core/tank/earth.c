/* A grounded element: the circuit of a coil that touches its sheath, and what that heat can do to a bill.
 *
 * The coil runs from terminal A to terminal B; the sheath is bonded to the tank and so to earth. Derived by nodal
 * analysis: with leg voltages U (unswitched) and W (switched) against earth, coil parts g1 = 1/(sR), g2 = 1/((1-s)R)
 * and contact gf = 1/Rf, the contact sits at V = (g1 U + g2 W) / (g1 + g2 + gf). With the thermostat open only g1
 * and gf carry current. Voltages are phasors, since the legs of a 208 V supply are a third of a turn apart. */
#include "core/base/status.h"
#include "core/tank/earth.h"

#include <math.h>

static const double LEG_V = 120.0, LINE_V = 240.0;
static const double TRIP_SHARE = 1.35; /* inverse-time breakers must open at 135 % within minutes to an hour; common practice */
static const double WIRE_OHM = 0.05;   /* leads and contact: what a dead short still has; common practice, no source */

typedef struct phasor {
    double re, im;
} phasor;

static phasor minus(phasor a, phasor b) { return (phasor){a.re - b.re, a.im - b.im}; }
static phasor times(double g, phasor a) { return (phasor){g * a.re, g * a.im}; }
static double square(phasor a) { return a.re * a.re + a.im * a.im; }
static double size(phasor a) { return sqrt(square(a)); }

/* The switched leg's voltage when the unswitched one stands at (leg, 0) and line_V lies between them. */
static phasor other_leg(double leg_V, double line_V)
{
    double c = 1.0 - line_V * line_V / (2.0 * leg_V * leg_V);
    if (line_V <= leg_V * 1.001) return (phasor){leg_V - line_V, 0.0}; /* one wire is neutral */
    return (phasor){leg_V * c, leg_V * sqrt(fmax(0.0, 1.0 - c * c))};
}

/* A half of the coil that ends in its own contact to earth. */
static double half(phasor u, double ohm, double fault_ohm, tufa_tank_earth *e)
{
    double amps = size(u) / (ohm + fault_ohm);
    e->coil_W += amps * amps * ohm;
    e->fault_W += amps * amps * fault_ohm;
    return amps;
}

tufa_tank_earth earth_of(const tufa_tank_earth_in *in)
{
    double leg = in->leg_V > 0.0 ? in->leg_V : LEG_V, line = in->line_V > 0.0 ? in->line_V : LINE_V;
    double s = in->unswitched_is_b ? 1.0 - in->s : in->s, R = in->element_ohm;
    double r1 = fmax(s * R, WIRE_OHM), r2 = fmax((1.0 - s) * R, WIRE_OHM), rf = in->fault_ohm;
    phasor u = {leg, 0.0}, w = other_leg(leg, line);
    tufa_tank_earth e = {0};
    if (!in->thermostat_closed) {
        if (!in->broken_before) e.unswitched_A = e.earth_A = half(u, r1, rf, &e);
    } else if (in->broken || in->broken_before) {
        double from_u = in->broken_before ? 0.0 : half(u, r1, rf, &e), from_w = half(w, r2, rf, &e);
        phasor net = minus(times(from_u / leg, u), times(size(w) > 0.0 ? -from_w / size(w) : 0.0, w));
        e.unswitched_A = from_u, e.switched_A = from_w, e.earth_A = size(net);
    } else {
        double g1 = 1.0 / r1, g2 = 1.0 / r2;
        phasor v = {0.0, 0.0};
        if (rf > 0.0) {
            double all = g1 + g2 + 1.0 / rf;
            v = (phasor){(g1 * u.re + g2 * w.re) / all, (g1 * u.im + g2 * w.im) / all};
        }
        phasor i1 = times(g1, minus(u, v)), i2 = times(g2, minus(w, v));
        e.coil_W = square(i1) * r1 + square(i2) * r2;
        e.earth_A = size((phasor){i1.re + i2.re, i1.im + i2.im});
        e.fault_W = e.earth_A * e.earth_A * rf;
        e.unswitched_A = size(i1), e.switched_A = size(i2);
    }
    e.total_W = e.coil_W + e.fault_W;
    double most = fmax(e.unswitched_A, e.switched_A), breaker = in->breaker_A > 0.0 ? in->breaker_A : 30.0;
    e.breaker_overloaded = most > breaker * (1.0 + 1e-9);
    e.breaker_trips = most > TRIP_SHARE * breaker;
    return e;
}

tufa_status tufa_tank_earthed(const tufa_tank_earth_in *in, tufa_tank_earth *out)
{
    RETURN_IF(in_range("element_ohm", in->element_ohm, 0.1, 1e4));
    RETURN_IF(in_range("fault_ohm", in->fault_ohm, 0.0, 1e9));
    RETURN_IF(in_range("s", in->s, 0.0, 1.0));
    *out = earth_of(in);
    return OK;
}
