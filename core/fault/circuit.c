/* The wiring of a storage heater as a network of resistances, solved for what a meter shows.
 *
 * Both legs enter the limit, which opens both. Leg 1 goes to the upper thermostat, a change-over: heat demand feeds the
 * upper element, satisfied it feeds the lower thermostat. Leg 2 goes straight to the far screw of both elements. A coil is
 * two resistances, from the unswitched screw to the place of a leak and from there to the switched screw. What a meter shows
 * between two places is the open voltage there, divided between the meter and the resistance that it looks into: a wire that
 * hangs free reads next to nothing, not some ghost. Voltages of the two legs are phasors: two right-hand sides of one linear
 * system, and one more for each place where a meter is held. */
#include <math.h>

#include "core/base/status.h"
#include "core/fault/tables.h"

enum { IN1, IN2, OUT1, OUT2, UPPER, UPPER_MID, FEED, LOWER, LOWER_MID, NODES, EARTH = NODES };

/* Where a meter is held. */
typedef enum held { AT_SUPPLY, AT_LIMIT, AT_UPPER, AT_LOWER, AT_CONTACT, LEG1, LEG2, UPPER_SCREW, LOWER_SCREW, FAR_SCREW, HELD } held;
static const struct { int a, b; } ACROSS[HELD] = {
    [AT_SUPPLY] = {IN1, IN2}, [AT_LIMIT] = {OUT1, OUT2}, [AT_UPPER] = {UPPER, OUT2}, [AT_LOWER] = {LOWER, OUT2},
    [AT_CONTACT] = {FEED, LOWER}, [LEG1] = {IN1, EARTH}, [LEG2] = {IN2, EARTH}, [UPPER_SCREW] = {UPPER, EARTH},
    [LOWER_SCREW] = {LOWER, EARTH}, [FAR_SCREW] = {OUT2, EARTH}};
enum { RE, IM, PROBE, COLUMNS = PROBE + HELD };

static const double METER_OHM = 1e7;      /* input of a common digital meter */
static const double INSULATION_OHM = 1e9; /* of a wire against ground */
static const double OPEN_OHM = 1e12, CLOSED_OHM = 1e-5, SOURCE_OHM = 1e-5;

typedef struct network {
    double g[NODES][NODES + COLUMNS]; /* conductances; then injected currents: the legs, real and imaginary, and 1 A through each meter */
} network;

static void join(network *w, int a, int b, double ohm)
{
    double g = 1.0 / ohm;
    w->g[a][a] += g;
    w->g[b][b] += g;
    w->g[a][b] -= g;
    w->g[b][a] -= g;
}

static void ground(network *w, int a, double ohm) { w->g[a][a] += 1.0 / ohm; }

static void feed(network *w, int a, double re, double im, double ohm)
{
    ground(w, a, ohm);
    w->g[a][NODES + RE] += re / ohm;
    w->g[a][NODES + IM] += im / ohm;
}

static void contact(network *w, int a, int b, int closed) { join(w, a, b, closed ? CLOSED_OHM : OPEN_OHM); }

/* Gauss with pivoting by size: the matrix is symmetric and dominated by its diagonal. The answers stand in the columns. */
static void solve(network *w)
{
    enum { WIDTH = NODES + COLUMNS };
    for (int k = 0; k < NODES; k++) {
        int p = k;
        for (int i = k + 1; i < NODES; i++)
            if (fabs(w->g[i][k]) > fabs(w->g[p][k])) p = i;
        for (int j = k; j < WIDTH && p != k; j++) {
            double t = w->g[k][j];
            w->g[k][j] = w->g[p][j];
            w->g[p][j] = t;
        }
        for (int i = k + 1; i < NODES; i++) {
            double f = w->g[i][k] / w->g[k][k];
            for (int j = k; j < WIDTH && f != 0.0; j++) w->g[i][j] -= f * w->g[k][j];
        }
    }
    for (int k = NODES; k-- > 0;)
        for (int c = NODES; c < WIDTH; c++) {
            double x = w->g[k][c];
            for (int j = k + 1; j < NODES; j++) x -= w->g[k][j] * w->g[j][c];
            w->g[k][c] = x / w->g[k][k];
        }
}

static double at(const network *w, int node, int column) { return node == EARTH ? 0.0 : w->g[node][NODES + column]; }

/* What a meter shows where it is held. */
static double shown(const network *w, held m)
{
    int a = ACROSS[m].a, b = ACROSS[m].b;
    double open = hypot(at(w, a, RE) - at(w, b, RE), at(w, a, IM) - at(w, b, IM));
    double behind_ohm = at(w, a, PROBE + (int)m) - at(w, b, PROBE + (int)m);
    return open * METER_OHM / (METER_OHM + fmax(behind_ohm, 0.0));
}

static void element(network *w, int screw, int mid, double ohm, int open, double leak_at, double leak_ohm)
{
    double s = leak_ohm > 0.0 ? leak_at : 0.5;
    join(w, screw, mid, open ? OPEN_OHM : fmax((1.0 - s) * ohm, CLOSED_OHM));
    join(w, mid, OUT2, open && leak_ohm <= 0.0 ? OPEN_OHM : fmax(s * ohm, CLOSED_OHM));
    if (leak_ohm > 0.0) ground(w, mid, leak_ohm);
}

