/* Rows of tests/published/tank_ode.csv: the tank's layer equations given to an outside solver, SUNDIALS CVODE. Built with
 * -Dode=enabled (Debian: libsundials-dev); shares no code with the tank stage.
 *
 * Layers exchange heat with their neighbours and lose it to the room. Only stretches in which nothing has to be put in
 * order by density are run, and rods whose lower edge meets a layer's, so that these equations are all there is. Water
 * above an element that lifts a plume is at one temperature: one unknown. Below a heater that is on, conduction starts at
 * the rod's lower edge, half a layer nearer to the cold water than the middle of the layer.
 *
 * The tolerance is the tank stage's own error by its step h, not a guess. It steps T' = A T + b by Euler's rule, and
 * ln(1 + hA)/h = A - hA^2/2 + h^2 A^3/3, so after time t it is off by
 *     -(h t/2) T'' + (h^2 t/3) T''' + (h^2 t^2/8) T''''      (derivatives of the exact solution, sizes added). */
#include <cvode/cvode.h>
#include <math.h>
#include <nvector/nvector_serial.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sunlinsol/sunlinsol_band.h>
#include <sunmatrix/sunmatrix_band.h>

enum { MOST = 120, TIMES = 3, SHOWN = 7 };

/* The tank of the rows in tank.csv. */
static const double VOLUME_M3 = 0.190, HEIGHT_M = 1.2, KG_M3 = 987.0, J_KG_K = 4182.0, ROOM_C = 19.7222, LOSS_W_K = 1.5;
/* Longest steps of core/tank/step.c: at rest, and its share of the stability number of conduction. */
static const double REST_STEP_S = 1800.0, REST_NUMBER = 0.39, HEAT_NUMBER = 0.18;
static const double FLOOR_K = 2e-5, FLOOR_KWH = 2e-6; /* CVODE's error, found with rtol 1e-11, and the digits printed */
static const double J_KWH = 3.6e6;

typedef struct stretch {
    const char *id, *inputs;         /* as tests/published/rows_tank.c reads them */
    int layers, cold_layers;         /* cold_layers > 0: so many at cold_C, the rest at hot_C; 0: a straight line */
    double cold_C, hot_C, W_m_K;
    int heated;                      /* layer that the heater's lower edge meets; -1 for none */
    bool plume;                      /* the water above it is one */
    double heater_W, hours[TIMES];
    int shown[SHOWN];                /* layers; -1 ends */
} stretch;

static const stretch STRETCHES[] = {
    {.id = "REST", .inputs = "layers=60;elements=0;setpoint_c=10;cold_layers=30;cold_c=15;hot_c=55", .layers = 60, .cold_layers = 30,
     .cold_C = 15, .hot_C = 55, .W_m_K = 1.43, .heated = -1, .hours = {6, 24, 48}, .shown = {0, 24, 28, 29, 30, 35, 59}},
    {.id = "REST-FINE", .inputs = "layers=120;elements=0;setpoint_c=10;cold_layers=60;cold_c=15;hot_c=55", .layers = 120,
     .cold_layers = 60, .cold_C = 15, .hot_C = 55, .W_m_K = 1.43, .heated = -1, .hours = {6, 24, 48}, .shown = {48, 59, 60, 70, -1}},
    {.id = "LOSS", .inputs = "layers=60;elements=0;setpoint_c=10;conductivity=0;cold_c=15;hot_c=65", .layers = 60, .cold_C = 15,
     .hot_C = 65, .W_m_K = 0, .heated = -1, .hours = {6, 24, 48}, .shown = {0, 30, 59, -1}},
    {.id = "UPPER", .inputs = "layers=60;upper_w=1125;upper_height_m=0.8125;setpoint_c=85;cold_layers=40;cold_c=15;hot_c=45",
     .layers = 60, .cold_layers = 40, .cold_C = 15, .hot_C = 45, .W_m_K = 1.43, .heated = 40, .plume = true, .heater_W = 1125,
     .hours = {0.5, 1, 1.5}, .shown = {30, 36, 38, 39, 40, 59, -1}},
    {.id = "LOWER", .inputs = "layers=60;lower_w=1500;lower_height_m=0.1125;setpoint_c=70;differential_k=60;"
                              "change=lower_thermostat_stuck_on;cold_layers=5;cold_c=15;hot_c=30",
     .layers = 60, .cold_layers = 5, .cold_C = 15, .hot_C = 30, .W_m_K = 1.43, .heated = 5, .plume = true, .heater_W = 1500,
     .hours = {1, 2, 3}, .shown = {0, 2, 3, 4, 5, 59, -1}},
    {.id = "LEAK", .inputs = "layers=60;elements=0;setpoint_c=10;leak_w=3;leak_height_m=0.6125;cold_c=20;hot_c=60", .layers = 60,
     .cold_C = 20, .hot_C = 60, .W_m_K = 1.43, .heated = 30, .heater_W = 3, .hours = {6, 24, 48}, .shown = {0, 20, 29, 30, 31, 45, 59}}};

