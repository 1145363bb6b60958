/* What was done, when, and what it cost. */
#include "edge/store/sql.h"

#define EVERY \
    "SELECT id, heater_id, day, work, spent_s, spent_s_lo, spent_s_hi, spent_s_basis, cost_cents, cost_cents_lo, cost_cents_hi, " \
    "cost_cents_basis, note, source FROM visit v WHERE "
#define REPLACED "EXISTS (SELECT 1 FROM visit r WHERE r.replaces = v.id) "
#define SELECTED EVERY "NOT " REPLACED

tufa_status store_visit_add(store *s, const visit_rec *r, int64_t replaces, int64_t *id)
{
    sqlite3_stmt *q = sql_begin(s, "INSERT INTO visit (heater_id, day, work, spent_s, spent_s_lo, spent_s_hi, spent_s_basis, cost_cents, "
                                   "cost_cents_lo, cost_cents_hi, cost_cents_basis, note, source, replaces) "
                                   "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)");
    if (!q) return sql_trouble(s, "visit");
    sqlite3_bind_int64(q, 1, r->heater);
    sqlite3_bind_int64(q, 2, r->day);
    sqlite3_bind_text(q, 3, work_id(r->work), -1, SQLITE_STATIC);
    sql_bind_value(q, 4, r->spent_s);
    sql_bind_value(q, 8, r->cost_cents);
    sql_bind_text(q, 12, r->note);
    sql_bind_text(q, 13, r->source);
    sql_bind_id(q, 14, replaces);
    return sql_run(s, q, "visit", id);
}

/* Runs a bound statement through `fn`. */
static tufa_status each(store *s, sqlite3_stmt *q, store_visit_fn fn, void *ctx)
{
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        int work = work_find((const char *)sqlite3_column_text(q, 3));
        visit_rec r = {.id = sqlite3_column_int64(q, 0), .heater = sqlite3_column_int64(q, 1), .day = sqlite3_column_int64(q, 2),
                       .work = work < 0 ? WORK_OTHER : (work_kind)work, .spent_s = sql_value(q, 4), .cost_cents = sql_value(q, 8)};
        sql_text(q, 12, r.note, sizeof r.note);
        sql_text(q, 13, r.source, sizeof r.source);
        st = fn(ctx, &r);
    }
    return sql_rows_end(s, q, "visit", rc, st);
}

tufa_status store_visit_each(store *s, int64_t heater, store_visit_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, SELECTED "AND (?1 IS NULL OR heater_id = ?1) ORDER BY heater_id, day, id");
    if (!q) return sql_trouble(s, "visit");
    sql_bind_id(q, 1, heater);
    return each(s, q, fn, ctx);
}

tufa_status store_visit_replaced(store *s, int64_t heater, store_visit_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, EVERY REPLACED "AND (?1 IS NULL OR heater_id = ?1) ORDER BY heater_id, day, id");
    if (!q) return sql_trouble(s, "visit");
    sql_bind_id(q, 1, heater);
    return each(s, q, fn, ctx);
}
