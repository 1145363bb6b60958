#include "edge/import/sheet.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "core/base/units.h"
#include "edge/import/csv.h"
#include "edge/import/value.h"
#include "edge/import/words.h"
#include "edge/say/units.h"

/* What a column tells. The first ones are fields of the water by the same name. */
typedef enum tells {
    TELLS_NOTHING,
    TELLS_CA, TELLS_MG, TELLS_NA, TELLS_K, TELLS_CL, TELLS_SO4, TELLS_NO3, TELLS_SILICA, TELLS_ALKALINITY, TELLS_HARDNESS,
    TELLS_HCO3, TELLS_CO3, TELLS_KS43, TELLS_TDS, TELLS_SAND, TELLS_RUST,
    TELLS_PH, TELLS_TEMPERATURE, TELLS_CONDUCTIVITY, TELLS_SOFTENED,
    TELLS_COUNT
} tells;

static const struct {
    const char *names;
    tells what;
    double g_mol, eq_mol;
} COLUMNS[] = {
#define C(names, what, g_mol, eq_mol) {names, TELLS_##what, g_mol, eq_mol},
#include "edge/import/sheet_columns.def"
#undef C
};
enum { COLUMN_COUNT = sizeof COLUMNS / sizeof COLUMNS[0] };

typedef enum basis { WEIGHT, MOLE, EQUIVALENT, LIME } basis;
static const struct {
    const char *names;
    basis basis;
    double one;
} UNITS[] = {
#define U(names, basis, one) {names, basis, one},
#include "edge/import/sheet_units.def"
#undef U
};
enum { UNIT_ROWS = sizeof UNITS / sizeof UNITS[0] };

static const tufa_water_field FIELD_OF[TELLS_COUNT] = {
    [TELLS_CA] = TUFA_WATER_CA,     [TELLS_MG] = TUFA_WATER_MG,     [TELLS_NA] = TUFA_WATER_NA,
    [TELLS_K] = TUFA_WATER_K,       [TELLS_CL] = TUFA_WATER_CL,     [TELLS_SO4] = TUFA_WATER_SO4,
    [TELLS_NO3] = TUFA_WATER_NO3,   [TELLS_SILICA] = TUFA_WATER_SILICA, [TELLS_PH] = TUFA_WATER_PH,
    [TELLS_ALKALINITY] = TUFA_WATER_ALKALINITY, [TELLS_HARDNESS] = TUFA_WATER_HARDNESS,
    [TELLS_TEMPERATURE] = TUFA_WATER_T_K};

/* Columns that are read over: who, where, when, and what does not change scale. */
static const char PASSED_OVER[] =
    "id|water|place|name|label|said_on|made_of|town|city|address|date|day|time|source|lab|laboratory|sample|sample_id|kind|set|note|notes|remark|"
    "remarks|comment|comments|description|flags|water|water_id";
static const char NO_PART_IN_SCALE[] =
    "f|fluoride|fe|iron|total_iron|mn|manganese|zn|zinc|cu|copper|pb|lead|as|arsenic|al|aluminum|ba|barium|sr|strontium|cl2|"
    "chlorine|turbidity|p|phosphorus|total_phosphorus|po4|phosphate|nh4|ammonia|toc|b|boron|br|bromide|no2|nitrite|o2|oxygen|"
    "co2|cations|anions";
/* Weight of rust (FeOOH) from iron, 88.85 / 55.845. */
static const double RUST_FROM_IRON = 1.591;

/* What a header says. `mol` turns the column's number into mol/kgw (eq for alkalinity), mg/L for solids. */
typedef struct column {
    tells what;
    double mol;
    const unit_row *unit; /* of hardness, temperature */
    bool bare;            /* mg/L of alkalinity or hardness without saying as what */
} column;

static bool one_of(const char *s, size_t n, const char *names)
{
    for (const char *p = names; *p;) {
        size_t len = strcspn(p, "|");
        if (len == n && strncmp(p, s, n) == 0) return true;
        p += len;
        p += *p == '|';
    }
    return false;
}

static double mol_of(int row, int unit)
{
    switch (UNITS[unit].basis) {
    case WEIGHT: return COLUMNS[row].g_mol > 0.0 ? UNITS[unit].one / COLUMNS[row].g_mol : 0.0;
    case MOLE: return UNITS[unit].one;
    case EQUIVALENT: return UNITS[unit].one / COLUMNS[row].eq_mol;
    case LIME: return UNITS[unit].one * 2.0 / (100.0869 * COLUMNS[row].eq_mol);
    }
    return 0.0;
}

