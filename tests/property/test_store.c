/* The book keeps what it was told, refuses what is no book, and stays as it was when something fails. */
#include "edge/desk/learned.h"
#include "edge/store/store.h"
#include "tests/check.h"

#include <sqlite3.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "tests/folder.h"
#include "edge/say/day.h"

static store *fresh(void)
{
    store *s = NULL;
    CHECK_OK(store_create(path, &s), 0);
    return s;
}

static store *reopen(store *s, store_mode mode)
{
    store_close(s);
    s = NULL;
    CHECK_OK(store_open(path, mode, &s), 0);
    return s;
}

static int64_t add_heater(store *s, const char *label)
{
    int64_t house = 0, heater = 0;
    CHECK_OK(store_thing_add(s, THING_HOUSE, label, 0, 20000, "test", &house), 0);
    CHECK_OK(store_thing_add(s, THING_HEATER, label, house, 20000, "test", &heater), 0);
    return heater;
}

static void say(store *s, int64_t heater, const char *member, double mid, double lo, double hi, int64_t day)
{
    fact_rec f = {.thing = heater, .field = thing_field(THING_HEATER, member), .value = {mid, lo, hi, TUFA_BASIS_RANGE}, .day = day, .source = "test"};
    CHECK_TRUE(f.field != NULL, 0);
    CHECK_OK(store_fact_add(s, THING_HEATER, &f), 0);
}

/* A plan points to it for seconds, while another page writes. Read after the last change: a sanitizer tells what was let go too soon. */
static void what_was_learned_stays_while_it_is_held(void **state)
{
    (void)state;
    enum { CHANGES = 40, TODAY = 20600 };
    store *s = fresh();
    int64_t id = add_heater(s, "Linden Row 14");
    const learned_group *begun = NULL, *now = NULL;
    CHECK_OK(learned_hold(s), 0);
    CHECK_OK(learned_group_of(s, TODAY, 0, TUFA_ELECTRIC, &begun), 1);
    tufa_value usual = begun->usual;
    for (int i = 0; i < CHANGES; i++) {
        say(s, id, "volume_m3", 0.19, 0.18, 0.20, 20000 + i);
        CHECK_OK(learned_group_of(s, TODAY, 0, TUFA_ELECTRIC, &now), i);
        CHECK_TRUE(now != begun, i);
    }
    CHECK_TRUE(begun->fuel == TUFA_ELECTRIC && begun->usual.mid == usual.mid && begun->usual.mid > 0.0, 2);
    learned_release(s);
    CHECK_OK(learned_group_of(s, TODAY, 0, TUFA_ELECTRIC, &begun), 3);
    CHECK_TRUE(now == begun, 3); /* nothing has changed since */
    store_close(s);
}

static tufa_status count_fact(void *ctx, const fact_rec *f)
{
    (void)f;
    ++*(int *)ctx;
    return (tufa_status){0};
}

static void a_correction_counts_and_what_was_said_before_stays(void **state)
{
    (void)state;
    store *s = fresh();
    int64_t id = add_heater(s, "Linden Row 14");
    say(s, id, "volume_m3", 0.15, 0.14, 0.16, 20000);
    say(s, id, "volume_m3", 0.19, 0.18, 0.20, 20010);
    s = reopen(s, STORE_READ);
    heater_rec h;
    CHECK_OK(store_heater_get(s, id, &h), 0);
    CHECK_NEAR(h.volume_m3.mid, 0.19, 0.0, 0);
    CHECK_TRUE(h.volume_m3.basis == TUFA_BASIS_RANGE && h.setpoint_K.basis == TUFA_BASIS_NONE && h.fuel == -1 && h.water == 0, 1);
    assert_string_equal(h.label, "Linden Row 14");
    int n = 0;
    CHECK_OK(store_fact_each(s, THING_HEATER, id, thing_field(THING_HEATER, "gallons"), count_fact, &n), 2);
    CHECK_TRUE(n == 2, 2);
    store_close(s);
}

