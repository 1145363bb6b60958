#include "edge/desk/quote.h"

#include <stdlib.h>
#include <string.h>

#include "core/base/status.h"
#include "edge/desk/find.h"
#include "edge/desk/first.h"
#include "edge/desk/others.h"
#include "edge/import/value.h"
#include "edge/import/words.h"

static bool said(const char *s)
{
    char plain[WORDS_LONGEST + 1];
    return s && s[0] && !(words_plain(s, plain) && words_unknown(plain));
}

static tufa_code refuse(trouble_note *note, tufa_code code, const char *field, const char *value, const char *allowed, const char *why)
{
    note_set(note, code, field, value ? value : "", allowed, why);
    return code;
}

/* ---- what was typed ---- */

static tufa_code yes_no(const char *field, const char *s, int unknown, int *out, trouble_note *note)
{
    *out = unknown;
    if (!said(s)) return TUFA_OK;
    int c = choice_find(CHOICES_YESNO, s);
    if (c < 0) return refuse(note, TUFA_UNKNOWN, field, s, "yes, no or ?", "this was not understood");
    *out = c == YESNO_YES;
    return TUFA_OK;
}

static tufa_code number(const char *field, const char *s, quantity q, unit_id unit, double lo, double hi, tufa_value *v, trouble_note *note)
{
    *v = (tufa_value){0};
    if (!said(s)) return TUFA_OK;
    value_rule rule = {.field = field, .q = q, .unit = &units[unit], .lo = unit_to_si(&units[unit], lo), .hi = unit_to_si(&units[unit], hi)};
    return value_parse(s, &rule, v, note);
}

/* Names of repairs that the table's titles do not hold. */
static const struct {
    const char *names, *id;
} ALSO[] = {{"element|heating element", "element_lower"},   {"thermostat", "tstat_lower"},
            {"limit|reset button|high limit|eco", "tstat_upper"}, {"gas control|control valve|gas control valve", "gas_control"},
            {"thermocouple|flame sensor|pilot", "sensor"},   {"anode rod|rod", "anode"},
            {"t&p valve|tp valve|tpr|relief", "relief"},     {"burner", "burner"},
            {"flue|vent|chimney", "flue"},                   {"dip tube", "dip"},
            {"drain valve|drain", "drain_valve"},            {"expansion tank", "expansion"},
            {"wiring|wire|connection", "terminal"}};

static int repair_find(const char *s, tufa_fuel fuel)
{
    const char *id = s;
    for (size_t i = 0; i < sizeof ALSO / sizeof ALSO[0]; i++)
        if (name_is_one_of(s, strlen(s), ALSO[i].names)) id = ALSO[i].id;
    for (size_t i = 0; i < tufa_fault_repair_count(); i++) {
        const tufa_repair *r = tufa_fault_repair_at(i);
        bool fits = fuel == TUFA_ELECTRIC ? r->electric : r->gas;
        if (fits && (name_is_one_of(id, strlen(id), r->id) || name_is_one_of(id, strlen(id), r->title))) return (int)i;
        const char *behind = strstr(r->title, " the "); /* "Change the lower element": "lower element" */
        if (fits && behind && name_is_one_of(id, strlen(id), behind + 5)) return (int)i;
    }
    return -1;
}

static tufa_treatment treatment_find(const char *s)
{
    for (int i = 0; i < TUFA_TREATMENT_COUNT; i++) {
        const tufa_treatment_row *r = tufa_treatment_at((tufa_treatment)i);
        if (name_is_one_of(s, strlen(s), r->key) || name_is_one_of(s, strlen(s), r->names)) return (tufa_treatment)i;
    }
    return TUFA_TREATMENT_COUNT;
}

static const struct {
    const char *names;
    tufa_quote_for what;
} WORKS[] = {{"replace|replacement|new heater|new tank", TUFA_QUOTE_REPLACE},
             {"repair|fix|mend", TUFA_QUOTE_REPAIR},
             {"clean|cleaning|flush|descale|sediment", TUFA_QUOTE_CLEAN},
             {"treatment|treat|device|conditioner", TUFA_QUOTE_TREATMENT}};

typedef struct job {
    tufa_quote_for what;
    int repair;
    tufa_treatment treatment;
} job;