/* A name of the table in front of `plain`, the longest; *rest is what follows its underline. */
static int longest_name(const char *plain, const char **rest)
{
    int found = -1;
    size_t best = 0;
    for (size_t n = strlen(plain); n > 0 && found < 0; n--) {
        if (plain[n] != 0 && plain[n] != '_') continue;
        for (int row = 0; row < COLUMN_COUNT; row++)
            if (one_of(plain, n, COLUMNS[row].names)) {
                found = row;
                best = n;
            }
    }
    if (found >= 0) *rest = plain[best] ? plain + best + 1 : plain + best;
    return found;
}

static bool simple_column(const char *plain, column *c)
{
    static const struct {
        const char *names;
        tells what;
        unit_id unit;
    } SIMPLE[] = {{"ph|ph_value|ph_field|lab_ph", TELLS_PH, UNIT_ONE},
                  {"temp_c|temperature_c|t_c|temp_degc|temperature_degc|water_temp_c|t0_c", TELLS_TEMPERATURE, UNIT_C},
                  {"temp_f|temperature_f|t_f|temp_degf|temperature_degf|water_temp_f", TELLS_TEMPERATURE, UNIT_F},
                  {"temp_k|t_k|temperature_k", TELLS_TEMPERATURE, UNIT_K},
                  {"ec_us_cm|conductivity_us_cm|ec_umho_cm|conductivity_umho_cm|conductivity|ec", TELLS_CONDUCTIVITY, UNIT_ONE},
                  {"softened|softener", TELLS_SOFTENED, UNIT_ONE}};
    for (size_t i = 0; i < sizeof SIMPLE / sizeof SIMPLE[0]; i++) {
        if (!one_of(plain, strlen(plain), SIMPLE[i].names)) continue;
        *c = (column){.what = SIMPLE[i].what, .mol = 1.0, .unit = &units[SIMPLE[i].unit]};
        return true;
    }
    return false;
}

static tufa_code no_column(const char *header, const char *plain, trouble_note *note)
{
    static const char *const KNOWN[] = {"ca_mg_l", "mg_mg_l", "na_mg_l", "k_mg_l", "cl_mg_l", "so4_mg_l", "so4_s_mg_l", "no3_mg_l",
                                        "no3_n_mg_l", "sio2_mg_l", "alkalinity_mg_l_caco3", "hco3_mg_l", "hardness_gpg",
                                        "hardness_mg_l_caco3", "ph", "temp_c", "temp_f", "tds_mg_l", "id", "calcium_mg_l",
                                        "magnesium_mg_l", "sodium_mg_l", "chloride_mg_l", "sulfate_mg_l", "nitrate_mg_l",
                                        "bicarbonate_mg_l", "ec_us_cm"};
    const char *near = nearest_name(plain, KNOWN, sizeof KNOWN / sizeof KNOWN[0]);
    char why[160];
    snprintf(why, sizeof why, "this column is not known%s%s%s", near ? "; did you mean " : "", near ? near : "", near ? "?" : "");
    note_set(note, TUFA_UNKNOWN, "column", header, "a name with its unit, such as ca_mg_l or alkalinity_mg_l_caco3", why);
    return TUFA_UNKNOWN;
}

static tufa_code needs_unit(const char *header, int row, trouble_note *note)
{
    char first[40], why[200];
    snprintf(first, sizeof first, "%.*s", (int)strcspn(COLUMNS[row].names, "|"), COLUMNS[row].names);
    const char *example = COLUMNS[row].g_mol > 0.0 ? "mg_l" : "mg_l_caco3";
    snprintf(why, sizeof why, "this column does not say its unit; name it, for example, %s_%s", first, example);
    note_set(note, TUFA_UNIT, "column", header, "mg_l, mmol_l, mmol_kgw, meq_l, mg_l_caco3, gpg, dh, fh", why);
    return TUFA_UNIT;
}

