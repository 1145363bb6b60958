/* Checks of the cleaning stage. A relation's row gives its inputs in SI by the relation's own names and `ask`, the output. */
#include "tests/published/published.h"

#include <math.h>
#include <string.h>

#include "core/clean/draw.h"
#include "core/water/acids.def"

#define OK_STATUS ((tufa_status){.code = TUFA_OK})

static tufa_status missing(const char *field) { return (tufa_status){.code = TUFA_MISSING, .field = field, .why = "no such thing"}; }

static const tufa_relation *relation(const char *name)
{
    for (size_t i = 0; i < tufa_relation_count(); i++)
        if (strcmp(tufa_relation_at(i)->name, name) == 0) return tufa_relation_at(i);
    return NULL;
}

static tufa_status run(const char *name, row_inputs *in, double *value)
{
    const tufa_relation *r = relation(name);
    double x[TUFA_RELATION_MAX_IN], y[TUFA_RELATION_MAX_OUT];
    if (!r) return missing("relation");
    for (size_t i = 0; i < r->ins; i++) x[i] = row_has(in, r->in[i].name) ? row_number(in, r->in[i].name) : NAN;
    const char *ask = row_text(in, "ask");
    tufa_status st = tufa_relation_run(r, x, y);
    if (st.code != TUFA_OK) return st;
    for (size_t i = 0; i < r->outs; i++)
        if (strcmp(r->out[i], ask) == 0) {
            *value = y[i];
            return OK_STATUS;
        }
    return missing("ask");
}

#define RELATION(name) \
    static tufa_status rel_##name(row_inputs *in, double *value) { return run(#name, in, value); }
RELATION(settling)
RELATION(threshold)
RELATION(orifice)
RELATION(pipe_friction)
RELATION(hose_flow)
RELATION(ergun)
RELATION(fluidise)
RELATION(just_suspended)
RELATION(deposition)
RELATION(drain_time)
RELATION(arch)
RELATION(acid_capacity)
RELATION(vacuum_plug)
RELATION(bubble_rise)
RELATION(stored_energy)

static tufa_status preset(row_inputs *in, double *value)
{
    const tufa_relation *r = relation(row_text(in, "relation"));
    const char *name = row_text(in, "in");
    for (size_t i = 0; r && i < r->ins; i++)
        if (strcmp(r->in[i].name, name) == 0) {
            *value = r->in[i].preset;
            return OK_STATUS;
        }
    return missing("in");
}

/* `take`: mid; range: the nearest point of the range to what the row wants, here given back when it lies inside. */
static tufa_status assumed(row_inputs *in, double *value)
{
    const char *id = row_text(in, "id"), *take = row_text(in, "take");
    double less = row_number_or(in, "less", 0.0), inside = row_number_or(in, "inside", 0.0), mm_h = 3.6e6;
    for (size_t i = 0; i < tufa_clean_assumption_count(); i++) {
        const tufa_assumption *a = tufa_clean_assumption_at(i);
        if (strcmp(a->id, id) != 0) continue;
        tufa_value v = a->value;
        if (strcmp(take, "mid") == 0) *value = v.mid - less;
        else if (strcmp(take, "hi_over_mid") == 0) *value = v.hi / v.mid;
        else if (strcmp(take, "hi_mm_h") == 0) *value = v.hi * mm_h;
        else if (strcmp(take, "range") == 0) *value = fmin(fmax(inside, v.lo), v.hi);
        else if (strcmp(take, "range_mm_h") == 0) *value = fmin(fmax(inside, v.lo * mm_h), v.hi * mm_h);
        else return missing("take");
        return OK_STATUS;
    }
    return missing("id");
}

static tufa_status two_pipes(row_inputs *in, double *value)
{
    const tufa_relation *r = relation("pipe_friction");
    double x[TUFA_RELATION_MAX_IN], y[TUFA_RELATION_MAX_OUT], sum = 0.0;
    const char *D[] = {"D1", "D2"}, *L[] = {"L1", "L2"};
    for (int k = 0; k < 2; k++) {
        size_t loss = 0;
        for (size_t i = 0; i < r->ins; i++) {
            const char *name = r->in[i].name;
            x[i] = NAN;
            if (strcmp(name, "D") == 0) x[i] = row_number(in, D[k]);
            if (strcmp(name, "L") == 0) x[i] = row_number(in, L[k]);
            if (strcmp(name, "Q") == 0 || strcmp(name, "f") == 0 || strcmp(name, "T") == 0) x[i] = row_number(in, name);
            if (strcmp(name, "rise") == 0 && k == 0) x[i] = row_number(in, "rise");
        }
        while (strcmp(r->out[loss], "total_Pa") != 0) loss++;
        tufa_status st = tufa_relation_run(r, x, y);
        if (st.code != TUFA_OK) return st;
        sum += y[loss];
    }
    *value = sum / 1e5;
    return OK_STATUS;
}

