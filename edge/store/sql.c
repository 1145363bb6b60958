#include "edge/store/sql.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

tufa_status sql_code_trouble(int rc, const char *field)
{
    static const struct {
        int rc;
        const char *why;
    } WORDS[] = {
        {SQLITE_BUSY, "the book is in use by another program; try again when that is done"},
        {SQLITE_LOCKED, "the book is in use by another program; try again when that is done"},
        {SQLITE_FULL, "the disk is full; nothing was changed"},
        {SQLITE_READONLY, "the book or its folder may not be written; nothing was changed"},
        {SQLITE_PERM, "the book or its folder may not be written; nothing was changed"},
        {SQLITE_CANTOPEN, "the book or its folder cannot be opened; is the folder there, and may it be written?"},
        {SQLITE_NOTADB, "this file is no book: it is no database"},
        {SQLITE_CORRUPT, "the book is damaged; go back to a copy made by `tufa book backup`"},
        {SQLITE_IOERR, "the disk failed while reading or writing the book; nothing was changed"},
        {SQLITE_NOMEM, "there is not enough memory"},
        {SQLITE_CONSTRAINT, "this does not fit what is in the book already"},
        {SQLITE_TOOBIG, "this is too long for the book"},
    };
    const char *why = "the book cannot be read or written";
    for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++)
        if ((rc & 0xff) == WORDS[i].rc) why = WORDS[i].why;
    return trouble((rc & 0xff) == SQLITE_NOMEM ? TUFA_MEMORY : TUFA_STORE, field, why);
}

tufa_status sql_trouble(store *s, const char *field) { return sql_code_trouble(sqlite3_errcode(s->db), field); }

sqlite3_stmt *sql_begin(store *s, const char *sql)
{
    for (int i = 0; i < s->cached_count; i++)
        if (s->cached[i].sql == sql && !sqlite3_stmt_busy(s->cached[i].q)) return s->cached[i].q;
    sqlite3_stmt *q = NULL;
    if (sqlite3_prepare_v3(s->db, sql, -1, SQLITE_PREPARE_PERSISTENT, &q, NULL) != SQLITE_OK) return NULL;
    bool known = false; /* busy: a second one for a question inside a question */
    for (int i = 0; i < s->cached_count; i++) known = known || s->cached[i].sql == sql;
    if (!known && s->cached_count < STORE_CACHED) {
        s->cached[s->cached_count].sql = sql;
        s->cached[s->cached_count++].q = q;
    }
    return q;
}

void sql_done(store *s, sqlite3_stmt *q)
{
    for (int i = 0; i < s->cached_count; i++) {
        if (s->cached[i].q != q) continue;
        sqlite3_reset(q);
        sqlite3_clear_bindings(q);
        return;
    }
    sqlite3_finalize(q);
}

tufa_status sql_run(store *s, sqlite3_stmt *q, const char *field, int64_t *id)
{
    if (!q) return sql_trouble(s, field);
    tufa_status st = sqlite3_step(q) == SQLITE_DONE ? OK : sql_trouble(s, field);
    sql_done(s, q);
    if (st.code == TUFA_OK && id) *id = sqlite3_last_insert_rowid(s->db);
    return st;
}

tufa_status sql_rows_end(store *s, sqlite3_stmt *q, const char *field, int rc, tufa_status st)
{
    if (st.code == TUFA_OK && rc != SQLITE_DONE) st = sql_trouble(s, field);
    sql_done(s, q);
    return st;
}

tufa_status sql_exec(store *s, const char *sql, const char *field)
{
    return sqlite3_exec(s->db, sql, NULL, NULL, NULL) == SQLITE_OK ? OK : sql_trouble(s, field);
}

static const char *const BASES[] = {[TUFA_BASIS_NONE] = "",          [TUFA_BASIS_DEFAULT] = "default", [TUFA_BASIS_ABOUT] = "about",
                                    [TUFA_BASIS_RANGE] = "range", [TUFA_BASIS_GIVEN] = "given",     [TUFA_BASIS_LEARNED] = "learned"};

void sql_bind_value(sqlite3_stmt *q, int at, tufa_value v)
{
    if (v.basis == TUFA_BASIS_NONE) {
        for (int i = 0; i < 4; i++) sqlite3_bind_null(q, at + i);
        return;
    }
    sqlite3_bind_double(q, at, v.mid);
    sqlite3_bind_double(q, at + 1, v.lo);
    sqlite3_bind_double(q, at + 2, v.hi);
    sqlite3_bind_text(q, at + 3, BASES[v.basis], -1, SQLITE_STATIC);
}

tufa_value sql_value(sqlite3_stmt *q, int at)
{
    tufa_value v = {0};
    const char *basis = (const char *)sqlite3_column_text(q, at + 3);
    if (!basis) return v;
    v.mid = sqlite3_column_double(q, at);
    v.lo = sqlite3_column_double(q, at + 1);
    v.hi = sqlite3_column_double(q, at + 2);
    v.basis = TUFA_BASIS_GIVEN;
    for (int i = 0; i < (int)(sizeof BASES / sizeof BASES[0]); i++)
        if (strcmp(basis, BASES[i]) == 0) v.basis = (tufa_basis)i;
    return v;
}

void sql_bind_text(sqlite3_stmt *q, int at, const char *s) { sqlite3_bind_text(q, at, s, -1, SQLITE_TRANSIENT); }

void sql_bind_known(sqlite3_stmt *q, int at, bool known, double x)
{
    if (known) sqlite3_bind_double(q, at, x);
    else sqlite3_bind_null(q, at);
}

void sql_bind_id(sqlite3_stmt *q, int at, int64_t id)
{
    if (id) sqlite3_bind_int64(q, at, id);
    else sqlite3_bind_null(q, at);
}

void sql_text(sqlite3_stmt *q, int at, char *out, size_t room)
{
    const char *s = (const char *)sqlite3_column_text(q, at);
    snprintf(out, room, "%s", s ? s : "");
}

bool sql_label_key(const char *label, char out[STORE_LABEL])
{
    size_t n = 0;
    for (const char *p = label; *p; p++) {
        bool space = *p == ' ' || *p == '\t' || *p == '\n' || *p == '\r';
        if (space && (n == 0 || out[n - 1] == ' ')) continue;
        if (n + 1 >= STORE_LABEL) return false;
        out[n++] = space ? ' ' : (char)tolower((unsigned char)*p);
    }
    while (n && out[n - 1] == ' ') n--;
    out[n] = 0;
    return n > 0;
}