static tufa_code read_header(const char *header, column *c, trouble_note *note)
{
    char plain[STORE_CELL];
    csv_plain_name(header, plain, sizeof plain);
    *c = (column){.what = TELLS_NOTHING};
    if (plain[0] == 0 || one_of(plain, strlen(plain), PASSED_OVER) || simple_column(plain, c)) return TUFA_OK;
    const char *rest = "";
    size_t head = strcspn(plain, "_");
    int row = longest_name(plain, &rest);
    if (row < 0) {
        if (one_of(plain, head, NO_PART_IN_SCALE) || one_of(plain, strlen(plain), NO_PART_IN_SCALE)) return TUFA_OK;
        return no_column(header, plain, note);
    }
    for (int u = 0; u < UNIT_ROWS; u++) {
        if (!one_of(rest, strlen(rest), UNITS[u].names)) continue;
        *c = (column){.what = COLUMNS[row].what, .mol = mol_of(row, u)};
        if (c->what >= TELLS_TDS && c->what <= TELLS_RUST) c->mol *= 1e6; /* g/mol 1000 stands for mg: mg/L wanted */
        if (UNITS[u].basis == WEIGHT && COLUMNS[row].g_mol == 0.0) { /* alkalinity, hardness: as CaCO3 unless it says otherwise */
            c->bare = true;
            c->mol = UNITS[u].one * 2.0 / (100.0869 * COLUMNS[row].eq_mol);
        }
        return TUFA_OK;
    }
    return needs_unit(header, row, note);
}

/* ---- cells ---- */

/* "very hard" and its kind, as mg/L CaCO3: the bounds of the USGS scale (60, 120, 180), its open end from the published
 * waters at hand. */
static const struct {
    const char *names;
    double lo, mid, hi;
} WORDED[] = {{"very soft", 5, 15, 30},
              {"soft|softened", 15, 35, 60},
              {"moderate|moderately hard|medium|medium hard|fairly hard|slightly hard", 61, 90, 120},
              {"hard|quite hard|pretty hard", 121, 150, 180},
              {"very hard|extremely hard|really hard|awfully hard|rock hard|hard as rock", 180, 270, 420}};

static bool worded_hardness(const char *cell, tufa_value *mg_L)
{
    char plain[WORDS_LONGEST + 1];
    if (!words_plain(cell, plain)) return false;
    for (size_t i = 0; i < sizeof WORDED / sizeof WORDED[0]; i++)
        if (one_of(plain, strlen(plain), WORDED[i].names)) {
            *mg_L = (tufa_value){WORDED[i].mid, WORDED[i].lo, WORDED[i].hi, TUFA_BASIS_RANGE};
            return true;
        }
    return false;
}

static bool not_found(const char *cell)
{
    char plain[WORDS_LONGEST + 1];
    return words_plain(cell, plain) && one_of(plain, strlen(plain), "nd|n.d.|n.d|non-detect|nondetect|not detected|none|bdl|<mdl");
}

/* A cell in the column's own unit. "<2" is half the limit, from a tenth of it to all of it. */
static tufa_code read_cell(const char *cell, const value_rule *rule, tufa_value *v, trouble_note *note)
{
    while (*cell == ' ') cell++;
    if (rule->q == Q_NUMBER && not_found(cell)) {
        *v = (tufa_value){.basis = TUFA_BASIS_GIVEN};
        return TUFA_OK;
    }
    bool below = *cell == '<' && rule->q != Q_TEMPERATURE;
    tufa_code code = value_parse(below ? cell + 1 : cell, rule, v, note);
    if (code == TUFA_OK && below && v->basis != TUFA_BASIS_NONE)
        *v = (tufa_value){0.5 * v->mid, 0.1 * v->mid, v->mid, TUFA_BASIS_RANGE};
    return code;
}

static tufa_value scaled(tufa_value v, double by) { return (tufa_value){v.mid * by, v.lo * by, v.hi * by, v.basis}; }

static double most_of(tells what)
{
    switch (what) {
    case TELLS_NA: case TELLS_CL: return 0.7;
    case TELLS_SILICA: return 0.01;
    case TELLS_HARDNESS: return 0.2;
    case TELLS_TDS: case TELLS_SAND: case TELLS_RUST: return 1e5; /* mg/L */
    default: return 0.1;
    }
}

/* A hardness of 0 is less than a test can show; a softener passes about this. Judgement. */
static const tufa_value NO_HARDNESS_MG_L = {.mid = 2.0, .lo = 0.3, .hi = 8.0, .basis = TUFA_BASIS_RANGE};

/* Everything read, before the parts are put together. */
typedef struct gathered {
    tufa_value told[TELLS_COUNT];
    bool softened, bare_alkalinity;
    double rust_from_iron;
} gathered;

