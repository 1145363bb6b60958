/* Lab sheets: the cells as they were given. */
#include <string.h>

#include "edge/store/sql.h"

static tufa_status add_cells(store *s, const sheet_rec *r, int64_t id)
{
    for (int i = 0; i < r->n; i++) {
        sqlite3_stmt *q = sql_begin(s, "INSERT INTO sheet_cell (sheet_id, n, name, cell) VALUES (?1, ?2, ?3, ?4)");
        if (!q) return sql_trouble(s, "sheet");
        sqlite3_bind_int64(q, 1, id);
        sqlite3_bind_int(q, 2, i);
        sql_bind_text(q, 3, r->cells[i].column);
        sql_bind_text(q, 4, r->cells[i].cell);
        RETURN_IF(sql_run(s, q, "sheet", NULL));
    }
    return OK;
}

tufa_status store_sheet_add(store *s, const sheet_rec *r, int64_t *id)
{
    sqlite3_stmt *q = sql_begin(s, "INSERT INTO sheet (water_id, day, source) VALUES (?1, ?2, ?3)");
    if (!q) return sql_trouble(s, "sheet");
    sqlite3_bind_int64(q, 1, r->water);
    sqlite3_bind_int64(q, 2, r->day);
    sql_bind_text(q, 3, r->source);
    RETURN_IF(sql_run(s, q, "sheet", id));
    return add_cells(s, r, *id);
}

static tufa_status take_cells(store *s, sheet_rec *r)
{
    sqlite3_stmt *q = sql_begin(s, "SELECT name, cell FROM sheet_cell WHERE sheet_id = ?1 ORDER BY n");
    if (!q) return sql_trouble(s, "sheet");
    sqlite3_bind_int64(q, 1, r->id);
    int rc;
    while ((rc = sqlite3_step(q)) == SQLITE_ROW && r->n < SHEET_CELLS) {
        sql_text(q, 0, r->cells[r->n].column, STORE_CELL);
        sql_text(q, 1, r->cells[r->n].cell, STORE_CELL);
        r->n++;
    }
    tufa_status st = rc == SQLITE_DONE || rc == SQLITE_ROW ? OK : sql_trouble(s, "sheet");
    sql_done(s, q);
    return st;
}

static sheet_rec sheet_from(sqlite3_stmt *q)
{
    sheet_rec r = {.id = sqlite3_column_int64(q, 0), .water = sqlite3_column_int64(q, 1), .day = sqlite3_column_int64(q, 2)};
    sql_text(q, 3, r.source, sizeof r.source);
    return r;
}

tufa_status store_sheet_on(store *s, int64_t water, int64_t day, sheet_rec *out)
{
    sqlite3_stmt *q = sql_begin(s, "SELECT id, water_id, day, source FROM sheet WHERE water_id = ?1 AND day <= ?2 " SQL_NEWEST_FIRST);
    if (!q) return sql_trouble(s, "sheet");
    sqlite3_bind_int64(q, 1, water);
    sqlite3_bind_int64(q, 2, day);
    int rc = sqlite3_step(q);
    sheet_rec r = {0};
    tufa_status st = rc == SQLITE_ROW ? OK : rc == SQLITE_DONE ? trouble(TUFA_MISSING, "sheet", "nothing was told of this water") : sql_trouble(s, "sheet");
    if (rc == SQLITE_ROW) r = sheet_from(q);
    sql_done(s, q);
    if (st.code == TUFA_OK) st = take_cells(s, &r);
    if (st.code == TUFA_OK) *out = r;
    return st;
}

tufa_status store_sheet_now(store *s, int64_t water, sheet_rec *out) { return store_sheet_on(s, water, INT64_MAX, out); }
