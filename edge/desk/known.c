/* What is known of a heater and from whom, and what is assumed, why, and how to correct it. */
#include <stdio.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/ahead_parts.h"
#include "edge/desk/places.h"
#include "edge/desk/usual.h"
#include "edge/desk/words.h"

typedef struct line_kind {
    tufa_heater_field field;
    const char *name; /* of the field in the book */
    quantity q;
    const char *what;
} line_kind;
static const line_kind LINES[] = {
    {TUFA_HEATER_AGE, "age", Q_NUMBER, "age"},
    {TUFA_HEATER_VOLUME, "volume", Q_VOLUME, "tank holds"},
    {TUFA_HEATER_SETPOINT, "setpoint", Q_TEMPERATURE, "thermostat set to"},
    {TUFA_HEATER_ELEMENT_LOW, "element_height", Q_LENGTH, "lower element above the floor"},
    {TUFA_HEATER_ELEMENT_POWER, "watts", Q_POWER, "lower element"},
    {TUFA_HEATER_ELEMENT_FLUX, "watt_density", Q_HEAT_FLUX, "element's watt density"},
    {TUFA_HEATER_BURNER, "burner", Q_BURNER, "burner input"},
    {TUFA_HEATER_DRAIN, "drain_height", Q_LENGTH, "drain port above the floor"},
};

typedef struct lines {
    known_line *line;
    size_t n;
    const char *label;
    unit_system said;
} lines;

static known_line *add(lines *l, const char *what, bool assumed)
{
    if (l->n == DESK_KNOWN_LINES) return NULL;
    known_line *k = &l->line[l->n++];
    *k = (known_line){.assumed = assumed};
    snprintf(k->what, sizeof k->what, "%s", what);
    return k;
}

static void put(char *to, size_t room, text *t)
{
    snprintf(to, room, "%s", text_str(t));
    text_free(t);
}

static void say_source(text *t, const char *source, int64_t day)
{
    text_add(t, source[0] ? source : "entered");
    text_add(t, ", ");
    say_day(t, day);
}

static void say_years(text *t, tufa_value v)
{
    say_number(t, v.mid, 2);
    text_add(t, " years");
    if (v.hi - v.lo < 1.5) return;
    text_add(t, " (likely ");
    say_number(t, v.lo, 2);
    text_add(t, " to ");
    say_number(t, v.hi, 2);
    text_add(t, ")");
}

/* A heater with one element has no lower one. */
static const char *what_of(const line_kind *k, bool one)
{
    return one && k->field == TUFA_HEATER_ELEMENT_LOW ? "element above the floor" : one && k->field == TUFA_HEATER_ELEMENT_POWER ? "element" : k->what;
}

static tufa_status elements_line(desk *d, const desk_case *c, lines *l)
{
    fact_rec fact;
    if (c->known.fuel != TUFA_ELECTRIC) return OK;
    tufa_status st = store_fact_now(d->s, THING_HEATER, c->heater.id, thing_field(THING_HEATER, "elements"), &fact);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    bool said = st.code == TUFA_OK && fact.choice >= 0;
    known_line *k = add(l, "elements", !said);
    if (!k) return OK;
    text from = {0};
    snprintf(k->value, sizeof k->value, "%s", c->known.one_element ? "1" : "2");
    if (said) say_source(&from, fact.source, fact.day);
    else text_add(&from, c->heater.upper_W.basis ? "an upper one was spoken of" : "up to 30 gallons usually one, larger ones two");
    put(k->from, sizeof k->from, &from);
    snprintf(k->correct, sizeof k->correct, "tufa set \"%s\" elements 1", l->label);
    k->field = "elements";
    return OK;
}

static tufa_status heater_lines(desk *d, const desk_case *c, const tufa_heater *filled, lines *l)
{
    for (size_t i = 0; i < sizeof LINES / sizeof LINES[0]; i++) {
        const line_kind *kind = &LINES[i];
        tufa_value v = filled->field[kind->field];
        if (v.mid == 0.0 && v.hi == 0.0 && kind->field != TUFA_HEATER_AGE) continue; /* does not apply */
        const field_row *field = thing_field(THING_HEATER, kind->name);
        fact_rec fact;
        tufa_status st = field ? store_fact_now(d->s, THING_HEATER, c->heater.id, field, &fact) : trouble(TUFA_MISSING, "field", NULL);
        bool said = st.code == TUFA_OK && fact.value.basis != TUFA_BASIS_NONE;
        if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
        known_line *k = add(l, what_of(kind, c->known.one_element), !said);
        if (!k) return OK;
        text value = {0}, from = {0};
        if (kind->field == TUFA_HEATER_AGE) say_years(&value, v);
        else say_value(&value, l->said, kind->q, said ? v : (tufa_value){v.mid, v.lo, v.hi, TUFA_BASIS_LEARNED});
        int usual = usual_of_field(c->known.fuel, kind->field);
        if (said) say_source(&from, fact.source, fact.day);
        else if (usual >= 0) RETURN_IF(usual_from(d->s, (usual_id)usual, &from));
        if (from.len == 0) text_add(&from, tufa_heater_field_at(kind->field)->why);
        put(k->value, sizeof k->value, &value);
        put(k->from, sizeof k->from, &from);
        snprintf(k->correct, sizeof k->correct, "tufa set \"%s\" %s \"about ...\"", l->label, kind->name);
        k->field = kind->name;
    }
    return OK;
}