/* Whatever the order of entry. The views that other tools read say the same as the records. */
static void what_holds_is_of_the_latest_day_and_of_one_day_the_last_entered(void **state)
{
    (void)state;
    store *s = fresh();
    int64_t id = add_heater(s, "A 1");
    const field_row *f = thing_field(THING_HEATER, "volume_m3");
    fact_rec got;
    heater_rec h;
    say(s, id, "volume_m3", 0.19, 0.18, 0.20, 20010);
    say(s, id, "volume_m3", 0.15, 0.14, 0.16, 20000); /* an older reading, written down later */
    CHECK_OK(store_fact_now(s, THING_HEATER, id, f, &got), 0);
    CHECK_NEAR(got.value.mid, 0.19, 0.0, 0);
    CHECK_OK(store_heater_get(s, id, &h), 1);
    CHECK_NEAR(h.volume_m3.mid, 0.19, 0.0, 1);
    CHECK_OK(store_fact_on(s, THING_HEATER, id, f, 20009, &got), 2);
    CHECK_NEAR(got.value.mid, 0.15, 0.0, 2);
    CHECK_CODE(store_fact_on(s, THING_HEATER, id, f, 19999, &got), TUFA_MISSING, 3);
    say(s, id, "volume_m3", 0.17, 0.16, 0.18, 20010); /* of the same day: a correction */
    CHECK_OK(store_heater_get(s, id, &h), 4);
    CHECK_NEAR(h.volume_m3.mid, 0.17, 0.0, 4);
    sqlite3 *db = NULL;
    sqlite3_stmt *q = NULL;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_prepare_v2(db, "SELECT mid FROM heater_now WHERE field = 'volume_m3'", -1, &q, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_step(q), SQLITE_ROW);
    CHECK_NEAR(sqlite3_column_double(q, 0), 0.17, 0.0, 5);
    assert_int_equal(sqlite3_step(q), SQLITE_DONE);
    sqlite3_finalize(q);
    sqlite3_close(db);
    store_close(s);
}

/* A clock that was wrong, or a slip of the pen: such a fact would outlast all others. */
static void a_fact_of_a_wrong_day_is_taken_back_by_one_that_replaces_it(void **state)
{
    (void)state;
    store *s = fresh();
    int64_t id = add_heater(s, "A 1");
    const field_row *f = thing_field(THING_HEATER, "volume_m3");
    fact_rec wrong, got;
    heater_rec h;
    say(s, id, "volume_m3", 0.15, 0.14, 0.16, 20000);
    say(s, id, "volume_m3", 0.30, 0.29, 0.31, 30000);
    CHECK_OK(store_fact_now(s, THING_HEATER, id, f, &wrong), 0);
    fact_rec right = {.thing = id, .field = f, .value = {0.19, 0.18, 0.20, TUFA_BASIS_RANGE}, .day = 20010, .source = "test", .replaces = wrong.id};
    CHECK_OK(store_fact_add(s, THING_HEATER, &right), 1);
    CHECK_CODE(store_fact_add(s, THING_HEATER, &right), TUFA_STORE, 2); /* replaced once */
    CHECK_OK(store_heater_get(s, id, &h), 3);
    CHECK_NEAR(h.volume_m3.mid, 0.19, 0.0, 3);
    say(s, id, "volume_m3", 0.20, 0.19, 0.21, 20020);
    CHECK_OK(store_fact_now(s, THING_HEATER, id, f, &got), 4);
    CHECK_NEAR(got.value.mid, 0.20, 0.0, 4);
    int n = 0;
    CHECK_OK(store_fact_each(s, THING_HEATER, id, f, count_fact, &n), 5);
    CHECK_TRUE(n == 4, 5); /* all of them stay in the book */
    store_close(s);
}

