/* What came to an end: heaters and their parts. And the lives of heaters in a few columns, for those who count them. */
#include <string.h>

#include "edge/store/ended.h"
#include "edge/store/sql.h"

static const struct {
    const char *id, *names;
} PARTS[ENDED_PART_COUNT] = {
#define X(id, names) [ENDED_##id] = {#id, names},
#include "edge/store/ended_parts.def"
#undef X
};
static const struct {
    const char *id, *names;
    bool failed;
} HOWS[ENDED_HOW_COUNT] = {
#define X(id, names, failed) [ENDED_HOW_##id] = {#id, names, failed},
#include "edge/store/ended_hows.def"
#undef X
};

int ended_part_find(const char *word)
{
    for (int i = 0; i < ENDED_PART_COUNT; i++)
        if (strcmp(word, PARTS[i].id) == 0 || name_is_one_of(word, strlen(word), PARTS[i].names)) return i;
    return -1;
}

int ended_how_find(const char *word)
{
    for (int i = 0; i < ENDED_HOW_COUNT; i++)
        if (strcmp(word, HOWS[i].id) == 0 || name_is_one_of(word, strlen(word), HOWS[i].names)) return i;
    return -1;
}

bool ended_how_failed(ended_how how) { return HOWS[how].failed; }

static void first_name(text *out, const char *names) { text_addn(out, names, strcspn(names, "|")); }
void ended_part_word(text *out, ended_part part) { first_name(out, PARTS[part].names); }
void ended_how_word(text *out, ended_how how) { first_name(out, HOWS[how].names); }

void ended_part_words(text *out)
{
    for (int i = 0; i < ENDED_PART_COUNT; i++) text_add(out, i ? ", " : ""), first_name(out, PARTS[i].names);
}

void ended_how_words(text *out)
{
    for (int i = 0; i < ENDED_HOW_COUNT; i++) text_add(out, i ? ", " : ""), first_name(out, HOWS[i].names);
}

tufa_status store_ended_add(store *s, const ended_rec *r, int64_t replaces, int64_t *id)
{
    sqlite3_stmt *q = sql_begin(s, "INSERT INTO ended (heater_id, day, part, how, put_in, put_in_lo, put_in_hi, put_in_basis, note, source, replaces) "
                                   "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)");
    if (!q) return sql_trouble(s, "ended");
    sqlite3_bind_int64(q, 1, r->heater);
    sqlite3_bind_int64(q, 2, r->day);
    sqlite3_bind_text(q, 3, PARTS[r->part].id, -1, SQLITE_STATIC);
    sqlite3_bind_text(q, 4, HOWS[r->how].id, -1, SQLITE_STATIC);
    sql_bind_value(q, 5, r->put_in_day);
    sql_bind_text(q, 9, r->note);
    sql_bind_text(q, 10, r->source);
    sql_bind_id(q, 11, replaces);
    return sql_run(s, q, "ended", id);
}

tufa_status store_ended_each(store *s, int64_t heater, store_ended_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, "SELECT id, heater_id, day, part, how, put_in, put_in_lo, put_in_hi, put_in_basis, note, source FROM ended e WHERE "
                                   "NOT EXISTS (SELECT 1 FROM ended r WHERE r.replaces = e.id) AND (?1 IS NULL OR heater_id = ?1) "
                                   "ORDER BY heater_id, day, id");
    if (!q) return sql_trouble(s, "ended");
    sql_bind_id(q, 1, heater);
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        int part = ended_part_find((const char *)sqlite3_column_text(q, 3)), how = ended_how_find((const char *)sqlite3_column_text(q, 4));
        if (part < 0 || how < 0) continue; /* a kind that is no longer kept */
        ended_rec r = {.id = sqlite3_column_int64(q, 0), .heater = sqlite3_column_int64(q, 1), .day = sqlite3_column_int64(q, 2),
                       .part = (ended_part)part, .how = (ended_how)how, .put_in_day = sql_value(q, 5)};
        sql_text(q, 9, r.note, sizeof r.note);
        sql_text(q, 10, r.source, sizeof r.source);
        st = fn(ctx, &r);
    }
    return sql_rows_end(s, q, "ended", rc, st);
}

#define NEWEST(column, field) \
    "(SELECT " column " FROM heater_fact f WHERE f.heater_id = h.id AND f.field = '" field "' AND " SQL_STANDS("heater_fact", "f") SQL_NEWEST_FIRST ")"

tufa_status store_life_each(store *s, store_life_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, "SELECT h.id, h.day, " NEWEST("word", "fuel") ", " NEWEST("mid", "installed_day") ", " NEWEST("basis", "installed_day") ", "
                                   NEWEST("mid", "out_day") ", " NEWEST("word", "out_why") ", " NEWEST("mid", "element_W_m2")
                                   " FROM heater h ORDER BY h.id");
    if (!q) return sql_trouble(s, "heater");
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        char fuel[STORE_ITEM];
        sql_text(q, 2, fuel, sizeof fuel);
        life_rec r = {.heater = sqlite3_column_int64(q, 0), .entered_day = sqlite3_column_int64(q, 1), .fuel = fuel[0] ? choice_find(CHOICES_FUEL, fuel) : -1,
                      .installed = sqlite3_column_type(q, 3) != SQLITE_NULL, .installed_day = sqlite3_column_double(q, 3),
                      .out = sqlite3_column_type(q, 5) != SQLITE_NULL, .out_day = sqlite3_column_double(q, 5), .flux_W_m2 = sqlite3_column_double(q, 7)};
        sql_text(q, 6, r.out_why, sizeof r.out_why);
        st = fn(ctx, &r);
    }
    return sql_rows_end(s, q, "heater", rc, st);
}

tufa_status store_found_each(store *s, store_found_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, "SELECT heater_id, max(day) FROM finding GROUP BY heater_id ORDER BY 2 DESC, 1");
    if (!q) return sql_trouble(s, "finding");
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    bool more = true;
    while (more && st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) st = fn(ctx, sqlite3_column_int64(q, 0), &more);
    if (st.code == TUFA_OK && more && rc != SQLITE_DONE) st = sql_trouble(s, "finding");
    sql_done(s, q);
    return st;
}

void **store_slot(store *s, store_slot_of what, void (*end)(void *))
{
    s->slot_end[what] = end;
    return &s->slot[what];
}
