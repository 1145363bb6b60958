/* The year plan and its rounds over books of houses invented by formula. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "edge/desk/rounds.h"
#include "tools/bench.h"

static const int64_t TODAY = 20782; /* 2026-11-25 */
enum { WATERS = 12, STREET_HOUSES = 12, HOUSE_HEATERS = 2 };

static bool fine(tufa_status st) { return st.code == TUFA_OK; }

static bool add_fact(store *s, thing_kind kind, int64_t thing, const char *name, fact_rec f)
{
    f.thing = thing;
    f.field = thing_field(kind, name);
    f.day = TODAY - 400;
    snprintf(f.source, sizeof f.source, "invented by formula");
    return f.field && fine(store_fact_add(s, kind, &f));
}

static tufa_value exact(double x) { return (tufa_value){x, x, x, TUFA_BASIS_GIVEN}; }

static bool add_waters(store *s, int64_t *water)
{
    for (int k = 0; k < WATERS; k++) {
        char label[STORE_LABEL];
        int64_t id;
        sheet_rec sheet = {.day = TODAY - 500, .n = 3, .source = "invented by formula"};
        snprintf(label, sizeof label, "main %d", k + 1);
        if (!fine(store_thing_add(s, THING_WATER, label, 0, TODAY - 500, "invented by formula", &water[k]))) return false;
        sheet.water = water[k];
        snprintf(sheet.cells[0].column, STORE_CELL, "ph");
        snprintf(sheet.cells[0].cell, STORE_CELL, "%.2f", 7.3 + 0.05 * k);
        snprintf(sheet.cells[1].column, STORE_CELL, "ca_mg_l");
        snprintf(sheet.cells[1].cell, STORE_CELL, "%d", 60 + 5 * k);
        snprintf(sheet.cells[2].column, STORE_CELL, "alkalinity_mg_l_caco3");
        snprintf(sheet.cells[2].cell, STORE_CELL, "%d", 180 + 10 * k);
        if (!fine(store_sheet_add(s, &sheet, &id))) return false;
    }
    return true;
}

static bool add_heater(store *s, int i, int64_t house, const char *house_label, int64_t *id)
{
    static const double GALLONS[] = {30.0, 40.0, 40.0, 50.0, 50.0, 80.0};
    char label[STORE_LABEL];
    int64_t household;
    snprintf(label, sizeof label, "%s %c", house_label, 'a' + i % HOUSE_HEATERS);
    household_rec people = {.house = house, .from_day = TODAY - 700, .people = exact(1.0 + i * 7 % 5), .source = "invented by formula"};
    return fine(store_thing_add(s, THING_HEATER, label, house, TODAY - 400, "invented by formula", id)) &&
           add_fact(s, THING_HEATER, *id, "fuel", (fact_rec){.choice = i % 3 ? FUEL_ELECTRIC : FUEL_GAS}) &&
           add_fact(s, THING_HEATER, *id, "age", (fact_rec){.value = exact((double)TODAY - 365.0 * (1 + i * 11 % 19))}) &&
           add_fact(s, THING_HEATER, *id, "volume", (fact_rec){.value = exact(GALLONS[i % 6] * 3.785411784e-3)}) &&
           (i % HOUSE_HEATERS || fine(store_household_add(s, &people, 0, &household)));
}

/* One look into the tank half a year ago: a bed of one to nine inches. */
static bool add_finding(store *s, int i, int64_t heater)
{
    int64_t id;
    finding_rec f = {.heater = heater, .day = TODAY - 180, .kind = FINDING_DEPTH, .value = exact(0.0254 * (1.0 + i * 5 % 9)), .source = "invented by formula"};
    return fine(store_finding_add(s, &f, 0, &id));
}

static bool fill(store *s, int heaters, bool found)
{
    int64_t water[WATERS], house = 0;
    char label[STORE_LABEL] = "";
    if (!fine(store_begin(s)) || !add_waters(s, water)) return false;
    for (int i = 0; i < heaters; i++) {
        int h = i / HOUSE_HEATERS, street = h / STREET_HOUSES;
        if (i % HOUSE_HEATERS == 0) {
            fact_rec where = {0};
            snprintf(label, sizeof label, "Row %d no %d", street + 1, h % STREET_HOUSES + 1);
            snprintf(where.word, sizeof where.word, "Row %d", street + 1);
            if (!fine(store_thing_add(s, THING_HOUSE, label, 0, TODAY - 400, "invented by formula", &house)) ||
                !add_fact(s, THING_HOUSE, house, "street", where) ||
                !add_fact(s, THING_HOUSE, house, "water", (fact_rec){.ref = water[street % WATERS]}))
                return false;
        }
        int64_t id;
        if (!add_heater(s, i, house, label, &id) || (found && !add_finding(s, i, id))) return false;
    }
    return fine(store_commit(s));
}

