/* clean: how much of the bed each method takes out of this tank, and whether the tank is clean afterwards.
 * First the relations, each callable alone; then the methods compared; then the visit; then the proof. */
#ifndef TUFA_CLEAN_H
#define TUFA_CLEAN_H

#include "tufa/base.h"
#include "tufa/deposit.h"
#include "tufa/tank.h"
#include "tufa/water.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- the relations ----
 * Each answers RANGE with the field's name for an input outside its stated range. Lengths in m, pressures in Pa. */

/* Fall velocity of a grain (Ferguson and Church 2004): R g d2 / (C1 nu + sqrt(0.75 C2 R g d3)). R is (rho_p - rho)/rho;
 * C1 18 and C2 1.0 for natural grains by sieve, 0.4 for smooth spheres. Measured sand is met within 15 %. */
TUFA_MUST_CHECK tufa_status tufa_clean_settling(double d_m, double R, double nu_m2_s, double C1, double C2, double *w_m_s);

/* Drag coefficient. Stokes: below Re 1. Barati 2014 and Clift and Gauvin 1971: spheres to Re 1e6. Song and Xu 2017:
 * sphericity, and S the ratio of the equal-volume sphere's cross-section to the particle's own. */
typedef enum tufa_drag_law { TUFA_DRAG_STOKES, TUFA_DRAG_BARATI, TUFA_DRAG_CLIFT_GAUVIN, TUFA_DRAG_SONG_XU } tufa_drag_law;
TUFA_MUST_CHECK tufa_status tufa_clean_drag(tufa_drag_law law, double Re, double sphericity, double S, double *C_D);
/* Fall velocity of a smooth sphere by the whole drag curve (Barati). */
TUFA_MUST_CHECK tufa_status tufa_clean_sphere_fall(double d_m, double R, double nu_m2_s, double *w_m_s);

/* Threshold of motion of loose grains (Soulsby 1997). Good to a factor of 2; cemented beds have none.
 * The rough limits of others (0.03 to 0.06) bound it for gravel. */
typedef struct tufa_threshold {
    double D_star, theta, tau_Pa, u_star_m_s; /* wall shear stress and shear velocity that just move the grain */
    double theta_brownlie;                    /* Brownlie 1981 on the same grain; half of it is Parker's line */
} tufa_threshold;
TUFA_MUST_CHECK tufa_status tufa_clean_threshold(double d_m, double rho_p_kg_m3, double rho_kg_m3, double nu_m2_s,
                                                 tufa_threshold *out);

/* Flow through a hole, Q = Cd A sqrt(2 dp/rho). */
TUFA_MUST_CHECK tufa_status tufa_clean_orifice(double Cd, double area_m2, double dp_Pa, double rho_kg_m3, double *flow_m3_s);

/* Friction factor (Darcy) of a round pipe at Re, roughness over bore e_D. Laminar below Re 2300. */
typedef struct tufa_friction {
    double f;                              /* what the loops of the stage use: Swamee and Jain, within 1 % of Colebrook */
    double colebrook, swamee_jain, moody;  /* Colebrook 1939 solved; explicit forms of 1976 and 1947; 64/Re where laminar */
} tufa_friction;
TUFA_MUST_CHECK tufa_status tufa_clean_friction(double Re, double e_D, tufa_friction *out);

/* What stands between the street and the end of the hose. 0 for a part that is not there. */
typedef struct tufa_line {
    double static_Pa;                /* before anything flows, above the air outside */
    double house_k_Pa_s2_m6;         /* dp = k Q2 of the house's pipe: from one bucket test */
    double port_bore_m, port_K;      /* drain valve or port, K on its own bore */
    double hose_bore_m, hose_length_m, hose_roughness_m, hose_K;
    double rise_m;                   /* hose end above the port; negative downhill */
    double rho_kg_m3, nu_m2_s;
} tufa_line;
typedef struct tufa_line_flow {
    double flow_m3_s, port_m_s, hose_m_s;
    double at_hose_Pa;               /* pressure where the hose begins */
    double hose_Pa_m;                /* friction for each metre of hose */
} tufa_line_flow;
TUFA_MUST_CHECK tufa_status tufa_clean_line_flow(const tufa_line *line, tufa_line_flow *out);
/* k of the house's pipe from the static pressure, and pressure and flow while one tap runs. */
TUFA_MUST_CHECK tufa_status tufa_clean_house_k(double static_Pa, double flowing_Pa, double flow_m3_s, double *k_Pa_s2_m6);
/* Friction of a hose by Hazen and Williams, h = 10.67 Q^1.852 / (C^1.852 d^4.87) for each metre, as pressure of water. */
TUFA_MUST_CHECK tufa_status tufa_clean_hazen_williams(double flow_m3_s, double bore_m, double C, double *Pa_m);

