#include "edge/desk/allows.h"

#include <stddef.h>

typedef enum need {
#define X(id, member, name, ask, refused) NEED_##id,
#include "edge/desk/allows.def"
#undef X
    NEED_COUNT
} need;

static const struct {
    size_t offset;
    const char *name, *ask, *refused;
} NEEDS[NEED_COUNT] = {
#define X(id, member, name, ask, refused) [NEED_##id] = {offsetof(house_rec, member), name, ask, refused},
#include "edge/desk/allows.def"
#undef X
};

bool is_other_kind(tufa_choice c) { return c == TUFA_CHOICE_TO_GAS || c == TUFA_CHOICE_TO_ELECTRIC || c == TUFA_CHOICE_TO_HEAT_PUMP; }

bool sets_a_heater(tufa_choice c) { return c == TUFA_CHOICE_REPLACE || is_other_kind(c); }

bool kind_fits(tufa_fuel now, tufa_choice kind)
{
    if (kind == TUFA_CHOICE_TO_HEAT_PUMP) return true;
    return now == TUFA_ELECTRIC ? kind == TUFA_CHOICE_TO_GAS : kind == TUFA_CHOICE_TO_ELECTRIC;
}

tufa_fuel fuel_after(tufa_fuel now, tufa_choice kind)
{
    if (kind == TUFA_CHOICE_TO_GAS) return TUFA_GAS;
    return is_other_kind(kind) ? TUFA_ELECTRIC : now;
}

/* A circuit is there where an electric heater stands. */
static bool needs(tufa_fuel now, tufa_choice kind, need n)
{
    switch (n) {
    case NEED_GAS: return kind == TUFA_CHOICE_TO_GAS;
    case NEED_CIRCUIT: return now != TUFA_ELECTRIC && (kind == TUFA_CHOICE_TO_ELECTRIC || kind == TUFA_CHOICE_TO_HEAT_PUMP);
    case NEED_HEAT_PUMP: return kind == TUFA_CHOICE_TO_HEAT_PUMP;
    case NEED_COUNT: break;
    }
    return false;
}

static int said(const house_rec *house, int n) { return *(const int *)(const void *)((const char *)house + NEEDS[n].offset); }

/* The first need that was answered so; NEED_COUNT: none. */
static int first(const house_rec *house, tufa_fuel now, tufa_choice kind, int answer)
{
    int n = 0;
    while (n < NEED_COUNT && !(needs(now, kind, (need)n) && said(house, n) == answer)) n++;
    return n;
}

allows house_allows(const house_rec *house, tufa_fuel now, tufa_choice kind)
{
    if (first(house, now, kind, YESNO_NO) < NEED_COUNT) return ALLOWS_NO;
    return first(house, now, kind, -1) < NEED_COUNT ? ALLOWS_NOT_KNOWN : ALLOWS_YES;
}

const char *allows_ask(const house_rec *house, tufa_fuel now, tufa_choice kind, const char **field)
{
    int n = first(house, now, kind, -1);
    if (n == NEED_COUNT) return NULL;
    if (field) *field = NEEDS[n].name;
    return NEEDS[n].ask;
}

const char *allows_refused(const house_rec *house, tufa_fuel now, tufa_choice kind)
{
    int n = first(house, now, kind, YESNO_NO);
    return n < NEED_COUNT ? NEEDS[n].refused : NULL;
}

const char *kind_word(tufa_choice kind)
{
    switch (kind) {
    case TUFA_CHOICE_TO_GAS: return "a gas heater";
    case TUFA_CHOICE_TO_ELECTRIC: return "an electric heater";
    case TUFA_CHOICE_TO_HEAT_PUMP: return "a heat pump heater";
    default: return "a heater like it";
    }
}
