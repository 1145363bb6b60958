/* Inside the store: statements, values in columns, and what SQLite's codes mean to a person. */
#ifndef EDGE_STORE_SQL_H
#define EDGE_STORE_SQL_H

#include <sqlite3.h>

#include "core/base/status.h"
#include "edge/store/ended.h"
#include "edge/store/store.h"

enum { STORE_CACHED = 96 };

/* Of rows with a day, the one that holds: none replaces it, and it is of the latest day; of one day, the last entered. */
#define SQL_STANDS(table, row) "NOT EXISTS (SELECT 1 FROM " table " c WHERE c.replaces = " row ".id) "
#define SQL_NEWEST_FIRST "ORDER BY day DESC, id DESC LIMIT 1"

struct store {
    sqlite3 *db;
    struct {
        const char *sql; /* static text; compared by place */
        sqlite3_stmt *q;
    } cached[STORE_CACHED];
    int cached_count;
    void *slot[STORE_SLOTS]; /* store_slot */
    void (*slot_end[STORE_SLOTS])(void *);
};

/* The status of the last failure of SQLite, in words. `field` is static text. */
tufa_status sql_trouble(store *s, const char *field);
tufa_status sql_code_trouble(int rc, const char *field);

/* A statement ready to be bound; `sql` must be static text. Give it back by sql_done. NULL on failure. */
sqlite3_stmt *sql_begin(store *s, const char *sql);
void sql_done(store *s, sqlite3_stmt *q);
/* Runs a statement without rows, gives it back, answers the new row's id where wanted. */
TUFA_MUST_CHECK tufa_status sql_run(store *s, sqlite3_stmt *q, const char *field, int64_t *id);
/* The end of walking through rows: `st` of whoever took them, `rc` of the last step; gives the statement back. */
TUFA_MUST_CHECK tufa_status sql_rows_end(store *s, sqlite3_stmt *q, const char *field, int rc, tufa_status st);
TUFA_MUST_CHECK tufa_status sql_exec(store *s, const char *sql, const char *field);

/* Four columns from `at` on: mid, lo, hi, basis; all NULL for basis NONE. */
void sql_bind_value(sqlite3_stmt *q, int at, tufa_value v);
tufa_value sql_value(sqlite3_stmt *q, int at);
void sql_bind_text(sqlite3_stmt *q, int at, const char *s);       /* copied */
void sql_bind_known(sqlite3_stmt *q, int at, bool known, double x); /* NULL for what nobody said */
void sql_bind_id(sqlite3_stmt *q, int at, int64_t id);            /* 0 becomes NULL */
void sql_text(sqlite3_stmt *q, int at, char *out, size_t room);   /* NULL becomes "" */

/* Lower case, single spaces: labels that look alike are alike. False when it does not fit or is empty. */
bool sql_label_key(const char *label, char out[STORE_LABEL]);

#endif
