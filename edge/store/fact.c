/* Facts, and the records that the newest of them make. */
#include <string.h>

#include "edge/store/sql.h"

#define COLUMNS(kind) "id, field, mid, lo, hi, basis, word, ref, day, source, replaces, NOT " SQL_STANDS(kind "_fact", "f")
#define ADD(kind) \
    "INSERT INTO " kind "_fact (" kind "_id, field, mid, lo, hi, basis, word, ref, day, source, replaces) " \
    "VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)"
#define ON(kind) \
    "SELECT " COLUMNS(kind) "FROM " kind "_fact f WHERE " kind "_id = ?1 AND field = ?2 AND day <= ?3 AND " \
    SQL_STANDS(kind "_fact", "f") SQL_NEWEST_FIRST
#define HISTORY(kind) \
    "SELECT " COLUMNS(kind) "FROM " kind "_fact f WHERE " kind "_id = ?1 AND (?2 IS NULL OR field = ?2) ORDER BY day, id"
/* Facts of one field come by their day, of one day as they were entered, so that the last one stays. */
#define RECORDS(kind, more, which) \
    "SELECT t.id, t.label, " more ", f.field, f.mid, f.lo, f.hi, f.basis, f.word, f.ref FROM " kind " t LEFT JOIN " kind \
    "_fact f ON f." kind "_id = t.id AND " SQL_STANDS(kind "_fact", "f") which " ORDER BY t.id, f.field, f.day, f.id"

static const struct {
    const char *add, *on, *history, *one, *all;
} SQL[THING_COUNT] = {
    [THING_WATER] = {ADD("water"), ON("water"), HISTORY("water"), RECORDS("water", "0", "WHERE t.id = ?1"), RECORDS("water", "0", "")},
    [THING_HOUSE] = {ADD("house"), ON("house"), HISTORY("house"), RECORDS("house", "0", "WHERE t.id = ?1"), RECORDS("house", "0", "")},
    [THING_HEATER] = {ADD("heater"), ON("heater"), HISTORY("heater"), RECORDS("heater", "t.house_id", "WHERE t.id = ?1"),
                      RECORDS("heater", "t.house_id", "")},
};

tufa_status store_fact_add(store *s, thing_kind kind, const fact_rec *f)
{
    sqlite3_stmt *q = sql_begin(s, SQL[kind].add);
    if (!q) return sql_trouble(s, f->field->member);
    sqlite3_bind_int64(q, 1, f->thing);
    sql_bind_text(q, 2, f->field->member);
    sql_bind_value(q, 3, f->field->type == FIELD_VALUE ? f->value : (tufa_value){0});
    text word = {0};
    if (f->field->type == FIELD_CHOICE) choice_word(&word, f->field->choices, f->choice);
    if (f->field->type == FIELD_WORD) text_add(&word, f->word);
    if (word.len) sql_bind_text(q, 7, text_str(&word));
    text_free(&word);
    sql_bind_id(q, 8, f->field->type == FIELD_REF ? f->ref : 0);
    sqlite3_bind_int64(q, 9, f->day);
    sql_bind_text(q, 10, f->source);
    sql_bind_id(q, 11, f->replaces);
    return sql_run(s, q, f->field->member, NULL);
}

/* False for a field that is no longer kept (a former label, or a newer book read by chance). */
static bool fact_from(sqlite3_stmt *q, thing_kind kind, fact_rec *f)
{
    *f = (fact_rec){.id = sqlite3_column_int64(q, 0), .choice = -1};
    f->field = thing_field(kind, (const char *)sqlite3_column_text(q, 1));
    if (!f->field) return false;
    f->value = sql_value(q, 2);
    sql_text(q, 6, f->word, sizeof f->word);
    if (f->field->type == FIELD_CHOICE) f->choice = choice_find(f->field->choices, f->word);
    f->ref = sqlite3_column_int64(q, 7);
    f->day = sqlite3_column_int64(q, 8);
    sql_text(q, 9, f->source, sizeof f->source);
    f->replaces = sqlite3_column_int64(q, 10);
    f->replaced = sqlite3_column_int(q, 11) != 0;
    return true;
}

tufa_status store_fact_on(store *s, thing_kind kind, int64_t thing, const field_row *field, int64_t day, fact_rec *out)
{
    sqlite3_stmt *q = sql_begin(s, SQL[kind].on);
    if (!q) return sql_trouble(s, field->member);
    sqlite3_bind_int64(q, 1, thing);
    sqlite3_bind_text(q, 2, field->member, -1, SQLITE_STATIC);
    sqlite3_bind_int64(q, 3, day);
    int rc = sqlite3_step(q);
    tufa_status st = rc == SQLITE_ROW && fact_from(q, kind, out) ? OK
                     : rc == SQLITE_ROW || rc == SQLITE_DONE     ? trouble(TUFA_MISSING, field->member, "nobody said anything about this")
                                                                 : sql_trouble(s, field->member);
    if (st.code == TUFA_OK) out->thing = thing;
    sql_done(s, q);
    return st;
}

tufa_status store_fact_now(store *s, thing_kind kind, int64_t thing, const field_row *field, fact_rec *out)
{
    return store_fact_on(s, kind, thing, field, INT64_MAX, out);
}