static void so_it_is_with_prices_settings_and_sheets(void **state)
{
    (void)state;
    store *s = fresh();
    int64_t water = 0, id = 0;
    price_rec p = {.day = 200, .item = "electricity_usd_kwh", .value = {0.16, 0.16, 0.16, TUFA_BASIS_GIVEN}}, price;
    setting_rec t = {.day = 200, .name = "units", .value = "metric"}, setting;
    sheet_rec sheet = {.day = 200, .n = 1, .cells = {{"ph", "7.9"}}}, got;
    CHECK_OK(store_thing_add(s, THING_WATER, "North main", 0, 20000, "test", &water), 0);
    sheet.water = water;
    CHECK_OK(store_price_add(s, &p), 0);
    CHECK_OK(store_setting_add(s, &t), 0);
    CHECK_OK(store_sheet_add(s, &sheet, &id), 0);
    p.day = t.day = sheet.day = 100;
    p.value.mid = p.value.lo = p.value.hi = 0.12;
    snprintf(t.value, sizeof t.value, "us");
    snprintf(sheet.cells[0].cell, STORE_CELL, "7.1");
    CHECK_OK(store_price_add(s, &p), 1);
    CHECK_OK(store_setting_add(s, &t), 1);
    CHECK_OK(store_sheet_add(s, &sheet, &id), 1);
    for (int now = 0; now < 2; now++) {
        CHECK_OK(now ? store_price_now(s, p.item, &price) : store_price_on(s, p.item, 199, &price), now);
        CHECK_OK(now ? store_setting_now(s, t.name, &setting) : store_setting_on(s, t.name, 199, &setting), now);
        CHECK_OK(now ? store_sheet_now(s, water, &got) : store_sheet_on(s, water, 199, &got), now);
        CHECK_NEAR(price.value.mid, now ? 0.16 : 0.12, 0.0, now);
        assert_string_equal(setting.value, now ? "metric" : "us");
        assert_string_equal(got.cells[0].cell, now ? "7.9" : "7.1");
    }
    store_close(s);
}

static void facts_cannot_be_changed_or_removed_by_any_statement(void **state)
{
    (void)state;
    store *s = fresh();
    int64_t id = add_heater(s, "A 1");
    say(s, id, "volume_m3", 0.15, 0.14, 0.16, 20000);
    store_close(s);
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "UPDATE heater_fact SET mid = 1", NULL, NULL, NULL), SQLITE_CONSTRAINT);
    assert_int_equal(sqlite3_exec(db, "DELETE FROM heater_fact", NULL, NULL, NULL), SQLITE_CONSTRAINT);
    assert_int_equal(sqlite3_exec(db, "INSERT INTO heater_fact (heater_id, field, mid, lo, hi, basis, day, source) VALUES (1, 'volume_m3', 'big', 1, 2, 'given', 1, '')", NULL, NULL, NULL), SQLITE_CONSTRAINT);
    sqlite3_close(db);
}

static void things_are_found_by_label_and_number_whatever_the_case(void **state)
{
    (void)state;
    store *s = fresh();
    int64_t a = add_heater(s, "Linden Row 14"), b = add_heater(s, "Linden Row 9"), got = 0;
    CHECK_OK(store_thing_find(s, THING_HEATER, "linden  row 14 ", &got), 0);
    CHECK_TRUE(got == a, 0);
    CHECK_OK(store_thing_find(s, THING_HEATER, "2", &got), 1);
    CHECK_TRUE(got == b, 1);
    CHECK_OK(store_thing_find(s, THING_HEATER, "#1", &got), 2);
    CHECK_TRUE(got == a, 2);
    CHECK_CODE(store_thing_find(s, THING_HEATER, "Linden", &got), TUFA_MISSING, 3);
    CHECK_CODE(store_thing_find(s, THING_HEATER, "3", &got), TUFA_MISSING, 4);
    CHECK_CODE(store_thing_find(s, THING_HEATER, "'; DROP TABLE heater; --", &got), TUFA_MISSING, 5);
    CHECK_CODE(store_thing_add(s, THING_HEATER, "LINDEN ROW 9", 1, 1, "", &got), TUFA_CONFLICT, 6);
    text t = {0};
    int found = 0;
    CHECK_OK(store_thing_like(s, THING_HEATER, "row", 10, &t, &found), 9);
    CHECK_TRUE(found == 2, 9);
    text_free(&t);
    CHECK_OK(store_thing_rename(s, THING_HEATER, a, "Linden Row 14 down", 20200, "test"), 10);
    CHECK_OK(store_thing_find(s, THING_HEATER, "Linden Row 14 down", &got), 11);
    CHECK_TRUE(got == a, 11);
    store_close(s);
}