/* C T' = conduction between neighbours + loss + source. */
typedef struct column {
    int n;
    double J_K[MOST], link_W_K[MOST + 1], loss_W_K[MOST], source_W[MOST];
} column;

static column column_of(const stretch *s)
{
    column c = {.n = s->plume ? s->heated + 1 : s->layers};
    double dz = HEIGHT_M / s->layers, link = s->W_m_K * VOLUME_M3 / HEIGHT_M / dz;
    for (int i = 0; i < c.n; i++) {
        double layers = s->plume && i == s->heated ? s->layers - s->heated : 1;
        c.J_K[i] = layers * VOLUME_M3 / s->layers * KG_M3 * J_KG_K;
        c.loss_W_K[i] = layers * LOSS_W_K / s->layers;
        if (i > 0) c.link_W_K[i] = i == s->heated ? 2.0 * link : link; /* between i - 1 and i */
        if (i == s->heated) c.source_W[i] = s->heater_W;
    }
    return c;
}

/* What the linear part makes of v; with the room and the source it is the rate of change. */
static void apply(const column *c, const double *v, double *out)
{
    for (int i = 0; i < c->n; i++) {
        double W = -c->loss_W_K[i] * v[i];
        if (i > 0) W += c->link_W_K[i] * (v[i - 1] - v[i]);
        if (i + 1 < c->n) W += c->link_W_K[i + 1] * (v[i + 1] - v[i]);
        out[i] = W / c->J_K[i];
    }
}

static int rate(realtype t, N_Vector y, N_Vector dy, void *data)
{
    const column *c = data;
    double *out = N_VGetArrayPointer(dy);
    (void)t;
    apply(c, N_VGetArrayPointer(y), out);
    for (int i = 0; i < c->n; i++) out[i] += (c->loss_W_K[i] * ROOM_C + c->source_W[i]) / c->J_K[i];
    return 0;
}

static double start_C(const stretch *s, int i)
{
    if (s->cold_layers > 0) return i < s->cold_layers ? s->cold_C : s->hot_C;
    return s->cold_C + (s->hot_C - s->cold_C) * i / (s->layers - 1);
}

static double step_s(const stretch *s)
{
    double dz = HEIGHT_M / s->layers, number = s->heated >= 0 ? HEAT_NUMBER : REST_NUMBER;
    return s->W_m_K > 0 ? fmin(REST_STEP_S, number * KG_M3 * J_KG_K * dz * dz / s->W_m_K) : REST_STEP_S;
}

/* d[k] is the (k + 2)th derivative in time, of a layer or of the energy. */
static double step_error(double h, double t, const double d[3])
{
    return 0.5 * h * t * fabs(d[0]) + h * h * t / 3.0 * fabs(d[1]) + h * h * t * t / 8.0 * fabs(d[2]);
}

static void row(const stretch *s, double hours, const char *of, double value, const char *unit, double tol)
{
    printf("ODE-%s-%g-%s,layers_at,%s;hours=%g;of=%s,%.6f,%s,%.4g,0,\"SUNDIALS CVODE 6.4.1 on the same layer equations, program "
           "tools/tank_ode.c; tolerance: error of steps of %.0f s by its series\",frozen\n",
           s->id, hours, of, s->inputs, hours, of, value, unit, tol, step_s(s));
}

