/* Prices and lives: the defaults with their dates and sources, and what the book says instead. */
#include "core/base/status.h"
#include "edge/desk/answers.h"

static tufa_status price_now(store *s, tufa_price id, tufa_value *v)
{
    price_rec r;
    tufa_status st = store_price_now(s, tufa_price_at(id)->key, &r);
    if (st.code == TUFA_MISSING) return OK;
    RETURN_IF(st);
    if (r.value.basis != TUFA_BASIS_NONE) *v = r.value;
    return OK;
}

tufa_status desk_rates_get(desk *d, desk_rates *out)
{
    desk_rates r = {.prices = tufa_prices_default()};
    for (int i = 0; i < TUFA_PRICE_COUNT; i++) RETURN_IF(price_now(d->s, (tufa_price)i, &r.prices.usd[i]));
    for (int f = 0; f < TUFA_FUEL_COUNT; f++) r.life[f] = tufa_life_default((tufa_fuel)f);
    *out = r;
    return OK;
}
