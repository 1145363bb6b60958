/* The relations by name: what each takes, under which names, and what follows. The command line, checks and docs walk
 * this table; the arithmetic is that of the typed functions. */
#include "core/base/status.h"
#include "core/base/units.h"
#include "core/clean/physics.h"

#define NONE NAN
#define WATER_20_K 293.15
#define CALCITE_KG_M3 2710.0
#define STONE_WATER_KG_M3 998.0

static int given(double x) { return !isnan(x); }
static double first(double a, double b) { return given(a) ? a : b; }

/* A fluid from whatever was said of it; water at T_K, or at 20 C, fills the rest. */
typedef struct fluid {
    double rho, nu, mu;
} fluid;

static tufa_status fluid_from(double T_K, double rho, double nu, double mu, fluid *f)
{
    T_K = first(T_K, WATER_20_K);
    RETURN_IF(in_range("T_K", T_K, 273.15, 373.15));
    f->rho = first(rho, tufa_tank_water_kg_m3(T_K));
    RETURN_IF(in_range("rho_kg_m3", f->rho, 0.1, 2e4));
    if (given(nu) && given(mu)) return trouble(TUFA_CONFLICT, "nu", "give the viscosity once: nu or mu");
    f->nu = given(nu) ? nu : given(mu) ? mu / f->rho : tufa_tank_water_Pa_s(T_K) / tufa_tank_water_kg_m3(T_K);
    RETURN_IF(in_range("nu_m2_s", f->nu, 1e-8, 1.0));
    f->mu = f->nu * f->rho;
    return OK;
}

/* Density of the grains: said, or by their ratio to the water (s) or excess over it (R), or calcite with water in its pores. */
static tufa_status solid_from(double rho_p, double s, double R, double porosity, double rho, double *out)
{
    int said = given(rho_p) + given(s) + given(R);
    if (said > 1) return trouble(TUFA_CONFLICT, "rho_p", "say once how heavy the grains are: rho_p, S or R");
    if (given(rho_p)) *out = rho_p;
    else if (given(s)) *out = s * rho;
    else if (given(R)) *out = (1.0 + R) * rho;
    else {
        porosity = first(porosity, 0.3);
        RETURN_IF(in_range("porosity", porosity, 0.0, 0.9));
        *out = CALCITE_KG_M3 * (1.0 - porosity) + STONE_WATER_KG_M3 * porosity;
    }
    return in_range("rho_p_kg_m3", *out, rho * 1.001, 3e4);
}

static tufa_status needs(const char *field, double x)
{
    return given(x) ? OK : trouble(TUFA_MISSING, field, "this relation needs it");
}

/* ---- settling ---- */

enum { SE_d, SE_R, SE_rho_p, SE_rho, SE_S, SE_nu, SE_mu, SE_T, SE_C1, SE_C2, SE_porosity, SE_flake, SE_Re, SE_sphericity };
static const tufa_relation_in SETTLING_IN[] = {
    {"d", "length", "grain D", "size of the grain, by sieve", NONE},
    {"R", "number", "drho_rho drho/rho", "excess density of the grain over that of the water", NONE},
    {"rho_p", "density", "rho_s", "density of the grain, pores full", NONE},
    {"rho", "density", "rho_f rho_l", "density of the water", NONE},
    {"S", "number", "s", "density of the grain over that of the water; with Re: cross-section of the equal sphere over the grain's own", NONE},
    {"nu", "viscosity", "", "kinematic viscosity", NONE},
    {"mu", "dynamic_viscosity", "", "dynamic viscosity", NONE},
    {"T", "temperature", "", "of the water, where no viscosity is given", NONE},
    {"C1", "number", "", "constant of slow fall", STOKES_C1},
    {"C2", "number", "", "constant of fast fall: 1.0 natural grains, 0.4 smooth spheres", SAND_C2},
    {"porosity", "number", "grain_porosity", "pores of a calcite grain, where no density is given", NONE},
    {"flake", "number", "flake_factor", "factor for flakes, 0.5 to 0.7", 1.0},
    {"Re", "number", "", "Reynolds number: drag coefficients alone", NONE},
    {"sphericity", "number", "phi", "of the grain, for Song and Xu", NONE}};
static const char *const SETTLING_OUT[] = {"settling_m_s", "sphere_m_s", "stokes_m_s", "R", "nu_m2_s", "Re",
                                           "C_D_stokes", "C_D_barati", "C_D_clift_gauvin", "C_D_song_xu"};

static tufa_status run_settling(const double *in, double *out)
{
    double Re = in[SE_Re], R = NONE;
    if (given(in[SE_d])) {
        fluid f;
        double rho_p, w;
        RETURN_IF(fluid_from(in[SE_T], in[SE_rho], in[SE_nu], in[SE_mu], &f));
        RETURN_IF(solid_from(in[SE_rho_p], given(Re) ? NONE : in[SE_S], in[SE_R], in[SE_porosity], f.rho, &rho_p));
        RETURN_IF(in_range("flake", in[SE_flake], 0.05, 1.0));
        R = rho_p / f.rho - 1.0;
        RETURN_IF(tufa_clean_settling(in[SE_d], R, f.nu, in[SE_C1], in[SE_C2], &w));
        out[0] = w * in[SE_flake];
        RETURN_IF(tufa_clean_sphere_fall(in[SE_d], R, f.nu, &out[1]));
        out[2] = R * GRAVITY_M_S2 * in[SE_d] * in[SE_d] / (STOKES_C1 * f.nu);
        out[3] = R;
        out[4] = f.nu;
        if (!given(Re)) Re = out[0] * in[SE_d] / f.nu;
    } else {
        RETURN_IF(needs("d", Re));
    }
    out[5] = Re;
    RETURN_IF(tufa_clean_drag(TUFA_DRAG_STOKES, Re, 1.0, 1.0, &out[6]));
    RETURN_IF(tufa_clean_drag(TUFA_DRAG_BARATI, Re, 1.0, 1.0, &out[7]));
    RETURN_IF(tufa_clean_drag(TUFA_DRAG_CLIFT_GAUVIN, Re, 1.0, 1.0, &out[8]));
    if (given(in[SE_sphericity]) && given(in[SE_Re]))
        RETURN_IF(tufa_clean_drag(TUFA_DRAG_SONG_XU, Re, in[SE_sphericity], first(in[SE_S], 1.0), &out[9]));
    return OK;
}

/* ---- threshold ---- */

enum { TH_d, TH_d_upper, TH_rho_p, TH_S, TH_R, TH_porosity, TH_rho, TH_nu, TH_mu, TH_T };
static const tufa_relation_in THRESHOLD_IN[] = {
    {"d", "length", "d50 d_lower grain", "size of the grain", NONE},
    {"d_upper", "length", "", "upper end of a class; not used", NONE},
    {"rho_p", "density", "rho_s", "density of the grain", NONE},
    {"S", "number", "s", "density of the grain over that of the water", NONE},
    {"R", "number", "drho_rho drho/rho", "excess density over that of the water", NONE},
    {"porosity", "number", "grain_porosity", "pores of a calcite grain, where no density is given", NONE},
    {"rho", "density", "rho_f rho_l", "density of the water", NONE},
    {"nu", "viscosity", "", "kinematic viscosity", NONE},
    {"mu", "dynamic_viscosity", "", "dynamic viscosity", NONE},
    {"T", "temperature", "", "of the water", NONE}};
