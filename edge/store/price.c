/* Prices that replace a default; the one of the latest day counts. */
#include "edge/store/sql.h"

#define SELECTED "SELECT id, item, mid, lo, hi, basis, day, source FROM price p "
#define NEWEST "p.id = (SELECT id FROM price n WHERE n.item = p.item AND " SQL_STANDS("price", "n") SQL_NEWEST_FIRST ") "

tufa_status store_price_add(store *s, const price_rec *r)
{
    if (r->value.basis == TUFA_BASIS_NONE) return trouble(TUFA_MISSING, "price", "a price needs its figure");
    sqlite3_stmt *q = sql_begin(s, "INSERT INTO price (item, mid, lo, hi, basis, day, source, replaces) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)");
    if (!q) return sql_trouble(s, "price");
    sql_bind_text(q, 1, r->item);
    sql_bind_value(q, 2, r->value);
    sqlite3_bind_int64(q, 6, r->day);
    sql_bind_text(q, 7, r->source);
    sql_bind_id(q, 8, r->replaces);
    return sql_run(s, q, "price", NULL);
}

static price_rec price_from(sqlite3_stmt *q)
{
    price_rec r = {.id = sqlite3_column_int64(q, 0), .value = sql_value(q, 2), .day = sqlite3_column_int64(q, 6)};
    sql_text(q, 1, r.item, sizeof r.item);
    sql_text(q, 7, r.source, sizeof r.source);
    return r;
}

tufa_status store_price_on(store *s, const char *item, int64_t day, price_rec *out)
{
    sqlite3_stmt *q = sql_begin(s, SELECTED "WHERE item = ?1 AND day <= ?2 AND " SQL_STANDS("price", "p") SQL_NEWEST_FIRST);
    if (!q) return sql_trouble(s, "price");
    sql_bind_text(q, 1, item);
    sqlite3_bind_int64(q, 2, day);
    int rc = sqlite3_step(q);
    tufa_status st = rc == SQLITE_ROW ? OK : rc == SQLITE_DONE ? trouble(TUFA_MISSING, "price", "the default holds") : sql_trouble(s, "price");
    if (rc == SQLITE_ROW) *out = price_from(q);
    sql_done(s, q);
    return st;
}

tufa_status store_price_now(store *s, const char *item, price_rec *out) { return store_price_on(s, item, INT64_MAX, out); }

tufa_status store_price_each(store *s, bool all, store_price_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, all ? SELECTED "ORDER BY p.id" : SELECTED "WHERE " NEWEST "ORDER BY p.item");
    if (!q) return sql_trouble(s, "price");
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        price_rec r = price_from(q);
        st = fn(ctx, &r);
    }
    return sql_rows_end(s, q, "price", rc, st);
}