/* Pressure gradient through a bed of grains. Ergun 1952 is used; the others show how far correlations differ. */
typedef struct tufa_bed_gradient {
    double ergun_Pa_m, idelchik_Pa_m, carman_Pa_m, kta_Pa_m, blake_kozeny_Pa_m;
} tufa_bed_gradient;
TUFA_MUST_CHECK tufa_status tufa_clean_ergun(double d_m, double voidage, double v_m_s, double rho_kg_m3, double mu_Pa_s,
                                             tufa_bed_gradient *out);
/* Superficial velocity that a gradient drives through the bed (Ergun; laminar: Blake and Kozeny). */
TUFA_MUST_CHECK tufa_status tufa_clean_bed_velocity(double d_m, double voidage, double gradient_Pa_m, double rho_kg_m3,
                                                    double mu_Pa_s, int laminar, double *v_m_s);

/* Upward velocity that lifts the bed: Ergun against its weight, and Wen and Yu 1966 without a voidage. */
typedef struct tufa_fluidise {
    double voidage_mf;                     /* the one given, or (0.071/sphericity)^(1/3) */
    double v_mf_m_s, wen_yu_m_s;
    double weight_Pa_m;                    /* (1 - e)(rho_p - rho) g */
} tufa_fluidise;
TUFA_MUST_CHECK tufa_status tufa_clean_fluidise(double d_m, double rho_p_kg_m3, double rho_kg_m3, double mu_Pa_s,
                                                double voidage_or_0, double sphericity, tufa_fluidise *out);

/* Stirrer speed at which no grain rests longer than a second or two (Zwietering 1958):
 * S nu^0.1 d^0.2 (g drho/rho)^0.45 X^0.13 / D^0.85, X kg of solids on 100 kg of liquid. Extrapolated below D/T 0.15. */
TUFA_MUST_CHECK tufa_status tufa_clean_just_suspended(double S, double nu_m2_s, double d_m, double drho_rho, double X,
                                                      double D_m, double *n_per_s);

/* Velocities below which solids settle in a hose. Durand 1952 with F_L from the tables of McElvain and Cave (widely
 * graded) or Durand (closely graded); beside it a model made on small pipes (bed begins to move; all dispersed). */
typedef enum tufa_grading { TUFA_GRADED_COARSE, TUFA_GRADED_WIDE, TUFA_GRADED_CLOSE } tufa_grading; /* COARSE: F_L 1.34 */
typedef struct tufa_deposition {
    double F_L, durand_m_s, moves_m_s, dispersed_m_s;
    double design_m_s;                     /* 1.3 times the larger of Durand and dispersed */
} tufa_deposition;
TUFA_MUST_CHECK tufa_status tufa_clean_F_L(tufa_grading grading, double d_m, double volume_share, double *F_L);
TUFA_MUST_CHECK tufa_status tufa_clean_deposition(double bore_m, double roughness_m, double d_m, double rho_p_kg_m3,
                                                  double rho_kg_m3, double nu_m2_s, double F_L, tufa_deposition *out);

/* Hose length at which the flow of a line has fallen to velocity v: on the level, and at the line's rise. The slurry
 * weighs rho_mix and loses `margin` times the pressure that water would. 0 where the pressure does not do it. */
TUFA_MUST_CHECK tufa_status tufa_clean_reach(const tufa_line *line, double v_m_s, double rho_mix_kg_m3, double margin,
                                             double *level_m, double *rise_m);