static void a_household_of_the_heater_comes_before_one_of_the_house(void **state)
{
    (void)state;
    store *s = fresh();
    int64_t id = add_heater(s, "A 1"), row = 0, first = 0;
    tufa_value two = {2, 2, 2, TUFA_BASIS_GIVEN}, four = {4, 3, 5, TUFA_BASIS_ABOUT}, six = {6, 6, 6, TUFA_BASIS_GIVEN};
    CHECK_OK(store_household_add(s, &(household_rec){.house = 1, .from_day = 100, .people = two}, 0, &first), 0);
    CHECK_OK(store_household_add(s, &(household_rec){.house = 1, .from_day = 200, .people = four}, 0, &row), 1);
    household_rec h;
    CHECK_CODE(store_household_on(s, 1, id, 99, &h), TUFA_MISSING, 2);
    CHECK_OK(store_household_on(s, 1, id, 150, &h), 3);
    CHECK_NEAR(h.people.mid, 2.0, 0.0, 3);
    CHECK_OK(store_household_on(s, 1, id, 250, &h), 4);
    CHECK_NEAR(h.people.hi, 5.0, 0.0, 4);
    CHECK_OK(store_household_add(s, &(household_rec){.house = 1, .heater = id, .from_day = 120, .people = six}, 0, &row), 5);
    CHECK_OK(store_household_on(s, 1, id, 250, &h), 6);
    CHECK_NEAR(h.people.mid, 6.0, 0.0, 6);
    CHECK_OK(store_household_add(s, &(household_rec){.house = 1, .from_day = 100, .people = six}, first, &row), 7);
    CHECK_OK(store_household_on(s, 1, 999, 150, &h), 8);
    CHECK_NEAR(h.people.mid, 6.0, 0.0, 8);
    CHECK_CODE(store_household_add(s, &(household_rec){.house = 1, .from_day = 100, .people = two}, first, &row), TUFA_STORE, 9); /* replaced once */
    CHECK_CODE(store_household_add(s, &(household_rec){.house = 77, .from_day = 100}, 0, &row), TUFA_STORE, 10); /* no such house */
    store_close(s);
}

static void what_is_rolled_back_was_never_there(void **state)
{
    (void)state;
    store *s = fresh();
    add_heater(s, "A 1");
    CHECK_OK(store_begin(s), 0);
    add_heater(s, "A 2");
    store_rollback(s);
    size_t n = 0;
    CHECK_OK(store_thing_count(s, THING_HEATER, &n), 1);
    CHECK_TRUE(n == 1, 1);
    store_close(s);
}

static tufa_status keep_last_visit(void *ctx, const visit_rec *r)
{
    *(visit_rec *)ctx = *r;
    return (tufa_status){0};
}
static tufa_status keep_last_finding(void *ctx, const finding_rec *r)
{
    *(finding_rec *)ctx = *r;
    return (tufa_status){0};
}

