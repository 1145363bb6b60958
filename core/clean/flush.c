/* M1, water on and drain open; M3, bursts of air before the draw. */
#include "core/base/status.h"
#include "core/clean/draw.h"

#define WALL_JET 1.03 /* u = 1.03 U0 d/r, Rajaratnam 1976, from memory */

static double or_assumed(double x, assumption_id id) { return x > 0.0 ? x : assumption(id).mid; }

/* Everything in range; tau_cr with its error factor. */
static void flush_share(const tufa_flush_in *in, double w, double tau_cr, tufa_flush *out)
{
    double floor = disc_area(in->across_m), u_cr = sqrt(2.0 * tau_cr / (in->rho_kg_m3 * in->Cf));
    out->jet_m_s = in->flow_m3_s / disc_area(in->dip_bore_m);
    double reach = in->dip_bore_m / in->dip_gap_m;
    out->jet_Pa = in->jet_shear * in->rho_kg_m3 * out->jet_m_s * out->jet_m_s * reach * reach;
    double r_c = tau_cr < out->jet_Pa ? WALL_JET * out->jet_m_s * in->dip_bore_m / u_cr * in->jet_gain : 0.0;
    double across = 2.0 * r_c / in->across_m;
    out->lifted_share = fmin(1.0, across * across);
    out->kept_up_share = in->flow_m3_s > 0.0 ? 1.0 / (1.0 + w * floor / in->flow_m3_s) : 0.0; /* a stirred settling basin */
    double r_d2 = in->flow_m3_s / (PI * u_cr); /* a quarter of space around a port in wall and floor */
    out->drawn_share = in->bed_m3 > 0.0 ? fmin(1.0, PI / 3.0 * r_d2 * sqrt(r_d2) / in->bed_m3) : 0.0;
    out->out_share = 1.0 - (1.0 - out->lifted_share * out->kept_up_share) * (1.0 - out->drawn_share);
}

tufa_status tufa_clean_flush_share(const tufa_flush_in *given, double d_m, tufa_flush *out)
{
    tufa_flush_in in = *given;
    in.Cf = or_assumed(in.Cf, A_FLOOR_CF);
    in.jet_shear = or_assumed(in.jet_shear, A_JET_SHEAR);
    in.threshold_factor = or_assumed(in.threshold_factor, A_THRESHOLD);
    if (!(in.jet_gain > 0.0)) in.jet_gain = 1.0;
    RETURN_IF(in_range("flow_m3_s", in.flow_m3_s, 0.0, 0.1));
    RETURN_IF(in_range("across_m", in.across_m, 0.05, 5.0));
    RETURN_IF(in_range("dip_bore_m", in.dip_bore_m, 1e-3, 0.1));
    RETURN_IF(in_range("dip_gap_m", in.dip_gap_m, 0.005, 5.0));
    RETURN_IF(in_range("bed_m3", in.bed_m3, 0.0, 10.0));
    RETURN_IF(in_range("rho_kg_m3", in.rho_kg_m3, 100.0, 5000.0));
    RETURN_IF(in_range("rho_p_kg_m3", in.rho_p_kg_m3, 1.001 * in.rho_kg_m3, 3e4));
    RETURN_IF(in_range("nu_m2_s", in.nu_m2_s, 1e-8, 1e-3));
    RETURN_IF(in_range("d_m", d_m, 1e-7, 0.1));
    double R = in.rho_p_kg_m3 / in.rho_kg_m3 - 1.0;
    flush_share(&in, settle(d_m, R, in.nu_m2_s, STOKES_C1, SAND_C2),
                in.threshold_factor * tau_critical(d_m, R, in.rho_kg_m3, in.nu_m2_s), out);
    return OK;
}

static double air_share(double Q, double V, double h, double w, double plume) { return plume * fmin(1.0, Q / V * h / w); }

tufa_status tufa_clean_air_share(double flow_m3_s, double volume_m3, double height_m, double fall_m_s, double plume_share,
                                 double *out_share)
{
    RETURN_IF(in_range("flow_m3_s", flow_m3_s, 0.0, 0.1));
    RETURN_IF(in_range("volume_m3", volume_m3, 1e-3, 10.0));
    RETURN_IF(in_range("height_m", height_m, 0.05, 5.0));
    RETURN_IF(in_range("fall_m_s", fall_m_s, 1e-7, 10.0));
    RETURN_IF(in_range("plume_share", plume_share, 0.0, 1.0));
    *out_share = air_share(flow_m3_s, volume_m3, height_m, fall_m_s, plume_share);
    return OK;
}

/* ---- arches at the drain ---- */

