/* Runs a table of checks: id,what,inputs,value,unit,tol_abs,tol_rel,source,status. Status is `published` (somebody
 * outside the project printed the number), `exact` (a closed form, worked out apart from the code), `consistent` (shares
 * data with what the model was set by, or the source gives words, a bound or a range and not this very number), or `frozen`
 * (we computed it: a change shows). Tolerance: |got - value| <= tol_abs + tol_rel |value|, from the source's own digits or
 * stated error; why, in the `source` column. Output: one TAP line a row. Native and WebAssembly alike. */
#include "tests/published/published.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MAX_LINE = 8192, MAX_FIELDS = 16, MAX_INPUTS = 96, MAX_GROUPS = 2048 };

/* With --table: rows that share what, status and source are one line of docs/checks.md, with the greatest error. */
typedef struct group {
    char *what, *status, *source, *unit;
    double worst, tol_lo, tol_hi;
    int rows;
} group;
static group groups[MAX_GROUPS];
static int group_count, table_only;

static char *keep(const char *s)
{
    char *copy = malloc(strlen(s) + 1);
    if (!copy) abort();
    return strcpy(copy, s);
}

static void note_group(char **f, double error, double tol)
{
    group *g = groups;
    while (g < groups + group_count &&
           (strcmp(g->what, f[1]) || strcmp(g->status, f[8]) || strcmp(g->source, f[7]) || strcmp(g->unit, f[4])))
        g++;
    if (g == groups + MAX_GROUPS) abort();
    if (g == groups + group_count) {
        *g = (group){keep(f[1]), keep(f[8]), keep(f[7]), keep(f[4]), 0.0, tol, tol, 0};
        group_count++;
    }
    g->worst = fmax(g->worst, error);
    g->tol_lo = fmin(g->tol_lo, tol);
    g->tol_hi = fmax(g->tol_hi, tol);
    g->rows++;
}

static void print_groups(const char *stage)
{
    printf("\n## %s\n\n| what | rows | unit | tolerance | greatest error | status | source, and why this tolerance |\n"
           "|---|---|---|---|---|---|---|\n", stage);
    for (const group *g = groups; g < groups + group_count; g++) {
        char tol[64];
        snprintf(tol, sizeof tol, g->tol_lo < g->tol_hi ? "%.2g to %.2g" : "%.2g", g->tol_lo, g->tol_hi);
        printf("| %s | %d | %s | %s | %.2g | %s | %s |\n", g->what, g->rows, g->unit, tol, g->worst, g->status, g->source);
        free(g->what), free(g->status), free(g->source), free(g->unit);
    }
    group_count = 0;
}

struct row_inputs {
    char *name[MAX_INPUTS], *value[MAX_INPUTS];
    int used[MAX_INPUTS];
    int n;
    char missing[64];
};

static int find(row_inputs *in, const char *name)
{
    for (int i = 0; i < in->n; i++) {
        if (strcmp(in->name[i], name) != 0) continue;
        in->used[i] = 1;
        return i;
    }
    return -1;
}

int row_has(row_inputs *in, const char *name) { return find(in, name) >= 0; }

double row_number_or(row_inputs *in, const char *name, double other)
{
    int i = find(in, name);
    if (i < 0) return other;
    char *end;
    double x = strtod(in->value[i], &end);
    if (*end || end == in->value[i]) snprintf(in->missing, sizeof in->missing, "%s is no number", name);
    return x;
}

double row_number(row_inputs *in, const char *name)
{
    if (find(in, name) < 0) snprintf(in->missing, sizeof in->missing, "%s is missing", name);
    return row_number_or(in, name, 0.0);
}

const char *row_text(row_inputs *in, const char *name)
{
    int i = find(in, name);
    return i < 0 ? "" : in->value[i];
}

/* Splits one CSV line in place; quotes may hold commas and doubled quotes, not line ends. */
static int split_csv(char *s, char *field[MAX_FIELDS])
{
    int n = 0;
    while (n < MAX_FIELDS) {
        char *to = s;
        field[n++] = s;
        if (*s == '"') {
            s++;
            for (; *s && !(*s == '"' && s[1] != '"'); s++) {
                if (*s == '"') s++;
                *to++ = *s;
            }
            if (*s) s++;
        } else {
            while (*s && *s != ',') *to++ = *s++;
        }
        int more = *s == ',';
        *to = 0;
        if (!more) break;
        s++;
    }
    return n;
}

