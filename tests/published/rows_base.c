#include "tests/published/published.h"

#include <stdlib.h>

static tufa_status philox_word(row_inputs *in, double *value)
{
    uint32_t out[4];
    tufa_philox(strtoull(row_text(in, "key"), NULL, 16), strtoull(row_text(in, "stream"), NULL, 16),
                strtoull(row_text(in, "index"), NULL, 16), out);
    *value = out[(int)row_number(in, "word")];
    return (tufa_status){.code = TUFA_OK};
}

static tufa_status normal_quantile(row_inputs *in, double *value)
{
    *value = tufa_normal_quantile(row_number(in, "p"));
    return (tufa_status){.code = TUFA_OK};
}

const row_kind base_rows[] = {{"philox_word", philox_word}, {"normal_quantile", normal_quantile}, {0}};
