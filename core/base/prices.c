#include "core/base/sources.h"
#include "tufa/base.h"

static const tufa_price_row ROWS[TUFA_PRICE_COUNT] = {
#define X(id, src, ...) [TUFA_PRICE_##id] = {.source = src, __VA_ARGS__},
#include "tufa/prices.def"
#undef X
};

const tufa_price_row *tufa_price_at(tufa_price id)
{
    return (unsigned)id < TUFA_PRICE_COUNT ? &ROWS[id] : NULL;
}

tufa_prices tufa_prices_default(void)
{
    tufa_prices p;
    for (int i = 0; i < TUFA_PRICE_COUNT; i++)
        p.usd[i] = (tufa_value){.mid = ROWS[i].mid, .lo = ROWS[i].lo, .hi = ROWS[i].hi, .basis = TUFA_BASIS_DEFAULT};
    return p;
}