/* Time to drain an upright tank of floor area A from height h through an opening a with discharge coefficient Cd. */
TUFA_MUST_CHECK tufa_status tufa_clean_drain_time(double A_m2, double a_m2, double h_m, double Cd, double *s);
/* The same through valve and hose that ends `drop_m` below the floor of the tank. */
TUFA_MUST_CHECK tufa_status tufa_clean_drain_time_line(const tufa_line *line, double A_m2, double h_m, double *s);

/* Grains between two arches over a hole, dense feed: 9900/(4.94 - R)^6.9, R = bore over largest grain width (constants
 * from memory); counts are exponential. Beyond R 4.5 none is expected. volume_share in (0, 0.6): dilute feed. */
typedef struct tufa_arch {
    double R, grains, mass_kg;             /* between arches; infinite where none is expected */
} tufa_arch;
TUFA_MUST_CHECK tufa_status tufa_clean_arch(double bore_m, double d_m, double rho_p_kg_m3, double volume_share, tufa_arch *out);

/* What an acid can dissolve: from the equilibrium of the water stage, and the sum if all of it reacted. */
typedef struct tufa_acid_capacity {
    double caco3_kg_m3, full_kg_m3, share_used, co2_m3_m3; /* for each m3 of acid; gas at T_K and 1 atm */
    double caco3_kg, co2_m3, ph;
} tufa_acid_capacity;
TUFA_MUST_CHECK tufa_status tufa_clean_acid_capacity(tufa_acid acid, double percent, double T_K, double co2_atm,
                                                     double acid_m3, tufa_acid_capacity *out);

/* Pressure that moves a damp plug in a tube: (rho_b g D/(4 mu_K)) (exp(4 mu_K L/D) - 1); and the longest plug that dp moves. */
TUFA_MUST_CHECK tufa_status tufa_clean_vacuum_plug(double bore_m, double length_m, double rho_b_kg_m3, double mu_K, double *dp_Pa);
TUFA_MUST_CHECK tufa_status tufa_clean_vacuum_plug_length(double bore_m, double dp_Pa, double rho_b_kg_m3, double mu_K, double *length_m);

/* Share of the grains of one size that a flush takes out of a tank: the jet lifts them within r_c, the tank settles
 * them on the way, the port draws what lies within r_d. E = 1 - (1 - f S)(1 - V_d/V_bed). The constants are assumptions
 * (core/clean/assumptions.def); 0 in the last four means theirs. */
typedef struct tufa_flush_in {
    double flow_m3_s, across_m, dip_bore_m, dip_gap_m, bed_m3;
    double rho_p_kg_m3, rho_kg_m3, nu_m2_s;
    double Cf, jet_shear, threshold_factor, jet_gain;
} tufa_flush_in;
typedef struct tufa_flush {
    double jet_m_s, jet_Pa, lifted_share, kept_up_share, drawn_share, out_share;
} tufa_flush;
TUFA_MUST_CHECK tufa_status tufa_clean_flush_share(const tufa_flush_in *in, double d_m, tufa_flush *out);
/* Share that one burst of air and the draw after it take out: plume_share x min(1, (Q/V) h/w). */
TUFA_MUST_CHECK tufa_status tufa_clean_air_share(double flow_m3_s, double volume_m3, double height_m, double fall_m_s,
                                                 double plume_share, double *out_share);

/* Rise of bubbles: 0.29 m/s up to 15 mm, larger ones as caps, 0.707 sqrt(g d) (Davies and Taylor 1950, memory), to 0.40. */
TUFA_MUST_CHECK tufa_status tufa_clean_bubble_rise(double d_m, double *m_s);
/* Energy that air at a gauge pressure gives back, expanding without heat; and the same volume of water. */
TUFA_MUST_CHECK tufa_status tufa_clean_stored_energy(double volume_m3, double gauge_Pa, double *air_J, double *water_J);
/* Suction left with holes in the tube: a fan whose pressure falls by 410 Pa for each L/s (fitted to one measured unit). */
TUFA_MUST_CHECK tufa_status tufa_clean_suction_left(double sealed_Pa, double hole_m, double holes, double *Pa);

