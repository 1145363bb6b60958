/* The table of kinds. */
#include <string.h>

#include "edge/desk/import_job.h"
#include "edge/import/sheet.h"

static const kind_row KINDS[] = {
#define X(id, name, names, columns, other, take, give, what) {name, names, what, columns, other, take, give},
#include "edge/desk/kinds.def"
#undef X
};
enum { KINDS_N = sizeof KINDS / sizeof KINDS[0] };

size_t kind_count(void) { return KINDS_N; }
const kind_row *kind_at(size_t i) { return i < KINDS_N ? &KINDS[i] : NULL; }
const char *kind_name(const kind_row *k) { return k->name; }
const char *kind_what(const kind_row *k) { return k->what; }

const kind_row *kind_find(const char *name)
{
    for (size_t i = 0; i < KINDS_N; i++)
        if (name_is_one_of(name, strlen(name), KINDS[i].name) || name_is_one_of(name, strlen(name), KINDS[i].names)) return &KINDS[i];
    return NULL;
}

const kind_row *kind_by_columns(const csv *t)
{
    const kind_row *best = NULL;
    size_t most = 0;
    for (size_t i = 0; i < KINDS_N; i++) {
        column_set c = {0};
        KINDS[i].columns(&c);
        size_t n = columns_needed_are_there(&c, t) ? columns_understood(&c, t, KINDS[i].takes_other) : 0;
        if (n > most) {
            most = n;
            best = &KINDS[i];
        }
    }
    return best;
}

static void put_names(text *out, const char *names)
{
    names += strcspn(names, "|");
    for (bool first = true; *names == '|'; first = false) {
        size_t n = strcspn(++names, "|");
        if (!first) text_add(out, ", ");
        text_addn(out, names, n);
        names += n;
    }
}

static void put_allowed(text *out, const column_row *c)
{
    if (c->type == CELL_CHOICE) choice_words(out, c->choices);
    if (c->type != CELL_VALUE) return;
    const unit_row *u = &units[c->unit];
    value_rule rule = {.q = c->q, .unit = u, .lo = unit_to_si(u, c->lo), .hi = unit_to_si(u, c->hi)};
    value_allowed(out, &rule);
}

void kind_columns(const kind_row *k, text *out)
{
    column_set c = {0};
    k->columns(&c);
    text_add(out, "| column | also called | allowed | what it is |\n|---|---|---|---|\n");
    for (size_t i = 0; i < c.n; i++) {
        text_add(out, "| `");
        column_header(out, &c.row[i], UNITS_US);
        text_add(out, "` | ");
        put_names(out, c.row[i].names);
        text_add(out, " | ");
        put_allowed(out, &c.row[i]);
        text_addf(out, " | %s%s |\n", c.row[i].what, c.row[i].needed ? " (needed)" : "");
    }
}

void kind_blank(const kind_row *k, unit_system system, text *out)
{
    column_set c = {0};
    k->columns(&c);
    for (size_t i = 0; i < c.n; i++) {
        if (i) text_add(out, ",");
        column_header(out, &c.row[i], system);
    }
    text_add(out, "\n");
}