static tufa_status house_psi(row_inputs *in, double *value)
{
    *value = row_number(in, "end") > 0.5 ? TUFA_HOUSE_MOST_PSI : TUFA_HOUSE_LEAST_PSI;
    return OK_STATUS;
}

static tufa_status suspended_ratio(row_inputs *in, double *value)
{
    double n1, n2;
    tufa_status st = tufa_clean_just_suspended(6.0, 1e-6, row_number(in, "d1"), row_number(in, "drho1"), row_number(in, "X1"), 0.1, &n1);
    if (st.code != TUFA_OK) return st;
    st = tufa_clean_just_suspended(6.0, 1e-6, row_number(in, "d2"), row_number(in, "drho2"), row_number(in, "X2"), 0.1, &n2);
    *value = n1 / n2;
    return st;
}

static tufa_status thread(row_inputs *in, double *value)
{
    const char *id = row_text(in, "id");
    double ask = row_number(in, "ask");
    for (size_t i = 0; i < tufa_thread_count(); i++) {
        const tufa_thread *t = tufa_thread_at(i);
        if (strcmp(t->id, id) != 0) continue;
        *value = ask > 0.5 ? t->major_m / 0.0254 : t->per_inch;
        return OK_STATUS;
    }
    return missing("id");
}

/* 1 where more grains pass between arches at ratio R1 than at R2. */
static tufa_status arch_more(row_inputs *in, double *value)
{
    tufa_arch a, b;
    double c = row_number(in, "c"), bore = 0.01;
    tufa_status st = tufa_clean_arch(bore, bore / row_number(in, "R1"), 2200.0, c, &a);
    if (st.code != TUFA_OK) return st;
    st = tufa_clean_arch(bore, bore / row_number(in, "R2"), 2200.0, c, &b);
    *value = a.grains > b.grains;
    return st;
}

static tufa_status case_default(row_inputs *in, double *value)
{
    tufa_clean_case c;
    tufa_clean_case_default(TUFA_ELECTRIC, 8.0, &c);
    if (strcmp(row_text(in, "what"), "suction_Pa") != 0) return missing("what");
    *value = c.suction_Pa.mid;
    return OK_STATUS;
}

/* ---- what has no relation of its own ---- */

static double assumed_mid(const char *id)
{
    for (size_t i = 0; i < tufa_clean_assumption_count(); i++)
        if (strcmp(tufa_clean_assumption_at(i)->id, id) == 0) return tufa_clean_assumption_at(i)->value.mid;
    return NAN;
}

/* Decay of a free jet on its axis, K of u = K U0 d/x, that makes the wall shear used here out of the friction used here. */
static tufa_status jet_constant(row_inputs *in, double *value)
{
    *value = sqrt(2.0 * assumed_mid(row_text(in, "shear")) / assumed_mid(row_text(in, "friction")));
    return OK_STATUS;
}

/* How much faster the logarithm of the grains between arches grows from R2 to R3 than from R1 to R2. */
static tufa_status arch_growth(row_inputs *in, double *value)
{
    double ln[3], bore = 0.01;
    const char *R[] = {"R1", "R2", "R3"};
    for (int i = 0; i < 3; i++) {
        tufa_arch a;
        tufa_status st = tufa_clean_arch(bore, bore / row_number(in, R[i]), 2200.0, 0.0, &a);
        if (st.code != TUFA_OK) return st;
        ln[i] = log(a.grains);
    }
    *value = (ln[2] - ln[1]) / (ln[1] - ln[0]);
    return OK_STATUS;
}

/* Share of draws whose run between arches is longer than `times` its mean. */
static tufa_status run_longer(row_inputs *in, double *value)
{
    enum { TIMES = 20000, STREAM = 777 };
    double times = row_number(in, "times"), longer = 0.0;
    for (uint64_t i = 0; i < TIMES; i++) {
        tank_draw t = {.key = 5, .index = i};
        longer += clean_exponential(&t, STREAM) > times;
    }
    *value = longer / TIMES;
    return OK_STATUS;
}