static void split_inputs(char *s, row_inputs *in)
{
    memset(in, 0, sizeof *in);
    for (char *save = NULL, *p = strtok_r(s, ";", &save); p && in->n < MAX_INPUTS; p = strtok_r(NULL, ";", &save)) {
        while (*p == ' ') p++;
        char *eq = strchr(p, '=');
        if (!eq) continue;
        *eq = 0;
        in->name[in->n] = p;
        in->value[in->n++] = eq + 1;
    }
}

static char table_folder[512];

FILE *row_open(const char *name)
{
    char path[1024];
    snprintf(path, sizeof path, "%s%s", table_folder, name);
    return fopen(path, "r");
}

static row_fn find_kind(const row_kind *kinds, const char *what)
{
    for (; kinds->name; kinds++)
        if (strcmp(kinds->name, what) == 0) return kinds->compute;
    return NULL;
}

static int unused_input(const row_inputs *in, char *name, size_t room)
{
    for (int i = 0; i < in->n; i++)
        if (!in->used[i]) return snprintf(name, room, "input %s is not used by this check", in->name[i]) > 0;
    return 0;
}

static int known_status(const char *status)
{
    static const char *const KNOWN[] = {"published", "exact", "consistent", "frozen"};
    for (size_t i = 0; i < sizeof KNOWN / sizeof KNOWN[0]; i++)
        if (strcmp(status, KNOWN[i]) == 0) return 1;
    return 0;
}

/* 1 when the row holds. */
static int run_row(const row_kind *kinds, char **f, int number)
{
    const char *id = f[0], *what = f[1], *unit = f[4], *source = f[7], *status = f[8];
    double want = strtod(f[3], NULL), tol = strtod(f[5], NULL) + strtod(f[6], NULL) * fabs(want), got = 0.0;
    char problem[160] = "";
    row_inputs in;
    split_inputs(f[2], &in);
    row_fn compute = find_kind(kinds, what);
    tufa_status st = {.code = TUFA_OK};
    if (!compute) snprintf(problem, sizeof problem, "nothing computes `%s`", what);
    else st = compute(&in, &got);
    if (in.missing[0]) snprintf(problem, sizeof problem, "%s", in.missing);
    else if (st.code != TUFA_OK)
        snprintf(problem, sizeof problem, "%s: %s %g", tufa_code_words(st.code), st.field ? st.field : "", st.got);
    else if (!problem[0]) unused_input(&in, problem, sizeof problem);
    if (!problem[0] && !(source[0] && known_status(status)))
        snprintf(problem, sizeof problem, "the row has no source or an unknown status");
    int ok = !problem[0] && fabs(got - want) <= tol;
    if (table_only) {
        note_group(f, fabs(got - want), tol);
        return ok;
    }
    printf("%s %d - %s: %s %s\n", ok ? "ok" : "not ok", number, id, what, status);
    if (!ok)
        printf("# %s: got %.10g, wanted %.10g %s, tolerance %.3g %s\n# source: %s\n", id, got, want, unit, tol, problem, source);
    return ok;
}

static int run_file(const row_kind *kinds, const char *path, int *number)
{
    FILE *file = fopen(path, "r");
    const char *slash = strrchr(path, '/');
    snprintf(table_folder, sizeof table_folder, "%.*s", slash ? (int)(slash - path + 1) : 0, path);
    char line[MAX_LINE];
    int failed = 0, header = 0;
    if (!file) {
        printf("not ok %d - %s cannot be opened\n", ++*number, path);
        return 1;
    }
    while (fgets(line, sizeof line, file)) {
        line[strcspn(line, "\r\n")] = 0;
        if (line[0] == '#' || line[0] == 0) continue;
        char *field[MAX_FIELDS];
        int n = split_csv(line, field);
        if (!header++) continue;
        if (n != 9) {
            printf("not ok %d - %s: a row has %d fields, not 9: %s\n", ++*number, path, n, field[0]);
            failed++;
            continue;
        }
        failed += !run_row(kinds, field, ++*number);
    }
    fclose(file);
    return failed;
}

static const struct {
    const char *stage;
    const row_kind *kinds;
} STAGES[] = {
#include "tests/published/stages.def"
};

int main(int argc, char **argv)
{
    int number = 0, failed = 0;
    table_only = argc > 1 && strcmp(argv[1], "--table") == 0;
    for (int i = 1 + table_only; i + 1 < argc; i += 2)
        for (size_t k = 0; k < sizeof STAGES / sizeof STAGES[0]; k++) {
            if (strcmp(argv[i], STAGES[k].stage) != 0) continue;
            failed += run_file(STAGES[k].kinds, argv[i + 1], &number);
            if (table_only) print_groups(argv[i]);
        }
    if (!table_only) printf("1..%d\n", number);
    return failed || number == 0;
}