tufa_status tufa_fault_circuit(const tufa_fault_heater *heater, const tufa_circuit_cut *cut, tufa_circuit_state state,
                               tufa_circuit_read *read)
{
    RETURN_IF(in_range("supply_V", heater->supply_V, 100.0, 260.0));
    RETURN_IF(in_range("plate_V", heater->plate_V, 100.0, 300.0));
    RETURN_IF(in_range("lower_W", heater->tank.lower_W, 100.0, 20000.0));
    if (!heater->single_element) RETURN_IF(in_range("upper_W", heater->tank.upper_W, 100.0, 20000.0));
    RETURN_IF(in_range("lower_leak_at", cut->lower_leak_at, 0.0, 1.0));
    RETURN_IF(in_range("upper_leak_at", cut->upper_leak_at, 0.0, 1.0));
    double square = heater->plate_V * heater->plate_V, lower_ohm = square / heater->tank.lower_W;
    double upper_ohm = heater->single_element ? OPEN_OHM : square / heater->tank.upper_W;
    /* One leg and the neutral; two legs of three, 120 degrees apart; or two halves of one winding. */
    int one_leg = heater->supply_V < 150.0, three_phase = !one_leg && heater->supply_V < 220.0;
    double leg_V = heater->supply_V / (one_leg ? 1.0 : three_phase ? sqrt(3.0) : 2.0);
    double re2 = one_leg ? 0.0 : three_phase ? -0.5 * leg_V : -leg_V, im2 = three_phase ? sqrt(0.75) * leg_V : 0.0;

    network w = {0};
    for (int i = 0; i < NODES; i++) ground(&w, i, INSULATION_OHM);
    for (int m = 0; m < HELD; m++) {
        w.g[ACROSS[m].a][NODES + PROBE + m] = 1.0;
        if (ACROSS[m].b != EARTH) w.g[ACROSS[m].b][NODES + PROBE + m] = -1.0;
    }
    feed(&w, IN1, leg_V, 0.0, cut->supply_dead || cut->leg1_dead ? OPEN_OHM : SOURCE_OHM);
    feed(&w, IN2, re2, im2, cut->supply_dead || cut->leg2_dead ? OPEN_OHM : SOURCE_OHM);
    join(&w, IN1, OUT1, cut->limit_open ? OPEN_OHM : fmax(cut->joint_ohm, CLOSED_OHM));
    contact(&w, IN2, OUT2, !cut->limit_open);

    int two = !heater->single_element, top_wants = two && (state == TUFA_TOP_COLD || cut->upper_stuck_on);
    contact(&w, OUT1, UPPER, top_wants && !cut->upper_dead_high);
    contact(&w, OUT1, FEED, !top_wants && !(two && cut->upper_no_handover));
    contact(&w, FEED, LOWER, cut->lower_always || (state != TUFA_ALL_HOT && !cut->lower_never));
    element(&w, UPPER, UPPER_MID, upper_ohm, cut->upper_coil_open, cut->upper_leak_at, two ? cut->upper_leak_ohm : 0.0);
    element(&w, LOWER, LOWER_MID, lower_ohm, cut->lower_coil_open, cut->lower_leak_at, cut->lower_leak_ohm);

    solve(&w);
    double live1 = cut->supply_dead || cut->leg1_dead ? 0.0 : 1.0, live2 = cut->supply_dead || cut->leg2_dead ? 0.0 : 1.0;
    /* Currents by what leaves the coils' ends; the source drop is too small a difference to divide. */
    double switched_re = 0.0, switched_im = 0.0, far_re = 0.0, far_im = 0.0, watts = 0.0;
    const struct { int screw, mid, open; double ohm, at, leak; } coil[2] = {
        {LOWER, LOWER_MID, cut->lower_coil_open, lower_ohm, cut->lower_leak_at, cut->lower_leak_ohm},
        {UPPER, UPPER_MID, cut->upper_coil_open, upper_ohm, cut->upper_leak_at, cut->upper_leak_ohm}};
    for (int k = 0; k < (two ? 2 : 1); k++) {
        double s = coil[k].leak > 0.0 ? coil[k].at : 0.5;
        double near_ohm = coil[k].open ? OPEN_OHM : fmax((1.0 - s) * coil[k].ohm, CLOSED_OHM);
        double rest_ohm = coil[k].open && coil[k].leak <= 0.0 ? OPEN_OHM : fmax(s * coil[k].ohm, CLOSED_OHM);
        double a_re = (at(&w, coil[k].screw, RE) - at(&w, coil[k].mid, RE)) / near_ohm;
        double a_im = (at(&w, coil[k].screw, IM) - at(&w, coil[k].mid, IM)) / near_ohm;
        double b_re = (at(&w, OUT2, RE) - at(&w, coil[k].mid, RE)) / rest_ohm;
        double b_im = (at(&w, OUT2, IM) - at(&w, coil[k].mid, IM)) / rest_ohm;
        switched_re += a_re;
        switched_im += a_im;
        far_re += b_re;
        far_im += b_im;
    }
    watts = live1 * (leg_V * switched_re) + live2 * (re2 * far_re + im2 * far_im);
    *read = (tufa_circuit_read){
        .supply_V = shown(&w, AT_SUPPLY),
        .leg_min_V = fmin(shown(&w, LEG1), shown(&w, LEG2)),
        .leg_max_V = fmax(shown(&w, LEG1), shown(&w, LEG2)),
        .limit_out_V = shown(&w, AT_LIMIT),
        .upper_V = two ? shown(&w, AT_UPPER) : 0.0,
        .lower_V = shown(&w, AT_LOWER),
        .lower_contact_V = shown(&w, AT_CONTACT),
        .upper_screw_earth_V = {two ? shown(&w, UPPER_SCREW) : 0.0, shown(&w, FAR_SCREW)},
        .lower_screw_earth_V = {shown(&w, LOWER_SCREW), shown(&w, FAR_SCREW)},
        .leg_A = fmax(live1 * hypot(switched_re, switched_im), live2 * hypot(far_re, far_im)),
        .net_A = hypot(live1 * switched_re + live2 * far_re, live1 * switched_im + live2 * far_im),
        .power_W = watts,
    };
    return OK;
}