static tufa_code take_hardness_cell(const sheet_cell *at, const column *c, tufa_value *v, trouble_note *note)
{
    tufa_value mg_L;
    if (worded_hardness(at->cell, &mg_L)) {
        *v = scaled(mg_L, 1.0 / 100086.9);
        return TUFA_OK;
    }
    /* the column's unit where the cell names none: mg/L as CaCO3 = number x mol x 100086.9 */
    unit_row unit = units[UNIT_MG_L_CACO3];
    unit.one = c->mol * 100086.9;
    unit.names = ""; /* the header names it */
    value_rule rule = {.field = at->column, .q = Q_HARDNESS, .unit = &unit, .lo = 0.0, .hi = most_of(TELLS_HARDNESS) * 100086.9};
    tufa_code code = read_cell(at->cell, &rule, v, note);
    if (code == TUFA_OK && v->basis != TUFA_BASIS_NONE && v->hi == 0.0) *v = NO_HARDNESS_MG_L;
    if (code == TUFA_OK) *v = scaled(*v, 1.0 / 100086.9);
    return code;
}

static tufa_code take_cell(const sheet_cell *at, const column *c, gathered *g, trouble_note *note)
{
    tufa_value v = {0};
    tufa_code code = TUFA_OK;
    value_rule rule = {.field = at->column, .q = Q_NUMBER, .unit = &units[UNIT_ONE], .lo = 0.0};
    if (c->what == TELLS_NOTHING) return TUFA_OK;
    if (c->what == TELLS_SOFTENED) {
        char plain[WORDS_LONGEST + 1];
        if (words_plain(at->cell, plain)) g->softened = g->softened || one_of(plain, strlen(plain), "yes|y|1|true|softened|x");
        return TUFA_OK;
    }
    if (c->what == TELLS_HARDNESS) code = take_hardness_cell(at, c, &v, note);
    else {
        rule.hi = most_of(c->what) / c->mol;
        if (c->what == TELLS_PH) rule.lo = 4.0, rule.hi = 11.5;
        if (c->what == TELLS_CONDUCTIVITY) rule.hi = 1e5;
        if (c->what == TELLS_TEMPERATURE) rule = (value_rule){at->column, Q_TEMPERATURE, c->unit, TUFA_WATER_EXTRAPOLATED_LO_K, TUFA_WATER_EXTRAPOLATED_HI_K, 0};
        code = read_cell(at->cell, &rule, &v, note);
        if (c->what != TELLS_TEMPERATURE) v = scaled(v, c->mol);
    }
    if (code != TUFA_OK || v.basis == TUFA_BASIS_NONE) return code;
    tells what = c->what;
    bool again = g->told[what].basis != TUFA_BASIS_NONE && fabs(g->told[what].mid - v.mid) > 0.02 * v.mid;
    if (again && what == TELLS_ALKALINITY && g->told[TELLS_HCO3].basis == TUFA_BASIS_NONE) {
        what = TELLS_HCO3; /* a second alkalinity, to be compared with the first */
        again = false;
    }
    if (again) {
        note_set(note, TUFA_CONFLICT, at->column, at->cell, "", "an earlier column gives another figure for the same thing");
        return TUFA_CONFLICT;
    }
    if (what == TELLS_ALKALINITY) g->bare_alkalinity = g->bare_alkalinity || c->bare;
    g->told[what] = v;
    return TUFA_OK;
}

/* ---- putting together ---- */

static tufa_value sum(tufa_value a, tufa_value b, double times)
{
    if (b.basis == TUFA_BASIS_NONE) return a;
    if (a.basis == TUFA_BASIS_NONE) a.basis = b.basis;
    return (tufa_value){a.mid + times * b.mid, a.lo + times * b.lo, a.hi + times * b.hi, a.basis};
}

static bool told(const gathered *g, tells what) { return g->told[what].basis != TUFA_BASIS_NONE; }

/* Cations less all anions but alkalinity, eq/kgw, when every main ion is told; a negative number otherwise. */
static double alkalinity_by_charge(const gathered *g)
{
    bool all = told(g, TELLS_CA) && told(g, TELLS_MG) && told(g, TELLS_NA) && told(g, TELLS_SO4) && told(g, TELLS_CL);
    if (!all) return -1.0;
    return 2.0 * (g->told[TELLS_CA].mid + g->told[TELLS_MG].mid) + g->told[TELLS_NA].mid + g->told[TELLS_K].mid -
           2.0 * g->told[TELLS_SO4].mid - g->told[TELLS_CL].mid - g->told[TELLS_NO3].mid;
}

