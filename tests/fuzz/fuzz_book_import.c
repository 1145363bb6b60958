/* Any bytes as a table of any kind: taken or refused, and the book stays whole. The first byte chooses the kind. */
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "edge/desk/import_job.h"

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size);

static desk the_desk;
static char path[64];

static void tidy(void)
{
    desk_close(&the_desk);
    for (size_t i = 0; i < 3; i++) {
        static const char *const SUFFIX[] = {"", "-wal", "-shm"};
        char name[80];
        snprintf(name, sizeof name, "%s%s", path, SUFFIX[i]);
        unlink(name);
    }
}

static void take(const char *s, size_t size, const kind_row *k)
{
    csv t;
    trouble_note note = {0};
    if (!csv_parse(s, size, "in.csv", &t, &note)) return;
    import_report r = {.files = 1};
    r.file[0].path = "in.csv";
    tufa_code code = import_table(&the_desk, k, &t, "in.csv", 0, &r, &note);
    if (code != TUFA_OK && !note.why[0] && code != TUFA_MEMORY) abort();
    kind_by_columns(&t);
    import_report_free(&r);
    csv_free(&t);
}

/* A book with something in it, made once. */
static void prepare(void)
{
    static const struct {
        const char *kind, *table;
    } FIRST[] = {{"waters", "name,kind,ph\nM,main,7.9\n"}, {"heaters", "house,heater,fuel,water\nA 1,A 1,gas,M\nA 1,A 2,electric,M\n"},
                 {"households", "house,from,people\nA 1,2022-01-01,3\n"}, {"visits", "heater,day,work\nA 1,2025-01-01,flush\n"}};
    snprintf(path, sizeof path, "/tmp/tufa-fuzz-%ld.book", (long)getpid());
    unlink(path);
    if (desk_book_new(path).code != TUFA_OK || desk_open(path, true, 20600, &the_desk).code != TUFA_OK) abort();
    atexit(tidy);
    for (size_t i = 0; i < sizeof FIRST / sizeof FIRST[0]; i++) take(FIRST[i].table, strlen(FIRST[i].table), kind_find(FIRST[i].kind));
}

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size)
{
    if (!path[0]) prepare();
    if (size == 0) return 0;
    const kind_row *k = kind_at(data[0] % kind_count());
    if (store_begin(the_desk.s).code != TUFA_OK) abort();
    take((const char *)data + 1, size - 1, k);
    text out = {0};
    if (desk_book_export(&the_desk, k, &out).code != TUFA_OK) abort();
    text_free(&out);
    store_rollback(the_desk.s);
    return 0;
}
