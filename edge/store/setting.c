/* Settings; the one of the latest day counts. */
#include <string.h>

#include "edge/store/sql.h"

#define SELECTED "SELECT id, name, value, day, source FROM setting p "
#define NEWEST "p.id = (SELECT id FROM setting n WHERE n.name = p.name AND " SQL_STANDS("setting", "n") SQL_NEWEST_FIRST ") "

tufa_status store_setting_add(store *s, const setting_rec *r)
{
    sqlite3_stmt *q = sql_begin(s, "INSERT INTO setting (name, value, day, source, replaces) VALUES (?1, ?2, ?3, ?4, ?5)");
    if (!q) return sql_trouble(s, "setting");
    sql_bind_text(q, 1, r->name);
    sql_bind_text(q, 2, r->value);
    sqlite3_bind_int64(q, 3, r->day);
    sql_bind_text(q, 4, r->source);
    sql_bind_id(q, 5, r->replaces);
    return sql_run(s, q, "setting", NULL);
}

static setting_rec setting_from(sqlite3_stmt *q)
{
    setting_rec r = {.id = sqlite3_column_int64(q, 0), .day = sqlite3_column_int64(q, 3)};
    sql_text(q, 1, r.name, sizeof r.name);
    sql_text(q, 2, r.value, sizeof r.value);
    sql_text(q, 4, r.source, sizeof r.source);
    return r;
}

tufa_status store_setting_on(store *s, const char *name, int64_t day, setting_rec *out)
{
    sqlite3_stmt *q = sql_begin(s, SELECTED "WHERE name = ?1 AND day <= ?2 AND " SQL_STANDS("setting", "p") SQL_NEWEST_FIRST);
    if (!q) return sql_trouble(s, "setting");
    sql_bind_text(q, 1, name);
    sqlite3_bind_int64(q, 2, day);
    int rc = sqlite3_step(q);
    tufa_status st = rc == SQLITE_ROW    ? OK
                     : rc == SQLITE_DONE ? trouble(TUFA_MISSING, "setting", "nobody set this")
                                         : sql_trouble(s, "setting");
    if (rc == SQLITE_ROW) *out = setting_from(q);
    sql_done(s, q);
    return st;
}

tufa_status store_setting_now(store *s, const char *name, setting_rec *out) { return store_setting_on(s, name, INT64_MAX, out); }

tufa_status store_setting_each(store *s, bool all, store_setting_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, all ? SELECTED "ORDER BY p.id" : SELECTED "WHERE " NEWEST "ORDER BY p.name");
    if (!q) return sql_trouble(s, "setting");
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        setting_rec r = setting_from(q);
        st = fn(ctx, &r);
    }
    return sql_rows_end(s, q, "setting", rc, st);
}

tufa_status store_units(store *s, unit_system *out)
{
    setting_rec r;
    *out = UNITS_US;
    tufa_status st = store_setting_now(s, "units", &r);
    if (st.code == TUFA_OK && strcmp(r.value, "metric") == 0) *out = UNITS_METRIC;
    return st.code == TUFA_MISSING ? OK : st;
}
