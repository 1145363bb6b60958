/* Bill readings of the utility, as they were given. */
#include "edge/store/sql.h"

#define SELECTED \
    "SELECT id, house_id, day, days, unit, used, mean_K, cost_cents, flags, note, source FROM bill_reading b WHERE " \
    "NOT EXISTS (SELECT 1 FROM bill_reading r WHERE r.replaces = b.id) "

tufa_status store_bill_add(store *s, const bill_rec *r, int64_t replaces, int64_t *id)
{
    sqlite3_stmt *q = sql_begin(s, "INSERT INTO bill_reading (house_id, day, days, unit, used, mean_K, cost_cents, flags, note, source, replaces) "
                                   "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)");
    if (!q) return sql_trouble(s, "bill reading");
    sqlite3_bind_int64(q, 1, r->house);
    sqlite3_bind_int64(q, 2, r->day);
    sql_bind_known(q, 3, r->days > 0.0, r->days);
    sql_bind_text(q, 4, r->unit);
    sqlite3_bind_double(q, 5, r->used);
    sql_bind_known(q, 6, r->mean_K > 0.0, r->mean_K);
    sql_bind_known(q, 7, r->has_cost, r->cost_cents);
    sqlite3_bind_int64(q, 8, r->flags);
    sql_bind_text(q, 9, r->note);
    sql_bind_text(q, 10, r->source);
    sql_bind_id(q, 11, replaces);
    return sql_run(s, q, "bill reading", id);
}

tufa_status store_bill_each(store *s, int64_t house, store_bill_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, SELECTED "AND (?1 IS NULL OR house_id = ?1) ORDER BY house_id, unit, day, id");
    if (!q) return sql_trouble(s, "bill reading");
    sql_bind_id(q, 1, house);
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        bill_rec r = {.id = sqlite3_column_int64(q, 0), .house = sqlite3_column_int64(q, 1), .day = sqlite3_column_int64(q, 2),
                      .days = sqlite3_column_double(q, 3), .used = sqlite3_column_double(q, 5), .mean_K = sqlite3_column_double(q, 6),
                      .has_cost = sqlite3_column_type(q, 7) != SQLITE_NULL, .cost_cents = sqlite3_column_double(q, 7),
                      .flags = (unsigned)sqlite3_column_int64(q, 8)};
        sql_text(q, 4, r.unit, sizeof r.unit);
        sql_text(q, 9, r.note, sizeof r.note);
        sql_text(q, 10, r.source, sizeof r.source);
        st = fn(ctx, &r);
    }
    return sql_rows_end(s, q, "bill reading", rc, st);
}
