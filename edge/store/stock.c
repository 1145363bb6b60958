/* The van's stock as moves, and pictures of a visit by where they lie. */
#include <stdio.h>

#include "edge/store/sql.h"

/* A visit and those that it takes the place of: what was kept with them goes with it. */
#define VISIT_CHAIN \
    "WITH RECURSIVE chain (id) AS (SELECT ?1 UNION SELECT v.replaces FROM visit v JOIN chain ON v.id = chain.id " \
    "WHERE v.replaces IS NOT NULL) SELECT id FROM chain"

tufa_status store_stock_move(store *s, const stock_rec *r)
{
    sqlite3_stmt *q = sql_begin(s, "INSERT INTO stock_move (item, change, visit_id, day, source) VALUES (?1, ?2, ?3, ?4, ?5)");
    if (!q) return sql_trouble(s, "stock");
    sql_bind_text(q, 1, r->item);
    sqlite3_bind_double(q, 2, r->pieces);
    sql_bind_id(q, 3, r->visit);
    sqlite3_bind_int64(q, 4, r->day);
    sql_bind_text(q, 5, r->source);
    return sql_run(s, q, "stock", NULL);
}

static tufa_status each_stock(store *s, sqlite3_stmt *q, store_stock_fn fn, void *ctx)
{
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        stock_rec r = {.pieces = sqlite3_column_double(q, 1), .day = sqlite3_column_int64(q, 2)};
        sql_text(q, 0, r.item, sizeof r.item);
        st = fn(ctx, &r);
    }
    return sql_rows_end(s, q, "stock", rc, st);
}

tufa_status store_stock_each(store *s, store_stock_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, "SELECT item, sum(change), max(day) FROM stock_move GROUP BY item ORDER BY item");
    return q ? each_stock(s, q, fn, ctx) : sql_trouble(s, "stock");
}

tufa_status store_part_each(store *s, int64_t visit, store_stock_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, "SELECT item, change, day FROM stock_move WHERE visit_id = ?1 ORDER BY id");
    if (!q) return sql_trouble(s, "stock");
    sqlite3_bind_int64(q, 1, visit);
    return each_stock(s, q, fn, ctx);
}

tufa_status store_stock_used(store *s, int64_t visit, store_stock_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, "SELECT item, -sum(change), max(day) FROM stock_move WHERE visit_id IN (" VISIT_CHAIN ") GROUP BY item ORDER BY min(id)");
    if (!q) return sql_trouble(s, "stock");
    sqlite3_bind_int64(q, 1, visit);
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        stock_rec r = {.pieces = sqlite3_column_double(q, 1), .visit = visit, .day = sqlite3_column_int64(q, 2)};
        sql_text(q, 0, r.item, sizeof r.item);
        st = fn(ctx, &r);
    }
    return sql_rows_end(s, q, "stock", rc, st);
}

tufa_status store_photo_add(store *s, int64_t visit, const char *file)
{
    sqlite3_stmt *q = sql_begin(s, "INSERT INTO visit_photo (visit_id, file) VALUES (?1, ?2)");
    if (!q) return sql_trouble(s, "photo");
    sqlite3_bind_int64(q, 1, visit);
    sql_bind_text(q, 2, file);
    return sql_run(s, q, "photo", NULL);
}

tufa_status store_photo_each(store *s, int64_t visit, store_photo_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, "SELECT file FROM visit_photo WHERE visit_id IN (" VISIT_CHAIN ") ORDER BY id");
    if (!q) return sql_trouble(s, "photo");
    sqlite3_bind_int64(q, 1, visit);
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        char file[STORE_WORD];
        sql_text(q, 0, file, sizeof file);
        st = fn(ctx, file);
    }
    return sql_rows_end(s, q, "photo", rc, st);
}
