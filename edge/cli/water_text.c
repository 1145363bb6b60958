#include "edge/cli/water_text.h"

#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "core/base/units.h"
#include "edge/say/units.h"

enum { WIDTH = 96 };
static const double LB_PER_1000_GAL = 8.345404e-3; /* of 1 mg/L: 3785.411784 L x 1e-6 kg / 0.45359237 kg */

static const char *const FIELD_WORDS[TUFA_WATER_FIELD_COUNT] = {
    [TUFA_WATER_T_K] = "temperature of the pH", [TUFA_WATER_PH] = "pH",        [TUFA_WATER_ALKALINITY] = "alkalinity",
    [TUFA_WATER_HARDNESS] = "hardness",         [TUFA_WATER_CA] = "calcium",   [TUFA_WATER_MG] = "magnesium",
    [TUFA_WATER_NA] = "sodium",                 [TUFA_WATER_K] = "potassium",  [TUFA_WATER_CL] = "chloride",
    [TUFA_WATER_SO4] = "sulfate",               [TUFA_WATER_NO3] = "nitrate",  [TUFA_WATER_SILICA] = "silica"};
static const char *const FIELD_KEY[TUFA_WATER_FIELD_COUNT] = {"temp_c", "ph", "alkalinity", "hardness", "ca", "mg",
                                                              "na", "k", "cl", "so4", "no3", "silica"};
static const char *const SET_NAME[TUFA_CONSTANTS_COUNT] = {[TUFA_CONSTANTS_2025] = "2025", [TUFA_CONSTANTS_1982] = "1982"};

/* ---- words ---- */

static double hardness_of(const tufa_analysis *a) { return mg_caco3_from_mol(a->ca_mol_kgw + a->mg_mol_kgw); }

static void paragraph(text *t, const char *s)
{
    text_add(t, "  ");
    text_add_wrapped(t, s, WIDTH, 2);
    text_add(t, "\n");
}

static void head(text *t, const char *id, const water_answer *a)
{
    const tufa_analysis *m = &a->filled.middle;
    text line = {0};
    text_addf(t, "%s\n", id);
    say_number(&line, hardness_of(m) / 17.11806, 2);
    text_addf(&line, " grains hard (%.0f mg/L), alkalinity %.0f mg/L as CaCO3, pH %.1f", hardness_of(m),
              0.5 * mg_caco3_from_mol(m->alkalinity_eq_kgw), m->ph);
    if (!(a->filled.assumed & 1u << TUFA_WATER_PH)) text_addf(&line, " at %.0f F", F_from_K(m->T_K));
    if (a->charge_told) text_addf(&line, "; its charges balance within %.0f %%", ceil(fabs(a->charge_error_pct)));
    paragraph(t, text_str(&line));
    text_free(&line);
}

/* How much that is, beside other tap waters; bounds are judgement. */
static const char *in_words(double mg_L)
{
    if (mg_L < -5.0) return "none, it dissolves old scale slowly";
    if (mg_L < 5.0) return "next to none";
    if (mg_L < 30.0) return "little";
    return mg_L < 70.0 ? "a fair amount" : mg_L < 120.0 ? "much" : "very much";
}

static void table(text *t, const water_answer *a)
{
    text_add(t, "\n  heated to        pH     scale it can drop   likely        a 1,000 gal   that is\n");
    for (size_t i = 0; i < a->temps; i++) {
        const water_heated *h = &a->at[i];
        double mid = h->state.ccpp_mg_L;
        text_addf(t, "  %.0f F (%.0f C)%s", F_from_K(h->state.T_K), C_from_K(h->state.T_K), h->state.extrapolated ? " *" : "");
        text_pad_to(t, 19);
        text_addf(t, "%.2f", h->state.ph);
        text_pad_to(t, 26);
        if (mid > 0.0) text_addf(t, "%.0f mg/L", mid);
        else text_add(t, "none");
        text_pad_to(t, 46);
        text_addf(t, "%.0f to %.0f", fmax(0.0, h->ccpp_mg_L.lo), fmax(0.0, h->ccpp_mg_L.hi));
        text_pad_to(t, 60);
        if (mid > 0.0) {
            say_number(t, mid * LB_PER_1000_GAL, 2);
            text_add(t, " lb");
        } else text_add(t, "-");
        text_pad_to(t, 74);
        text_addf(t, "%s\n", in_words(mid));
    }
    text_add(t, "\n");
}

