/* `tufa water`: what a water does when it is heated; from a lab sheet, from a few figures, or from a word. */
#include <errno.h>
#include <string.h>

#include "edge/cli/cli.h"
#include "edge/cli/water_text.h"
#include "edge/import/csv.h"
#include "edge/import/value.h"

static const double DEFAULT_AT_K = 333.15; /* 60 C, 140 F: the setting most often found on an old tank */

typedef struct asked {
    double T_K[WATER_MOST_TEMPS];
    size_t temps;
    tufa_constants set;
    bool json;
} asked;

static bool take_temperatures(cli *c, asked *a, trouble_note *note)
{
    value_rule rule = {.field = "--at", .q = Q_TEMPERATURE, .unit = &units[UNIT_C], .lo = TUFA_WATER_EXTRAPOLATED_LO_K,
                       .hi = TUFA_WATER_EXTRAPOLATED_HI_K};
    const char *given;
    for (int i = 0; (given = cli_opt_at(c, OPT_AT, i)) != NULL; i++) {
        tufa_value v;
        if (i == WATER_MOST_TEMPS) {
            note_set(note, TUFA_RANGE, "--at", given, "16 temperatures", "there are too many temperatures");
            return false;
        }
        if (value_parse(given, &rule, &v, note) != TUFA_OK) return false;
        if (v.basis != TUFA_BASIS_GIVEN) {
            note_set(note, TUFA_PARSE, "--at", given, "a temperature such as 60 or 140F", "one temperature is needed here");
            return false;
        }
        a->T_K[a->temps++] = v.mid;
    }
    if (a->temps == 0) a->T_K[a->temps++] = DEFAULT_AT_K;
    return true;
}

static bool take_constants(cli *c, asked *a, trouble_note *note)
{
    const char *given = cli_opt(c, OPT_CONSTANTS);
    if (!given || strcmp(given, "2025") == 0) return true;
    a->set = TUFA_CONSTANTS_1982;
    if (strcmp(given, "1982") == 0) return true;
    note_set(note, TUFA_UNKNOWN, "--constants", given, "2025 or 1982", "there is no such set of constants");
    return false;
}

/* A refusal of the core, with the field in words and amounts in mg/L. */
static void name_status(trouble_note *note, tufa_status st, const char *where)
{
    static const struct {
        const char *field, *words;
        tufa_water_field what;
    } FIELDS[] = {{"ca_mol_kgw", "calcium (mg/L)", TUFA_WATER_CA},
                  {"mg_mol_kgw", "magnesium (mg/L)", TUFA_WATER_MG},
                  {"na_mol_kgw", "sodium (mg/L)", TUFA_WATER_NA},
                  {"alkalinity_eq_kgw", "alkalinity (mg/L as HCO3)", TUFA_WATER_ALKALINITY},
                  {"hardness_mol_kgw", "hardness (mg/L as CaCO3)", TUFA_WATER_HARDNESS}};
    for (size_t i = 0; st.field && i < sizeof FIELDS / sizeof FIELDS[0]; i++) {
        if (strcmp(st.field, FIELDS[i].field) != 0) continue;
        double mg = 1e3 * tufa_water_molar_mass(FIELDS[i].what);
        st.field = FIELDS[i].words;
        st.got *= mg;
        st.lo *= mg;
        st.hi *= mg;
        break;
    }
    note_from_status(note, st);
    snprintf(note->where, sizeof note->where, "%s", where);
}

/* One water told by `sheet`, worded or as JSON. */
static bool answer_one(const asked *a, const char *id, const char *where, const sheet_rec *sheet, text *out, trouble_note *note)
{
    tufa_water_known known;
    text remarks = {0};
    bool ok = sheet_known(sheet, &known, &remarks, note) == TUFA_OK;
    if (ok && known.field[TUFA_WATER_CA].basis == TUFA_BASIS_NONE && known.field[TUFA_WATER_HARDNESS].basis == TUFA_BASIS_NONE && where[0]) {
        note_set(note, TUFA_MISSING, "calcium", "", "ca_mg_l, hardness_gpg or hardness_mg_l_caco3",
                 "there is neither calcium nor hardness, so nothing can be said about scale");
        ok = false;
    }
    if (!ok) snprintf(note->where, sizeof note->where, "%s", where);
    water_answer answer;
    size_t at;
    if (ok) {
        tufa_status st = desk_water_heated(&known, a->set, a->temps, a->T_K, &answer, &at);
        ok = st.code == TUFA_OK;
        if (!ok) name_status(note, st, where);
    }
    if (ok && a->json) water_put_json(out, id, &answer, text_str(&remarks));
    if (ok && !a->json) water_put_words(out, id, &answer, text_str(&remarks));
    text_free(&remarks);
    return ok;
}

/* ---- a file ---- */