static void what_happened_is_kept_with_day_and_source(void **state)
{
    (void)state;
    store *s = fresh();
    int64_t id = add_heater(s, "A 1"), first = 0, second = 0;
    visit_rec v = {.heater = id, .day = 20400, .work = WORK_FLUSH, .spent_s = {3600, 3000, 4200, TUFA_BASIS_ABOUT}, .note = "milky", .source = "own"};
    CHECK_OK(store_visit_add(s, &v, 0, &first), 0);
    v.work = WORK_CLEAN;
    CHECK_OK(store_visit_add(s, &v, first, &second), 1);
    visit_rec got = {0};
    CHECK_OK(store_visit_each(s, id, keep_last_visit, &got), 2);
    CHECK_TRUE(got.id == second && got.work == WORK_CLEAN && got.day == 20400 && got.cost_cents.basis == TUFA_BASIS_NONE, 2);
    assert_string_equal(got.source, "own");
    finding_rec f = {.heater = id, .day = 20400, .kind = FINDING_SLURRY, .value = {0.01, 0.008, 0.012, TUFA_BASIS_ABOUT}, .source = "pail"}, back = {0};
    CHECK_OK(store_finding_add(s, &f, 0, &first), 3);
    CHECK_OK(store_finding_each(s, 0, keep_last_finding, &back), 4);
    CHECK_TRUE(back.kind == FINDING_SLURRY && back.value.lo == 0.008 && back.value.basis == TUFA_BASIS_ABOUT, 4);
    setting_rec metric = {.name = "units", .value = "metric", .day = 1, .source = "test"};
    unit_system u;
    CHECK_OK(store_units(s, &u), 5);
    CHECK_TRUE(u == UNITS_US, 5);
    CHECK_OK(store_setting_add(s, &metric), 6);
    CHECK_OK(store_units(s, &u), 7);
    CHECK_TRUE(u == UNITS_METRIC, 7);
    price_rec p = {.item = "gas_usd_therm", .value = {1.2, 1.2, 1.2, TUFA_BASIS_GIVEN}, .day = 20400, .source = "bill"}, now;
    CHECK_CODE(store_price_now(s, "gas_usd_therm", &now), TUFA_MISSING, 8);
    CHECK_OK(store_price_add(s, &p), 9);
    p.value.mid = p.value.lo = p.value.hi = 1.5;
    CHECK_OK(store_price_add(s, &p), 10);
    CHECK_OK(store_price_now(s, "gas_usd_therm", &now), 11);
    CHECK_NEAR(now.value.mid, 1.5, 0.0, 11);
    int64_t water = 0;
    CHECK_OK(store_thing_add(s, THING_WATER, "North main", 0, 20000, "test", &water), 12);
    sheet_rec sheet = {.water = water, .day = 20000, .source = "lab", .n = 2, .cells = {{"ph", "7.9"}, {"ca_mg_l", "79"}}}, read;
    CHECK_OK(store_sheet_add(s, &sheet, &first), 13);
    CHECK_OK(store_sheet_now(s, water, &read), 14);
    CHECK_TRUE(read.n == 2 && strcmp(read.cells[1].cell, "79") == 0, 14);
    store_close(s);
}

static void write_file(const char *where, const void *bytes, size_t n)
{
    FILE *f = fopen(where, "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(bytes, 1, n, f), n);
    fclose(f);
}

static void what_is_no_book_is_refused_and_left_alone(void **state)
{
    (void)state;
    store *s = NULL;
    CHECK_CODE(store_open(path, STORE_READ, &s), TUFA_MISSING, 0);
    CHECK_CODE(store_open(folder, STORE_WRITE, &s), TUFA_STORE, 1);
    write_file(path, "", 0);
    CHECK_CODE(store_open(path, STORE_WRITE, &s), TUFA_STORE, 2);
    const char words[] = "this is a letter to my tenant, long enough to be taken for a header of a hundred bytes if nobody looks closely at it";
    write_file(path, words, sizeof words);
    CHECK_CODE(store_open(path, STORE_WRITE, &s), TUFA_STORE, 3);
    CHECK_CODE(store_create(path, &s), TUFA_REFUSED, 4);
    struct stat st;
    CHECK_TRUE(stat(path, &st) == 0 && st.st_size == sizeof words, 5);
    unlink(path);
    char deep[160];
    snprintf(deep, sizeof deep, "%s/no/such/place.book", folder);
    CHECK_CODE(store_create(deep, &s), TUFA_STORE, 6);
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "CREATE TABLE t (a)", NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
    CHECK_CODE(store_open(path, STORE_WRITE, &s), TUFA_STORE, 7);
}

static void a_book_of_a_newer_version_is_refused(void **state)
{
    (void)state;
    store_close(fresh());
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "PRAGMA user_version = 999", NULL, NULL, NULL), SQLITE_OK);
    sqlite3_close(db);
    store *s = NULL;
    CHECK_CODE(store_open(path, STORE_WRITE, &s), TUFA_STORE, 0);
    CHECK_CODE(store_open(path, STORE_READ, &s), TUFA_STORE, 1);
}

