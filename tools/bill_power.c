/* tufa-bill-power: how often a change of a given size is found, by the length of the record and the noise of its months,
 * as the table that stands in docs/methods/bill.md. [HOUSES] a cell, 200 without it. */
#include <stdio.h>
#include <stdlib.h>

#include "tools/bill_houses.h"

typedef struct cell {
    int found, step, date_in, size_in, n;
} cell;

static cell ask(int months, house_noise noise, double size, int houses, tufa_arena *scratch)
{
    cell c = {0};
    for (int i = 0; i < houses; i++) {
        tufa_bill_result r;
        house h = {.key = 100000u + (uint64_t)i, .months = months, .noise = noise, .noise_share = 0.05,
                   .kind = size > 0.0 ? TUFA_BILL_STEP : TUFA_BILL_NONE, .size = size, .at = 0.5, .until = 1.0};
        house_fill(&h);
        if (tufa_bill_read((size_t)months, h.p, 0, 0.0, NULL, NULL, scratch, &r).code != TUFA_OK) continue;
        c.n++;
        c.found += r.kind != TUFA_BILL_NONE;
        if (r.kind != TUFA_BILL_STEP) continue;
        c.step++;
        c.date_in += r.day.lo <= h.change_day && h.change_day <= r.day.hi;
        c.size_in += r.per_day.lo <= h.change_per_day && h.change_per_day <= r.per_day.hi;
    }
    return c;
}

int main(int argc, char **argv)
{
    const double SIZES[] = {0.0, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0};
    const int MONTHS[] = {12, 18, 24, 36};
    int houses = argc > 1 ? atoi(argv[1]) : 200;
    size_t bytes = tufa_bill_bytes(HOUSE_MOST);
    tufa_arena scratch = {.base = malloc(bytes), .size = bytes};
    if (!scratch.base || houses < 1) return 2;
    printf("| months | noise | 0 | 1 | 1.5 | 2 | 3 | 4 | 6 | date within | size within |\n|---|---|---|---|---|---|---|---|---|---|---|\n");
    for (int noise = NOISE_EVEN; noise <= NOISE_LASTING; noise++)
        for (size_t m = 0; m < sizeof MONTHS / sizeof MONTHS[0]; m++) {
            static const char *const NAMES[] = {"even", "with level", "lasting"};
            int steps = 0, dates = 0, sizes = 0;
            printf("| %d | %s |", MONTHS[m], NAMES[noise]);
            for (size_t s = 0; s < sizeof SIZES / sizeof SIZES[0]; s++) {
                cell c = ask(MONTHS[m], (house_noise)noise, SIZES[s], houses, &scratch);
                printf(" %.0f |", 100.0 * c.found / (c.n ? c.n : 1));
                if (SIZES[s] > 0.0) steps += c.step, dates += c.date_in, sizes += c.size_in;
                fflush(stdout);
            }
            printf(" %.0f | %.0f |\n", 100.0 * dates / (steps ? steps : 1), 100.0 * sizes / (steps ? steps : 1));
        }
    free(scratch.base);
    return 0;
}
