/* What was acknowledged stays: under kill -9, under a torn log, under a full disk; and every old schema opens. */
#include "edge/store/store.h"
#include "tests/check.h"

#include <signal.h>
#include <sqlite3.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "tests/folder.h"
#include "edge/say/text.h"
#include "edge/store/embedded.h"

enum { ROWS_AT_ONCE = 3 };

static bool add_batch(store *s, int64_t n)
{
    if (store_begin(s).code != TUFA_OK) return false;
    for (int i = 0; i < ROWS_AT_ONCE; i++) {
        price_rec p = {.item = "gas_usd_therm", .value = {1.0 + i, 1.0 + i, 1.0 + i, TUFA_BASIS_GIVEN}, .day = n, .source = "test of what lasts, with some length to it"};
        if (store_price_add(s, &p).code != TUFA_OK) {
            store_rollback(s);
            return false;
        }
    }
    return store_commit(s).code == TUFA_OK;
}

/* Writes batches for ever, telling each one that was committed. */
static void write_on(int64_t first, int tell)
{
    store *s = NULL;
    if (store_open(path, STORE_WRITE, &s).code != TUFA_OK) _exit(1);
    for (int64_t n = first;; n++)
        if (!add_batch(s, n) || write(tell, &n, sizeof n) != sizeof n) _exit(2);
}

typedef struct tally {
    int64_t count[20000], most;
    bool odd;
} tally;

static tufa_status count_price(void *ctx, const price_rec *r)
{
    tally *t = ctx;
    if (r->day < 0 || r->day >= 20000) t->odd = true;
    else t->count[r->day]++;
    if (r->day > t->most) t->most = r->day;
    return (tufa_status){0};
}

/* Every batch is there whole or not at all; answers the last one. */
static int64_t last_whole_batch(const char *where, int64_t id)
{
    static tally t;
    memset(&t, 0, sizeof t);
    store *s = NULL;
    text report = {0};
    int wrong = 0;
    CHECK_OK(store_open(where, STORE_WRITE, &s), id);
    CHECK_OK(store_check(s, &report, &wrong), id);
    if (wrong) fail_msg("case %lld: %s", (long long)id, text_str(&report));
    text_free(&report);
    CHECK_OK(store_price_each(s, true, count_price, &t), id);
    store_close(s);
    CHECK_TRUE(!t.odd, id);
    for (int64_t n = 1; n <= t.most; n++) CHECK_TRUE(t.count[n] == ROWS_AT_ONCE, n);
    return t.most;
}

static void copy_file(const char *from, const char *to, long most)
{
    FILE *in = fopen(from, "rb"), *out = fopen(to, "wb");
    if (!out) fail_msg("cannot write %s", to);
    int c;
    for (long n = 0; in && n < most && (c = getc(in)) != EOF; n++) putc(c, out);
    if (in) fclose(in);
    fclose(out);
}

static int64_t acknowledged_until_killed(int64_t first, int64_t batches)
{
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    pid_t child = fork();
    if (child == 0) {
        close(ends[0]);
        write_on(first, ends[1]);
    }
    close(ends[1]);
    int64_t told = first - 1, n;
    while (told < first + batches && read(ends[0], &n, sizeof n) == sizeof n) told = n;
    kill(child, SIGKILL);
    while (read(ends[0], &n, sizeof n) == sizeof n) told = n; /* told before it died */
    close(ends[0]);
    waitpid(child, NULL, 0);
    return told;
}

static void no_acknowledged_record_is_lost_under_kill_9(void **state)
{
    (void)state;
    store *s = NULL;
    CHECK_OK(store_create(path, &s), 0);
    store_close(s);
    int64_t last = 0;
    for (int round = 0; round < 12; round++) {
        int64_t told = acknowledged_until_killed(last + 1, 1 + (int64_t)(40.0 * tufa_uniform(11, 1, (uint64_t)round)));
        CHECK_TRUE(told > last, round);
        last = last_whole_batch(path, round);
        CHECK_TRUE(last >= told && last <= told + 1, round); /* one more may have been committed and not yet told */
    }
}

