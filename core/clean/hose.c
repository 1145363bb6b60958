/* Does the slurry stay up in the hose, and how far does it come? */
#include "core/base/status.h"
#include "core/clean/draw.h"

/* Where p_static - k Q2 - port - hose ends - weight of the rise is what friction may use up. */
static double reach(const tufa_line *l, double v, double rho_mix, double margin, double rise)
{
    double Q = v * disc_area(l->hose_bore_m), left = l->static_Pa - l->house_k_Pa_s2_m6 * Q * Q - rho_mix * GRAVITY_M_S2 * rise;
    if (l->port_bore_m > 0.0) {
        double u = Q / disc_area(l->port_bore_m);
        left -= 0.5 * l->port_K * l->rho_kg_m3 * u * u;
    }
    left -= 0.5 * l->hose_K * l->rho_kg_m3 * v * v;
    double f = darcy_f(v * l->hose_bore_m / l->nu_m2_s, l->hose_roughness_m / l->hose_bore_m);
    double Pa_m = 0.5 * f * l->rho_kg_m3 * v * v / l->hose_bore_m * margin;
    return left > 0.0 ? left / Pa_m : 0.0;
}

tufa_status tufa_clean_reach(const tufa_line *line, double v_m_s, double rho_mix, double margin, double *level_m, double *rise_m)
{
    RETURN_IF(in_range("hose_bore_m", line->hose_bore_m, 1e-3, 0.5));
    RETURN_IF(in_range("v_m_s", v_m_s, 1e-3, 50.0));
    RETURN_IF(in_range("rho_mix_kg_m3", rho_mix, 100.0, 5000.0));
    RETURN_IF(in_range("margin", margin, 1.0, 5.0));
    RETURN_IF(in_range("static_Pa", line->static_Pa, 0.0, 5e6));
    RETURN_IF(in_range("nu_m2_s", line->nu_m2_s, 1e-8, 1e-3));
    RETURN_IF(in_range("rho_kg_m3", line->rho_kg_m3, 100.0, 5000.0));
    *level_m = reach(line, v_m_s, rho_mix, margin, 0.0);
    *rise_m = reach(line, v_m_s, rho_mix, margin, line->rise_m);
    return OK;
}

#define SLOPE_WORST_LO 0.34   /* sine of 20 degrees: between 25 and 40 degrees a bed slides back (Wilson and Tse, memory) */
#define SLOPE_WORST_HI 0.87
#define SLOPE_FACTOR 1.3
#define VERTICAL_FALLS 2.0    /* a rising hose carries what falls at half its velocity */
#define SLURRY_DENSITY 1.02   /* over water, at a few percent of solids */
#define SOME_VOLUME_SHARE 0.02

void clean_hose_judge(const tank_draw *t, const tufa_line *line, const tufa_line_flow *flow, double d, tufa_grading grading,
                      method_out *out)
{
    double D = line->hose_bore_m, R = t->grain_kg_m3 / t->rho - 1.0, F_L = F_L_COARSE;
    out->hose_m_s = flow->hose_m_s;
    out->flow_m3_s = flow->flow_m3_s;
    if (!(d > 0.0)) return;
    d = fmin(fmax(d, 1e-6), 0.5 * D);
    if (tufa_clean_F_L(grading, d, SOME_VOLUME_SHARE, &F_L).code != TUFA_OK) F_L = F_L_COARSE;
    double durand = F_L * sqrt(2.0 * GRAVITY_M_S2 * D * R);
    double moves = clean_small_pipe_m_s(D, line->hose_roughness_m, d, R, t->nu, MOVES_A, MOVES_B);
    double dispersed = clean_small_pipe_m_s(D, line->hose_roughness_m, d, R, t->nu, DISPERSED_A, DISPERSED_B);
    double slope = line->rise_m > 0.0 && line->hose_length_m > 0.0 ? line->rise_m / line->hose_length_m : 0.0;
    double factor = slope > SLOPE_WORST_LO && slope < SLOPE_WORST_HI ? SLOPE_FACTOR : 1.0;
    double rising = slope >= SLOPE_WORST_HI ? VERTICAL_FALLS * settle(d, R, t->nu, STOKES_C1, SAND_C2) : 0.0;
    out->deposit_m_s = fmax(factor * fmax(durand, moves), rising);
    out->design_m_s = fmax(factor * DESIGN_MARGIN * fmax(durand, dispersed), rising);
    double rho_mix = SLURRY_DENSITY * t->rho;
    out->reach_level_m = reach(line, out->design_m_s, rho_mix, t->a[A_LOSS_MARGIN], 0.0);
    out->reach_rise_m = reach(line, out->design_m_s, rho_mix, t->a[A_LOSS_MARGIN], line->rise_m);
}
