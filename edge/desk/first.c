#include "edge/desk/first.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "core/base/status.h"
#include "edge/import/sheet.h"
#include "edge/import/value.h"
#include "edge/import/words.h"

enum { HOUSES_NOT_SAID = 10 };

/* ---- answers ---- */

tufa_code first_houses(const char *s, first_ask *a, trouble_note *note)
{
    value_rule rule = {.field = "houses", .q = Q_NUMBER, .unit = &units[UNIT_ONE], .lo = 1.0, .hi = FIRST_MOST_HOUSES};
    tufa_value v;
    tufa_code code = value_parse(s, &rule, &v, note);
    if (code != TUFA_OK) return code;
    a->houses_assumed = v.basis == TUFA_BASIS_NONE;
    a->houses = a->houses_assumed ? HOUSES_NOT_SAID : (size_t)lround(v.mid);
    return TUFA_OK;
}

/* "electric", "8 electric, 4 gas", "electric and gas": words of the list with a number before each, or none at all. */
typedef struct fuel_words {
    int fuel[FIRST_FUELS];
    size_t heaters[FIRST_FUELS]; /* 0: not said */
    size_t n;
} fuel_words;

static bool is_filler(const char *word)
{
    static const char *const FILLERS[] = {"and", "all", "heaters", "heater", "mostly", "are", "the", "rest", "natural", "only"};
    for (size_t i = 0; i < sizeof FILLERS / sizeof FILLERS[0]; i++)
        if (strcmp(word, FILLERS[i]) == 0) return true;
    return false;
}

static bool read_fuels(char *plain, fuel_words *f)
{
    size_t number = 0;
    for (char *save = NULL, *w = strtok_r(plain, " ,;:+/&", &save); w; w = strtok_r(NULL, " ,;:+/&", &save)) {
        char *end;
        unsigned long k = strtoul(w, &end, 10);
        int fuel = choice_find(CHOICES_FUEL, w);
        if (isdigit((unsigned char)*w) && *end == 0) {
            if (number || k < 1 || k > FIRST_MOST_HEATERS) return false;
            number = k;
        } else if (fuel >= 0) {
            if (f->n == FIRST_FUELS) return false;
            f->fuel[f->n] = fuel;
            f->heaters[f->n++] = number;
            number = 0;
        } else if (!is_filler(w)) {
            return false;
        }
    }
    return f->n > 0 && number == 0;
}

static bool all_or_none_counted(const fuel_words *f, size_t *sum)
{
    size_t counted = 0;
    *sum = 0;
    for (size_t i = 0; i < f->n; i++) {
        counted += f->heaters[i] > 0;
        *sum += f->heaters[i];
    }
    return (counted == 0 || counted == f->n) && *sum <= FIRST_MOST_HEATERS;
}

tufa_code first_fuels(const char *s, first_ask *a, trouble_note *note)
{
    char plain[WORDS_LONGEST + 1];
    fuel_words f = {0};
    size_t sum = 0;
    bool readable = words_plain(s, plain);
    if (readable && words_unknown(plain)) {
        a->heaters = a->houses;
        a->parts = 1;
        a->part[0].fuel = -1;
        a->part[0].heaters = a->heaters;
        return TUFA_OK;
    }
    if (!readable || !read_fuels(plain, &f) || !all_or_none_counted(&f, &sum)) {
        note_set(note, TUFA_PARSE, "fuel", s, "electric, gas, propane, \"8 electric, 4 gas\", or \"?\"", "this was not understood");
        return TUFA_PARSE;
    }
    a->heaters = sum ? sum : a->houses;
    a->parts = f.n;
    for (size_t i = 0; i < f.n; i++) {
        a->part[i].fuel = f.fuel[i];
        a->part[i].heaters = sum ? f.heaters[i] : a->heaters / f.n + (i < a->heaters % f.n);
    }
    return TUFA_OK;
}

static size_t count_pieces(const char *s)
{
    size_t n = 1;
    for (; *s; s++) n += *s == ',' || *s == ';';
    return n;
}

tufa_code first_ages(const char *s, int64_t today, first_ask *a, trouble_note *note)
{
    value_rule rule = {.field = "age", .q = Q_INSTALLED, .unit = &units[UNIT_DATE], .lo = (double)today - 80.0 * 365.2425,
                       .hi = (double)today, .today = today};
    size_t n = count_pieces(s);
    if (n > 1 && n > a->heaters) {
        note_set(note, TUFA_RANGE, "ages", s, "one answer for all, or at most one for each heater", "there are more ages than heaters");
        return TUFA_RANGE;
    }
    tufa_value *v = calloc(n, sizeof *v);
    if (!v) return TUFA_MEMORY;
    for (size_t i = 0; i < n; i++) {
        size_t len = strcspn(s, ",;");
        char piece[WORDS_LONGEST + 1];
        snprintf(piece, sizeof piece, "%.*s", (int)(len < WORDS_LONGEST ? len : WORDS_LONGEST), s);
        tufa_code code = value_parse(piece, &rule, &v[i], note);
        if (code != TUFA_OK) {
            free(v);
            return code;
        }
        s += len + 1;
    }
    free(a->installed_day);
    a->installed_day = v;
    a->ages = n;
    return TUFA_OK;
}