static void a_locked_book_says_so_and_stays(void **state)
{
    (void)state;
    store *s = fresh();
    sqlite3 *db = NULL;
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
    tufa_status st = store_begin(s);
    CHECK_TRUE(st.code == TUFA_STORE && strstr(st.why, "in use") != NULL, 0);
    sqlite3_exec(db, "ROLLBACK", NULL, NULL, NULL);
    sqlite3_close(db);
    CHECK_OK(store_begin(s), 1);
    CHECK_OK(store_commit(s), 2);
    store_close(s);
}

static void a_backup_opens_by_itself_and_replaces_nothing(void **state)
{
    (void)state;
    char copy[160];
    snprintf(copy, sizeof copy, "%s/copy.book", folder);
    store *s = fresh(), *t = NULL;
    add_heater(s, "A 1");
    CHECK_OK(store_begin(s), 0); /* what is not committed is not copied */
    store_rollback(s);
    CHECK_OK(store_backup(s, copy), 1);
    CHECK_CODE(store_backup(s, copy), TUFA_REFUSED, 2);
    add_heater(s, "A 2");
    store_close(s);
    CHECK_OK(store_open(copy, STORE_READ, &t), 3);
    size_t n = 0;
    CHECK_OK(store_thing_count(t, THING_HEATER, &n), 4);
    CHECK_TRUE(n == 1, 4);
    text report = {0};
    int wrong = 0;
    CHECK_OK(store_check(t, &report, &wrong), 5);
    CHECK_TRUE(wrong == 0, 5);
    text_free(&report);
    store_close(t);
}

static void damage_is_found_by_the_check(void **state)
{
    (void)state;
    store *s = fresh();
    for (int i = 0; i < 200; i++) {
        char label[32];
        snprintf(label, sizeof label, "House %d", i);
        say(s, add_heater(s, label), "volume_m3", 0.15, 0.14, 0.16, 20000);
    }
    store_close(s);
    struct stat st;
    CHECK_TRUE(stat(path, &st) == 0 && st.st_size > 40000, 0);
    FILE *f = fopen(path, "r+b");
    assert_non_null(f);
    int hurt = 0;
    for (long at = 8192; at + 4096 < st.st_size; at += 4096) { /* the first bytes of every other page */
        if ((at / 4096) % 2) continue;
        fseek(f, at, SEEK_SET);
        for (int i = 0; i < 12; i++) fputc(0xA5, f);
        hurt++;
    }
    fclose(f);
    CHECK_TRUE(hurt > 2, 0);
    text report = {0};
    int wrong = 0;
    s = NULL;
    tufa_status opened = store_open(path, STORE_READ, &s);
    if (opened.code == TUFA_OK) {
        tufa_status checked = store_check(s, &report, &wrong);
        CHECK_TRUE(checked.code != TUFA_OK || wrong > 0, 1);
    }
    store_close(s);
    text_free(&report);
}

#define EACH(f) cmocka_unit_test_setup_teardown(f, make_folder, remove_folder)
RUN(EACH(what_was_learned_stays_while_it_is_held), EACH(a_correction_counts_and_what_was_said_before_stays), EACH(what_holds_is_of_the_latest_day_and_of_one_day_the_last_entered),
    EACH(a_fact_of_a_wrong_day_is_taken_back_by_one_that_replaces_it), EACH(so_it_is_with_prices_settings_and_sheets), EACH(facts_cannot_be_changed_or_removed_by_any_statement),
    EACH(things_are_found_by_label_and_number_whatever_the_case), EACH(a_household_of_the_heater_comes_before_one_of_the_house),
    EACH(what_is_rolled_back_was_never_there), EACH(what_happened_is_kept_with_day_and_source),
    EACH(what_is_no_book_is_refused_and_left_alone), EACH(a_book_of_a_newer_version_is_refused), EACH(a_locked_book_says_so_and_stays),
    EACH(a_backup_opens_by_itself_and_replaces_nothing), EACH(damage_is_found_by_the_check))
