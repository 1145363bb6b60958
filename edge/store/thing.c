/* Waters, houses and heaters: labels, and finding a thing by what a person calls it. */
#include <stdlib.h>
#include <string.h>

#include "edge/store/sql.h"

static const struct {
    const char *add, *find, *label, *rename, *like, *count, *note;
} SQL[THING_COUNT] = {
    [THING_WATER] = {"INSERT INTO water (label, label_key, day, source) VALUES (?1, ?2, ?3, ?4)",
                     "SELECT id FROM water WHERE label_key = ?1",
                     "SELECT label FROM water WHERE id = ?1",
                     "UPDATE water SET label = ?2, label_key = ?3 WHERE id = ?1",
                     "SELECT id, label FROM water WHERE instr(label_key, ?1) > 0 ORDER BY label_key, id",
                     "SELECT count(*) FROM water",
                     "INSERT INTO water_fact (water_id, field, word, day, source) VALUES (?1, 'former_label', ?2, ?3, ?4)"},
    [THING_HOUSE] = {"INSERT INTO house (label, label_key, day, source) VALUES (?1, ?2, ?3, ?4)",
                     "SELECT id FROM house WHERE label_key = ?1",
                     "SELECT label FROM house WHERE id = ?1",
                     "UPDATE house SET label = ?2, label_key = ?3 WHERE id = ?1",
                     "SELECT id, label FROM house WHERE instr(label_key, ?1) > 0 ORDER BY label_key, id",
                     "SELECT count(*) FROM house",
                     "INSERT INTO house_fact (house_id, field, word, day, source) VALUES (?1, 'former_label', ?2, ?3, ?4)"},
    [THING_HEATER] = {"INSERT INTO heater (label, label_key, day, source, house_id) VALUES (?1, ?2, ?3, ?4, ?5)",
                      "SELECT id FROM heater WHERE label_key = ?1",
                      "SELECT label FROM heater WHERE id = ?1",
                      "UPDATE heater SET label = ?2, label_key = ?3 WHERE id = ?1",
                      "SELECT id, label FROM heater WHERE instr(label_key, ?1) > 0 ORDER BY label_key, id",
                      "SELECT count(*) FROM heater",
                      "INSERT INTO heater_fact (heater_id, field, word, day, source) VALUES (?1, 'former_label', ?2, ?3, ?4)"},
};

static const char *const LABEL_WHY = "a name has 1 to 63 bytes";

static tufa_status find_key(store *s, thing_kind kind, const char *key, int64_t *id)
{
    sqlite3_stmt *q = sql_begin(s, SQL[kind].find);
    if (!q) return sql_trouble(s, thing_word(kind));
    sqlite3_bind_text(q, 1, key, -1, SQLITE_STATIC);
    int rc = sqlite3_step(q);
    tufa_status st = rc == SQLITE_ROW    ? OK
                     : rc == SQLITE_DONE ? trouble(TUFA_MISSING, thing_word(kind), "there is none of this name")
                                         : sql_trouble(s, thing_word(kind));
    if (rc == SQLITE_ROW) *id = sqlite3_column_int64(q, 0);
    sql_done(s, q);
    return st;
}

static tufa_status label_is_free(store *s, thing_kind kind, const char *key, int64_t except)
{
    int64_t there = 0;
    tufa_status st = find_key(s, kind, key, &there);
    if (st.code == TUFA_MISSING) return OK;
    RETURN_IF(st);
    return there == except ? OK : trouble(TUFA_CONFLICT, thing_word(kind), "there is one of this name already");
}

/* As it is shown: spaces at the ends and double spaces taken off. */
static bool tidy(const char *label, char out[STORE_LABEL])
{
    size_t n = 0;
    for (; *label; label++) {
        if (*label == ' ' && (n == 0 || out[n - 1] == ' ')) continue;
        if (n + 1 >= STORE_LABEL) return false;
        out[n++] = *label;
    }
    while (n && out[n - 1] == ' ') n--;
    out[n] = 0;
    return n > 0;
}

tufa_status store_thing_add(store *s, thing_kind kind, const char *label, int64_t house, int64_t day, const char *source, int64_t *id)
{
    char key[STORE_LABEL], shown[STORE_LABEL];
    if (!tidy(label, shown) || !sql_label_key(label, key)) return trouble(TUFA_RANGE, thing_word(kind), LABEL_WHY);
    RETURN_IF(label_is_free(s, kind, key, 0));
    sqlite3_stmt *q = sql_begin(s, SQL[kind].add);
    if (!q) return sql_trouble(s, thing_word(kind));
    sql_bind_text(q, 1, shown);
    sql_bind_text(q, 2, key);
    sqlite3_bind_int64(q, 3, day);
    sql_bind_text(q, 4, source);
    if (kind == THING_HEATER) sql_bind_id(q, 5, house);
    return sql_run(s, q, thing_word(kind), id);
}

