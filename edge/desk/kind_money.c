/* Tables of prices and settings. */
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/kind.h"
#include "edge/desk/settings.h"
#include "edge/say/day.h"

static void origin_columns(column_set *c)
{
    columns_text(c, "day", "day|date|as_of|said_on", false, "day from which it is known; without it, today");
    columns_text(c, "source", "source|from_whom|said_by|who", false, "who said so; without it, the name of the file");
}

/* ---- prices ---- */

void prices_columns(column_set *c)
{
    columns_text(c, "item", "item|price|what|name", true, "what is priced, as `tufa book export prices` names it");
    columns_text(c, "value", "value|amount|cost|usd|dollars", true, "in the unit that the item's name ends with");
    origin_columns(c);
}

static tufa_code item_from(import_row *r, size_t *item, price_rec *p, trouble_note *note)
{
    price_item it;
    char why[160];
    if (!price_find(row_text(r, "item"), item, why, sizeof why)) return row_refuse(r, TUFA_UNKNOWN, "item", "", why, note);
    price_item_at(*item, &it);
    snprintf(p->item, sizeof p->item, "%s", it.key);
    return price_value(*item, row_text(r, "value"), row_header(r, "value"), &p->value, note);
}

tufa_code prices_take(import_row *r, import_outcome *outcome, trouble_note *note)
{
    price_rec p = {0}, before;
    size_t item = 0;
    text_add(r->name, row_text(r, "item"));
    if (!row_said(r, "value")) {
        *outcome = ROW_SAME; /* the default, or what was said before, stays */
        return TUFA_OK;
    }
    tufa_code code = item_from(r, &item, &p, note);
    if (code == TUFA_OK) code = row_once(r, p.item, "item", note);
    if (code == TUFA_OK) code = row_day(r, "day", r->d->today, &p.day, note);
    if (code == TUFA_OK) code = row_source(r, p.source, note);
    if (code) return code;
    tufa_status st = store_price_on(r->d->s, p.item, p.day, &before);
    if (st.code && st.code != TUFA_MISSING) return row_status(r, st, "item", note);
    bool any = st.code == TUFA_OK;
    *outcome = !any ? ROW_NEW : value_same(before.value, p.value) ? ROW_SAME : ROW_CHANGED;
    if (*outcome == ROW_SAME) return TUFA_OK;
    text old = {0}, now = {0};
    if (any) price_say(item, r->d->units, before.value, &old);
    price_say(item, r->d->units, p.value, &now);
    row_change_words(r, "value", text_str(&old), text_str(&now));
    st = store_price_now(r->d->s, p.item, &before);
    if (st.code == TUFA_OK && before.day > p.day) {
        text_clear(&old);
        price_say(item, r->d->units, before.value, &old);
        row_past_words(r, text_str(&old), before.day);
    }
    text_free(&old);
    text_free(&now);
    if (st.code && st.code != TUFA_MISSING) return row_status(r, st, "item", note);
    return row_status(r, store_price_add(r->d->s, &p), "item", note);
}

static tufa_status give_price(void *ctx, const price_rec *r)
{
    export_table *t = ctx;
    text value = {0};
    char why[160];
    size_t item;
    if (!price_find(r->item, &item, why, sizeof why)) return OK; /* an item that is no longer priced */
    price_write(item, r->value, &value);
    export_row(t);
    export_text(t, "item", r->item);
    export_text(t, "value", text_str(&value));
    export_day(t, "day", r->day);
    export_text(t, "source", r->source);
    text_free(&value);
    return OK;
}

tufa_status prices_give(desk *d, export_table *t) { return store_price_each(d->s, false, give_price, t); }

/* ---- settings ---- */

void settings_columns(column_set *c)
{
    columns_text(c, "name", "name|setting", true, "which setting");
    columns_text(c, "value", "value|to|is", true, "what it is set to");
    origin_columns(c);
}

tufa_code settings_take(import_row *r, import_outcome *outcome, trouble_note *note)
{
    setting_rec s = {0}, before;
    text_add(r->name, row_text(r, "name"));
    tufa_code code = setting_read(row_text(r, "name"), row_text(r, "value"), &s, note);
    if (code == TUFA_OK) code = row_once(r, s.name, "name", note);
    if (code == TUFA_OK) code = row_day(r, "day", r->d->today, &s.day, note);
    if (code == TUFA_OK) code = row_source(r, s.source, note);
    if (code) return code;
    tufa_status st = store_setting_on(r->d->s, s.name, s.day, &before);
    if (st.code && st.code != TUFA_MISSING) return row_status(r, st, "name", note);
    bool any = st.code == TUFA_OK;
    *outcome = !any ? ROW_NEW : strcmp(before.value, s.value) == 0 ? ROW_SAME : ROW_CHANGED;
    if (*outcome == ROW_SAME) return TUFA_OK;
    row_change_words(r, "value", any ? before.value : "", s.value);
    st = store_setting_now(r->d->s, s.name, &before);
    if (st.code && st.code != TUFA_MISSING) return row_status(r, st, "name", note);
    if (st.code == TUFA_OK && before.day > s.day) row_past_words(r, before.value, before.day);
    return row_status(r, store_setting_add(r->d->s, &s), "name", note);
}

static tufa_status give_setting(void *ctx, const setting_rec *r)
{
    export_table *t = ctx;
    export_row(t);
    export_text(t, "name", r->name);
    export_text(t, "value", r->value);
    export_day(t, "day", r->day);
    export_text(t, "source", r->source);
    return OK;
}

tufa_status settings_give(desk *d, export_table *t) { return store_setting_each(d->s, false, give_setting, t); }