static tufa_code name_part(const char *field, const char *s, tufa_fuel fuel, job *j, trouble_note *note)
{
    if (j->what == TUFA_QUOTE_TREATMENT && (j->treatment = treatment_find(s)) < TUFA_TREATMENT_COUNT) return TUFA_OK;
    if (j->what == TUFA_QUOTE_REPAIR && (j->repair = repair_find(s, fuel)) >= 0) return TUFA_OK;
    text all = {0};
    if (j->what == TUFA_QUOTE_TREATMENT)
        for (int i = 0; i < TUFA_TREATMENT_COUNT; i++) text_addf(&all, "%s%s", i ? ", " : "", tufa_treatment_at((tufa_treatment)i)->key);
    else if (fuel == TUFA_ELECTRIC) text_add(&all, "element, upper element, thermostat, limit, anode, drain valve, relief valve, dip tube, expansion tank, or leave it out");
    else text_add(&all, "gas valve, thermocouple, burner, flue, anode, drain valve, relief valve, dip tube, expansion tank, or leave it out");
    refuse(note, TUFA_UNKNOWN, field, s, text_str(&all), "tufa has no figures for this on such a heater");
    text_free(&all);
    return note->code;
}

/* "replace", or a part or a treatment by its own name. */
static tufa_code read_work(const quote_ask *ask, tufa_fuel fuel, job *j, trouble_note *note)
{
    *j = (job){TUFA_QUOTE_REPLACE, -1, TUFA_TREATMENT_COUNT};
    const char *s = ask->work;
    bool known = !said(s);
    for (size_t i = 0; !known && i < sizeof WORKS / sizeof WORKS[0]; i++)
        if (name_is_one_of(s, strlen(s), WORKS[i].names)) j->what = WORKS[i].what, known = true;
    if (!known && (j->treatment = treatment_find(s)) < TUFA_TREATMENT_COUNT) j->what = TUFA_QUOTE_TREATMENT, known = true;
    if (!known && (j->repair = repair_find(s, fuel)) >= 0) j->what = TUFA_QUOTE_REPAIR, known = true;
    if (!known) return refuse(note, TUFA_UNKNOWN, "for", s, "replace, repair, clean, treatment; or a part or treatment by name", "this was not understood");
    if (!said(ask->part)) return TUFA_OK;
    if (!said(ask->work)) { /* a part alone says what the work is */
        j->what = treatment_find(ask->part) < TUFA_TREATMENT_COUNT ? TUFA_QUOTE_TREATMENT : TUFA_QUOTE_REPAIR;
    } else if (j->what != TUFA_QUOTE_REPAIR && j->what != TUFA_QUOTE_TREATMENT) {
        return refuse(note, TUFA_CONFLICT, "part", ask->part, "", "a part belongs to a repair or a treatment");
    }
    return name_part("part", ask->part, fuel, j, note);
}

static tufa_quote_line line_find(const char *name, size_t n)
{
    for (int l = 0; l < TUFA_LINE_COUNT; l++) {
        const tufa_quote_line_row *r = tufa_quote_line_at((tufa_quote_line)l);
        if (name_is_one_of(name, n, r->key) || name_is_one_of(name, n, r->names)) return (tufa_quote_line)l;
    }
    return TUFA_LINE_COUNT;
}

static tufa_code unknown_line(const char *s, trouble_note *note)
{
    text all = {0};
    for (int l = 0; l < TUFA_LINE_COUNT; l++) text_addf(&all, "%s%s", l ? ", " : "", tufa_quote_line_at((tufa_quote_line)l)->key);
    refuse(note, TUFA_UNKNOWN, "line", s, text_str(&all), "this is no line that a quote has; what fits nowhere is \"other\"");
    text_free(&all);
    return TUFA_UNKNOWN;
}

/* "heater=900", "heater: $900", "haul away 75": lines of one kind are added up. */
static tufa_code read_line(const char *s, tufa_quote_in *in, trouble_note *note)
{
    static const char PARSE[] = "a name and dollars, as in heater=900";
    size_t n = strcspn(s, "=:");
    if (!s[n])
        for (n = strlen(s); n > 0 && s[n - 1] != ' ';) n--;
    if (n == 0) return refuse(note, TUFA_PARSE, "line", s, PARSE, "this cannot be read");
    size_t name = n;
    while (name > 0 && s[name - 1] == ' ') name--;
    tufa_quote_line l = line_find(s, name);
    tufa_value usd;
    if (l == TUFA_LINE_COUNT) return unknown_line(s, note);
    char field[40];
    snprintf(field, sizeof field, "line_%s", tufa_quote_line_at(l)->key);
    const char *amount = s + n + (s[n] == '=' || s[n] == ':');
    tufa_code code = number(field, amount, Q_MONEY, UNIT_DOLLAR, 0, 100000, &usd, note);
    if (code != TUFA_OK) return code;
    if (usd.basis == TUFA_BASIS_NONE) return refuse(note, TUFA_PARSE, field, s, PARSE, "there is no amount");
    in->line_usd[l] = (in->line_usd[l] < 0.0 ? 0.0 : in->line_usd[l]) + usd.mid / 100.0;
    return TUFA_OK;
}

