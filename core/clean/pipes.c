/* Holes, pipes, the way of the water from the street to the hose end, and the time to drain. */
#include "core/base/sources.h"
#include "core/base/status.h"
#include "core/clean/physics.h"

tufa_status tufa_clean_orifice(double Cd, double area_m2, double dp_Pa, double rho_kg_m3, double *flow_m3_s)
{
    RETURN_IF(in_range("Cd", Cd, 0.01, 1.0));
    RETURN_IF(in_range("area_m2", area_m2, 1e-9, 10.0));
    RETURN_IF(in_range("dp_Pa", dp_Pa, 0.0, 1e8));
    RETURN_IF(in_range("rho_kg_m3", rho_kg_m3, 0.1, 2e4));
    *flow_m3_s = Cd * area_m2 * sqrt(2.0 * dp_Pa / rho_kg_m3);
    return OK;
}

/* Colebrook 1939; fixed-point iteration in 1/sqrt(f) contracts by about 8 at each step. */
double clean_colebrook(double Re, double e_D)
{
    enum { STEPS = 30 };
    double x = 1.0 / sqrt(darcy_f(fmax(Re, RE_LAMINAR), e_D));
    for (int i = 0; i < STEPS; i++) {
        double next = -2.0 * log10(e_D / 3.7 + 2.51 * x / Re), change = fabs(next - x);
        x = next;
        if (change < 1e-14 * x) break;
    }
    return 1.0 / (x * x);
}

tufa_status tufa_clean_friction(double Re, double e_D, tufa_friction *out)
{
    RETURN_IF(in_range("Re", Re, 1e-3, 1e9));
    RETURN_IF(in_range("e_D", e_D, 0.0, 0.1));
    *out = (tufa_friction){.f = darcy_f(Re, e_D)};
    if (Re < RE_LAMINAR) {
        out->colebrook = out->swamee_jain = out->moody = out->f;
        return OK;
    }
    out->swamee_jain = out->f;
    out->colebrook = clean_colebrook(Re, e_D);
    out->moody = 0.0055 * (1.0 + cbrt(2e4 * e_D + 1e6 / Re)); /* Moody 1947 */
    return OK;
}

/* ---- from the street to the hose end ---- */

typedef struct line_work {
    const tufa_line *line;
    double available, port_area, hose_area;
} line_work;

/* Pressure left over at flow Q: falls with Q, so that the flow is where it is zero. */
static double pressure_left(double Q, void *ctx)
{
    const line_work *w = ctx;
    const tufa_line *l = w->line;
    double left = w->available - l->house_k_Pa_s2_m6 * Q * Q;
    if (w->port_area > 0.0) {
        double v = Q / w->port_area;
        left -= 0.5 * l->port_K * l->rho_kg_m3 * v * v;
    }
    if (w->hose_area > 0.0) {
        double V = Q / w->hose_area, f = darcy_f(V * l->hose_bore_m / l->nu_m2_s, l->hose_roughness_m / l->hose_bore_m);
        left -= 0.5 * (f * l->hose_length_m / l->hose_bore_m + l->hose_K) * l->rho_kg_m3 * V * V;
    }
    return left;
}

/* More than any flow: each part alone would let through no more, friction at its least. */
static double flow_bound(const line_work *w)
{
    const tufa_line *l = w->line;
    double least_f = 0.004, c = l->house_k_Pa_s2_m6; /* no pipe up to Re 1e9 has a friction factor below it */
    if (w->port_area > 0.0) c += 0.5 * l->port_K * l->rho_kg_m3 / (w->port_area * w->port_area);
    if (w->hose_area > 0.0)
        c += 0.5 * l->rho_kg_m3 * (least_f * l->hose_length_m / l->hose_bore_m + l->hose_K) / (w->hose_area * w->hose_area);
    return sqrt(w->available / c);
}

void clean_line_flow(const tufa_line *l, tufa_line_flow *out)
{
    line_work w = {l, l->static_Pa - l->rho_kg_m3 * GRAVITY_M_S2 * l->rise_m, 0.0, 0.0};
    if (l->port_bore_m > 0.0) w.port_area = disc_area(l->port_bore_m);
    if (l->hose_bore_m > 0.0) w.hose_area = disc_area(l->hose_bore_m);
    *out = (tufa_line_flow){.at_hose_Pa = l->static_Pa};
    if (w.available <= 0.0) return;
    enum { STEPS = 100 };
    double most = flow_bound(&w), Q = most;
    if (tufa_root(pressure_left, &w, 0.0, most, 1e-10 * most, STEPS, &Q).code != TUFA_OK) return;
    out->flow_m3_s = Q;
    double port_loss = 0.0;
    if (w.port_area > 0.0) {
        out->port_m_s = Q / w.port_area;
        port_loss = 0.5 * l->port_K * l->rho_kg_m3 * out->port_m_s * out->port_m_s;
    }
    out->at_hose_Pa = l->static_Pa - l->house_k_Pa_s2_m6 * Q * Q - port_loss;
    if (w.hose_area > 0.0) {
        double V = Q / w.hose_area, f = darcy_f(V * l->hose_bore_m / l->nu_m2_s, l->hose_roughness_m / l->hose_bore_m);
        out->hose_m_s = V;
        out->hose_Pa_m = 0.5 * f * l->rho_kg_m3 * V * V / l->hose_bore_m;
    }
}