static const char *const THRESHOLD_OUT[] = {"D_star", "theta_cr", "tau_cr_Pa", "u_star_cr_m_s", "theta_brownlie", "theta_parker"};

static tufa_status run_threshold(const double *in, double *out)
{
    fluid f;
    double rho_p;
    tufa_threshold t;
    RETURN_IF(needs("d", in[TH_d]));
    RETURN_IF(fluid_from(in[TH_T], in[TH_rho], in[TH_nu], in[TH_mu], &f));
    RETURN_IF(solid_from(in[TH_rho_p], in[TH_S], in[TH_R], in[TH_porosity], f.rho, &rho_p));
    RETURN_IF(tufa_clean_threshold(in[TH_d], rho_p, f.rho, f.nu, &t));
    out[0] = t.D_star;
    out[1] = t.theta;
    out[2] = t.tau_Pa;
    out[3] = t.u_star_m_s;
    out[4] = t.theta_brownlie;
    out[5] = 0.5 * t.theta_brownlie;
    return OK;
}

/* ---- orifice ---- */

enum { OR_Cd, OR_kind, OR_d, OR_a, OR_H, OR_dp, OR_Q, OR_v, OR_rho, OR_g, OR_Cv, OR_SG };
static const tufa_relation_in ORIFICE_IN[] = {
    {"Cd", "number", "C_d", "discharge coefficient", NONE},
    {"kind", "choice sharp short_tube rounded re_entrant", "edge", "the usual coefficient of this kind of hole", NONE},
    {"d", "length", "hole_d bore", "bore of the hole", NONE},
    {"a", "area", "area A", "area of the hole", NONE},
    {"H", "length", "h head", "height of water over the hole", NONE},
    {"dp", "pressure", "p", "pressure over the hole", NONE},
    {"Q", "flow", "flow", "flow, to find the coefficient", NONE},
    {"v", "velocity", "jet_velocity jet", "jet velocity as measured", NONE},
    {"rho", "density", "", "density of the water", NONE},
    {"g", "acceleration", "", "gravity", GRAVITY_M_S2},
    {"Cv", "number", "", "flow coefficient of a valve: gallons a minute of water at 1 psi", NONE},
    {"SG", "number", "", "density over that of water, with Cv", 1.0}};
static const char *const ORIFICE_OUT[] = {"flow_m3_s", "flow_L_min", "flow_gpm", "velocity_m_s", "velocity_ft_s", "Cd", "Cv", "Cc"};
static const double KIND_CD[] = {0.62, 0.80, 0.97, 0.51}; /* the last two from memory, standard textbook values */

static tufa_status run_orifice(const double *in, double *out)
{
    fluid f;
    RETURN_IF(fluid_from(NONE, in[OR_rho], NONE, NONE, &f));
    RETURN_IF(in_range("g_m_s2", in[OR_g], 1.0, 30.0));
    if (!given(in[OR_H]) && !given(in[OR_dp])) return trouble(TUFA_MISSING, "H", "this relation needs a head of water (H_m, H_ft) or a pressure (dp_psi, dp_Pa)");
    double dp = first(in[OR_dp], f.rho * in[OR_g] * in[OR_H]), area = in[OR_a];
    RETURN_IF(in_range("dp_Pa", dp, 0.0, 1e8));
    if (given(in[OR_Cv])) {
        RETURN_IF(in_range("Cv", in[OR_Cv], 0.0, 1e6));
        RETURN_IF(in_range("SG", in[OR_SG], 0.01, 30.0));
        out[2] = in[OR_Cv] * sqrt(psi_from_Pa(dp) / in[OR_SG]);
        out[0] = m3_from_gal(out[2]) / 60.0;
        out[1] = L_min_from_m3_s(out[0]);
        return OK;
    }
    out[3] = sqrt(2.0 * dp / f.rho);
    out[4] = ft_from_m(out[3]);
    if (!given(area) && given(in[OR_d])) area = disc_area(in[OR_d]);
    double Cd = in[OR_Cd];
    if (!given(Cd) && given(in[OR_kind])) Cd = KIND_CD[(int)in[OR_kind]];
    if (given(in[OR_Q])) {
        RETURN_IF(needs("d", area));
        Cd = in[OR_Q] / (area * out[3]);
    }
    if (given(in[OR_v])) out[6] = in[OR_v] / out[3];
    out[5] = Cd;
    if (given(Cd) && given(in[OR_v])) out[7] = Cd / out[6];
    if (!given(area)) return OK;
    Cd = first(Cd, KIND_CD[0]);
    RETURN_IF(tufa_clean_orifice(Cd, area, dp, f.rho, &out[0]));
    out[1] = L_min_from_m3_s(out[0]);
    out[2] = gal_from_m3(out[0]) * 60.0;
    out[5] = Cd;
    return OK;
}

/* ---- pipe_friction ---- */

enum { PI_D, PI_Q, PI_v, PI_L, PI_e, PI_eD, PI_Re, PI_f, PI_K, PI_H, PI_dp, PI_rise, PI_nu, PI_mu, PI_T, PI_rho, PI_C, PI_FITTINGS };
static const tufa_relation_in PIPE_IN[] = {
    {"D", "length", "d bore id", "bore", NONE},
    {"Q", "flow", "flow", "flow", NONE},
    {"v", "velocity", "V", "mean velocity", NONE},
    {"L", "length", "length", "length of the pipe", NONE},
    {"e", "length", "ks roughness", "roughness", 0.0},
    {"eD", "number", "e_D e/D", "roughness over bore", NONE},
    {"Re", "number", "", "Reynolds number: friction factors alone", NONE},
    {"f", "number", "", "friction factor (Darcy), where it is given", NONE},
    {"K", "number", "", "sum of the losses of entrance, fittings, valves and exit, in velocity heads", 0.0},
    {"H", "length", "head", "height of water that drives the flow, where no flow is given", NONE},
    {"dp", "pressure", "p", "pressure that drives the flow, where no flow is given", NONE},
    {"rise", "length", "z lift", "rise of the far end", 0.0},
    {"nu", "viscosity", "", "kinematic viscosity", NONE},
    {"mu", "dynamic_viscosity", "", "dynamic viscosity", NONE},
    {"T", "temperature", "", "of the water", NONE},
    {"rho", "density", "", "density", NONE},
    {"C", "number", "", "coefficient of Hazen and Williams", 140.0},
    /* counts of fittings, in the order of fittings.def */
    {"gates", "number", "", "open gate valves", 0.0},
    {"globes", "number", "", "open globe valves", 0.0},
    {"angles", "number", "", "open angle valves", 0.0},
    {"elbows_45", "number", "", "45 degree elbows", 0.0},
    {"elbows", "number", "elbows_90", "90 degree elbows", 0.0},
    {"tees", "number", "tees_run", "tees, straight through", 0.0},
    {"tees_branch", "number", "", "tees, through the branch", 0.0}};
