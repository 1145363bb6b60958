/* The tables of what is kept, and finding a row by a name. */
#include <string.h>

#include "edge/store/records.h"

#define F(type, member, names, q, unit, lo, hi, choices, what) \
    {FIELD_##type, #member, names, Q_##q, UNIT_##unit, lo, hi, (choice_list)(choices), what, offsetof(FIELD_RECORD, member)},

#define FIELD_RECORD water_rec
static const field_row WATER_FIELDS[] = {
#include "edge/store/water_fields.def"
};
#undef FIELD_RECORD
#define FIELD_RECORD house_rec
static const field_row HOUSE_FIELDS[] = {
#include "edge/store/house_fields.def"
};
#undef FIELD_RECORD
#define FIELD_RECORD heater_rec
static const field_row HEATER_FIELDS[] = {
#include "edge/store/heater_fields.def"
};
#undef FIELD_RECORD
#undef F

#define ROWS(a) {a, sizeof(a) / sizeof(a)[0]}
static const struct {
    const field_row *rows;
    size_t n;
} FIELDS[THING_COUNT] = {[THING_WATER] = ROWS(WATER_FIELDS), [THING_HOUSE] = ROWS(HOUSE_FIELDS), [THING_HEATER] = ROWS(HEATER_FIELDS)};

const field_row *thing_fields(thing_kind kind, size_t *n)
{
    *n = FIELDS[kind].n;
    return FIELDS[kind].rows;
}

const field_row *thing_field(thing_kind kind, const char *name)
{
    for (size_t i = 0; i < FIELDS[kind].n; i++) {
        const field_row *f = &FIELDS[kind].rows[i];
        if (strcmp(name, f->member) == 0 || name_is_one_of(name, strlen(name), f->names)) return f;
    }
    return NULL;
}

const char *thing_word(thing_kind kind)
{
    static const char *const WORDS[THING_COUNT] = {[THING_WATER] = "water", [THING_HOUSE] = "house", [THING_HEATER] = "heater"};
    return WORDS[kind];
}

/* ---- choices ---- */

static const struct {
    choice_list list;
    int choice;
    const char *names;
} CHOICES[] = {
#define CHOICE_OF_FUEL(id) FUEL_##id
#define CHOICE_OF_TAP(id) TAP_##id
#define CHOICE_OF_YESNO(id) YESNO_##id
#define CHOICE_OF_DRAIN(id) DRAIN_##id
#define CHOICE_OF_DIP(id) DIP_##id
#define CHOICE_OF_ELEMENTS(id) ELEMENTS_##id
#define X(list, id, names) {CHOICES_##list, CHOICE_OF_##list(id), names},
#include "edge/store/choices.def"
#undef X
};
enum { CHOICE_ROWS = sizeof CHOICES / sizeof CHOICES[0] };

int choice_find(choice_list list, const char *word)
{
    for (size_t i = 0; i < CHOICE_ROWS; i++)
        if (CHOICES[i].list == list && name_is_one_of(word, strlen(word), CHOICES[i].names)) return CHOICES[i].choice;
    return -1;
}

void choice_word(text *out, choice_list list, int choice)
{
    for (size_t i = 0; i < CHOICE_ROWS; i++)
        if (CHOICES[i].list == list && CHOICES[i].choice == choice) text_addn(out, CHOICES[i].names, strcspn(CHOICES[i].names, "|"));
}

void choice_words(text *out, choice_list list)
{
    bool first = true;
    for (size_t i = 0; i < CHOICE_ROWS; i++) {
        if (CHOICES[i].list != list) continue;
        if (!first) text_add(out, ", ");
        choice_word(out, list, CHOICES[i].choice);
        first = false;
    }
}

/* ---- what is found, what is done ---- */

const finding_row finding_rows[FINDING_COUNT] = {
#define X(id, names, q, unit, lo, hi, what) [FINDING_##id] = {#id, names, Q_##q, UNIT_##unit, lo, hi, what},
#include "edge/store/finding_kinds.def"
#undef X
};

static const struct {
    const char *id, *names;
} WORKS[WORK_COUNT] = {
#define X(id, names) [WORK_##id] = {#id, names},
#include "edge/store/works.def"
#undef X
};

int work_find(const char *word)
{
    for (int i = 0; i < WORK_COUNT; i++)
        if (strcmp(word, WORKS[i].id) == 0 || name_is_one_of(word, strlen(word), WORKS[i].names)) return i;
    return -1;
}

const char *work_id(work_kind w) { return WORKS[w].id; }

void work_word(text *out, work_kind w) { text_addn(out, WORKS[w].names, strcspn(WORKS[w].names, "|")); }

void work_words(text *out)
{
    for (int i = 0; i < WORK_COUNT; i++) {
        if (i) text_add(out, ", ");
        work_word(out, (work_kind)i);
    }
}

int finding_find(const char *word)
{
    for (int i = 0; i < FINDING_COUNT; i++)
        if (strcmp(word, finding_rows[i].id) == 0 || name_is_one_of(word, strlen(word), finding_rows[i].names)) return i;
    return -1;
}
