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
    "id|place|name|label|town|city|address|date|day|time|source|lab|laboratory|sample|sample_id|kind|set|note|notes|remark|"
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
