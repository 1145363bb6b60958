/* Tables out of the book: what import takes, with units in the headers; columns in which nobody says anything are
 * left out, unless they are needed. */
#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/kind.h"
#include "edge/say/day.h"

struct export_table {
    desk *d;
    column_set columns;
    char **other;   /* headers of further columns */
    size_t others;
    char **cell;    /* rows x width */
    size_t rows, room, width;
    bool failed;
};

enum { OTHER_MOST = SHEET_CELLS * 4 };

desk *export_desk(const export_table *t) { return t->d; }

void export_row(export_table *t)
{
    if (t->rows == t->room) {
        size_t room = t->room ? t->room * 2 : 32;
        char **more = realloc(t->cell, room * t->width * sizeof *more);
        if (!more) {
            t->failed = true;
            return;
        }
        t->cell = more;
        t->room = room;
    }
    memset(t->cell + t->rows * t->width, 0, t->width * sizeof *t->cell);
    t->rows++;
}

static void put(export_table *t, size_t column, const char *s)
{
    if (t->failed || t->rows == 0 || !*s) return;
    char **cell = &t->cell[(t->rows - 1) * t->width + column];
    free(*cell);
    *cell = strdup(s);
    t->failed = t->failed || !*cell;
}

static size_t column_of(const export_table *t, const char *id)
{
    size_t i = 0;
    while (i < t->columns.n && strcmp(t->columns.row[i].id, id) != 0) i++;
    return i;
}

void export_text(export_table *t, const char *id, const char *s)
{
    size_t i = column_of(t, id);
    if (i < t->columns.n) put(t, i, s);
}

void export_value(export_table *t, const char *id, tufa_value v)
{
    size_t i = column_of(t, id);
    if (i == t->columns.n) return;
    const column_row *c = &t->columns.row[i];
    value_rule rule = {.q = c->q, .unit = column_unit(c, t->d->units), .lo = unit_to_si(&units[c->unit], c->lo),
                       .hi = unit_to_si(&units[c->unit], c->hi), .today = t->d->today};
    text s = {0};
    value_write(&s, &rule, v);
    put(t, i, text_str(&s));
    t->failed = t->failed || s.failed;
    text_free(&s);
}

void export_day(export_table *t, const char *id, int64_t day)
{
    text s = {0};
    write_day(&s, day);
    export_text(t, id, text_str(&s));
    text_free(&s);
}

void export_other(export_table *t, const char *header, const char *s)
{
    size_t i = 0;
    while (i < t->others && strcmp(t->other[i], header) != 0) i++;
    if (i == OTHER_MOST) {
        t->failed = true;
        return;
    }
    if (i == t->others) {
        t->other[i] = strdup(header);
        if (!t->other[i]) {
            t->failed = true;
            return;
        }
        t->others++;
    }
    put(t, t->columns.n + i, s);
}

/* Quoted where a comma, a quote, a line end or a space at either end asks for it. */
static void put_cell(text *out, const char *s)
{
    size_t n = strlen(s);
    bool quote = strpbrk(s, ",;\t\"\r\n") || (n && (s[0] == ' ' || s[n - 1] == ' '));
    if (!quote) {
        text_add(out, s);
        return;
    }
    text_add(out, "\"");
    for (; *s; s++) text_addn(out, *s == '"' ? "\"\"" : s, *s == '"' ? 2 : 1);
    text_add(out, "\"");
}

static bool column_is_used(const export_table *t, size_t column)
{
    if (column < t->columns.n && t->columns.row[column].needed) return true;
    for (size_t r = 0; r < t->rows; r++)
        if (t->cell[r * t->width + column]) return true;
    return false;
}

static void write_table(const export_table *t, text *out)
{
    bool used[COLUMNS_MOST + OTHER_MOST];
    size_t all = t->columns.n + t->others, written = 0;
    for (size_t i = 0; i < all; i++) {
        used[i] = column_is_used(t, i);
        if (!used[i]) continue;
        if (written++) text_add(out, ",");
        if (i < t->columns.n) column_header(out, &t->columns.row[i], t->d->units);
        else put_cell(out, t->other[i - t->columns.n]);
    }
    text_add(out, "\n");
    for (size_t r = 0; r < t->rows; r++) {
        size_t n = 0;
        for (size_t i = 0; i < all; i++) {
            if (!used[i]) continue;
            if (n++) text_add(out, ",");
            const char *cell = t->cell[r * t->width + i];
            put_cell(out, cell ? cell : "");
        }
        text_add(out, "\n");
    }
}

tufa_status desk_book_export(desk *d, const kind_row *k, text *out)
{
    export_table t = {.d = d};
    k->columns(&t.columns);
    t.width = t.columns.n + OTHER_MOST;
    if (!k->takes_other) t.width = t.columns.n;
    t.other = calloc(OTHER_MOST, sizeof *t.other);
    tufa_status st = t.other ? k->give(d, &t) : trouble(TUFA_MEMORY, "table", NULL);
    if (st.code == TUFA_OK && t.failed) st = trouble(TUFA_MEMORY, "table", NULL);
    if (st.code == TUFA_OK) write_table(&t, out);
    for (size_t i = 0; i < t.rows * t.width; i++) free(t.cell[i]);
    for (size_t i = 0; i < t.others; i++) free(t.other[i]);
    free(t.cell);
    free(t.other);
    return st;
}
