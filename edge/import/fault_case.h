/* A fault case as JSON: id, fuel, complaints, asked_no, readings, heater, bed_l, age_years and what else the house tells. */
#ifndef EDGE_IMPORT_FAULT_CASE_H
#define EDGE_IMPORT_FAULT_CASE_H

#include "edge/import/json_case.h"
#include "tufa/fault.h"

typedef struct fault_case {
    char id[64];
    tufa_fault_heater heater;
    tufa_call call;
} fault_case;

/* False with the reason in c->note. */
bool fault_case_read(json_case *c, fault_case *out);

#endif
