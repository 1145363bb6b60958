/* Prices and lives: the defaults with their dates and sources, and what the book says instead. */
#include "core/base/status.h"
#include "edge/desk/answers.h"
#include "edge/desk/learned.h"
#include "edge/desk/settings.h"

static tufa_status named(store *s, const char *key, tufa_value *v)
{
    size_t item;
    char why[200];
    if (!price_find(key, &item, why, sizeof why)) return trouble(TUFA_UNKNOWN, "price", "the table of prices lacks an item");
    return price_get(s, item, v);
}

tufa_status desk_rates_said(desk *d, desk_rates *out)
{
    desk_rates r = {.prices = tufa_prices_default()};
    static const struct {
        tufa_fuel fuel;
        const char *key;
    } LIVES[] = {
#define X(id, fuel, key, what) {TUFA_##fuel, key},
#include "edge/desk/lives.def"
#undef X
    };
    for (int i = 0; i < TUFA_PRICE_COUNT; i++) RETURN_IF(named(d->s, tufa_price_at((tufa_price)i)->key, &r.prices.usd[i]));
    for (size_t i = 0; i < sizeof LIVES / sizeof LIVES[0]; i++) {
        r.life[LIVES[i].fuel] = tufa_life_default(LIVES[i].fuel);
        RETURN_IF(named(d->s, LIVES[i].key, &r.life[LIVES[i].fuel].mean_years));
    }
    RETURN_IF(tools_read(d, &r.tools));
    *out = r;
    return OK;
}

tufa_status desk_rates_get(desk *d, desk_rates *out)
{
    const learned_lives *l;
    RETURN_IF(desk_rates_said(d, out));
    RETURN_IF(learned_lives_of(d->s, d->today, &l));
    if (l->kind[LIFE_ELECTRIC].counted) out->life[TUFA_ELECTRIC] = l->kind[LIFE_ELECTRIC].life;
    if (l->kind[LIFE_BURNER].counted) out->life[TUFA_GAS] = out->life[TUFA_PROPANE] = l->kind[LIFE_BURNER].life;
    return OK;
}