tufa_status store_fact_each(store *s, thing_kind kind, int64_t thing, const field_row *field, store_fact_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, SQL[kind].history);
    if (!q) return sql_trouble(s, "fact");
    sqlite3_bind_int64(q, 1, thing);
    if (field) sqlite3_bind_text(q, 2, field->member, -1, SQLITE_STATIC);
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        fact_rec f;
        if (!fact_from(q, kind, &f)) continue;
        f.thing = thing;
        st = fn(ctx, &f);
    }
    return sql_rows_end(s, q, "fact", rc, st);
}

/* ---- records ---- */

typedef union any_rec {
    water_rec water;
    house_rec house;
    heater_rec heater;
} any_rec;

static void begin_record(any_rec *r, thing_kind kind, sqlite3_stmt *q)
{
    memset(r, 0, sizeof *r);
    int64_t id = sqlite3_column_int64(q, 0);
    if (kind == THING_HEATER) r->heater.house = sqlite3_column_int64(q, 2);
    char *label = kind == THING_HEATER ? r->heater.label : kind == THING_HOUSE ? r->house.label : r->water.label;
    sql_text(q, 1, label, STORE_LABEL);
    if (kind == THING_HEATER) r->heater.id = id;
    else if (kind == THING_HOUSE) r->house.id = id;
    else r->water.id = id;
    size_t n;
    const field_row *fields = thing_fields(kind, &n);
    for (size_t i = 0; i < n; i++)
        if (fields[i].type == FIELD_CHOICE) *(int *)(void *)((char *)r + fields[i].offset) = -1;
}

static const field_row *field_kept(thing_kind kind, const char *member)
{
    size_t n;
    const field_row *fields = thing_fields(kind, &n);
    for (size_t i = 0; i < n; i++)
        if (strcmp(fields[i].member, member) == 0) return &fields[i];
    return NULL;
}

static void take_fact(any_rec *r, thing_kind kind, sqlite3_stmt *q)
{
    const char *member = (const char *)sqlite3_column_text(q, 3);
    const field_row *f = member ? field_kept(kind, member) : NULL;
    if (!f) return;
    void *at = (char *)r + f->offset;
    const char *word = (const char *)sqlite3_column_text(q, 8);
    switch (f->type) {
    case FIELD_VALUE: *(tufa_value *)at = sql_value(q, 4); break;
    case FIELD_CHOICE: *(int *)at = word ? choice_find(f->choices, word) : -1; break;
    case FIELD_REF: *(int64_t *)at = sqlite3_column_int64(q, 9); break;
    case FIELD_WORD: sql_text(q, 8, at, STORE_WORD); break;
    }
}

typedef tufa_status (*record_fn)(void *ctx, const any_rec *r);

/* Rows of one thing follow each other; each whole record goes to fn. */
static tufa_status run_records(store *s, thing_kind kind, int64_t only, record_fn fn, void *ctx, size_t *count)
{
    sqlite3_stmt *q = sql_begin(s, only ? SQL[kind].one : SQL[kind].all);
    if (!q) return sql_trouble(s, thing_word(kind));
    if (only) sqlite3_bind_int64(q, 1, only);
    any_rec r;
    int64_t current = 0;
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    *count = 0;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        int64_t id = sqlite3_column_int64(q, 0);
        if (current && id != current) st = fn(ctx, &r);
        if (id != current) {
            begin_record(&r, kind, q);
            (*count)++;
        }
        current = id;
        take_fact(&r, kind, q);
    }
    if (st.code == TUFA_OK && rc != SQLITE_DONE) st = sql_trouble(s, thing_word(kind));
    sql_done(s, q);
    if (st.code == TUFA_OK && current) st = fn(ctx, &r);
    return st;
}

static tufa_status get_record(store *s, thing_kind kind, int64_t id, record_fn fn, void *out)
{
    size_t n;
    if (id <= 0) return trouble(TUFA_MISSING, thing_word(kind), "there is none of this number");
    RETURN_IF(run_records(s, kind, id, fn, out, &n));
    return n ? OK : trouble(TUFA_MISSING, thing_word(kind), "there is none of this number");
}

/* Typed doors to the same room. */
#define RECORD_DOORS(name, KIND)                                                                                               \
    static tufa_status keep_##name(void *out, const any_rec *r)                                                                \
    {                                                                                                                          \
        *(name##_rec *)out = r->name;                                                                                          \
        return OK;                                                                                                             \
    }                                                                                                                          \
    tufa_status store_##name##_get(store *s, int64_t id, name##_rec *out) { return get_record(s, KIND, id, keep_##name, out); } \
    struct name##_call {                                                                                                       \
        store_##name##_fn fn;                                                                                                  \
        void *ctx;                                                                                                             \
    };                                                                                                                         \
    static tufa_status call_##name(void *call, const any_rec *r)                                                               \
    {                                                                                                                          \
        struct name##_call *c = call;                                                                                          \
        return c->fn(c->ctx, &r->name);                                                                                        \
    }                                                                                                                          \
    tufa_status store_##name##_each(store *s, store_##name##_fn fn, void *ctx)                                                 \
    {                                                                                                                          \
        size_t n;                                                                                                              \
        struct name##_call c = {fn, ctx};                                                                                      \
        return run_records(s, KIND, 0, call_##name, &c, &n);                                                                   \
    }
RECORD_DOORS(water, THING_WATER)
RECORD_DOORS(house, THING_HOUSE)
RECORD_DOORS(heater, THING_HEATER)