static void remark(text *t, const char *s)
{
    if (!t) return;
    text_add(t, s);
    text_add(t, "\n");
}

static double mg_L_of_alkalinity(double eq) { return 0.5 * mg_caco3_from_mol(eq); }

/* One alkalinity from whatever was told of it. */
static tufa_value alkalinity_of(gathered *g, text *remarks)
{
    static const double FREE_ACID = 5e-5; /* eq/L: what a titration to pH 4.3 holds beyond alkalinity; DIN 38404-10 */
    tufa_value titrated = g->told[TELLS_ALKALINITY], parts = sum(g->told[TELLS_HCO3], g->told[TELLS_CO3], 2.0);
    if (titrated.basis == TUFA_BASIS_NONE && told(g, TELLS_KS43)) {
        titrated = g->told[TELLS_KS43];
        titrated.mid = fmax(titrated.mid - FREE_ACID, 0.0);
        titrated.lo = fmax(titrated.lo - FREE_ACID, 0.0);
        titrated.hi = fmax(titrated.hi - FREE_ACID, 0.0);
    }
    if (titrated.basis == TUFA_BASIS_NONE) return parts;
    if (parts.basis == TUFA_BASIS_NONE || fabs(parts.mid - titrated.mid) <= 0.05 * titrated.mid) return titrated;
    double by_charge = alkalinity_by_charge(g);
    bool second = by_charge > 0.0 && fabs(parts.mid - by_charge) < fabs(titrated.mid - by_charge);
    if (remarks)
        text_addf(remarks, "Two alkalinities that do not agree: %.0f and %.0f mg/L as CaCO3. The %s is used%s; ask which is the treated water.\n",
                  mg_L_of_alkalinity(titrated.mid), mg_L_of_alkalinity(parts.mid), second ? "second" : "first",
                  by_charge > 0.0 ? ", the charges balance better with it" : "");
    return second ? parts : titrated;
}

static double charge_error(double plus, double minus) { return 100.0 * (plus - minus) / (plus + minus); }

/* Sulfate told as sulfur, bicarbonate told as alkalinity or the other way round: the readings that close the charges are
 * named, none is taken. */
static void notice_charge(const gathered *g, tufa_value alk, text *remarks)
{
    static const double CLOSES = 5.0, OFF = 6.0, SO4_PER_S = 2.9963, HCO3_PER_CACO3 = 1.2193;
    double by_charge = alkalinity_by_charge(g);
    if (!remarks || by_charge == -1.0 || alk.basis == TUFA_BASIS_NONE) return;
    double so4 = 2.0 * g->told[TELLS_SO4].mid, plus = by_charge + so4 + g->told[TELLS_CL].mid + g->told[TELLS_NO3].mid;
    double minus = plus - by_charge + alk.mid, error = charge_error(plus, minus);
    if (fabs(error) <= CLOSES) return;
    text_addf(remarks, "The charges of the ions do not balance: %+.0f %% (a good sheet is within 5 %%).\n", error);
    if (fabs(error) < OFF) return;
    const struct {
        double minus;
        const char *words;
    } READINGS[] = {
        {minus + (SO4_PER_S - 1.0) * so4, "They would balance if the sulfate is given as sulfur (SO4-S): then name the column so4_s_mg_l."},
        {minus + (HCO3_PER_CACO3 - 1.0) * alk.mid, "They would balance if the bicarbonate is really alkalinity as CaCO3: then name the column alkalinity_mg_l_caco3."},
        {minus - (1.0 - 1.0 / HCO3_PER_CACO3) * alk.mid, "They would balance if the alkalinity is really given as bicarbonate: then name the column hco3_mg_l."}};
    for (size_t i = 0; i < sizeof READINGS / sizeof READINGS[0]; i++)
        if (fabs(charge_error(plus, READINGS[i].minus)) <= CLOSES) remark(remarks, READINGS[i].words);
}