static void other_solids(text *t, const water_answer *a)
{
    const tufa_water_state *s = &a->at[a->temps - 1].state;
    text line = {0};
    if (s->si_gypsum > 0.0 || s->si_anhydrite > 0.0) text_add(&line, "gypsum, which no household acid dissolves");
    if (s->si_brucite > 0.0) text_addf(&line, "%smagnesium hydroxide", line.len ? "; " : "");
    if (s->has_silica && s->si_silica > 0.0) text_addf(&line, "%ssilica", line.len ? "; " : "");
    if (line.len) {
        text full = {0};
        text_addf(&full, "Beside lime, at %.0f F this water can also drop: %s.", F_from_K(s->T_K), text_str(&line));
        paragraph(t, text_str(&full));
        text_free(&full);
    }
    text_free(&line);
}

static void rests_on(text *t, const water_answer *a)
{
    text line = {0};
    unsigned assumed = a->filled.assumed & ~(1u << TUFA_WATER_SILICA);
    size_t n = 0;
    text_add(&line, "The likely range holds 8 times in 10. ");
    for (int f = 0; f < TUFA_WATER_FIELD_COUNT; f++) n += (assumed >> f) & 1u;
    if (assumed & ~(1u << TUFA_WATER_T_K)) {
        text_add(&line, "Not given, and taken from published analyses of like waters: ");
        size_t k = 0;
        for (int f = 0; f < TUFA_WATER_FIELD_COUNT; f++)
            if ((assumed >> f) & 1u) text_addf(&line, "%s%s", k++ ? (k == n ? " and " : ", ") : "", FIELD_WORDS[f]);
        text_addf(&line, " (%zu were near enough to count, nearest", a->filled.like_waters);
        for (size_t i = 0; i < TUFA_WATER_NAMED && a->filled.like_name[i]; i++)
            text_addf(&line, "%s %s", i ? ";" : "", a->filled.like_name[i]);
        text_add(&line, "). ");
    } else if (assumed) {
        text_add(&line, "No temperature is given with the pH; 77 F, the laboratory's, is assumed. ");
    } else {
        text_add(&line, "It comes from the usual error of pH (0.1) and alkalinity (5 %). ");
    }
    text_addf(&line, "A second published set of constants would say %.0f mg/L %s.", fabs(a->at[0].model_mg_L), a->at[0].model_mg_L < 0.0 ? "less" : "more");
    paragraph(t, text_str(&line));
    text_free(&line);
}

static void each_remark(text *t, const char *remarks)
{
    while (*remarks) {
        size_t n = strcspn(remarks, "\n");
        text one = {0};
        text_add(&one, "Noticed: ");
        text_addn(&one, remarks, n);
        paragraph(t, text_str(&one));
        text_free(&one);
        remarks += n;
        remarks += *remarks == '\n';
    }
}

static void telephone(text *t, const water_answer *a)
{
    if (a->look.ask == TUFA_WATER_FIELD_COUNT) return;
    text line = {0};
    text_addf(&line, "One figure would narrow this most (from %.0f mg/L wide to about %.0f). Call the water works and say: ",
              a->look.width_mg_L, a->look.width_after_mg_L);
    sheet_ask(&line, a->look.ask);
    paragraph(t, text_str(&line));
    text_free(&line);
}

void water_put_words(text *out, const char *id, const water_answer *a, const char *remarks)
{
    if (out->len) text_add(out, "\n");
    head(out, id, a);
    table(out, a);
    for (size_t i = 0; i < a->temps; i++)
        if (a->at[i].state.extrapolated) {
            paragraph(out, "* beyond 41 to 194 F (5 to 90 C) the constants are stretched; take it as a rough figure.");
            break;
        }
    other_solids(out, a);
    rests_on(out, a);
    each_remark(out, remarks);
    telephone(out, a);
}