/* House pressure, static: at least and at most by the model code (IRC P2903.3, P2903.3.1). */
#define TUFA_HOUSE_LEAST_PSI 40.0
#define TUFA_HOUSE_MOST_PSI 80.0

/* Fittings as lengths of pipe, in bores (a pump maker's table for 3/4 in pipe). */
typedef struct tufa_fitting {
    const char *id, *what;
    double bores;
    size_t source;
} tufa_fitting;
size_t tufa_fitting_count(void);
const tufa_fitting *tufa_fitting_at(size_t i);

/* ---- the relations by name, for the command line and for checks ---- */

enum { TUFA_RELATION_MAX_IN = 32, TUFA_RELATION_MAX_OUT = 24 };
/* A quantity: its name without unit, its kind ("length", "pressure", ...: the units that may follow the name), other names
 * that mean the same, parted by spaces, and the value taken when it is not given (NaN: none). */
typedef struct tufa_relation_in {
    const char *name, *kind, *other_names, *what;
    double preset;
} tufa_relation_in;
typedef struct tufa_relation {
    const char *name, *what;
    const tufa_relation_in *in;
    size_t ins;
    const char *const *out; /* names with units */
    size_t outs;
} tufa_relation;
size_t tufa_relation_count(void);
const tufa_relation *tufa_relation_at(size_t i);
/* in[ins] in SI with NaN for what is not given; out[outs] with NaN for what does not follow from it. */
TUFA_MUST_CHECK tufa_status tufa_relation_run(const tufa_relation *r, const double *in, double *out);

/* ---- threads ---- */

typedef struct tufa_thread {
    const char *id, *designation, *form, *standard, *use;
    double per_inch, major_m; /* threads to the inch; outside of the male thread */
    size_t source;
} tufa_thread;
size_t tufa_thread_count(void);
const tufa_thread *tufa_thread_at(size_t i);

/* ---- a tank to be cleaned ---- */

/* Size classes by sieve, and one for what is cemented: it does not move until it is broken. */
enum { TUFA_CLEAN_SIZES = 9, TUFA_CLEAN_CAKE = 9, TUFA_CLEAN_CLASSES = 10 };
extern const double tufa_clean_size_edge_m[TUFA_CLEAN_SIZES + 1]; /* edges; class i lies between i and i + 1 */

typedef enum tufa_answer { TUFA_UNSAID, TUFA_NO, TUFA_YES } tufa_answer;
typedef enum tufa_drain_pattern { TUFA_DRAIN_UNSAID, TUFA_DRAIN_GLOBE, TUFA_DRAIN_STRAIGHT, TUFA_DRAIN_FULL_PORT } tufa_drain_pattern;
typedef enum tufa_dip_state { TUFA_DIP_UNSAID, TUFA_DIP_WHOLE, TUFA_DIP_SHORT, TUFA_DIP_CURVED } tufa_dip_state;

/* The owner's own stirrer, by what it does and not by what it is. */
typedef struct tufa_stirrer {
    tufa_answer present;
    tufa_value rev_per_s, swept_share, breaking_clearance_m, feed_kg_s, port_bore_m, torque_Nm, across_m;
} tufa_stirrer;

/* Everything the methods ask about. Start from tufa_clean_case_default, then set what is known; every value carries its
 * spread, from which the draws are taken. */
typedef struct tufa_clean_case {
    tufa_fuel fuel;
    tufa_value age_year;                   /* basis NONE: unknown */
    tufa_value volume_m3, across_m;        /* of the tank */
    tufa_value bed_kg;                     /* dry */
    tufa_value cemented_share;             /* of the bed's mass */
    double size_share[TUFA_CLEAN_SIZES];   /* of the loose mass; need not add up: scaled when used */
    tufa_value size_tilt;                  /* how wrong the shares may be: each next coarser class times exp(tilt) */
    tufa_value grain_porosity, voidage;
    tufa_value static_Pa, house_k_Pa_s2_m6;
    tufa_value drain_bore_m;
    tufa_drain_pattern drain_pattern;
    tufa_value hose_bore_m, hose_length_m, coupling_bore_m, rise_m;
    tufa_dip_state dip_state;
    tufa_value dip_bore_m, dip_gap_m;      /* gap: from the tube's end to the bed */
    tufa_value work_K;                     /* water during the work */
    tufa_answer floor_drain, rusted, plate_read, relief_works, top_open, element_hole;
    /* acid */
    tufa_value acid_percent, acid_m3, soak_s;
    /* air */
    tufa_value air_cycles, air_Pa;
    /* vacuum */
    tufa_value tube_bore_m, suction_Pa, vacuum_kg_s, vacuum_floor_share, clear_s;
    tufa_stirrer stirrer;
} tufa_clean_case;

