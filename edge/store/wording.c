/* The owner's own words on what he hands out. */
#include "edge/store/sql.h"

tufa_status store_wording_add(store *s, const char *name, const char *words, int64_t day, const char *source)
{
    sqlite3_stmt *q = sql_begin(s, "INSERT INTO wording (name, words, day, source) VALUES (?1, ?2, ?3, ?4)");
    if (!q) return sql_trouble(s, "wording");
    sql_bind_text(q, 1, name);
    sql_bind_text(q, 2, words);
    sqlite3_bind_int64(q, 3, day);
    sql_bind_text(q, 4, source);
    return sql_run(s, q, "wording", NULL);
}

tufa_status store_wording_now(store *s, const char *name, text *words, int64_t *day, char source[STORE_SOURCE])
{
    sqlite3_stmt *q = sql_begin(s, "SELECT words, day, source FROM wording WHERE name = ?1 " SQL_NEWEST_FIRST);
    if (!q) return sql_trouble(s, "wording");
    sql_bind_text(q, 1, name);
    int rc = sqlite3_step(q);
    tufa_status st = rc == SQLITE_ROW ? OK : rc == SQLITE_DONE ? trouble(TUFA_MISSING, "wording", NULL) : sql_trouble(s, "wording");
    if (rc == SQLITE_ROW) {
        text_addn(words, (const char *)sqlite3_column_text(q, 0), (size_t)sqlite3_column_bytes(q, 0));
        *day = sqlite3_column_int64(q, 1);
        sql_text(q, 2, source, STORE_SOURCE);
    }
    sql_done(s, q);
    return st;
}