/* A remark may be as long as it likes. */
static bool is_remark(const char *header)
{
    char plain[STORE_CELL];
    csv_plain_name(header, plain, sizeof plain);
    static const char *const REMARKS[] = {"note", "notes", "description", "flags", "source", "comment", "comments", "remarks"};
    for (size_t i = 0; i < sizeof REMARKS / sizeof REMARKS[0]; i++)
        if (strcmp(plain, REMARKS[i]) == 0) return true;
    return false;
}

static bool sheet_from_row(const csv *t, size_t row, const char *name, sheet_rec *out, trouble_note *note)
{
    *out = (sheet_rec){0};
    for (size_t j = 0; j < t->columns; j++) {
        const char *cell = csv_at(t, row, j);
        if (!*cell) continue;
        if (out->n == SHEET_CELLS || strlen(cell) >= STORE_CELL || strlen(t->header[j]) >= STORE_CELL) {
            bool many = out->n == SHEET_CELLS;
            if (!many && is_remark(t->header[j])) continue;
            note_set(note, TUFA_RANGE, t->header[j], cell, many ? "48 filled columns" : "63 bytes", many ? "there are too many columns" : "this is too long");
            csv_where(note, name, t->line[row]);
            return false;
        }
        strcpy(out->cells[out->n].column, t->header[j]);
        strcpy(out->cells[out->n++].cell, cell);
    }
    return true;
}

static size_t id_column(const csv *t)
{
    for (size_t j = 0; j < t->columns; j++) {
        char plain[STORE_CELL];
        csv_plain_name(t->header[j], plain, sizeof plain);
        if (strcmp(plain, "id") == 0 || strcmp(plain, "water") == 0 || strcmp(plain, "water_id") == 0) return j;
    }
    return t->columns;
}

static bool ids_differ(const csv *t, size_t column, const char *name, trouble_note *note)
{
    /* quadratic, and quick enough for the thousands of waters that nobody has; larger files are told to do without ids */
    enum { MOST = 20000 };
    if (column == t->columns) return true;
    if (t->rows > MOST) {
        note_set(note, TUFA_RANGE, "rows", "", "20,000 waters at a time", "there are too many waters");
        csv_where(note, name, 0);
        return false;
    }
    for (size_t i = 0; i < t->rows; i++)
        for (size_t k = 0; k < i; k++) {
            if (*csv_at(t, i, column) == 0 || strcmp(csv_at(t, i, column), csv_at(t, k, column)) != 0) continue;
            char why[80];
            snprintf(why, sizeof why, "this id stands already in line %zu", t->line[k]);
            note_set(note, TUFA_CONFLICT, t->header[column], csv_at(t, i, column), "", why);
            csv_where(note, name, t->line[i]);
            return false;
        }
    return true;
}

static int answer_table(cli *c, const asked *a, const csv *t, const char *name)
{
    text out = {0};
    trouble_note note = {0};
    size_t ids = id_column(t);
    int code = 0;
    if (t->rows == 0) {
        note_set(&note, TUFA_MISSING, "", "", "", "there is a header and no water below it");
        csv_where(&note, name, 0);
        return cli_fail(c, &note);
    }
    if (!ids_differ(t, ids, name, &note)) return cli_fail(c, &note);
    for (size_t i = 0; i < t->rows; i++) {
        sheet_rec sheet;
        char number[24];
        snprintf(number, sizeof number, "%zu", i + 1);
        const char *id = ids < t->columns && *csv_at(t, i, ids) ? csv_at(t, i, ids) : number;
        note = (trouble_note){0};
        csv_where(&note, name, t->line[i]);
        char where[sizeof note.where];
        memcpy(where, note.where, sizeof where);
        if (sheet_from_row(t, i, name, &sheet, &note) && answer_one(a, id, where, &sheet, &out, &note)) continue;
        code = cli_fail(c, &note); /* go on, so that all that is wrong is said at once */
    }
    if (code == 0) return cli_finish(c, &out, 0);
    text_free(&out);
    return code;
}

static int from_file(cli *c, const asked *a, const char *path)
{
    bool in = strcmp(path, "-") == 0;
    const char *name = in ? "input" : path;
    FILE *f = in ? c->in : fopen(path, "rb");
    trouble_note note = {0};
    if (!f) {
        note_set(&note, TUFA_IO, "file", path, "", strerror(errno));
        return cli_fail(c, &note);
    }
    csv t;
    bool ok = csv_read(f, name, &t, &note);
    if (!in) fclose(f);
    if (!ok) return cli_fail(c, &note);
    int code = answer_table(c, a, &t, name);
    csv_free(&t);
    return code;
}

/* ---- a few figures, or a word ---- */

