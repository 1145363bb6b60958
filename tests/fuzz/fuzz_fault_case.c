/* Whatever stands in a fault case: refused with a reason, or answered with odds that sum. */
#include <stdio.h>
#include <stdlib.h>

#include "edge/desk/fault.h"
#include "edge/import/fault_case.h"
#include "edge/say/fault.h"

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size);

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size)
{
    static desk_finder finder;
    if (size == 0) return 0;
    FILE *f = fmemopen((void *)data, size, "rb");
    if (!f) return 0;
    json_cases cases;
    json_cases_open(&cases, f, "fuzz");
    for (;;) {
        json_case one;
        trouble_note note;
        json_case_result r = json_cases_next(&cases, &one, &note);
        if (r == JSON_CASE_END) break;
        fault_case c;
        tufa_fault_answer a;
        if (r == JSON_CASE_GIVEN && fault_case_read(&one, &c) && desk_fault(&finder, &c.heater, &c.call, &a).code == TUFA_OK) {
            text t = {0};
            say_fault_answer(&t, UNITS_US, &c.heater, &c.call, &a);
            text_free(&t);
            if (a.faults && !(a.total > 0.999 && a.total < 1.001)) abort();
        }
        if (r == JSON_CASE_BROKEN) break;
    }
    json_cases_close(&cases);
    fclose(f);
    return 0;
}