/* A tank about which nothing is known but its fuel and age (NaN: unknown): 0.189 m3 electric, 0.151 m3 gas, and the
 * assumptions of core/clean/assumptions.def with their spreads. Propane counts as gas. */
void tufa_clean_case_default(tufa_fuel fuel, double age_year, tufa_clean_case *out);
/* Share of the bed that is cemented, before anybody looked: rises with age, more in gas tanks. Judgement. */
tufa_value tufa_clean_cemented_prior(tufa_fuel fuel, double age_year);

/* The assumptions of the stage: what nobody published for tanks, with the range that the draws take. */
typedef struct tufa_assumption {
    const char *id, *what, *unit;
    tufa_value value;
    size_t source;
} tufa_assumption;
size_t tufa_clean_assumption_count(void);
const tufa_assumption *tufa_clean_assumption_at(size_t i);

/* What the jar or a kitchen sieve says about the sizes: mass shares over the meshes, coarsest first, the rest below the
 * last. Bends the shares of the case towards it, by the weight of one sample against the prior's. */
typedef struct tufa_sieve {
    size_t n;                              /* 0 to 4 */
    double mesh_m[4], over_share[4];       /* share of the mass that stays on mesh i (and passed those before) */
    double lumps_share;                    /* share of lumps that did not break between fingers; NaN: not looked at */
} tufa_sieve;
TUFA_MUST_CHECK tufa_status tufa_clean_use_sieve(const tufa_sieve *sieve, tufa_clean_case *c);

/* ---- the methods ---- */

typedef enum tufa_method_id {
#define X(id, ...) TUFA_METHOD_##id,
#include "core/clean/methods.def"
#undef X
    TUFA_METHOD_COUNT
} tufa_method_id;

typedef enum tufa_verdict {
    TUFA_VERDICT_WORKS,
    TUFA_VERDICT_LITTLE,                   /* can be done, takes out little of this bed */
    TUFA_VERDICT_CANNOT,                   /* cannot work here, `reason` says why */
    TUFA_VERDICT_MUST_NOT                  /* would be dangerous here, `reason` says why */
} tufa_verdict;

enum { TUFA_CLEAN_MAX_REASONS = 10 };
typedef struct tufa_method_answer {
    tufa_method_id method;
    tufa_verdict verdict;
    const char *reason[TUFA_CLEAN_MAX_REASONS]; /* static sentences: why refused, or what to know; the first carries the verdict */
    size_t reasons;
    tufa_value class_kg[TUFA_CLEAN_CLASSES]; /* out of the tank */
    tufa_value out_kg, left_kg, out_share;
    tufa_value plugs;                      /* stops to clear an arch or a plugged tube */
    tufa_value onsite_s, labour_s;         /* a soak is time on site only while somebody stays: labour says how much */
    tufa_value water_m3;
    tufa_value waste_kg, waste_share;      /* dry solids to get rid of; kg solids over kg of slurry */
    tufa_value flow_m3_s, hose_m_s;        /* at the hose end; 0 where the method has no hose */
    tufa_value deposit_m_s, design_m_s;    /* solids settle in the hose below the first; plan for the second */
    tufa_value reach_level_m, reach_rise_m; /* hose length that the slurry gets through on the level, and at the case's rise */
    tufa_value gas_m3;                     /* carbon dioxide given off, at the temperature of the work and 1 atm */
    tufa_value cycles;                     /* pulses of air */
    double better_bore_m;                  /* a hose in which the flow carries the slurry; 0: the present one, or none */
} tufa_method_answer;