static bool add_cell(sheet_rec *sheet, const char *column, const char *cell, trouble_note *note)
{
    if (!cell) return true;
    if (strlen(cell) >= STORE_CELL) {
        note_set(note, TUFA_PARSE, column, cell, "", "this is too long");
        return false;
    }
    strcpy(sheet->cells[sheet->n].column, column);
    strcpy(sheet->cells[sheet->n++].cell, cell);
    return true;
}

static int from_words(cli *c, const asked *a)
{
    sheet_rec sheet = {0};
    trouble_note note = {0};
    text out = {0};
    bool ok = add_cell(&sheet, SHEET_HARDNESS, cli_opt(c, OPT_HARDNESS), &note) &&
              add_cell(&sheet, "alkalinity_mg_l_caco3", cli_opt(c, OPT_ALKALINITY), &note) &&
              add_cell(&sheet, "ph", cli_opt(c, OPT_PH), &note) && add_cell(&sheet, "temp_f", cli_opt(c, OPT_TEMP), &note) &&
              add_cell(&sheet, "softened", cli_opt(c, OPT_SOFTENED) ? "yes" : NULL, &note);
    if (!ok || !answer_one(a, "your water", "", &sheet, &out, &note)) {
        text_free(&out);
        return cli_fail(c, &note);
    }
    return cli_finish(c, &out, 0);
}

/* ---- an acid soak ---- */

static bool take_soak(cli *c, const asked *a, tufa_soak_in *in, trouble_note *note)
{
    const char *acid = cli_opt(c, OPT_SOAK), *mode = cli_opt(c, OPT_MODE), *percent = cli_opt(c, OPT_PERCENT);
    *in = (tufa_soak_in){.acid_percent = 5.0, .T_K = cli_opt(c, OPT_AT) ? a->T_K[0] : 293.15, .co2_atm = 1.0,
                         .citrate_solid = cli_opt(c, OPT_CITRATE_SOLID) != NULL};
    if (strcmp(acid, "citric") == 0) in->acid = TUFA_ACID_CITRIC;
    else if (strcmp(acid, "acetic") != 0) {
        note_set(note, TUFA_UNKNOWN, "--soak", acid, "acetic (vinegar) or citric", "this acid is not known here");
        return false;
    }
    if (mode && strcmp(mode, "closed") == 0) in->closed = 1;
    else if (mode && strcmp(mode, "open") != 0) {
        note_set(note, TUFA_UNKNOWN, "--mode", mode, "open or closed", "there is no such mode");
        return false;
    }
    value_rule rule = {.field = "--percent", .q = Q_NUMBER, .unit = &units[UNIT_ONE], .lo = 0.1, .hi = 10.0};
    tufa_value v = {.mid = in->acid_percent};
    if (percent && value_parse(percent, &rule, &v, note) != TUFA_OK) return false;
    in->acid_percent = v.mid;
    return true;
}

static int soak(cli *c, const asked *a)
{
    tufa_soak_in in;
    tufa_soak s;
    trouble_note note = {0};
    if (a->temps > 1) {
        note_set(&note, TUFA_RANGE, "--at", cli_opt_at(c, OPT_AT, 1), "one temperature", "a soak is worked out at one temperature");
        return cli_fail(c, &note);
    }
    if (!take_soak(c, a, &in, &note)) return cli_fail(c, &note);
    tufa_status st = tufa_water_soak(&in, &s);
    if (st.code != TUFA_OK) return cli_fail_status(c, st);
    text out = {0};
    if (a->json) soak_put_json(&out, &in, &s);
    else soak_put_words(&out, &in, &s);
    return cli_finish(c, &out, 0);
}

int cmd_water(cli *c)
{
    asked a = {.set = TUFA_CONSTANTS_2025, .json = cli_opt(c, OPT_JSON) != NULL};
    trouble_note note = {0};
    if (!take_temperatures(c, &a, &note) || !take_constants(c, &a, &note)) return cli_fail(c, &note);
    bool figures = cli_opt(c, OPT_HARDNESS) || cli_opt(c, OPT_ALKALINITY) || cli_opt(c, OPT_PH) || cli_opt(c, OPT_SOFTENED);
    if (c->operands > 1 || (c->operands == 1 && (figures || cli_opt(c, OPT_SOAK)))) {
        note_set(&note, TUFA_CONFLICT, "operands", c->operand[c->operands - 1], "one file, or figures without a file", "there is more than one thing to work on");
        return cli_fail(c, &note);
    }
    if (cli_opt(c, OPT_SOAK)) return soak(c, &a);
    if (c->operands == 1) return from_file(c, &a, c->operand[0]);
    if (figures) return from_words(c, &a);
    note_set(&note, TUFA_MISSING, "file", "", "", "name a CSV file, - for input, or say what you know: tufa water --hardness \"very hard\"");
    return cli_fail(c, &note);
}
