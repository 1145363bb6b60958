/* Any bytes as the cases of `tufa tank`: read, built and run for a while without harm. */
#define _POSIX_C_SOURCE 200809L
#include <stdio.h>

#include "edge/import/tank_case.h"

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size);

static void simulate(const tank_case *c)
{
    tufa_tank_model m;
    tufa_tank_state s;
    tufa_tank_result r;
    tufa_tank_run run = {.duration_s = 3600.0 * (c->hours < 3.0 ? c->hours : 3.0)};
    if (tufa_tank_build(&c->tank, c->change, c->changes, &m).code != TUFA_OK) return;
    if (tufa_tank_start(&m, c->start_K, &s).code != TUFA_OK) return;
    if (tufa_tank_simulate(&m, &c->use, &run, &s, &r).code != TUFA_OK) return;
    double off = r.balance_J < 0.0 ? -r.balance_J : r.balance_J, stored = r.stored_J < 0.0 ? -r.stored_J : r.stored_J;
    double out = r.delivered_J < 0.0 ? -r.delivered_J : r.delivered_J;
    if (!(off <= 1e-6 * (r.in_J + stored + out + 1.0))) __builtin_trap();
}

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size)
{
    if (size == 0) return 0;
    FILE *f = fmemopen((void *)data, size, "r");
    if (!f) return 0;
    json_cases cases;
    json_case one;
    trouble_note note;
    static tank_case c;
    json_cases_open(&cases, f, "fuzz");
    for (;;) {
        json_case_result got = json_cases_next(&cases, &one, &note);
        if (got == JSON_CASE_END || got == JSON_CASE_BROKEN) break;
        if (got == JSON_CASE_GIVEN && tank_case_read(&one, &c)) simulate(&c);
    }
    json_cases_close(&cases);
    fclose(f);
    return 0;
}
