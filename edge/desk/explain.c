#include "edge/desk/explain.h"

#include <string.h>

#include "core/base/status.h"
#include "edge/desk/settings.h"
#include "edge/desk/thing_facts.h"
#include "edge/desk/usual.h"

static const explain_row ROWS[] = {
#define X(key, title, how, inputs, sources, method) {key, title, how, inputs, sources, method},
#include "edge/desk/explain.def"
#undef X
};

const explain_row *explain_at(size_t i) { return i < sizeof ROWS / sizeof ROWS[0] ? &ROWS[i] : NULL; }

const explain_row *explain_find(const char *key)
{
    for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++)
        if (strcmp(ROWS[i].key, key) == 0) return &ROWS[i];
    return NULL;
}

size_t explain_word(const char **s, const char **word)
{
    *s += strspn(*s, " ");
    *word = *s;
    size_t n = strcspn(*s, " ");
    *s += n;
    return n;
}

const tufa_source *explain_source(const char *id, size_t len)
{
    for (size_t i = 0; i < tufa_source_count(); i++) {
        const tufa_source *s = tufa_source_at(i);
        if (strlen(s->id) == len && strncmp(s->id, id, len) == 0) return s;
    }
    return NULL;
}

static void put(char *to, size_t room, text *t)
{
    snprintf(to, room, "%s", text_str(t));
    text_clear(t);
}

/* ---- what goes in ---- */

static tufa_status price_input(desk *d, const char *key, explain_input *in)
{
    size_t item;
    char why[200];
    price_item it;
    price_rec now;
    text t = {0};
    if (!price_find(key, &item, why, sizeof why)) return trouble(TUFA_UNKNOWN, "price", "the table of explanations names a price that is none");
    price_item_at(item, &it);
    tufa_status st = store_price_now(d->s, it.key, &now);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    bool said = st.code == TUFA_OK;
    price_say(item, d->units, said ? now.value : it.standard, &t);
    put(in->value, sizeof in->value, &t);
    snprintf(in->what, sizeof in->what, "%s", it.what);
    if (said) {
        text_addf(&t, "%s, ", now.source);
        say_day(&t, now.day);
    } else {
        text_addf(&t, "default: %s%s%s", it.source, it.from[0] ? ", " : "", it.from);
    }
    put(in->from, sizeof in->from, &t);
    snprintf(in->correct, sizeof in->correct, "/assumptions?item=%s#change", it.key);
    text_free(&t);
    return OK;
}

/* What the forecast takes for a field that nobody told. */
static void assumed(const ahead_answer *a, const char *name, explain_input *in)
{
    if (strcmp(name, "installed") == 0) name = "age";
    snprintf(in->from, sizeof in->from, "assumed, as of any heater or house");
    for (size_t i = 0; i < a->knowns; i++) {
        const known_line *k = &a->known[i];
        if (!k->field || strcmp(k->field, name) != 0) continue;
        snprintf(in->value, sizeof in->value, "%s", k->value);
        snprintf(in->from, sizeof in->from, "assumed: %s", k->from);
    }
}

/* What is taken of a house of which nobody told it. */
static tufa_status usual_input(desk *d, usual_id u, explain_input *in)
{
    usual_set set;
    text t = {0};
    usual_row row = usual_at(u);
    RETURN_IF(usual_read(d->s, &set));
    tufa_value v = set.said[u].basis != TUFA_BASIS_NONE ? set.said[u] : row.builtin;
    v.basis = TUFA_BASIS_LEARNED; /* told with its range */
    say_value(&t, d->units, row.q, v);
    put(in->value, sizeof in->value, &t);
    RETURN_IF(usual_from(d->s, u, &t));
    if (t.len) snprintf(in->from, sizeof in->from, "assumed: %s", text_str(&t));
    text_free(&t);
    return OK;
}

static int usual_of_house(const char *name)
{
    static const struct {
        const char *name;
        usual_id usual;
    } FIELDS[] = {{"cold_water", USUAL_COLD_WATER}, {"cold_swing", USUAL_COLD_SWING}, {"room", USUAL_ROOM}, {"pressure", USUAL_PRESSURE}};
    for (size_t i = 0; i < sizeof FIELDS / sizeof FIELDS[0]; i++)
        if (strcmp(FIELDS[i].name, name) == 0) return (int)FIELDS[i].usual;
    return -1;
}

static tufa_status field_input(desk *d, thing_kind kind, const ahead_answer *a, const char *name, explain_input *in)
{
    const field_row *f = thing_field(kind, name);
    fact_rec fact;
    text t = {0};
    int64_t thing = !a ? 0 : kind == THING_HEATER ? a->c.heater.id : a->c.house.id;
    if (!f) return trouble(TUFA_UNKNOWN, "field", "the table of explanations names a field that is none");
    snprintf(in->what, sizeof in->what, "%s: %s", thing_word(kind), f->what);
    snprintf(in->value, sizeof in->value, "%s", thing ? "not said" : "of each its own");
    if (!thing) return OK;
    tufa_status st = store_fact_now(d->s, kind, thing, f, &fact);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    if (st.code == TUFA_OK) {
        fact_say(d, &fact, f, &t);
        if (t.len) put(in->value, sizeof in->value, &t);
        text_clear(&t);
        text_addf(&t, "%s, ", fact.source);
        say_day(&t, fact.day);
        put(in->from, sizeof in->from, &t);
    } else {
        assumed(a, kind == THING_HEATER ? name : "", in);
        int usual = kind == THING_HOUSE ? usual_of_house(name) : -1;
        if (usual >= 0) RETURN_IF(usual_input(d, (usual_id)usual, in));
    }
    snprintf(in->correct, sizeof in->correct, "/heater?id=%lld&field=%s#correct", (long long)a->c.heater.id, name);
    text_free(&t);
    return OK;
}

