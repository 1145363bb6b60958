#include "edge/import/columns.h"

#include <string.h>

static void add(column_set *c, column_row row)
{
    if (c->n < COLUMNS_MOST) c->row[c->n++] = row;
}

void columns_text(column_set *c, const char *id, const char *names, bool needed, const char *what)
{
    add(c, (column_row){.id = id, .names = names, .type = CELL_TEXT, .needed = needed, .what = what});
}

void columns_value(column_set *c, const char *id, const char *names, quantity q, unit_id unit, double lo, double hi, bool needed,
                   const char *what)
{
    add(c, (column_row){.id = id, .names = names, .type = CELL_VALUE, .q = q, .unit = unit, .lo = lo, .hi = hi, .needed = needed, .what = what});
}

void columns_fields(column_set *c, thing_kind kind)
{
    static const cell_type TYPE[] = {[FIELD_VALUE] = CELL_VALUE, [FIELD_CHOICE] = CELL_CHOICE, [FIELD_REF] = CELL_TEXT, [FIELD_WORD] = CELL_TEXT};
    size_t n;
    const field_row *f = thing_fields(kind, &n);
    for (size_t i = 0; i < n; i++)
        add(c, (column_row){f[i].member, f[i].names, TYPE[f[i].type], f[i].q, f[i].unit, f[i].lo, f[i].hi, f[i].choices, false, f[i].what});
}

void columns_findings(column_set *c)
{
    for (int i = 0; i < FINDING_COUNT; i++) {
        const finding_row *f = &finding_rows[i];
        columns_value(c, f->id, f->names, f->q, f->unit, f->lo, f->hi, false, f->what);
    }
}

const unit_row *column_unit(const column_row *c, unit_system system)
{
    return system == UNITS_METRIC ? unit_said(c->q, UNITS_METRIC) : &units[c->unit];
}

/* The column that a header names, and its unit where one is written. UNIT when the name fits and the unit does not. */
static tufa_code understand(const column_set *c, const char *header, size_t *column, const unit_row **unit)
{
    char name[128];
    csv_plain_name(header, name, sizeof name);
    tufa_code code = TUFA_UNKNOWN;
    *unit = NULL;
    for (size_t i = 0; i < c->n; i++) {
        if (!name_is_one_of(name, strlen(name), c->row[i].names)) continue;
        *column = i;
        return TUFA_OK;
    }
    for (const char *cut = name; (cut = strchr(cut + 1, '_')) != NULL;)
        for (size_t i = 0; i < c->n; i++) {
            if (c->row[i].type != CELL_VALUE || !name_is_one_of(name, (size_t)(cut - name), c->row[i].names)) continue;
            *column = i;
            *unit = unit_find(c->row[i].q, cut + 1, strlen(cut + 1));
            if (*unit) return TUFA_OK;
            code = TUFA_UNIT;
        }
    return code;
}

static tufa_code refuse(trouble_note *note, tufa_code code, const char *header, const char *allowed, const char *why)
{
    note_set(note, code, "column", header, allowed, why);
    return code;
}

enum { SHOWN = 48 };

/* A name in the set that is written nearly so; what looks like one is refused, so that no misspelt column is lost. */
static bool near_column(const column_set *c, const char *header, char near[SHOWN])
{
    char name[128], first[COLUMNS_MOST][SHOWN];
    const char *names[COLUMNS_MOST], *found = NULL;
    for (size_t i = 0; i < c->n; i++) {
        snprintf(first[i], sizeof first[i], "%.*s", (int)strcspn(c->row[i].names, "|"), c->row[i].names);
        names[i] = first[i];
    }
    csv_plain_name(header, name, sizeof name);
    for (char *cut = name; !found && cut && strlen(name) > 3;) { /* again without what may be a unit */
        found = nearest_name(name, names, c->n);
        cut = strrchr(name, '_');
        if (cut) *cut = 0;
    }
    snprintf(near, SHOWN, "%s", found ? found : "");
    return found != NULL;
}

static tufa_code map_one(const column_set *c, const csv *t, size_t at, unit_system system, bool (*takes_other)(const char *), header_map *out,
                         trouble_note *note)
{
    const char *header = t->header[at];
    size_t i = 0;
    const unit_row *unit;
    tufa_code code = understand(c, header, &i, &unit);
    if (code == TUFA_UNKNOWN || code == TUFA_UNIT) {
        out->other[at] = true;
        if (takes_other && takes_other(header)) return TUFA_OK;
        if (code == TUFA_UNIT) {
            text allowed = {0};
            unit_list(&allowed, c->row[i].q);
            refuse(note, code, header, text_str(&allowed), "the unit in this header does not fit");
            text_free(&allowed);
            return code;
        }
        char near[SHOWN], why[100];
        if (!near_column(c, header, near)) return TUFA_OK;
        snprintf(why, sizeof why, "this column is not known; did you mean %s?", near);
        return refuse(note, code, header, "", why);
    }
    if (out->place[i].at >= 0) return refuse(note, TUFA_CONFLICT, header, t->header[out->place[i].at], "two columns say the same thing");
    out->place[i].at = (int)at;
    if (c->row[i].type == CELL_VALUE) out->place[i].unit = unit ? unit : column_unit(&c->row[i], system);
    return TUFA_OK;
}

tufa_code columns_map(const column_set *c, const csv *t, unit_system system, bool (*takes_other)(const char *header), header_map *out,
                      trouble_note *note)
{
    *out = (header_map){0};
    for (size_t i = 0; i < c->n; i++) out->place[i].at = -1;
    for (size_t at = 0; at < t->columns; at++) {
        tufa_code code = map_one(c, t, at, system, takes_other, out, note);
        if (code) return code;
    }
    for (size_t i = 0; i < c->n; i++) {
        if (!c->row[i].needed || out->place[i].at >= 0) continue;
        char name[48], why[160];
        snprintf(name, sizeof name, "%.*s", (int)strcspn(c->row[i].names, "|"), c->row[i].names);
        snprintf(why, sizeof why, "this column is needed (%s); the first line of the file must name the columns", c->row[i].what);
        return refuse(note, TUFA_MISSING, name, c->row[i].names, why);
    }
    return TUFA_OK;
}

size_t columns_understood(const column_set *c, const csv *t, bool (*takes_other)(const char *header))
{
    size_t n = 0, i;
    const unit_row *unit;
    for (size_t at = 0; at < t->columns; at++)
        n += understand(c, t->header[at], &i, &unit) == TUFA_OK || (takes_other && takes_other(t->header[at]));
    return n;
}

bool columns_needed_are_there(const column_set *c, const csv *t)
{
    bool there[COLUMNS_MOST] = {false};
    size_t i = 0;
    const unit_row *unit;
    for (size_t at = 0; at < t->columns; at++)
        if (understand(c, t->header[at], &i, &unit) == TUFA_OK) there[i] = true;
    for (i = 0; i < c->n; i++)
        if (c->row[i].needed && !there[i]) return false;
    return true;
}

void column_header(text *out, const column_row *c, unit_system system)
{
    text_addn(out, c->names, strcspn(c->names, "|"));
    if (c->type != CELL_VALUE) return;
    size_t n;
    const char *suffix = unit_suffix(column_unit(c, system), &n);
    if (n == 0) return;
    text_add(out, "_");
    text_addn(out, suffix, n);
}
