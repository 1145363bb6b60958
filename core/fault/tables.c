#include "core/fault/tables.h"

#include <string.h>

#define ONE_ELEMENT(...)

static const tufa_complaint COMPLAINTS[COMPLAINT_COUNT] = {
#define X(name, from, ...) [COMPLAINT_##name] = {.id = #name, .source = from, __VA_ARGS__},
#include "core/fault/complaints.def"
#undef X
};

static const tufa_fault_row FAULTS[FAULT_COUNT] = {
#define X(name, from, ...) [FAULT_##name] = {.id = #name, .source = from, __VA_ARGS__},
#include "core/fault/faults.def"
#undef X
};

static const tufa_test TESTS[TEST_COUNT] = {
#define X(name, from, ...) [TEST_##name] = {.id = #name, .source = from, __VA_ARGS__},
#include "core/fault/tests.def"
#undef X
};

static const tufa_repair REPAIRS[REPAIR_COUNT] = {
#define X(name, from, ...) [REPAIR_##name] = {.id = #name, .source = from, __VA_ARGS__},
#include "core/fault/repairs.def"
#undef X
};

/* The same rows as they read for a heater with one element: the words in ONE_ELEMENT() are the later ones, and hold. */
#undef ONE_ELEMENT
#define ONE_ELEMENT(...) __VA_ARGS__
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Woverride-init"

static const tufa_fault_row FAULTS_ONE[FAULT_COUNT] = {
#define X(name, from, ...) [FAULT_##name] = {.id = #name, .source = from, __VA_ARGS__},
#include "core/fault/faults.def"
#undef X
};

static const tufa_test TESTS_ONE[TEST_COUNT] = {
#define X(name, from, ...) [TEST_##name] = {.id = #name, .source = from, __VA_ARGS__},
#include "core/fault/tests.def"
#undef X
};

static const tufa_repair REPAIRS_ONE[REPAIR_COUNT] = {
#define X(name, from, ...) [REPAIR_##name] = {.id = #name, .source = from, __VA_ARGS__},
#include "core/fault/repairs.def"
#undef X
};
#pragma GCC diagnostic pop

static const tufa_known KNOWN[KNOWN_COUNT] = {
#define X(name, words) [KNOWN_##name] = {#name, words},
#include "core/fault/known.def"
#undef X
};

static const double VOICES[FAULT_COUNT][COMPLAINT_COUNT] = {
#define X(fault, complaint, p) [FAULT_##fault][COMPLAINT_##complaint] = p,
#include "core/fault/voices.def"
#undef X
};



static const reading_row READINGS[] = {
#define CATEGORIES(f, where, t, s, ...)                                                                      \
    {.fault = FAULT_##f, .fuel = FUEL_##where, .test = TEST_##t, .source = SRC_##s, .shape = SHAPE_CATEGORY, .weight = 1.0, \
     .share = {__VA_ARGS__}},
#define NUMBER(f, where, t, s, form, mid, width, part, origin)                                               \
    {.fault = FAULT_##f, .fuel = FUEL_##where, .test = TEST_##t, .source = SRC_##s, .shape = SHAPE_##form, .at = mid,  \
     .spread = width, .weight = part, .from = origin},
#define NO_READING 2e7
#include "core/fault/readings.def"
#undef NO_READING
#undef NUMBER
#undef CATEGORIES
};

static const fault_effect EFFECTS[] = {
#define X(f, part, ...) {.fault = FAULT_##f, .share = part, __VA_ARGS__},
#include "core/fault/effects.def"
#undef X
};

static const fault_pair_row LEADS[] = {
#define X(cause, effect, factor, why) {FAULT_##cause, FAULT_##effect, factor, why},
#include "core/fault/leads.def"
#undef X
};

static const fault_raise_row RAISES[] = {
#define X(fault, known, factor) {FAULT_##fault, KNOWN_##known, factor},
#include "core/fault/raises.def"
#undef X
};

#define ROWS(table) (sizeof(table) / sizeof(table)[0])