/* "heater=900; permit=120" is two lines. A comma may stand in an amount. */
static tufa_code read_lines(const char *s, tufa_quote_in *in, trouble_note *note)
{
    char one[WORDS_LONGEST + 1];
    while (*s) {
        size_t n = strcspn(s, ";");
        words_trimmed(s, n, one);
        tufa_code code = n > WORDS_LONGEST ? refuse(note, TUFA_RANGE, "line", s, "a name and dollars", "this is too long") : one[0] ? read_line(one, in, note) : TUFA_OK;
        if (code != TUFA_OK) return code;
        s += n + (s[n] == ';');
    }
    return TUFA_OK;
}

static tufa_code read_money(const quote_ask *ask, tufa_quote_in *in, trouble_note *note)
{
    tufa_value v;
    tufa_code code = number("price", ask->price, Q_MONEY, UNIT_DOLLAR, 0, 100000, &v, note);
    if (code == TUFA_OK && v.basis != TUFA_BASIS_NONE) in->price_usd = v.mid / 100.0;
    for (size_t i = 0; code == TUFA_OK && i < ask->lines; i++)
        if (ask->line[i] && ask->line[i][0]) code = read_lines(ask->line[i], in, note);
    bool lines = false;
    for (int l = 0; l < TUFA_LINE_COUNT; l++) lines = lines || in->line_usd[l] >= 0.0;
    if (code == TUFA_OK && in->price_usd < 0.0 && !lines)
        return refuse(note, TUFA_MISSING, "price", "", "what the whole job is to cost, as in 1850, or its lines", "a quote has a price");
    if (code == TUFA_OK) code = number("warranty", ask->warranty, Q_NUMBER, UNIT_ONE, 0, 50, &v, note);
    if (code == TUFA_OK && v.basis != TUFA_BASIS_NONE) in->warranty_years = v.mid;
    return code;
}

static tufa_code read_dangers(const quote_ask *ask, int book_leaks, tufa_quote_in *in, bool *himself_said, trouble_note *note)
{
    int himself = -1;
    tufa_code code = yes_no("leaking", ask->leaking, book_leaks, &in->leaking, note);
    if (code == TUFA_OK) code = yes_no("limit", ask->limit, 0, &in->limit_failed, note);
    if (code == TUFA_OK) code = yes_no("flue", ask->flue, 0, &in->flue_unsafe, note);
    if (code == TUFA_OK) code = yes_no("myself", ask->myself, -1, &himself, note);
    *himself_said = himself >= 0;
    if (himself >= 0) in->by_himself = himself;
    return code;
}

/* ---- what is offered ---- */

static tufa_code read_offered(const quote_ask *ask, const desk_case *c, tufa_quote_for what, new_heater *n, trouble_note *note)
{
    static const struct {
        const char *names;
        tufa_choice kind;
    } KINDS[] = {{"like|same|its like", TUFA_CHOICE_REPLACE}, {"gas|natural gas", TUFA_CHOICE_TO_GAS}, {"electric|electricity", TUFA_CHOICE_TO_ELECTRIC},
                 {"heat pump|heatpump|heat pump heater|hybrid", TUFA_CHOICE_TO_HEAT_PUMP}};
    *n = (new_heater){.kind = TUFA_CHOICE_REPLACE};
    bool any = said(ask->offered) || said(ask->offered_volume) || said(ask->first_hour), known = !said(ask->offered);
    if (any && what != TUFA_QUOTE_REPLACE)
        return refuse(note, TUFA_CONFLICT, said(ask->offered) ? "offered" : said(ask->offered_volume) ? "offered_volume" : "first_hour", "", "", "only a quote to replace the heater offers one");
    for (size_t i = 0; !known && i < sizeof KINDS / sizeof KINDS[0]; i++)
        if (name_is_one_of(ask->offered, strlen(ask->offered), KINDS[i].names)) n->kind = KINDS[i].kind, known = true;
    if (!known) return refuse(note, TUFA_UNKNOWN, "offered", ask->offered, "gas, electric, heat pump, or like", "this was not understood");
    if (n->kind != TUFA_CHOICE_REPLACE && !kind_fits(c->known.fuel, n->kind)) n->kind = TUFA_CHOICE_REPLACE;
    tufa_code code = number("offered_volume", ask->offered_volume, Q_VOLUME, UNIT_GAL, 2, 500, &n->volume_m3, note);
    return code == TUFA_OK ? number("first_hour", ask->first_hour, Q_VOLUME, UNIT_GAL, 5, 500, &n->first_hour_m3, note) : code;
}

