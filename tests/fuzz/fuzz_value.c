/* Whatever a person says about a number is read or refused; what is read lies in its bounds and is written back so that
 * it reads the same. */
#include <stdlib.h>
#include <string.h>

#include "edge/import/value.h"
#include "edge/say/day.h"

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size);

static bool near(double a, double b)
{
    double d = a > b ? a - b : b - a, size = a > 0 ? a : -a;
    return d <= 1e-9 * size + 1e-9;
}

static void one(const char *s, quantity q, unit_id u, double lo, double hi)
{
    value_rule r = {.field = "x", .q = q, .unit = &units[u], .lo = unit_to_si(&units[u], lo), .hi = unit_to_si(&units[u], hi), .today = 20600};
    tufa_value v, back;
    trouble_note note = {0};
    if (value_parse(s, &r, &v, &note) != TUFA_OK) {
        if (!note.why[0]) abort();
        return;
    }
    if (v.basis == TUFA_BASIS_NONE) return;
    if (!(v.lo <= v.mid && v.mid <= v.hi && v.lo >= r.lo && v.hi <= r.hi)) abort();
    text t = {0}, said = {0};
    value_write(&t, &r, v);
    if (value_parse(text_str(&t), &r, &back, &note) != TUFA_OK) abort();
    if (!near(back.lo, v.lo) || !near(back.mid, v.mid) || !near(back.hi, v.hi)) abort();
    say_value(&said, UNITS_US, q, v);
    say_value(&said, UNITS_METRIC, q, v);
    text_free(&t);
    text_free(&said);
}

int LLVMFuzzerTestOneInput(const unsigned char *data, size_t size)
{
    char *s = malloc(size + 1);
    if (!s) return 0;
    memcpy(s, data, size);
    s[size] = 0;
    one(s, Q_VOLUME, UNIT_GAL, 0, 5000);
    one(s, Q_TEMPERATURE, UNIT_F, -100, 300);
    one(s, Q_MONEY, UNIT_DOLLAR, -1e5, 1e5);
    one(s, Q_INSTALLED, UNIT_DATE, -14610, 84005);
    one(s, Q_DAY, UNIT_DATE, -14610, 84005);
    one(s, Q_SHARE, UNIT_PERCENT, 0, 100);
    free(s);
    return 0;
}
