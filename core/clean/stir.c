/* M5: the owner's stirrer lifts and breaks the bed while the house's water carries it off. Six inputs and a diameter
 * describe it; what it is made of does not matter here. */
#include "core/clean/draw.h"

#define SOLIDS_ON_100_KG 3.0   /* X of Zwietering, kg: enters with the power 0.13 */
#define WATER_ALONE_SHARE 2e-3 /* solids that the water alone takes along when the stirrer feeds nothing: judgement */
#define CAKE_PIECES_M 4e-3     /* where nothing limits the pieces of broken cake: judgement */
#define BREAK_AT_LEAST_S 900.0 /* somebody who finds cake goes on for a quarter of an hour: judgement */
enum { STREAM_COUPLING = 300 };

tufa_line clean_stir_line(const tank_draw *t)
{
    tufa_line line = t->line;
    line.port_bore_m = t->port_m;
    line.port_K = t->a[A_STIR_PORT_K];
    return line;
}

/* Share of the grains that is up at a speed below the one that lifts them all: it falls with the power of the stirrer.
 * Judgement. */
static double lifted_at(double n, double n_js) { return n >= n_js ? 1.0 : n * n * n / (n_js * n_js * n_js); }

static double loose_kept_up(const tank_draw *t, method_out *out)
{
    double kg = 0.0, R = t->grain_kg_m3 / t->rho - 1.0;
    for (int i = 0; i < TUFA_CLEAN_SIZES; i++) {
        double d = fmin(clean_class_m(i), t->clearance_m); /* broken to what still goes through */
        double n_js = clean_just_suspended(t->a[A_STIR_S], t->nu, d, R, SOLIDS_ON_100_KG, t->stirrer_m);
        out->class_kg[i] = t->class_kg[i] * t->swept * lifted_at(t->rev_s, n_js);
        kg += out->class_kg[i];
    }
    return kg;
}

void method_stir(const method_once *once, const tank_draw *t, method_out *out)
{
    (void)once;
    tufa_line line = clean_stir_line(t);
    tufa_line_flow flow;
    clean_line_flow(&line, &flow);
    double Q = flow.flow_m3_s;
    if (!(Q > 0.0)) return;
    double loose = loose_kept_up(t, out), d85 = fmin(fmax(t->d85_m, 1e-5), t->clearance_m);
    double most = Q * t->rho * fmin(t->a[A_STIR_MOST], 0.2), feed = t->feed_kg_s > 0.0 ? t->feed_kg_s : WATER_ALONE_SHARE * Q * t->rho;
    feed = fmin(feed, most);
    /* Cake breaks while the loose bed is fed out, and after it for as long as somebody goes on; pieces leave at the feed's pace. */
    double loose_s = loose / feed, cake = t->class_kg[TUFA_CLEAN_CAKE] * t->swept;
    double broken = cake * (1.0 - exp(-t->a[A_STIR_BREAK] * fmax(loose_s, BREAK_AT_LEAST_S)));
    broken *= lifted_at(t->rev_s, clean_just_suspended(t->a[A_STIR_S], t->nu, fmin(CAKE_PIECES_M, t->clearance_m),
                                                       t->grain_kg_m3 / t->rho - 1.0, SOLIDS_ON_100_KG, t->stirrer_m));
    out->class_kg[TUFA_CLEAN_CAKE] = broken;
    double kg = loose + broken, work = fmax(kg / feed, broken > 0.0 ? BREAK_AT_LEAST_S : 0.0);
    /* Turning in the port stands for vibration, which keeps it open down to one grain; the coupling does not turn. */
    double volume_share = feed / t->stone_kg_m3 / Q;
    double grains = clean_arch_grains(fmin(t->coupling_m, line.hose_bore_m) / d85, volume_share);
    double between = grains * PI / 6.0 * d85 * d85 * d85 * t->stone_kg_m3;
    if (isfinite(between) && between > 0.0) out->plugs = clean_poisson(t, STREAM_COUPLING, kg / between);
    double rinse = t->a[A_STIR_RINSE] * t->volume_m3;
    out->onsite_s = out->labour_s = t->a[A_SETUP] + work + rinse / Q + out->plugs * t->clear_s;
    out->water_m3 = Q * work + rinse;
    clean_hose_judge(t, &line, &flow, d85, TUFA_GRADED_COARSE, out);
}
