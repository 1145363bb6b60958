#include "core/base/sources.h"
#include "tufa/money.h"

#define ABOUT(mid, lo, hi) {mid, lo, hi, TUFA_BASIS_DEFAULT}
static const tufa_choice_row CHOICES[TUFA_CHOICE_COUNT] = {
#define X(id, src, ...) [TUFA_CHOICE_##id] = {.source = src, __VA_ARGS__},
#include "tufa/choices.def"
#undef X
};

static const char *const REASONS[TUFA_REASON_COUNT] = {
#define X(id, words) words,
#include "tufa/reasons.def"
#undef X
};

const tufa_choice_row *tufa_choice_at(tufa_choice c) { return (unsigned)c < TUFA_CHOICE_COUNT ? &CHOICES[c] : NULL; }

const char *tufa_reason_words(tufa_reason r) { return (unsigned)r < TUFA_REASON_COUNT ? REASONS[r] : ""; }