static tufa_status household_input(desk *d, int64_t house, int64_t heater, explain_input *in)
{
    household_rec h;
    text t = {0};
    snprintf(in->what, sizeof in->what, "people, and the hot water they draw");
    snprintf(in->value, sizeof in->value, "%s", heater ? "not said" : "of each its own");
    if (!heater) return OK;
    tufa_status st = store_household_on(d->s, house, heater, d->today, &h);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    if (st.code == TUFA_OK && h.people.basis != TUFA_BASIS_NONE) {
        say_value(&t, d->units, Q_NUMBER, h.people);
        text_add(&t, " people");
        put(in->value, sizeof in->value, &t);
        text_addf(&t, "%s, ", h.source);
        say_day(&t, h.from_day);
        put(in->from, sizeof in->from, &t);
    } else {
        usual_set usual;
        snprintf(in->from, sizeof in->from, "the usual household");
        RETURN_IF(usual_read(d->s, &usual));
        bool litres = usual.said[USUAL_HOT_WATER].basis != TUFA_BASIS_NONE;
        RETURN_IF(usual_input(d, litres ? USUAL_HOT_WATER : USUAL_PEOPLE, in));
        if (!litres) {
            text_addf(&t, "%s people", in->value);
            put(in->value, sizeof in->value, &t);
        }
    }
    snprintf(in->correct, sizeof in->correct, "/heater?id=%lld&field=people#correct", (long long)heater);
    text_free(&t);
    return OK;
}

static tufa_status water_input(desk *d, int64_t water, explain_input *in)
{
    sheet_rec sheet;
    char label[STORE_LABEL];
    text t = {0};
    snprintf(in->what, sizeof in->what, "the water at the cold tap, by its lab sheet");
    snprintf(in->value, sizeof in->value, "%s", water ? "not said" : "of each its own");
    if (!water) return OK;
    RETURN_IF(store_thing_label(d->s, THING_WATER, water, label));
    snprintf(in->value, sizeof in->value, "%s", label);
    tufa_status st = store_sheet_now(d->s, water, &sheet);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    if (st.code == TUFA_OK) {
        text_addf(&t, "%s, ", sheet.source);
        say_day(&t, sheet.day);
    } else {
        text_add(&t, "no figures: published analyses of waters like it stand in");
    }
    put(in->from, sizeof in->from, &t);
    text_free(&t);
    return OK;
}

static tufa_status count_finding(void *ctx, const finding_rec *r)
{
    (void)r;
    size_t *n = ctx;
    ++*n;
    return OK;
}

static tufa_status found_input(desk *d, int64_t heater, explain_input *in)
{
    size_t n = 0;
    text t = {0};
    snprintf(in->what, sizeof in->what, "what was found in the tank so far");
    snprintf(in->value, sizeof in->value, "of each its own");
    if (!heater) return OK;
    RETURN_IF(store_finding_each(d->s, heater, count_finding, &n));
    say_count(&t, n, "finding", "findings");
    put(in->value, sizeof in->value, &t);
    text_free(&t);
    return OK;
}

static tufa_status input(desk *d, const char *name, const ahead_answer *a, explain_input *in)
{
    int64_t heater = a ? a->c.heater.id : 0, house = a ? a->c.house.id : 0;
    int64_t water = !a ? 0 : a->c.heater.water ? a->c.heater.water : a->c.house.water;
    if (strncmp(name, "price:", 6) == 0) return price_input(d, name + 6, in);
    if (strncmp(name, "heater:", 7) == 0) return field_input(d, THING_HEATER, a, name + 7, in);
    if (strncmp(name, "house:", 6) == 0) return field_input(d, THING_HOUSE, a, name + 6, in);
    if (strcmp(name, "household") == 0) return household_input(d, house, heater, in);
    if (strcmp(name, "water") == 0) return water_input(d, water, in);
    if (strcmp(name, "found") == 0) return found_input(d, heater, in);
    return trouble(TUFA_UNKNOWN, "input", "the table of explanations names something that goes in and is not known");
}

tufa_status explain_inputs(desk *d, const explain_row *r, const ahead_answer *a, explain_input out[EXPLAIN_INPUTS], size_t *n)
{
    const char *at = r->inputs, *word;
    *n = 0;
    for (size_t len; (len = explain_word(&at, &word)) > 0 && *n < EXPLAIN_INPUTS; ++*n) {
        char name[64];
        snprintf(name, sizeof name, "%.*s", (int)len, word);
        out[*n] = (explain_input){0};
        RETURN_IF(input(d, name, a, &out[*n]));
    }
    return OK;
}
