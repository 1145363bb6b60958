/* Drives that somebody timed. */
#include <math.h>

#include "edge/store/sql.h"

tufa_status store_travel_add(store *s, const travel_rec *r)
{
    sqlite3_stmt *q = sql_begin(s, "INSERT INTO travel (from_house_id, to_house_id, drive_s, road_m, day, source) VALUES (?1, ?2, ?3, ?4, ?5, ?6)");
    if (!q) return sql_trouble(s, "travel");
    sql_bind_id(q, 1, r->from);
    sql_bind_id(q, 2, r->to);
    sqlite3_bind_double(q, 3, r->drive_s);
    if (isnan(r->road_m)) sqlite3_bind_null(q, 4);
    else sqlite3_bind_double(q, 4, r->road_m);
    sqlite3_bind_int64(q, 5, r->day);
    sql_bind_text(q, 6, r->source);
    return sql_run(s, q, "travel", NULL);
}

tufa_status store_travel_each(store *s, int64_t day, store_travel_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, "SELECT id, from_house_id, to_house_id, drive_s, road_m, day, source FROM travel t WHERE t.id = "
                                   "(SELECT id FROM travel n WHERE n.from_house_id IS t.from_house_id AND n.to_house_id IS t.to_house_id "
                                   "AND n.day <= ?1 " SQL_NEWEST_FIRST ") ORDER BY from_house_id, to_house_id");
    if (!q) return sql_trouble(s, "travel");
    sqlite3_bind_int64(q, 1, day);
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        travel_rec r = {.id = sqlite3_column_int64(q, 0), .from = sqlite3_column_int64(q, 1), .to = sqlite3_column_int64(q, 2),
                        .drive_s = sqlite3_column_double(q, 3),
                        .road_m = sqlite3_column_type(q, 4) == SQLITE_NULL ? NAN : sqlite3_column_double(q, 4),
                        .day = sqlite3_column_int64(q, 5)};
        sql_text(q, 6, r.source, sizeof r.source);
        st = fn(ctx, &r);
    }
    return sql_rows_end(s, q, "travel", rc, st);
}
