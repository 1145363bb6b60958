/* Is the book whole? */
#include <stdlib.h>
#include <string.h>

#include "edge/store/sql.h"

enum { MOST_LINES = 50 };

static tufa_status say_rows(store *s, const char *sql, const char *what, text *report, int *wrong)
{
    sqlite3_stmt *q = sql_begin(s, sql);
    if (!q) return sql_trouble(s, "book");
    int rc;
    while ((rc = sqlite3_step(q)) == SQLITE_ROW) {
        const char *first = (const char *)sqlite3_column_text(q, 0);
        if (first && strcmp(first, "ok") == 0) continue;
        if (++*wrong > MOST_LINES) continue;
        text_add(report, what);
        for (int i = 0; i < sqlite3_column_count(q); i++) {
            const char *cell = (const char *)sqlite3_column_text(q, i);
            text_addf(report, "%s%s", i ? ", " : ": ", cell ? cell : "nothing");
        }
        text_add(report, "\n");
    }
    tufa_status st = rc == SQLITE_DONE ? OK : sql_trouble(s, "book");
    sql_done(s, q);
    return st;
}

/* Each value within what its field allows; a book edited with another tool may hold anything. */
static tufa_status say_values(store *s, thing_kind kind, const char *sql, text *report, int *wrong)
{
    sqlite3_stmt *q = sql_begin(s, sql);
    if (!q) return sql_trouble(s, "book");
    int rc;
    while ((rc = sqlite3_step(q)) == SQLITE_ROW) {
        const char *label = (const char *)sqlite3_column_text(q, 0), *member = (const char *)sqlite3_column_text(q, 1);
        const field_row *f = thing_field(kind, member);
        if (!f && strcmp(member, "former_label") == 0) continue;
        tufa_value v = sql_value(q, 2);
        const unit_row *u = f ? &units[f->unit] : NULL;
        bool inside = !f ? false : f->type != FIELD_VALUE || v.basis == TUFA_BASIS_NONE ||
                      (v.lo >= unit_to_si(u, f->lo) * (1 - 1e-9) - 1e-9 && v.hi <= unit_to_si(u, f->hi) * (1 + 1e-9) + 1e-9);
        if (inside || ++*wrong > MOST_LINES) continue;
        text_addf(report, "%s %s: %s %s\n", thing_word(kind), label, member, f ? "is outside what is allowed" : "is no field that this tufa knows");
    }
    tufa_status st = rc == SQLITE_DONE ? OK : sql_trouble(s, "book");
    sql_done(s, q);
    return st;
}

tufa_status store_check(store *s, text *report, int *wrong)
{
    *wrong = 0;
    RETURN_IF(say_rows(s, "PRAGMA integrity_check(50)", "the file is damaged", report, wrong));
    if (*wrong) return OK; /* nothing else can be trusted then */
    RETURN_IF(say_rows(s, "PRAGMA foreign_key_check", "a record points at one that is not there (table, row, points at)", report, wrong));
    RETURN_IF(say_values(s, THING_HEATER, "SELECT h.label, f.field, f.mid, f.lo, f.hi, f.basis FROM heater_fact f JOIN heater h ON h.id = f.heater_id", report, wrong));
    return say_values(s, THING_HOUSE, "SELECT h.label, f.field, f.mid, f.lo, f.hi, f.basis FROM house_fact f JOIN house h ON h.id = f.house_id", report, wrong);
}
