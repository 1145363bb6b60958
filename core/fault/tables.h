/* The tables of the stage as C sees them: places by name, rows, and what connects the tables. */
#ifndef CORE_FAULT_TABLES_H
#define CORE_FAULT_TABLES_H

#include <assert.h>

#include "core/base/sources.h"
#include "tufa/fault.h"

typedef enum fault_id {
#define X(id, source, ...) FAULT_##id,
#include "core/fault/faults.def"
#undef X
    FAULT_COUNT,
    FAULT_healthy = FAULT_COUNT
} fault_id;

typedef enum complaint_id {
#define X(id, source, ...) COMPLAINT_##id,
#include "core/fault/complaints.def"
#undef X
    COMPLAINT_COUNT
} complaint_id;

typedef enum test_id {
#define X(id, source, ...) TEST_##id,
#include "core/fault/tests.def"
#undef X
    TEST_COUNT
} test_id;

typedef enum repair_id {
#define X(id, source, ...) REPAIR_##id,
#include "core/fault/repairs.def"
#undef X
    REPAIR_COUNT
} repair_id;

typedef enum known_id {
#define X(id, title) KNOWN_##id,
#include "core/fault/known.def"
#undef X
    KNOWN_COUNT
} known_id;

static_assert((int)FAULT_COUNT <= (int)TUFA_MAX_FAULTS && (int)COMPLAINT_COUNT <= (int)TUFA_MAX_COMPLAINTS &&
                  (int)TEST_COUNT <= (int)TUFA_MAX_TESTS && (int)REPAIR_COUNT <= (int)TUFA_MAX_REPAIRS &&
                  (int)KNOWN_COUNT <= (int)TUFA_MAX_KNOWN,
              "arrays of the header are too short");

/* ---- rows of readings.def ---- */

typedef enum reading_shape { SHAPE_CATEGORY, SHAPE_NORMAL, SHAPE_LOGNORMAL } reading_shape;
typedef enum reading_from {
    FROM_TABLE, FROM_OHM, FROM_PLATE, FROM_CIRCUIT, FROM_LEAK, FROM_TANK, FROM_SETPOINT, FROM_INPUT, FROM_GAS_KIND,
    FROM_ELEMENT_HEIGHT, FROM_LOSS, FROM_DRAIN
} reading_from;
typedef enum reading_fuel { FUEL_ANY, FUEL_ELECTRIC, FUEL_GAS } reading_fuel;

typedef struct category_share {
    const char *name;
    double share;
} category_share;

typedef struct reading_row {
    fault_id fault;
    reading_fuel fuel;
    test_id test;
    source_id source;
    reading_shape shape;
    double at, spread, weight;
    reading_from from;
    category_share share[TUFA_MAX_CATEGORIES];
} reading_row;

size_t fault_reading_rows(const reading_row **rows);

/* ---- rows of effects.def ---- */

typedef struct fault_effect {
    fault_id fault;
    double share;
    int heats_like; /* another fault, plus 1, with which it draws and heats alike; 0: itself */
    int changes;
    tufa_tank_change change[1];
    tufa_circuit_cut cut;
    double bed_at_element;
    double bed_litres, inlet_K, setpoint_K;
} fault_effect;

/* What a fault does to tank and wiring; NULL when nothing. */
const fault_effect *fault_effect_of(int fault);
int fault_effect_cuts(const fault_effect *e); /* 1 where it touches the wiring */

/* ---- joins ---- */

typedef struct fault_pair_row { int cause, effect; double factor; const char *why; } fault_pair_row;
typedef struct fault_raise_row { int fault, known; double factor; } fault_raise_row;
size_t fault_leads(const fault_pair_row **rows);
size_t fault_raises(const fault_raise_row **rows);

/* Cheapest repair that mends a fault on this fuel, or -1. */
int fault_cheapest_repair(int fault, int gas);

static inline int fault_on(int fault, int gas)
{
    const tufa_fault_row *f = tufa_fault_at((size_t)fault);
    return gas ? f->share_gas > 0.0 : f->share_electric > 0.0;
}

#endif
