/* Whatever is given as ESPI XML is read or refused; energies that come out are finite and not below nothing. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "edge/import/interval.h"

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size);

static tufa_status take(void *ctx, double t_s, double length_s, double energy_J)
{
    (void)ctx;
    if (!isfinite(t_s) || !(length_s > 0.0) || !(energy_J >= 0.0) || !isfinite(energy_J)) abort();
    return (tufa_status){.code = TUFA_OK};
}

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size)
{
    FILE *f = fmemopen((void *)(size_t)data, size ? size : 1, "rb");
    if (!f) return 0;
    interval_file out;
    trouble_note note = {0};
    if (size) (void)espi_read(f, "input", take, NULL, &out, &note);
    fclose(f);
    return 0;
}