static const char *const PIPE_OUT[] = {"Re", "f", "f_colebrook", "f_swamee_jain", "f_moody", "velocity_m_s", "flow_m3_s",
                                       "flow_L_min", "loss_Pa", "loss_psi", "loss_m", "loss_ft", "total_Pa",
                                       "gradient_Pa_m", "hazen_williams_Pa_m", "fittings_m", "fittings_ft"};

static double fittings_m(const double *in)
{
    double bores = 0.0;
    for (size_t i = 0; i < tufa_fitting_count(); i++) bores += in[PI_FITTINGS + i] * tufa_fitting_at(i)->bores;
    return given(in[PI_D]) ? bores * in[PI_D] : 0.0;
}

/* Velocity that a pressure drives through pipe and fittings; friction follows the velocity. */
static double driven_velocity(const double *in, double dp, double rho, double nu, double e_D)
{
    enum { STEPS = 60 };
    double v = 1.0;
    for (int i = 0; i < STEPS; i++) {
        double f = first(in[PI_f], darcy_f(v * in[PI_D] / nu, e_D));
        double next = sqrt(2.0 * dp / rho / fmax(f * (first(in[PI_L], 0.0) + fittings_m(in)) / in[PI_D] + in[PI_K], 1e-9));
        if (fabs(next - v) < 1e-12 * v) return next;
        v = next;
    }
    return v;
}

static tufa_status run_pipe(const double *in, double *out)
{
    fluid f;
    RETURN_IF(fluid_from(in[PI_T], in[PI_rho], in[PI_nu], in[PI_mu], &f));
    double D = in[PI_D], e_D = in[PI_eD], Re = in[PI_Re], v = in[PI_v];
    if (given(D)) RETURN_IF(in_range("D_m", D, 1e-4, 20.0));
    if (!given(e_D)) e_D = given(D) ? in[PI_e] / D : 0.0;
    RETURN_IF(in_range("e_D", e_D, 0.0, 0.1));
    RETURN_IF(in_range("K", in[PI_K], 0.0, 1e6));
    for (size_t i = 0; i < tufa_fitting_count(); i++) RETURN_IF(in_range(PIPE_IN[PI_FITTINGS + i].name, in[PI_FITTINGS + i], 0.0, 1e4));
    double fittings = fittings_m(in);
    if (fittings > 0.0) {
        out[15] = fittings;
        out[16] = ft_from_m(fittings);
    }
    if (!given(Re)) {
        RETURN_IF(needs("D", D));
        if (!given(v) && given(in[PI_Q])) v = in[PI_Q] / disc_area(D);
        if (!given(v) && (given(in[PI_H]) || given(in[PI_dp]))) {
            double dp = first(in[PI_dp], f.rho * GRAVITY_M_S2 * first(in[PI_H], 0.0)) - f.rho * GRAVITY_M_S2 * in[PI_rise];
            RETURN_IF(in_range("dp_Pa", dp, 0.0, 1e9));
            if (!(in[PI_K] > 0.0) && !given(in[PI_L])) return needs("L", NONE);
            v = driven_velocity(in, dp, f.rho, f.nu, e_D);
        }
        if (!given(v) && fittings > 0.0) return OK; /* the length alone was asked */
        RETURN_IF(needs("Q", v));
        RETURN_IF(in_range("v_m_s", v, 0.0, 200.0));
        Re = v * D / f.nu;
    }
    tufa_friction fr = {0};
    if (Re > 0.0) RETURN_IF(tufa_clean_friction(Re, e_D, &fr));
    out[0] = Re;
    out[1] = first(in[PI_f], fr.colebrook);
    out[2] = fr.colebrook;
    out[3] = fr.swamee_jain;
    out[4] = fr.moody;
    if (!given(v)) return OK;
    out[5] = v;
    out[6] = v * disc_area(D);
    out[7] = L_min_from_m3_s(out[6]);
    double head_Pa = 0.5 * f.rho * v * v;
    out[13] = out[1] / D * head_Pa;
    out[8] = out[13] * (first(in[PI_L], 0.0) + fittings) + in[PI_K] * head_Pa;
    out[9] = psi_from_Pa(out[8]);
    out[10] = out[8] / (f.rho * GRAVITY_M_S2);
    out[11] = ft_from_m(out[10]);
    out[12] = out[8] + f.rho * GRAVITY_M_S2 * in[PI_rise];
    return tufa_clean_hazen_williams(out[6], fmax(D, 1e-3), in[PI_C], &out[14]);
}

/* ---- hose_flow ---- */

enum { HO_static, HO_k, HO_lost, HO_at, HO_bore, HO_K, HO_hose, HO_L, HO_e, HO_hose_K, HO_rise, HO_Q, HO_T, HO_nu, HO_rho, HO_C };
static const tufa_relation_in HOSE_IN[] = {
    {"static", "pressure", "p p_static pressure", "pressure before anything flows", NONE},
    {"house_k", "house_k", "k", "loss of the house's pipe over the square of the flow", NONE},
    {"house_lost", "pressure", "lost", "pressure lost in the house's pipe at house_at", 137895.14586336}, /* 20 psi at 10 gpm: assumption */
    {"house_at", "flow", "at_flow", "flow at which house_lost was read", 6.30901964e-4},
    {"bore", "length", "port port_bore D0 valve_bore", "bore of drain valve or port", NONE},
    {"K", "number", "port_K valve_K", "loss of the valve in velocity heads on its own bore", 0.0},
    {"hose", "length", "id D D_h hose_bore hose_id", "bore of the hose", NONE},
    {"length", "length", "L hose_length", "length of the hose", 0.0},
    {"e", "length", "roughness", "roughness of the hose", 1.5e-6}, /* assumption */
    {"hose_K", "number", "", "entrance and exit of the hose, in velocity heads", 1.5},
    {"rise", "length", "z lift", "rise of the hose end above the port", 0.0},
    {"Q", "flow", "flow", "flow, where the loss at a flow is asked", NONE},
    {"T", "temperature", "", "of the water", NONE},
    {"nu", "viscosity", "", "kinematic viscosity", NONE},
    {"rho", "density", "", "density", NONE},
    {"C", "number", "", "coefficient of Hazen and Williams", 140.0}};
static const char *const HOSE_OUT[] = {"flow_m3_s", "flow_L_min", "flow_gpm", "hose_m_s", "port_m_s", "at_hose_Pa", "at_hose_psi",
                                       "hose_Pa_m", "hose_psi_per_100ft", "hazen_williams_Pa_m",
                                       "hazen_williams_psi_per_100ft", "open_hose_m3_s", "open_hose_gpm"};