/* The kind that is offered, and those that the house is known to allow beside it. */
static tufa_status weigh_kinds(const desk_case *c, const tufa_ahead_in *in, const tufa_heater *now, const new_heater *n, tufa_arena *arena, quote_answer *out)
{
    size_t kinds;
    tufa_fuel fuel = c->known.fuel;
    RETURN_IF(others_kinds(c, in, ALLOWS_YES, arena, &out->in.money, &kinds));
    if (out->in.what != TUFA_QUOTE_REPLACE) return OK;
    RETURN_IF(enough_look(c, now, n, &out->fits));
    if (n->kind == TUFA_CHOICE_REPLACE) return OK;
    allows a = house_allows(&c->house, fuel, n->kind);
    if (a != ALLOWS_YES) RETURN_IF(others_kind(c, in, n->kind, arena, &out->in.money));
    out->in.kind = n->kind;
    out->in.kind_allowed = a == ALLOWS_YES ? 1 : a == ALLOWS_NO ? 0 : -1;
    out->in.by_himself = fuel == TUFA_ELECTRIC && n->kind != TUFA_CHOICE_TO_GAS;
    out->refused = allows_refused(&c->house, fuel, n->kind);
    return OK;
}

/* ---- the heater ---- */

static tufa_code look(desk *d, int64_t id, const quote_ask *ask, quote_answer *out, trouble_note *note)
{
    heater_rec heater;
    desk_rates rates;
    desk_waters waters;
    static const size_t CASE = sizeof(desk_case);
    desk_case *c = calloc(1, CASE);
    tufa_arena arena = {.size = tufa_ahead_bytes(YEAR_MONTHS, YEAR_DRAWS, TUFA_AHEAD_MAX_FINDINGS) + tufa_quote_bytes(YEAR_DRAWS) + others_bytes(YEAR_MONTHS, YEAR_DRAWS) + cleaning_bytes() + 64};
    tufa_status st = c && (arena.base = malloc(arena.size)) ? OK : trouble(TUFA_MEMORY, "quote", NULL);
    tufa_ahead ahead;
    bool shared = false;
    waters_start(&waters, d->s, YEAR_DRAWS);
    if (st.code == TUFA_OK) st = store_heater_get(d->s, id, &heater);
    if (st.code == TUFA_OK) st = desk_rates_get(d, &rates);
    if (st.code == TUFA_OK) st = case_load(d->s, &waters, &heater, d->today, c);
    if (st.code == TUFA_OK) st = case_street_has_another(d->s, c, &shared);
    tufa_code code = TUFA_OK;
    tufa_ahead_in in;
    new_heater offered;
    if (st.code == TUFA_OK) {
        in = case_ahead_in(c, YEAR_MONTHS, YEAR_DRAWS, true);
        st = tufa_ahead_look(&in, &arena, &ahead);
    }
    job j;
    if (st.code == TUFA_OK && (code = read_work(ask, c->known.fuel, &j, note)) == TUFA_OK) {
        out->in = tufa_quote_defaults(&ahead, j.what);
        out->in.money = case_money_in(c, &ahead, &rates.prices, rates.life[c->known.fuel], case_trip_share(shared));
        cleaning clean;
        st = cleaning_look(c, &ahead, &rates.tools, &arena, &clean);
        if (st.code == TUFA_OK) out->in.money.flush = clean.flush, out->in.money.clean = clean.deep;
        out->in.repair = j.repair;
        out->in.treatment = j.treatment;
        code = read_money(ask, &out->in, note);
        if (code == TUFA_OK) code = read_offered(ask, c, j.what, &offered, note);
        if (code == TUFA_OK && st.code == TUFA_OK) st = weigh_kinds(c, &in, &ahead.heater, &offered, &arena, out);
        if (code == TUFA_OK) code = read_dangers(ask, heater.leaking == YESNO_YES ? 1 : heater.leaking == YESNO_NO ? 0 : -1, &out->in, &out->himself_said, note);
        if (code == TUFA_OK && st.code == TUFA_OK) st = tufa_quote_look(&out->in, &arena, &out->q);
        out->in.money.ahead = NULL;
        memcpy(out->label, heater.label, sizeof out->label);
        out->fuel = c->known.fuel;
        out->age_years = ahead.heater.field[TUFA_HEATER_AGE];
        out->volume_m3 = ahead.heater.field[TUFA_HEATER_VOLUME];
        out->water_known = c->water->id != 0 && (c->water->has_sheet);
    }
    waters_end(&waters);
    free(arena.base);
    free(c);
    if (st.code == TUFA_OK) return code;
    note_from_status(note, st);
    return st.code;
}

