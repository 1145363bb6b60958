/* A tank and its day as JSON: the case of `tufa tank`, and the `heater` of other cases. */
#ifndef EDGE_IMPORT_TANK_CASE_H
#define EDGE_IMPORT_TANK_CASE_H

#include "edge/import/json_case.h"
#include "tufa/tank.h"

enum { TANK_CASE_ID = 96 };

typedef struct tank_case {
    char id[TANK_CASE_ID];
    tufa_tank tank;
    tufa_tank_change change[TUFA_TANK_MAX_CHANGES];
    size_t changes;
    tufa_tank_draw draw[TUFA_TANK_MAX_DRAWS];
    tufa_tank_use use; /* its draws are `draw` above: do not copy a tank_case without tank_case_moved */
    double start_K, hours;
} tank_case;

/* The keys that say what the tank is, and those that say what happens to it; for json_case_only of a larger case. */
extern const char *const tank_case_keys[];
extern const size_t tank_case_key_count;

/* Reads tank, changes, draws and hours; what is left out gets its default. Unknown keys are refused here. False with the
 * note set. */
bool tank_case_read(json_case *c, tank_case *out);
/* Only the heater, for a case that has it as one of its keys. Unknown keys are refused. */
bool tank_case_heater(json_case *c, tufa_tank *out);
/* "changes": ids, or objects of id and size. */
bool tank_case_changes(json_case *c, const char *key, tufa_tank_change *out, size_t *n);
void tank_case_moved(tank_case *c);

#endif