/* Arches expected (90 % point) where a stirrer turns in the port and only the port is narrow. */
static tufa_status stirred_port(row_inputs *in, double *value)
{
    static unsigned char room[1 << 20];
    tufa_clean_case c;
    tufa_method_answer a;
    tufa_arena scratch = {.base = room, .size = sizeof room};
    tufa_clean_case_default(TUFA_ELECTRIC, 8.0, &c);
    for (int i = 0; i < TUFA_CLEAN_SIZES; i++) c.size_share[i] = i == 7; /* 8 to 16 mm */
    tufa_value wide = {0.05, 0.05, 0.05, TUFA_BASIS_GIVEN}, port = {row_number(in, "port"), row_number(in, "port"), row_number(in, "port"), TUFA_BASIS_GIVEN};
    c.hose_bore_m = c.coupling_bore_m = wide;
    c.stirrer.present = TUFA_YES;
    c.stirrer.port_bore_m = c.stirrer.breaking_clearance_m = port;
    tufa_status st = tufa_clean_method(&c, TUFA_METHOD_STIR, 3, 200, &scratch, &a);
    *value = a.plugs.hi;
    return st;
}

/* Calcium citrate in plain water: as much as the water stage's solubility product and its complex with calcium let dissolve,
 * activities by Davies. g/L of the tetrahydrate. */
#define X(id, src, ...) {__VA_ARGS__},
typedef struct citrate_row {
    int acid, charge, h, ca;
    double log_k, heat_kJ;
} citrate_row;
static const citrate_row SPECIES[] = {ACID_SPECIES(X)}, SOLID[] = {CITRATE_SOLID(X)};
#undef X

static double log_k_at(citrate_row r, double T_K) { return r.log_k - r.heat_kJ / (2.302585092994046 * 8.314462618e-3) * (1.0 / T_K - 1.0 / 298.15); }

static tufa_status citrate_in_water(row_inputs *in, double *value)
{
    enum { ROWS = sizeof SPECIES / sizeof SPECIES[0], STEPS = 200 };
    double T = row_number(in, "T"), A = 0.509 * (1.0 + 0.0024 * (T - 298.15)), log_complex = 0.0, lo = 1e-6, hi = 0.05;
    for (int i = 0; i < ROWS; i++)
        if (SPECIES[i].acid == TUFA_ACID_CITRIC && SPECIES[i].ca == 1 && SPECIES[i].h == 0) log_complex = log_k_at(SPECIES[i], T);
    for (int i = 0; i < STEPS; i++) { /* moles of Ca3Cit2 to a litre */
        double s = 0.5 * (lo + hi), ca = 3.0 * s, cit = 2.0 * s, I = 0.01;
        for (int k = 0; k < STEPS; k++) {
            double f = sqrt(I) / (1.0 + sqrt(I)) - 0.3 * I, K = pow(10.0, log_complex - A * (4.0 + 9.0 - 1.0) * f);
            double b = 3.0 * s + 2.0 * s + 1.0 / K, x = 0.5 * (b - sqrt(b * b - 4.0 * 6.0 * s * s)); /* complex */
            ca = 3.0 * s - x;
            cit = 2.0 * s - x;
            I = 0.5 * (4.0 * ca + 9.0 * cit + x);
        }
        double f = sqrt(I) / (1.0 + sqrt(I)) - 0.3 * I, log_iap = 3.0 * (log10(ca) - A * 4.0 * f) + 2.0 * (log10(cit) - A * 9.0 * f);
        if (log_iap < log_k_at(SOLID[0], T)) lo = s;
        else hi = s;
    }
    *value = lo * 570.5;
    return OK_STATUS;
}

/* Lime dissolved and gas given off by an acid, one over the other. */
static tufa_status gas_of_lime(row_inputs *in, double *value)
{
    tufa_acid_capacity c;
    tufa_status st = tufa_clean_acid_capacity(TUFA_ACID_ACETIC, 5.0, row_number(in, "T"), 1.0, 0.01, &c);
    *value = 1e3 * c.co2_m3 / c.caco3_kg;
    return st;
}

/* Citric acid (without water) for a kilogram of lime, if all of it reacted. */
static tufa_status citric_for_lime(row_inputs *in, double *value)
{
    tufa_acid_capacity c;
    double percent = row_number(in, "percent");
    tufa_status st = tufa_clean_acid_capacity(TUFA_ACID_CITRIC, percent, 293.15, 1.0, 1e-3, &c);
    *value = 10.0 * percent * row_number(in, "density") / c.full_kg_m3;
    return st;
}

