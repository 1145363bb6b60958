/* The methods compared for one tank. */
#include <stdlib.h>

#include "core/base/status.h"
#include "edge/desk/clean_desk.h"

tufa_status desk_clean(const tufa_clean_case *c, size_t draws, uint64_t key, tufa_clean_answer *out)
{
    tufa_arena scratch = {.size = tufa_clean_scratch_bytes(draws)};
    scratch.base = malloc(scratch.size);
    if (!scratch.base) return trouble(TUFA_MEMORY, "draws", NULL);
    tufa_status st = tufa_clean_compare(c, key, draws, &scratch, out);
    free(scratch.base);
    return st;
}