/* ---- JSON ---- */

static void put_line(text *out, json_t *o)
{
    char *s = json_dumps(o, JSON_COMPACT | JSON_REAL_PRECISION(10));
    if (s) text_add(out, s);
    else out->failed = true;
    text_add(out, "\n");
    free(s);
    json_decref(o);
}

static void real(json_t *o, const char *key, double x) { json_object_set_new(o, key, json_real(x)); }

static json_t *assumed_list(const water_answer *a)
{
    json_t *list = json_array();
    for (int f = 0; f < TUFA_WATER_FIELD_COUNT; f++)
        if ((a->filled.assumed >> f) & 1u && f != TUFA_WATER_SILICA) json_array_append_new(list, json_string(FIELD_KEY[f]));
    return list;
}

static json_t *remark_list(const char *remarks)
{
    json_t *list = json_array();
    while (*remarks) {
        size_t n = strcspn(remarks, "\n");
        json_array_append_new(list, json_stringn(remarks, n));
        remarks += n;
        remarks += *remarks == '\n';
    }
    return list;
}

static void put_state(json_t *o, const water_answer *a, const water_heated *h)
{
    const tufa_water_state *s = &h->state;
    real(o, "ph", s->ph);
    real(o, "si_calcite", s->si_calcite);
    real(o, "si_aragonite", s->si_aragonite);
    real(o, "ccpp_mmol_kgw", 1e3 * s->ccpp_mol_kgw);
    real(o, "ccpp_mg_l", s->ccpp_mg_L);
    real(o, "pco2_atm", s->pco2_atm);
    real(o, "ionic_strength", s->ionic_strength_mol_kgw);
    real(o, "langelier", s->langelier);
    real(o, "ccpp_aragonite_mmol_kgw", 1e3 * s->ccpp_aragonite_mol_kgw);
    real(o, "ccpp_mg_l_p10", h->ccpp_mg_L.lo);
    real(o, "ccpp_mg_l_p50", h->ccpp_mg_L.mid);
    real(o, "ccpp_mg_l_p90", h->ccpp_mg_L.hi);
    real(o, "other_constants_ccpp_mg_l_difference", h->model_mg_L);
    real(o, "si_gypsum", s->si_gypsum);
    real(o, "si_anhydrite", s->si_anhydrite);
    real(o, "si_brucite", s->si_brucite);
    json_object_set_new(o, "si_silica", s->has_silica ? json_real(s->si_silica) : json_null());
    real(o, "dic_mmol_kgw", 1e3 * s->dic_mol_kgw);
    real(o, "alkalinity_meq_kgw", 1e3 * s->alkalinity_eq_kgw);
    real(o, "ca_mmol_kgw", 1e3 * a->filled.middle.ca_mol_kgw);
    real(o, "hardness_mg_l_caco3", hardness_of(&a->filled.middle));
    real(o, "ph_after_calcite", s->ph_after);
    real(o, "ca_after_calcite_mmol_kgw", 1e3 * s->ca_after_mol_kgw);
    real(o, "ec25_us_cm", s->ec25_uS_cm);
    real(o, "charge_error_percent", a->charge_error_pct);
    json_object_set_new(o, "charge_error_from_sheet", json_boolean(a->charge_told));
    json_object_set_new(o, "extrapolated", json_boolean(s->extrapolated));
    json_object_set_new(o, "bracketed", json_boolean(s->fallback));
}