/* Seconds in the table of scalds by the source whose name holds `source`, at one of its temperatures. */
static tufa_status scald_of_source(row_inputs *in, double *value)
{
    double K = (row_number(in, "t_f") + 459.67) / 1.8;
    for (size_t i = 0; i < tufa_tank_scald_count(); i++) {
        const tufa_tank_scald_row *r = tufa_tank_scald_at(i);
        if (fabs(r->water_K - K) > 0.01 || !strstr(r->source, row_text(in, "source"))) continue;
        *value = r->time_s;
        return OK_STATUS;
    }
    return missing("source");
}

/* ---- worked examples of the methods ---- */

static tufa_flush_in flush_example(double Q)
{
    return (tufa_flush_in){.flow_m3_s = Q, .across_m = 0.45, .dip_bore_m = 0.0165, .dip_gap_m = 0.15, .bed_m3 = 5e-3, .rho_p_kg_m3 = 2197.0 * 0.988 / 0.9982,
                           .rho_kg_m3 = 988.0, .nu_m2_s = 0.553e-6};
}

static tufa_status flush_share(row_inputs *in, double *value)
{
    tufa_flush_in f = flush_example(row_number(in, "Q"));
    tufa_flush out;
    tufa_status st = tufa_clean_flush_share(&f, row_number(in, "d"), &out);
    *value = 100.0 * out.out_share;
    return st;
}

static tufa_status flush_mix(row_inputs *in, double *value)
{
    static const double D_MM[] = {0.02, 0.06, 0.125, 0.25, 0.5, 1, 2, 4, 8}, SHARE[] = {5, 8, 8, 9, 10, 12, 15, 16, 17};
    tufa_flush_in f = flush_example(row_number(in, "Q"));
    tufa_status st = OK_STATUS;
    *value = 0.0;
    for (int i = 0; i < 9 && st.code == TUFA_OK; i++) {
        tufa_flush out;
        st = tufa_clean_flush_share(&f, D_MM[i] * 1e-3, &out);
        if (st.code == TUFA_OK) *value += SHARE[i] * out.out_share;
    }
    return st;
}

static tufa_status air_share(row_inputs *in, double *value)
{
    double w;
    tufa_status st = tufa_clean_settling(row_number(in, "d"), 1.197, 0.553e-6, 18.0, 1.0, &w);
    if (st.code != TUFA_OK) return st;
    return tufa_clean_air_share(row_number(in, "Q"), row_number(in, "V"), row_number(in, "h"), w, row_number(in, "plume"), value);
}

static tufa_status reach(row_inputs *in, double *value)
{
    tufa_line line = {.static_Pa = row_number(in, "static"), .hose_bore_m = row_number(in, "hose"), .hose_roughness_m = 1.5e-6,
                      .rise_m = row_number(in, "rise"), .rho_kg_m3 = 998.0, .nu_m2_s = 1.004e-6};
    double level, rise;
    tufa_status st = tufa_clean_reach(&line, row_number(in, "v"), 1018.0, row_number(in, "margin"), &level, &rise);
    *value = (row_number(in, "which") > 0.5 ? rise : level) / 0.3048;
    return st;
}

#define R(name) {#name, rel_##name}
const row_kind clean_rows[] = {R(settling), R(threshold), R(orifice), R(pipe_friction), R(hose_flow), R(ergun), R(fluidise), R(just_suspended),
                               R(deposition), R(drain_time), R(arch), R(acid_capacity), R(vacuum_plug), R(bubble_rise), R(stored_energy),
                               {"preset", preset}, {"assumption", assumed}, {"two_pipes", two_pipes}, {"house_psi", house_psi},
                               {"suspended_ratio", suspended_ratio}, {"thread", thread}, {"arch_more", arch_more},
                               {"case_default", case_default}, {"flush_share", flush_share}, {"flush_mix", flush_mix},
                               {"jet_constant", jet_constant}, {"arch_growth", arch_growth}, {"run_longer", run_longer}, {"stirred_port", stirred_port},
                               {"citrate_in_water", citrate_in_water}, {"gas_of_lime", gas_of_lime}, {"citric_for_lime", citric_for_lime},
                               {"scald_of_source", scald_of_source}, {"air_share", air_share}, {"reach", reach}, {0}};