/* One method by `draws` draws of the case. Draw i is a function of (key, i): methods and houses share them, so that
 * their differences are not noise. draws 1: everything at its median. scratch: tufa_clean_scratch_bytes(draws). */
size_t tufa_clean_scratch_bytes(size_t draws);
TUFA_MUST_CHECK tufa_status tufa_clean_method(const tufa_clean_case *c, tufa_method_id method, uint64_t key, size_t draws,
                                              tufa_arena *scratch, tufa_method_answer *out);
/* All of them, and which one to take before money is asked: TUFA_METHOD_COUNT for leave it alone. */
typedef struct tufa_clean_answer {
    tufa_method_answer method[TUFA_METHOD_COUNT];
    tufa_method_id advice;
    const char *why;
    tufa_method_id deep;                   /* to take where the bed is to come out, flush not counted; COUNT: none may or can */
    const char *deep_why;                  /* of COUNT: why */
    tufa_method_id with_a_stirrer;         /* STIR where it would be the advice, had anybody said that there is one; else COUNT */
} tufa_clean_answer;
TUFA_MUST_CHECK tufa_status tufa_clean_compare(const tufa_clean_case *c, uint64_t key, size_t draws, tufa_arena *scratch,
                                               tufa_clean_answer *out);

typedef struct tufa_method_row {
    const char *id, *code, *title, *what, *waste_to; /* code: M1 ..., as the cautions know it */
    size_t source;
    int lowers_water, opens_hole, uses_hose, electric_only;
    tufa_acid acid; /* of an acid soak */
} tufa_method_row;
const tufa_method_row *tufa_method_at(tufa_method_id m);
/* By id ("flush") or code ("M1"); TUFA_METHOD_COUNT when there is none. */
tufa_method_id tufa_method_find(const char *name);

/* ---- the visit ---- */

typedef enum tufa_visit_kind { TUFA_VISIT_CLEAN, TUFA_VISIT_TURNOVER, TUFA_VISIT_STANDING, TUFA_VISIT_KIND_COUNT } tufa_visit_kind;
typedef enum tufa_step_phase {
    TUFA_STEP_ARRIVE,      /* readings with no cover off */
    TUFA_STEP_ISOLATE,     /* power or gas off, locked */
    TUFA_STEP_PROVE_DEAD,  /* meter on known live, on the dead parts, on known live again */
    TUFA_STEP_OPEN,        /* water and covers */
    TUFA_STEP_WORK,
    TUFA_STEP_CLOSE,       /* full, tight */
    TUFA_STEP_RESTORE,     /* power or gas back */
    TUFA_STEP_VERIFY,      /* readings after */
    TUFA_STEP_CARD         /* closing card */
} tufa_step_phase;
typedef struct tufa_step {
    const char *id, *words;
    tufa_step_phase phase;
    double minutes;        /* typical, judgement */
    const char *reading;   /* the id of the reading it takes, "" for none */
    size_t source;
} tufa_step;
const char *tufa_step_phase_words(tufa_step_phase phase);
/* The order of work; `room` steps fit in out, the number that there are is answered. Order never changes with the method:
 * isolation and proof of dead stand before anything is opened. */
size_t tufa_visit_steps(tufa_visit_kind kind, tufa_method_id method, tufa_fuel fuel, int one_element, size_t room, tufa_step *out);
/* Seconds that a cleaning visit takes beside the method's own onsite_s, which holds isolating, coupling, closing and checking: what is
 * told, looked at and read before and after. Sum of the steps' minutes. The plan of a visit and the money both count it. */
double tufa_visit_around_s(tufa_method_id method, tufa_fuel fuel, int one_element);

typedef struct tufa_kit_item {
    const char *id, *what, *size; /* with thread and socket sizes */
    double count;
    int part;                     /* 1: a part that is used up and kept in stock */
    size_t source;
} tufa_kit_item;
size_t tufa_visit_kit(tufa_visit_kind kind, tufa_method_id method, tufa_fuel fuel, size_t room, tufa_kit_item *out);

/* ---- proof ---- */

typedef enum tufa_proof_kind {
#define X(id, ...) TUFA_PROOF_##id,
#include "core/clean/proofs.def"
#undef X
    TUFA_PROOF_COUNT
} tufa_proof_kind;