static tufa_status people_line(desk *d, const desk_case *c, const tufa_ahead *a, lines *l)
{
    household_rec h;
    tufa_status st = store_household_on(d->s, c->house.id, c->heater.id, d->today, &h);
    if (st.code != TUFA_OK && st.code != TUFA_MISSING) return st;
    bool said = st.code == TUFA_OK && (h.people.basis != TUFA_BASIS_NONE || h.hot_m3_s.basis != TUFA_BASIS_NONE);
    known_line *k = add(l, "people, and hot water a day", !said);
    if (!k) return OK;
    usual_set usual;
    text value = {0}, from = {0};
    RETURN_IF(usual_read(d->s, &usual));
    tufa_value people = usual.said[USUAL_PEOPLE].basis != TUFA_BASIS_NONE ? usual.said[USUAL_PEOPLE] : tufa_people_default();
    if (said && h.people.basis != TUFA_BASIS_NONE) people = h.people;
    say_number(&value, people.mid, 2);
    text_add(&value, ", ");
    say_range(&value, l->said, Q_USE, a->litres_day.p10 * 1e-3 / 86400.0, a->litres_day.p90 * 1e-3 / 86400.0);
    if (said) say_source(&from, h.source, h.from_day);
    else RETURN_IF(usual_from(d->s, usual.said[USUAL_HOT_WATER].basis != TUFA_BASIS_NONE ? USUAL_HOT_WATER : USUAL_PEOPLE, &from));
    if (from.len == 0) text_add(&from, "the usual household; nobody said who lives there");
    put(k->value, sizeof k->value, &value);
    put(k->from, sizeof k->from, &from);
    snprintf(k->correct, sizeof k->correct, "tufa set \"%s\" people 3", l->label);
    k->field = "people";
    return OK;
}

static void water_line(const desk_case *c, lines *l)
{
    known_line *k = add(l, "water", !c->water->has_sheet);
    if (!k) return;
    text value = {0}, from = {0};
    text_add(&value, c->water->label[0] ? c->water->label : "not said");
    if (c->water->softened.basis != TUFA_BASIS_NONE) text_add(&value, ", softened");
    if (c->water->has_sheet) say_source(&from, c->water->sheet_source, c->water->sheet_day);
    else text_add(&from, "no figures: published analyses of waters like it stand in");
    put(k->value, sizeof k->value, &value);
    put(k->from, sizeof k->from, &from);
    snprintf(k->correct, sizeof k->correct, "tufa book import waters FILE.csv");
    k->field = "water";
}

static void found_line(const desk_case *c, lines *l)
{
    size_t readings = 0, cleanings = 0;
    for (size_t i = 0; i < c->findings; i++) {
        readings += tufa_finding_at(c->found[i].kind)->law != TUFA_LAW_DONE;
        cleanings += c->found[i].cleaned != 0;
    }
    known_line *k = add(l, "found and done", false);
    if (!k) return;
    text value = {0}, from = {0};
    say_count(&value, readings, "reading", "readings");
    text_add(&value, ", ");
    say_count(&value, cleanings, "cleaning", "cleanings");
    if (c->findings) {
        text_add(&from, "the last on ");
        say_day(&from, c->found[c->findings - 1].day);
    } else {
        text_add(&from, "nothing was measured or cleaned as far as the book knows");
    }
    if (c->blind) text_addf(&from, "; %zu more say nothing of a bed", c->blind);
    if (c->unused) text_addf(&from, "; %zu more than a forecast holds", c->unused);
    put(k->value, sizeof k->value, &value);
    put(k->from, sizeof k->from, &from);
    snprintf(k->correct, sizeof k->correct, "tufa book import findings FILE.csv");
}

/* Where nobody said a place, or one that the table does not know, the money stage's own figure stands. */
static void damage_line(const desk_case *c, lines *l)
{
    const place_row *place = place_find(c->heater.place);
    tufa_value v = place ? place->damage_chance : tufa_money_damage_chance();
    known_line *k = add(l, "a leak does damage", true);
    if (!k) return;
    snprintf(k->value, sizeof k->value, "in %.0f %% of cases (%.2g to %.2g)", 100.0 * v.mid, 100.0 * v.lo, 100.0 * v.hi);
    if (place) snprintf(k->from, sizeof k->from, "%s; judgement", place->what);
    else snprintf(k->from, sizeof k->from, c->heater.place[0] ? "no figure for this place; judgement" : "nobody said where it stands; judgement");
    snprintf(k->correct, sizeof k->correct, "tufa set \"%s\" place garage", l->label);
    k->field = "place";
}

tufa_status desk_known(desk *d, const desk_case *c, const tufa_ahead *a, known_line *line, size_t *n)
{
    lines l = {.line = line, .label = c->heater.label, .said = d->units};
    RETURN_IF(heater_lines(d, c, &a->heater, &l));
    RETURN_IF(elements_line(d, c, &l));
    RETURN_IF(people_line(d, c, a, &l));
    water_line(c, &l);
    damage_line(c, &l);
    found_line(c, &l);
    *n = l.n;
    return OK;
}