tufa_code first_hardness(const char *s, first_ask *a, trouble_note *note)
{
    char plain[WORDS_LONGEST + 1];
    if (words_plain(s, plain) && words_unknown(plain)) {
        a->hardness[0] = 0;
        return TUFA_OK;
    }
    sheet_rec sheet = {.n = 1};
    tufa_water_known known;
    if (strlen(s) >= sizeof sheet.cells[0].cell) {
        note_set(note, TUFA_PARSE, "hardness", s, "one figure or a word", "this is too long for one figure");
        return TUFA_PARSE;
    }
    snprintf(sheet.cells[0].column, sizeof sheet.cells[0].column, "%s", SHEET_HARDNESS);
    memcpy(sheet.cells[0].cell, s, strlen(s) + 1);
    tufa_code code = sheet_known(&sheet, &known, NULL, note);
    if (code == TUFA_OK) memcpy(a->hardness, s, strlen(s) + 1);
    return code;
}

void first_free(first_ask *a)
{
    free(a->installed_day);
    *a = (first_ask){0};
}

/* ---- the book ---- */

static const char SAID[] = "first questions";
static const char *const SUFFIX[] = {"", " second", " third", " fourth", " fifth", " sixth"};
enum { HEATERS_A_HOUSE = sizeof SUFFIX / sizeof SUFFIX[0] };

static tufa_status add_fact(store *s, thing_kind kind, int64_t thing, const char *name, fact_rec f, int64_t today)
{
    f.thing = thing;
    f.field = thing_field(kind, name);
    f.day = today;
    snprintf(f.source, sizeof f.source, "%s", SAID);
    return f.field ? store_fact_add(s, kind, &f) : trouble(TUFA_UNKNOWN, "field", NULL);
}

static tufa_status add_water(store *s, int64_t today, const first_ask *a, int64_t *water)
{
    RETURN_IF(store_thing_add(s, THING_WATER, "your water", 0, today, SAID, water));
    if (!a->hardness[0]) return OK;
    sheet_rec sheet = {.water = *water, .day = today, .n = 1};
    int64_t id;
    snprintf(sheet.source, sizeof sheet.source, "%s", SAID);
    snprintf(sheet.cells[0].column, sizeof sheet.cells[0].column, "%s", SHEET_HARDNESS);
    snprintf(sheet.cells[0].cell, sizeof sheet.cells[0].cell, "%s", a->hardness);
    return store_sheet_add(s, &sheet, &id);
}

static tufa_status add_house(store *s, int64_t today, size_t number, int64_t water, int64_t *house)
{
    char label[STORE_LABEL];
    fact_rec street = {0};
    snprintf(label, sizeof label, "House %zu", number);
    RETURN_IF(store_thing_add(s, THING_HOUSE, label, 0, today, SAID, house));
    snprintf(street.word, sizeof street.word, "%s", label); /* where it lies was not asked: each is a drive of its own */
    RETURN_IF(add_fact(s, THING_HOUSE, *house, "street", street, today));
    return add_fact(s, THING_HOUSE, *house, "water", (fact_rec){.ref = water}, today);
}

static int fuel_of(const first_ask *a, size_t heater)
{
    for (size_t i = 0; i < a->parts; i++) {
        if (heater < a->part[i].heaters) return a->part[i].fuel;
        heater -= a->part[i].heaters;
    }
    return -1;
}

static tufa_value age_of(const first_ask *a, size_t heater)
{
    if (a->ages == 1) return a->installed_day[0];
    return heater < a->ages ? a->installed_day[heater] : (tufa_value){0};
}

static tufa_status add_heater(store *s, int64_t today, const first_ask *a, size_t i, int64_t house)
{
    char label[STORE_LABEL];
    int64_t id;
    size_t nth = i / a->houses;
    if (nth < HEATERS_A_HOUSE) snprintf(label, sizeof label, "House %zu%s", i % a->houses + 1, SUFFIX[nth]);
    else snprintf(label, sizeof label, "House %zu, heater %zu", i % a->houses + 1, nth + 1);
    RETURN_IF(store_thing_add(s, THING_HEATER, label, house, today, SAID, &id));
    int fuel = fuel_of(a, i);
    tufa_value age = age_of(a, i);
    if (fuel >= 0) RETURN_IF(add_fact(s, THING_HEATER, id, "fuel", (fact_rec){.choice = fuel}, today));
    if (age.basis != TUFA_BASIS_NONE) RETURN_IF(add_fact(s, THING_HEATER, id, "age", (fact_rec){.value = age}, today));
    return OK;
}

static tufa_status fill(store *s, int64_t today, const first_ask *a, int64_t *house)
{
    int64_t water;
    RETURN_IF(store_begin(s));
    RETURN_IF(add_water(s, today, a, &water));
    for (size_t k = 0; k < a->houses; k++) RETURN_IF(add_house(s, today, k + 1, water, &house[k]));
    for (size_t i = 0; i < a->heaters; i++) RETURN_IF(add_heater(s, today, a, i, house[i % a->houses]));
    return store_commit(s);
}

tufa_status first_fill(store *s, int64_t today, const first_ask *a)
{
    int64_t *house = calloc(a->houses, sizeof *house);
    if (!house) return trouble(TUFA_MEMORY, "houses", NULL);
    tufa_status st = fill(s, today, a, house);
    if (st.code != TUFA_OK) store_rollback(s);
    free(house);
    return st;
}

tufa_status desk_first(const char *path, int64_t today, const first_ask *a)
{
    store *s;
    RETURN_IF(store_create(path, &s));
    tufa_status st = first_fill(s, today, a);
    store_close(s);
    if (st.code != TUFA_OK) unlink(path);
    return st;
}