typedef struct tufa_proof_row {
    const char *id, *title, *blind; /* blind: what it does not see */
    const char *test;               /* the reading of the fault tables that it is, for its cautions */
    size_t source;
    double minutes;
    int electric, gas;              /* on which heaters it speaks of the bed */
} tufa_proof_row;
const tufa_proof_row *tufa_proof_at(tufa_proof_kind k);

/* One reading; which members count depends on its kind. */
typedef struct tufa_proof_reading {
    tufa_proof_kind kind;
    double depth_m[5];               /* PROBE5 all, PROBE1 the first */
    double volume_m3;                /* REFILL and DRAW: water; SLURRY: settled and wet, in the pail; HEATUP: where energy_J is 0 */
    double energy_J, start_K, end_K, duration_s, air_K, loss_W_K; /* HEATUP */
    int energy_by_meter;             /* 1: the house's meter (1 %), 0: volts x amps x time (2.2 %) */
    double flow_m3_s, clear_m3_s;    /* FLOW: as measured, and as computed or read with no bed */
    double settled_share;            /* JAR: settled volume over the jar's */
    double mass_kg;                  /* MASS: dry */
    double error_m3;                 /* its error, 1 sd, where the person gave one; 0: ours */
} tufa_proof_reading;

enum { TUFA_PROOF_MAX = 12 };
typedef struct tufa_proof_in {
    tufa_fuel fuel;
    double volume_m3, across_m;
    double below_element_m3;         /* tank volume below the lower element; 0: gas */
    tufa_value before_m3;            /* bed before the work; basis NONE: nothing is known */
    tufa_value removed_m3;           /* bed that the work is expected to have taken; basis NONE: no work */
    tufa_value bed_m3_kg;            /* bed volume for each dry kg; basis NONE: 1.05e-3 (0.74e-3 to 1.5e-3) */
    double clean_refill_m3, clean_heated_m3, clean_draw_m3; /* this tank's own clean readings; NaN: not kept */
    size_t n;
    tufa_proof_reading reading[TUFA_PROOF_MAX];
} tufa_proof_in;

typedef struct tufa_proof_part {
    tufa_proof_kind kind;
    double says_m3;                  /* the bed left if this reading stood alone; NaN: it does not name a volume */
    double error_m3;                 /* 1 sd */
    double shift_m3;                 /* how far it moves the answer: median with it less median without it */
    int sees;                        /* 0: this reading cannot see the bed of this heater */
} tufa_proof_part;

typedef struct tufa_proof {
    tufa_value left_m3, left_kg;
    double under_rule_share;         /* chance that less than 15 mm over the floor is left */
    int clean;                       /* by the rule alone: probe or refill, and a weight in the record */
    const char *rule;                /* which part of the rule holds or is missing */
    tufa_proof_part part[TUFA_PROOF_MAX];
    size_t parts;
    tufa_proof_kind sharpen;         /* the reading that would narrow the answer most; COUNT: none */
    double width_m3, width_after_m3; /* 10 to 90 % width now, and expected after it */
    tufa_value removed_kg;           /* by weight or pail; basis NONE: nothing was weighed */
} tufa_proof;
TUFA_MUST_CHECK tufa_status tufa_clean_prove(const tufa_proof_in *in, tufa_arena *scratch, tufa_proof *out);
size_t tufa_clean_prove_bytes(void);
/* What one reading tells of the bed, by the same physics, for the learning stage; MISSING where it sees no bed on this heater (a
 * clear jar, a full flow). Needs volume_m3, across_m, below_element_m3 and the clean readings of `in`. */
TUFA_MUST_CHECK tufa_status tufa_clean_told(const tufa_proof_in *in, const tufa_proof_reading *r, tufa_told *out);

/* Water volume that a heat-up warmed: (E - UA (mean - air) t) / (rho c (end - start)), and its 1 sd error. */
TUFA_MUST_CHECK tufa_status tufa_clean_heated_volume(const tufa_proof_reading *r, double *volume_m3, double *error_m3);

#ifdef __cplusplus
}
#endif
#endif
