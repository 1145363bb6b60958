#include "tests/published/published.h"

#include <stdlib.h>
#include <string.h>

enum { MOST = 32 };

static size_t numbers(const char *s, double *v)
{
    size_t n = 0;
    for (char *end; n < MOST; s = end) {
        v[n] = strtod(s, &end);
        if (end == s) break;
        n++;
    }
    return n;
}

static tufa_status gamma_mean(row_inputs *in, double *value)
{
    tufa_gamma g = {0};
    tufa_status st = tufa_learn_gamma_poisson(row_number(in, "shape"), row_number(in, "rate"), row_number(in, "events"), row_number(in, "exposure"), &g);
    *value = g.mean;
    return st;
}

/* want: mean, sd, or the index of the estimate that is asked for. */
static tufa_status shrink(row_inputs *in, double *value)
{
    double estimate[MOST], sd[MOST], shrunk[MOST] = {0};
    size_t n = numbers(row_text(in, "estimate"), estimate);
    tufa_shrink s = {0};
    if (numbers(row_text(in, "sd"), sd) != n) return (tufa_status){.code = TUFA_PARSE, .field = "sd"};
    tufa_status st = tufa_learn_shrink(n, estimate, sd, row_number(in, "between"), 0.0, 0.0, &s, shrunk, NULL);
    const char *want = row_text(in, "want");
    *value = !strcmp(want, "mean") ? s.mean : !strcmp(want, "sd") ? s.sd : shrunk[strtoul(want, NULL, 10) % MOST];
    return st;
}

static tufa_status conjugate(row_inputs *in, double *value)
{
    double mean, sd;
    tufa_learn_conjugate(row_number(in, "prior"), row_number(in, "prior_sd"), row_number(in, "reading"), row_number(in, "reading_sd"), &mean, &sd);
    *value = strcmp(row_text(in, "want"), "sd") ? mean : sd;
    return (tufa_status){.code = TUFA_OK};
}

const row_kind learn_rows[] = {{"gamma_mean", gamma_mean}, {"shrink", shrink}, {"conjugate", conjugate}, {0}};