static double psi_per_100ft(double Pa_m) { return psi_from_Pa(Pa_m * m_from_ft(100.0)); }

static tufa_status run_hose(const double *in, double *out)
{
    fluid f;
    RETURN_IF(fluid_from(in[HO_T], in[HO_rho], in[HO_nu], NONE, &f));
    tufa_line line = {.static_Pa = first(in[HO_static], 0.0), .port_bore_m = first(in[HO_bore], 0.0), .port_K = in[HO_K],
                      .hose_bore_m = first(in[HO_hose], 0.0), .hose_length_m = in[HO_L], .hose_roughness_m = in[HO_e],
                      .hose_K = in[HO_hose_K], .rise_m = in[HO_rise], .rho_kg_m3 = f.rho, .nu_m2_s = f.nu};
    RETURN_IF(in_range("house_at_m3_s", in[HO_at], 1e-7, 1.0));
    line.house_k_Pa_s2_m6 = first(in[HO_k], in[HO_lost] / (in[HO_at] * in[HO_at]));
    tufa_line_flow q = {0};
    if (given(in[HO_Q])) {
        RETURN_IF(needs("hose", in[HO_hose]));
        RETURN_IF(in_range("hose_m", in[HO_hose], 1e-3, 0.5));
        RETURN_IF(in_range("Q_m3_s", in[HO_Q], 0.0, 1.0));
        q.flow_m3_s = in[HO_Q];
        q.hose_m_s = in[HO_Q] / disc_area(in[HO_hose]);
        q.hose_Pa_m = 0.5 * f.rho * q.hose_m_s * q.hose_m_s / in[HO_hose] *
                      darcy_f(q.hose_m_s * in[HO_hose] / f.nu, in[HO_e] / in[HO_hose]);
    } else {
        RETURN_IF(needs("static", in[HO_static]));
        RETURN_IF(tufa_clean_line_flow(&line, &q));
        out[4] = line.port_bore_m > 0.0 ? q.port_m_s : NONE;
        out[5] = q.at_hose_Pa;
        out[6] = psi_from_Pa(q.at_hose_Pa);
    }
    out[0] = q.flow_m3_s;
    out[1] = L_min_from_m3_s(q.flow_m3_s);
    out[2] = gal_from_m3(q.flow_m3_s) * 60.0;
    if (!(line.hose_bore_m > 0.0)) return OK;
    out[3] = q.hose_m_s;
    out[7] = q.hose_Pa_m;
    out[8] = psi_per_100ft(q.hose_Pa_m);
    RETURN_IF(tufa_clean_hazen_williams(q.flow_m3_s, line.hose_bore_m, in[HO_C], &out[9]));
    out[10] = psi_per_100ft(out[9]);
    if (!(line.hose_length_m > 0.0) || !given(in[HO_static])) return OK;
    double unit_Pa_m; /* of 1 m3/s: the whole pressure spent in the hose */
    RETURN_IF(tufa_clean_hazen_williams(1.0, line.hose_bore_m, in[HO_C], &unit_Pa_m));
    double spent = fmax(0.0, line.static_Pa - f.rho * GRAVITY_M_S2 * line.rise_m);
    out[11] = pow(spent / (unit_Pa_m * line.hose_length_m), 1.0 / 1.852);
    out[12] = gal_from_m3(out[11]) * 60.0;
    return OK;
}

/* ---- ergun ---- */

enum { ER_d, ER_e, ER_v, ER_rho, ER_mu, ER_nu, ER_T, ER_L, ER_gradient, ER_dp, ER_h };
static const tufa_relation_in ERGUN_IN[] = {
    {"d", "length", "dp grain D", "size of the grains", NONE},
    {"voidage", "number", "eps e", "share of the bed between the grains", 0.4},
    {"v", "velocity", "", "velocity as if the bed were empty", NONE},
    {"rho", "density", "rho_f", "density of the water", NONE},
    {"mu", "dynamic_viscosity", "", "dynamic viscosity", NONE},
    {"nu", "viscosity", "", "kinematic viscosity", NONE},
    {"T", "temperature", "", "of the water", NONE},
    {"L", "length", "length", "thickness of the bed", 1.0},
    {"gradient", "gradient", "", "pressure for each metre, where a velocity is asked", NONE},
    {"p", "pressure", "dp pressure", "pressure over the bed, where a velocity is asked", NONE},
    {"h", "length", "head", "height of water over the bed, where a velocity is asked", NONE}};
static const char *const ERGUN_OUT[] = {"ergun_Pa_m", "pressure_Pa", "v_m_s", "v_blake_kozeny_m_s", "blake_kozeny_Pa_m",
                                        "idelchik_Pa_m", "carman_Pa_m", "kta_Pa_m"};

static tufa_status run_ergun(const double *in, double *out)
{
    fluid f;
    RETURN_IF(needs("d", in[ER_d]));
    RETURN_IF(fluid_from(in[ER_T], in[ER_rho], in[ER_nu], in[ER_mu], &f));
    RETURN_IF(in_range("L_m", in[ER_L], 1e-6, 1e4));
    double v = in[ER_v], gradient = in[ER_gradient];
    if (given(in[ER_dp])) gradient = in[ER_dp] / in[ER_L];
    if (given(in[ER_h])) gradient = f.rho * GRAVITY_M_S2 * in[ER_h] / in[ER_L];
    if (!given(v)) {
        RETURN_IF(needs("v", gradient));
        RETURN_IF(tufa_clean_bed_velocity(in[ER_d], in[ER_e], gradient, f.rho, f.mu, 0, &v));
        RETURN_IF(tufa_clean_bed_velocity(in[ER_d], in[ER_e], gradient, f.rho, f.mu, 1, &out[3]));
    }
    tufa_bed_gradient g;
    RETURN_IF(tufa_clean_ergun(in[ER_d], in[ER_e], v, f.rho, f.mu, &g));
    out[0] = g.ergun_Pa_m;
    out[1] = g.ergun_Pa_m * in[ER_L];
    out[2] = v;
    out[4] = g.blake_kozeny_Pa_m;
    out[5] = g.idelchik_Pa_m;
    out[6] = g.carman_Pa_m;
    out[7] = g.kta_Pa_m;
    return OK;
}

/* ---- fluidise ---- */

