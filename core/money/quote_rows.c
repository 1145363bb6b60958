/* Rows of a quote: its lines with their usual prices, what to ask, treatments. */
#include "core/base/sources.h"
#include "core/base/units.h"
#include "tufa/money.h"

#include <math.h>

#define ALWAYS TUFA_LINE_ALWAYS
#define MAYBE TUFA_LINE_MAYBE
#define NEVER TUFA_LINE_NEVER
#define NEED(replace, clean, repair)                                                                                  \
    {[TUFA_QUOTE_REPLACE] = replace, [TUFA_QUOTE_CLEAN] = clean, [TUFA_QUOTE_REPAIR] = repair, [TUFA_QUOTE_TREATMENT] = NEVER}
static const tufa_quote_line_row LINES[TUFA_LINE_COUNT] = {
#define X(id, src, ...) [TUFA_LINE_##id] = {.source = src, __VA_ARGS__},
#include "tufa/quote_lines.def"
#undef X
};

static const tufa_treatment_row TREATMENTS[TUFA_TREATMENT_COUNT] = {
#define X(id, src, ...) [TUFA_TREATMENT_##id] = {.source = src, __VA_ARGS__},
#include "tufa/treatments.def"
#undef X
};

static const struct {
    const char *key, *words;
} ASKS[TUFA_ASK_COUNT] = {
#define X(id, key, words) {key, words},
#include "tufa/quote_asks.def"
#undef X
};

static const char *const REASONS[TUFA_QUOTE_REASON_COUNT] = {
#define X(id, words) words,
#include "tufa/quote_reasons.def"
#undef X
};

const tufa_quote_line_row *tufa_quote_line_at(tufa_quote_line l) { return (unsigned)l < TUFA_LINE_COUNT ? &LINES[l] : NULL; }
const tufa_treatment_row *tufa_treatment_at(tufa_treatment t) { return (unsigned)t < TUFA_TREATMENT_COUNT ? &TREATMENTS[t] : NULL; }
const char *tufa_quote_ask_key(tufa_quote_ask a) { return (unsigned)a < TUFA_ASK_COUNT ? ASKS[a].key : ""; }
const char *tufa_quote_ask_words(tufa_quote_ask a) { return (unsigned)a < TUFA_ASK_COUNT ? ASKS[a].words : ""; }
const char *tufa_quote_reason_words(tufa_quote_reason r) { return (unsigned)r < TUFA_QUOTE_REASON_COUNT ? REASONS[r] : ""; }

/* The published prices are those of 40 gallons; price grows with capacity to the 0.6 (rule of thumb of cost engineers, from
 * memory). */
static const double SIZED_GALLONS = 40.0, SIZED_POWER = 0.6;

void tufa_quote_usual(tufa_quote_line l, tufa_fuel fuel, double volume_m3, double usd[3])
{
    const tufa_quote_line_row *r = tufa_quote_line_at(l);
    double gallons = volume_m3 > 0.0 ? gal_from_m3(volume_m3) : SIZED_GALLONS;
    for (int k = 0; k < 3; k++) {
        usd[k] = !r ? 0.0 : fuel == TUFA_ELECTRIC ? r->electric[k] : r->gas[k];
        if (r && r->sized) usd[k] *= pow(fmax(1.0, gallons / SIZED_GALLONS), SIZED_POWER);
    }
}