static void a_log_cut_anywhere_leaves_whole_batches(void **state)
{
    (void)state;
    char log[160], torn[160], torn_log[168];
    snprintf(log, sizeof log, "%s-wal", path);
    snprintf(torn, sizeof torn, "%s/torn.book", folder);
    snprintf(torn_log, sizeof torn_log, "%s-wal", torn);
    store *s = NULL;
    CHECK_OK(store_create(path, &s), 0);
    store_close(s);
    acknowledged_until_killed(1, 30);
    struct stat st;
    assert_int_equal(stat(log, &st), 0);
    CHECK_TRUE(st.st_size > 10000, 0);
    char saved[160], saved_log[160];
    snprintf(saved, sizeof saved, "%s/saved", folder);
    snprintf(saved_log, sizeof saved_log, "%s/saved-wal", folder);
    copy_file(path, saved, st.st_size + 1000000);
    copy_file(log, saved_log, st.st_size);
    int64_t least = INT64_MAX, most = 0;
    for (uint64_t i = 0; i < 60; i++) {
        copy_file(saved, torn, st.st_size + 1000000);
        copy_file(saved_log, torn_log, (long)((double)st.st_size * tufa_uniform(12, 1, i)));
        int64_t last = last_whole_batch(torn, (int64_t)i);
        if (last < least) least = last;
        if (last > most) most = last;
    }
    CHECK_TRUE(least < most, 0); /* the cuts did cut */
}

static void a_disk_that_fills_up_leaves_the_book_as_it_was(void **state)
{
    (void)state;
    store *s = NULL;
    CHECK_OK(store_create(path, &s), 0);
    for (int64_t n = 1; n <= 20; n++) CHECK_TRUE(add_batch(s, n), n);
    signal(SIGXFSZ, SIG_IGN);
    struct rlimit was, small;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &was), 0);
    small = was;
    small.rlim_cur = 400000;
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    int64_t n = 21;
    while (n < 5000 && add_batch(s, n)) n++;
    bool failed = n < 5000;
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &was), 0);
    CHECK_TRUE(failed, 0);
    store_close(s);
    CHECK_TRUE(last_whole_batch(path, 1) == n - 1, n);
    CHECK_OK(store_open(path, STORE_WRITE, &s), 2);
    CHECK_TRUE(add_batch(s, n), 3); /* and goes on when there is room */
    store_close(s);
}

/* A book as version v made it: the schema files up to v, and one heater. */
static void old_book(int v)
{
    sqlite3 *db = NULL;
    char pragma[100];
    assert_int_equal(sqlite3_open(path, &db), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "PRAGMA journal_mode = WAL", NULL, NULL, NULL), SQLITE_OK);
    for (size_t i = 0; i < EMBEDDED_COUNT; i++)
        if (atoi(EMBEDDED[i].name) <= v && sqlite3_exec(db, EMBEDDED[i].text, NULL, NULL, NULL) != SQLITE_OK)
            fail_msg("%s: %s", EMBEDDED[i].name, sqlite3_errmsg(db));
    snprintf(pragma, sizeof pragma, "PRAGMA application_id = %d; PRAGMA user_version = %d;", 0x74756661, v);
    assert_int_equal(sqlite3_exec(db, pragma, NULL, NULL, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_exec(db, "INSERT INTO house (label, label_key, day, source) VALUES ('A 1', 'a 1', 1, 't');"
                                      "INSERT INTO heater (house_id, label, label_key, day, source) VALUES (1, 'A 1', 'a 1', 1, 't');"
                                      "INSERT INTO heater_fact (heater_id, field, mid, lo, hi, basis, day, source) VALUES (1, 'volume_m3', 0.19, 0.19, 0.19, 'given', 1, 't')",
                                  NULL, NULL, NULL),
                     SQLITE_OK);
    sqlite3_close(db);
}

static void every_old_schema_opens_and_is_brought_up_to_date(void **state)
{
    (void)state;
    for (int v = 1; v <= store_version_newest(); v++)
        for (int mode = STORE_READ; mode <= STORE_WRITE; mode++) {
            store *s = NULL;
            heater_rec h;
            text report = {0};
            int wrong = 0;
            unlink(path);
            old_book(v);
            CHECK_OK(store_open(path, (store_mode)mode, &s), v);
            CHECK_OK(store_heater_get(s, 1, &h), v);
            CHECK_NEAR(h.volume_m3.mid, 0.19, 0.0, v);
            CHECK_OK(store_check(s, &report, &wrong), v);
            CHECK_TRUE(wrong == 0, v);
            text_free(&report);
            store_close(s);
        }
}

static void schema_files_are_numbered_from_one_without_gaps(void **state)
{
    (void)state;
    for (size_t i = 0; i < EMBEDDED_COUNT; i++) CHECK_TRUE(atoi(EMBEDDED[i].name) == (int)i + 1, i);
    CHECK_TRUE(store_version_newest() == (int)EMBEDDED_COUNT, 0);
}

#define EACH(f) cmocka_unit_test_setup_teardown(f, make_folder, remove_folder)
RUN(EACH(no_acknowledged_record_is_lost_under_kill_9), EACH(a_log_cut_anywhere_leaves_whole_batches),
    EACH(a_disk_that_fills_up_leaves_the_book_as_it_was), EACH(every_old_schema_opens_and_is_brought_up_to_date),
    cmocka_unit_test(schema_files_are_numbered_from_one_without_gaps))
