/* A copy while the book may be in use, checked before it is put in its place. */
#include "edge/store/place.h"
#include "edge/store/sql.h"

enum { PAGES_A_STEP = 200, PAUSE_MS = 20, MOST_PAUSES = 500 };

static int copy_pages(sqlite3 *from, sqlite3 *to)
{
    sqlite3_backup *b = sqlite3_backup_init(to, "main", from, "main");
    if (!b) return sqlite3_errcode(to);
    int rc, pauses = 0;
    while ((rc = sqlite3_backup_step(b, PAGES_A_STEP)) == SQLITE_OK ||
           ((rc == SQLITE_BUSY || rc == SQLITE_LOCKED) && pauses++ < MOST_PAUSES))
        if (rc != SQLITE_OK) sqlite3_sleep(PAUSE_MS);
    int finished = sqlite3_backup_finish(b);
    return rc == SQLITE_DONE ? finished : rc;
}

static int verify(sqlite3 *db)
{
    sqlite3_stmt *q = NULL;
    int rc = sqlite3_prepare_v2(db, "PRAGMA quick_check(1)", -1, &q, NULL);
    if (rc == SQLITE_OK) {
        rc = sqlite3_step(q) == SQLITE_ROW ? SQLITE_OK : sqlite3_errcode(db);
        const char *word = (const char *)sqlite3_column_text(q, 0);
        if (rc == SQLITE_OK && (!word || word[0] != 'o' || word[1] != 'k')) rc = SQLITE_CORRUPT;
    }
    sqlite3_finalize(q);
    return rc;
}

tufa_status store_backup(store *s, const char *path)
{
    char beside[PLACE_LONGEST];
    sqlite3 *to = NULL;
    RETURN_IF(place_claim(path, beside));
    int rc = sqlite3_open_v2(beside, &to, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, NULL);
    if (rc == SQLITE_OK) rc = sqlite3_exec(to, "PRAGMA synchronous = FULL", NULL, NULL, NULL);
    if (rc == SQLITE_OK) rc = copy_pages(s->db, to);
    if (rc == SQLITE_OK) rc = verify(to);
    sqlite3_close_v2(to);
    return place_settle(rc == SQLITE_OK ? OK : sql_code_trouble(rc, "book"), beside, path);
}