static void notice_softener(const gathered *g, tufa_value alk, tufa_water_known *out, text *remarks)
{
    static const double SOFT_MOL = 0.3e-3, ALKALINE_EQ = 2e-3; /* 30 mg/L hardness beside 100 mg/L alkalinity: judgement */
    double hardness = told(g, TELLS_HARDNESS) ? g->told[TELLS_HARDNESS].mid : g->told[TELLS_CA].mid + g->told[TELLS_MG].mid;
    bool any = told(g, TELLS_HARDNESS) || told(g, TELLS_CA);
    if (any && alk.basis != TUFA_BASIS_NONE && hardness < SOFT_MOL && alk.mid > ALKALINE_EQ) {
        out->softened = 1;
        remark(remarks, "Next to no hardness beside much alkalinity: this water has been through a softener. It drops no scale, but uses up the anode rod faster.");
    }
    if (!g->softened) return;
    out->softened = 1;
    if (!any || hardness < SOFT_MOL) return;
    /* a hard figure for a softened water is that of the water going in; what passes: judgement */
    out->field[TUFA_WATER_HARDNESS] = (tufa_value){0.01 * hardness, 0.002 * hardness, 0.05 * hardness, TUFA_BASIS_RANGE};
    out->field[TUFA_WATER_CA] = out->field[TUFA_WATER_MG] = out->field[TUFA_WATER_NA] = (tufa_value){0};
    remark(remarks, "The hardness given is taken as that of the water going into the softener.");
}

/* Calcium told as calcium carbonate under a plain name: it then exceeds the whole hardness. */
static void notice_calcium(const gathered *g, text *remarks)
{
    static const double MORE_THAN_ALL = 1.05;
    if (!told(g, TELLS_CA) || !told(g, TELLS_HARDNESS) || g->told[TELLS_CA].mid <= MORE_THAN_ALL * g->told[TELLS_HARDNESS].mid) return;
    remark(remarks, "Calcium alone comes to more than the whole hardness: if it is given as CaCO3, name the column ca_mg_l_caco3.");
}

/* A pH taken on the bench after the gas has left is too high; such a water looks far above balance. */
static void notice_lost_gas(const tufa_water_known *w, text *remarks)
{
    static const double FAR_ABOVE = 0.7, BENCH_K = 291.15; /* judgement */
    tufa_value t = w->field[TUFA_WATER_T_K];
    tufa_water_filled f;
    tufa_water_brief b;
    if (!remarks || w->field[TUFA_WATER_PH].basis == TUFA_BASIS_NONE || (t.basis != TUFA_BASIS_NONE && t.mid < BENCH_K)) return;
    if (tufa_water_fill(w, &f).code != TUFA_OK) return;
    if (tufa_water_brief_at(&f.middle, TUFA_CONSTANTS_2025, f.middle.T_K, &b).code != TUFA_OK || b.si_calcite < FAR_ABOVE) return;
    remark(remarks, "The pH looks like that of a sample that has stood and lost gas; at the tap it is likely lower, and there is less scale to come than shown. Ask for the pH measured at the well or main, with its temperature.");
}

static void notice_conductivity(const gathered *g, const tufa_water_known *w, text *remarks)
{
    static const double APART = 0.2;
    tufa_water_filled f;
    tufa_water_state s;
    if (!remarks || !told(g, TELLS_CONDUCTIVITY) || alkalinity_by_charge(g) == -1.0) return;
    if (tufa_water_fill(w, &f).code != TUFA_OK || tufa_water_heat(&f.middle, TUFA_CONSTANTS_2025, 298.15, &s).code != TUFA_OK) return;
    double given = g->told[TELLS_CONDUCTIVITY].mid;
    if (given > 0.0 && fabs(s.ec25_uS_cm / given - 1.0) > APART)
        text_addf(remarks, "The conductivity given is %.0f, the ions make %.0f uS/cm at 25 C: a figure is missing or in another unit.\n", given, s.ec25_uS_cm);
}

static void put_together(gathered *g, tufa_water_known *out, text *remarks)
{
    *out = (tufa_water_known){0};
    for (int t = TELLS_CA; t < TELLS_COUNT; t++)
        if (FIELD_OF[t] != TUFA_WATER_T_K || t == TELLS_TEMPERATURE) out->field[FIELD_OF[t]] = g->told[t];
    tufa_value alk = alkalinity_of(g, remarks);
    out->field[TUFA_WATER_ALKALINITY] = alk;
    out->tds_mg_L = g->told[TELLS_TDS].mid;
    out->sand_mg_L = g->told[TELLS_SAND].mid;
    out->rust_mg_L = g->told[TELLS_RUST].mid + g->rust_from_iron;
    notice_charge(g, alk, remarks);
    notice_calcium(g, remarks);
    notice_softener(g, alk, out, remarks);
    if (g->bare_alkalinity) remark(remarks, "The alkalinity is taken as mg/L of CaCO3, as US laboratories give it.");
    notice_lost_gas(out, remarks);
    notice_conductivity(g, out, remarks);
}