typedef struct measured {
    double seconds, cpu_s, kilobytes, open_share; /* open_share: of the rounds' cost that is not proven */
} measured;

/* In a process of its own, so that its peak of memory is its own. */
static measured run(const char *path, bool rounds)
{
    measured m = {-1.0, -1.0, -1.0, -1.0};
    int fd[2];
    if (pipe(fd) != 0) return m;
    pid_t child = fork();
    if (child == 0) {
        desk d;
        year_answer a;
        rounds_answer r;
        struct rusage use;
        double start = bench_now_s();
        if (fine(desk_open(path, false, TODAY, &d)) && fine(rounds ? desk_rounds(&d, NULL, &r) : desk_year(&d, NULL, &a))) {
            m.seconds = bench_now_s() - start;
            getrusage(RUSAGE_SELF, &use);
            m.kilobytes = (double)use.ru_maxrss;
            m.cpu_s = (double)use.ru_utime.tv_sec + 1e-6 * (double)use.ru_utime.tv_usec;
            if (rounds) m.open_share = rounds_gap(&r);
        }
        _exit(write(fd[1], &m, sizeof m) == (ssize_t)sizeof m ? 0 : 1);
    }
    close(fd[1]);
    if (read(fd[0], &m, sizeof m) != (ssize_t)sizeof m) m.seconds = -1.0;
    close(fd[0]);
    waitpid(child, NULL, 0);
    return m;
}

static measured plan_of(int heaters, bool found, bool rounds)
{
    char folder[] = "/tmp/tufa-bench-XXXXXX", path[64];
    measured m = {-1.0, -1.0, -1.0, -1.0};
    store *s;
    if (!mkdtemp(folder)) return m;
    snprintf(path, sizeof path, "%s/year.book", folder);
    if (fine(store_create(path, &s))) {
        bool filled = fill(s, heaters, found);
        store_close(s);
        if (filled) m = run(path, rounds);
    }
    static const char *const LEFT[] = {"", "-wal", "-shm"};
    for (size_t i = 0; i < sizeof LEFT / sizeof LEFT[0]; i++) {
        char name[80];
        snprintf(name, sizeof name, "%s%s", path, LEFT[i]);
        unlink(name);
    }
    rmdir(folder);
    return m;
}

static measured year_of(int heaters) { return plan_of(heaters, false, false); }
static double rounds_200(void) { return plan_of(200, false, true).seconds; }
static double thousand(void) { return year_of(1000).seconds; }
static double twenty_thousand(void) { return year_of(20000).seconds; }
static double twenty_thousand_found(void) { return plan_of(20000, true, false).cpu_s; }

/* Of all processors together, user's side: what a loaded machine still measures. Three figures of one run each. */
static measured rounds_of(bool found)
{
    static measured kept[2];
    static bool done[2];
    if (!done[found]) kept[found] = plan_of(1000, found, true), done[found] = true;
    return kept[found];
}
static double rounds_1000(void) { return rounds_of(false).seconds; }
static double rounds_1000_cpu(void) { return rounds_of(false).cpu_s; }
static double rounds_1000_open(void) { return rounds_of(false).open_share; }
static double found_1000(void) { return rounds_of(true).seconds; }
static double found_1000_cpu(void) { return rounds_of(true).cpu_s; }
static double found_1000_open(void) { return rounds_of(true).open_share; }
static double bytes_each(void)
{
    measured few = year_of(1000), many = year_of(20000);
    return few.kilobytes < 0.0 || many.kilobytes < 0.0 ? -1.0 : (many.kilobytes - few.kilobytes) * 1024.0 / 19000.0;
}

const bench_row bench_year[] = {
    {"year_1000_s", thousand}, {"year_20000_s", twenty_thousand}, {"year_20000_found_cpu_s", twenty_thousand_found}, {"year_bytes_per_heater", bytes_each},
    {"rounds_200_s", rounds_200}, {"rounds_1000_s", rounds_1000}, {"rounds_1000_cpu_s", rounds_1000_cpu}, {"rounds_1000_open_share", rounds_1000_open},
    {"rounds_1000_found_s", found_1000}, {"rounds_1000_found_cpu_s", found_1000_cpu}, {"rounds_1000_found_open_share", found_1000_open}, {0}};
