/* What was found in a tank: one reading, one row. */
#include "edge/store/sql.h"

#define EVERY \
    "SELECT id, heater_id, day, kind, mid, lo, hi, basis, note, source FROM finding f WHERE "
#define REPLACED "EXISTS (SELECT 1 FROM finding r WHERE r.replaces = f.id) "
#define SELECTED EVERY "NOT " REPLACED

tufa_status store_finding_add(store *s, const finding_rec *r, int64_t replaces, int64_t *id)
{
    if (r->value.basis == TUFA_BASIS_NONE) return trouble(TUFA_MISSING, "finding", "a finding needs its figure");
    sqlite3_stmt *q = sql_begin(s, "INSERT INTO finding (heater_id, day, kind, mid, lo, hi, basis, note, source, replaces) "
                                   "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)");
    if (!q) return sql_trouble(s, "finding");
    sqlite3_bind_int64(q, 1, r->heater);
    sqlite3_bind_int64(q, 2, r->day);
    sqlite3_bind_text(q, 3, finding_rows[r->kind].id, -1, SQLITE_STATIC);
    sql_bind_value(q, 4, r->value);
    sql_bind_text(q, 8, r->note);
    sql_bind_text(q, 9, r->source);
    sql_bind_id(q, 10, replaces);
    return sql_run(s, q, "finding", id);
}

/* Runs a bound statement through `fn`. */
static tufa_status each(store *s, sqlite3_stmt *q, store_finding_fn fn, void *ctx)
{
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        int kind = finding_find((const char *)sqlite3_column_text(q, 3));
        if (kind < 0) continue; /* a kind that is no longer asked for */
        finding_rec r = {.id = sqlite3_column_int64(q, 0), .heater = sqlite3_column_int64(q, 1), .day = sqlite3_column_int64(q, 2),
                         .kind = (finding_kind)kind, .value = sql_value(q, 4)};
        sql_text(q, 8, r.note, sizeof r.note);
        sql_text(q, 9, r.source, sizeof r.source);
        st = fn(ctx, &r);
    }
    return sql_rows_end(s, q, "finding", rc, st);
}

tufa_status store_finding_each(store *s, int64_t heater, store_finding_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, SELECTED "AND (?1 IS NULL OR heater_id = ?1) ORDER BY heater_id, day, id");
    if (!q) return sql_trouble(s, "finding");
    sql_bind_id(q, 1, heater);
    return each(s, q, fn, ctx);
}

tufa_status store_finding_replaced(store *s, int64_t heater, store_finding_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, EVERY REPLACED "AND (?1 IS NULL OR heater_id = ?1) ORDER BY heater_id, day, id");
    if (!q) return sql_trouble(s, "finding");
    sql_bind_id(q, 1, heater);
    return each(s, q, fn, ctx);
}