#define FILTER 5.0        /* Terzaghi: an arch holds back what is not five times finer than its own finer grains */
#define ARCH_SHARE 0.575  /* the coarse half makes the arch; its D15 is the bed's 57.5 % size */
enum { MOST_ARCHES = 40, STREAM_ARCH = 1 };

/* Grains that crowd to the port arch over it after a chance mass; cleared a few times, then left. Answers the share of
 * the crowding mass that got through, and how often it was cleared. */
static double through_arches(const tank_draw *t, double bore, double crowding_kg, double *plugs)
{
    double grains = clean_arch_grains(bore / t->d85_m, 0.0), passed = 0.0;
    *plugs = 0.0;
    if (!isfinite(grains) || !(crowding_kg > 0.0)) return 1.0;
    double between = grains * PI / 6.0 * t->d85_m * t->d85_m * t->d85_m * t->stone_kg_m3;
    for (uint64_t i = 0; i < MOST_ARCHES; i++) {
        passed += between * clean_exponential(t, STREAM_ARCH + i);
        if (passed >= crowding_kg) return 1.0;
        *plugs += 1.0;
        if (*plugs > t->a[A_FLUSH_CLEARS]) break;
    }
    return passed / crowding_kg;
}

/* What the water takes with each class free to leave, of which `crowding_kg` by class crowds to the port; then what
 * arches hold back. */
static void keep_arched(const tank_draw *t, double bore, const double *crowding_kg, method_out *out)
{
    double held_from = clean_size_below(t->class_kg, ARCH_SHARE) / FILTER, coarse = 0.0;
    for (int i = 0; i < TUFA_CLEAN_SIZES; i++)
        if (clean_class_m(i) > held_from) coarse += crowding_kg[i];
    double through = through_arches(t, bore, coarse, &out->plugs);
    for (int i = 0; i < TUFA_CLEAN_SIZES; i++) {
        double d = clean_class_m(i);
        if (d >= bore) out->class_kg[i] = 0.0;
        else if (d > held_from) out->class_kg[i] *= through;
    }
}

static double narrowest(const tank_draw *t, double port) { return t->line.hose_bore_m > 0.0 ? fmin(port, t->coupling_m) : port; }

static void finish_by_hose(const tank_draw *t, double work_s, double water_m3, method_out *out)
{
    out->water_m3 = water_m3;
    out->onsite_s = out->labour_s = t->a[A_SETUP] + work_s;
    clean_hose_judge(t, &t->line, &t->flow, clean_size_below(out->class_kg, 0.85), TUFA_GRADED_CLOSE, out);
}

void method_flush(const method_once *once, const tank_draw *t, method_out *out)
{
    (void)once;
    double Q = t->flow.flow_m3_s, crowding[TUFA_CLEAN_SIZES], R = t->grain_kg_m3 / t->rho - 1.0;
    if (!(Q > 0.0)) return;
    tufa_flush_in in = {.flow_m3_s = Q, .across_m = t->across_m, .dip_bore_m = t->dip_bore_m, .dip_gap_m = t->dip_gap_m,
                        .bed_m3 = t->bed_m3, .rho_kg_m3 = t->rho, .Cf = t->a[A_FLOOR_CF], .jet_shear = t->a[A_JET_SHEAR],
                        .jet_gain = t->dip_gain};
    for (int i = 0; i < TUFA_CLEAN_SIZES; i++) {
        double d = clean_class_m(i);
        tufa_flush share;
        flush_share(&in, clean_class_fall(t, i), t->a[A_THRESHOLD] * tau_critical(d, R, t->rho, t->nu), &share);
        out->class_kg[i] = t->class_kg[i] * share.out_share;
        crowding[i] = t->class_kg[i] * share.drawn_share;
    }
    keep_arched(t, narrowest(t, t->line.port_bore_m), crowding, out);
    double water = t->a[A_RINSE] * t->volume_m3;
    finish_by_hose(t, water / Q, water, out);
}

void method_air(const method_once *once, const tank_draw *t, method_out *out)
{
    (void)once;
    double Q = t->flow.flow_m3_s, h = t->volume_m3 / t->floor_m2;
    if (!(Q > 0.0)) return;
    for (int i = 0; i < TUFA_CLEAN_SIZES; i++) {
        double E = air_share(Q, t->volume_m3, h, clean_class_fall(t, i), fmin(1.0, t->a[A_AIR_PLUME]));
        out->class_kg[i] = t->class_kg[i] * (1.0 - pow(1.0 - E, t->air_cycles));
    }
    keep_arched(t, narrowest(t, t->line.port_bore_m), out->class_kg, out);
    out->cycles = t->air_cycles;
    double draw_s = t->a[A_AIR_DRAW] * t->air_cycles;
    finish_by_hose(t, draw_s + t->a[A_AIR_BLOW] * t->air_cycles, Q * draw_s + t->volume_m3, out);
}
