/* Making, opening and bringing up to date. A new book is built beside its place and linked there whole. */
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "edge/store/embedded.h"
#include "edge/store/place.h"
#include "edge/store/sql.h"

static const int APPLICATION_ID = 0x74756661; /* "tufa" */
static const int WAIT_MS = 3000;              /* for another program to finish its writing */

int store_version_newest(void) { return atoi(EMBEDDED[EMBEDDED_COUNT - 1].name); }

static bool pragma_int(store *s, const char *sql, int *out)
{
    sqlite3_stmt *q = NULL;
    bool ok = sqlite3_prepare_v2(s->db, sql, -1, &q, NULL) == SQLITE_OK && sqlite3_step(q) == SQLITE_ROW;
    if (ok) *out = sqlite3_column_int(q, 0);
    sqlite3_finalize(q);
    return ok;
}

static tufa_status connect(const char *path, int flags, store **out)
{
    store *s = calloc(1, sizeof *s);
    if (!s) return trouble(TUFA_MEMORY, "book", NULL);
    int rc = sqlite3_open_v2(path, &s->db, flags | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE, NULL);
    if (rc != SQLITE_OK) {
        store_close(s);
        return sql_code_trouble(rc, "book");
    }
    sqlite3_busy_timeout(s->db, WAIT_MS);
    sqlite3_db_config(s->db, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    sqlite3_db_config(s->db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, NULL);
    tufa_status st = sql_exec(s, "PRAGMA foreign_keys = ON; PRAGMA synchronous = FULL; PRAGMA cell_size_check = ON;", "book");
    if (st.code) {
        store_close(s);
        return st;
    }
    *out = s;
    return OK;
}

/* Each schema file above the book's version, all in one transaction. */
static tufa_status migrate(store *s, int from)
{
    RETURN_IF(sql_exec(s, "BEGIN IMMEDIATE", "book"));
    tufa_status st = OK;
    if (!pragma_int(s, "PRAGMA user_version", &from)) st = sql_trouble(s, "book"); /* another program may have been first */
    for (size_t i = 0; st.code == TUFA_OK && i < EMBEDDED_COUNT; i++)
        if (atoi(EMBEDDED[i].name) > from) st = sql_exec(s, EMBEDDED[i].text, "book");
    char version[80];
    snprintf(version, sizeof version, "PRAGMA application_id = %d; PRAGMA user_version = %d;", APPLICATION_ID, store_version_newest());
    if (st.code == TUFA_OK) st = sql_exec(s, version, "book");
    if (st.code == TUFA_OK) st = sql_exec(s, "COMMIT", "book");
    if (st.code != TUFA_OK) store_rollback(s);
    return st;
}

static tufa_status look_at_file(const char *path)
{
    struct stat st;
    if (stat(path, &st) != 0)
        return trouble(errno == ENOENT || errno == ENOTDIR ? TUFA_MISSING : TUFA_STORE, "book",
                       errno == ENOENT || errno == ENOTDIR ? "there is no book here; `tufa book new` makes one" : "this file cannot be opened");
    if (S_ISDIR(st.st_mode)) return trouble(TUFA_STORE, "book", "this is a folder, not a book");
    if (!S_ISREG(st.st_mode)) return trouble(TUFA_STORE, "book", "this is not an ordinary file");
    if (st.st_size == 0) return trouble(TUFA_STORE, "book", "this file is empty; it is no book");
    return OK;
}

/* A book in a folder that may not be written has no place for its shared index; without open changes it can do without. */
static tufa_status connect_unchanging(const char *path, store **out)
{
    text uri = {0};
    text_add(&uri, "file:");
    for (const char *p = path; *p; p++) {
        if (strchr("?#%", *p)) text_addf(&uri, "%%%02X", (unsigned)(unsigned char)*p);
        else text_addn(&uri, p, 1);
    }
    text_add(&uri, "?immutable=1");
    tufa_status st = uri.failed ? trouble(TUFA_MEMORY, "book", NULL) : connect(text_str(&uri), SQLITE_OPEN_READONLY | SQLITE_OPEN_URI, out);
    text_free(&uri);
    return st;
}

/* Asks what the file is; closes it again when it does not answer. */
static tufa_status ask(store **s, int *version, int *application)
{
    if (pragma_int(*s, "PRAGMA user_version", version) && pragma_int(*s, "PRAGMA application_id", application)) return OK;
    tufa_status st = sql_trouble(*s, "book");
    store_close(*s);
    *s = NULL;
    return st;
}

static tufa_status connect_for(const char *path, store_mode mode, store **out, int *version, int *application)
{
    tufa_status st = connect(path, mode == STORE_WRITE ? SQLITE_OPEN_READWRITE : SQLITE_OPEN_READONLY, out);
    if (st.code == TUFA_OK) st = ask(out, version, application);
    if (st.code != TUFA_STORE || mode == STORE_WRITE || place_may_be_written(path) || place_has_open_changes(path)) return st;
    RETURN_IF(connect_unchanging(path, out));
    return ask(out, version, application);
}

tufa_status store_open(const char *path, store_mode mode, store **out)
{
    store *s = NULL;
    int version = 0, application = 0;
    RETURN_IF(look_at_file(path));
    RETURN_IF(connect_for(path, mode, &s, &version, &application));
    tufa_status st = OK;
    if (application != APPLICATION_ID) st = trouble(TUFA_STORE, "book", "this is a database of another program, not a book");
    else if (version > store_version_newest()) st = trouble(TUFA_STORE, "book", "this book was written by a newer tufa; use that one, nothing was changed");
    else if (version < store_version_newest() && mode == STORE_WRITE) st = migrate(s, version);
    if (st.code == TUFA_OK && version < store_version_newest() && mode == STORE_READ) {
        store_close(s); /* brought up to date first, then read */
        s = NULL;
        RETURN_IF(store_open(path, STORE_WRITE, &s));
    }
    if (st.code != TUFA_OK) {
        store_close(s);
        return st;
    }
    *out = s;
    return OK;
}

tufa_status store_create(const char *path, store **out)
{
    char beside[PLACE_LONGEST];
    RETURN_IF(place_claim(path, beside));
    store *s = NULL;
    tufa_status st = connect(beside, SQLITE_OPEN_READWRITE, &s);
    if (st.code == TUFA_OK) st = sql_exec(s, "PRAGMA journal_mode = WAL", "book");
    if (st.code == TUFA_OK) st = migrate(s, 0);
    store_close(s);
    RETURN_IF(place_settle(st, beside, path));
    return store_open(path, STORE_WRITE, out);
}

tufa_status store_in_memory(store **out)
{
    store *s = NULL;
    RETURN_IF(connect(":memory:", SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, &s));
    tufa_status st = migrate(s, 0);
    if (st.code == TUFA_OK) *out = s;
    else store_close(s);
    return st;
}

void store_close(store *s)
{
    if (!s) return;
    for (int i = 0; i < s->cached_count; i++) sqlite3_finalize(s->cached[i].q);
    sqlite3_close_v2(s->db);
    for (int i = 0; i < STORE_SLOTS; i++)
        if (s->slot[i]) s->slot_end[i](s->slot[i]);
    free(s);
}

tufa_status store_begin(store *s) { return sql_exec(s, "BEGIN IMMEDIATE", "book"); }

tufa_status store_commit(store *s)
{
    tufa_status st = sql_exec(s, "COMMIT", "book");
    if (st.code != TUFA_OK) store_rollback(s);
    return st;
}

void store_rollback(store *s)
{
    if (!sqlite3_get_autocommit(s->db)) sqlite3_exec(s->db, "ROLLBACK", NULL, NULL, NULL);
}

tufa_status store_version(store *s, int64_t *version)
{
    int others;
    if (!pragma_int(s, "PRAGMA data_version", &others)) return sql_trouble(s, "book");
    *version = (int64_t)others << 32 | sqlite3_total_changes(s->db);
    return OK;
}
