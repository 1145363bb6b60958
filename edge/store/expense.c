/* What was paid, driven and worked beside visits. */
#include <string.h>

#include "edge/store/sql.h"

static const struct {
    const char *id, *names, *words;
} KINDS[EXPENSE_COUNT] = {
#define X(ID, id, names, words) {id, names, words},
#include "edge/store/expense_kinds.def"
#undef X
};

static const struct {
    const char *id, *names;
} MARKS[MARK_COUNT] = {
#define X(ID, id, names) {id, names},
#include "edge/store/expense_marks.def"
#undef X
};

int expense_kind_find(const char *word)
{
    for (int k = 0; word && k < EXPENSE_COUNT; k++)
        if (name_is_one_of(word, strlen(word), KINDS[k].names)) return k;
    return -1;
}

int expense_mark_find(const char *word)
{
    for (int m = 0; word && m < MARK_COUNT; m++)
        if (name_is_one_of(word, strlen(word), MARKS[m].names)) return m;
    return -1;
}

const char *expense_kind_id(expense_kind k) { return KINDS[k].id; }
const char *expense_kind_words(expense_kind k) { return KINDS[k].words; }
const char *expense_mark_id(expense_mark m) { return MARKS[m].id; }

expense_mark work_mark(work_kind w)
{
    switch (w) {
    case WORK_LOOK:
    case WORK_FLUSH:
    case WORK_CLEAN:
    case WORK_SOAK:
    case WORK_ANODE_LOOK:
    case WORK_SETPOINT: return MARK_UPKEEP;
    case WORK_NEW_HEATER: return MARK_REPLACED;
    default: return MARK_REPAIRED;
    }
}

tufa_status store_expense_add(store *s, const expense_rec *r, int64_t replaces, int64_t *id)
{
    sqlite3_stmt *q = sql_begin(s, "INSERT INTO expense (house_id, heater_id, day, kind, mark, what, who, cents, metres, seconds, receipt, note, source, "
                                   "replaces) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)");
    if (!q) return sql_trouble(s, "expense");
    sql_bind_id(q, 1, r->house);
    sql_bind_id(q, 2, r->heater);
    sqlite3_bind_int64(q, 3, r->day);
    sqlite3_bind_text(q, 4, KINDS[r->kind].id, -1, SQLITE_STATIC);
    sqlite3_bind_text(q, 5, MARKS[r->mark].id, -1, SQLITE_STATIC);
    sql_bind_text(q, 6, r->what);
    sql_bind_text(q, 7, r->who);
    if (r->has_cents) sqlite3_bind_int64(q, 8, r->cents);
    else sqlite3_bind_null(q, 8);
    sql_bind_known(q, 9, r->has_road, r->road_m);
    sql_bind_known(q, 10, r->has_time, r->spent_s);
    sql_bind_text(q, 11, r->receipt);
    sql_bind_text(q, 12, r->note);
    sql_bind_text(q, 13, r->source);
    sql_bind_id(q, 14, replaces);
    return sql_run(s, q, "expense", id);
}

#define SELECTED \
    "SELECT id, house_id, heater_id, day, kind, mark, what, who, cents, metres, seconds, receipt, note, source, " \
    "EXISTS (SELECT 1 FROM expense r WHERE r.replaces = e.id) FROM expense e "

static expense_rec row(sqlite3_stmt *q)
{
    expense_rec r = {.id = sqlite3_column_int64(q, 0), .house = sqlite3_column_int64(q, 1), .heater = sqlite3_column_int64(q, 2),
                     .day = sqlite3_column_int64(q, 3), .has_cents = sqlite3_column_type(q, 8) != SQLITE_NULL, .cents = sqlite3_column_int64(q, 8),
                     .has_road = sqlite3_column_type(q, 9) != SQLITE_NULL, .road_m = sqlite3_column_double(q, 9),
                     .has_time = sqlite3_column_type(q, 10) != SQLITE_NULL, .spent_s = sqlite3_column_double(q, 10)};
    int kind = expense_kind_find((const char *)sqlite3_column_text(q, 4)), mark = expense_mark_find((const char *)sqlite3_column_text(q, 5));
    r.kind = kind < 0 ? EXPENSE_OTHER : (expense_kind)kind;
    r.mark = mark < 0 ? MARK_REPAIRED : (expense_mark)mark;
    sql_text(q, 6, r.what, sizeof r.what);
    sql_text(q, 7, r.who, sizeof r.who);
    sql_text(q, 11, r.receipt, sizeof r.receipt);
    sql_text(q, 12, r.note, sizeof r.note);
    sql_text(q, 13, r.source, sizeof r.source);
    return r;
}

tufa_status store_expense_each(store *s, int64_t from, int64_t to, store_expense_fn fn, void *ctx)
{
    sqlite3_stmt *q = sql_begin(s, SELECTED "WHERE day >= ?1 AND day <= ?2 AND NOT EXISTS (SELECT 1 FROM expense r WHERE r.replaces = e.id) "
                                            "ORDER BY house_id, day, id");
    if (!q) return sql_trouble(s, "expense");
    sqlite3_bind_int64(q, 1, from);
    sqlite3_bind_int64(q, 2, to);
    tufa_status st = OK;
    int rc = SQLITE_DONE;
    while (st.code == TUFA_OK && (rc = sqlite3_step(q)) == SQLITE_ROW) {
        expense_rec r = row(q);
        st = fn(ctx, &r);
    }
    return sql_rows_end(s, q, "expense", rc, st);
}

tufa_status store_expense_get(store *s, int64_t id, expense_rec *out, bool *replaced)
{
    sqlite3_stmt *q = sql_begin(s, SELECTED "WHERE id = ?1");
    if (!q) return sql_trouble(s, "expense");
    sqlite3_bind_int64(q, 1, id);
    int rc = sqlite3_step(q);
    tufa_status st = rc == SQLITE_ROW ? OK : rc == SQLITE_DONE ? (tufa_status){.code = TUFA_MISSING, .field = "expense", .why = "there is no such row"} : sql_trouble(s, "expense");
    if (rc == SQLITE_ROW) {
        *out = row(q);
        *replaced = sqlite3_column_int(q, 14) != 0;
    }
    sql_done(s, q);
    return st;
}