static tufa_status line_ok(const tufa_line *l)
{
    RETURN_IF(in_range("static_Pa", l->static_Pa, 0.0, 5e6));
    RETURN_IF(in_range("house_k_Pa_s2_m6", l->house_k_Pa_s2_m6, 0.0, 1e18));
    RETURN_IF(in_range("port_bore_m", l->port_bore_m, 0.0, 0.5));
    RETURN_IF(in_range("port_K", l->port_K, 0.0, 1e4));
    RETURN_IF(in_range("hose_bore_m", l->hose_bore_m, 0.0, 0.5));
    RETURN_IF(in_range("hose_length_m", l->hose_length_m, 0.0, 1e4));
    RETURN_IF(in_range("hose_roughness_m", l->hose_roughness_m, 0.0, 0.01));
    RETURN_IF(in_range("hose_K", l->hose_K, 0.0, 1e4));
    RETURN_IF(in_range("rise_m", l->rise_m, -500.0, 500.0));
    RETURN_IF(in_range("rho_kg_m3", l->rho_kg_m3, 100.0, 5000.0));
    RETURN_IF(in_range("nu_m2_s", l->nu_m2_s, 1e-8, 1e-3));
    int resists = l->house_k_Pa_s2_m6 > 0.0 || (l->port_bore_m > 0.0 && l->port_K > 0.0) ||
                  (l->hose_bore_m > 0.0 && (l->hose_K > 0.0 || l->hose_length_m > 0.0));
    return resists ? OK : trouble(TUFA_MISSING, "port_bore_m", "nothing in this line holds the water back: give a port, a hose or the house's pipe");
}

tufa_status tufa_clean_line_flow(const tufa_line *line, tufa_line_flow *out)
{
    RETURN_IF(line_ok(line));
    clean_line_flow(line, out);
    return OK;
}

tufa_status tufa_clean_house_k(double static_Pa, double flowing_Pa, double flow_m3_s, double *k)
{
    RETURN_IF(in_range("static_Pa", static_Pa, 1e4, 5e6));
    RETURN_IF(in_range("flowing_Pa", flowing_Pa, 0.0, static_Pa));
    RETURN_IF(in_range("flow_m3_s", flow_m3_s, 1e-6, 0.1));
    *k = (static_Pa - flowing_Pa) / (flow_m3_s * flow_m3_s);
    return OK;
}

tufa_status tufa_clean_hazen_williams(double flow_m3_s, double bore_m, double C, double *Pa_m)
{
    RETURN_IF(in_range("flow_m3_s", flow_m3_s, 0.0, 10.0));
    RETURN_IF(in_range("bore_m", bore_m, 1e-3, 5.0));
    RETURN_IF(in_range("C", C, 10.0, 200.0));
    const double water_N_m3 = 998.2 * GRAVITY_M_S2; /* the formula is for cool water */
    *Pa_m = water_N_m3 * 10.67 * pow(flow_m3_s, 1.852) / (pow(C, 1.852) * pow(bore_m, 4.87));
    return OK;
}

/* ---- fittings ---- */

static const tufa_fitting FITTINGS[] = {
#define X(name, src, n, words) {.id = #name, .what = words, .bores = n, .source = src},
#include "core/clean/fittings.def"
#undef X
};
enum { FITTING_COUNT = sizeof FITTINGS / sizeof FITTINGS[0] };

size_t tufa_fitting_count(void) { return FITTING_COUNT; }
const tufa_fitting *tufa_fitting_at(size_t i) { return i < FITTING_COUNT ? &FITTINGS[i] : NULL; }

/* ---- drain time ---- */

tufa_status tufa_clean_drain_time(double A_m2, double a_m2, double h_m, double Cd, double *s)
{
    RETURN_IF(in_range("A_m2", A_m2, 1e-6, 1e6));
    RETURN_IF(in_range("a_m2", a_m2, 1e-9, A_m2));
    RETURN_IF(in_range("h_m", h_m, 0.0, 1e4));
    RETURN_IF(in_range("Cd", Cd, 0.01, 1.0));
    *s = 2.0 * A_m2 * sqrt(h_m) / (Cd * a_m2 * sqrt(2.0 * GRAVITY_M_S2));
    return OK;
}

/* dt = A dh / Q(h). With h = H x2 the integrand stays finite where the flow dies away; midpoint rule. */
tufa_status tufa_clean_drain_time_line(const tufa_line *line, double A_m2, double h_m, double *s)
{
    enum { PARTS = 128 };
    RETURN_IF(in_range("A_m2", A_m2, 1e-4, 1e4));
    RETURN_IF(in_range("h_m", h_m, 1e-4, 100.0));
    tufa_line l = *line;
    l.static_Pa = 0.0;
    l.house_k_Pa_s2_m6 = 0.0;
    RETURN_IF(line_ok(&l));
    double sum = 0.0;
    for (int i = 0; i < PARTS; i++) {
        double x = (i + 0.5) / PARTS;
        tufa_line_flow q;
        l.static_Pa = l.rho_kg_m3 * GRAVITY_M_S2 * h_m * x * x;
        clean_line_flow(&l, &q);
        if (q.flow_m3_s <= 0.0)
            return trouble(TUFA_REFUSED, "rise_m", "the hose end lies above the water: the tank does not drain by itself");
        sum += 2.0 * x * h_m * A_m2 / q.flow_m3_s;
    }
    *s = sum / PARTS;
    return OK;
}
