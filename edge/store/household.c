/* Who lives behind a heater, from a day on. */
#include "edge/store/sql.h"

#define EVERY \
    "SELECT id, house_id, heater_id, day, people, people_lo, people_hi, people_basis, hot_m3_s, hot_m3_s_lo, hot_m3_s_hi, " \
    "hot_m3_s_basis, setpoint_K, setpoint_K_lo, setpoint_K_hi, setpoint_K_basis, note, source FROM household h WHERE "
#define REPLACED "EXISTS (SELECT 1 FROM household r WHERE r.replaces = h.id) "
#define SELECTED EVERY "NOT " REPLACED

tufa_status store_household_add(store *s, const household_rec *r, int64_t replaces, int64_t *id)
{
    sqlite3_stmt *q = sql_begin(s, "INSERT INTO household (house_id, heater_id, day, people, people_lo, people_hi, people_basis, hot_m3_s, "
                                   "hot_m3_s_lo, hot_m3_s_hi, hot_m3_s_basis, setpoint_K, setpoint_K_lo, setpoint_K_hi, setpoint_K_basis, "
                                   "note, source, replaces) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16, "
                                   "?17, ?18)");
    if (!q) return sql_trouble(s, "household");
    sqlite3_bind_int64(q, 1, r->house);
    sql_bind_id(q, 2, r->heater);
    sqlite3_bind_int64(q, 3, r->from_day);
    sql_bind_value(q, 4, r->people);
    sql_bind_value(q, 8, r->hot_m3_s);
    sql_bind_value(q, 12, r->setpoint_K);
    sql_bind_text(q, 16, r->note);
    sql_bind_text(q, 17, r->source);
    sql_bind_id(q, 18, replaces);
    return sql_run(s, q, "household", id);
}

static household_rec household_from(sqlite3_stmt *q)
{
    household_rec r = {.id = sqlite3_column_int64(q, 0),
                       .house = sqlite3_column_int64(q, 1),
                       .heater = sqlite3_column_int64(q, 2),
                       .from_day = sqlite3_column_int64(q, 3),
                       .people = sql_value(q, 4),
                       .hot_m3_s = sql_value(q, 8),
                       .setpoint_K = sql_value(q, 12)};
    sql_text(q, 16, r.note, sizeof r.note);
    sql_text(q, 17, r.source, sizeof r.source);
    return r;
}

tufa_status store_household_on(store *s, int64_t house, int64_t heater, int64_t day, household_rec *out)
{
    sqlite3_stmt *q = sql_begin(s, SELECTED "AND house_id = ?1 AND (heater_id IS NULL OR heater_id = ?2) AND day <= ?3 "
                                            "ORDER BY heater_id IS NULL, day DESC, id DESC LIMIT 1");
    if (!q) return sql_trouble(s, "household");
    sqlite3_bind_int64(q, 1, house);
    sqlite3_bind_int64(q, 2, heater);
    sqlite3_bind_int64(q, 3, day);
    int rc = sqlite3_step(q);
    tufa_status st = rc == SQLITE_ROW    ? OK
                     : rc == SQLITE_DONE ? trouble(TUFA_MISSING, "household", "nobody said who lives there")
                                         : sql_trouble(s, "household");
    if (rc == SQLITE_ROW) *out = household_from(q);
    sql_done(s, q);
    return st;
}

/* Runs a bound statement through `fn`. */
static tufa_status each(store *s, sqlite3_stmt *q, store_household_fn fn, void *ctx)
{
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        household_rec r = household_from(q);
        st = fn(ctx, &r);
    }
    return sql_rows_end(s, q, "household", rc, st);
}

tufa_status store_household_each(store *s, int64_t house, store_household_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, SELECTED "AND (?1 IS NULL OR house_id = ?1) ORDER BY house_id, day, id");
    if (!q) return sql_trouble(s, "household");
    sql_bind_id(q, 1, house);
    return each(s, q, fn, ctx);
}

tufa_status store_household_replaced(store *s, int64_t house, store_household_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, EVERY REPLACED "AND (?1 IS NULL OR house_id = ?1) ORDER BY house_id, day, id");
    if (!q) return sql_trouble(s, "household");
    sql_bind_id(q, 1, house);
    return each(s, q, fn, ctx);
}