enum { FL_d, FL_rho_p, FL_rho, FL_S, FL_R, FL_porosity, FL_mu, FL_nu, FL_T, FL_e, FL_sphericity, FL_H, FL_expanded, FL_expansion, FL_m, FL_across };
static const tufa_relation_in FLUIDISE_IN[] = {
    {"d", "length", "dp grain beads", "size of the grains", NONE},
    {"rho_p", "density", "rho_s", "density of the grains", NONE},
    {"rho", "density", "rho_f", "density of the water", NONE},
    {"S", "number", "s", "density of the grains over that of the water", NONE},
    {"R", "number", "drho_rho drho/rho", "excess density over that of the water", NONE},
    {"porosity", "number", "grain_porosity", "pores of calcite grains, where no density is given", NONE},
    {"mu", "dynamic_viscosity", "", "dynamic viscosity", NONE},
    {"nu", "viscosity", "", "kinematic viscosity", NONE},
    {"T", "temperature", "", "of the water", NONE},
    {"voidage", "number", "eps eps_mf e", "share of the bed between the grains; without one (0.071/sphericity)^(1/3)", NONE},
    {"sphericity", "number", "phi", "of the grains", 1.0},
    {"H", "length", "L depth", "depth of the bed", NONE},
    {"voidage_expanded", "number", "eps_expanded", "voidage of the expanded bed", NONE},
    {"expansion", "share", "", "growth of the bed, in place of the voidage", NONE},
    {"m", "number", "", "exponent of the expansion", 3.9},
    {"across", "length", "tank tank_d diameter", "across the floor", 0.45}};
static const char *const FLUIDISE_OUT[] = {"voidage_mf", "v_mf_m_s", "v_mf_mm_s", "wen_yu_m_s", "wen_yu_mm_s", "weight_Pa_m", "dp_Pa",
                                           "dp_total_Pa", "dp_total_lbf_ft2", "v_expanded_m_s", "v_expanded_mm_s",
                                           "floor_flow_m3_s", "floor_flow_L_min"};
#define PA_PER_LBF_FT2 47.88025898033584 /* 4.4482216152605 N over 0.09290304 m2, exact */

static tufa_status run_fluidise(const double *in, double *out)
{
    fluid f;
    double rho_p, d = in[FL_d], H = in[FL_H];
    RETURN_IF(fluid_from(in[FL_T], in[FL_rho], in[FL_nu], in[FL_mu], &f));
    RETURN_IF(solid_from(in[FL_rho_p], in[FL_S], in[FL_R], in[FL_porosity], f.rho, &rho_p));
    if (given(in[FL_e])) RETURN_IF(in_range("voidage", in[FL_e], 0.05, 0.95));
    tufa_fluidise z;
    double any_size = 1e-3; /* the weight of a bed does not depend on it */
    RETURN_IF(tufa_clean_fluidise(first(d, any_size), rho_p, f.rho, f.mu, first(in[FL_e], 0.0), in[FL_sphericity], &z));
    out[0] = z.voidage_mf;
    out[5] = z.weight_Pa_m;
    if (given(H)) {
        RETURN_IF(in_range("H_m", H, 0.0, 100.0));
        out[6] = z.weight_Pa_m * H;
        out[7] = out[6] + f.rho * GRAVITY_M_S2 * H;
        out[8] = out[7] / PA_PER_LBF_FT2;
    }
    if (!given(d)) return OK;
    out[1] = z.v_mf_m_s;
    out[2] = 1e3 * out[1];
    out[3] = z.wen_yu_m_s;
    out[4] = 1e3 * out[3];
    double wide = in[FL_expanded];
    if (given(in[FL_expansion])) wide = 1.0 - (1.0 - z.voidage_mf) / (1.0 + in[FL_expansion]);
    if (given(wide)) {
        RETURN_IF(in_range("voidage_expanded", wide, z.voidage_mf, 0.99));
        out[9] = z.v_mf_m_s * pow(wide / z.voidage_mf, in[FL_m]);
        out[10] = 1e3 * out[9];
    }
    RETURN_IF(in_range("across_m", in[FL_across], 1e-3, 10.0));
    out[11] = (given(in[FL_e]) ? z.v_mf_m_s : z.wen_yu_m_s) * disc_area(in[FL_across]);
    out[12] = L_min_from_m3_s(out[11]);
    return OK;
}

/* ---- just_suspended ---- */

enum { JS_S, JS_nu, JS_mu, JS_T, JS_d, JS_drho, JS_rho_p, JS_rho, JS_X, JS_D, JS_Np, JS_n, JS_tank };
static const tufa_relation_in SUSPENDED_IN[] = {
    {"S", "number", "", "number of the stirrer and its place: 5 to 8 near the floor, more where the tank is wide", 6.0},
    {"nu", "viscosity", "", "kinematic viscosity", NONE},
    {"mu", "dynamic_viscosity", "", "dynamic viscosity", NONE},
    {"T", "temperature", "", "of the water", NONE},
    {"d", "length", "grain", "size of the grains", NONE},
    {"drho_rho", "number", "drho/rho R", "excess density over that of the water", NONE},
    {"rho_p", "density", "rho_s", "density of the grains", NONE},
    {"rho", "density", "", "density of the water", NONE},
    {"X", "number", "", "kg of solids on 100 kg of liquid", 3.0},
    {"D", "length", "diameter across", "across the stirrer", NONE},
    {"Np", "number", "N_p", "power number", 1.0},
    {"n", "frequency", "N speed", "speed at which power is asked", NONE},
    {"tank", "length", "tank_d T_tank", "across the tank", NONE}};
static const char *const SUSPENDED_OUT[] = {"n_js_per_s", "n_js_rpm", "tip_m_s", "power_W", "power_kW", "torque_Nm", "D_T", "extrapolated"};
#define D_T_LOW 0.15 /* the formula's own range of stirrer over tank, 0.15 to 0.6 */
#define D_T_HIGH 0.6

static tufa_status run_suspended(const double *in, double *out)
{
    fluid f;
    RETURN_IF(fluid_from(in[JS_T], in[JS_rho], in[JS_nu], in[JS_mu], &f));
    RETURN_IF(needs("D", in[JS_D]));
    RETURN_IF(in_range("D_m", in[JS_D], 1e-3, 20.0));
    RETURN_IF(in_range("Np", in[JS_Np], 0.0, 100.0));
    double n = in[JS_n];
    if (given(in[JS_d])) {
        double rho_p;
        RETURN_IF(solid_from(in[JS_rho_p], NONE, in[JS_drho], NONE, f.rho, &rho_p));
        RETURN_IF(tufa_clean_just_suspended(in[JS_S], f.nu, in[JS_d], rho_p / f.rho - 1.0, in[JS_X], in[JS_D], &out[0]));
        out[1] = 60.0 * out[0];
        n = first(n, out[0]);
    }
    RETURN_IF(needs("d", n));
    RETURN_IF(in_range("n_per_s", n, 0.0, 1e4));
    out[2] = PI * in[JS_D] * n;
    out[3] = in[JS_Np] * f.rho * n * n * n * pow(in[JS_D], 5.0);
    out[4] = 1e-3 * out[3];
    if (n > 0.0) out[5] = out[3] / (2.0 * PI * n);
    if (!given(in[JS_tank])) return OK;
    RETURN_IF(in_range("tank_m", in[JS_tank], 1e-2, 100.0));
    out[6] = in[JS_D] / in[JS_tank];
    out[7] = out[6] < D_T_LOW || out[6] > D_T_HIGH;
    return OK;
}