size_t tufa_fault_complaint_count(void) { return COMPLAINT_COUNT; }
size_t tufa_fault_count(void) { return FAULT_COUNT; }
size_t tufa_fault_test_count(void) { return TEST_COUNT; }
size_t tufa_fault_repair_count(void) { return REPAIR_COUNT; }
size_t tufa_fault_known_count(void) { return KNOWN_COUNT; }
const tufa_complaint *tufa_fault_complaint_at(size_t i) { return i < COMPLAINT_COUNT ? &COMPLAINTS[i] : NULL; }
const tufa_fault_row *tufa_fault_at(size_t i) { return i < FAULT_COUNT ? &FAULTS[i] : NULL; }
const tufa_test *tufa_fault_test_at(size_t i) { return i < TEST_COUNT ? &TESTS[i] : NULL; }
const tufa_repair *tufa_fault_repair_at(size_t i) { return i < REPAIR_COUNT ? &REPAIRS[i] : NULL; }
const tufa_fault_row *tufa_fault_for(size_t i, int one_element) { return one_element && i < FAULT_COUNT ? &FAULTS_ONE[i] : tufa_fault_at(i); }
const tufa_test *tufa_fault_test_for(size_t i, int one_element) { return one_element && i < TEST_COUNT ? &TESTS_ONE[i] : tufa_fault_test_at(i); }
const tufa_repair *tufa_fault_repair_for(size_t i, int one_element)
{
    return one_element && i < REPAIR_COUNT ? &REPAIRS_ONE[i] : tufa_fault_repair_at(i);
}
const tufa_known *tufa_fault_known_at(size_t i) { return i < KNOWN_COUNT ? &KNOWN[i] : NULL; }

#define FIND(table, wanted)                                                                                  \
    for (size_t i = 0; i < ROWS(table); i++)                                                                 \
        if (strcmp((table)[i].id, wanted) == 0) return (int)i;                                               \
    return -1

int tufa_fault_complaint_find(const char *id) { FIND(COMPLAINTS, id); }
int tufa_fault_find(const char *id) { FIND(FAULTS, id); }
int tufa_fault_test_find(const char *id) { FIND(TESTS, id); }
int tufa_fault_repair_find(const char *id) { FIND(REPAIRS, id); }
int tufa_fault_known_find(const char *id) { FIND(KNOWN, id); }

int tufa_fault_test_category(const tufa_test *t, const char *name)
{
    for (int i = 0; i < TUFA_MAX_CATEGORIES && t->categories[i]; i++)
        if (strcmp(t->categories[i], name) == 0) return i;
    return -1;
}

int tufa_fault_repair_mends(const tufa_repair *r, const char *id)
{
    size_t len = strlen(id);
    for (const char *at = r->fixes; (at = strstr(at, id)) != NULL; at += len)
        if ((at == r->fixes || at[-1] == ' ') && (at[len] == ' ' || at[len] == 0)) return 1;
    return 0;
}

double tufa_fault_voices(int fault, int complaint)
{
    if (fault < 0 || fault >= FAULT_COUNT || complaint < 0 || complaint >= COMPLAINT_COUNT) return 0.0;
    return VOICES[fault][complaint];
}

size_t fault_reading_rows(const reading_row **rows)
{
    *rows = READINGS;
    return ROWS(READINGS);
}

const fault_effect *fault_effect_of(int fault)
{
    for (size_t i = 0; i < ROWS(EFFECTS); i++)
        if ((int)EFFECTS[i].fault == fault) return &EFFECTS[i];
    return NULL;
}

int fault_effect_cuts(const fault_effect *e)
{
    static const tufa_circuit_cut NONE = {0};
    return memcmp(&e->cut, &NONE, sizeof NONE) != 0;
}

size_t fault_leads(const fault_pair_row **rows)
{
    *rows = LEADS;
    return ROWS(LEADS);
}

size_t fault_raises(const fault_raise_row **rows)
{
    *rows = RAISES;
    return ROWS(RAISES);
}

int fault_cheapest_repair(int fault, int gas)
{
    int best = -1;
    double least = 0.0;
    for (int i = 0; i < REPAIR_COUNT; i++) {
        const tufa_repair *r = &REPAIRS[i];
        if (!(gas ? r->gas : r->electric) || !tufa_fault_repair_mends(r, FAULTS[fault].id)) continue;
        double cost = r->minutes + r->part_usd_lo + r->part_usd_hi; /* an hour weighs about as much as 60 dollars here */
        if (best < 0 || cost < least) {
            best = i;
            least = cost;
        }
    }
    return best;
}