/* "14" and "#14" are numbers. */
static int64_t number_in(const char *name)
{
    char *end;
    if (*name == '#') name++;
    if (*name < '1' || *name > '9' || strlen(name) > 15) return 0;
    long long n = strtoll(name, &end, 10);
    return *end ? 0 : n;
}

tufa_status store_thing_labelled(store *s, thing_kind kind, const char *label, int64_t *id)
{
    char key[STORE_LABEL];
    if (!sql_label_key(label, key)) return trouble(TUFA_MISSING, thing_word(kind), "there is none of this name");
    return find_key(s, kind, key, id);
}

tufa_status store_thing_find(store *s, thing_kind kind, const char *name, int64_t *id)
{
    char label[STORE_LABEL];
    tufa_status st = store_thing_labelled(s, kind, name, id);
    int64_t n = number_in(name);
    if (st.code != TUFA_MISSING || n == 0 || store_thing_label(s, kind, n, label).code != TUFA_OK) return st;
    *id = n;
    return OK;
}

tufa_status store_thing_label(store *s, thing_kind kind, int64_t id, char label[STORE_LABEL])
{
    sqlite3_stmt *q = sql_begin(s, SQL[kind].label);
    if (!q) return sql_trouble(s, thing_word(kind));
    sqlite3_bind_int64(q, 1, id);
    int rc = sqlite3_step(q);
    tufa_status st = rc == SQLITE_ROW    ? OK
                     : rc == SQLITE_DONE ? trouble(TUFA_MISSING, thing_word(kind), "there is none of this number")
                                         : sql_trouble(s, thing_word(kind));
    if (rc == SQLITE_ROW) sql_text(q, 0, label, STORE_LABEL);
    sql_done(s, q);
    return st;
}

tufa_status store_thing_rename(store *s, thing_kind kind, int64_t id, const char *label, int64_t day, const char *source)
{
    char key[STORE_LABEL], shown[STORE_LABEL], former[STORE_LABEL];
    if (!tidy(label, shown) || !sql_label_key(label, key)) return trouble(TUFA_RANGE, thing_word(kind), LABEL_WHY);
    RETURN_IF(label_is_free(s, kind, key, id));
    RETURN_IF(store_thing_label(s, kind, id, former));
    sqlite3_stmt *q = sql_begin(s, SQL[kind].note);
    if (!q) return sql_trouble(s, thing_word(kind));
    sqlite3_bind_int64(q, 1, id);
    sql_bind_text(q, 2, former);
    sqlite3_bind_int64(q, 3, day);
    sql_bind_text(q, 4, source);
    RETURN_IF(sql_run(s, q, thing_word(kind), NULL));
    q = sql_begin(s, SQL[kind].rename);
    if (!q) return sql_trouble(s, thing_word(kind));
    sqlite3_bind_int64(q, 1, id);
    sql_bind_text(q, 2, shown);
    sql_bind_text(q, 3, key);
    return sql_run(s, q, thing_word(kind), NULL);
}

tufa_status store_thing_like(store *s, thing_kind kind, const char *part, int most, text *out, int *found)
{
    char key[STORE_LABEL];
    *found = 0;
    if (!sql_label_key(part, key)) return OK;
    sqlite3_stmt *q = sql_begin(s, SQL[kind].like);
    if (!q) return sql_trouble(s, thing_word(kind));
    sqlite3_bind_text(q, 1, key, -1, SQLITE_STATIC);
    int rc;
    while ((rc = sqlite3_step(q)) == SQLITE_ROW) {
        if ((*found)++ < most) text_addf(out, "  %4lld  %s\n", (long long)sqlite3_column_int64(q, 0), (const char *)sqlite3_column_text(q, 1));
    }
    tufa_status st = rc == SQLITE_DONE ? OK : sql_trouble(s, thing_word(kind));
    sql_done(s, q);
    return st;
}

tufa_status store_thing_count(store *s, thing_kind kind, size_t *n)
{
    sqlite3_stmt *q = sql_begin(s, SQL[kind].count);
    if (!q) return sql_trouble(s, thing_word(kind));
    bool row = sqlite3_step(q) == SQLITE_ROW;
    if (row) *n = (size_t)sqlite3_column_int64(q, 0);
    tufa_status st = row ? OK : sql_trouble(s, thing_word(kind));
    sql_done(s, q);
    return st;
}