/* ---- deposition ---- */

enum { DE_D, DE_d, DE_d50, DE_rho_p, DE_S, DE_R, DE_porosity, DE_rho, DE_mu, DE_nu, DE_T, DE_e, DE_Cv, DE_FL, DE_grading };
static const tufa_relation_in DEPOSITION_IN[] = {
    {"D", "length", "hose id hose_bore bore", "bore of hose or pipe", NONE},
    {"d", "length", "grain d85", "size of the grains", NONE},
    {"d50", "length", "", "middle size of widely graded grains", NONE},
    {"rho_p", "density", "rho_s", "density of the grains", NONE},
    {"S", "number", "s", "density of the grains over that of the water", NONE},
    {"R", "number", "drho_rho drho/rho", "excess density over that of the water", NONE},
    {"porosity", "number", "grain_porosity", "pores of calcite grains, where no density is given", NONE},
    {"rho", "density", "rho_l rho_f", "density of the liquid", NONE},
    {"mu", "dynamic_viscosity", "", "dynamic viscosity", NONE},
    {"nu", "viscosity", "", "kinematic viscosity", NONE},
    {"T", "temperature", "", "of the water", NONE},
    {"e", "length", "roughness", "roughness of the wall", 1.5e-6},
    {"Cv", "percent", "C_v volume_share", "solids by volume: below 1 a share, from 1 on percent", NONE},
    {"FL", "number", "F_L", "F_L, where it is given", NONE},
    {"grading", "choice coarse wide close", "", "which table F_L is taken from", NONE}};
static const char *const DEPOSITION_OUT[] = {"F_L", "durand_m_s", "moves_m_s", "dispersed_m_s", "design_m_s", "durand_L_min",
                                             "durand_gpm", "design_L_min", "design_gpm"};

static tufa_status run_deposition(const double *in, double *out)
{
    fluid f;
    double rho_p, F_L = in[DE_FL], d = first(in[DE_d], in[DE_d50]);
    RETURN_IF(fluid_from(in[DE_T], in[DE_rho], in[DE_nu], in[DE_mu], &f));
    RETURN_IF(solid_from(in[DE_rho_p], in[DE_S], in[DE_R], in[DE_porosity], f.rho, &rho_p));
    if (!given(F_L)) {
        /* a middle size means widely graded; a size with a share of solids, closely graded; else coarse */
        tufa_grading g = given(in[DE_grading]) ? (tufa_grading)in[DE_grading]
                         : given(in[DE_d50])   ? TUFA_GRADED_WIDE
                         : given(in[DE_Cv])    ? TUFA_GRADED_CLOSE
                                               : TUFA_GRADED_COARSE;
        if (g != TUFA_GRADED_COARSE) RETURN_IF(needs("d", d));
        double some = 0.05; /* where nobody said how much: the lowest share that both tables hold */
        RETURN_IF(tufa_clean_F_L(g, first(d, 1e-3), first(in[DE_Cv], some), &F_L));
    }
    out[0] = F_L;
    if (!given(in[DE_D])) return OK;
    double usual_m = 2e-3; /* size that the hose tables of the docs are made for */
    tufa_deposition v;
    RETURN_IF(tufa_clean_deposition(in[DE_D], in[DE_e], first(d, fmin(usual_m, in[DE_D])), rho_p, f.rho, f.nu, F_L, &v));
    out[1] = v.durand_m_s;
    out[2] = v.moves_m_s;
    out[3] = v.dispersed_m_s;
    out[4] = v.design_m_s;
    out[5] = L_min_from_m3_s(v.durand_m_s * disc_area(in[DE_D]));
    out[6] = gal_from_m3(v.durand_m_s * disc_area(in[DE_D])) * 60.0;
    out[7] = L_min_from_m3_s(v.design_m_s * disc_area(in[DE_D]));
    out[8] = gal_from_m3(v.design_m_s * disc_area(in[DE_D])) * 60.0;
    return OK;
}

/* ---- drain_time ---- */

enum { DR_A, DR_a, DR_h, DR_Cd, DR_tank, DR_hole, DR_K, DR_hose, DR_L, DR_e, DR_hose_K, DR_drop, DR_T, DR_g };
static const tufa_relation_in DRAIN_IN[] = {
    {"A", "area", "", "area of the tank's floor", NONE},
    {"a", "area", "", "area of the hole", NONE},
    {"h", "length", "H height", "height of water at the start", NONE},
    {"Cd", "number", "C_d", "discharge coefficient, without a hose", 0.62},
    {"tank_d", "length", "tank across", "across the tank", NONE},
    {"hole_d", "length", "hole bore D0", "bore of the hole or valve", NONE},
    {"K", "number", "port_K valve_K", "loss of the valve in velocity heads, with a hose", 0.0},
    {"hose", "length", "hose_bore id", "bore of the hose", NONE},
    {"length", "length", "L hose_length", "length of the hose", 0.0},
    {"e", "length", "roughness", "roughness of the hose", 1.5e-6},
    {"hose_K", "number", "", "entrance and exit of the hose", 1.5},
    {"drop", "length", "", "hose end below the tank's floor", 0.0},
    {"T", "temperature", "", "of the water", NONE},
    {"g", "acceleration", "", "gravity, without a hose", GRAVITY_M_S2}};
static const char *const DRAIN_OUT[] = {"time_s", "time_min"};

static tufa_status run_drain(const double *in, double *out)
{
    double A = in[DR_A], a = in[DR_a];
    if (!given(A) && given(in[DR_tank])) A = disc_area(in[DR_tank]);
    if (!given(a) && given(in[DR_hole])) a = disc_area(in[DR_hole]);
    RETURN_IF(needs("A", A));
    RETURN_IF(needs("h", in[DR_h]));
    RETURN_IF(in_range("g_m_s2", in[DR_g], 1.0, 30.0));
    if (given(in[DR_hose]) || in[DR_K] > 0.0) {
        fluid f;
        RETURN_IF(fluid_from(in[DR_T], NONE, NONE, NONE, &f));
        tufa_line line = {.port_bore_m = given(a) ? sqrt(4.0 * a / PI) : 0.0, .port_K = in[DR_K],
                          .hose_bore_m = first(in[DR_hose], 0.0), .hose_length_m = in[DR_L], .hose_roughness_m = in[DR_e],
                          .hose_K = in[DR_hose_K], .rise_m = -in[DR_drop], .rho_kg_m3 = f.rho, .nu_m2_s = f.nu};
        RETURN_IF(tufa_clean_drain_time_line(&line, A, in[DR_h], &out[0]));
    } else {
        RETURN_IF(needs("a", a));
        RETURN_IF(tufa_clean_drain_time(A, a, in[DR_h], in[DR_Cd], &out[0]));
        out[0] *= sqrt(GRAVITY_M_S2 / in[DR_g]);
    }
    out[1] = out[0] / 60.0;
    return OK;
}