/* Iron and phosphate: not chemistry here, but not nothing. */
static void notice_others(const sheet_cell *at, gathered *g, text *remarks)
{
    char plain[STORE_CELL];
    csv_plain_name(at->column, plain, sizeof plain);
    value_rule rule = {.field = at->column, .q = Q_NUMBER, .unit = &units[UNIT_ONE], .lo = 0.0, .hi = 1000.0};
    tufa_value v = {0};
    trouble_note ignored = {0};
    bool iron = one_of(plain, strlen(plain), "fe_mg_l|iron_mg_l|total_iron_mg_l|fe_ppm|iron_ppm");
    bool phosphate = one_of(plain, strlen(plain), "po4_mg_l|phosphate_mg_l|p_mg_l|phosphorus_mg_l|total_phosphorus_mg_l");
    if (!iron && !phosphate) return;
    if (read_cell(at->cell, &rule, &v, &ignored) != TUFA_OK || v.mid <= 0.0) return;
    if (iron) g->rust_from_iron = RUST_FROM_IRON * v.mid;
    if (phosphate && v.mid >= 0.1)
        remark(remarks, "There is phosphate in this water; it slows scale by more than can be worked out here, so less may settle than shown.");
}

bool sheet_takes(const char *header)
{
    column c;
    trouble_note note;
    return read_header(header, &c, &note) == TUFA_OK && c.what != TELLS_NOTHING;
}

tufa_code sheet_known(const sheet_rec *sheet, tufa_water_known *out, text *remarks, trouble_note *note)
{
    gathered g = {0};
    for (int i = 0; i < sheet->n; i++) {
        column c;
        tufa_code code = read_header(sheet->cells[i].column, &c, note);
        if (code == TUFA_OK) code = take_cell(&sheet->cells[i], &c, &g, note);
        if (code != TUFA_OK) return code;
        notice_others(&sheet->cells[i], &g, remarks);
    }
    put_together(&g, out, remarks);
    return TUFA_OK;
}

void sheet_ask(text *out, tufa_water_field ask)
{
    static const char *const SENTENCE[TUFA_WATER_FIELD_COUNT] = {
        [TUFA_WATER_ALKALINITY] = "\"What is the total alkalinity of the water at my address, in mg/L as calcium carbonate?\"",
        [TUFA_WATER_HARDNESS] = "\"What is the total hardness of the water at my address, in grains per gallon or mg/L as calcium carbonate?\"",
        [TUFA_WATER_CA] = "\"What is the calcium, not the total hardness, of the water at my address, in mg/L?\"",
        [TUFA_WATER_PH] = "\"What is the pH of the water at my address, and at what temperature was it measured?\"",
        [TUFA_WATER_SO4] = "\"What is the sulfate of the water at my address, in mg/L as sulfate, not as sulfur?\""};
    if ((unsigned)ask < TUFA_WATER_FIELD_COUNT && SENTENCE[ask]) text_add(out, SENTENCE[ask]);
}

static void put_names(text *out, const char *names)
{
    for (bool first = true;; first = false) {
        size_t n = strcspn(names, "|");
        text_add(out, first ? "`" : ", `");
        text_addn(out, names, n);
        text_add(out, "`");
        if (names[n] == 0) return;
        names += n + 1;
    }
}

void sheet_columns(text *out)
{
    text_add(out, "Of a lab sheet: `ph`, `temp_c` or `temp_f`, `ec_us_cm`, `softened`, and a name with a unit behind it (`ca_mg_l`,\n"
                  "`alkalinity_mg_l_caco3`, `hardness_gpg`).\n\n| names | |\n|---|---|\n");
    for (int i = 0; i < COLUMN_COUNT; i++) {
        text_add(out, "| ");
        put_names(out, COLUMNS[i].names);
        text_addf(out, " | %s |\n", COLUMNS[i].g_mol > 0.0 ? "" : "as CaCO3 where it is given by weight");
    }
    text_add(out, "\nUnits: ");
    for (int i = 0; i < UNIT_ROWS; i++) {
        if (i) text_add(out, "; ");
        put_names(out, UNITS[i].names);
    }
    text_add(out, ".\n");
}