void water_put_json(text *out, const char *id, const water_answer *a, const char *remarks)
{
    for (size_t i = 0; i < a->temps; i++) {
        json_t *o = json_object();
        json_object_set_new(o, "id", json_string(id));
        real(o, "at_c", C_from_K(a->at[i].state.T_K));
        json_object_set_new(o, "constants", json_string(SET_NAME[a->set]));
        put_state(o, a, &a->at[i]);
        json_object_set_new(o, "assumed", assumed_list(a));
        json_object_set_new(o, "like_waters", json_integer((json_int_t)a->filled.like_waters));
        json_t *names = json_array();
        for (size_t k = 0; k < TUFA_WATER_NAMED && a->filled.like_name[k]; k++)
            json_array_append_new(names, json_string(a->filled.like_name[k]));
        json_object_set_new(o, "like_water_names", names);
        json_object_set_new(o, "notes", remark_list(remarks));
        bool asks = a->look.ask != TUFA_WATER_FIELD_COUNT;
        text sentence = {0};
        sheet_ask(&sentence, a->look.ask);
        json_object_set_new(o, "ask", asks ? json_string(FIELD_KEY[a->look.ask]) : json_null());
        json_object_set_new(o, "ask_sentence", asks ? json_string(text_str(&sentence)) : json_null());
        text_free(&sentence);
        put_line(out, o);
    }
}

/* ---- acid ---- */

static const char *const ACID_NAME[TUFA_ACID_COUNT] = {[TUFA_ACID_ACETIC] = "acetic", [TUFA_ACID_CITRIC] = "citric"};

void soak_put_json(text *out, const tufa_soak_in *in, const tufa_soak *s)
{
    json_t *o = json_object();
    json_object_set_new(o, "acid", json_string(ACID_NAME[in->acid]));
    real(o, "acid_percent", in->acid_percent);
    real(o, "at_c", C_from_K(in->T_K));
    json_object_set_new(o, "mode", json_string(in->closed ? "closed" : "open"));
    json_object_set_new(o, "citrate_solid", json_boolean(in->citrate_solid));
    real(o, "ph_start", s->ph_start);
    real(o, "ph", s->ph);
    real(o, "caco3_dissolved_mol_kgw", s->caco3_mol_kgw);
    real(o, "caco3_dissolved_g_kgw", s->caco3_g_kgw);
    real(o, "caco3_dissolved_g_per_l_acid", s->caco3_g_per_L_acid);
    real(o, "share_of_stoichiometric", s->share_of_stoichiometric);
    real(o, "ca_mol_kgw", s->ca_mol_kgw);
    real(o, "dic_mol_kgw", s->dic_mol_kgw);
    real(o, "pco2_atm", s->pco2_atm);
    real(o, "ionic_strength", s->ionic_strength_mol_kgw);
    bool citric = in->acid == TUFA_ACID_CITRIC;
    json_object_set_new(o, "citrate_solid_mol_kgw", citric ? json_real(s->citrate_solid_mol_kgw) : json_null());
    json_object_set_new(o, "si_citrate", citric ? json_real(s->si_citrate) : json_null());
    put_line(out, o);
}

void soak_put_words(text *out, const tufa_soak_in *in, const tufa_soak *s)
{
    static const double G_PER_OZ = 28.349523125, L_PER_GAL = 3.785411784;
    text t = {0};
    text_addf(&t, "One gallon of %s acid, %.3g %%, at %.0f F, %s, on more lime than it can take: it dissolves %.1f oz of lime (%.0f g per liter) and ends at pH %.1f.",
              ACID_NAME[in->acid], in->acid_percent, F_from_K(in->T_K), in->closed ? "in a closed tank" : "in a tank open to the air",
              s->caco3_g_per_L_acid * L_PER_GAL / G_PER_OZ, s->caco3_g_per_L_acid, s->ph);
    if (in->closed)
        text_addf(&t, " The gas shut in would press with about %.0f psi.", psi_from_Pa(s->pco2_atm * 101325.0));
    paragraph(out, text_str(&t));
    text_clear(&t);
    if (s->citrate_solid_mol_kgw > 0.0) {
        text_addf(&t, "But %.1f oz of calcium citrate settles out again: one sludge takes the place of another.",
                  s->citrate_solid_mol_kgw * 570.5 * L_PER_GAL / G_PER_OZ); /* g/mol of Ca3(C6H5O7)2 4 H2O */
        paragraph(out, text_str(&t));
        text_clear(&t);
    }
    const tufa_caution *c = tufa_caution_find("C_ACID");
    text_addf(&t, "%s: %s Local codes and licensed practice come first.", c ? c->title : "Acid", c ? c->words : "never close a tank on acid.");
    paragraph(out, text_str(&t));
    text_free(&t);
}