static void answer(const stretch *s, const column *c, double hours, N_Vector y, N_Vector dy)
{
    double d[4][MOST], t = 3600.0 * hours, h = step_s(s), stored = 0.0, sum[3] = {0};
    const double *T = N_VGetArrayPointer(y);
    rate(t, y, dy, (void *)(size_t)c);
    memcpy(d[0], N_VGetArrayPointer(dy), (size_t)c->n * sizeof(double));
    for (int k = 1; k < 4; k++) apply(c, d[k - 1], d[k]);
    for (int i = 0; i < c->n; i++) {
        stored += c->J_K[i] * (T[i] - start_C(s, i)) / J_KWH;
        for (int k = 0; k < 3; k++) sum[k] += c->J_K[i] * d[k + 1][i] / J_KWH;
    }
    for (int k = 0; k < SHOWN && s->shown[k] >= 0; k++) {
        char of[16];
        int i = s->shown[k] < c->n ? s->shown[k] : c->n - 1; /* in the plume */
        snprintf(of, sizeof of, "%d", s->shown[k]);
        row(s, hours, of, T[i], "C", FLOOR_K + step_error(h, t, (double[]){d[1][i], d[2][i], d[3][i]}));
    }
    double tol = FLOOR_KWH + step_error(h, t, sum);
    row(s, hours, "stored_kwh", stored, "kWh", tol);
    row(s, hours, "lost_kwh", s->heater_W * t / J_KWH - stored, "kWh", tol);
}

static bool solve(const stretch *s, double rtol, SUNContext context)
{
    column c = column_of(s);
    N_Vector y = N_VNew_Serial(c.n, context), dy = N_VNew_Serial(c.n, context);
    SUNMatrix band = SUNBandMatrix(c.n, 1, 1, context);
    SUNLinearSolver linear = SUNLinSol_Band(y, band, context);
    void *cv = CVodeCreate(CV_BDF, context);
    for (int i = 0; i < c.n; i++) N_VGetArrayPointer(y)[i] = start_C(s, i);
    bool ok = cv && CVodeInit(cv, rate, 0.0, y) == CV_SUCCESS && CVodeSStolerances(cv, rtol, rtol) == CV_SUCCESS &&
              CVodeSetUserData(cv, &c) == CV_SUCCESS && CVodeSetLinearSolver(cv, linear, band) == CV_SUCCESS &&
              CVodeSetMaxNumSteps(cv, 1000000) == CV_SUCCESS;
    for (int k = 0; k < TIMES && ok; k++) {
        realtype t = 0.0;
        ok = CVodeSetStopTime(cv, 3600.0 * s->hours[k]) == CV_SUCCESS && CVode(cv, 3600.0 * s->hours[k], y, &t, CV_NORMAL) >= 0;
        for (int i = 1; i < c.n && ok; i++) ok = N_VGetArrayPointer(y)[i] >= N_VGetArrayPointer(y)[i - 1]; /* no inversion */
        if (ok) answer(s, &c, s->hours[k], y, dy);
    }
    CVodeFree(&cv);
    SUNLinSolFree(linear);
    SUNMatDestroy(band);
    N_VDestroy(dy);
    N_VDestroy(y);
    return ok;
}

/* tank-ode [RTOL] */
int main(int argc, char **argv)
{
    SUNContext context = NULL;
    double rtol = argc > 1 ? strtod(argv[1], NULL) : 1e-8;
    if (SUNContext_Create(NULL, &context) != 0) return 1;
    printf("id,what,inputs,value,unit,tol_abs,tol_rel,source,status\n"
           "# Made by tools/tank_ode.c (meson -Dode=enabled): BDF, banded, rtol 1e-8. An outside solver, but on equations and steps\n"
           "# that are this project's own: it checks how they are stepped and booked, not that they describe a tank.\n");
    bool ok = true;
    for (size_t k = 0; k < sizeof STRETCHES / sizeof STRETCHES[0]; k++)
        if (!solve(&STRETCHES[k], rtol, context)) {
            fprintf(stderr, "%s: not solved, or warm water came below cold\n", STRETCHES[k].id);
            ok = false;
        }
    SUNContext_Free(&context);
    return ok ? 0 : 1;
}