/* ---- arch ---- */

enum { AR_bore, AR_d, AR_R, AR_rho_p, AR_porosity, AR_c, AR_D15, AR_d85, AR_d15, AR_plug, AR_dp, AR_voidage, AR_T };
static const tufa_relation_in ARCH_IN[] = {
    {"bore", "length", "hole hole_d D0 D port tube", "bore of the hole", NONE},
    {"d", "length", "grain", "largest width of the grains", NONE},
    {"R", "number", "", "bore over grain, in place of one of the two", NONE},
    {"rho_p", "density", "rho_s", "density of the grains", NONE},
    {"porosity", "number", "grain_porosity", "pores of calcite grains, where no density is given", NONE},
    {"c", "percent", "Cv volume_share", "solids by volume in a dilute feed: below 1 a share, from 1 on percent; without it the feed is dense", NONE},
    {"D15", "length", "D15F", "15 % of the grains in the arch are finer", NONE},
    {"d85", "length", "d85B", "85 % of what comes behind is finer", NONE},
    {"d15", "length", "d15B", "15 % of what comes behind is finer", NONE},
    {"plug", "length", "L plug_length", "length of the plug", NONE},
    {"dp", "pressure", "p", "pressure over the plug", NONE},
    {"voidage", "number", "eps e", "of the plug", 0.4},
    {"T", "temperature", "", "of the water", NONE}};
static const char *const ARCH_OUT[] = {"R", "grains", "mass_kg", "mass_g", "arches", "D15_over_d85", "holds_back", "D15_over_d15",
                                       "passes_water", "plug_m_s", "plug_flow_L_min"};
#define FILTER_HOLDS 5.0 /* Terzaghi's rule, 4 to 5: an arch holds back what is not five times finer */

static tufa_status run_arch(const double *in, double *out)
{
    double bore = in[AR_bore], d = in[AR_d];
    if (given(in[AR_R])) {
        RETURN_IF(in_range("R", in[AR_R], 0.1, 1e4));
        if (!given(bore) && given(d)) bore = in[AR_R] * d;
        if (!given(d) && given(bore)) d = bore / in[AR_R];
        if (!given(d)) {
            out[0] = in[AR_R];
            out[1] = clean_arch_grains(in[AR_R], first(in[AR_c], 0.0));
            out[4] = isfinite(out[1]);
        }
    }
    if (given(in[AR_D15]) && given(in[AR_d85])) {
        out[5] = in[AR_D15] / in[AR_d85];
        out[6] = out[5] < FILTER_HOLDS;
    }
    if (given(in[AR_D15]) && given(in[AR_d15])) {
        out[7] = in[AR_D15] / in[AR_d15];
        out[8] = out[7] > FILTER_HOLDS;
    }
    if (given(bore) && given(d)) {
        double rho_p;
        RETURN_IF(solid_from(in[AR_rho_p], NONE, NONE, in[AR_porosity], 1.0, &rho_p));
        tufa_arch a;
        RETURN_IF(tufa_clean_arch(bore, d, rho_p, first(in[AR_c], 0.0), &a));
        out[0] = a.R;
        out[1] = a.grains;
        out[2] = a.mass_kg;
        out[3] = 1e3 * a.mass_kg;
        out[4] = isfinite(a.grains);
    } else if (!given(out[0]) && !given(out[5]) && !given(out[7])) {
        return needs(given(bore) ? "d" : "bore", NONE);
    }
    if (!given(in[AR_plug]) || !given(in[AR_dp]) || !given(d)) return OK;
    fluid f;
    RETURN_IF(fluid_from(in[AR_T], NONE, NONE, NONE, &f));
    RETURN_IF(in_range("plug_m", in[AR_plug], 1e-4, 10.0));
    RETURN_IF(tufa_clean_bed_velocity(d, in[AR_voidage], in[AR_dp] / in[AR_plug], f.rho, f.mu, 0, &out[9]));
    if (given(bore)) out[10] = L_min_from_m3_s(out[9] * disc_area(bore));
    return OK;
}

/* ---- acid_capacity ---- */

enum { AC_acid, AC_percent, AC_T, AC_co2, AC_volume, AC_bed };
static const tufa_relation_in ACID_IN[] = {
    {"acid", "choice acetic citric", "", "which acid", 0.0},
    {"percent", "percent_number", "acid_percent strength", "grams of acid in 100 g", 5.0},
    {"T", "temperature", "", "of the soak", WATER_20_K},
    {"co2", "atmosphere", "pCO2 co2_atm", "pressure of carbon dioxide over the soak", 1.0},
    {"volume", "volume", "V acid_volume", "of acid", 1e-3},
    {"bed", "mass", "caco3", "lime to be dissolved", NONE}};
static const char *const ACID_OUT[] = {"caco3_g_L", "full_g_L", "share_used", "caco3_kg", "caco3_g", "co2_L_per_L", "co2_L", "pH",
                                       "acid_L_per_kg", "acid_gal_per_kg", "acid_L_for_bed", "share_of_bed"};

static tufa_status run_acid(const double *in, double *out)
{
    tufa_acid_capacity c;
    RETURN_IF(tufa_clean_acid_capacity((tufa_acid)in[AC_acid], in[AC_percent], in[AC_T], in[AC_co2], in[AC_volume], &c));
    out[0] = c.caco3_kg_m3;
    out[1] = c.full_kg_m3;
    out[2] = c.share_used;
    out[3] = c.caco3_kg;
    out[4] = 1e3 * c.caco3_kg;
    out[5] = c.co2_m3_m3;
    out[6] = L_from_m3(c.co2_m3);
    out[7] = c.ph;
    out[8] = 1e3 / c.caco3_kg_m3;
    out[9] = gal_from_m3(1.0 / c.caco3_kg_m3);
    if (!given(in[AC_bed])) return OK;
    RETURN_IF(in_range("bed_kg", in[AC_bed], 0.0, 1e3));
    out[10] = in[AC_bed] * out[8];
    if (in[AC_bed] > 0.0) out[11] = fmin(1.0, c.caco3_kg / in[AC_bed]);
    return OK;
}

/* ---- vacuum_plug ---- */

enum { VA_D, VA_L, VA_dp, VA_rho_b, VA_mu_K, VA_hole, VA_holes, VA_tube, VA_lift, VA_solids };
static const tufa_relation_in VACUUM_IN[] = {
    {"D", "length", "bore tube tube_bore", "bore of the tube", NONE},
    {"L", "length", "length plug", "length of the plug", NONE},
    {"dp", "pressure", "suction p", "suction, where the longest plug that it moves is asked", NONE},
    {"rho_b", "density", "rho", "bulk density of the damp plug", 1500.0}, /* assumption */
    {"mu_K", "number", "muK mu*K", "wall friction times the share of the stress that turns sideways", 0.25}, /* assumption */
    {"hole", "length", "leak", "bore of a leak, with dp the sealed suction", NONE},
    {"holes", "number", "leaks", "how many leaks", 1.0},
    {"tube_length", "length", "", "length of the open tube, for the air velocity in it", NONE},
    {"lift", "length", "z", "height that a slurry is lifted", NONE},
    {"solids", "mass_rate", "feed", "solids that the air in the open tube carries", NONE}};
