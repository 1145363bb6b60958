#include "edge/store/call.h"

#include <string.h>

#include "edge/store/sql.h"

static const char *const KINDS[CALL_KINDS] = {"voiced", "denied", "known", "read", "advised", "made_safe", "found", "closed", "undone"};

#define SELECTED                                                                                             \
    "SELECT c.id, c.heater_id, c.day, c.entered, c.words, c.source, EXISTS (SELECT 1 FROM call_event e WHERE e.call_id = c.id " \
    "AND e.kind = 'closed' AND NOT EXISTS (SELECT 1 FROM call_event u WHERE u.undoes = e.id)) FROM call c "

static call_rec from_row(sqlite3_stmt *q)
{
    call_rec r = {.id = sqlite3_column_int64(q, 0), .heater = sqlite3_column_int64(q, 1), .day = sqlite3_column_int64(q, 2),
                  .entered = sqlite3_column_int64(q, 3), .closed = sqlite3_column_int(q, 6) != 0};
    sql_text(q, 4, r.words, sizeof r.words);
    sql_text(q, 5, r.source, sizeof r.source);
    return r;
}

tufa_status store_call_add(store *s, const call_rec *r, int64_t *id)
{
    sqlite3_stmt *q = sql_begin(s, "INSERT INTO call (heater_id, day, words, source) VALUES (?1, ?2, ?3, ?4)");
    if (!q) return sql_trouble(s, "call");
    sqlite3_bind_int64(q, 1, r->heater);
    sqlite3_bind_int64(q, 2, r->day);
    sql_bind_text(q, 3, r->words);
    sql_bind_text(q, 4, r->source);
    return sql_run(s, q, "call", id);
}

tufa_status store_call_get(store *s, int64_t id, call_rec *out)
{
    sqlite3_stmt *q = sql_begin(s, SELECTED "WHERE c.id = ?1");
    if (!q) return sql_trouble(s, "call");
    sqlite3_bind_int64(q, 1, id);
    tufa_status st = OK;
    int rc = sqlite3_step(q);
    if (rc == SQLITE_ROW) *out = from_row(q);
    else st = rc == SQLITE_DONE ? trouble(TUFA_MISSING, "call", "there is no call with this number") : sql_trouble(s, "call");
    sql_done(s, q);
    return st;
}

tufa_status store_call_each(store *s, store_call_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, SELECTED "ORDER BY c.id");
    if (!q) return sql_trouble(s, "call");
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        call_rec r = from_row(q);
        st = fn(ctx, &r);
    }
    return sql_rows_end(s, q, "call", rc, st);
}

tufa_status store_call_event_add(store *s, const call_event_rec *r, int64_t *id)
{
    sqlite3_stmt *q = sql_begin(s, "INSERT INTO call_event (call_id, day, kind, name, value, word, undoes) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)");
    if (!q) return sql_trouble(s, "call");
    sqlite3_bind_int64(q, 1, r->call);
    sqlite3_bind_int64(q, 2, r->day);
    sqlite3_bind_text(q, 3, KINDS[r->kind], -1, SQLITE_STATIC);
    sql_bind_text(q, 4, r->name);
    if (r->has_value) sqlite3_bind_double(q, 5, r->value);
    if (r->word[0]) sql_bind_text(q, 6, r->word);
    sql_bind_id(q, 7, r->undoes);
    return sql_run(s, q, "call", id);
}

#define EVENTS \
    "SELECT id, call_id, day, kind, name, value, word, entered FROM call_event e WHERE (?1 IS NULL OR call_id = ?1) AND undoes IS NULL "
#define UNDONE "EXISTS (SELECT 1 FROM call_event u WHERE u.undoes = e.id) "

static tufa_status each_event(store *s, sqlite3_stmt *q, store_call_event_fn fn, void *ctx)
{
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        call_event_rec r = {.id = sqlite3_column_int64(q, 0), .call = sqlite3_column_int64(q, 1), .day = sqlite3_column_int64(q, 2),
                            .entered = sqlite3_column_int64(q, 7), .has_value = sqlite3_column_type(q, 5) != SQLITE_NULL,
                            .value = sqlite3_column_double(q, 5)};
        const char *kind = (const char *)sqlite3_column_text(q, 3);
        for (int k = 0; k < CALL_KINDS; k++)
            if (kind && strcmp(kind, KINDS[k]) == 0) r.kind = (call_event_kind)k;
        sql_text(q, 4, r.name, sizeof r.name);
        sql_text(q, 6, r.word, sizeof r.word);
        st = fn(ctx, &r);
    }
    return sql_rows_end(s, q, "call", rc, st);
}

tufa_status store_call_event_each(store *s, int64_t call, store_call_event_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, EVENTS "AND NOT " UNDONE "ORDER BY id");
    if (!q) return sql_trouble(s, "call");
    sql_bind_id(q, 1, call);
    return each_event(s, q, fn, ctx);
}

tufa_status store_call_event_undone(store *s, int64_t call, store_call_event_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, EVENTS "AND " UNDONE "ORDER BY id");
    if (!q) return sql_trouble(s, "call");
    sql_bind_id(q, 1, call);
    return each_event(s, q, fn, ctx);
}