static tufa_status copy_price(void *ctx, const price_rec *r) { return store_price_add(ctx, r); }

static tufa_status say_volume_of(store *s, int64_t today, tufa_value v)
{
    int64_t id;
    if (v.basis == TUFA_BASIS_NONE) return OK;
    RETURN_IF(store_thing_labelled(s, THING_HEATER, "House 1", &id));
    fact_rec f = {.thing = id, .field = thing_field(THING_HEATER, "volume"), .value = v, .day = today, .source = "quote"};
    return store_fact_add(s, THING_HEATER, &f);
}

static tufa_code read_answers(int64_t today, const quote_ask *ask, first_ask *a, tufa_value *volume, trouble_note *note)
{
    if (!said(ask->fuel)) return refuse(note, TUFA_MISSING, "fuel", "", "electric, gas or propane; or the name of a heater in the book", "say what heats the water");
    tufa_code code = first_houses("1", a, note);
    if (code == TUFA_OK) code = first_fuels(ask->fuel, a, note);
    if (code == TUFA_OK && (a->parts != 1 || a->heaters != 1))
        code = refuse(note, TUFA_RANGE, "fuel", ask->fuel, "electric, gas or propane", "a quote is for one heater");
    if (code == TUFA_OK) code = first_ages(ask->age && ask->age[0] ? ask->age : "?", today, a, note);
    if (code == TUFA_OK) code = first_hardness(ask->hardness && ask->hardness[0] ? ask->hardness : "?", a, note);
    return code == TUFA_OK ? number("volume", ask->volume, Q_VOLUME, UNIT_GAL, 2, 500, volume, note) : code;
}

/* A book in memory from a few plain answers; prices and units are those of the book, where there is one. */
static tufa_code without_book(desk *d, int64_t today, const quote_ask *ask, quote_answer *out, trouble_note *note)
{
    first_ask a = {0};
    tufa_value volume = {0};
    desk mem = {.today = today, .units = d ? d->units : UNITS_US};
    tufa_code code = read_answers(today, ask, &a, &volume, note);
    tufa_status st = code == TUFA_OK ? store_in_memory(&mem.s) : OK;
    if (code == TUFA_OK && st.code == TUFA_OK) st = first_fill(mem.s, today, &a);
    if (code == TUFA_OK && st.code == TUFA_OK) st = say_volume_of(mem.s, today, volume);
    if (code == TUFA_OK && st.code == TUFA_OK && d) st = store_price_each(d->s, false, copy_price, mem.s);
    if (code == TUFA_OK && st.code == TUFA_OK) {
        code = look(&mem, 1, ask, out, note);
        out->water_known = a.hardness[0] != 0;
    } else if (st.code != TUFA_OK) {
        note_from_status(note, st);
        code = st.code;
    }
    first_free(&a);
    store_close(mem.s);
    return code;
}

tufa_code desk_quote(desk *d, int64_t today, const quote_ask *ask, quote_answer *out, text *near, trouble_note *note)
{
    *out = (quote_answer){.today = today, .units = d ? d->units : UNITS_US};
    if (!ask->heater || !ask->heater[0]) return without_book(d, today, ask, out, note);
    if (!d) return refuse(note, TUFA_MISSING, "book", "", "", "there is no book here to find this heater in; say --fuel instead");
    tufa_code code = desk_find(d, THING_HEATER, ask->heater, &out->heater, near, note);
    if (code != TUFA_OK) return code;
    if (said(ask->fuel) || said(ask->age) || said(ask->volume) || said(ask->hardness))
        return refuse(note, TUFA_CONFLICT, said(ask->fuel) ? "fuel" : said(ask->age) ? "age" : said(ask->volume) ? "volume" : "hardness", "",
                      "`tufa set HEATER FIELD VALUE` corrects what the book says", "the book says this of the heater already");
    out->from_book = true;
    return look(d, out->heater, ask, out, note);
}