static const char *const VACUUM_OUT[] = {"dp_Pa", "dp_kPa", "length_m", "length_mm", "bores", "suction_left_Pa", "suction_left_kPa",
                                         "air_m_s", "slurry_m_s", "highest_lift_m", "loaded_m_s"};
#define AIR_KG_M3 1.2
#define TUBE_F 0.025 /* friction factor of a vacuum tube, and its entrance and bends: assumptions */
#define TUBE_K 1.0
#define SLURRY_KG_M3 1020.0

/* Solids of mu kg on each kg of air lose 1 + mu times the pressure: v2 (1 + m / (rho A v)) = v0 2, whose root is v. */
static double loaded_velocity(double clean_m_s, double bore_m, double solids_kg_s)
{
    double half = 0.5 * solids_kg_s / (AIR_KG_M3 * disc_area(bore_m));
    return sqrt(half * half + clean_m_s * clean_m_s) - half;
}

static void vacuum_flows(const double *in, double *out)
{
    double ends = 1.0 + TUBE_K + TUBE_F * first(in[VA_tube], 2.0) / in[VA_D];
    if (given(in[VA_tube])) out[7] = sqrt(2.0 * in[VA_dp] / (AIR_KG_M3 * ends));
    if (given(in[VA_tube]) && given(in[VA_solids])) out[10] = loaded_velocity(out[7], in[VA_D], in[VA_solids]);
    if (!given(in[VA_lift])) return;
    double left = in[VA_dp] - SLURRY_KG_M3 * GRAVITY_M_S2 * in[VA_lift];
    out[8] = left > 0.0 ? sqrt(2.0 * left / (SLURRY_KG_M3 * ends)) : 0.0;
    out[9] = in[VA_dp] / (SLURRY_KG_M3 * GRAVITY_M_S2);
}

static tufa_status run_vacuum(const double *in, double *out)
{
    RETURN_IF(needs("D", in[VA_D]));
    if (given(in[VA_L])) {
        RETURN_IF(tufa_clean_vacuum_plug(in[VA_D], in[VA_L], in[VA_rho_b], in[VA_mu_K], &out[0]));
        out[1] = 1e-3 * out[0];
    } else {
        RETURN_IF(needs("L", in[VA_dp]));
    }
    if (!given(in[VA_dp])) return OK;
    RETURN_IF(tufa_clean_vacuum_plug_length(in[VA_D], in[VA_dp], in[VA_rho_b], in[VA_mu_K], &out[2]));
    out[3] = 1e3 * out[2];
    out[4] = out[2] / in[VA_D];
    vacuum_flows(in, out);
    if (!given(in[VA_hole])) return OK;
    RETURN_IF(tufa_clean_suction_left(in[VA_dp], in[VA_hole], in[VA_holes], &out[5]));
    out[6] = 1e-3 * out[5];
    return OK;
}

/* ---- bubble_rise, stored_energy ---- */

static const tufa_relation_in BUBBLE_IN[] = {{"d", "length", "bubble", "size of the bubble", NONE}};
static const char *const BUBBLE_OUT[] = {"rise_m_s"};

static tufa_status run_bubble(const double *in, double *out)
{
    RETURN_IF(needs("d", in[0]));
    return tufa_clean_bubble_rise(in[0], &out[0]);
}

static const tufa_relation_in STORED_IN[] = {{"volume", "volume", "V", "of the vessel", NONE},
                                             {"p", "pressure", "gauge pressure", "above the air outside", NONE}};
static const char *const STORED_OUT[] = {"air_J", "air_kJ", "water_J", "times"};

static tufa_status run_stored(const double *in, double *out)
{
    RETURN_IF(needs("volume", in[0]));
    RETURN_IF(needs("p", in[1]));
    RETURN_IF(tufa_clean_stored_energy(in[0], in[1], &out[0], &out[2]));
    out[1] = 1e-3 * out[0];
    if (out[2] > 0.0) out[3] = out[0] / out[2];
    return OK;
}

/* ---- the table ---- */

typedef tufa_status (*run_fn)(const double *in, double *out);
#define COUNT(a) (sizeof(a) / sizeof(a)[0])
#define ROW(name, what, NAME) {name, what, NAME##_IN, COUNT(NAME##_IN), NAME##_OUT, COUNT(NAME##_OUT)}
static const tufa_relation RELATIONS[] = {
    ROW("settling", "fall of a grain in water; drag coefficients", SETTLING),
    ROW("threshold", "wall shear that just moves loose grains", THRESHOLD),
    ROW("orifice", "flow through a hole, or its coefficients", ORIFICE),
    ROW("pipe_friction", "friction factor and loss in a pipe, or the flow that a head drives", PIPE),
    ROW("hose_flow", "flow from the street through valve and hose, or the loss at a flow", HOSE),
    ROW("ergun", "pressure through a bed of grains, or the velocity that a pressure drives", ERGUN),
    ROW("fluidise", "upward flow that lifts a bed", FLUIDISE),
    ROW("just_suspended", "stirrer speed that leaves no grain lying; power", SUSPENDED),
    ROW("deposition", "velocity below which solids settle in a hose", DEPOSITION),
    ROW("drain_time", "time to drain a tank", DRAIN),
    ROW("arch", "grains between arches over a hole; what an arch holds back", ARCH),
    ROW("acid_capacity", "lime that an acid can dissolve", ACID),
    ROW("vacuum_plug", "pressure that pulls a damp plug; what a vacuum still lifts", VACUUM),
    ROW("bubble_rise", "rise of a bubble in water", BUBBLE),
    ROW("stored_energy", "energy of air under pressure in a tank, against water", STORED)};
static const run_fn RUNS[] = {run_settling, run_threshold, run_orifice,   run_pipe, run_hose,  run_ergun, run_fluidise,
                              run_suspended, run_deposition, run_drain, run_arch, run_acid, run_vacuum, run_bubble, run_stored};
_Static_assert(COUNT(RELATIONS) == COUNT(RUNS), "each relation has its computation");

size_t tufa_relation_count(void) { return COUNT(RELATIONS); }
const tufa_relation *tufa_relation_at(size_t i) { return i < COUNT(RELATIONS) ? &RELATIONS[i] : NULL; }

tufa_status tufa_relation_run(const tufa_relation *r, const double *in, double *out)
{
    double full[TUFA_RELATION_MAX_IN];
    for (size_t i = 0; i < r->ins; i++) full[i] = given(in[i]) ? in[i] : r->in[i].preset;
    for (size_t i = 0; i < r->outs; i++) out[i] = NONE;
    return RUNS[r - RELATIONS](full, out);
}
